"""Slips on paper: one for each bottle, everything on it, nothing over its edge, and no name where none may be."""

from __future__ import annotations

import re
import shutil
import subprocess
import tracemalloc
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.entering.plan import Box, Slip
from entryprep.findings import Finding, Severity
from entryprep.paper.canvas import new_canvas
from entryprep.paper.fonts import BOLD, width_pt
from entryprep.paper.placing import MM, Placing, PrintingError
from entryprep.paper.qr import QUIET, qr_rows
from entryprep.paper.slipmark import despite_mark, despite_words, with_margin
from entryprep.paper.slips import Overflow, slip_overflows, slips_pdf
from entryprep.paper.sliptext import SlipText, code_side, slip_text
from entryprep.paper.slipvalues import Printed, bottle_slips, box_slips
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Competition
from entryprep.tables.labelsheets import Sheet, load_sheet
from entryprep.tables.sliplayouts import CodeSpot, SlipLayout, find_layout
from tests.paper.papers import errors_pdf
from tests.paper.readback import opened, pages, plain, positions, solid
from tests.paper.samples import BEER, DECLARATION, IDENTITY, LONG_NAME, MARKUP, MONSTER, PERSON, many, slip
from tests.tables.test_labelsheets import sheet

BOTTLE, STUB, TAG, BOX = (find_layout(name) for name in ("bottle", "bottle-stub", "neck-tag", "box"))


def drawn(slips: Sequence[Slip], on: str | Placing = "a4-8", layout: SlipLayout = BOTTLE, errors: int = 0) -> bytes:
    placed = on if isinstance(on, Placing) else Placing(load_sheet(on))
    return slips_pdf(bottle_slips(slips), layout, placed, "Øresund slips", {"": errors})


def text_of(one: Slip, size: tuple[float, float], layout: SlipLayout = BOTTLE) -> SlipText:
    return slip_text(bottle_slips([one])[0], layout, *size)


def overflows(slips: Sequence[Slip], on: Sheet, layout: SlipLayout = BOTTLE) -> list[Overflow]:
    return slip_overflows(bottle_slips(slips), layout, on)


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
    texts = pages(drawn(many(11, 3), name))
    assert len(texts) == 5  # 33 slips, 8 on a page
    said = " ".join(" ".join(texts).split())
    for number in (f"{entry + 401:04d}" for entry in range(11) if entry % 3 != 2):
        assert said.count(f" {number} ") == 3
    for code in (f"E{entry:04d}" for entry in range(11) if entry % 3 == 2):
        assert said.count(code) == 3
    for bottle in (1, 2, 3):
        assert said.count(f"Bottle {bottle} of 3") == 11


def test_an_anonymous_slip_names_nobody() -> None:
    pdf = drawn(many(6, 2), "a4-8")
    for word in (PERSON, BEER, "example.org", "Kvernbekk", "cut off before judging"):
        assert word not in plain(pdf)
        assert word.encode() not in pdf


def test_a_stub_holds_the_brewer_and_the_judges_part_does_not() -> None:
    one = text_of(replace(slip(), identity=IDENTITY), (95, 63.5), STUB)
    assert one.stub == pytest.approx(14 * MM)
    for item in one.texts:
        assert (item.field in {"brewer", "contact"} or item.lines == ("cut off before judging",)) == (item.y < one.stub)
    said = plain(drawn([replace(slip(), identity=IDENTITY)], "letter-8", STUB))
    assert all(line in said for line in (*IDENTITY, "cut off before judging"))


def test_a_slip_without_a_brewer_has_no_stub() -> None:
    assert "cut off before judging" not in plain(drawn([slip()], "letter-8", STUB))
    assert text_of(slip(), (95, 63.5), STUB).stub == 0
    assert PERSON not in plain(drawn([replace(slip(), identity=IDENTITY)], "letter-8", BOTTLE))


def test_everything_a_judge_and_a_steward_need_is_there() -> None:
    said = plain(drawn([slip(number=None)], "letter-8"))
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
    said = plain(drawn([replace(slip(), allergens=())], "a4-8"))
    assert "llergen" not in said


