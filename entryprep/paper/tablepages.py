"""Tables over pages: a title, a line of what to do, columns that wrap, the head again on each page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from entryprep.paper.canvas import bookmark, draw_line
from entryprep.paper.fonts import BOLD, REGULAR, printable
from entryprep.paper.placing import MM, PAGES_PT
from entryprep.paper.text import fitted, wrapped

EDGE, FOOT = 14 * MM, 18 * MM
SIZE, LINE, LEAST_ROW = 9.5, 12.0, 24.0
MOST_LINES = 40


@dataclass(frozen=True)
class Column:
    """One column: its label, its share of the width, whether it is bold, whether it is a box to write or tick in."""

    label: str
    share: float
    bold: bool = False
    box: bool = False


@dataclass(frozen=True)
class TablePage:
    """A table: title, what stands at the right of it, a line under it, columns, rows, what stands at the foot.

    A row that is one text, not texts for the columns, is a heading between rows.
    """

    title: str
    columns: tuple[Column, ...]
    rows: Sequence[Sequence[str] | str]
    aside: str = ""
    under: str = ""
    foot: str = ""


def draw_table(canvas: Any, page: str, table: TablePage) -> None:
    """Draw a table from a page of its own, on "letter" or "a4"; cells taller than a page are cut, and say so."""
    size = PAGES_PT[page]
    room = size[0] - 2 * EDGE
    whole = sum(column.share for column in table.columns)
    widths = [room * column.share / whole for column in table.columns]
    bookmark(canvas, table.title)
    y = _head(canvas, size, table, widths, "")
    for row in table.rows:
        if isinstance(row, str):
            y = _heading(canvas, size, table, widths, y, row)
            continue
        cells = [_cell(text, column, width) for text, column, width in zip(row, table.columns, widths, strict=True)]
        height = max(LEAST_ROW, max(len(lines) for lines in cells) * LINE + 10)
        if y - height < FOOT + 12:
            _foot(canvas, size, table.foot)
            canvas.showPage()
            y = _head(canvas, size, table, widths, " (continued)")
        _row(canvas, y, cells, height, table.columns, widths)
        y -= height
    _foot(canvas, size, table.foot)
    canvas.showPage()


def _heading(
    canvas: Any, size: tuple[float, float], table: TablePage, widths: Sequence[float], y: float, text: str
) -> float:
    """A heading between rows, never the last on its page."""
    if y - 3 * LEAST_ROW < FOOT:
        _foot(canvas, size, table.foot)
        canvas.showPage()
        y = _head(canvas, size, table, widths, " (continued)")
    name = fitted(text, BOLD, size[0] - 2 * EDGE, 13, 9, 1)
    draw_line(canvas, EDGE, y - 22, " ".join(name.lines), BOLD, name.size)
    canvas.setLineWidth(0.25)
    canvas.line(EDGE, y - 27, size[0] - EDGE, y - 27)
    return y - 27


def _cell(text: str, column: Column, width: float) -> list[str]:
    lines = wrapped(printable(text), BOLD if column.bold else REGULAR, SIZE, width - 6)
    return lines if len(lines) <= MOST_LINES else [*lines[: MOST_LINES - 1], "… (cut here)"]


def _head(canvas: Any, size: tuple[float, float], table: TablePage, widths: Iterable[float], more: str) -> float:
    top, right = size[1] - EDGE, size[0] - EDGE
    name = fitted(f"{table.title}{more}", BOLD, (size[0] - 2 * EDGE) * 0.68, 20, 11, 2)
    y = top - name.size
    for line in name.lines:
        draw_line(canvas, EDGE, y, line, BOLD, name.size)
        y -= name.size * 1.15
    for number, line in enumerate(wrapped(printable(table.aside), REGULAR, 9.5, (size[0] - 2 * EDGE) * 0.3)[:3]):
        width = canvas.stringWidth(line, REGULAR, 9.5)
        draw_line(canvas, right - width, top - 10 - 12 * number, line, REGULAR, 9.5)
    for line in wrapped(printable(table.under), REGULAR, 9.5, size[0] - 2 * EDGE):
        draw_line(canvas, EDGE, y, line, REGULAR, 9.5)
        y -= 12
    y -= 6
    x = EDGE
    for column, width in zip(table.columns, widths, strict=True):
        canvas.setFont(BOLD, 8.5)
        canvas.drawString(x, y, column.label)
        x += width
    canvas.setLineWidth(1.2)
    canvas.line(EDGE, y - 4, right, y - 4)
    return y - 4


def _row(
    canvas: Any,
    y: float,
    cells: Sequence[Sequence[str]],
    height: float,
    columns: Sequence[Column],
    widths: Sequence[float],
) -> None:
    x = EDGE
    for lines, column, width in zip(cells, columns, widths, strict=True):
        if column.box:
            canvas.setLineWidth(0.8)
            canvas.rect(x, y - LEAST_ROW + 4, min(width - 6, 18 * MM), LEAST_ROW - 8)
        for number, line in enumerate(lines):
            draw_line(canvas, x, y - 13 - number * LINE, line, BOLD if column.bold else REGULAR, SIZE)
        x += width
    canvas.setLineWidth(0.25)
    canvas.line(EDGE, y - height, x, y - height)


def _foot(canvas: Any, size: tuple[float, float], text: str) -> None:
    lines = wrapped(printable(text), REGULAR, 8, size[0] - 2 * EDGE - 20 * MM)
    for index, line in enumerate(lines):
        draw_line(canvas, EDGE, 9 * MM + 10 * (len(lines) - 1 - index), line, REGULAR, 8)
    canvas.setFont(REGULAR, 8)
    canvas.drawRightString(size[0] - EDGE, 9 * MM, f"page {canvas.getPageNumber()}")
