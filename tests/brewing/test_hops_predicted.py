"""What each use of hops comes to in a prediction, and the gravity of the kettle that it is reckoned with."""

from __future__ import annotations

from typing import Any, Literal

import pytest

from entryprep.brewing.extract import Fermentable
from entryprep.brewing.plan import Hops, Plan
from entryprep.brewing.prediction import Prediction, predict

MALT = Fermentable(4.6, 0.8)
Use = Literal["boil", "first wort", "mash", "stand", "dry"]


def brewed(hops: list[Hops], *more: Fermentable, **plan: Any) -> Prediction:
    """A prediction of 20 L of wort of malt, boiled for 75 minutes, with these hops."""
    return predict(Plan([MALT, *more], hops, 20.0, 0.75, boil_minutes=75.0, **plan))


def ibu(use: Use, minutes: float = 0.0, celsius: float = 90.0) -> float:
    return brewed([Hops(30, 6, use, minutes, celsius)]).vitals["ibu"].value


def test_first_wort_hops_boil_as_long_as_the_wort_and_give_a_little_more() -> None:
    # Preis & Mitter, Brauwelt International IV:308, 1995: 39.6 IBU against 37.9 (numbers from memory)
    assert ibu("first wort") / ibu("boil", 75) == pytest.approx(39.6 / 37.9, abs=0.01)
    assert ibu("first wort", 5) == ibu("first wort")  # the time of the boil counts, not one of their own


def test_hops_in_the_mash_give_a_fifth() -> None:
    # common practice
    assert ibu("mash") / ibu("boil", 75) == pytest.approx(0.2)


def test_dry_hops_give_none() -> None:
    # by definition: see the module of bitterness
    assert ibu("dry", 60) == 0


def test_a_stand_counts_by_its_heat() -> None:
    # at 100 °C it is a boil; below 60 °C nothing isomerises; rates by Malowicki & Shellhammer, J. Agric. Food Chem.
    # 53(11), 2005, k = 7.9e11 e^(-11858/T): at 90 °C 0.0052, at 100 °C 0.0125 a minute, 0.42 of it
    assert ibu("stand", 30, 100) == pytest.approx(ibu("boil", 30))
    assert ibu("stand", 30, 59.9) == 0 < ibu("stand", 30, 60)
    assert ibu("stand", 30, 90) == pytest.approx(ibu("boil", 30 * 0.0052 / 0.0125), rel=0.02)


def test_each_addition_is_told_in_the_order_of_the_recipe() -> None:
    hops = [Hops(30, 6, "stand", 20), Hops(20, 5, "boil", 60), Hops(50, 6, "dry"), Hops(10, 8, "first wort")]
    got = brewed(hops)
    assert got.hop_ibu == pytest.approx([brewed([one]).vitals["ibu"].value for one in hops])
    assert got.vitals["ibu"].value == pytest.approx(sum(got.hop_ibu))


def test_beer_dissolves_no_more() -> None:
    # beerandbrewing.com, "bitterness units": about 110 mg/l; the additions are told as they add up
    got = brewed([Hops(500, 15, "boil", 60)])
    assert got.vitals["ibu"].value == 110
    assert sum(got.hop_ibu) > 110


def test_the_gravity_of_the_kettle_is_the_mean_over_the_boil() -> None:
    # points times volume stay (common practice): 20 L hold 3/2 of the points that 30 L held
    og = brewed([]).vitals["og"].value
    boil = brewed([], boil_volume_l=30.0).boil_sg
    assert boil is not None
    assert (boil - 1) / (og - 1) == pytest.approx((1 + 2 / 3) / 2)
    for no_more in (None, 0.0, 20.0, 15.0):
        assert brewed([], boil_volume_l=no_more).boil_sg == og


@pytest.mark.parametrize("stage", ["late", "fermenter"])
def test_what_is_not_boiled_does_not_thicken_the_kettle(stage: Literal["late", "fermenter"]) -> None:
    plain = brewed([])
    sugared = brewed([], Fermentable(1.0, 1.0, use="dissolved", fermentable=1.0, stage=stage))
    assert sugared.boil_sg == pytest.approx(plain.vitals["og"].value)
    assert sugared.vitals["og"].value > plain.vitals["og"].value + 0.015
    both = brewed([], *(Fermentable(0.5, 1.0, use="dissolved", stage=s) for s in ("late", "fermenter")))
    assert both.boil_sg == pytest.approx(plain.vitals["og"].value)
    assert both.pitching_og is not None
    assert plain.vitals["og"].value < both.pitching_og.value < both.vitals["og"].value


@pytest.mark.parametrize("ferments", [None, 0.0, 0.1, 0.95, 1.0])
def test_nothing_but_late_extract_is_no_extract_in_the_kettle(ferments: float | None) -> None:
    # its shares may add up to a hair less than the whole
    only = Fermentable(3.1, 0.97, use="dissolved", fermentable=ferments, stage="late")
    got = predict(Plan([only], [Hops(30, 6, "boil", 60)], 21.0))
    assert got.boil_sg == pytest.approx(1.0, abs=1e-9)
    assert got.vitals["og"].value > 1.04
