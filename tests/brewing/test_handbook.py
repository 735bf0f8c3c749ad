"""Brewing maths against published tables and worked examples (sources beside the rows)."""

from __future__ import annotations

import csv
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from entryprep.brewing.alcohol import abv, abw, apparent_attenuation, fg_from_abv, og_from_abv, real_extract
from entryprep.brewing.carbonation import KPA_PER_PSI, gauge_pressure_kpa, primed_volumes, residual_volumes
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato
from tests.vectors import case_id, vector_path

ROWS: list[dict[str, Any]] = yaml.safe_load(vector_path("gravity.yaml").read_text(encoding="utf-8"))["rows"]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: case_id(f"{row['sg']}: {row['source']}"))
def test_plato_against_published_tables(row: dict[str, Any]) -> None:
    assert plato_from_sg(row["sg"]) == pytest.approx(row["plato"], abs=row["tolerance"])


def test_the_misprinted_coefficients_are_not_ours() -> None:
    # 1114.14 for 1111.14, printed on one page, would give about +3 °P for water
    assert plato_from_sg(1.0) == pytest.approx(0.0, abs=0.005)


@given(st.floats(0.99, 1.12))
def test_gravity_round_trip(sg: float) -> None:
    assert sg_from_plato(plato_from_sg(sg)) == pytest.approx(sg, abs=1e-6)


def test_balling_worked_example() -> None:
    # H. Rudolph, "Berechnung des Alkoholgehalts": OE 12.2, AE 3.8 gives RE 5.3, ABW 3.6, ABV 4.5
    og, fg = sg_from_plato(12.2), sg_from_plato(3.8)
    assert round(real_extract(12.2, 3.8), 1) == 5.3
    assert round(abw(og, fg), 1) == 3.6
    assert round(abv(og, fg), 1) == 4.5
    # the example's SG of 1.013 is left out: published sugar tables put 3.8 °P at 1.0149


@pytest.mark.parametrize(
    ("og", "fg", "percent"),
    [
        (1.052, 1.013, 75.0),  # louie728.blogspot.com, by the points rule
        (1.052, 1.015, 71.2),  # the same
        (1.040, 1.010, 75.0),  # Palmer, How to Brew, ch. 6 (quoted at homedistiller.org)
    ],
)
def test_attenuation_near_the_points_rule(og: float, fg: float, percent: float) -> None:
    # the published figures take 1000 (SG - 1) for extract; true °Plato stays within one per cent of them
    assert apparent_attenuation(og, fg) == pytest.approx(percent, abs=1.0)


@pytest.mark.parametrize(("og", "fg"), [(1.055, 1.015), (1.059, 1.015)])
def test_abv_near_the_simple_rule(og: float, fg: float) -> None:
    # common practice: (OG - FG) · 131.25, good to a few tenths below 7 %
    assert abv(og, fg) == pytest.approx((og - fg) * 131.25, abs=0.15)


@given(st.floats(1.02, 1.13), st.floats(0.3, 0.9))
def test_strength_inverts(og: float, left: float) -> None:
    fg = 1 + (og - 1) * (1 - left)
    strength = abv(og, fg)
    assert og_from_abv(strength, fg) == pytest.approx(og, abs=1e-7)
    assert fg_from_abv(og, strength) == pytest.approx(fg, abs=1e-7)


def test_nothing_fermented_is_no_alcohol() -> None:
    assert abv(1.050, 1.050) == 0
    with pytest.raises(ValueError, match="above original"):
        abv(1.010, 1.050)


def test_pressure_against_the_published_chart() -> None:
    lines = [line for line in vector_path("carbonation.csv").read_text().splitlines() if not line.startswith("#")]
    cells = 0
    for row in csv.DictReader(lines):
        celsius = (float(row.pop("f")) - 32) / 1.8
        for volumes, psi in row.items():
            got = gauge_pressure_kpa(float(volumes), celsius) / KPA_PER_PSI
            # the chart prints one decimal, so half a digit comes on top of the 0.05 psi
            assert got == pytest.approx(float(psi), abs=0.1), (celsius, volumes)
            cells += 1
    assert cells == 63


def test_priming_against_the_published_chart() -> None:
    # BYO carbonation priming chart: 4.5 oz (128 g) glucose monohydrate in 5 US gal adds 1.53 volumes; 68 °F leaves 0.85
    beer_l = 5 * 3.785411784
    added = primed_volumes("corn sugar", 128, beer_l, 20) - residual_volumes(20)
    assert added == pytest.approx(1.53, abs=0.005)
    assert residual_volumes(20) == pytest.approx(0.85, abs=0.03)
    # M. Hibberd, "A Primer on Priming": 0 °C 1.70, 10 °C 1.20, 14 °C 1.05, 18 °C 0.93
    for celsius, volumes in ((0, 1.70), (10, 1.20), (14, 1.05), (18, 0.93)):
        assert residual_volumes(celsius) == pytest.approx(volumes, abs=0.07)


@pytest.mark.parametrize(
    "call",
    [
        lambda: plato_from_sg(1.3),
        lambda: sg_from_plato(60),
        lambda: gauge_pressure_kpa(9, 20),
        lambda: gauge_pressure_kpa(2, 90),
        lambda: residual_volumes(70),
        lambda: primed_volumes("molasses", 1, 1, 20),
        lambda: primed_volumes("corn sugar", 1, 0, 20),
        lambda: apparent_attenuation(1.0, 1.0),
        lambda: og_from_abv(40, 1.01),
        lambda: fg_from_abv(1.02, 20),
    ],
)
def test_out_of_range_is_refused(call: Any) -> None:
    with pytest.raises(ValueError, match=r"\w"):
        call()
