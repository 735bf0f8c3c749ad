"""Instrument corrections, blending, bitterness and colour against published tables (sources beside the rows)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from entryprep.brewing.bitterness import boil_ibu, isomerisation_rate, stand_ibu, tinseth_utilisation
from entryprep.brewing.colour import (
    colour_word,
    lovibond_from_srm,
    mcu,
    mcu_from_srm,
    morey_srm,
    srm_from_ebc,
    srm_from_lovibond,
)
from entryprep.brewing.hydrometer import corrected_sg
from entryprep.brewing.refractometer import fg_from_brix, og_from_brix
from tests.vectors import case_id, vector_path


def rows(name: str) -> list[dict[str, Any]]:
    return list(yaml.safe_load(vector_path(name).read_text(encoding="utf-8"))["rows"])


@pytest.mark.parametrize("row", rows("hydrometer.yaml"), ids=lambda r: case_id(f"{r['celsius']} °C, {r['source']}"))
def test_hydrometer_against_published_tables(row: dict[str, Any]) -> None:
    added = (corrected_sg(1.040, row["celsius"], row["calibration_c"]) - 1.040) * 1000
    assert added == pytest.approx(row["points"], abs=0.5)


def test_hydrometer_worked_example() -> None:
    # AHA wiki: 1.040 read at 95 °F with a 59 °F hydrometer is 1.0451
    assert corrected_sg(1.040, 35, 15) == pytest.approx(1.0451, abs=0.00005)


@given(st.floats(0.99, 1.12), st.floats(5, 50))
def test_hydrometer_is_right_at_its_own_temperature(reading: float, celsius: float) -> None:
    assert corrected_sg(reading, celsius, celsius) == pytest.approx(reading, abs=1e-12)


def test_cold_wort_is_corrected_downwards() -> None:
    # a table in circulation prints the cold rows without their sign
    assert corrected_sg(1.050, 8) < 1.050 < corrected_sg(1.050, 30)


def test_refractometer_original_gravity() -> None:
    # S. Terrill, homebrewtalk 238624: 20 °Brix are 19.2 °P, about 1.079 to 1.080
    assert 1.079 <= og_from_brix(20) <= 1.080


def test_refractometer_final_gravity_is_above_the_old_equation() -> None:
    # S. Terrill, "Refractometer FG Results": the standard equation read 0.5 to 8.5 points low in ten beers
    i, f = 12.5 / 1.04, 6.2 / 1.04
    old = 1.001843 - 0.002318474 * i - 0.000007775 * i**2 - 0.000000034 * i**3
    old += 0.00574 * f + 0.00003344 * f**2 + 0.000000086 * f**3
    assert 0.0005 <= fg_from_brix(12.5, 6.2) - old <= 0.0085


@given(st.floats(8, 24), st.floats(0.4, 0.55))
def test_refractometer_final_gravity_is_plausible(brix: float, left: float) -> None:
    assert 0.98 < fg_from_brix(brix, brix * left) < og_from_brix(brix)


@pytest.mark.parametrize("row", rows("tinseth.yaml"), ids=lambda r: case_id(f"{r['sg']}/{r['minutes']}: {r['source']}"))
def test_utilisation_against_published_points(row: dict[str, Any]) -> None:
    printed = round(tinseth_utilisation(row["sg"], row["minutes"]), 3)
    assert printed == pytest.approx(row["utilisation"], abs=0.001 + 1e-9)


def test_palmers_worked_example() -> None:
    # Palmer, How to Brew, "Joe Ale", 5 gal at 1.080: 1.5 oz of 6.4 % for 60 min, 1 oz of 4.6 % for 15 min: 25 + 6 = 31
    ounce, gallon = 28.349523125, 3.785411784
    first = boil_ibu(1.5 * ounce, 6.4, 60, 1.080, 5 * gallon)
    second = boil_ibu(1 * ounce, 4.6, 15, 1.080, 5 * gallon)
    assert (round(first), round(second), round(first + second)) == (25, 6, 31)


def test_viking_worked_example() -> None:
    # tomdennis.info, "Viking Ale", 5 gal at 1.053, printed with the rounded factor 75: 23.6, 13.5 and 4.5
    ounce, gallon = 28.349523125, 3.785411784
    additions = ((1, 7, 60, 23.6), (1.25, 5.3, 20, 13.5), (0.5, 13.4, 5, 4.5))
    for mass, alpha, minutes, ibu in additions:
        assert boil_ibu(mass * ounce, alpha, minutes, 1.053, 5 * gallon) == pytest.approx(ibu, abs=0.1)


@given(st.floats(1, 100), st.floats(1, 20), st.floats(0, 120), st.floats(1.02, 1.12), st.floats(5, 60))
def test_bitterness_behaves(mass: float, alpha: float, minutes: float, sg: float, volume: float) -> None:
    one = boil_ibu(mass, alpha, minutes, sg, volume)
    assert boil_ibu(2 * mass, alpha, minutes, sg, volume) == pytest.approx(2 * one)
    assert boil_ibu(mass, alpha, minutes, sg, 2 * volume) == pytest.approx(one / 2)
    assert boil_ibu(mass, alpha, 0, sg, volume) == 0
    assert boil_ibu(mass, alpha, minutes + 5, sg, volume) >= one
    assert boil_ibu(mass, alpha, minutes, sg + 0.01, volume) <= one
    assert stand_ibu(mass, alpha, minutes, 100, sg, volume) == pytest.approx(one)
    assert stand_ibu(mass, alpha, minutes, 80, sg, volume) <= one


def test_isomerisation_falls_as_the_measured_constants_say() -> None:
    # Malowicki & Shellhammer 2005: activation energy 98.6 kJ/mol; by Arrhenius with R = 8.314 J/(mol K)
    from math import exp

    for celsius in (90, 80, 70):
        expected = exp(98600 / 8.314 * (1 / 373.15 - 1 / (celsius + 273.15)))
        assert isomerisation_rate(celsius) == pytest.approx(expected, rel=0.01)
        # and by their equation as printed, k = 7.9e11 e^(-11858/T)
        printed = exp(-11858 / (celsius + 273.15)) / exp(-11858 / 373.15)
        assert isomerisation_rate(celsius) == pytest.approx(printed, rel=1e-9)


@pytest.mark.parametrize(("crossing", "by"), [(37.0, 15.80)])
def test_morey_near_the_linear_rules_where_they_meet(crossing: float, by: float) -> None:
    # Daniels' and Mosher's linear rules, constants from memory, meet at 37 MCU = 15.8 SRM
    assert morey_srm(crossing) == pytest.approx(by, abs=2.5)


def test_the_misprinted_exponent_is_not_ours() -> None:
    # a page prints 0.65896859: at 40 MCU that would give 16.96 and not 18.74
    assert morey_srm(40) == pytest.approx(18.74, abs=0.01)


def test_malt_colour_in_both_systems() -> None:
    pounds, gallon = 0.45359237, 3.785411784
    assert mcu([(9 * pounds, 2), (0.75 * pounds, 60)], 5 * gallon) == pytest.approx((9 * 2 + 0.75 * 60) / 5, rel=1e-6)
    assert lovibond_from_srm(1.3546 * 10 - 0.76) == pytest.approx(10)


def test_two_ways_to_read_one_absorbance() -> None:
    # ASBC: SRM = 12.7 x A430, EBC: 25 x A430, both over 1 cm
    assert srm_from_ebc(25.0) == pytest.approx(12.7, rel=0.002)


@given(st.floats(0.001, 1000))
def test_colours_there_and_back(srm: float) -> None:
    assert morey_srm(mcu_from_srm(srm)) == pytest.approx(srm)
    assert srm_from_lovibond(lovibond_from_srm(srm)) == pytest.approx(srm, abs=1e-9)


def test_no_colour_is_below_none() -> None:
    assert mcu_from_srm(0) == morey_srm(0) == 0
    assert lovibond_from_srm(-5) == srm_from_lovibond(0.5) == 0
    assert lovibond_from_srm(0.0) == pytest.approx(0.76 / 1.3546)  # from memory, as the constants are


@pytest.mark.parametrize(
    ("srm", "word"),
    # BJCP 2021 Style Guidelines, Color Reference; 4.5 and 9.5 lie in its gaps
    [(2, "straw"), (3.5, "yellow"), (4.5, "gold"), (5.5, "gold"), (8, "amber"), (9.5, "deep amber"), (12, "deep amber"),
     (15, "copper"), (17.5, "deep copper"), (20, "brown"), (25, "dark brown"), (36, "black"), (41, "opaque black")],
)  # fmt: skip
def test_colour_words(srm: float, word: str) -> None:
    assert colour_word(srm) == word


REFUSED: list[Callable[[], object]] = [
    lambda: corrected_sg(1.3, 20),
    lambda: corrected_sg(1.05, 90),
    lambda: og_from_brix(-1),
    lambda: og_from_brix(12, 2),
    lambda: fg_from_brix(6, 12),
    lambda: tinseth_utilisation(1.3, 60),
    lambda: tinseth_utilisation(1.05, -5),
    lambda: boil_ibu(10, 120, 60, 1.05, 20),
    lambda: boil_ibu(10, 5, 60, 1.05, 0),
    lambda: isomerisation_rate(200),
    lambda: mcu([(1, 2)], 0),
    lambda: morey_srm(-1),
    lambda: colour_word(-1),
]


@pytest.mark.parametrize("call", REFUSED)
def test_impossible_values_are_refused(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        call()
