"""The box plans: bottles as wide as they are, boxes as large as they must be, and the copy inside names nobody."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from entryprep.entering.boxes import boxes
from entryprep.entering.plan import PackingRow, Take
from entryprep.paper.placing import MM
from tests.paper.papers import packing_pdf
from tests.paper.readback import opened, pages, plain
from tests.paper.samples import BEER, IDENTITY, PERSON, packing_plan

LONGNECK = Take("longneck", 1, 355, 561, 61, 231)
WIDE = Take("bomber", 1, 650, 1039, 75, 290)


def row(number: str, *takes: Take) -> PackingRow:
    needed = sum(take.count for take in takes)
    return PackingRow(number, number, "b", "Beer", "cup", "S3", needed, needed, 0, takes)


@pytest.mark.parametrize(
    ("bottles", "inches"),
    [  # slots of 2.75 × 2.75 × 9.25 in as a national competition asks for longnecks, and 2 in of cushioning all round,
        # a carrier's packing guide: the sums of our reference on packing, section 4.5
        (6, (12.25, 9.5, 13.25)),
        (12, (15.0, 12.25, 13.25)),
        (24, (20.5, 15.0, 13.25)),
    ],
)
def test_a_box_of_longnecks_is_as_large_as_its_slots_and_cushions(
    bottles: int, inches: tuple[float, float, float]
) -> None:
    (box,) = boxes("cup", [row("1", replace(LONGNECK, count=bottles))], 40.0)
    assert box.outer_cm == pytest.approx([side * 2.54 for side in inches], abs=1.0)
    assert box.slot_mm == pytest.approx(2.75 * 25.4, abs=0.5)


def test_the_widest_and_the_tallest_bottle_make_the_box() -> None:
    (box,) = boxes("cup", [row("1", LONGNECK), row("2", WIDE), row("3", LONGNECK)], 11.3)
    assert box.diameters_mm == (61, 75, 61, 0, 0, 0)
    assert (box.slot_mm, box.tall_mm) == (84, 290)
    (narrow,) = boxes("cup", [row("1", LONGNECK), row("3", LONGNECK)], 11.3)
    assert all(a > b for a, b in zip(box.outer_cm, narrow.outer_cm, strict=True))


def test_bottles_are_drawn_as_wide_as_they_are() -> None:
    filled = boxes("cup", [row("1", LONGNECK), row("2", WIDE)], 11.3)
    pdf = packing_pdf(replace(packing_plan(), boxes=filled), "a4")
    content = opened(pdf).pages[0].get_contents()
    assert content is not None
    # a circle begins on its right; the second of its four curves ends on its left
    number = rb"([\d.]+) "
    circle = number + rb"[\d.]+ m\s+(?:[\d.]+ ){6}c\s+(?:[\d.]+ ){4}" + number + rb"[\d.]+ c"
    widths = [(float(right) - float(left)) / MM for right, left in re.findall(circle, content.get_data())]
    assert widths == pytest.approx([16 * 61 / 84, 16 * 75 / 84], abs=0.05)


def test_sizes_and_masses_stand_beside_each_plan() -> None:
    filled = boxes("cup", [row("1", replace(LONGNECK, count=12))], 11.3)
    said = plain(packing_pdf(replace(packing_plan(), boxes=filled), "letter"))
    assert "Box 1 of 1: 12 bottles, about 8.0 kg / 18 lb (limit 11.3 kg / 25 lb)" in said
    assert "4 × 3 slots at least 70 mm wide, bottles to 231 mm tall" in said
    assert "outside about 39 × 32 × 34 cm (15 × 13 × 13 in) with cushioning" in said


def test_the_copy_inside_each_box_names_neither_brewer_nor_beer_where_the_competition_is_blind() -> None:
    plan = packing_plan()
    first, *copies = pages(packing_pdf(plan, "a4"))
    assert BEER in first
    assert len(copies) == 2
    for number, copy in enumerate(copies, 1):
        assert f"Inside box {number} of 2" in copy
        assert BEER not in copy
        assert PERSON not in copy
    assert "0417" in copies[0]
    assert "(R4T9X)" in copies[0]
    assert "20 bottles in this box" in copies[1]


def test_the_copy_names_the_brewer_where_the_competition_wants_it() -> None:
    _, *copies = pages(packing_pdf(replace(packing_plan(), brewer=IDENTITY), "a4"))
    assert all(line in copy for line in IDENTITY for copy in copies)


@pytest.mark.parametrize("number", ["W" * 16, "12345678901234", "1"])
def test_a_number_stays_whole_in_its_slot(number: str) -> None:
    filled = boxes("cup", [row(number, LONGNECK), row("2", WIDE)], 11.3)
    said = "".join(pages(packing_pdf(replace(packing_plan(), boxes=filled), "a4"))[0].split())
    assert number in said
    assert "…" not in said


def test_no_bottles_no_boxes_and_no_copies() -> None:
    assert boxes("cup", [row("1")], 11.3) == ()
    assert len(pages(packing_pdf(replace(packing_plan(), boxes=()), "a4"))) == 1
