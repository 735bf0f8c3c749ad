"""The forest plot on paper: one axis in range-widths, one grey band through all rows, dots with their error bars."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable

from entryprep.paper.canvas import draw_line
from entryprep.paper.fonts import BOLD, REGULAR
from entryprep.paper.forest import ARROWS, END, HEADS, START, Row, beyond, clipped, off_the_axis, side_words
from entryprep.paper.placing import MM
from entryprep.paper.text import fitted
from entryprep.paper.webtext import safe

# right edges of two columns; what stands beside the plot
VALUE, ERROR, LEFT, RIGHT = 48 * MM, 61 * MM, 65 * MM, 34 * MM
MISS, MISSES = 31 * MM, 18 * MM  # from where the ranges begin to where the misses do; their room, if there are any
HEAD, ROW, FOOT, KEY = 6 * MM, 7.6 * MM, 7.5 * MM, 4.6 * MM
DOT = 1.5 * MM
BAND, GRID, QUIET = 0.86, 0.72, 0.33  # greys
TICKS = ((-1.0, "−1"), (0.0, "0"), (1.0, "1"), (2.0, "2"))
AXIS = "in range-widths: 0 the low end, 1 the high end"


class ForestPlot(Flowable):  # type: ignore[misc]
    """Rows of a forest plot with what their marks mean below; ``width`` in points."""

    def __init__(self, rows: Sequence[Row], key: Sequence[str], width: float) -> None:
        super().__init__()
        self.rows, self.width, self.legend = rows, width, tuple(key)
        self.right = RIGHT + (MISSES if any(row.miss for row in rows) else 0)
        self.key = [" ".join(fitted(text, REGULAR, width - 6 * MM, 9, 8, 1).lines) for text in key if text]
        self.arrows = off_the_axis(rows)
        self.height = HEAD + ROW * len(rows) + FOOT + KEY * (len(self.key) + any(self.arrows))

    def as_html(self, _deeper: int) -> str:
        """The same as a table: how each vital lies in its range, and in that of the other style."""
        dot, other = [*self.legend, "", ""][:2]
        names = ("Vital", "This beer", "Standard error", "Range", "Outside by", *([other] if other else []))
        head = "".join(f'<th scope="col">{safe(name[:1].upper() + name[1:])}</th>' for name in names)
        rows = ""
        for row in self.rows:
            value = f"{row.value}{row.unit}" if row.known else row.words
            cells = [
                value,
                f"{row.error}{row.unit}" if row.error else "",
                f"{row.range}{row.unit}",
                row.miss or "in style",
            ]
            cells[3:] = cells[3:] if row.known else ["not known"]
            cells += [side_words(row.other)] if other else []
            told = "".join(
                f'<td data-name="{safe(name)}">{safe(cell)}</td>' for name, cell in zip(names[1:], cells, strict=True)
            )
            rows += f'<tr><th scope="row">{safe(row.title)}</th>{told}</tr>'
        caption = f"<caption>{safe(dot[:1].upper() + dot[1:])}</caption>" if dot else ""
        return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"

    def _x(self, at: float) -> float:
        wide = self.width - LEFT - self.right
        return LEFT + (clipped(at) - START) / (END - START) * wide

    def draw(self) -> None:
        """Draw it."""
        canvas, top = self.canv, self.height - HEAD
        bottom = top - ROW * len(self.rows)
        canvas.setFillGray(BAND)
        canvas.rect(self._x(0), bottom, self._x(1) - self._x(0), top - bottom, stroke=0, fill=1)
        canvas.setFillGray(0)
        canvas.setLineWidth(0.5)
        for edge in (0, 1):
            canvas.line(self._x(edge), bottom, self._x(edge), top)
        self._heads(top)
        for number, row in enumerate(self.rows):
            self._row(row, top - ROW * (number + 0.5))
        self._axis(bottom)
        for number, text in enumerate(self.key):
            y = bottom - FOOT - KEY * (number + 0.5)
            draw_dot(canvas, 2 * MM, y, hollow=number > 0)
            draw_line(canvas, 5 * MM, y - 3, text, REGULAR, 9)
        if any(self.arrows):
            y = bottom - FOOT - KEY * (len(self.key) + 0.5)
            draw_mark(canvas, 2 * MM + DOT, y, 1, hollow=not self.arrows[0])
            draw_line(canvas, 5 * MM, y - 3, ARROWS, REGULAR, 9)

    def _heads(self, top: float) -> None:
        canvas, y = self.canv, top + 2 * MM
        canvas.setFont(BOLD, 9)
        canvas.drawRightString(VALUE, y, "this beer")
        for at, word in zip((-0.5, 0.5, 1.5), HEADS, strict=True):
            canvas.drawCentredString(self._x(at), y, word)
        canvas.drawString(self.width - self.right + 4 * MM, y, "range")
        if any(row.miss for row in self.rows):
            canvas.drawString(self.width - self.right + 4 * MM + MISS, y, "outside by")

    def _row(self, row: Row, y: float) -> None:
        canvas, base = self.canv, y - 3.2
        canvas.setLineWidth(0.25)
        canvas.setStrokeGray(GRID)
        canvas.line(self._x(START), y, self._x(END), y)
        canvas.setStrokeGray(0)
        canvas.setFillGray(0 if row.known else QUIET)
        draw_line(canvas, 0, base, row.title, BOLD if row.known else REGULAR, 9.5)
        if row.known:
            canvas.setFont(BOLD, 9.5)
            canvas.drawRightString(VALUE, base, f"{row.value}{row.unit}")
            canvas.setFont(REGULAR, 8)
            canvas.drawRightString(ERROR, base, f"± {row.error}" if row.error else "")
        else:
            open_words = fitted(row.words, REGULAR, LEFT - 30 * MM, 9, 8, 1).lines
            draw_line(canvas, 29 * MM, base, " ".join(open_words), REGULAR, 9)
        draw_line(canvas, self.width - self.right + 4 * MM, base, f"{row.range}{row.unit}", REGULAR, 9)
        draw_line(canvas, self.width - self.right + 4 * MM + MISS, base, row.miss, BOLD, 9)
        canvas.setFillGray(0)
        if row.at is not None:
            self._marks(row, row.at, y)

    def _marks(self, row: Row, at: float, y: float) -> None:
        canvas = self.canv
        canvas.setLineWidth(1.3)
        if row.high > START and row.low < END:
            canvas.line(self._x(row.low), y, self._x(row.high), y)
        for end in (row.low, row.high):
            if not beyond(end):
                canvas.line(self._x(end), y - 1.1 * MM, self._x(end), y + 1.1 * MM)
        if row.other is not None:
            draw_mark(canvas, self._x(row.other), y, beyond(row.other), hollow=True)
        draw_mark(canvas, self._x(at), y, beyond(at))

    def _axis(self, bottom: float) -> None:
        canvas = self.canv
        canvas.setLineWidth(0.6)
        canvas.line(self._x(START), bottom, self._x(END), bottom)
        canvas.setFont(REGULAR, 8)
        for at, word in TICKS:
            canvas.line(self._x(at), bottom, self._x(at), bottom - 1 * MM)
            canvas.drawCentredString(self._x(at), bottom - 3.8 * MM, word)
        canvas.drawString(0, bottom - 3.8 * MM, AXIS)


def draw_mark(canvas: Any, x: float, y: float, way: int, hollow: bool = False, size: float = DOT) -> None:
    """A dot, or where a value is off the axis an arrow that points the way; hollow for another style."""
    if not way:
        draw_dot(canvas, x, y, hollow, size)
        return
    path, long = canvas.beginPath(), 1.8 * size * way
    path.moveTo(x, y)
    path.lineTo(x - long, y + size)
    path.lineTo(x - long, y - size)
    path.close()
    _ink(canvas, hollow)
    canvas.drawPath(path, stroke=1, fill=1)
    canvas.setFillGray(0)


def draw_dot(canvas: Any, x: float, y: float, hollow: bool = False, size: float = DOT) -> None:
    """A dot; hollow for another style."""
    _ink(canvas, hollow)
    canvas.circle(x, y, size * (0.95 if hollow else 1.0), stroke=1, fill=1)
    canvas.setFillGray(0)


def _ink(canvas: Any, hollow: bool) -> None:
    canvas.setLineWidth(0.9)
    canvas.setFillGray(1 if hollow else 0)