@pytest.mark.parametrize("text", [MARKUP, "Łukasz ø Ж ω é", "100% (half) \\ back", "«x» & y"])
def test_text_is_drawn_as_it_stands(text: str) -> None:
    assert text in plain(drawn([replace(slip(), declaration=text)], "a4-8"))


def test_letters_the_font_lacks_are_boxes() -> None:
    said = plain(drawn([replace(slip(), declaration="עברית 日本 \x00\x07")], "a4-8"))
    assert "▯▯▯▯▯ ▯▯ ▯▯" in said


Place = tuple[float, float, float, float]


def rectangles(said: SlipText) -> list[Place]:
    """Left, bottom, right and top of every line: capitals of Fira Sans are 0.69 of the size, descenders 0.21."""
    found = []
    for item in said.texts:
        for row, line in enumerate(item.lines):
            x = item.left(line) if item.align != "left" else item.x
            y = item.y - row * item.leading
            wide = width_pt(line, item.font, item.size)
            found.append((x, y - 0.21 * item.size, x + wide, y + 0.69 * item.size))
    return found


def meet(one: Place, other: Place) -> bool:
    across = one[0] < other[2] - 0.01 and other[0] < one[2] - 0.01
    return across and one[1] < other[3] - 0.01 and other[1] < one[3] - 0.01


@pytest.mark.parametrize("hard", HARD)
@pytest.mark.parametrize(
    ("layout", "size"),
    [
        *[(layout, size) for layout in (BOTTLE, STUB) for size in ((95.25, 63.5), (95, 66), (80, 50.8), (101.6, 50.8))],
        *[(TAG, size) for size in ((60, 25), (66.675, 25.4), (63.5, 33.9))],
    ],
)
def test_nothing_leaves_its_slip_or_touches_anything_else(
    hard: Slip, layout: SlipLayout, size: tuple[float, float]
) -> None:
    width, height = size[0] * MM, size[1] * MM
    said = text_of(hard, size, layout)
    places = rectangles(said)
    for left, bottom, right, top in places:
        assert left >= 2 * MM - 0.01
        assert right <= width - 2 * MM + 0.01
        assert bottom >= 1.9 * MM
        assert top <= height - 1.9 * MM
        assert top <= said.stub or bottom >= said.stub
    for index, place in enumerate(places):
        for other in places[:index]:
            assert not meet(place, other)
        if said.code is not None:
            x, y, side = said.code
            assert not meet(place, (x, y, x + side, y + side)), "the quiet zone stays white"
    for item in said.texts:
        assert item.size >= (14 if item.field == "number" else 8)


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=220)


@settings(deadline=None, max_examples=60)
@given(WORDS, WORDS, WORDS, WORDS, st.one_of(st.none(), st.text("W0169É", min_size=1, max_size=16)), st.booleans())
def test_no_words_leave_their_slip(
    category: str, style: str, base: str, declaration: str, number: str | None, stub: bool
) -> None:
    one = replace(slip(number=number), category_name=category, style=style, base=base, declaration=declaration)
    one = replace(one, identity=(style or "x", base, category) if stub else ())
    for layout, size in ((STUB, (80, 50.8)), (BOTTLE, (95, 66)), (TAG, (60, 25))):
        said = text_of(one, size, layout)
        places = rectangles(said)
        width, height = size[0] * MM, size[1] * MM
        for index, (left, bottom, right, top) in enumerate(places):
            assert left >= 2 * MM - 0.01
            assert right <= width - 2 * MM + 0.01
            assert bottom >= 1.9 * MM
            assert top <= height - 1.9 * MM
            assert not any(meet(places[index], other) for other in places[:index])


@pytest.mark.parametrize("hard", HARD)
def test_no_field_vanishes(hard: Slip) -> None:
    values = bottle_slips([hard])[0].values
    for layout, size in ((STUB, (80, 50.8)), (BOTTLE, (80, 50.8)), (TAG, (60, 25))):
        shown = {item.field for item in text_of(hard, size, layout).texts}
        own = {f.show for zone in layout.zones for f in zone.fields} | ({"brewer", "contact"} if layout.stub else set())
        assert own & set(values) <= shown


