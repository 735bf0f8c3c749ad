"""What the lists share: page frame, footers with page numbers, styles, tick boxes, the frame of errors."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import lru_cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import black
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, KeepTogether, Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

from entryprep.paper.fonts import BOLD, REGULAR, printable, register_fonts
from entryprep.paper.sheets import MM, PAGES_PT
from entryprep.paper.text import fitted, wrapped

MARGIN = 16 * MM
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
) -> Paragraph:
    """A paragraph of users' text: only ever text, never markup. ``lead`` stands in front of it in bold."""
    said = f"<b>{escape(printable(lead))}</b> " if lead else ""
    return Paragraph(said + escape(printable(text)), style(size, bold, before, after))


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

    def showPage(self) -> None:  # noqa: N802 - reportlab's name
        """Keep the page until the number of pages is known."""
        self._pages.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Write all pages with their footers."""
        total = len(self._pages)
        for number, page in enumerate(self._pages, 1):
            self.__dict__.update(page)
            self.setFont(REGULAR, 8)
            self.drawString(MARGIN + INSET, 9 * MM, self._foot_text())
            self.drawRightString(self._pagesize[0] - MARGIN - INSET, 9 * MM, f"page {number} of {total}")
            super().showPage()
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
    made.build(list(story), canvasmaker=type("Numbered", (_Numbered,), {"foot": foot}))
    return stream.getvalue()


def inner_width(page: str) -> float:
    """Width between the margins, in points."""
    return PAGES_PT[page][0] - 2 * MARGIN - 2 * INSET


def heading(text: str) -> Paragraph:
    """The title of a page."""
    return words(text, 16, bold=True, after=4)


def section(text: str) -> Paragraph:
    """The title of a section."""
    return words(text, 11.5, bold=True, before=7, after=2)


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
        canvas.setFont(BOLD, 16)
        canvas.drawString(left, size[1] - 25 * MM, " ".join(fitted(title, BOLD, width, 16, 10, 1).lines))
        canvas.setLineWidth(1.6)
        canvas.rect(left, top - 14 * len(lines) - 8, width, 14 * len(lines) + 8)
        for row, (font, line) in enumerate(lines, 1):
            canvas.setFont(font, 10)
            canvas.drawString(left + 8, top - 14 * row, line)
        canvas.showPage()


def together(*parts: Any) -> KeepTogether:
    """Flowables that stay on one page."""
    return KeepTogether(list(parts))
