from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from entryprep.entering.plan import Slip
from entryprep.paper.fonts import width_pt
from entryprep.paper.qr import QUIET, qr_rows
from entryprep.paper.sheets import MM, PAGES_PT, Placing, PrintingError
from entryprep.paper.slips import Overflow, slip_overflows, slips_pdf
from entryprep.paper.sliptext import FOOT, HEAD, STUB, code_side, slip_text
from entryprep.records.sheet import load_sheet
from tests.paper.readback import opened, pages, plain, positions, solid
from tests.paper.samples import BEER, DECLARATION, IDENTITY, LONG_NAME, MARKUP, MONSTER, PERSON, many, slip
from tests.records.test_sheet import sheet

SHEETS = ("letter-8", "a4-8")
HARD = (
    replace(slip(), style=LONG_NAME, base=LONG_NAME, category_name=LONG_NAME, competition=LONG_NAME),
    replace(slip(number=None), style=MONSTER, base=MONSTER, declaration=MONSTER, category_name=MONSTER),
    replace(slip(), declaration=LONG_NAME * 10, allergens=("barley",) * 60, number="W" * 16, identity=IDENTITY),
    replace(slip(number=None), identity=(LONG_NAME, MONSTER, LONG_NAME, "one line more")),
    replace(slip(), base="", declaration="", allergens=(), category_name=""),
)


@pytest.mark.parametrize("name", SHEETS)
def test_each_bottle_of_each_entry_has_exactly_one_slip(name: str) -> None:
    texts = pages(slips_pdf(many(11, 3), Placing(load_sheet(name)), "Slips"))
    assert len(texts) == 5  # 33 slips, 8 on a page
    said = " ".join(" ".join(texts).split())
    for number in (f"{entry + 401:04d}" for entry in range(11) if entry % 3 != 2):
        assert said.count(f" {number} ") == 3
    for code in (f"E{entry:04d}" for entry in range(11) if entry % 3 == 2):
        assert said.count(code) == 3
    for bottle in (1, 2, 3):
        assert said.count(f"Bottle {bottle} of 3") == 11


def test_an_anonymous_slip_names_nobody() -> None:
    pdf = slips_pdf(many(6, 2), Placing(load_sheet("a4-8")), "Slips")
    for word in (PERSON, BEER, "example.org", "Kvernbekk", "cut off before judging"):
        assert word not in plain(pdf)
        assert word.encode() not in pdf


def test_a_stub_holds_the_brewer_and_the_judges_part_does_not() -> None:
    one = slip_text(replace(slip(), identity=IDENTITY), 95, 63.5)
    for item in one.texts:
        about_brewer = any(line in IDENTITY for line in item.lines)
        assert about_brewer == (item.y < STUB and item.lines != ("cut off before judging",))
    said = plain(slips_pdf([replace(slip(), identity=IDENTITY)], Placing(load_sheet("letter-8")), "Slips"))
    assert all(line in said for line in (*IDENTITY, "cut off before judging"))


def test_everything_a_judge_and_a_steward_need_is_there() -> None:
    said = plain(slips_pdf([slip(number=None)], Placing(load_sheet("letter-8")), "Slips"))
    for text in (
        "Entry no.",
        "S3: Fruit and spice beer",
        "Base: Robust porter",
        DECLARATION,
        "Allergens: barley, wheat, milk",
        "Bottle 1 of 3",
        "K7Q2M",
        "Hold with a rubber band; no tape, no glue.",
        "Øresund Winter Cup",
    ):
        assert text in said
    assert "free" not in said.lower()


def test_no_allergens_says_nothing_about_them() -> None:
    said = plain(slips_pdf([replace(slip(), allergens=())], Placing(load_sheet("a4-8")), "Slips"))
    assert "llergen" not in said


@pytest.mark.parametrize("text", [MARKUP, "Łukasz ø Ж ω é", "100% (half) \\ back", "«x» & y"])
def test_text_is_drawn_as_it_stands(text: str) -> None:
    assert text in plain(slips_pdf([replace(slip(), declaration=text)], Placing(load_sheet("a4-8")), "Slips"))


