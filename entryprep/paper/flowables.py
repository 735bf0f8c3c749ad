"""What the lists are built of: paragraphs of users' text, titles with bookmarks, tick boxes, frames and tables."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import black
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, Paragraph, TableStyle
from reportlab.platypus import Table as PlainTable

from entryprep.paper.canvas import draw_line
from entryprep.paper.fonts import BOLD, REGULAR, has_extra, pieces, printable, register_fonts
from entryprep.paper.placing import MM
from entryprep.paper.text import wrapped


@dataclass(frozen=True)
class Said:
    """What a paragraph says, for those who read it elsewhere than on paper; ``level`` 1 and 2 are titles, 0 is none."""

    text: str
    lead: str = ""
    bold: bool = False
    level: int = 0


class Table(PlainTable):  # type: ignore[misc]
    """A table whose cells stand in the printing font: reportlab's own names one in the PDF that is not embedded.

    ``head`` names the columns of a table of figures ("" for boxes to tick); ``frame`` is the title and the lines of a
    framed block. One that has neither only places what it holds.
    """

    head: tuple[str, ...] = ()
    frame: tuple[str, tuple[str, ...]] | None = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.setStyle(TableStyle([("FONTNAME", (0, 0), (-1, -1), REGULAR)]))


@lru_cache(maxsize=16)
def style(size: float = 9.5, bold: bool = False, before: float = 0, after: float = 0) -> ParagraphStyle:
    """A paragraph style in the printing font."""
    register_fonts()
    return ParagraphStyle(
        f"s{size}{bold}{before}{after}",
        fontName=BOLD if bold else REGULAR,
        fontSize=size,
        leading=size * 1.28,
        spaceBefore=before,
        spaceAfter=after,
        splitLongWords=1,
    )


def words(
    text: str, size: float = 9.5, bold: bool = False, before: float = 0, after: float = 0, lead: str = ""
) -> Flowable:
    """A paragraph of users' text: only ever text, never markup. ``lead`` stands in front of it in bold."""
    shape = style(size, bold, before, after)
    if has_extra() and any(unicodedata.bidirectional(c) in {"R", "AL"} for c in text + lead):
        made: Flowable = _FromTheRight(f"{lead} {text}".strip(), shape)
    else:
        front = f"<b>{_marked(lead, BOLD)}</b> " if lead else ""
        made = Paragraph(front + _marked(text, BOLD if bold else REGULAR), shape)
    made.said = Said(text, lead, bold)
    return made


def sentence(text: str) -> str:
    """Words of a finding as a sentence: a capital, a full stop, and what is to be typed between quotation marks."""
    plain = re.sub("`([^`]*)`", "“\\1”", text)
    return f"{plain[:1].upper()}{plain[1:].rstrip(' .')}."


def reason(why: str) -> str:
    """Why a finding matters as sentences: its source, which stands last between brackets, as one of its own."""
    told, bracket, source = why.partition(". (")
    if not bracket or not source.endswith(")"):
        return f"{why.rstrip(' .')}."
    return f"{told}. Source: {source[:-1].rstrip(' .')}."


def _marked(text: str, font: str) -> str:
    """Text as markup that means the text and nothing else, letters of the second font in it."""
    clean = printable(text)
    return "".join(
        escape(piece) if name in {REGULAR, BOLD} else f'<font face="{name}">{escape(piece)}</font>'
        for name, piece in pieces(clean, font)
    )


