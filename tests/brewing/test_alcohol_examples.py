"""Strength and attenuation against published worked examples and other equations (sources beside them)."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from scipy.optimize import approx_fprime

from entryprep.brewing.alcohol import (
    abv,
    abv_slopes,
    abw,
    abw_from_extract,
    apparent_attenuation,
    apparent_extract,
    fermented_share,
    fg_from_abv,
    oe_from_abw,
    og_from_abv,
    real_extract,
    real_extract_left,
)
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato
from tests.vectors import case_id, vector_rows

# H. Rudolph, "Berechnung des Alkoholgehalts": OE 12.2 and AE 3.8
RUDOLPH = (sg_from_plato(12.2), sg_from_plato(3.8))
WORTS = [(1.040, 1.010), (1.048, 1.010), (1.050, 1.010), (1.060, 1.015), (1.070, 1.016), (1.080, 1.018)]
STRONG = [(1.100, 1.020), (1.120, 1.030)]


def points_abv(og: float, fg: float) -> float:
    """% ABV by the rule of points: common practice."""
    return (og - fg) * 131.25


def hall_abv(og: float, fg: float) -> float:
    """% ABV by M. L. Hall, "Brew by the Numbers", Zymurgy 18(2), 1995, as quoted by two pages."""
    return 76.08 * (og - fg) / (1.775 - og) * fg / 0.794


@pytest.mark.parametrize(("og", "fg"), [*WORTS, *STRONG, RUDOLPH])
def test_balling_as_printed_in_whole_numbers(og: float, fg: float) -> None:
    # Rudolph prints the same relation as 81.92 (OE - AE)/(206.65 - 1.0665 OE)
    oe, ae = plato_from_sg(og), plato_from_sg(fg)
    assert abw(og, fg) == pytest.approx(81.92 * (oe - ae) / (206.65 - 1.0665 * oe), rel=1e-4)
    assert abw_from_extract(oe, ae) == abw(og, fg)
    assert apparent_extract(oe, real_extract(oe, ae)) == pytest.approx(ae, abs=1e-12)


def test_original_extract_backwards() -> None:
    # from Rudolph's printed results, RE 5.3 and ABW 3.6, back to his 12.2 °P: the digits leave 0.15 open
    assert oe_from_abw(3.6, 5.3) == pytest.approx(12.2, abs=0.15)
    oe, ae = plato_from_sg(RUDOLPH[0]), plato_from_sg(RUDOLPH[1])
    assert oe_from_abw(abw(*RUDOLPH), real_extract(oe, ae)) == pytest.approx(12.2, abs=1e-6)
    # Nielsen et al., Brauwelt International, 2007: 2.0665 g of extract become 1 g of alcohol, 0.9565 g of carbon
    # dioxide and 0.11 g of yeast, so 1 g of alcohol in 100 g of beer without extract came from 2.0665 g in 101.0665
    assert oe_from_abw(1.0, 0.0) == pytest.approx(100 * 2.0665 / (100 + 0.9565 + 0.11), rel=1e-6)


@pytest.mark.parametrize("row", vector_rows("attenuation.yaml"), ids=lambda row: case_id(f"{row['og']}/{row['fg']}"))
def test_apparent_attenuation_near_the_published(row: dict[str, Any]) -> None:
    # printed as whole per cents of gravity points; true °Plato stays within one per cent
    assert apparent_attenuation(row["og"], row["fg"]) == pytest.approx(row["percent"], abs=1.0)


def test_a_wort_fermented_to_the_last() -> None:
    # Palmer, How to Brew, ch. 6 (quoted at homedistiller.org): 1.040 at 100 % real attenuation reads about 0.991,
    # 122 % apparent. By Balling it is 0.9915
    oe = plato_from_sg(1.040)
    dry = sg_from_plato(apparent_extract(oe, 0.0))
    assert dry == pytest.approx(0.991, abs=0.001)
    assert real_extract(oe, plato_from_sg(dry)) == pytest.approx(0, abs=1e-9)
    assert round(apparent_attenuation(1.040, dry)) == 122


def test_how_much_of_the_extract_ferments() -> None:
    # of a thin wort, mass hardly changes and the share is the real attenuation, 0.8192 of the apparent one
    assert fermented_share(0.5, 0.75) == pytest.approx(0.8192 * 0.75, rel=0.005)
    # MEBAK method B-590.80.530: about 0.81; the share by mass of a full wort is a little more than that in the beer
    assert 0.8192 * 0.75 < fermented_share(12.0, 0.75) < 0.65
    # water has none, and what is lighter than water neither
    assert fermented_share(0.0, 0.75) == fermented_share(-1.0, 0.75) == 0
    # nothing is left at 1/0.8192, by Balling
    assert fermented_share(12.0, 1 / 0.8192) == pytest.approx(1)
    assert real_extract_left(12.0, 1.0) == 0
    # the balance: 100 g of wort of 12 °P with half its extract gone lose 6 g of it and 1.0665/2.0665 of that in mass
    assert real_extract_left(12.0, 0.5) == pytest.approx(100 * 6 / (100 - 6 * 1.0665 / 2.0665))


@pytest.mark.parametrize(("og", "fg"), WORTS + STRONG)
def test_real_attenuation_is_four_fifths_of_the_apparent(og: float, fg: float) -> None:
    # MEBAK method B-590.80.530: about 0.81
    oe, ae = plato_from_sg(og), plato_from_sg(fg)
    real = 100 * (oe - real_extract(oe, ae)) / oe
    assert real / apparent_attenuation(og, fg) == pytest.approx(0.81, abs=0.01)


def test_a_misprinted_final_gravity_is_refused() -> None:
    # cancanawards.com prints 1.0625 for a wort of 1.050 attenuated by 75 %; 1.0125 is right
    assert apparent_attenuation(1.050, 1.0125) == pytest.approx(75, abs=1.0)
    with pytest.raises(ValueError, match="above original"):
        abv(1.050, 1.0625)


@pytest.mark.parametrize("row", vector_rows("attenuation.yaml", "strength"), ids=lambda row: case_id(row["source"]))
def test_strength_near_worked_examples_of_the_points_rule(row: dict[str, Any]) -> None:
    assert abv(row["og"], row["fg"]) == pytest.approx(row["percent"], abs=0.15)


@pytest.mark.parametrize(("og", "fg"), [w for w in WORTS if w[0] <= 1.070])
def test_three_equations_agree_on_ordinary_beer(og: float, fg: float) -> None:
    assert abv(og, fg) == pytest.approx(hall_abv(og, fg), abs=0.3)
    assert abv(og, fg) == pytest.approx(points_abv(og, fg), abs=0.15)


@pytest.mark.parametrize(("og", "fg"), STRONG)
def test_strong_beer_is_not_overstated(og: float, fg: float) -> None:
    # Hall's form takes 1000 (SG - 1)/4 for °Plato: 25 for a wort of 1.100, which the tables have at 23.8
    assert hall_abv(og, fg) - abv(og, fg) > 0.5
    # with his °Plato put into Balling's relations the difference is gone
    oe, ae = 250 * (og - 1), 250 * (fg - 1)
    by_fours = 81.92 * (oe - ae) / (206.65 - 1.0665 * oe) * fg / 0.794
    assert hall_abv(og, fg) == pytest.approx(by_fours, rel=0.012)


@pytest.mark.parametrize(("og", "fg"), [*WORTS, *STRONG, (1.040, 0.994), (1.060, 1.0595)])
def test_slopes_are_scipys_derivatives(og: float, fg: float) -> None:
    numeric = approx_fprime([og, fg], lambda x: abv(float(x[0]), float(x[1])), 1e-7)
    # 0.002 for the fading of the water offset, which ends at 1.010 exactly
    assert abv_slopes(og, fg) == pytest.approx(tuple(numeric), rel=0.002)


def test_slopes_exist_at_every_corner() -> None:
    for og, fg in ((1.2, 0.98), (0.98, 0.98), (1.0, 1.0), (1.2, 1.2)):
        by_og, by_fg = abv_slopes(og, fg)
        assert by_og > 0 > by_fg


def test_the_error_of_two_readings() -> None:
    # common practice: 131.25 by the root of two, so 0.19 % ABV for two readings good to 0.001
    by_og, by_fg = abv_slopes(1.050, 1.010)
    assert math.hypot(by_og * 0.001, by_fg * 0.001) == pytest.approx(0.19, abs=0.02)


@pytest.mark.parametrize("og", [1.0, 1.01, 1.05, 1.1, 1.19])
def test_the_inverses_reach_both_ends(og: float) -> None:
    assert fg_from_abv(og, 0) == og
    assert og_from_abv(0, og) == og
    assert fg_from_abv(og, abv(og, 0.98)) == pytest.approx(0.98, abs=1e-9)
    assert og_from_abv(abv(1.195, og), og) == pytest.approx(1.195, abs=1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: abv(math.nan, 1.01),
        lambda: abv_slopes(1.01, 1.05),
        lambda: apparent_attenuation(1.0, 1.0),
        lambda: oe_from_abw(-1, 4),
        lambda: oe_from_abw(5, 60),
        lambda: og_from_abv(math.nan, 1.01),
        lambda: og_from_abv(-1, 1.01),
        lambda: og_from_abv(22, 1.19),
        lambda: fg_from_abv(1.05, math.nan),
        lambda: fg_from_abv(1.05, -1),
    ],
)
def test_impossible_values_are_refused(call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        call()
