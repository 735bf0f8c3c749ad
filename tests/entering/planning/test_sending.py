"""What sending costs, against the boxes of the packing list and against trying every number of boxes."""

from __future__ import annotations

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.entering.boxes import boxes
from entryprep.entering.plan import PackingRow, Take
from entryprep.entering.planning.sending import BoxKind, box_kinds, sending_cost
from entryprep.records.competition import Competition

KIND = st.builds(
    BoxKind,
    st.sampled_from([6, 12, 24]),
    st.floats(1.0, 12.0).map(lambda kg: round(kg, 2)),
    st.integers(1, 30).map(float),
)


@given(st.lists(KIND, min_size=1, max_size=3), st.integers(1, 20), st.floats(0.5, 12.0))
def test_no_other_number_of_boxes_is_cheaper(kinds: list[BoxKind], bottles: int, mass_kg: float) -> None:
    mass_kg = round(mass_kg, 2)
    enough = [
        sum(n * kind.cost for n, kind in zip(counts, kinds, strict=True))
        for counts in itertools.product(range(13), repeat=len(kinds))
        if sum(n * kind.slots for n, kind in zip(counts, kinds, strict=True)) >= bottles
        and sum(n * kind.payload_kg for n, kind in zip(counts, kinds, strict=True)) >= mass_kg - 1e-9
    ]
    assert sending_cost(tuple(kinds), bottles, mass_kg) == pytest.approx(min(enough))


def test_price_follows_the_boxes_of_the_packing_list() -> None:
    rates: list[dict[str, Any]] = [{"up_to": "4 kg", "cost": 10}, {"up_to": "25 lb", "cost": 18}]
    cup = Competition.model_validate(
        {"name": "x", "categories": [{"code": "1", "name": "Porter"}], "sending": {"rates": rates}}
    )
    for count in range(1, 17):
        take = Take("longneck", count, 355, 561, 61, 231)
        row = PackingRow("x", None, "b", "b", "c", "1", count, count, 0, (take,))
        packed = boxes("c", [row], cup.delivery.box_limit)
        # the packing list rounds a box up to 100 g; 24 slots are not needed here
        cost = sum(
            next(rate["cost"] for rate, heaviest in zip(rates, (4.0, 11.34), strict=True) if box.mass_kg <= heaviest)
            for box in packed
        )
        assert sending_cost(box_kinds(cup), count, count * 0.561) <= cost
        if len(packed) == 1:
            assert sending_cost(box_kinds(cup), count, count * 0.561) == cost


def test_no_price_is_free_and_a_dearer_box_that_holds_no_more_is_left_out() -> None:
    cup = Competition.model_validate({"name": "x", "categories": [{"code": "1", "name": "Porter"}]})
    assert (box_kinds(cup), sending_cost((), 30, 20.0)) == ((), 0.0)
    rates = {"rates": [{"up_to": "5 kg", "cost": 10}, {"up_to": "4 kg", "cost": 12}]}
    dear = cup.model_copy(
        update={"sending": Competition.model_validate({**cup.model_dump(), "sending": rates}).sending}
    )
    assert {kind.cost for kind in box_kinds(dear)} == {10}
