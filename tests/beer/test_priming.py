"""Gas that follows from priming: however much sugar, the answer is a number, and too much of it is loud."""

from __future__ import annotations

from typing import Any

import pytest

from entryprep import Beer, Season, check
from entryprep.brewing.carbonation import BEYOND_ALL
from entryprep.findings import Severity
from entryprep.records.batch import Batch


def primed(mass: float, beer: float, temperature: float = 20.0, **more: Any) -> Batch:
    priming = {"sugar": "table sugar", "mass": mass, "beer": beer, "temperature": temperature}
    carbonation = {"method": "bottle-conditioned", "priming": priming}
    return Batch(name="Ferry", carbonation=carbonation, **more)


def volumes(batch: Batch) -> float:
    gas = Beer.from_batch(batch).vitals.co2
    assert gas is not None
    return gas.value


def test_usual_priming_gives_usual_gas() -> None:
    """Common practice: 6 g of table sugar in a litre that was at 20 °C is about 2.4 volumes."""
    assert volumes(primed(120, 20)) == pytest.approx(2.43, abs=0.1)


@pytest.mark.parametrize(("mass", "beer"), [(2_000_000, 0.001), (2000, 20), (1, 1e-300)])
def test_more_sugar_than_any_bottle_holds_is_a_stop_and_not_left_out(mass: float, beer: float) -> None:
    batch = primed(mass, beer, bottles=[{"count": 6, "type": "longneck"}])
    assert 8.0 < volumes(batch) <= BEYOND_ALL
    found = [f for f in check(Season.build({"ferry": batch}, {})) if f.rule == "over-carbonated"]
    assert [f.severity for f in found] == [Severity.ERROR]


def test_numbers_that_are_none_raise_nothing() -> None:
    """Values changed in code, past the checks of a record."""
    usual = primed(120, 20)
    assert usual.carbonation is not None
    assert usual.carbonation.priming is not None
    for mass, beer in ((float("inf"), 20.0), (120.0, float("inf")), (float("inf"), float("inf")), (120.0, 0.0)):
        priming = usual.carbonation.priming.model_copy(update={"mass": mass, "beer": beer})
        batch = usual.model_copy(update={"carbonation": usual.carbonation.model_copy(update={"priming": priming})})
        vitals = Beer.from_batch(batch).vitals
        assert vitals.co2 is None or 0 < vitals.co2.value <= BEYOND_ALL
