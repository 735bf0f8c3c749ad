"""The winners on paper: prize by prize, category by category, to be read aloud and hung up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from entryprep.paper.canvas import new_canvas, saved
from entryprep.paper.tablepages import Column, TablePage, draw_table
from entryprep.receiving.placing import PLACES

COLUMNS = (Column("place", 14, bold=True), Column("brewer", 34, bold=True), Column("beer", 34), Column("club", 22))
FOOT = "Places were given by panels that tasted these beers side by side."


def winners_pdf(rows: Iterable[Sequence[object]], page: str) -> bytes:
    """The winners, from rows of (prize, group, place, title, brewer, beer, entry, club, points), "letter" or "a4"."""
    canvas, stream = new_canvas(page, "Winners")
    by_prize: dict[tuple[str, str], list[tuple[str, str, str, str]]] = {}
    for prize, group, place, title, brewer, beer, entry, club, points in rows:
        called = str(title).capitalize() or f"{place}."
        whose = str(brewer) or str(club) or f"entry {entry}"
        named = str(beer) or (f"{points} points" if points else "")
        by_prize.setdefault((str(prize), str(group)), []).append((called, whose, named, str(club)))
    lines: list[Sequence[str] | str] = []
    for (prize, group), those in by_prize.items():
        lines += [f"{group}: {prize}" if group and prize != PLACES else group or prize, *those]
    draw_table(canvas, page, TablePage("Winners", COLUMNS, lines, "", "", FOOT))
    return saved(canvas, stream)
