"""Recipe prediction against figures printed by others, and its errors against sampling and another library."""

from __future__ import annotations

import math
import random
import statistics
from dataclasses import replace
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from uncertainties import ufloat, umath

from entryprep.brewing.extract import (
    Fermentable,
    extract_per_litre,
    sg_from_extract,
    yield_from_potential,
)
from entryprep.brewing.gravity import plato_from_sg
from entryprep.brewing.plan import Hops, Plan
from entryprep.brewing.prediction import Doubts, predict
from tests.vectors import case_id, vector_path

RECIPES: list[dict[str, Any]] = yaml.safe_load(vector_path("recipes.yaml").read_text(encoding="utf-8"))["recipes"]
GALLON, POUND = 3.785411784, 0.45359237


def plan_of(row: dict[str, Any]) -> Plan:
    malts = [Fermentable(*malt) for malt in row["malts"]]
    hops = [Hops(mass, alpha, "boil", minutes) for mass, alpha, minutes in row["hops"]]
    size = {"volume_l": row["volume"], "boil_volume_l": row["boil_volume"], "boil_minutes": row["boil_minutes"]}
    return Plan(malts, hops, efficiency=row["efficiency"], attenuation=0.75, **size)


@pytest.mark.parametrize("row", RECIPES, ids=lambda r: case_id(str(r["source"])))
def test_recipes_with_printed_figures(row: dict[str, Any]) -> None:
    # other programs' figures, by the same theory with choices of their own (kettle gravity, pellets, rounding)
    got = predict(plan_of(row)).vitals
    assert got["og"].value == pytest.approx(row["printed"]["og"], abs=0.001)
    assert got["ibu"].value == pytest.approx(row["printed"]["ibu"], rel=0.13)
    assert got["srm"].value == pytest.approx(row["printed"]["srm"], rel=0.12)
    for vital, printed in row["printed"].items():
        assert abs(got[vital].value - printed) < got[vital].error


def test_joe_ale_boil_gravity() -> None:
    # Palmer, How to Brew, "Joe Ale": 6 lb of dry extract of 40 points in 3 gal are 6 x 40/3 = 80 points
    extract = Fermentable(6 * POUND, yield_from_potential(1.040), use="dissolved")
    got = predict(Plan([extract], volume_l=3 * GALLON, attenuation=0.75))
    assert got.vitals["og"].value == pytest.approx(1.080, abs=0.0005)


@pytest.mark.parametrize(("percent", "points"), [(80, 37), (76, 35), (81, 38), (75, 35), (70, 32), (60, 28), (55, 25)])
def test_potential_is_the_yield(percent: int, points: int) -> None:
    # Palmer, How to Brew, table 9: max yield % and max points per pound and gallon, rounded
    assert yield_from_potential(1 + points / 1000) == pytest.approx(percent / 100, abs=0.015)


def test_a_yield_is_a_share_of_sucrose() -> None:
    # Palmer, How to Brew, table 9: points = yield % x 0.4621
    assert yield_from_potential(1.04621) == pytest.approx(1.0, abs=1e-9)
    assert yield_from_potential(1.036968) == pytest.approx(0.80, abs=1e-9)


@pytest.mark.parametrize(("kilograms", "lacks"), [(0.0, False), (0.5, True), (4.0, True)])
def test_only_grain_in_the_mash_wants_an_efficiency(kilograms: float, lacks: bool) -> None:
    plan = Plan([Fermentable(kilograms, 0.8), Fermentable(3, 0.95, use="dissolved")], [], 20.0, attenuation=0.75)
    got = predict(plan)
    assert any("efficiency" in text for text in got.missing) == lacks
    assert ("og" in got.vitals) != lacks


def test_sucrose_gives_the_points_of_the_tables() -> None:
    # Palmer: 46; M. Uchima, hbd.org: 45; AHA forum: 47
    assert (sg_from_extract(POUND / GALLON) - 1) * 1000 == pytest.approx(46.2, abs=0.1)


