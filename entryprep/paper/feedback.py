"""Feedback sheets: the paragraphs of each entry on its own pages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

from entryprep.paper.canvas import bookmark, new_canvas, saved
from entryprep.paper.fonts import BOLD, REGULAR, printable, width_pt
from entryprep.paper.pen import Pen
from entryprep.paper.placing import MM, PAGES_PT
from entryprep.paper.text import first_line, fitted, wrapped
from entryprep.receiving.feedback import CLOSING, HEAD, ITEM, SMALL, TEXT, TITLE, Block

EDGE, FOOT = 18 * MM, 18 * MM
LAST_ABOVE = 10.0
UNDER_HEAD = 4.0
KEEP = 3  # lines that must follow a head on its page
WHOLE = 1 / 3  # of the page: a section no taller than this is not torn apart


@dataclass(frozen=True, eq=False)
class Setting:
    """How kinds of paragraph are set: size, space above and indent in points, font; lines apart in sizes."""

    looks: Mapping[str, tuple[float, float, float, str]]
    leading: float


def _setting(title: float, head: float, text: float, above_head: float, above: float, leading: float) -> Setting:
    indent, small = 4 * MM, 8.0
    return Setting(
        {
            TITLE: (title, 0.0, 0.0, BOLD),
            HEAD: (head, above_head, 0.0, BOLD),
            TEXT: (text, above, 0.0, REGULAR),
            ITEM: (text, above, indent, REGULAR),
            SMALL: (small, above, indent, REGULAR),
            CLOSING: (small, LAST_ABOVE, indent, REGULAR),
        },
        leading,
    )


USUAL = _setting(title=18.0, head=11.5, text=10.0, above_head=9.0, above=2.0, leading=1.3)
# for a sheet that would else run a little over its page
CLOSE = _setting(title=16.0, head=10.5, text=9.0, above_head=6.0, above=1.0, leading=1.22)


def feedback_pdf(sheets: Iterable[Sequence[Block]], page: str) -> bytes:
    """Sheets one after the other, each from a page of its own, on "letter" or "a4"; same input, same bytes."""
    canvas, stream = new_canvas(page, "Feedback")
    drawn, forms = False, _Forms()
    for blocks in sheets:
        bookmark(canvas, _title(blocks) or "Entry")
        _sheet(canvas, blocks, PAGES_PT[page], forms)
        drawn = True
    if not drawn:
        _sheet(canvas, (Block(TEXT, "No entry has been judged yet."),), PAGES_PT[page], forms)
    return saved(canvas, stream)


_Lines = list[list[tuple[str, str]]]


class _Set(NamedTuple):
    """One paragraph as it is set: its lines as pieces of text and font, how far apart they are, the space above it, how
    high its lines are, and how tall it is with the space around it."""

    block: Block
    lines: _Lines
    size: float
    step: float
    above: float
    indent: float
    high: float
    tall: float


_Forms = dict[tuple[Block, float], str]


class _Pages:
    """The pages of one sheet: where the next line stands, and what is written on the page so far."""

    def __init__(self, canvas: Any, size: tuple[float, float], title: str, forms: _Forms) -> None:
        self.canvas, self.size, self.title, self.forms = canvas, size, title, forms
        self.y, self.number = size[1] - EDGE, 1
        self.pen = Pen(canvas)  # one text for a page
        self.rules: list[str] = []

    def section(self, parts: Sequence[_Set]) -> None:
        """A head and what stands under it, on one page where it is short; on a page of its own rather than torn."""
        tall = sum(part.tall for part in parts)
        if self.y - tall < FOOT and tall <= self.size[1] * WHOLE:
            self.turn()
        for part in parts:
            self.paragraph(part)

    def turn(self) -> None:
        """Finish the page and begin the next."""
        self.end()
        self.pen, self.rules = Pen(self.canvas), []
        self.y, self.number = self.size[1] - EDGE, self.number + 1

    def paragraph(self, part: _Set) -> None:
        """One paragraph; what is shared by many sheets is drawn once and only placed here."""
        self.y -= part.above
        if part.block.shared and self.y - part.high >= FOOT:
            self._place(part)
            return
        head = part.block.kind == HEAD
        for index, line in enumerate(part.lines):
            if self.y - part.step * (KEEP if index == 0 and head else 1) < FOOT:
                self.turn()
            self.y -= part.step
            self.pen.write(EDGE + part.indent, self.y, line, part.size)
        if head:
            self.rules.append(f"{EDGE:.2f} {self.y - 3:.2f} m {self.size[0] - EDGE:.2f} {self.y - 3:.2f} l")
            self.y -= UNDER_HEAD

    def _place(self, part: _Set) -> None:
        key, tall = (part.block, part.size), part.high
        if key not in self.forms:
            self.forms[key] = f"shared-{len(self.forms)}"
            self.canvas.beginForm(
                self.forms[key], lowerx=0, lowery=-tall - part.step, upperx=self.size[0], uppery=part.step
            )
            pen = Pen(self.canvas)
            for index, line in enumerate(part.lines, 1):
                pen.write(EDGE + part.indent, -part.step * index, line, part.size)
            self.canvas.addLiteral(pen.operators)
            self.canvas.endForm()
        self.canvas.addLiteral(f"q 1 0 0 1 0 {self.y:.2f} cm")
        self.canvas.doForm(self.forms[key])
        self.canvas.addLiteral("Q")
        self.y -= tall

    def end(self) -> None:
        """Finish the page."""
        title = " ".join(fitted(self.title, REGULAR, self.size[0] - 2 * EDGE - 30 * MM, 8, 8, 1).lines)
        number = f"{self.number}"  # no word: sheets are in several languages
        self.pen.write(EDGE, 9 * MM, ((title, REGULAR),), 8)
        self.pen.write(self.size[0] - EDGE - width_pt(number, REGULAR, 8), 9 * MM, ((number, REGULAR),), 8)
        if self.rules:
            self.canvas.addLiteral(f"0.5 w {' '.join(self.rules)} S")
        self.canvas.addLiteral(self.pen.operators)
        self.canvas.showPage()


def _title(blocks: Sequence[Block]) -> str:
    return next((block.text for block in blocks if block.kind == TITLE), "")


def _sheet(canvas: Any, blocks: Sequence[Block], size: tuple[float, float], forms: _Forms) -> None:
    """One sheet, closer set where it then stands on one page."""
    room, high = size[0] - 2 * EDGE, size[1] - EDGE - FOOT
    parts = [_set(block, USUAL, room) for block in blocks]
    if sum(part.tall for part in parts) > high:
        close = [_set(block, CLOSE, room) for block in blocks]
        parts = close if sum(part.tall for part in close) <= high else parts
    pages = _Pages(canvas, size, _title(blocks), forms)
    section: list[_Set] = []
    for part in parts:
        if part.block.kind == HEAD and section:
            pages.section(section)
            section = []
        section.append(part)
    pages.section(section)
    pages.end()


@lru_cache(maxsize=4096)  # what is said of a fault comes again on many sheets
def _set(block: Block, setting: Setting, room: float) -> _Set:
    size, above, indent, font = setting.looks[block.kind]
    lines = _lines(block, room - indent, size, font)
    step = size * setting.leading
    high = step * len(lines)
    below = UNDER_HEAD if block.kind == HEAD else 0.0  # the rule under a head and what it keeps free
    return _Set(block, lines, size, step, above, indent, high, above + high + below)


def _lines(block: Block, room: float, points: float, font: str) -> _Lines:
    """Lines as pieces of text and font; the lead stands in bold on the first."""
    text = printable(block.text)
    if not block.lead:
        return [[(line, font)] for line in wrapped(text, font, points, room)]
    lead = printable(block.lead)
    lead_lines = wrapped(lead, BOLD, points, room)
    taken = width_pt(f"{lead_lines[-1]} ", BOLD, points) if lead_lines else 0.0
    first, rest = first_line(text, font, points, room - taken)
    lines = [[(line, BOLD)] for line in lead_lines[:-1]]
    lines.append([(f"{lead_lines[-1]} ", BOLD), (first, font)] if lead_lines else [(first, font)])
    return lines + [[(line, font)] for line in wrapped(rest, font, points, room)]