def test_what_is_cut_is_reported_and_what_is_whole_is_not() -> None:
    made = load_sheet("letter-8")
    assert overflows(many(4, 3), made) == []
    assert overflows([replace(slip(), identity=IDENTITY)], made, STUB) == []
    long = [replace(slip(bottle=n), declaration="cherries " * 200) for n in (1, 2, 3)]
    assert overflows(long, made) == [Overflow("0417", "declaration")]
    cut = {found.field for found in overflows(HARD, made, STUB)}
    assert {"style", "base", "category", "competition", "declaration", "allergens", "brewer"} <= cut


def test_a_long_name_of_a_competition_leaves_the_number_its_size() -> None:
    sizes = [
        next(
            item.size for item in text_of(replace(slip(), competition=name), (95, 63.5)).texts if item.field == "number"
        )
        for name in ("Cup", LONG_NAME)
    ]
    assert sizes == [36, 36]


def test_the_number_is_as_large_as_the_rest_of_the_slip_allows() -> None:
    def size(**changes: Any) -> float:
        texts = text_of(replace(slip(), **changes), (95, 63.5)).texts
        return next(item.size for item in texts if item.field == "number")

    assert size(declaration="", base="") == 36
    assert 22 < size(declaration=LONG_NAME) < 36
    assert size(declaration=LONG_NAME * 10) == 22  # for the sake of others no smaller
    assert size(number="W" * 16) < 22  # but where it is too wide itself


def test_a_field_is_shrunk_before_it_is_broken() -> None:
    short = text_of(replace(slip(), style="Fruit beer"), (95, 63.5))
    long = text_of(replace(slip(), style="Fruit and spice beer with oak and a rather long name"), (95, 63.5))
    longer = text_of(replace(slip(), style="Fruit and spice beer with oak " * 3), (95, 63.5))
    style = [next(item for item in said.texts if item.field == "style") for said in (short, long, longer)]
    assert [len(item.lines) for item in style] == [1, 1, 2]
    assert style[0].size > style[1].size >= 8


def test_a_usual_declaration_stays_whole_beside_a_stub() -> None:
    made = load_sheet("letter-8")
    long = (DECLARATION + " Lightly tart, dry finish, bottle conditioned.")[:240]
    assert overflows([replace(slip(), declaration=long, identity=IDENTITY)], made, STUB) == []


def test_the_number_is_large() -> None:
    assert {len(item.lines) for item in text_of(slip(), (95, 63.5)).texts if item.field == "number"} == {1}
    (number,) = (i for i in text_of(slip(number="1234567890123456"), (80, 50.8)).texts if i.field == "number")
    assert number.size >= 14
    assert number.lines == ("1234567890123456",)


@pytest.mark.parametrize(("number", "marked"), [("0417", False), ("66", True), ("69", False), ("1609", True)])
@pytest.mark.parametrize("layout", [BOTTLE, TAG])
def test_a_number_that_reads_otherwise_upside_down_is_underlined(number: str, marked: bool, layout: SlipLayout) -> None:
    said = text_of(slip(number=number), (95, 63.5), layout)
    assert [item.underlined for item in said.texts if item.field == "number"] == [marked]
    bars = re.findall(rb"(?:\d+\.\d\d ){4}re f", content(drawn([slip(number=number)], layout=layout)))
    assert len(bars) == marked


def content(pdf: bytes, page: int = 0) -> bytes:
    contents: Any = opened(pdf).pages[page].get_contents()
    return bytes(contents.get_data())


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("layout", [BOTTLE, TAG])
def test_slips_say_that_errors_stand_and_list_none(name: str, layout: SlipLayout) -> None:
    made = Placing(load_sheet(name))
    if made.sheet.width < layout.least_width or made.sheet.height < layout.least_height:
        pytest.skip("smaller than the layout")
    clean, marked = opened(drawn(many(3, 3), made, layout)), opened(drawn(many(3, 3), made, layout, errors=2))
    said = [
        page.extract_text().replace("PRINTED ", "").replace("DESPITE 2 ERRORS", "").split() for page in marked.pages
    ]
    assert said == [page.extract_text().split() for page in clean.pages]
    assert " ".join(page.extract_text() for page in marked.pages).count("DESPITE 2 ERRORS") == 9
    assert [page.mediabox for page in clean.pages] == [page.mediabox for page in marked.pages]


