from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from entryprep.findings import Severity
from entryprep.paper.placing import PAGES_PT
from tests.paper.papers import fit_sheets_pdf, packing_pdf, shipping_pdf
from tests.paper.readback import opened, pages, plain, solid
from tests.paper.samples import (
    BEER,
    DECLARATION,
    LONG_NAME,
    MARKUP,
    MONSTER,
    finding,
    fit_sheet,
    packing_plan,
    shipping,
)

Maker = Callable[..., bytes]
PAPERS: dict[str, Maker] = {
    "packing": lambda page, errors=(): packing_pdf(packing_plan(), page, errors),
    "shipping": lambda page, errors=(): shipping_pdf(shipping(), page, errors),
    "fit": lambda page, errors=(): fit_sheets_pdf([fit_sheet((finding(),)), fit_sheet(name=MARKUP)], page, errors),
}
each_paper = pytest.mark.parametrize("make", PAPERS.values(), ids=PAPERS)


@each_paper
@pytest.mark.parametrize("page", ["letter", "a4"])
def test_every_paper_has_its_size_and_its_page_numbers(make: Maker, page: str) -> None:
    read = opened(make(page))
    for number, sheet in enumerate(read.pages, 1):
        assert [float(side) for side in sheet.mediabox[2:]] == pytest.approx(PAGES_PT[page], abs=0.01)
        assert f"page {number} of {len(read.pages)}" in sheet.extract_text()
    assert str(read.root_object["/Lang"]) == "en"
    assert read.metadata is not None
    assert read.metadata.author == "entryprep"


@each_paper
def test_same_input_same_bytes(make: Maker) -> None:
    assert make("a4", ["an error"]) == make("a4", ["an error"])


@each_paper
def test_errors_are_printed_on_the_paper(make: Maker) -> None:
    assert "Printed despite" not in plain(make("letter"))
    said = plain(make("letter", ["the first thing", MARKUP]))
    assert "Printed despite 2 errors:" in said
    assert "the first thing" in said
    assert MARKUP in said


@each_paper
def test_an_error_longer_than_a_page_is_printed_to_its_end(make: Maker) -> None:
    assert "the very end" in plain(make("a4", ["a thing is wrong " * 900 + "the very end"]))


def test_packing_says_what_to_take_and_what_stays() -> None:
    said = plain(packing_pdf(packing_plan(), "letter"))
    for text in (
        BEER,
        MARKUP,
        "(R4T9X)",
        "2 of 3 MISSING: 1 × longneck (355 ml)",
        "2 × longneck (355 ml), 1 × half-litre (500 ml)",
        "Box 1 of 2: 8 bottles, about 9.4 kg / 21 lb (limit 9.0 kg / 20 lb) OVER THE LIMIT",
        "absorbent paper",
    ):
        assert text in said
    assert MONSTER in solid(packing_pdf(packing_plan(), "letter"))
    assert said.count("0420") == 20 + 1 + 20  # and in the list and the plan of the copy for inside its box
    assert said.count("OVER THE LIMIT") == 1


@pytest.mark.parametrize("grid", [(1, 1), (20, 2), (3, 40), (12, 12)])
def test_a_box_of_any_shape_stays_on_the_page(grid: tuple[int, int]) -> None:
    plan = packing_plan()
    box = replace(plan.boxes[0], columns=grid[0], rows=grid[1], slots=("1",) * (grid[0] * grid[1]))
    said = plain(packing_pdf(replace(plan, boxes=(box, box, box)), "letter"))
    assert said.count("Box 1 of 2") == 3


def test_packing_without_boxes_or_rows() -> None:
    assert "From the cellar" in plain(packing_pdf(replace(packing_plan(), rows=(), boxes=(), materials=()), "a4"))


def test_shipping_puts_stops_first_then_what_to_do_then_what_to_know() -> None:
    read = opened(shipping_pdf(shipping(), "a4"))
    said = plain(shipping_pdf(shipping(), "a4"))
    spots = [
        said.index(w)
        for w in ("STOP", "Hand over by: 2027-02-12", "Line 0: wrap", "To know", "Ask the carrier", "Notes")
    ]
    assert spots == sorted(spots)
    assert said.count("STOP") == 1
    assert said.count("[1]") == 2, "where it is told, and among the notes"
    assert "[1] source of mail, common practice; checked 2026-11-20" in said
    # a square is drawn for each of the ten lines to be done, and for nothing else: 3.4 mm
    content = read.pages[0].get_contents()
    assert content is not None
    assert len(re.findall(rb" 9\.63\d* 9\.63\d* re", content.get_data())) == 10
    assert "c/o Brygghuset Ł" in said
    assert said.rstrip().endswith("page 1 of 1")
    assert "not legal advice" in said
    assert MARKUP in said


def test_shipping_without_dates_and_address() -> None:
    bare = replace(shipping(), dates=(), address=())
    assert "not legal advice" in plain(shipping_pdf(bare, "a4"))
    assert "00-000 Nowhere" in plain(shipping_pdf(replace(shipping(), dates=()), "a4"))