class _FromTheRight(Flowable):  # type: ignore[misc]
    """A paragraph with words that are written from right to left: broken into lines first, each line then turned."""

    def __init__(self, text: str, shape: ParagraphStyle) -> None:
        super().__init__()
        self.text = printable(text)
        self.shape = shape
        self.spaceBefore, self.spaceAfter = shape.spaceBefore, shape.spaceAfter
        self.lines: list[str] = []

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        """Break the lines."""
        self.lines = wrapped(self.text, self.shape.fontName, self.shape.fontSize, width)
        return width, self.shape.leading * max(len(self.lines), 1)

    def split(self, width: float, height: float) -> list[Flowable]:
        """As many lines as fit, and the rest."""
        self.wrap(width, height)
        fit = int(height // self.shape.leading)
        if not 0 < fit < len(self.lines):
            return []
        return [_FromTheRight(" ".join(lines), self.shape) for lines in (self.lines[:fit], self.lines[fit:])]

    def draw(self) -> None:
        """Draw the lines."""
        top = self.shape.leading * max(len(self.lines), 1) - self.shape.fontSize
        for row, line in enumerate(self.lines):
            draw_line(self.canv, 0, top - row * self.shape.leading, line, self.shape.fontName, self.shape.fontSize)


class TickBox(Flowable):  # type: ignore[misc]
    """An empty square to tick."""

    def __init__(self, side: float = 3.4 * MM) -> None:
        super().__init__()
        self.width = self.height = side

    def as_html(self, _deeper: int) -> str:
        """It, outside a list of what is to be done."""
        return '<input type="checkbox" aria-label="done">'

    def draw(self) -> None:
        """Draw it."""
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, 0, self.width, self.height)


def heading(text: str, level: int = 1) -> Flowable:
    """The title of a page, ``level`` 2 where the page belongs to a paper with a title; the document bookmarks it."""
    title = words(text, 16, bold=True, after=4)
    title.bookmark, title.said = (text, 0), Said(text, bold=True, level=level)
    return title


def section(text: str) -> Flowable:
    """The title of a section; the document makes a bookmark of it and does not leave it at the end of a page."""
    title = words(text, 11.5, bold=True, before=7, after=2)
    title.bookmark, title.said = (text, 1), Said(text, bold=True, level=2)
    return title


class _Bookmark(Flowable):  # type: ignore[misc]
    """Nothing to see: a bookmark to the page it comes to stand on, for titles inside tables."""

    silent = True

    def __init__(self, title: str) -> None:
        super().__init__()
        self.title = title
        self.width = self.height = 0

    def draw(self) -> None:
        """Mark the page."""
        self.canv.mark(self.title, 1)


def part_title(text: str) -> list[Flowable]:
    """The title of a part of a page that stands in a column; the document makes a bookmark of it."""
    title = words(text, 11.5, bold=True, before=7, after=2)
    title.said = Said(text, bold=True, level=2)
    return [_Bookmark(text), title]


def framed(title: str, lines: Sequence[str], width: float) -> Table:
    """A framed block: a heavy line all round, a bold title."""
    rows = [[words(title, 10, bold=True)], *[[words(f"• {line}", 8.5)] for line in lines]]
    table = Table(rows, colWidths=[width], hAlign="LEFT", splitInRow=1)
    table.frame = (title, tuple(lines))
    table.setStyle(
        TableStyle(
            [
                ("BOX", (0, 0), (-1, -1), 1.6, black),
                ("TOPPADDING", (0, 0), (-1, -1), 1),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
                ("BOTTOMPADDING", (0, -1), (-1, -1), 3),
            ]
        )
    )
    return table


def ruled(head: Sequence[str], rows: Sequence[Sequence[Any]], widths: Sequence[float]) -> Table:
    """A table with a heavy line under its head and thin ones under its rows; the head comes again on each page."""
    cells = [[words(text, 8.5, bold=True) for text in head], *rows]
    table = Table(cells, colWidths=list(widths), repeatRows=1, hAlign="LEFT", splitInRow=1)
    table.head = tuple(head)
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LINEBELOW", (0, 0), (-1, 0), 0.8, black),
                ("LINEBELOW", (0, 1), (-1, -1), 0.25, black),
                ("LEFTPADDING", (0, 0), (-1, -1), 2),
                ("RIGHTPADDING", (0, 0), (-1, -1), 2),
                ("TOPPADDING", (0, 0), (-1, -1), 2.5),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
            ]
        )
    )
    return table


def together(*parts: Any) -> KeepTogether:
    """Flowables that stay on one page."""
    return KeepTogether(list(parts))
