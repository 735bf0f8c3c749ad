"""Sheets for rounds after the flights: the beers of a mini round or of best of show, with a box for their places."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from entryprep.paper.canvas import new_canvas, saved
from entryprep.paper.tablepages import Column, TablePage, draw_table
from entryprep.text import several

COLUMNS = (
    Column("blind number", 16, bold=True),
    Column("style", 26),
    Column("declared", 40),
    Column("notes", 24),
    Column("place", 12, box=True),
)
HOW = (
    "Taste all of them side by side, light before strong. Give each place once; the panel agrees. Nothing of the first "
    "scores counts here."
)
FOOT = (
    "Copy the places into the sheet of the same name. Water, plain bread and a bucket belong on the table; nobody who "
    "judged drives."
)


def placing_sheets_pdf(rounds: Iterable[tuple[str, Sequence[tuple[str, str, str]]]], kind: str, page: str) -> bytes:
    """A sheet for each round of (name, beers as number, style, declaration), on "letter" or "a4".

    ``kind`` stands before the name, such as "Mini round". The same input gives the same bytes.
    """
    canvas, stream = new_canvas(page, kind or "Last round")
    for name, beers in rounds:
        rows = [(number, style, declared, "", "") for number, style, declared in beers]
        title = f"{kind}: {name}" if kind else name
        aside = f"{several(len(rows), 'beer')}, table ______"
        draw_table(canvas, page, TablePage(title, COLUMNS, rows, aside, HOW, FOOT))
    return saved(canvas, stream)
