"""Slips for bottles and boxes, drawn on sheets of paper by their layout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from entryprep.paper.canvas import bookmark, new_canvas, saved
from entryprep.paper.fonts import register_fonts, width_pt
from entryprep.paper.handling import handling_signs
from entryprep.paper.pen import Line, text_operators
from entryprep.paper.placing import MM, PAGES_PT, Placing, PrintingError
from entryprep.paper.qr import QUIET, qr_path
from entryprep.paper.slipmark import despite_mark, with_margin
from entryprep.paper.sliptext import UNDERLINE, Placed, SlipText, slip_text
from entryprep.paper.slipvalues import Printed
from entryprep.tables.labelsheets import ROUNDING_MM, Sheet
from entryprep.tables.sliplayouts import SlipLayout


@dataclass(frozen=True)
class Overflow:
    """A field of a slip that did not fit even at its smallest size."""

    code: str
    field: str


def checked_size(layout: SlipLayout, sheet: Sheet) -> None:
    """Raises PrintingError for a sheet whose slips are too small for the layout."""
    if sheet.width < layout.least_width - ROUNDING_MM or sheet.height < layout.least_height - ROUNDING_MM:
        raise PrintingError(
            f"the slips of {sheet.called} are {sheet.width:g} × {sheet.height:g} mm; "
            f"{layout.called} needs {layout.least_width:g} × {layout.least_height:g} mm",
            "use a sheet with larger slips, or a layout for smaller ones such as neck-tag",
        )


def slips_pdf(
    slips: Sequence[Printed],
    layout: SlipLayout,
    placed: Placing,
    title: str,
    errors: Mapping[str, int] = MappingProxyType({}),
) -> bytes:
    """A PDF of slips on sheets of paper. Same input, same bytes.

    ``errors`` says despite how many the slips of an entry are printed, which then stands on each of them. What they
    are stands elsewhere: a sheet of labels has no room for them, and an error may tell whose a beer is.

    Raises PrintingError for a sheet whose slips are too small, ValueError for a code of more than 106 bytes.
    """
    sheet = placed.sheet
    checked_size(layout, sheet)
    canvas, stream = new_canvas(sheet.page, title)
    corners = placed.corners_pt()
    cut_lines = _cut_lines(placed)
    place = placed.start - 1
    marked = with_margin(layout)
    for printed in slips:
        count = errors.get(printed.entry, 0)
        drawn = _Drawn(canvas, printed, marked if count else layout, sheet, count)
        for number in range(printed.first, printed.last + 1):
            if place == placed.start - 1 or place % len(corners) == 0:
                if place >= len(corners):
                    canvas.showPage()
                bookmark(canvas, f"from {printed.label}")
                canvas.addLiteral(cut_lines)
            x, y = corners[place % len(corners)]
            canvas.addLiteral(f"q 1 0 0 1 {x:.2f} {y:.2f} cm {drawn.copy(number)} Q")
            place += 1
    canvas.showPage()
    return saved(canvas, stream)


def slip_overflows(
    slips: Sequence[Printed], layout: SlipLayout, sheet: Sheet, errors: Mapping[str, int] = MappingProxyType({})
) -> list[Overflow]:
    """Fields that are cut, one each per entry and field; ``errors`` as for :func:`slips_pdf`."""
    register_fonts()
    found: dict[Overflow, None] = {}
    marked = with_margin(layout)
    for printed in slips:
        used = marked if errors.get(printed.entry) else layout
        for field in slip_text(printed, used, sheet.width, sheet.height).cut:
            found[Overflow(printed.label, field)] = None
    return list(found)


class _Drawn:
    """The operators of a slip, made once for all its copies."""

    def __init__(self, canvas: Any, printed: Printed, layout: SlipLayout, sheet: Sheet, errors: int) -> None:
        self.canvas = canvas
        self.printed = printed
        said = slip_text(printed, layout, sheet.width, sheet.height)
        numbered = [item for item in said.texts if item.field == "bottle"]
        self.numbered = numbered
        lines = [line for item in said.texts if item.field != "bottle" for line in _lines(item)]
        despite = despite_mark(canvas, layout, sheet, said.stub, errors)
        signs = handling_signs(layout, sheet)
        drawn = (text_operators(canvas, lines), *_marks(said, layout, sheet), *signs, despite)
        self.same = " ".join(part for part in drawn if part)
        self.spot = said.code

    def copy(self, number: int) -> str:
        """The operators of one copy; only its number and its QR code are its own."""
        parts = [self.same]
        if self.spot is not None:
            parts.append(_code(self.printed.content(number), self.spot))
        if self.numbered:
            parts.append(_numbers(self.canvas, self.printed.bottle(number), tuple(self.numbered)))
        return " ".join(parts)


def _numbers(canvas: Any, words: str, places: tuple[Placed, ...]) -> str:
    """The operators of what differs from copy to copy; most entries of a competition share them."""
    kept: dict[tuple[str, tuple[Placed, ...]], str] = canvas.__dict__.setdefault("numbers", {})
    key = (words, tuple(place for place in places))
    if key not in kept:
        lines = [(item.left(words), item.y, item.font, item.size, words) for item in places]
        kept[key] = text_operators(canvas, lines)
    return kept[key]


def _lines(item: Placed) -> list[Line]:
    return [
        (item.left(line) if item.align != "left" else item.x, item.y - row * item.leading, item.font, item.size, line)
        for row, line in enumerate(item.lines)
    ]


def _marks(said: SlipText, layout: SlipLayout, sheet: Sheet) -> list[str]:
    """Lines to write on, the line under a number that reads otherwise upside down, the stub's edge, the hole."""
    marks = ["0.8 w"]
    marks += [f"{x:.2f} {y:.2f} m {x + length:.2f} {y:.2f} l S" for x, y, length in said.rules]
    for item in said.texts:
        if item.underlined:
            marks.append(underline(item))
    if said.stub:
        y, right = said.stub, sheet.width * MM - 1 * MM
        marks.append(f"[3 2] 0 d {1 * MM:.2f} {y:.2f} m {right:.2f} {y:.2f} l S [] 0 d")
    if layout.hole is not None:
        hole = layout.hole
        marks.append(_circle(hole.left * MM, (sheet.height - hole.top) * MM, hole.diameter / 2 * MM))
    return marks if len(marks) > 1 else []


