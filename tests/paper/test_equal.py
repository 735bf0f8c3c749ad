"""The equal of each paper as a page: it says what the paper says, and is built as the HTML standard means it.

Sources: HTML (WHATWG) for elements and attributes; WCAG 2.2, 1.3.1, 2.4.6, 3.1.1 and 4.1.2, for what must be told: that
tables have heads with a scope, headings skip no step, boxes to tick have labels, and the language is named.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise

import pypdf
import pytest
from reportlab.platypus import Flowable

from entryprep.findings import Severity
from entryprep.paper.bundle import PAGES, Bundle
from entryprep.paper.equal import equal_page
from entryprep.paper.fitsheet import fit_sheets_paper
from entryprep.paper.packing import packing_paper
from entryprep.paper.shipping import shipping_paper
from entryprep.paper.slippages import slips_page
from entryprep.paper.slipvalues import bottle_slips
from entryprep.tables.sliplayouts import find_layout
from tests.paper.readback import plain
from tests.paper.samples import BEER, DECLARATION, MARKUP, finding, fit_sheet, packing_plan, shipping, slip
from tests.paper.test_bundle import demo, made

__all__ = ["demo", "made"]  # fixtures
VOID = {"meta", "input", "hr", "br", "link", "img"}


def words(text: str) -> set[str]:
    return set(re.findall(r"[^\W_]+(?:[.,][^\W_]+)*", text.lower()))


# what stands on the paper only: its foot, the axis of a plot and what explains its marks, and the names of columns that
# are drawn; the words of a table say the same
ON_PAPER = words(
    "entryprep page axis widths range low end high 0 1 2 og fg abv ibu srm co2 vol this an arrow further outside than "
    "the goes as in of bar its standard error under over style"
)


class Outline(HTMLParser):
    """Tags in order with their attributes, the text, and whatever is not closed as it was opened."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.under: list[list[str]] = []
        self.wrong: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.under.append(list(self.open))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.text.append(data)


def outline(page: bytes) -> Outline:
    read = Outline()
    read.feed(page.decode())
    read.close()
    return read


@pytest.fixture(scope="module")
def pages(made: Bundle) -> dict[str, bytes]:
    return {name: content for name, content in made.files.items() if name.startswith(f"{PAGES}/")}


def test_every_paper_of_words_has_its_page(made: Bundle, pages: dict[str, bytes]) -> None:
    papers = {name.removesuffix(".pdf") for name in made.files if name.endswith(".pdf")}
    assert {name.removeprefix(f"{PAGES}/").removesuffix(".html") for name in pages} == papers
    linked = re.findall(r'href="(pages/[^"]+)"', made.files["index.html"].decode())
    assert sorted(linked) == sorted(pages)


def test_a_page_says_what_its_paper_says(made: Bundle, pages: dict[str, bytes]) -> None:
    for name, page in pages.items():
        paper = plain(made.files[f"{name.removeprefix(f'{PAGES}/').removesuffix('.html')}.pdf"])
        foot = paper.count("page ")
        lost = words(paper) - words(" ".join(outline(page).text)) - ON_PAPER
        assert {word for word in lost if not (word.isdigit() and int(word) <= foot)} == set(), name


def test_a_page_is_built_as_its_elements_mean(pages: dict[str, bytes]) -> None:
    for name, page in pages.items():
        read = outline(page)
        assert (read.wrong, read.open) == ([], []), name
        tags = [tag for tag, _ in read.tags]
        assert page.startswith(b'<!DOCTYPE html>\n<html lang="en">'), name
        assert tags.count("h1") == tags.count("main") == tags.count("title") == 1, name
        steps = [int(tag[1]) for tag in tags if re.fullmatch(r"h[1-6]", tag)]
        assert all(after <= before + 1 for before, after in pairwise(steps)), name
        for (tag, given), above in zip(read.tags, read.under, strict=True):
            if tag == "th":
                assert given.get("scope") in {"col", "row"}, name
            if tag == "input":
                assert "label" in above or given.get("aria-label"), name
            if tag == "li":
                assert above[-1] in {"ul", "ol"}, name
            assert tag not in {"script", "img", "iframe", "link"}, name
            assert not {"src", "href", "onclick"} & set(given), name
        assert tags.count("table") == tags.count("tbody"), name


