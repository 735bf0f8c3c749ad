"""Slips for bottles: one each, cut from plain paper and held by a rubber band."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from entryprep.entering.plan import Slip
from entryprep.paper.fonts import BOLD, REGULAR, printable, register_fonts
from entryprep.paper.layout import error_page
from entryprep.paper.qr import QUIET, qr_rows
from entryprep.paper.sheets import MM, PAGES_PT, Sheet
from entryprep.paper.text import Fitted, fitted

PAD = 4 * MM  # text keeps at least 2 mm inside the slip (common practice)
QR_MODULE = 0.6 * MM  # 0.5 mm is recommended for phones (from memory)
QR_SIDE = (21 + 2 * QUIET) * QR_MODULE
STUB = 13 * MM
HINTS = {
    "rubber-band": "Hold with a rubber band; no tape, no glue.",
    "tape": "Hold with tape as the competition says.",
    "any": "",
}


@dataclass(frozen=True)
class Overflow:
    """A field of a slip that did not fit even at its smallest size."""

    code: str
    field: str


@dataclass(frozen=True)
class _Line:
    """One block of text in the body of a slip."""

    field: str
    text: str
    font: str
    largest: float
    most_lines: int
    beside_qr: bool = False


def slips_pdf(slips: Sequence[Slip], sheet: Sheet, title: str, errors: Sequence[str] = ()) -> bytes:
    """A PDF of slips on sheets of paper; errors, if any, stand on a first page of their own. Same input, same bytes."""
    register_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=PAGES_PT[sheet.page], invariant=1, pageCompression=1, lang="en")
    canvas.setTitle(title)
    canvas.setAuthor("entryprep")
    if errors:
        error_page(canvas, PAGES_PT[sheet.page], title, errors)
    for place, slip in enumerate(slips):
        if place % sheet.per_page == 0:
            if place:
                canvas.showPage()
            _cut_lines(canvas, sheet)
        x, y = sheet.corner_pt(place)
        _draw(canvas, slip, x, y, sheet)
    canvas.showPage()
    canvas.save()
    return stream.getvalue()


def slip_overflows(slips: Sequence[Slip], sheet: Sheet) -> list[Overflow]:
    """Fields that are cut, one each per entry and field."""
    register_fonts()
    found: dict[Overflow, None] = {}
    for slip in slips:
        if slip.bottle == 1:
            for line, text in _body(slip, sheet):
                if text.cut:
                    found[Overflow(slip.number or slip.code, line.field)] = None
    return list(found)


def _body(slip: Slip, sheet: Sheet) -> list[tuple[_Line, Fitted]]:
    """The text blocks between number and foot, fitted; the declaration gets the lines that are left."""
    full = sheet.width * MM - 2 * PAD
    narrow = full - QR_SIDE
    height = sheet.height * MM - (STUB if slip.identity else 0)
    lines = [
        _Line("category", f"{slip.category_code}: {slip.category_name}", BOLD, 11, 2, beside_qr=True),
        _Line("style", slip.style, BOLD, 10, 2),
        _Line("base", f"Base: {slip.base}" if slip.base else "", REGULAR, 9, 1),
        _Line("allergens", f"Allergens: {', '.join(slip.allergens)}" if slip.allergens else "", REGULAR, 8.5, 2),
    ]
    done = [
        (ln, fitted(ln.text, ln.font, narrow if ln.beside_qr else full, ln.largest, 8, ln.most_lines)) for ln in lines
    ]
    used = sum(_height(text) for ln, text in done if not ln.beside_qr)
    head = max(QR_SIDE - PAD + 1 * MM, 14 * MM + _height(done[0][1]))
    left = height - head - 2 * PAD - 8 * MM - used
    room = max(1, int(left // (8 * 1.2)))
    text = _Line("declaration", slip.declaration, REGULAR, 9, room)
    best = next(
        (f for size in (9.0, 8.5) if _height(f := fitted(text.text, text.font, full, size, size, 99)) <= left),
        None,
    )
    done.insert(3, (text, best or fitted(text.text, text.font, full, 8, 8, room)))
    return [(ln, f) for ln, f in done if f.lines]


def _height(text: Fitted) -> float:
    return len(text.lines) * text.size * 1.2 + (0.8 * MM if text.lines else 0)


def _draw(canvas: Any, slip: Slip, x: float, y: float, sheet: Sheet) -> None:
    width, height = sheet.width * MM, sheet.height * MM
    bottom = y
    if slip.identity:
        _stub(canvas, slip, x, y, width)
        bottom += STUB
    top = y + height
    _qr(canvas, slip.code, x + width - QR_SIDE, top - QR_SIDE)
    _number(canvas, slip, x + PAD, top)
    cursor = top - 14 * MM
    for line, text in _body(slip, sheet):
        if not line.beside_qr and cursor > top - QR_SIDE + PAD - 1 * MM:
            cursor = top - QR_SIDE + PAD - 1 * MM
        block = canvas.beginText(x + PAD, cursor - text.size)
        block.setFont(line.font, text.size, text.size * 1.2)
        for words in text.lines:
            block.textLine(words)
        canvas.drawText(block)
        cursor -= _height(text)
    _foot(canvas, slip, x + PAD, bottom + PAD - 1 * MM, width - 2 * PAD)


def _number(canvas: Any, slip: Slip, x: float, top: float) -> None:
    canvas.setFont(REGULAR, 8)
    canvas.drawString(x, top - PAD - 2, "Entry no.")
    if slip.number:
        text = fitted(slip.number, BOLD, 42 * MM, 22, 14, 1)
        canvas.setFont(BOLD, text.size)
        canvas.drawString(x, top - 12.2 * MM, text.lines[0])
    else:
        canvas.setLineWidth(0.8)
        canvas.line(x, top - 12.6 * MM, x + 42 * MM, top - 12.6 * MM)


def _foot(canvas: Any, slip: Slip, x: float, y: float, width: float) -> None:
    canvas.setFont(BOLD, 8)
    canvas.drawString(x, y + 10, f"Bottle {slip.bottle} of {slip.bottles}")
    name = fitted(slip.competition, REGULAR, width - 30 * MM, 8, 8, 1)
    canvas.setFont(REGULAR, 8)
    canvas.drawRightString(x + width, y + 10, name.lines[0] if name.lines else "")
    hint = HINTS[slip.attach]
    canvas.drawString(x, y, hint)
    if not slip.number:
        canvas.drawRightString(x + width, y, f"code {printable(slip.code)}")


def _stub(canvas: Any, slip: Slip, x: float, y: float, width: float) -> None:
    canvas.setDash(3, 2)
    canvas.setLineWidth(0.6)
    canvas.line(x + 1 * MM, y + STUB, x + width - 1 * MM, y + STUB)
    canvas.setDash()
    canvas.setFont(REGULAR, 8)
    canvas.drawRightString(x + width - PAD, y + STUB - 10, "cut off before judging")
    cursor = y + STUB - 10
    for index, line in enumerate(slip.identity[:3]):
        room = width - 2 * PAD - (30 * MM if index == 0 else 0)
        text = fitted(line, BOLD if index == 0 else REGULAR, room, 8.5, 8, 1)
        canvas.setFont(BOLD if index == 0 else REGULAR, text.size)
        canvas.drawString(x + PAD, cursor, text.lines[0])
        cursor -= 9.6


def _qr(canvas: Any, content: str, x: float, y: float) -> None:
    """The code as a form that all bottles of an entry share."""
    name = f"qr-{content}"
    side, runs = qr_rows(content)
    module = QR_SIDE / (side + 2 * QUIET)
    if not canvas.hasForm(name):
        canvas.beginForm(name)
        path = canvas.beginPath()
        for column, row, length in runs:
            path.rect((QUIET + column) * module, (QUIET + side - 1 - row) * module, length * module, module)
        canvas.drawPath(path, stroke=0, fill=1)
        canvas.endForm()
    canvas.saveState()
    canvas.translate(x, y)
    canvas.doForm(name)
    canvas.restoreState()


def _cut_lines(canvas: Any, sheet: Sheet) -> None:
    if not sheet.cut_lines:
        return
    page_w, page_h = PAGES_PT[sheet.page]
    canvas.setLineWidth(0.4)
    canvas.setDash(2, 3)
    for column in range(sheet.columns + 1):
        x = (sheet.left + column * sheet.pitch_x) * MM
        canvas.line(x, 4 * MM, x, page_h - 4 * MM)
    for row in range(sheet.rows + 1):
        y = page_h - (sheet.top + row * sheet.pitch_y) * MM
        canvas.line(4 * MM, y, page_w - 4 * MM, y)
    canvas.setDash()