def underline(item: Placed) -> str:
    """A bar under each line of a text, as operators."""
    bars = []
    for row, line in enumerate(item.lines):
        x, y = item.left(line), item.y - row * item.leading - UNDERLINE * item.size
        bars.append(f"{x:.2f} {y:.2f} {width_pt(line, item.font, item.size):.2f} {max(1.0, item.size * 0.06):.2f} re f")
    return " ".join(bars)


def _circle(x: float, y: float, radius: float) -> str:
    """A thin circle from four curves."""
    bend = radius * 0.5523
    curves = (
        (x + radius, y + bend, x + bend, y + radius, x, y + radius),
        (x - bend, y + radius, x - radius, y + bend, x - radius, y),
        (x - radius, y - bend, x - bend, y - radius, x, y - radius),
        (x + bend, y - radius, x + radius, y - bend, x + radius, y),
    )
    drawn = " ".join(" ".join(f"{at:.2f}" for at in curve) + " c" for curve in curves)
    return f"0.4 w {x + radius:.2f} {y:.2f} m {drawn} s 0.8 w"


def _code(content: str, spot: tuple[float, float, float]) -> str:
    """The QR code as one path in modules, scaled to its side."""
    x, y, size = spot
    side, path = qr_path(content)
    module = size / (side + 2 * QUIET)
    inset = QUIET * module
    return f"q {module:.4f} 0 0 {module:.4f} {x + inset:.2f} {y + inset:.2f} cm {path}f Q"


def _cut_lines(placed: Placing) -> str:
    """Dashed lines across the page along both edges of every slip; none on adhesive sheets."""
    sheet, (right, down) = placed.sheet, placed.nudge
    if not sheet.cut_lines:
        return ""
    page_w, page_h = PAGES_PT[sheet.page]
    edge = 4 * MM
    lines = ["q 0.4 w [2 3] 0 d"]
    for x in _edges(sheet.left + right, sheet.columns, sheet.step_x, sheet.width):
        lines.append(f"{x * MM:.2f} {edge:.2f} m {x * MM:.2f} {page_h - edge:.2f} l")
    for y in _edges(sheet.top + down, sheet.rows, sheet.step_y, sheet.height):
        lines.append(f"{edge:.2f} {page_h - y * MM:.2f} m {page_w - edge:.2f} {page_h - y * MM:.2f} l")
    return " ".join((*lines, "S Q"))


def _edges(first: float, count: int, pitch: float, size: float) -> list[float]:
    """Both edges of every slip along one side of the page, in mm; where slips touch, one line serves both."""
    edges = (round(first + i * pitch + end, 3) for i in range(count) for end in (0.0, size))
    return list(dict.fromkeys(edges))