# what a page of slips says in words that the paper shows: its head, codes, marks, lines to write on, what is cut off
DRAWN = words("QR code marks fragile this way up a line to write on the stub blacked out")


def test_slips_and_box_labels_say_on_their_page_what_is_printed_and_nothing_else(
    made: Bundle, pages: dict[str, bytes]
) -> None:
    own = [name for name in pages if name.startswith((f"{PAGES}/slips-", f"{PAGES}/boxes-"))]
    assert len(own) >= 4
    for name in own:
        read = outline(pages[name])
        pdf = made.files[f"{name.removeprefix(f'{PAGES}/').removesuffix('.html')}.pdf"]
        printed, told = words(plain(pdf)), words(" ".join(read.text))
        codes = {word for text in re.findall(r"QR code (\S+)", " ".join(read.text)) for word in words(text)}
        title = words(str(pypdf.PdfReader(io.BytesIO(pdf)).metadata.title))  # type: ignore[union-attr]
        assert printed - told == set(), name
        assert told - printed - codes - title - DRAWN == set(), name


@pytest.mark.parametrize("layout", ["bottle", "bottle-stub", "neck-tag"])
def test_the_page_of_a_slip_keeps_blackouts_and_lists_each_bottle(layout: str) -> None:
    found = find_layout(layout)
    slips = bottle_slips([replace(slip(number=None), bottle=n, declaration="plum, by ████, aged") for n in (1, 2, 3)])
    page = slips_page(slips, found, "Slips", {slips[0].entry: 2}).decode()
    text = " ".join(" ".join(outline(page.encode()).text).split())
    assert "PRINTED DESPITE 2 ERRORS" in text
    assert [f"Bottle {n} of 3, QR code {slips[0].content(n)}" in text for n in (1, 2, 3)] == [True] * 3
    assert ("(a line to write on)" in text) is any(f.rule for zone in found.zones for f in zone.fields)
    assert ("████ (blacked out), aged" in text) is (layout != "neck-tag")
    assert slips_page(slips, found, "Slips", {slips[0].entry: 2}).decode() == page


def test_nothing_of_a_record_is_markup() -> None:
    sheet = replace(fit_sheet((finding(Severity.ERROR),)), batch_name=MARKUP, added=(MARKUP,), declaration=MARKUP)
    for written in (
        fit_sheets_paper([sheet], "a4", ("an error",)),
        packing_paper(packing_plan(), "letter", (MARKUP,), (MARKUP,)),
        shipping_paper(shipping(), "a4", (MARKUP,)),
    ):
        page = equal_page(written.story, written.title)
        assert b"<b>bold" not in page
        assert b"&lt;b&gt;bold&lt;/b&gt; [red]red[/red] =SUM(A1) &amp; &lt;para&gt;" in page
        assert outline(page).wrong == []


def test_a_plot_is_a_table_with_a_row_for_each_vital() -> None:
    written = fit_sheets_paper([fit_sheet()], "a4")
    page = equal_page(written.story, written.title).decode()
    assert "<caption>The beer as served in the range of Test porter; bar: its standard error</caption>" in page
    colour = re.search(r'<tr><th scope="row">Colour</th>(.*?)</tr>', page)
    assert colour is not None
    assert re.sub(r"<[^>]+>", "|", colour[1]).split("||")[-1].strip("|") == "25.0 over"
    assert f'<h1 dir="auto">{BEER}</h1>' not in page, "the title of all is the first heading"
    assert DECLARATION.replace("'", "&#x27;") in page


def test_what_says_nothing_is_a_fault() -> None:
    with pytest.raises(TypeError, match="Flowable says nothing"):
        equal_page([Flowable()], "x")
