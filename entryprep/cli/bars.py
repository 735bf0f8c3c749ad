"""Charts in plain characters: the forest plot of a beer in a style, and a share as a dot on a line."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from entryprep.cli.plain import Line
from entryprep.cli.show import clean, console, paragraph
from entryprep.paper.forest import END, HEADS, START, Row, beyond, clipped, forest, legend

if TYPE_CHECKING:
    from entryprep.beer.fitting import Fit

BEER, OTHER, ERROR, BAND, EDGE = "*", "o", "-", ".", "|"
BESIDE = 38  # columns beside the plot: name, value, range, note, and what parts them
LEAST, MOST = 7, 14  # cells of a range's width
REAL, GRAVE = 1.0, 2.0  # standard errors from which a miss is coloured


def share_dots(share: float, width: int = 11) -> str:
    """A share of 0 to 1 as a dot between two ends: ``|.......*...|`` has 0 at its first place and 1 at its last."""
    place = round(max(0.0, min(1.0, share)) * (width - 1))
    return "|" + "." * place + "*" + "." * (width - 1 - place) + "|"


def print_forest(fit: Fit, underneath: bool, other: Fit | None = None, other_underneath: bool = False) -> None:
    """The forest plot of a fit, with what its marks mean; as wide as the terminal lets it be."""
    rows = forest(fit, other)
    out = console()
    for line in forest_lines(rows, out.width):
        out.print(line, crop=True)
    dot, hollow = legend(fit, underneath, other, other_underneath)
    out.print(paragraph(f"{BEER} {dot}; {ERROR * 2} its error", "dim"))
    if hollow:
        out.print(paragraph(f"{OTHER} {hollow}", "dim"))


def forest_lines(rows: Sequence[Row], width: int) -> list[Line]:
    """A line for each row and one above them, at most ``width`` columns where that is 60 or more."""
    step = max(LEAST, min(MOST, (width - BESIDE - 1) // 3))
    under, inside, over = HEADS
    plot = 3 * step + 1
    head = list(" " * plot)
    for start, word in ((0, under), ((plot - len(inside)) // 2, inside), (plot - len(over), over)):
        head[start : start + len(word)] = word
    lines = [Line.of(f"{'':4}{'':6}  {''.join(head)}  range".rstrip(), "bold")]
    for row in rows:
        line = Line().append(f"{row.vital.upper():4}", "bold" if row.known else "dim")
        line.append(f"{clean(row.value) or '?':>6}", "" if row.known else "dim")
        line.append("  ")
        line.pieces += _plot(row, step).pieces
        line.append(f"  {row.range.replace('–', '-'):<11}", "dim" if not row.known else "")
        note = row.miss if row.known else "not known"
        line.append(f" {note}".rstrip(), _colour(row))
        lines.append(line)
    return lines


def _plot(row: Row, step: int) -> Line:
    """The cells of a row: the band, the error bar over it, the hollow dot and over all the dot."""
    last = 3 * step
    cells = [EDGE if i in {step, 2 * step} else BAND if step < i < 2 * step else " " for i in range(last + 1)]

    def cell(at: float) -> int:
        return round((clipped(at) - START) / (END - START) * last)

    marks: dict[int, str] = {}
    if row.at is not None:
        marks = dict.fromkeys(range(cell(row.low), cell(row.high) + 1), ERROR)
        if row.other is not None:
            marks |= _mark(row.other, cell(row.other), OTHER)
        marks |= _mark(row.at, _beside_the_edge(row, cell(row.at), step), BEER)
    far = row.at is not None and beyond(row.at) != 0
    styled = []
    for i, band in enumerate(cells):
        mark = marks.get(i)
        beer = mark == BEER or (far and mark in {"<", ">"})
        styled.append((f"bold {_colour(row)}".strip() if beer else "" if mark else "dim", mark or band))
    shown = Line()
    for style, run in groupby(styled, key=lambda cell: cell[0]):
        shown.append("".join(mark for _, mark in run), style)
    return shown


def _mark(at: float, cell: int, mark: str) -> dict[int, str]:
    """A mark in its cell; where it lies off the axis, an arrow in the last cell and the mark beside it."""
    way = beyond(at)
    return {cell: ">" if way > 0 else "<", cell - way: mark} if way else {cell: mark}


def _beside_the_edge(row: Row, cell: int, step: int) -> int:
    """The cell of a dot, never on the wrong side of a range's edge only because cells are wide."""
    at = row.at or 0.0
    if row.miss and -1 <= at < 0:
        return min(cell, step - 1)
    if row.miss and 1 < at <= END:
        return max(cell, 2 * step + 1)
    return min(max(cell, step), 2 * step) if not row.miss else cell


def _colour(row: Row) -> str:
    """Colour as a second voice: of a miss beyond its error, and of one far beyond it."""
    return "red" if abs(row.errors) >= GRAVE else "yellow" if abs(row.errors) >= REAL else ""
