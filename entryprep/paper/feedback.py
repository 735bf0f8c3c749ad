"""Feedback sheets: the paragraphs of each entry on its own pages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any

from entryprep.paper.canvas import bookmark, new_canvas, saved
from entryprep.paper.fonts import BOLD, REGULAR, pieces, printable, width_pt
from entryprep.paper.placing import MM, PAGES_PT
from entryprep.paper.text import fitted, wrapped
from entryprep.receiving.feedback import CLOSING, HEAD, ITEM, SMALL, TEXT, TITLE, Block

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
UNDER_HEAD = 4.0
KEEP = 3  # lines that must follow a head on its page
WHOLE = 1 / 3  # of the page: a section no taller than this is not torn apart


def feedback_pdf(sheets: Iterable[Sequence[Block]], page: str) -> bytes:
    """Sheets one after the other, each from a page of its own, on "letter" or "a4"; same input, same bytes."""
    canvas, stream = new_canvas(page, "Feedback")
    drawn, forms = False, dict[Block, str]()
    for blocks in sheets:
        bookmark(canvas, next((block.text for block in blocks if block.kind == TITLE), "Entry"))
        _sheet(canvas, blocks, PAGES_PT[page], forms)
        drawn = True
    if not drawn:
        _sheet(canvas, (Block(TEXT, "No entry has been judged yet."),), PAGES_PT[page], forms)
    return saved(canvas, stream)


class _Pages:
    """The pages of one sheet: where the next line stands, and what is written on the page so far."""

    def __init__(self, canvas: Any, size: tuple[float, float], title: str, forms: dict[Block, str]) -> None:
        self.canvas, self.size, self.title, self.forms = canvas, size, title, forms
        self.y, self.number = size[1] - EDGE, 1
        self.written = canvas.beginText()  # one text for a page: drawing each line by itself takes twice as long

    def section(self, blocks: Sequence[Block]) -> None:
        """A head and what stands under it, on one page where it is short; on a page of its own rather than torn."""
        tall = sum(_above(block) + self._height(block) for block in blocks)
        if self.y - tall < FOOT and tall <= self.size[1] * WHOLE:
            self.turn()
        for block in blocks:
            self.block(block, _above(block))

    def _height(self, block: Block) -> float:
        points, _, indent, font = LOOKS[block.kind]
        lines = len(_lines(block, self.size[0] - 2 * EDGE - indent, points, font))
        return lines * points * LEADING + (UNDER_HEAD if block.kind == HEAD else 0.0)

    def turn(self) -> None:
        """Finish the page and begin the next."""
        self.end()
        self.written = self.canvas.beginText()
        self.y, self.number = self.size[1] - EDGE, self.number + 1

    def block(self, block: Block, above: float) -> None:
        """One paragraph; what is shared by many sheets is drawn once and only placed here."""
        points, _, indent, font = LOOKS[block.kind]
        lines = _lines(block, self.size[0] - 2 * EDGE - indent, points, font)
        step = points * LEADING
        self.y -= above
        if block.shared and self.y - step * len(lines) >= FOOT:
            self._place(block, lines, points)
            return
        for index, line in enumerate(lines):
            if self.y - step * (KEEP if index == 0 and block.kind == HEAD else 1) < FOOT:
                self.turn()
            self.y -= step
            _write(self.written, EDGE + indent, self.y, line, points)
        if block.kind == HEAD:
            self.canvas.setLineWidth(0.5)
            self.canvas.line(EDGE, self.y - 3, self.size[0] - EDGE, self.y - 3)
            self.y -= UNDER_HEAD

    def _place(self, block: Block, lines: _Lines, points: float) -> None:
        step = points * LEADING
        if block not in self.forms:
            self.forms[block] = f"shared-{len(self.forms)}"
            self.canvas.beginForm(
                self.forms[block], lowerx=0, lowery=-step * (len(lines) + 1), upperx=self.size[0], uppery=step
            )
            text = self.canvas.beginText()
            for index, line in enumerate(lines, 1):
                _write(text, EDGE + LOOKS[block.kind][2], -step * index, line, points)
            self.canvas.drawText(text)
            self.canvas.endForm()
        self.canvas.saveState()
        self.canvas.translate(0, self.y)
        self.canvas.doForm(self.forms[block])
        self.canvas.restoreState()
        self.y -= step * len(lines)

    def end(self) -> None:
        """Finish the page."""
        self.canvas.drawText(self.written)
        _foot(self.canvas, self.size, self.title, self.number)
        self.canvas.showPage()


def _sheet(canvas: Any, blocks: Sequence[Block], size: tuple[float, float], forms: dict[Block, str]) -> None:
    pages = _Pages(canvas, size, next((block.text for block in blocks if block.kind == TITLE), ""), forms)
    section: list[Block] = []
    for block in blocks:
        if block.kind == HEAD and section:
            pages.section(section)
            section = []
        section.append(block)
    pages.section(section)
    pages.end()


def _above(block: Block) -> float:
    return LAST_ABOVE if block.text == CLOSING else LOOKS[block.kind][1]


def _write(text: Any, x: float, y: float, line: list[tuple[str, str]], points: float) -> None:
    text.setTextOrigin(x, y)
    drawn = [(piece, face) for words, font in line for face, piece in pieces(words, font)] or [("", REGULAR)]
    for words, face in drawn[:-1]:
        text.setFont(face, points)
        text.textOut(words)
    words, face = drawn[-1]
    text.setFont(face, points)
    text.textLine(words)  # unlike textOut it does not measure what it writes


_Lines = list[list[tuple[str, str]]]


@lru_cache(maxsize=4096)  # what is said of a fault comes again on many sheets
def _lines(block: Block, room: float, points: float, font: str) -> _Lines:
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
