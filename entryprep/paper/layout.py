"""What the lists share: page frame, footers with page numbers, styles, tick boxes, the frame of errors."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Sequence
from functools import lru_cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import black
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    Paragraph,
    SimpleDocTemplate,
    Spacer,
    Table,
    TableStyle,
)

from entryprep.paper.canvas import bookmark, compact, draw_line
from entryprep.paper.fonts import BOLD, REGULAR, has_extra, pieces, printable, register_fonts
from entryprep.paper.sheets import MM, PAGES_PT
from entryprep.paper.text import fitted, wrapped

MARGIN = 16 * MM
ROOM_BELOW = 20 * MM  # what must follow a title on its page
INSET = 6  # what reportlab's frame keeps free inside the margins, in points


@lru_cache(maxsize=16)
def style(size: float = 9.5, bold: bool = False, before: float = 0, after: float = 0) -> ParagraphStyle:
    """A paragraph style in the printing font."""
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
        return _FromTheRight(f"{lead} {text}".strip(), shape)
    said = f"<b>{_marked(lead, BOLD)}</b> " if lead else ""
    return Paragraph(said + _marked(text, BOLD if bold else REGULAR), shape)


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

    def draw(self) -> None:
        """Draw it."""
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, 0, self.width, self.height)


class _Numbered(Canvas):  # type: ignore[misc]
    """A canvas that writes "page 1 of 3" when all pages are known."""

    foot = ""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._pages: list[dict[str, Any]] = []
        self._marks: list[tuple[str, int]] = []

    def mark(self, title: str, level: int) -> None:
        """A bookmark to this page, written when the page is."""
        self._marks.append((title, level))

    def showPage(self) -> None:  # noqa: N802 - reportlab's name
        """Keep the page until the number of pages is known."""
        self._pages.append(dict(self.__dict__))
        self._marks = []
        self._startPage()

    def save(self) -> None:
        """Write all pages with their footers."""
        total = len(self._pages)
        for number, page in enumerate(self._pages, 1):
            marked = self.__dict__.get("bookmarks", 0)
            self.__dict__.update(page)
            self.bookmarks = marked
            for title, level in self._marks:
                bookmark(self, title, level)
            draw_line(self, MARGIN + INSET, 9 * MM, self._foot_text(), REGULAR, 8)
            self.setFont(REGULAR, 8)
            self.drawRightString(self._pagesize[0] - MARGIN - INSET, 9 * MM, f"page {number} of {total}")
            super().showPage()
        self.addPageLabel(0, "ARABIC", 1)
        self.setViewerPreference("DisplayDocTitle", "true")
        super().save()

    def _foot_text(self) -> str:
        room = self._pagesize[0] - 2 * MARGIN - 2 * INSET - 60
        return " ".join(fitted(self.foot, REGULAR, room, 8, 8, 1).lines)


def document(story: Sequence[Any], page: str, title: str, foot: str) -> bytes:
    """A PDF of flowables with title, footer and page numbers. Same input, same bytes."""
    register_fonts()
    stream = io.BytesIO()
    made = SimpleDocTemplate(
        stream,
        pagesize=PAGES_PT[page],
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=17 * MM,
        title=title,
        author="entryprep",
        lang="en",
        invariant=1,
    )
    with compact():
        made.build(list(story), canvasmaker=type("Numbered", (_Numbered,), {"foot": foot}))
    return stream.getvalue()


def inner_width(page: str) -> float:
    """Width between the margins, in points."""
    return PAGES_PT[page][0] - 2 * MARGIN - 2 * INSET


class _Mark(Flowable):  # type: ignore[misc]
    """A bookmark, without room of its own."""

    def __init__(self, title: str, level: int) -> None:
        super().__init__()
        self.title, self.level = title, level

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """No room."""
        return 0, 0

    def draw(self) -> None:
        """Say where it is."""
        self.canv.mark(self.title, self.level)


def heading(text: str) -> list[Flowable]:
    """The title of a page, with its bookmark."""
    return [_Mark(text, 0), words(text, 16, bold=True, after=4)]


def section(text: str) -> list[Flowable]:
    """The title of a section, with its bookmark; not at the very end of a page."""
    return [CondPageBreak(ROOM_BELOW), _Mark(text, 1), words(text, 11.5, bold=True, before=7, after=2)]


def framed(title: str, lines: Sequence[str], width: float) -> Table:
    """A framed block: a heavy line all round, a bold title."""
    rows = [[words(title, 10, bold=True)], *[[words(f"• {line}", 9)] for line in lines]]
    table = Table(rows, colWidths=[width], hAlign="LEFT", splitInRow=1)
    table.setStyle(
        TableStyle(
            [
                ("BOX", (0, 0), (-1, -1), 1.6, black),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
            ]
        )
    )
    return table


def ruled(head: Sequence[str], rows: Sequence[Sequence[Any]], widths: Sequence[float]) -> Table:
    """A table with a heavy line under its head and thin ones under its rows; the head comes again on each page."""
    cells = [[words(text, 8.5, bold=True) for text in head], *rows]
    table = Table(cells, colWidths=list(widths), repeatRows=1, hAlign="LEFT", splitInRow=1)
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


def error_block(errors: Sequence[str], page: str) -> list[Any]:
    """The frame that says a paper was printed in spite of errors; nothing where there are none."""
    if not errors:
        return []
    return [framed(despite(len(errors)), errors, inner_width(page)), Spacer(1, 3 * MM)]


def despite(count: int) -> str:
    """``Printed despite 2 errors:``."""
    return f"Printed despite {count} {'error' if count == 1 else 'errors'}:"


def error_page(canvas: Any, size: tuple[float, float], title: str, errors: Sequence[str]) -> None:
    """Whole pages with the errors in a frame, in front of sheets whose geometry must not move."""
    left, width, top = MARGIN + INSET, size[0] - 2 * MARGIN - 2 * INSET, size[1] - 32 * MM
    said = [(BOLD, despite(len(errors)))]
    for error in errors:
        first, *more = wrapped(printable(error), REGULAR, 10, width - 28) or [""]
        said += [(REGULAR, f"• {first}"), *((REGULAR, f"   {line}") for line in more)]
    room = int((top - MARGIN) // 14) - 1
    for start in range(0, len(said), room):
        lines = said[start : start + room]
        shown = fitted(title, BOLD, width, 16, 10, 1)
        draw_line(canvas, left, size[1] - 25 * MM, " ".join(shown.lines), BOLD, shown.size)
        canvas.setLineWidth(1.6)
        canvas.rect(left, top - 14 * len(lines) - 8, width, 14 * len(lines) + 8)
        for row, (font, line) in enumerate(lines, 1):
            draw_line(canvas, left + 8, top - 14 * row, line, font, 10)
        canvas.showPage()


def together(*parts: Any) -> KeepTogether:
    """Flowables that stay on one page."""
    return KeepTogether(list(parts))
