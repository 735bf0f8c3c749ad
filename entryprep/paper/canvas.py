"""What all PDFs share: compact streams, title, language, metadata, bookmarks, page labels."""

from __future__ import annotations

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from xml.sax.saxutils import escape

from reportlab import rl_config
from reportlab.pdfbase.pdfdoc import XMP, PDFArray, PDFResourceDictionary
from reportlab.pdfgen.canvas import Canvas

from entryprep.paper.fonts import REGULAR, pieces, register_fonts
from entryprep.paper.placing import PAGES_PT

AUTHOR = "entryprep"
# ISO 16684-1 (XMP); the id of a packet is the same for all, and the mark before it the byte order's
PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>"""


@contextmanager
def compact() -> Iterator[None]:
    """Streams stay binary: text armour would make them a quarter larger and slower. Restores the setting it found."""
    before = rl_config.useA85
    rl_config.useA85 = 0
    try:
        yield
    finally:
        rl_config.useA85 = before


def new_canvas(page: str, title: str) -> tuple[Any, io.BytesIO]:
    """An empty PDF that says what it is, with fixed dates, and the stream it is saved to."""
    register_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=PAGES_PT[page], invariant=1, pageCompression=1, lang="en", initialFontName=REGULAR)
    canvas.setTitle(title)
    canvas.setAuthor(AUTHOR)
    return canvas, stream


def finished(canvas: Any) -> None:
    """What a PDF says of itself, before it is saved: page labels, its title as the window's, XMP of the same words."""
    title = escape("".join(c for c in str(canvas._doc.info.title) if c.isprintable()))
    packet = PACKET.format(title=title, author=AUTHOR).encode("utf-8")
    canvas._doc.Catalog.Metadata = XMP(creator=lambda _document: packet)
    canvas.addPageLabel(0, "ARABIC", 1)
    canvas.setViewerPreference("DisplayDocTitle", "true")


def saved(canvas: Any, stream: io.BytesIO) -> bytes:
    """The bytes of a finished PDF."""
    finished(canvas)
    _shared(canvas._doc)
    with compact():
        canvas.save()
    content = stream.getvalue()
    _taken_apart(canvas)
    return content


class _Resources(PDFResourceDictionary):  # type: ignore[misc]
    """What the pages of a document draw with, written once and named by each."""

    __RefOnly__ = 1


def _shared(document: Any) -> None:
    """Let plain pages name what is the same on all, and say nothing that is so anyway: most of a PDF of many small
    pages is their dictionaries."""
    pages = [page for page in document.Pages.pages if not _has_its_own(page)]
    resources = _Resources()
    resources.basicFonts()
    resources.allProcs()
    resources.XObject = {name: form for page in pages if page.XObjects for name, form in page.XObjects.dict.items()}
    boxes: dict[tuple[float, float], bytes] = {}
    for page in pages:
        size = page.pagewidth, page.pageheight
        if size not in boxes:
            boxes[size] = PDFArray([0, 0, *size]).format(document)
        page.MediaBox, page.Resources, page.Rotate, page.Trans = boxes[size], resources, None, None


def _has_its_own(page: Any) -> bool:
    """Whether a page draws with more than letters, lines, pictures and forms, or is turned."""
    return bool(page.ExtGState or page._colorsUsed or page._shadingUsed or page.Annots or page.Rotate)


def _taken_apart(canvas: Any) -> None:
    """Cut the circles that hold a drawn PDF together, so that it is gone at once: collecting is put off, and slow."""
    document = canvas._doc
    for held in (*document.idToObject.values(), document, canvas):
        getattr(held, "__dict__", {}).clear()


def bookmark(canvas: Any, title: str, level: int = 0) -> None:
    """A bookmark to the page that is being drawn."""
    canvas.bookmarks = getattr(canvas, "bookmarks", 0) + 1
    key = f"bookmark-{canvas.bookmarks}"
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(title, key, level)


def draw_line(canvas: Any, x: float, y: float, line: str, font: str, size: float) -> None:
    """One line of users' text, drawn from its left end."""
    for name, piece in pieces(line, font):
        canvas.setFont(name, size)
        canvas.drawString(x, y, piece)
        x += canvas.stringWidth(piece, name, size)