def test_letters_the_font_lacks_are_boxes() -> None:
    said = plain(slips_pdf([replace(slip(), declaration="עברית 日本 \x00\x07")], Placing(load_sheet("a4-8")), "Slips"))
    assert "▯▯▯▯▯ ▯▯ ▯▯" in said


@pytest.mark.parametrize("hard", HARD)
@pytest.mark.parametrize("size", [(95.25, 63.5), (95.0, 66.0), (80.0, 50.8), (101.6, 50.8)])
def test_nothing_leaves_its_slip_or_touches_other_text(hard: Slip, size: tuple[float, float]) -> None:
    width, height = size[0] * MM, size[1] * MM
    texts = slip_text(hard, *size).texts
    for item in texts:
        assert item.size >= 8
        for row, line in enumerate(item.lines):
            assert item.x + width_pt(line, item.font, item.size) <= width - 2 * MM
            assert item.y - row * item.leading - 0.22 * item.size >= 1.5 * MM
    low = STUB if hard.identity else 0
    side = code_side(hard.code)
    body = [item for item in texts if item.y + item.size <= height - HEAD + 0.01 and item.y > low + FOOT - 9]
    body = [item for item in body if item.lines != (hard.code,)]
    tops = [item.y + item.size for item in body]
    ends = [item.y - (len(item.lines) - 1) * item.leading - 0.2 * item.size for item in body]
    assert all(top <= end + 0.01 for end, top in zip(ends, tops[1:], strict=False))
    assert all(end >= low + FOOT - 1 for end in ends)
    for item, top in zip(body, tops, strict=True):
        if top > height - side:
            assert all(item.x + width_pt(line, item.font, item.size) <= width - side for line in item.lines)


def test_what_is_cut_is_reported_and_what_is_whole_is_not() -> None:
    made = load_sheet("letter-8")
    assert slip_overflows(many(4, 3), made) == []
    assert slip_overflows([replace(slip(), identity=IDENTITY)], made) == []
    long = [replace(slip(bottle=n), declaration="cherries " * 200) for n in (1, 2, 3)]
    assert slip_overflows(long, made) == [Overflow("0417", "declaration")]
    cut = {found.field for found in slip_overflows(HARD, made)}
    assert {"style", "base", "category", "competition", "declaration", "allergens", "identity"} <= cut


def test_a_usual_declaration_stays_whole_beside_a_stub() -> None:
    made = load_sheet("letter-8")
    long = (DECLARATION + " Lightly tart, dry finish, bottle conditioned.")[:240]
    assert slip_overflows([replace(slip(), declaration=long, identity=IDENTITY)], made) == []


def test_the_number_is_large() -> None:
    texts = slip_text(slip(number="1234567890123456"), 80, 50).texts
    assert min(item.size for item in texts if item.lines == ("1234567890123456",)) >= 14


@pytest.mark.parametrize("name", SHEETS)
def test_errors_stand_on_a_page_of_their_own(name: str) -> None:
    made = Placing(load_sheet(name))
    clean = opened(slips_pdf(many(3, 3), made, "Slips"))
    marked = opened(slips_pdf(many(3, 3), made, "Slips", ("too few bottles", MARKUP)))
    first, *rest = (page.extract_text() for page in marked.pages)
    assert "Printed despite 2 errors:" in first
    assert "too few bottles" in first
    assert MARKUP in first
    assert rest == [page.extract_text() for page in clean.pages]
    for page in (*clean.pages, *marked.pages):
        assert [float(side) for side in page.mediabox[2:]] == pytest.approx(PAGES_PT[made.sheet.page], abs=0.01)


def test_many_errors_take_many_pages() -> None:
    errors = [f"error {n}: {'a thing is wrong ' * 9}" for n in range(100)]
    said = pages(slips_pdf([slip()], Placing(load_sheet("a4-8")), "Slips", errors))
    assert len(said) > 3
    assert all(f"error {n}:" in " ".join(said) for n in range(100))


