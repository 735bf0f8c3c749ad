"""Lines written by the pen are those that the library's own text object writes, as two readers of PDF see them."""

from __future__ import annotations

import gc
import io
from collections.abc import Callable
from typing import Any

import pypdfium2
import pytest
from PIL import ImageChops
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFDocument, PDFPage

from entryprep.paper import canvas
from entryprep.paper.canvas import new_canvas, saved
from entryprep.paper.feedback import feedback_pdf
from entryprep.paper.fonts import BAR, BOLD, REGULAR, _own, pieces, printable, register_fonts, width_pt
from entryprep.paper.pen import Pen, text_operators
from entryprep.receiving.feedback import CLOSING, HEAD, ITEM, TITLE, Block
from tests.paper.readback import opened, pages, positions

MANY = [chr(code) for code in sorted(_own(REGULAR))[200:900] if chr(code).isprintable() and not chr(code).isspace()]
LINES = (
    "plain words, 1.052 at 20 °C",
    "brackets (one \\ two) and [three] <four>",
    "Łukasz Øren, Żaneta, Жига, ωμέγα",
    f"brewed by {BAR * 3} in",
    *("".join(MANY[start : start + 60]) for start in range(0, 300, 60)),
)


def pdf(draw: Callable[[Any], None]) -> bytes:
    made, stream = new_canvas("a4", "Pen")
    draw(made)
    made.showPage()
    return saved(made, stream)


def ours(made: Any) -> None:
    pen = Pen(made)
    for row, line in enumerate(LINES):
        pen.write(40, 700 - 30 * row, (("Lead: ", BOLD), (line, REGULAR)), 9.5)
    made.addLiteral(pen.operators)


def theirs(made: Any) -> None:
    for row, line in enumerate(LINES):
        text = made.beginText(40, 700 - 30 * row)
        for words, font in (("Lead: ", BOLD), (line, REGULAR)):
            for face, piece in pieces(words, font):
                text.setFont(face, 9.5)
                text.textOut(piece)
        made.drawText(text)


def test_the_drawn_page_is_that_of_the_library() -> None:
    one, two = (
        pypdfium2.PdfDocument(io.BytesIO(pdf(draw)))[0].render(scale=2).to_pil().convert("L") for draw in (ours, theirs)
    )
    assert min(one.tobytes()) < 50, "something is drawn"
    assert max(ImageChops.difference(one, two).tobytes()) <= 2


def test_the_words_are_read_back_line_by_line() -> None:
    (read,) = pages(pdf(ours))
    lines = [line.strip() for line in read.splitlines() if line.strip()]
    assert lines[:3] == [f"Lead: {line}" for line in LINES[:3]]
    assert {(x, y) for x, y in positions(pdf(ours)) if x == 40} == {(40, 700 - 30 * row) for row in range(len(LINES))}


def test_more_letters_than_one_subset_of_a_font_holds_are_written_too() -> None:
    """A subset has 256 codes (ISO 32000-1, simple fonts)."""
    made, _ = new_canvas("a4", "Pen")
    ours(made)
    assert len(set("".join(LINES))) > 256
    assert made.letters[REGULAR].beyond


def test_nothing_written_is_nothing() -> None:
    made, _ = new_canvas("a4", "Pen")
    assert Pen(made).operators == ""
    assert text_operators(made, []) == ""


@pytest.mark.parametrize("font", [REGULAR, BOLD])
def test_widths_are_those_of_the_library(font: str) -> None:
    register_fonts()
    for line in LINES:
        if BAR not in line:
            assert width_pt(line, font, 9.5) == pdfmetrics.stringWidth(line, font, 9.5)


def test_all_of_ascii_can_be_printed() -> None:
    plain = "".join(map(chr, range(32, 127)))
    assert printable(plain) == plain
    assert {ord(c) for c in plain} <= _own(REGULAR) & _own(BOLD)
    assert printable("a\tb\nc") == "a b c"


SHEETS = [
    [
        Block(TITLE, f"Entry {n}"),
        Block(HEAD, "A head"),
        Block(ITEM, "said", "Lead:"),
        Block(CLOSING, "end", shared=True),
    ]
    for n in range(3)
]


def test_pages_name_one_dictionary_and_look_as_with_one_each(monkeypatch: pytest.MonkeyPatch) -> None:
    """ISO 32000-1, 7.8.3: a resource dictionary may name more than a page draws with, and may be shared."""
    shared = feedback_pdf(SHEETS, "a4")
    monkeypatch.setattr(canvas, "_shared", lambda _document: None)
    each = feedback_pdf(SHEETS, "a4")
    assert len(shared) < len(each)
    named = {page.raw_get("/Resources").idnum for page in opened(shared).pages}
    assert len(named) == 1
    assert pages(shared) == pages(each)
    drawn = [
        [page.render(scale=2).to_pil().tobytes() for page in pypdfium2.PdfDocument(io.BytesIO(pdf))]
        for pdf in (shared, each)
    ]
    assert drawn[0] == drawn[1]


def test_a_drawn_pdf_is_gone_at_once_without_collecting() -> None:
    gc.collect()
    gc.disable()
    try:
        feedback_pdf(SHEETS, "a4")
        left = [each for each in gc.get_objects() if isinstance(each, (PDFPage, PDFDocument))]
        assert left == []
    finally:
        gc.enable()