def test_each_slip_tells_of_the_errors_of_its_own_entry() -> None:
    two = [replace(slip(), entry="porter in 4"), replace(slip(number="1777"), entry="pils in 2")]
    placed = Placing(load_sheet("a4-8"))
    said = plain(slips_pdf(bottle_slips(two), BOTTLE, placed, "Øresund slips", {"porter in 4": 1, "": 3}))
    assert said.count("PRINTED DESPITE 1 ERROR") == 1
    assert said.count("DESPITE") == 1


@pytest.mark.parametrize("layout", [BOTTLE, TAG, STUB, BOX])
def test_the_line_on_errors_stands_clear_of_cut_fields_and_hole(layout: SlipLayout) -> None:
    canvas, _ = new_canvas("a4", "x")
    for width, height in ((layout.least_width, layout.least_height), (190, 130)):
        sheet = load_sheet("a4-8").model_copy(update={"width": width, "height": height})
        matrix = despite_mark(canvas, layout, sheet, 0.0, 12).split(" cm ")[0].split()
        size = float(re.findall(r"/\S+ (\S+) Tf", despite_mark(canvas, layout, sheet, 0.0, 12))[0])
        x, y = float(matrix[5]), float(matrix[6])
        words = despite_words(12)[0 if width_pt(despite_words(12)[0], BOLD, size) < height * MM else 1]
        assert size == 8  # the least that is printed anywhere
        assert x - 0.75 * size >= 1.5 * MM
        assert x + 2 * MM <= min(zone.left for zone in with_margin(layout).zones) * MM
        assert 0 < y < y + width_pt(words, BOLD, size) < height * MM
        if layout.hole is not None:
            assert x < (layout.hole.left - layout.hole.diameter / 2) * MM


def test_a_long_name_is_set_on_two_lines_rather_than_much_smaller() -> None:
    name = "The Grand International Saltmarsh Open Championship of Beers from Far and Near, 42nd edition"
    printed = Printed("box 1", {"competition": (name,), "to": ("22 Heron Street", "Ebbing, WA")}, last=2)
    texts = slip_text(printed, BOX, 190, 130).texts
    (shown,) = [text for text in texts if text.field == "competition"]
    assert len(shown.lines) == 2
    assert shown.size > 16
    assert " ".join(shown.lines) == name


def test_many_errors_take_many_pages() -> None:
    told = [f"error {n}: {'a thing is wrong ' * 9}" for n in range(100)]
    errors = [(what, Finding("x", Severity.ERROR, what)) for what in told]
    last = Finding("x", Severity.ERROR, MARKUP, "It is seen. (common practice)", "mend it", about="porter")
    said = pages(errors_pdf([*errors, (f"Grey Porter: {MARKUP}", last)], "Øresund Winter Cup", "a4"))
    assert len(said) > 3
    assert all(f"error {n}:" in " ".join(said) for n in range(100))
    assert "Printed despite 101 errors:" in said[0]
    end = " ".join(said[-1].split())
    assert f"Grey Porter: {MARKUP} Why: It is seen. Source: common practice. To mend it: Mend it." in end


def test_same_input_same_bytes() -> None:
    assert drawn(many(9, 2), errors=1) == drawn(many(9, 2), errors=1)


def test_the_file_says_what_it_is_and_stays_small() -> None:
    pdf = drawn(many(200, 3), "letter-8")
    read = opened(pdf)
    assert read.metadata is not None
    assert (read.metadata.title, read.metadata.author) == ("Øresund slips", "entryprep")
    assert str(read.root_object["/Lang"]) == "en"
    assert len(pdf) < 1024 * 600


def test_size_grows_by_less_than_a_kilobyte_a_slip() -> None:
    small, large = (len(drawn(many(entries, 3), "letter-8")) for entries in (10, 210))
    assert (large - small) / 600 < 1024