def test_same_input_same_bytes() -> None:
    made = Placing(load_sheet("a4-8"))
    assert slips_pdf(many(9, 2), made, "Slips", ["x"]) == slips_pdf(many(9, 2), made, "Slips", ["x"])


def test_the_file_says_what_it_is_and_stays_small() -> None:
    pdf = slips_pdf(many(200, 3), Placing(load_sheet("letter-8")), "Øresund slips")
    read = opened(pdf)
    assert read.metadata is not None
    assert (read.metadata.title, read.metadata.author) == ("Øresund slips", "entryprep")
    assert str(read.root_object["/Lang"]) == "en"
    assert len(pdf) < 1024 * 600


def test_the_code_on_paper_is_the_entry_code_alone() -> None:
    """The one form with the code is drawn for each bottle, each module at least 0.5 mm, on white all round."""
    read = opened(slips_pdf([slip(bottle=n) for n in (1, 2, 3)], Placing(load_sheet("a4-8")), "Slips"))
    resources: Any = read.pages[0]["/Resources"]
    forms = {str(n): f.get_object() for n, f in resources["/XObject"].items()}
    (form,) = (f for n, f in forms.items() if "qr-" in n)
    drawn = re.findall(rb"(\d+) (\d+) (\d+) 1 re", form.get_data())
    side, runs = qr_rows("K7Q2M")
    assert {(int(x), side - 1 - int(y), int(n)) for x, y, n in drawn} == set(runs)
    assert len(drawn) == len(runs)
    contents: Any = read.pages[0].get_contents()
    scales = re.findall(rb"([\d.]+) 0 0 ([\d.]+) [\d.]+ [\d.]+ cm", contents.get_data())
    scales = [scale for scale in scales if scale != (b"1", b"1")]  # reportlab's own first line
    assert len(scales) == 3
    assert all(float(x) == float(y) >= 0.5 * MM - 1e-3 for x, y in scales)


@pytest.mark.parametrize("code", ["1", "0417", "A1B2C3D4", "Ж" * 16, "日" * 16])
def test_modules_stay_large_enough_whatever_the_code(code: str) -> None:
    side, _ = qr_rows(code)
    assert code_side(code) / (side + 2 * QUIET) >= 0.5 * MM - 1e-9


def test_a_sheet_of_tiny_labels_is_refused() -> None:
    tiny = sheet(width="60 mm", height="30 mm", pitch_x="60 mm", pitch_y="30 mm")
    with pytest.raises(PrintingError, match=r"60 × 30 mm; this slip needs 80 × 50\.8 mm"):
        slips_pdf([slip()], Placing(tiny), "Slips")


def test_no_slips_is_an_empty_page() -> None:
    assert solid(slips_pdf([], Placing(load_sheet("a4-8")), "Slips")) == ""


def test_a_part_used_sheet_begins_at_its_first_free_place() -> None:
    made = load_sheet("letter-8")
    whole = pages(slips_pdf(many(3, 3), Placing(made), "Slips"))
    late = pages(slips_pdf(many(3, 3), Placing(made, start=8), "Slips"))
    assert len(whole) == len(late) == 2
    assert late[0].count("Bottle") == 1
    assert late[1].count("Bottle") == 8
    free = Placing(made, start=8).corners_pt()[7]
    drawn = positions(slips_pdf([slip()], Placing(made, start=8), "Slips"))
    width, height = made.width * MM, made.height * MM
    assert drawn
    assert all(free[0] < x < free[0] + width and free[1] < y < free[1] + height for x, y in drawn)


def test_a_nudge_moves_everything_by_its_millimetres() -> None:
    made = load_sheet("a4-8")
    still = positions(slips_pdf([slip()], Placing(made), "Slips"))
    moved = positions(slips_pdf([slip()], Placing(made, nudge=(1.5, -1.0)), "Slips"))
    assert [(x + 1.5 * MM, y + 1.0 * MM) for x, y in still] == [pytest.approx(at, abs=0.02) for at in moved]