def test_a_wort_without_anything_left_reads_below_water() -> None:
    # Palmer, How to Brew, ch. 6 (quoted at homedistiller.org): a wort of 1.040 with all its extract fermented reads
    # about 0.991, 122 % apparent attenuation
    sugar = Fermentable(2.1, 1.0, use="dissolved", fermentable=1.0)
    plan = Plan([sugar], volume_l=20, attenuation=0.75)
    got = predict(plan).vitals
    og, fg = got["og"].value, got["fg"].value
    apparent = (plato_from_sg(og) - plato_from_sg(fg)) / plato_from_sg(og)
    assert og == pytest.approx(1.040, abs=0.0005)
    assert fg == pytest.approx(0.991, abs=0.0005)
    assert apparent == pytest.approx(1.22, abs=0.01)


def test_lactose_raises_both_gravities_and_no_strength() -> None:
    # homebrewtalk 655511: one pound of lactose in 5 gal is worth 8 points; brewer's yeast leaves it
    malt = Fermentable(4.5, 0.80)
    lactose = Fermentable(POUND, yield_from_potential(1.040), use="dissolved", fermentable=0.0)
    plain = predict(Plan([malt], volume_l=5 * GALLON, efficiency=0.72, attenuation=0.75)).vitals
    sweet = predict(Plan([malt, lactose], volume_l=5 * GALLON, efficiency=0.72, attenuation=0.75)).vitals
    assert (sweet["og"].value - plain["og"].value) * 1000 == pytest.approx(8.0, abs=0.2)
    assert (sweet["fg"].value - plain["fg"].value) * 1000 == pytest.approx(8.0, abs=1.5)
    assert sweet["abv"].value == pytest.approx(plain["abv"].value, abs=0.01)


@given(st.floats(0.0, 0.3))
def test_extract_inverts_as_scipy_does(dense: float) -> None:
    by_scipy = brentq(lambda s: extract_per_litre(s) - dense, 1.0, 1.199, xtol=1e-13)
    assert sg_from_extract(dense) == pytest.approx(by_scipy, abs=1e-9)


HOUSE = Plan(
    [
        Fermentable(4.2, 0.80, 2.5),
        Fermentable(0.4, 0.73, 60),
        Fermentable(0.2, 0.6, 350, "steeped"),
        Fermentable(0.3, 1.0, 0, "dissolved", 1.0),
        Fermentable(0.2, 0.95, 0, "dissolved", 0.0, "late"),
    ],
    [Hops(30, 6.0, "boil", 60), Hops(20, 5.0, "boil", 15), Hops(30, 6.0, "stand", 20, 85), Hops(20, 8, "first wort")],
    20.0,
    0.72,
    1.0,
    25.0,
    60.0,
    0.74,
)


def sampled(plan: Plan, doubts: Doubts, draw: random.Random) -> Plan:
    """The plan with every input off by a draw from its uncertainty."""

    def off(size: float) -> float:
        return draw.gauss(1.0, size)

    malts = []
    for item in plan.fermentables:
        share = item.yield_share * off(doubts.sugar_yield if item.use == "dissolved" else doubts.malt_yield)
        malts.append(item._replace(yield_share=share, lovibond=item.lovibond * off(doubts.malt_colour)))
    steep = off(doubts.steeped)
    malts = [
        m._replace(yield_share=min(max(m.yield_share * steep, 0.0), 1.1)) if m.use == "steeped" else m for m in malts
    ]
    hops = [h._replace(alpha_percent=h.alpha_percent * off(doubts.alpha)) for h in plan.hops or ()]
    stand, use = off(doubts.stand), off(doubts.utilisation)
    hops = [h._replace(mass_g=max(0.0, h.mass_g * use * (stand if h.use == "stand" else 1))) for h in hops]
    return Plan(
        malts,
        hops,
        (plan.volume_l or 0) * off(doubts.volume),
        (plan.efficiency or 0) + draw.gauss(0, doubts.efficiency),
        plan.dissolved_efficiency,
        plan.boil_volume_l,
        plan.boil_minutes,
        (plan.attenuation or 0) + draw.gauss(0, doubts.attenuation),
    )


