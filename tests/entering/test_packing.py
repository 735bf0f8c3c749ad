"""Bottles for each entry, what remains, and how boxes are filled."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.entering.bottles import allocate, bottle_objections
from entryprep.entering.boxes import GRIDS, PACKING_KG, boxes
from entryprep.entering.packing import packing_plan
from entryprep.entering.plan import Box, PackingRow, Take
from entryprep.entering.season import Entered, Season
from entryprep.records.batch import Batch, Bottles
from entryprep.records.bottles import filled
from entryprep.records.competition import BottleRules, Competition
from entryprep.records.entry import Entry
from entryprep.tables.styles import load_styles
from tests.work import lines_run

LONGNECK_KG = 0.561  # the table of full containers: 355 ml longneck, 561 g, computed from 200 g of glass
SMALL = {"size": ["300 ml", "400 ml"]}


def season(
    stock: dict[str, list[dict[str, Any]]], competitions: dict[str, dict[str, Any]], entries: list[tuple[str, str]]
) -> Season:
    """Batches with their bottles, competitions, and entries as (batch, competition)."""
    made = Season(Path("season"), load_styles())
    for name, bottles in stock.items():
        made.batches[name] = Batch.model_validate({"name": name.title(), "bottles": bottles})
    for name, changes in competitions.items():
        record = {"name": f"The {name}", "categories": [{"code": "A", "name": "Ales"}], **changes}
        made.competitions[name] = Competition.model_validate(record)
    for index, (batch, name) in enumerate(entries):
        into = made.competitions[name]
        entry = Entry.model_validate({"batch": batch, "competition": name, "category": "A", "number": str(100 + index)})
        made.entered.append(Entered(index, entry, batch, made.batches[batch], name, into, into.categories[0]))
    return made


def kinds(takes: tuple[Take, ...]) -> list[tuple[str, int]]:
    return [(take.bottle_type, take.count) for take in takes]


# --- what a competition refuses


@pytest.mark.parametrize(
    ("bottle", "rules", "said"),
    [
        ({}, {}, ()),
        ({}, {"size": ["10 fl oz", "12 fl oz"]}, ()),
        ({"type": "half-litre"}, {"size": ["10 fl oz", "16 fl oz"]}, ("size",)),
        ({"size": "250 ml"}, {"size": ["10 fl oz", "16 fl oz"]}, ("size",)),
        ({"glass": "clear"}, {"glass": ["brown", "green"]}, ("glass",)),
        ({"type": "swing-top-500"}, {"closures": ["crown"]}, ("closure",)),
        ({"embossed": True}, {}, ()),
        ({"embossed": True}, {"embossed": False}, ("embossed",)),
        ({"printed": True}, {}, ("printed",)),
        ({"printed": True}, {"printed": True}, ()),
        ({"caps": "printed"}, {"printed_caps": "blacked-out"}, ()),
        ({"caps": "printed"}, {"printed_caps": "refused"}, ("caps",)),
        ({"caps": "blacked-out"}, {"printed_caps": "refused"}, ()),
        ({}, {"diameter": "70 mm", "height": "241 mm"}, ()),
        ({"type": "bomber"}, {"diameter": "70 mm", "height": "241 mm"}, ("diameter", "height")),
    ],
)
def test_objections_name_each_rule_broken(bottle: dict[str, Any], rules: dict[str, Any], said: tuple[str, ...]) -> None:
    kind = filled(Bottles.model_validate({"count": 1, **bottle}))
    assert bottle_objections(kind, BottleRules.model_validate(rules)) == said


# --- which bottles an entry takes


def test_bottles_of_an_entry_look_alike_where_they_can() -> None:
    stock = [{"count": 1, "type": "longneck"}, {"count": 2, "type": "euro-330"}]
    made = season({"b": stock}, {"cup": {}}, [("b", "cup"), ("b", "cup")])
    takes = allocate(made)
    assert kinds(takes[0]) == [("euro-330", 2)]
    assert kinds(takes[1]) == [("longneck", 1)], "fewer than wanted where no more are there"


def test_few_kinds_are_mixed_where_no_kind_has_enough() -> None:
    stock = [{"count": 1, "type": t} for t in ("longneck", "euro-330")] + [{"count": 2, "type": "canada-341"}]
    made = season({"b": stock}, {"cup": {"bottles": {"count": 3}}}, [("b", "cup")])
    assert kinds(allocate(made)[0]) == [("canada-341", 2), ("longneck", 1)]


def test_only_bottles_that_are_allowed_are_taken() -> None:
    stock = [{"count": 9, "type": "half-litre"}, {"count": 1, "type": "longneck"}]
    made = season({"b": stock}, {"cup": {"bottles": SMALL}}, [("b", "cup")])
    assert kinds(allocate(made)[0]) == [("longneck", 1)]


def test_a_lenient_competition_leaves_a_strict_one_its_bottles() -> None:
    stock = [{"count": 2, "type": "longneck"}, {"count": 2, "type": "half-litre"}]
    competitions = {"easy": {}, "strict": {"bottles": SMALL}}
    takes = allocate(season({"b": stock}, competitions, [("b", "easy"), ("b", "strict")]))
    assert kinds(takes[0]) == [("half-litre", 2)]
    assert kinds(takes[1]) == [("longneck", 2)]


def test_an_earlier_entry_is_no_rival_any_more() -> None:
    stock = [{"count": 2, "type": "half-litre"}, {"count": 4, "type": "longneck"}]
    competitions = {"strict": {"bottles": SMALL}, "easy": {}, "large": {"bottles": {"size": ["450 ml", "550 ml"]}}}
    takes = allocate(season({"b": stock}, competitions, [("b", "strict"), ("b", "easy"), ("b", "large")]))
    assert [kinds(takes[i]) for i in range(3)] == [[("longneck", 2)], [("longneck", 2)], [("half-litre", 2)]]


def test_without_rivals_the_order_of_the_record_decides() -> None:
    stock = [{"count": 5, "type": "half-litre"}, {"count": 5, "type": "longneck"}]
    assert kinds(allocate(season({"b": stock}, {"cup": {}}, [("b", "cup")]))[0]) == [("half-litre", 2)]


def test_an_unknown_kind_of_bottle_is_left_out() -> None:
    made = season({"b": [{"count": 5, "type": "amphora"}]}, {"cup": {}}, [("b", "cup")])
    assert allocate(made)[0] == ()
    assert packing_plan(made, "cup").boxes == ()


KINDS = st.sampled_from(["longneck", "half-litre", "nip", "bomber"])
STOCK = st.lists(st.tuples(KINDS, st.integers(0, 6)), max_size=4)


@given(STOCK, st.lists(st.sampled_from(["easy", "strict", "large"]), min_size=1, max_size=6))
def test_no_bottle_is_taken_twice_and_none_is_refused_or_superfluous(
    stock: list[tuple[str, int]], where: list[str]
) -> None:
    competitions: dict[str, dict[str, Any]] = {
        "easy": {},
        "strict": {"bottles": SMALL},
        "large": {"bottles": {"count": 3, "size": [450, 700]}},
    }
    bottles = [{"type": kind, "count": count} for kind, count in stock]
    made = season({"b": bottles}, competitions, [("b", name) for name in where])
    takes = allocate(made)
    assert sorted(takes) == list(range(len(where)))
    for kind in {kind for kind, _ in stock}:
        have = sum(count for each, count in stock if each == kind)
        assert sum(t.count for each in takes.values() for t in each if t.bottle_type == kind) <= have
    for entered in made.entered:
        rules = entered.competition.bottles
        assert sum(t.count for t in takes[entered.index]) <= rules.count
        for take in takes[entered.index]:
            assert take.count > 0
            assert not bottle_objections(filled(Bottles(count=1, type=take.bottle_type)), rules)


# --- the plan


def test_stock_and_remainder_count_the_entries_of_other_competitions() -> None:
    stock = {"b": [{"count": 7, "type": "longneck"}], "c": [{"count": 1, "type": "longneck"}]}
    entries = [("b", "first"), ("c", "cup"), ("b", "cup"), ("b", "first")]
    made = season(stock, {"cup": {"bottles": {"count": 3}}, "first": {}}, entries)
    assert [(r.batch_id, r.needed, r.stock, r.remaining) for r in packing_plan(made, "cup").rows] == [
        ("c", 3, 1, 0),
        ("b", 3, 5, 2),
    ]
    assert [(r.stock, r.remaining) for r in packing_plan(made, "first").rows] == [(7, 5), (2, 0)]
    with pytest.raises(KeyError):
        packing_plan(made, "nowhere")


def test_materials_are_counted() -> None:
    made = season({"b": [{"count": 9, "type": "champagne-375"}]}, {"cup": {"bottles": {"count": 4}}}, [("b", "cup")])
    said = "\n".join(packing_plan(made, "cup").materials)
    for part in ("1 sturdy box with dividers (3 × 2 slots)", "1 plastic liner bag", "4 slips", "4 rubber bands",
                 "1 zip bag", "absorbent", "5 cm (2 in) of cushioning", "75 mm wide and 245 mm tall"):  # fmt: skip
        assert part in said
    assert "foam" in said, "no loose foam"


def test_tape_is_named_only_where_the_competition_wants_it() -> None:
    stock = {"b": [{"count": 2, "type": "longneck"}]}
    taped = packing_plan(season(stock, {"cup": {"labels": {"attach": "tape"}}}, [("b", "cup")]), "cup")
    assert "2 slips and tape to hold them" in taped.materials
    assert not any("rubber" in line for line in taped.materials)


def test_a_season_without_bottles_needs_nothing() -> None:
    plan = packing_plan(season({"b": []}, {"cup": {}}, [("b", "cup")]), "cup")
    assert plan.boxes == ()
    assert plan.materials == ()


# --- boxes


def row(number: str, count: int, full_g: float = 561.0) -> PackingRow:
    takes = (Take("longneck", count, 355, full_g, 61, 231),)
    return PackingRow("X", number, "b", "B", "cup", "A", count, count, 0, takes)


def codes(box: Box) -> list[str]:
    return [slot for slot in box.slots if slot]


@pytest.mark.parametrize(("count", "grid"), [(1, (3, 2)), (6, (3, 2)), (7, (4, 3)), (12, (4, 3)), (13, (6, 4))])
def test_the_smallest_usual_grid_is_taken(count: int, grid: tuple[int, int]) -> None:
    (box,) = boxes("cup", [row("1", count)], 99)
    assert (box.columns, box.rows) == grid
    assert len(box.slots) == grid[0] * grid[1]


@pytest.mark.parametrize(("count", "least_kg", "most_kg"), [(12, 7.5, 8.2), (24, 15.0, 16.0)])
def test_masses_agree_with_the_trade(count: int, least_kg: float, most_kg: float) -> None:
    """From memory: 12 longnecks packed are about 7.5 to 8.2 kg, 24 about 15 to 16 kg."""
    (box,) = boxes("cup", [row("1", count)], 99)
    assert least_kg <= box.mass_kg <= most_kg


def test_twenty_five_pounds_hold_sixteen_longnecks() -> None:
    """From memory: 25 lb fits about 16 to 18 longnecks."""
    filled_boxes = boxes("cup", [row(str(i), 1) for i in range(32)], 25 * 0.45359237)
    assert [len(codes(box)) for box in filled_boxes] == [16, 16]
    assert [(box.number, box.of) for box in filled_boxes] == [(1, 2), (2, 2)]
    assert len(boxes("cup", [row(str(i), 1) for i in range(33)], 25 * 0.45359237)) == 3


@pytest.mark.parametrize(
    ("entries", "each", "loads"),
    [  # three boxes of twelve leave no slot empty; as many boxes of 15, 12 and 9 would leave twelve
        (12, 3, [12, 12, 12]),
        (8, 3, [12, 12]),
        (9, 2, [12, 6]),
        (10, 2, [10, 10]),  # 12 and 8 would leave as many slots empty
        (6, 4, [12, 12]),
    ],
)
def test_as_few_boxes_as_can_be_then_as_full_then_as_even(entries: int, each: int, loads: list[int]) -> None:
    filled_boxes = boxes("cup", [row(str(i), each) for i in range(entries)], 25 * 0.45359237)
    assert [len(codes(box)) for box in filled_boxes] == loads


def test_an_entry_stays_in_one_box_where_it_fits() -> None:
    filled_boxes = boxes("cup", [row(str(i), 3) for i in range(9)], 99)
    assert sorted(len(codes(box)) for box in filled_boxes) == [6, 21], "three empty slots; 12 and 15 leave nine"
    filled_boxes = boxes("cup", [row("a", 5), row("b", 5)], 5.2)
    assert [codes(box) for box in filled_boxes] == [["a"] * 5, ["b"] * 5]


def test_an_entry_too_heavy_for_one_box_is_divided() -> None:
    filled_boxes = boxes("cup", [row("a", 1), row("b", 8)], 3.0)
    assert [len(codes(box)) for box in filled_boxes] == [3, 3, 3]


def fewest(rows: list[PackingRow], limit: float) -> int:
    """The fewest boxes for whole entries, by trying every way to put them together."""

    def fits(group: tuple[PackingRow, ...]) -> bool:
        count = sum(r.needed for r in group)
        slots = next((c * r for c, r in GRIDS if c * r >= count), 0)
        mass = sum(r.takes[0].full_g * r.needed / 1000 for r in group)
        return slots > 0 and mass + PACKING_KG[slots] <= limit

    def tried(left: list[PackingRow], groups: list[tuple[PackingRow, ...]]) -> int:
        if not left:
            return len(groups)
        first, *rest = left
        into = [
            tried(rest, [*groups[:i], (*group, first), *groups[i + 1 :]])
            for i, group in enumerate(groups)
            if fits((*group, first))
        ]
        return min([*into, tried(rest, [*groups, (first,)])])

    return tried(rows, [])


def test_no_way_of_packing_whole_entries_needs_fewer_boxes() -> None:
    """Against trying every way, for 60 small seasons of mixed bottles."""
    chance = random.Random(11)
    for _ in range(60):
        sizes = [(chance.choice((1, 2, 3)), chance.choice((400, 561, 830, 1039))) for _ in range(chance.randint(3, 8))]
        rows = [row(str(i), count, mass) for i, (count, mass) in enumerate(sizes)]
        assert len(boxes("cup", rows, 9.0)) == fewest(rows, 9.0), sizes


def test_a_bottle_over_the_limit_has_a_box_of_its_own() -> None:
    (first, second) = boxes("cup", [row("a", 2, 1800)], 1.0)
    assert codes(first) == codes(second) == ["a"]
    assert first.mass_kg > first.limit_kg, "the paper says that it is over"


def test_a_mass_that_needs_no_rounding_is_not_rounded_up() -> None:
    (box,) = boxes("cup", [row("a", 3, 700)], 99)
    assert box.mass_kg == 2.7


ROWS = st.lists(st.tuples(st.integers(0, 24), st.floats(200, 2000)), max_size=12)


@given(ROWS, st.floats(0.5, 40))
def test_every_bottle_has_one_slot_and_every_box_keeps_its_limit(rows: list[tuple[int, float]], limit: float) -> None:
    listed = [row(str(i), count, mass) for i, (count, mass) in enumerate(rows)]
    filled_boxes = boxes("cup", listed, limit)
    packed = sorted((code for box in filled_boxes for code in codes(box)), key=int)
    assert packed == [str(i) for i, (count, _) in enumerate(rows) for _ in range(count)]
    for box in filled_boxes:
        assert (box.columns, box.rows) in GRIDS
        assert box.mass_kg <= limit + 0.1 or len(codes(box)) == 1, "up to the next 100 g"
    assert filled_boxes == boxes("cup", listed, limit)


def test_a_large_season_is_planned_in_linear_work() -> None:
    def work(entries: int) -> int:
        stock = {f"b{i}": [{"count": 6, "type": "longneck"}] for i in range(50)}
        made = season(stock, {"cup": {}}, [(f"b{i % 50}", "cup") for i in range(entries)])
        packing_plan(made, "cup")  # what is worked out once, such as beers and tables, is not counted
        return lines_run(lambda: packing_plan(made, "cup"))

    few, many = work(250), work(1000)
    assert few > 250
    assert many < 5 * few, "four times the entries: about four times the work"
