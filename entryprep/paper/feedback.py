"""Feedback sheets: the paragraphs of each entry on its own pages."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from entryprep.paper.fonts import BOLD, REGULAR, printable, register_fonts, width_pt
from entryprep.paper.sheets import MM, PAGES_PT
from entryprep.paper.text import fitted, wrapped
from entryprep.receiving.feedback import HEAD, ITEM, SMALL, TEXT, TITLE, Block

EDGE, FOOT = 18 * MM, 18 * MM
# kind: size, space above, indent, font
LOOKS = {
    TITLE: (18.0, 0.0, 0.0, BOLD),
    HEAD: (11.5, 9.0, 0.0, BOLD),
    TEXT: (10.0, 2.0, 0.0, REGULAR),
    ITEM: (10.0, 2.0, 4 * MM, REGULAR),
    SMALL: (8.0, 2.0, 4 * MM, REGULAR),
}
LEADING = 1.3
LAST_ABOVE = 10.0
KEEP = 3  # lines that must follow a head on its page


def feedback_pdf(sheets: Iterable[Sequence[Block]], page: str) -> bytes:
    """Sheets one after the other, each from a page of its own, on "letter" or "a4"; same input, same bytes."""
    register_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=PAGES_PT[page], invariant=1, pageCompression=1)
    canvas.setTitle("Feedback")
    canvas.setAuthor("entryprep")
    drawn = False
    for blocks in sheets:
        _sheet(canvas, blocks, PAGES_PT[page])
        drawn = True
    if not drawn:
        _sheet(canvas, (Block(TEXT, "No entry has been judged yet."),), PAGES_PT[page])
    canvas.save()
    return stream.getvalue()


def _sheet(canvas: Any, blocks: Sequence[Block], size: tuple[float, float]) -> None:
    width, height = size
    title = next((block.text for block in blocks if block.kind == TITLE), "")
    y, number = height - EDGE, 1
    written = canvas.beginText()  # one text for a page: drawing each line by itself takes twice as long
    for block in blocks:
        points, above, indent, font = LOOKS[block.kind]
        lines = _lines(block, width - 2 * EDGE - indent, points, font)
        step = points * LEADING
        keep = KEEP if block.kind == HEAD else 1
        y -= LAST_ABOVE if block is blocks[-1] and block.kind == SMALL else above
        for index, line in enumerate(lines):
            if y - step * (keep if index == 0 else 1) < FOOT:
                canvas.drawText(written)
                _foot(canvas, size, title, number)
                canvas.showPage()
                written = canvas.beginText()
                y, number = height - EDGE, number + 1
            y -= step
            written.setTextOrigin(EDGE + indent, y)
            for words, face in line:
                written.setFont(face, points)
                written.textOut(words)
        if block.kind == HEAD:
            canvas.setLineWidth(0.5)
            canvas.line(EDGE, y - 3, width - EDGE, y - 3)
            y -= 4
    canvas.drawText(written)
    _foot(canvas, size, title, number)
    canvas.showPage()


def _lines(block: Block, room: float, points: float, font: str) -> list[list[tuple[str, str]]]:
    """Lines as pieces of text and font; the lead stands in bold on the first."""
    text = printable(block.text)
    if not block.lead:
        return [[(line, font)] for line in wrapped(text, font, points, room)]
    lead = printable(block.lead)
    lead_lines = wrapped(lead, BOLD, points, room)
    taken = width_pt(f"{lead_lines[-1]} ", BOLD, points) if lead_lines else 0.0
    first, rest = _first_line(text, room - taken, font, points)
    lines = [[(line, BOLD)] for line in lead_lines[:-1]]
    lines.append([(f"{lead_lines[-1]} ", BOLD), (first, font)] if lead_lines else [(first, font)])
    return lines + [[(line, font)] for line in wrapped(rest, font, points, room)]


def _first_line(text: str, room: float, font: str, points: float) -> tuple[str, str]:
    """The words that fit on a line already begun, and the rest."""
    words = text.split()
    count, used = 0, ""
    while count < len(words) and width_pt(f"{used} {words[count]}".strip(), font, points) <= room:
        used = f"{used} {words[count]}".strip()
        count += 1
    return used, " ".join(words[count:])


def _foot(canvas: Any, size: tuple[float, float], title: str, number: int) -> None:
    canvas.setFont(REGULAR, 8)
    canvas.drawString(EDGE, 9 * MM, " ".join(fitted(title, REGULAR, size[0] - 2 * EDGE - 30 * MM, 8, 8, 1).lines))
    canvas.drawRightString(size[0] - EDGE, 9 * MM, f"page {number}")