def test_first_order_errors_agree_with_sampling() -> None:
    draw, doubts = random.Random(20270220), Doubts(colour_model=0.0)
    outcomes: dict[str, list[float]] = {}
    for _ in range(3000):
        for vital, estimate in predict(sampled(HOUSE, doubts, draw)).vitals.items():
            outcomes.setdefault(vital, []).append(estimate.value)
    first = predict(HOUSE, doubts).vitals
    for vital, values in outcomes.items():
        assert first[vital].value == pytest.approx(statistics.mean(values), rel=0.02), vital
        assert first[vital].error == pytest.approx(statistics.stdev(values), rel=0.08), vital


def test_first_order_errors_agree_with_uncertainties() -> None:
    # the package uncertainties carries every error through the same physics, written out again here
    plan = Plan([Fermentable(4.5, 0.80, 3.0)], [Hops(40, 6.0, "boil", 60)], 19.0, 0.72, attenuation=0.75)
    doubts = Doubts()
    volume = ufloat(19.0, 19.0 * doubts.volume)
    extract = 4.5 * ufloat(0.80, 0.80 * doubts.malt_yield) * ufloat(0.72, doubts.efficiency)
    dense = extract / volume
    here = dense.nominal_value
    slope = (brentq_sg(here + 1e-5) - brentq_sg(here - 1e-5)) / 2e-5
    og = brentq_sg(here) + slope * (dense - here)
    ibu = 1.65 * 0.000125 ** (og - 1) * (1 - math.exp(-2.4)) / 4.15 * ufloat(6.0, 0.6) * 10 * 40 / volume
    ibu = ibu * ufloat(1.0, doubts.utilisation)
    colour = 4.5 * ufloat(3.0, 0.3) / volume * 8.345404
    srm = 1.4922 * umath.pow(colour, 0.6859) * ufloat(1.0, doubts.colour_model)
    got = predict(plan, doubts).vitals
    for vital, wanted in (("og", og), ("ibu", ibu), ("srm", srm)):
        assert got[vital].value == pytest.approx(wanted.nominal_value, rel=1e-5), vital
        assert got[vital].error == pytest.approx(wanted.std_dev, rel=0.01), vital


def brentq_sg(dense: float) -> float:
    return float(brentq(lambda s: extract_per_litre(s) - dense, 1.0, 1.199, xtol=1e-14))


@given(st.floats(0.2, 3), st.floats(0.5, 1.0))
def test_the_size_of_the_batch_does_not_matter(times: float, efficiency: float) -> None:
    def scaled(by: float) -> Plan:
        malts = [m._replace(mass_kg=m.mass_kg * by) for m in HOUSE.fermentables]
        hops = [h._replace(mass_g=h.mass_g * by) for h in HOUSE.hops or ()]
        return Plan(malts, hops, 20.0 * by, efficiency, 1.0, 25.0 * by, 60.0, 0.74)

    one, other = predict(scaled(1.0)).vitals, predict(scaled(times)).vitals
    for vital, estimate in one.items():
        assert other[vital].value == pytest.approx(estimate.value, rel=1e-6)
        assert other[vital].error == pytest.approx(estimate.error, rel=1e-4)


def test_what_goes_into_the_fermenter_is_not_seen_before_pitching() -> None:
    malt, honey = Fermentable(4.0, 0.8), Fermentable(0.5, 0.76, use="dissolved", fermentable=0.95, stage="fermenter")
    got = predict(Plan([malt, honey], volume_l=20, efficiency=0.7, attenuation=0.75))
    without = predict(Plan([malt], volume_l=20, efficiency=0.7, attenuation=0.75))
    assert got.pitching_og is not None
    assert got.pitching_og.value == pytest.approx(without.vitals["og"].value)
    assert got.vitals["og"].value > got.pitching_og.value + 0.005
    assert got.vitals["abv"].value > without.vitals["abv"].value + 0.5