def test_memory_grows_no_faster_than_pages() -> None:
    peaks = []
    for entries in (100, 200, 400):
        slips = bottle_slips(many(entries, 3))
        slips_pdf(slips, BOTTLE, Placing(load_sheet("a4-8")), "warm")
        tracemalloc.start()
        slips_pdf(slips, BOTTLE, Placing(load_sheet("a4-8")), "Slips")
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    first, second = peaks[1] - peaks[0], peaks[2] - peaks[1]
    assert second < 2.5 * first  # twice as many pages more


def test_the_file_can_be_found_ones_way_in() -> None:
    read = opened(drawn(many(11, 3), "a4-8", errors=1))
    titles = [str(item.title) for item in read.outline]  # type: ignore[union-attr]
    assert titles == ["from 0401", "from E0002", "from E0005", "from E0008", "from 0411"]
    assert read.page_labels == ["1", "2", "3", "4", "5"]
    assert read.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"]  # type: ignore[index]


def test_text_stands_in_reading_order() -> None:
    said = plain(drawn([replace(slip(), identity=IDENTITY)], "letter-8", STUB))
    wanted = ["Entry no.", "0417", "S3: Fruit", "Base:", DECLARATION[:20], "Allergens:", PERSON, "Kvernbekk"]
    places = [said.index(text) for text in wanted]
    assert places == sorted(places)


def test_the_code_on_paper_is_entry_and_bottle_alone() -> None:
    """The code is drawn for each bottle, each module at least 0.5 mm: its rectangles are the code's runs."""
    page = content(drawn([slip(bottle=n) for n in (1, 2, 3)], "a4-8"))
    codes = re.findall(rb"q ([\d.]+) 0 0 ([\d.]+) [\d.]+ [\d.]+ cm ((?:\d+ \d+ \d+ 1 re )+)f Q", page)
    assert len(codes) == 3
    for bottle, (across, up, path) in enumerate(codes, 1):
        side, runs = qr_rows(f"K7Q2M/{bottle}")
        found = re.findall(rb"(\d+) (\d+) (\d+) 1 re", path)
        assert {(int(x), side - 1 - int(y), int(n)) for x, y, n in found} == set(runs)
        assert float(across) == float(up) >= 0.5 * MM - 1e-3


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm (poppler-utils) draws the page; it is not here")
@pytest.mark.parametrize("layout", [BOTTLE, STUB, TAG])
def test_codes_are_read_from_a_coarse_copy_of_the_page(layout: SlipLayout, tmp_path: Path) -> None:
    """22 entries of four bottles drawn by poppler at 72 dpi, every code read by zxing-cpp: neither is ours.

    No two are equal, and entry and bottle follow from each.
    """
    import zxingcpp
    from PIL import Image

    (tmp_path / "slips.pdf").write_bytes(drawn(many(22, 4), "a4-8", layout))
    command = ["pdftoppm", "-r", "72", "-gray", "-png", str(tmp_path / "slips.pdf"), str(tmp_path / "page")]
    subprocess.run(command, check=True, timeout=60)
    read = []
    for page in sorted(tmp_path.glob("page*.png")):
        with Image.open(page) as image:
            read += [code.text for code in zxingcpp.read_barcodes(image)]
    assert len(read) == len(set(read)) == 88
    assert {tuple(text.rsplit("/", 1)) for text in read} == {
        (f"E{entry:04d}", str(bottle)) for entry in range(22) for bottle in (1, 2, 3, 4)
    }


def test_codes_of_all_bottles_of_an_entry_are_of_one_size() -> None:
    """The fourteenth byte is the last that a code of 21 modules holds at level M (ISO/IEC 18004, from memory)."""
    pdf = drawn([slip("K" * 12, bottle=n, bottles=10) for n in range(9, 11)], "a4-8")
    scales = re.findall(rb"q ([\d.]+) 0 0 [\d.]+ [\d.]+ [\d.]+ cm (?:\d+ \d+ \d+ 1 re )+f Q", content(pdf))
    assert float(scales[0]) * (21 + 2 * QUIET) == pytest.approx(float(scales[1]) * (25 + 2 * QUIET), abs=0.01)
    assert float(scales[1]) >= 0.5 * MM - 1e-3


