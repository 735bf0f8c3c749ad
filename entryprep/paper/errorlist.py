"""The errors that labels were printed in spite of, on a paper of their own: they have no place on a sheet of labels."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import TableStyle

from entryprep.findings import Finding
from entryprep.paper.flowables import Table, TickBox, heading, reason, sentence, words
from entryprep.paper.layout import Written, despite, inner_width
from entryprep.paper.placing import MM

TICK = 8 * MM


def errors_paper(errors: Sequence[tuple[str, Finding]], competition: str, page: str) -> Written:
    """The errors of the papers of one competition, on "letter" or "a4": what, why, how to mend it, each with a box.

    ``errors`` are the findings, each with what is said of it.
    """
    title = f"Errors that stand: {competition}"
    say = "For the brewer alone: it may name whose beers these are. Mend them, and print the labels again."
    story = [heading(title), words(say, 11, after=6)]
    if errors:
        rows = [[TickBox(4 * MM), _told(said, error)] for said, error in errors]
        table = Table(rows, colWidths=[TICK, inner_width(page) - TICK], hAlign="LEFT", splitInRow=1)
        table.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (0, -1), 1)]))
        story += [words(despite(len(errors)), 12, bold=True, after=3), table]
    return Written(story, page, title, f"entryprep, errors, {competition}")


def _told(said: str, error: Finding) -> list[Any]:
    lines = [words(said, 12.5, bold=True)]
    lines += [words(reason(error.why), 11, before=1.5, lead="Why:")] if error.why else []
    return [*lines, *([words(sentence(error.fix), 11, before=1.5, after=8, lead="To mend it:")] if error.fix else [])]