@pytest.mark.parametrize(
    ("plan", "known", "lacks"),
    [
        (Plan([], [], 20.0, 0.7), {"ibu"}, ["fermentables"]),
        (Plan([Fermentable(4, 0.8)], None, 20.0, 0.7), {"og", "srm"}, ["attenuation", "hops"]),
        (Plan([Fermentable(4, 0.8)], [], 20.0, None, attenuation=0.7), {"ibu", "srm"}, ["efficiency"]),
        (Plan([Fermentable(4, 0.8)], [Hops(20, 5)], None, 0.7, attenuation=0.7), set(), ["volume"]),
        (Plan([Fermentable(3, 0.95, use="dissolved")], [], 20.0, attenuation=0.7),
         {"og", "fg", "abv", "ibu", "srm"}, []),
    ],
)  # fmt: skip
def test_what_can_be_predicted_is_and_the_rest_is_named(plan: Plan, known: set[str], lacks: list[str]) -> None:
    got = predict(plan)
    assert set(got.vitals) == known
    assert len(got.missing) == len(lacks)
    for word in lacks:
        assert any(word in text for text in got.missing)


def test_what_is_lacking_is_said_in_full() -> None:
    assert predict(Plan([])).missing == (
        "the volume into the fermenter, without which nothing can be predicted",
        "fermentables: original gravity, final gravity, strength and colour cannot be predicted",
        "hops: bitterness cannot be predicted",
    )
    assert predict(Plan([Fermentable(4, 0.8)], [], 20.0)).missing == (
        "the efficiency of the mash: gravities and strength cannot be predicted",
        "the attenuation of the yeast: final gravity and strength cannot be predicted",
    )


EVERYTHING = [
    *HOUSE.fermentables,
    Fermentable(0.3, 0.95, 0, "dissolved", None, "late"),
    Fermentable(0.3, 0.76, 0, "dissolved", 0.95, "fermenter"),
]


def test_two_halves_are_the_whole() -> None:
    # by conservation; malts in halves are off apart from each other, so their own doubts are left out
    doubts = replace(Doubts(), malt_yield=0.0, malt_colour=0.0, alpha=0.0)
    halves = [item._replace(mass_kg=item.mass_kg / 2) for item in EVERYTHING for _ in range(2)]
    hops = [one._replace(mass_g=one.mass_g / 2) for one in HOUSE.hops or () for _ in range(2)]
    whole = predict(replace(HOUSE, fermentables=EVERYTHING, dissolved_efficiency=0.9), doubts)
    parted = predict(replace(HOUSE, fermentables=halves, hops=hops, dissolved_efficiency=0.9), doubts)
    for vital, estimate in whole.vitals.items():
        assert parted.vitals[vital] == pytest.approx(estimate, rel=1e-6), vital
    assert parted.pitching_og == pytest.approx(whole.pitching_og, rel=1e-6)
    assert parted.boil_sg == pytest.approx(whole.boil_sg)
    assert (parted.extract_kg, parted.malt_colour_units) == pytest.approx((whole.extract_kg, whole.malt_colour_units))


def test_like_malts_apart_are_off_by_less() -> None:
    # independent errors of two halves: by the root of two
    doubts = Doubts(0, 0, 0.1, 0, 0, 0, 0, 0, 0, 0.1, 0)
    malt = Fermentable(4, 0.8, 20)
    one, two = (predict(Plan([malt._replace(mass_kg=4 / n)] * n, [], 20.0, 0.7), doubts).vitals for n in (1, 2))
    for vital in ("og", "srm"):
        assert one[vital].error / two[vital].error == pytest.approx(2**0.5, rel=0.01)