def test_a_fit_sheet_is_one_page_and_says_it_all() -> None:
    sheet = fit_sheet((finding(), finding(Severity.NOTE)))
    (said,) = (" ".join(text.split()) for text in pages(fit_sheets_pdf([sheet], "letter")))
    assert sheet.fit is not None
    assert sheet.fit.score is not None
    for text in (
        BEER,
        "Enter as Test porter",
        "As declared, on a base of Robust porter. Colour 25.0 SRM over.",
        f"{sheet.fit.score:.0f} fit, of 100",
        "under in style over",
        "Original gravity",
        "60.0 SRM",
        "25–45 IBU",
        "25.0 over",
        "none of these",
        DECLARATION,
        "Øresund Winter Cup: S3",
        "(1) Enter it as a stout, or blend with a paler beer.",
        "(1) WARNING: Colour",
        "Why: judges see",
    ):
        assert text in said


def test_every_beer_begins_a_page() -> None:
    said = pages(fit_sheets_pdf([fit_sheet(name=f"Beer {n}") for n in range(4)], "a4"))
    assert [f"Beer {n}" in text for n, text in enumerate(said)] == [True] * 4


def test_many_findings_go_on_over_the_page() -> None:
    found = tuple(replace(finding(), what=f"thing {n} is wrong", fix=f"mend {n}") for n in range(120))
    said = pages(fit_sheets_pdf([fit_sheet(found, LONG_NAME)], "letter"))
    assert len(said) > 1
    assert all(f"Thing {n} is wrong" in " ".join(said) for n in range(120))


def test_findings_with_one_remedy_stand_together_and_nothing_is_told_twice() -> None:
    found = tuple(replace(finding(), what=f"thing {n} is wrong") for n in range(4))
    stop = replace(finding(Severity.ERROR), what="too much gas", fix="chill it hard")
    sheet = replace(fit_sheet((stop, *found)), stops=("too much gas",))
    (said,) = (" ".join(text.split()) for text in pages(fit_sheets_pdf([sheet], "a4")))
    assert said.count("blend with a paler beer") == 1
    assert said.lower().count("too much gas") == 1
    assert said.lower().count("chill it hard") == 1
    assert "STOP Too much gas. Chill it hard." in said
    assert "Do not send" in said
    assert "Enter as" not in said
    assert "(1) ERROR: See STOP above." in said
    assert "(2) WARNING: Thing 0 is wrong. Thing 1 is wrong. Thing 2 is wrong. Thing 3 is wrong." in said


def test_a_beers_own_errors_are_told_once_and_said_at_its_head() -> None:
    own = replace(finding(Severity.ERROR), what="too few bottles")
    said = pages(fit_sheets_pdf([fit_sheet((own,)), fit_sheet()], "a4", ["K7Q2M: too few bottles"]))
    assert len(said) == 2
    assert "Printed despite 1 error, told at the end of this sheet." in " ".join(said[0].split())
    assert " ".join(said).lower().count("too few bottles") == 1
    assert "Printed despite" not in said[1]


def test_a_beer_that_can_be_compared_with_nothing() -> None:
    bare = replace(fit_sheet(), fit=None, suggestions=(), entries=(), declaration="", base="", declared="")
    bare = replace(bare, shown=None, enter_as="", reason="")
    said = plain(fit_sheets_pdf([bare], "a4"))
    assert "Fit unknown" in said
    assert "As served: original gravity 1.0595" in said
    assert "Declared as nothing yet" in said
    assert "ready" not in said


def test_no_beers_at_all() -> None:
    assert "page 1 of 1" in plain(fit_sheets_pdf([], "a4"))


def titles(outline: list[Any]) -> list[Any]:
    return [titles(item) if isinstance(item, list) else (str(item.title)) for item in outline]


@each_paper
def test_every_paper_has_bookmarks_and_page_labels(make: Maker) -> None:
    read = opened(make("a4", ["an error"]))
    assert titles(read.outline)
    assert read.page_labels == [str(number) for number in range(1, len(read.pages) + 1)]


def test_bookmarks_lead_to_their_pages() -> None:
    read = opened(fit_sheets_pdf([fit_sheet(name=f"Beer {n}") for n in range(3)], "a4"))
    first = [item for item in read.outline if not isinstance(item, list)]
    assert [str(item.title) for item in first] == ["Beer 0", "Beer 1", "Beer 2"]
    assert [read.get_destination_page_number(item) for item in first] == [0, 1, 2]
    assert titles(read.outline)[1] == [
        "What else suits it, likeliest first",
        "For the judges",
        "Entered in",
        "What to do",
    ]


def test_a_title_does_not_stand_alone_at_the_end_of_a_page() -> None:
    row = replace(packing_plan().rows[2], batch_name="x")
    for count in range(34, 42):  # among them the one after which only the title would still fit
        said = pages(packing_pdf(replace(packing_plan(), rows=(row,) * count, boxes=(), competition="Cup"), "a4"))
        page = next(text for text in said if "Have at hand" in text)
        assert "9 rubber bands" in page
