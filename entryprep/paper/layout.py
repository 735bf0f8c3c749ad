"""The page frame the lists share: margins, footers with page numbers, bookmarks, the frame of errors."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, SimpleDocTemplate, Spacer

from entryprep.paper.canvas import AUTHOR, bookmark, compact, draw_line, finished
from entryprep.paper.flowables import TickBox, framed, heading, ruled, section, style, together, words
from entryprep.paper.fonts import REGULAR, register_fonts
from entryprep.paper.placing import MM, PAGES_PT
from entryprep.paper.text import fitted
from entryprep.text import several

__all__ = [
    "TickBox",
    "document",
    "error_block",
    "framed",
    "heading",
    "inner_width",
    "ruled",
    "section",
    "style",
    "together",
    "words",
]

MARGIN = 16 * MM
ROOM_BELOW = 20 * MM  # what must follow a title on its page
INSET = 6  # what reportlab's frame keeps free inside the margins, in points


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
        finished(self)
        super().save()

    def _foot_text(self) -> str:
        room = self._pagesize[0] - 2 * MARGIN - 2 * INSET - 60
        return " ".join(fitted(self.foot, REGULAR, room, 8, 8, 1).lines)


class _Document(SimpleDocTemplate):  # type: ignore[misc]
    """A document that makes bookmarks of its titles."""

    def afterFlowable(self, flowable: Any) -> None:  # noqa: N802 - reportlab's name
        """Mark the page a title has come to stand on."""
        if hasattr(flowable, "bookmark"):
            self.canv.mark(*flowable.bookmark)


def _kept_together(story: Sequence[Any]) -> Iterator[Any]:
    """The story with a page break before each title of a section that would stand at the very end of a page."""
    for flowable in story:
        if getattr(flowable, "bookmark", ("", 0))[1]:
            yield CondPageBreak(ROOM_BELOW)
        yield flowable


@dataclass(frozen=True)
class Written:
    """A paper before it is drawn, once: its flowables, its size ("letter" or "a4"), its title, its foot."""

    story: Sequence[Any]
    page: str
    title: str
    foot: str

    def pdf(self) -> bytes:
        """The paper. Same input, same bytes."""
        return document(self.story, self.page, self.title, self.foot)


def document(story: Sequence[Any], page: str, title: str, foot: str) -> bytes:
    """A PDF of flowables with title, footer and page numbers. Same input, same bytes."""
    register_fonts()
    stream = io.BytesIO()
    made = _Document(
        stream,
        pagesize=PAGES_PT[page],
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=17 * MM,
        title=title,
        author=AUTHOR,
        lang="en",
        initialFontName=REGULAR,
        invariant=1,
    )
    with compact():
        made.build(list(_kept_together(story)), canvasmaker=type("Numbered", (_Numbered,), {"foot": foot}))
    return stream.getvalue()


def inner_width(page: str) -> float:
    """Width between the margins, in points."""
    return PAGES_PT[page][0] - 2 * MARGIN - 2 * INSET


def error_block(errors: Sequence[str], page: str) -> list[Any]:
    """The frame that says a paper was printed in spite of errors; nothing where there are none."""
    if not errors:
        return []
    return [framed(despite(len(errors)), errors, inner_width(page)), Spacer(1, 3 * MM)]


def caution_block(cautions: Sequence[str], page: str) -> list[Any]:
    """What whoever packs and carries must know, in a frame; nothing where there is nothing."""
    if not cautions:
        return []
    return [framed("Take care:", cautions, inner_width(page)), Spacer(1, 3 * MM)]


def despite(count: int) -> str:
    """``Printed despite 2 errors:``."""
    return f"Printed despite {several(count, 'error')}:"