def test_the_extract_of_every_kind_adds_up() -> None:
    # mass x yield, times the efficiency of the mash, the half that steeping draws, or what of the kettle arrives
    mashed, steeped = (4.2 * 0.80 + 0.4 * 0.73) * 0.72, 0.2 * 0.6 * 0.5 * 0.9
    dissolved, poured = (0.3 * 1.0 + 0.2 * 0.95 + 0.3 * 0.95) * 0.9, 0.3 * 0.76
    got = predict(replace(HOUSE, fermentables=EVERYTHING, dissolved_efficiency=0.9))
    assert got.extract_kg == pytest.approx(mashed + steeped + dissolved + poured)
    assert extract_per_litre(got.vitals["og"].value) * 20 == pytest.approx(got.extract_kg)
    assert got.pitching_og is not None
    assert extract_per_litre(got.pitching_og.value) * 20 == pytest.approx(got.extract_kg - poured)


def test_what_was_reckoned_is_told_with_the_vitals() -> None:
    got = predict(HOUSE)
    # lb x °L per US gallon: 8.3454 of them to a kilogram in a litre
    assert got.malt_colour_units == pytest.approx((4.2 * 2.5 + 0.4 * 60 + 0.2 * 350) / 20 * 8.345404)
    assert got.pitching_og == got.vitals["og"]
    assert len(got.hop_ibu) == 4
    # nothing is told of what cannot be known
    grainless = predict(Plan([], None, 20.0))
    assert (grainless.pitching_og, grainless.boil_sg, grainless.hop_ibu) == (None, None, ())
    assert grainless.malt_colour_units is None
    unknown = predict(Plan([Fermentable(4, 0.8, 5)], [], 20.0))
    assert (unknown.pitching_og, unknown.extract_kg) == (None, 0)
    assert predict(Plan([Fermentable(4, 0.8, 5)], None, 20.0, 0.7)).boil_sg is None


@pytest.mark.parametrize(("kilograms", "attenuation"), [(4.0, 0.0), (0.0, 0.75), (0.0, 0.0)])
def test_nothing_fermented_is_no_strength(kilograms: float, attenuation: float) -> None:
    got = predict(Plan([Fermentable(kilograms, 0.8)], [], 20.0, 0.7, attenuation=attenuation)).vitals
    assert got["abv"].value == pytest.approx(0, abs=1e-12)
    assert got["abv"].value >= 0
    assert got["fg"].value == pytest.approx(got["og"].value)


def test_what_wort_cannot_hold_is_refused_with_its_figures() -> None:
    for use, ferments in (
        ("mashed", None),
        ("steeped", None),
        ("dissolved", None),
        ("dissolved", 0.0),
        ("dissolved", 1.0),
    ):
        item = Fermentable(20, 1.0, 0, use, ferments)  # type: ignore[arg-type]
        with pytest.raises(ValueError, match=r"^[12]0\.0 kg of extract in 20 L is more than wort can hold$"):
            predict(Plan([item], [], 20.0, 1.0))
    with pytest.raises(ValueError, match=r"^an original gravity of 0\.9 is outside"):
        predict(Plan([], [], 20.0), known_og=0.9)


def test_a_measured_gravity_serves_the_hops_where_the_grist_is_unknown() -> None:
    plan = Plan([Fermentable(4, 0.8)], [Hops(30, 6, "boil", 60)], 20.0, None)
    assert "ibu" not in predict(plan).vitals
    weak, strong = (predict(plan, known_og=og).vitals["ibu"].value for og in (1.040, 1.080))
    assert weak > strong > 0


@pytest.mark.parametrize(
    "plan",
    [
        Plan([Fermentable(4, 0.8)], [], 0.0, 0.7),
        Plan([Fermentable(4, 0.8)], [], -5.0, 0.7),
        Plan([Fermentable(4, 0.8)], [], 20.0, 0.0),
        Plan([Fermentable(-4, 0.8)], [], 20.0, 0.7),
        Plan([Fermentable(4, 400)], [], 20.0, 0.7),
        Plan([Fermentable(4, 0.8)], [Hops(20, 120)], 20.0, 0.7),
        Plan([Fermentable(4, 0.8)], [Hops(20, 5, "boil", -5)], 20.0, 0.7),
        Plan([Fermentable(400, 0.8)], [], 20.0, 0.7),
    ],
)
def test_impossible_plans_are_refused(plan: Plan) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        predict(plan)
