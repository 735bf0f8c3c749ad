"""Every formula to the end of its domain and beyond: it answers with a finite number or refuses with ValueError."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from dataclasses import astuple, is_dataclass
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import entryprep.brewing
from entryprep.brewing import (
    alcohol,
    bitterness,
    carbonation,
    colour,
    contents,
    extract,
    gravity,
    hydrometer,
    refractometer,
    swatch,
)
from entryprep.brewing import plan as plans
from entryprep.brewing.contents import Contents
from entryprep.brewing.extract import Fermentable
from entryprep.brewing.plan import Hops, Plan
from entryprep.brewing.prediction import Doubts, predict

# any float at all, and often one near which the formulas end
CORNERS = [-0.0, 0.0, 5e-324, 1e-300, 1e300, math.inf, -math.inf, math.nan, 0.98, 1.0, 1.2, 43.0, 100.0, -5.0, 20.0]
numbers = st.one_of(
    st.floats(),
    st.sampled_from(CORNERS),
    st.floats(0.97, 1.21),
    st.floats(-10, 110),
    st.floats(0, 1),
    st.floats(0, 1e9),
)

# with how many numbers each is asked; what else they take is given first
ASKED: list[tuple[Callable[..., Any], int]] = [
    (alcohol.real_extract, 2),
    (alcohol.apparent_extract, 2),
    (alcohol.abw_from_extract, 2),
    (alcohol.abw, 2),
    (alcohol.abv, 2),
    (alcohol.abv_slopes, 2),
    (alcohol.og_from_abv, 2),
    (alcohol.fg_from_abv, 2),
    (alcohol.oe_from_abw, 2),
    (alcohol.apparent_attenuation, 2),
    (alcohol.fermented_share, 2),
    (alcohol.real_extract_left, 2),
    (bitterness.gravity_factor, 1),
    (bitterness.tinseth_utilisation, 2),
    (bitterness.boil_ibu, 5),
    (bitterness.isomerisation_rate, 1),
    (bitterness.boiling_minutes, 2),
    (bitterness.stand_ibu, 6),
    (bitterness.first_wort_ibu, 6),
    (bitterness.mash_ibu, 5),
    (bitterness.capped_ibu, 1),
    (carbonation.gauge_pressure_kpa, 2),
    (carbonation.bottle_pressure_kpa, 2),
    (carbonation.residual_volumes, 1),
    (colour.srm_from_ebc, 1),
    (colour.morey_srm, 1),
    (colour.mcu_from_srm, 1),
    (colour.lovibond_from_srm, 1),
    (colour.srm_from_lovibond, 1),
    (colour.colour_word, 1),
    (contents.beer, 5),
    (contents.spirit, 3),
    (contents.water, 1),
    (contents.sugar, 3),
    (extract.yield_from_potential, 1),
    (extract.sg_from_extract, 1),
    (extract.extract_per_litre, 1),
    (gravity.plato_from_sg, 1),
    (gravity.plato_slope, 1),
    (gravity.sg_from_plato, 1),
    (gravity.sg_from_brix, 1),
    (gravity.sg_at_volume, 3),
    (hydrometer.temperature_ratio, 1),
    (hydrometer.corrected_sg, 3),
    (refractometer.og_from_brix, 2),
    (refractometer.fg_from_brix, 3),
    (refractometer.fg_error_from_brix, 4),
    (refractometer.beyond_domain, 3),
    (swatch.transmission, 3),
    (swatch.beer_rgb, 2),
]
# asked below with records, texts or lists; `root` is for any function, and has ArithmeticError for one without
BELOW = {
    "mcu",
    "primed_volumes",
    "extract_of",
    "without_ice",
    "predict",
    "check_plan",
    "missing_from",
    "mashes",
    "root",
}


def test_every_function_of_the_maths_is_asked() -> None:
    found = set()
    for path in Path(entryprep.brewing.__file__).parent.glob("[a-z]*.py"):
        module = import_module(f"entryprep.brewing.{path.stem}")
        functions = inspect.getmembers(module, lambda f: inspect.isfunction(inspect.unwrap(f)))
        found |= {name for name, f in functions if f.__module__ == module.__name__ and not name.startswith("_")}
    assert found == {function.__name__ for function, _ in ASKED} | BELOW


def assert_finite(found: object) -> None:
    """Every number in an answer is a finite float or a whole number."""
    if isinstance(found, (tuple, list)):
        for part in found:
            assert_finite(part)
    elif isinstance(found, dict):
        assert_finite(list(found.values()))
    elif is_dataclass(found) and not isinstance(found, type):
        assert_finite(astuple(found))
    elif not isinstance(found, str) and found is not None:
        assert isinstance(found, (int, float))
        assert math.isfinite(found)


def answered(call: Callable[[], object]) -> None:
    """The call gives finite numbers or raises ValueError with some words; anything else is a fault."""
    try:
        assert_finite(call())
    except ValueError as error:
        assert str(error)
        assert "math domain" not in str(error), "refused by Python, not by us"


@pytest.mark.parametrize(("function", "count"), ASKED, ids=lambda x: getattr(x, "__name__", ""))
def test_any_numbers_at_all(function: Callable[..., Any], count: int) -> None:
    @given(st.lists(numbers, min_size=count, max_size=count))
    @settings(max_examples=80)
    def asked(values: list[float]) -> None:
        answered(lambda: function(*values))

    asked()
    for corner in CORNERS:
        answered(partial(function, *[corner] * count))


@given(st.lists(st.tuples(numbers, numbers), max_size=3), numbers)
def test_any_malts(malts: list[tuple[float, float]], litres: float) -> None:
    answered(lambda: colour.mcu(malts, litres))


@given(st.sampled_from([*carbonation.VOLUMES_PER_GRAM_PER_LITRE, "molasses"]), numbers, numbers, st.floats(0, 30))
def test_any_priming(sugar: str, grams: float, litres: float, celsius: float) -> None:
    answered(lambda: carbonation.primed_volumes(sugar, grams, litres, celsius))


@given(st.lists(numbers, min_size=5, max_size=5), st.lists(numbers, min_size=5, max_size=5), numbers)
@example([0.0] * 5, [1.0] * 5, 1.0)
@example([5e-324, 1.0, 1.0, 1.0, 1.0], [0.0] * 5, 1e308)
def test_any_contents(one: list[float], other: list[float], number: float) -> None:
    try:
        held, more = Contents(*one), Contents(*other)
    except ValueError:
        assert not all(map(math.isfinite, one + other))
        return
    answered(lambda: held.plus(more))
    answered(lambda: held.minus(more))
    answered(lambda: held.times(number))
    answered(lambda: held.abv)
    answered(lambda: held.fg)
    answered(held.vitals)
    answered(lambda: contents.without_ice(held, number))


shares = st.one_of(st.none(), numbers)
fermentables = st.builds(
    Fermentable,
    st.one_of(numbers, st.floats(0, 5)),
    st.one_of(numbers, st.floats(0, 1.1)),
    st.one_of(numbers, st.floats(0, 600)),
    st.sampled_from(["mashed", "steeped", "dissolved"]),
    st.one_of(shares, st.sampled_from([None, 0.0, 0.95, 1.0])),
    st.sampled_from(["boil", "late", "fermenter"]),
)
hopped = st.builds(
    Hops,
    st.one_of(numbers, st.floats(0, 100)),
    st.one_of(numbers, st.floats(0, 20)),
    st.sampled_from(["boil", "first wort", "mash", "stand", "dry"]),
    st.one_of(numbers, st.floats(0, 90)),
    st.one_of(numbers, st.floats(50, 100)),
)
recipes = st.builds(
    Plan,
    st.lists(fermentables, max_size=2),
    st.one_of(st.none(), st.lists(hopped, max_size=2)),
    st.one_of(shares, st.floats(1, 60)),
    st.one_of(shares, st.floats(0.01, 1)),
    st.one_of(numbers, st.floats(0, 1)),
    st.one_of(shares, st.floats(1, 60)),
    st.one_of(numbers, st.floats(0, 120)),
    st.one_of(shares, st.floats(0, 1.2)),
)


@given(fermentables, shares, numbers)
def test_any_fermentable(item: Fermentable, efficiency: float | None, dissolved: float) -> None:
    answered(lambda: extract.extract_of(item, efficiency, dissolved))


@given(recipes, shares)
@settings(max_examples=100)
def test_any_recipe(recipe: Plan, known_og: float | None) -> None:
    answered(lambda: plans.check_plan(recipe, known_og))
    assert isinstance(plans.mashes(recipe), bool)
    assert all(plans.missing_from(recipe))
    answered(lambda: predict(recipe, known_og=known_og))


# what a brewer may write, to its ends
sound_malts = st.lists(
    st.builds(
        Fermentable,
        st.floats(0, 3),
        st.floats(0, 1.1),
        st.floats(0, 4000),
        st.sampled_from(["mashed", "steeped", "dissolved"]),
        st.one_of(st.none(), st.floats(0, 1)),
        st.sampled_from(["boil", "late", "fermenter"]),
    ),
    max_size=3,
)
sound_hops = st.lists(
    st.builds(
        Hops,
        st.floats(0, 500),
        st.floats(0, 100),
        st.sampled_from(["boil", "first wort", "mash", "stand", "dry"]),
        st.floats(0, 1440),
        st.floats(0, 105),
    ),
    max_size=3,
)


@given(sound_malts, sound_hops, st.floats(20, 60), st.floats(0.01, 1), st.floats(0, 100), st.floats(0, 1.2))
def test_every_recipe_that_can_be_is_predicted(
    malts: list[Fermentable], hops: list[Hops], litres: float, efficiency: float, kettle: float, attenuation: float
) -> None:
    got = predict(Plan(malts, hops, litres, efficiency, 1.0, kettle, 60.0, attenuation))
    assert_finite(got)
    assert all(estimate.error >= 0 for estimate in got.vitals.values())
    if malts:
        og, fg = got.vitals["og"].value, got.vitals["fg"].value
        assert fg <= og + 1e-9
        assert 0 <= got.vitals["abv"].value < 25
        assert got.pitching_og is not None
        assert got.pitching_og.value <= og
        assert got.boil_sg is not None
        assert 1.0 - 1e-12 <= got.boil_sg <= og
        assert 0 <= got.vitals["ibu"].value <= 110


@given(st.lists(numbers, min_size=11, max_size=11))
def test_any_doubts(sizes: list[float]) -> None:
    try:
        doubts = Doubts(*sizes)
    except ValueError as error:
        assert "outside 0 to 1" in str(error)
        assert not all(0 <= size <= 1 for size in sizes)
        return
    answered(lambda: predict(RECIPE, doubts))


RECIPE = Plan(
    [Fermentable(4, 0.8, 5), Fermentable(0.3, 1.0, 0, "dissolved", 1.0)],
    [Hops(30, 5, "boil", 60), Hops(20, 8, "stand", 15, 80)],
    20.0,
    0.7,
    1.0,
    25.0,
    60.0,
    1.2,
)