@pytest.mark.parametrize("code", ["1", "0417", "A1B2C3D4", "Ж" * 16, "日" * 16])
def test_modules_stay_large_enough_whatever_the_code(code: str) -> None:
    side, _ = qr_rows(code)
    spot = CodeSpot()
    assert code_side(spot, code) / (side + 2 * QUIET) >= 0.5 * MM - 1e-9
    assert code_side(spot, code) >= 15 * MM  # 15 to 20 mm for phones: from memory


def test_a_sheet_of_tiny_labels_is_refused() -> None:
    tiny = sheet(width="60 mm", height="30 mm", pitch_x="60 mm", pitch_y="30 mm")
    with pytest.raises(PrintingError, match=r"60 × 30 mm; Bottle slip without a name needs 80 × 50\.8 mm"):
        drawn([slip()], Placing(tiny))


def test_no_slips_is_an_empty_page() -> None:
    assert solid(drawn([], "a4-8")) == ""


def test_bottles_of_one_entry_are_drawn_once_and_others_apart() -> None:
    two = [slip(bottle=1), slip(bottle=2), replace(slip(bottle=1), declaration="another"), slip(bottle=3)]
    assert [(p.first, p.last) for p in bottle_slips(two)] == [(1, 2), (1, 1), (3, 3)]


def boxes(count: int = 2, address: tuple[str, ...] = ("The Malt Shop", "1 Invented Street")) -> list[Printed]:
    made = [Box("cup", n, count, 3, 2, ("0417",) * 6, 4.25, 11.3) for n in range(1, count + 1)]
    data = {"name": "Øresund Winter Cup", "delivery": {"address": address}, "categories": [{"code": "1", "name": "x"}]}
    brewer = Brewer.model_validate({"name": PERSON, "address": ["2 Other Street", "Nowhere"]})
    return box_slips(made, Competition.model_validate(data), brewer)


def test_a_box_slip_says_whence_where_to_and_what() -> None:
    said = plain(slips_pdf(boxes(), BOX, Placing(load_sheet("a4-2")), "Boxes"))
    for text in (
        PERSON,
        "2 Other Street",
        "Øresund Winter Cup",
        "The Malt Shop",
        "Box 2 of 2",
        "6 bottles of home-brewed beer",
        "not for sale",
        "about 4.2 kg / 9 lb",
        "Fragile. This side up.",
    ):
        assert text in said
    assert BEER not in said


def test_a_box_slip_without_an_address_leaves_a_line_to_write_on() -> None:
    said = slip_text(boxes(1, ())[0], BOX, 190, 132)
    assert [round(length / MM) for _, _, length in said.rules] == [80]
    assert slip_overflows(boxes(1, (LONG_NAME,) * 12), BOX, load_sheet("a4-2")) == [Overflow("box 1", "to")]


def test_a_part_used_sheet_begins_at_its_first_free_place() -> None:
    made = load_sheet("letter-8")
    whole = pages(drawn(many(3, 3), Placing(made)))
    late = pages(drawn(many(3, 3), Placing(made, start=8)))
    assert len(whole) == len(late) == 2
    assert late[0].count("Bottle") == 1
    assert late[1].count("Bottle") == 8
    free = Placing(made, start=8).corners_pt()[7]
    found = positions(drawn([slip()], Placing(made, start=8)))
    width, height = made.width * MM, made.height * MM
    assert found
    assert all(free[0] < x < free[0] + width and free[1] < y < free[1] + height for x, y in found)


def test_a_nudge_moves_everything_by_its_millimetres() -> None:
    made = load_sheet("a4-8")
    still = positions(drawn([slip()], Placing(made)))
    moved = positions(drawn([slip()], Placing(made, nudge=(1.5, -1.0))))
    assert [(x + 1.5 * MM, y + 1.0 * MM) for x, y in still] == [pytest.approx(at, abs=0.02) for at in moved]
