"""Handling marks, the country of an address, and numbers that keep inside their circles."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from pydantic import ValidationError

from entryprep.paper.boxplan import CAPITALS, SMALLEST, BoxPlan, _letter
from entryprep.paper.fonts import width_pt
from entryprep.paper.handling import handling_signs
from entryprep.paper.placing import MM
from entryprep.paper.slipvalues import box_slips
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Competition
from entryprep.tables.countries import country_name
from entryprep.tables.labelsheets import load_sheet
from entryprep.tables.sliplayouts import SlipLayout, find_layout
from tests.paper.papers import packing_pdf
from tests.paper.readback import plain
from tests.paper.samples import packing_plan

BOX = find_layout("box")
CUP = {"name": "The Cup", "categories": [{"code": "A", "name": "Ales"}]}


@pytest.mark.parametrize("sheet", ["a4-2", "letter-2", "letter-6-adhesive"])
def test_the_marks_of_a_box_stand_on_the_slip_side_by_side(sheet: str) -> None:
    made = load_sheet(sheet)
    places = []
    for sign in handling_signs(BOX, made):
        found = re.match(r"q ([\d.]+) 0 0 [\d.]+ ([\d.]+) ([\d.]+) cm", sign)
        assert found is not None
        scale, x, y = (float(number) for number in found.groups())
        places.append((x, x + 75 * scale))
        assert x > 0
        assert x + 75 * scale < made.width * MM
        assert 0 < y < y + 100 * scale < made.height * MM
        points = [float(n) for n in re.findall(r"(-?[\d.]+) -?[\d.]+ [ml]", sign)]
        assert min(points) >= 0
        assert max(points) <= 75
    (a, b), (c, d) = sorted(places)
    assert a < b < c < d


def test_marks_that_lie_on_words_or_on_a_bottle_are_refused() -> None:
    data = BOX.model_dump(exclude_none=True)
    data["signs"] = [{"sign": "fragile", "right": 60, "bottom": 6, "height": 18}]
    with pytest.raises(ValidationError, match="lies on zone 4"):
        SlipLayout.model_validate(data)
    bottle = find_layout("bottle").model_dump(exclude_none=True)
    bottle["signs"] = [{"sign": "fragile", "right": 6, "bottom": 6, "height": 8}]
    with pytest.raises(ValidationError, match="a bottle needs no handling mark"):
        SlipLayout.model_validate(bottle)


def test_a_box_says_both_countries_and_is_printed_for_outside_and_inside() -> None:
    address = {"delivery": {"address": ["1 Quay", "Ebbing"]}, "country": "NO"}
    brewer = Brewer.model_validate({"name": "Ødger Kvist", "address": ["2 Strand"], "country": "IE", "phone": "555 01"})
    slip = box_slips(packing_plan().boxes[:1], Competition.model_validate(CUP | address), brewer)[0]
    assert slip.values["to"] == ("1 Quay", "Ebbing", "NORWAY")
    assert slip.values["from"] == ("Ødger Kvist", "2 Strand", "IRELAND", "555 01")
    assert (slip.first, slip.last) == (1, 2)
    bare = box_slips(packing_plan().boxes[:1], Competition.model_validate(CUP | {"country": "NO"}), None)[0]
    assert "to" not in bare.values, "a country alone is no address: a line is left to write on"


def test_a_country_is_named_by_its_code() -> None:
    # ISO 3166-1, from memory
    assert [country_name(c) for c in ("US", "NO", "GB", "CZ")] == [
        "United States", "Norway", "United Kingdom", "Czechia",
    ]  # fmt: skip
    assert country_name("XX") == "XX"


@pytest.mark.parametrize("label", ["1", "0417", "12345678901234", "W" * 9, "S3:K7Q2", "2027/0417-B"])
@pytest.mark.parametrize("share", [0.75, 0.92])
def test_every_line_of_a_number_lies_inside_its_circle(label: str, share: float) -> None:
    slot = 16 * MM
    box = replace(
        packing_plan().boxes[0], columns=1, rows=1, slots=(label,), diameters_mm=(61.0,), slot_mm=61.0 / share
    )
    plan = BoxPlan(box, slot)
    radius = slot / 2 * share
    (lines,) = plan.placed
    assert lines
    if not plan.letters:
        assert "".join(line.text for line in lines) == label.replace(":", "")
    for line in lines:
        assert line.size >= SMALLEST
        half = width_pt(line.text, line.font, line.size) / 2
        for y in (line.up, line.up + line.size * CAPITALS):
            assert math.hypot(half, y) <= radius


def test_a_number_no_circle_holds_has_a_letter_that_is_told() -> None:
    long = "W" * 40
    boxes = tuple(replace(box, slots=(long, *box.slots[1:])) for box in packing_plan().boxes[:1])
    said = plain(packing_pdf(replace(packing_plan(), boxes=boxes), "a4"))
    assert f"A = {long}" in said
    assert [_letter(n) for n in (0, 25, 26, 27, 52)] == ["A", "Z", "AA", "AB", "BA"]
