"""Slips for bottles: one each, cut from plain paper and held by a rubber band."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from entryprep.entering.plan import Slip
from entryprep.paper.fonts import BOLD, register_fonts
from entryprep.paper.layout import error_page
from entryprep.paper.qr import QUIET, qr_rows
from entryprep.paper.sheets import MM, PAGES_PT, Placing, PrintingError
from entryprep.paper.sliptext import CODE_EDGE, PAD, RULE, SMALLEST_MM, STUB, code_side, slip_text
from entryprep.records.sheet import Sheet


@dataclass(frozen=True)
class Overflow:
    """A field of a slip that did not fit even at its smallest size."""

    code: str
    field: str


def slips_pdf(slips: Sequence[Slip], placed: Placing, title: str, errors: Sequence[str] = ()) -> bytes:
    """A PDF of slips on sheets of paper; errors, if any, stand on a first page of their own. Same input, same bytes.

    Raises PrintingError for a sheet whose slips are smaller than 80 × 50.8 mm, ValueError for a code of more than
    106 bytes.
    """
    sheet = placed.sheet
    if sheet.width < SMALLEST_MM[0] or sheet.height < SMALLEST_MM[1]:
        raise PrintingError(
            f"the slips of {sheet.called} are {sheet.width:g} × {sheet.height:g} mm; "
            f"this slip needs {SMALLEST_MM[0]:g} × {SMALLEST_MM[1]:g} mm",
            "use a sheet with larger slips",
        )
    register_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=PAGES_PT[sheet.page], invariant=1, pageCompression=1, lang="en")
    canvas.setTitle(title)
    canvas.setAuthor("entryprep")
    if errors:
        error_page(canvas, PAGES_PT[sheet.page], title, errors)
    corners = placed.corners_pt()
    for place, slip in enumerate(slips, placed.start - 1):
        on_page = place % sheet.per_page
        if on_page == 0 or place == placed.start - 1:
            if place >= sheet.per_page:
                canvas.showPage()
            _cut_lines(canvas, placed)
        _draw(canvas, slip, *corners[on_page], sheet)
    canvas.showPage()
    canvas.save()
    return stream.getvalue()


def slip_overflows(slips: Sequence[Slip], sheet: Sheet) -> list[Overflow]:
    """Fields that are cut, one each per entry and field."""
    register_fonts()
    found: dict[Overflow, None] = {}
    for slip in slips:
        for field in slip_text(replace(slip, bottle=1), sheet.width, sheet.height).cut:
            found[Overflow(slip.number or slip.code, field)] = None
    return list(found)


def _draw(canvas: Any, slip: Slip, x: float, y: float, sheet: Sheet) -> None:
    width, height = sheet.width * MM, sheet.height * MM
    text = canvas.beginText()
    for item in slip_text(replace(slip, bottle=1), sheet.width, sheet.height).texts:
        text.setFont(item.font, item.size, item.leading)
        text.setTextOrigin(x + item.x, y + item.y)
        for line in item.lines:
            text.textLine(line)
    text.setFont(BOLD, 8)
    text.setTextOrigin(x + PAD, y + (STUB if slip.identity else 0) + PAD - 1 * MM)
    text.textLine(f"Bottle {slip.bottle} of {slip.bottles}")
    canvas.drawText(text)
    side = code_side(slip.code)
    _code(canvas, slip.code, x + width - side - CODE_EDGE, y + height - side - CODE_EDGE, side)
    canvas.setLineWidth(0.8)
    if not slip.number:
        canvas.line(x + PAD, y + height - RULE, x + PAD + 42 * MM, y + height - RULE)
    if slip.identity:
        canvas.setDash(3, 2)
        canvas.line(x + 1 * MM, y + STUB, x + width - 1 * MM, y + STUB)
        canvas.setDash()


def _code(canvas: Any, content: str, x: float, y: float, size: float) -> None:
    """The QR code as a form that all bottles of an entry share: one path, in modules, scaled to ``size``."""
    name = f"qr-{content}"
    side, runs = qr_rows(content)
    if not canvas.hasForm(name):
        canvas.beginForm(name, upperx=side, uppery=side)
        canvas.addLiteral(" ".join(f"{column} {side - 1 - row} {length} 1 re" for column, row, length in runs) + " f")
        canvas.endForm()
    module = size / (side + 2 * QUIET)
    canvas.saveState()
    canvas.transform(module, 0, 0, module, x + QUIET * module, y + QUIET * module)
    canvas.doForm(name)
    canvas.restoreState()


def _cut_lines(canvas: Any, placed: Placing) -> None:
    sheet, (right, down) = placed.sheet, placed.nudge
    if not sheet.cut_lines:
        return
    if not canvas.hasForm("cut-lines"):
        page_w, page_h = PAGES_PT[sheet.page]
        canvas.beginForm("cut-lines", upperx=page_w, uppery=page_h)
        canvas.setLineWidth(0.4)
        canvas.setDash(2, 3)
        for x in _edges(sheet.left + right, sheet.columns, sheet.step_x, sheet.width):
            canvas.line(x * MM, 4 * MM, x * MM, page_h - 4 * MM)
        for y in _edges(sheet.top + down, sheet.rows, sheet.step_y, sheet.height):
            canvas.line(4 * MM, page_h - y * MM, page_w - 4 * MM, page_h - y * MM)
        canvas.endForm()
    canvas.doForm("cut-lines")


def _edges(first: float, count: int, pitch: float, size: float) -> list[float]:
    """Both edges of every slip along one side of the page, in mm; where slips touch, one line serves both."""
    edges = (round(first + i * pitch + end, 3) for i in range(count) for end in (0.0, size))
    return list(dict.fromkeys(edges))
