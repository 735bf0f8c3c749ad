"""Mass balance of beers, spirits, sugars and ice: published rows, an independent calculation, conservation."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import fsolve

from entryprep.brewing.alcohol import abv
from entryprep.brewing.contents import Contents, beer, spirit, sugar, water, without_ice
from entryprep.brewing.gravity import plato_from_sg, sg_at_volume
from tests.vectors import case_id, vector_rows

OG, LEFT = st.floats(1.025, 1.110), st.floats(0.12, 0.5)


def made(litres: float, og: float, left: float) -> Contents:
    return beer(litres, og, 1 + (og - 1) * left)


@given(st.floats(1, 60), OG, LEFT, st.floats(0, 90), st.floats(1, 40))
def test_contents_give_the_beer_back(litres: float, og: float, left: float, ibu: float, srm: float) -> None:
    fg = 1 + (og - 1) * left
    got = beer(litres, og, fg, ibu, srm).vitals()
    assert got["og"] == pytest.approx(og, abs=1e-8)
    assert got["fg"] == pytest.approx(fg, abs=1e-8)
    assert got["abv"] == pytest.approx(abv(og, fg), abs=1e-9)
    assert (got["ibu"], got["srm"]) == pytest.approx((ibu, srm))


@pytest.mark.parametrize("row", vector_rows("spirit.yaml"), ids=lambda row: case_id(row["source"]))
def test_parts_of_spirit_as_published(row: dict[str, Any]) -> None:
    of_spirit, of_base = row["parts"]
    both = spirit(of_base, row["base"]).plus(spirit(of_spirit, row["spirit"]))
    assert both.abv == pytest.approx(row["target"])


@pytest.mark.parametrize("row", vector_rows("spirit.yaml", "amounts"), ids=lambda row: case_id(row["source"]))
def test_amounts_of_spirit_as_published(row: dict[str, Any]) -> None:
    def blended(amount: float) -> float:
        return spirit(row["of_base"], row["base"]).plus(spirit(amount, row["spirit"])).abv

    # the digit to which the amount was printed
    assert blended(row["of_spirit"] - row["digit"]) <= row["target"] <= blended(row["of_spirit"] + row["digit"])


@given(st.floats(1, 30), st.floats(1.0, 1.1), st.floats(1, 30), st.floats(1.0, 1.1))
def test_points_times_volume_is_nearly_kept(a: float, sg_a: float, b: float, sg_b: float) -> None:
    # common practice: points · volume is additive, good to 0.0003 for like worts and 0.0006 for strong with water
    linear = 1 + ((sg_a - 1) * a + (sg_b - 1) * b) / (a + b)
    blend = beer(a, sg_a, sg_a).plus(beer(b, sg_b, sg_b)).fg
    assert blend == pytest.approx(linear, abs=0.0006)
    assert min(sg_a, sg_b) - 1e-6 <= blend <= max(sg_a, sg_b) + 1e-6


@given(st.floats(5, 40), st.floats(1.02, 1.06), st.floats(0.6, 0.95))
def test_water_taken_out_and_put_back(litres: float, sg: float, left: float) -> None:
    # the rule of points by volume against the blend by mass
    strong = sg_at_volume(sg, litres, litres * left)
    thinned = beer(litres * left, strong, strong).plus(water(litres * (1 - left)))
    assert thinned.fg == pytest.approx(sg, abs=0.0006)


@pytest.mark.parametrize(
    ("litres", "strength", "ice", "after"),
    # arithmetic on ice taken as pure water: strength times volume stays
    [(19, 7.0, 3.8, 8.75), (20, 7.5, 2.0, 8.33), (10, 8.0, 3.0, 11.43)],
)
def test_ice_taken_out(litres: float, strength: float, ice: float, after: float) -> None:
    # a beer of this strength, its original gravity found by scipy
    og = float(fsolve(lambda x: abv(float(x[0]), 1.018) - strength, [1.070])[0])
    got = without_ice(beer(litres, og, 1.018), litres - ice)
    assert got.abv == pytest.approx(after, abs=0.01)


def test_against_an_independent_balance() -> None:
    """Half a litre of 40 % in 19 L, and sugar in it: alcohol and extract by mass, gravities by solving Balling anew."""
    base = beer(19.0, 1.060, 1.015)
    got = base.plus(spirit(0.5, 40.0)).plus(sugar(0.3, 0.2, 0.8))
    alcohol_kg = 19 * 0.99821 * 1.015 * (0.01 * 100 * abv(1.060, 1.015) * 0.794 / 1.015 / 100)
    alcohol_kg += 0.5 * 0.40 * 0.794 * 0.99821 + 0.3 * 0.8 / 2.0665
    assert got.alcohol_l * 0.794 * 0.99821 == pytest.approx(alcohol_kg, rel=1e-9)
    oe, ae = plato_from_sg(1.060), plato_from_sg(1.015)
    extract_kg = 19 * 0.99821 * 1.015 * (0.1808 * oe + 0.8192 * ae) / 100 + 0.3 * 0.2
    assert got.extract_kg == pytest.approx(extract_kg, rel=1e-9)
    litres = got.volume_l

    def off(unknown: list[float]) -> list[float]:
        og, fg = unknown
        mass = litres * fg * 0.99821
        first, last = plato_from_sg(og), plato_from_sg(fg)
        real = 0.1808 * first + 0.8192 * last
        by_mass = (first - real) / (2.0665 - 0.010665 * first)
        return [by_mass * mass / 100 - alcohol_kg, real * mass / 100 - extract_kg]

    og, fg = fsolve(off, [1.06, 1.015])
    assert got.vitals()["og"] == pytest.approx(og, abs=1e-6)
    assert got.vitals()["fg"] == pytest.approx(fg, abs=1e-6)


def test_a_spirit_soaked_into_wood_counts_as_its_volume() -> None:
    # arithmetic: 19 L at 6.0 % and 0.5 L at 40 % hold 1.34 L of alcohol in 19.5 L
    og = float(fsolve(lambda x: abv(float(x[0]), 1.014) - 6.0, [1.060])[0])
    assert beer(19, og, 1.014).plus(spirit(0.5, 40)).abv == pytest.approx(6.87, abs=0.005)


@given(st.floats(5, 40), OG, LEFT, st.floats(0, 2), st.floats(0, 1), st.floats(0, 1), st.floats(20, 60))
def test_adding_and_taking_away_undo_each_other_and_conserve(
    litres: float, og: float, left: float, kilograms: float, fermented: float, spirits: float, strength: float
) -> None:
    base = made(litres, og, left)
    more = [sugar(kilograms, kilograms, fermented), spirit(spirits, strength), water(spirits)]
    served = base
    for part in more:
        served = served.plus(part)
    assert served.alcohol_l == pytest.approx(base.alcohol_l + sum(p.alcohol_l for p in more))
    assert served.extract_kg == pytest.approx(base.extract_kg + sum(p.extract_kg for p in more))
    for part in more:
        served = served.minus(part)
    assert served.vitals()["og"] == pytest.approx(og, abs=1e-7)


@given(OG, LEFT, st.floats(0.05, 2), st.floats(1.05, 2))
def test_more_of_it_does_more(og: float, left: float, kilograms: float, times: float) -> None:
    base = made(20, og, left)
    one, more = base.plus(sugar(kilograms)), base.plus(sugar(kilograms * times))
    assert more.abv > one.abv > base.abv
    assert more.fg < one.fg < base.fg
    thin, thinner = base.plus(water(kilograms)), base.plus(water(kilograms * times))
    assert thinner.abv < thin.abv < base.abv
    sweet, sweeter = base.plus(sugar(kilograms, 0, 0)), base.plus(sugar(kilograms * times, 0, 0))
    assert sweeter.fg > sweet.fg > base.fg


@given(OG, LEFT, st.floats(0.55, 0.99))
def test_ice_conserves_alcohol_and_extract(og: float, left: float, kept: float) -> None:
    base = made(20, og, left)
    assume(base.alcohol_l + base.extract_kg < 20 * kept)
    got = without_ice(base, 20 * kept)
    assert (got.alcohol_l, got.extract_kg) == (base.alcohol_l, base.extract_kg)
    assert got.abv == pytest.approx(base.abv / kept)


def test_bitterness_and_colour_dilute_in_proportion() -> None:
    # arithmetic: 10 L of 40 IBU and 8 SRM with 30 L of 20 IBU and 4 SRM are 25 IBU and 5 SRM
    one, other = beer(10, 1.050, 1.010, 40, 8), beer(30, 1.050, 1.010, 20, 4)
    both = one.plus(other).vitals()
    assert (both["ibu"], both["srm"]) == pytest.approx((25, 5))
    assert set(both) == {"og", "fg", "abv", "ibu", "srm"}
    back = one.plus(other).minus(other).vitals()
    assert (back["ibu"], back["srm"]) == pytest.approx((40, 8))
    assert one.times(3).vitals() == pytest.approx(one.vitals())
    plain = beer(10, 1.050, 1.010).vitals()
    assert (plain["ibu"], plain["srm"]) == (0, 0)


def test_what_is_added_takes_up_room() -> None:
    # 2 kg of water at 20 °C are 2.0036 L (usual tables, 0.9982 kg/l); a kilogram of dissolved sugar about 0.62 L (from
    # memory); ethanol weighs 0.789 kg/l at 20 °C (handbooks, from memory), in Balling's relations 0.793
    assert sugar(0, 2).volume_l == pytest.approx(2.0036, abs=0.0001)
    assert sugar(1, 0, 0).volume_l == pytest.approx(0.62)
    fermented = sugar(2.0665)  # by Balling 1 kg of alcohol
    assert fermented.volume_l == fermented.alcohol_l == pytest.approx(1 / 0.789, rel=0.006)
    honey = sugar(0.8, 0.2, 0.5)
    apart = [sugar(0, 0.2), sugar(0.4), sugar(0.4, 0, 0)]
    assert honey.volume_l == pytest.approx(sum(part.volume_l for part in apart))


def test_little_is_frozen_like_much() -> None:
    much, little = (without_ice(beer(litres, 1.080, 1.020), 0.7 * litres) for litres in (20, 0.8))
    assert little.vitals() == pytest.approx(much.vitals())
    assert without_ice(beer(20, 1.080, 1.020), 20).vitals() == pytest.approx(beer(20, 1.080, 1.020).vitals())
    with pytest.raises(ValueError, match="frozen down to 0 L"):
        without_ice(water(20), 0)


def test_what_cannot_be_is_refused() -> None:
    base = made(20, 1.050, 0.25)
    calls: list[Callable[[], object]] = [
        lambda: base.minus(water(21)),
        lambda: base.minus(spirit(5, 90)),
        lambda: without_ice(base, 0.5),
        lambda: without_ice(base, 25),
        lambda: without_ice(base, 0),
        lambda: spirit(1, 120),
        lambda: spirit(-1, 40),
        lambda: sugar(-1),
        lambda: sugar(1, 0, 2),
        lambda: beer(0, 1.05, 1.01),
    ]
    for call in calls:
        with pytest.raises(ValueError, match=r"\w"):
            call()
