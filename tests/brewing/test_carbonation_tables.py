"""Carbonation against published charts and stoichiometry (sources beside the rows)."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.constants import gas_constant, psi

from entryprep.brewing.carbonation import (
    KPA_PER_PSI,
    VOLUMES_PER_GRAM_PER_LITRE,
    bottle_pressure_kpa,
    gauge_pressure_kpa,
    primed_volumes,
    residual_volumes,
)
from tests.vectors import case_id, vector_path, vector_rows


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def table(name: str) -> list[dict[str, str]]:
    lines = [line for line in vector_path(name).read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def chart_cells() -> list[tuple[float, float, float]]:
    cells = []
    for row in table("carbonation.csv"):
        f = float(row.pop("f"))
        cells += [(f, float(volumes), float(pressure)) for volumes, pressure in row.items()]
    return cells


@pytest.mark.parametrize(("f", "volumes", "pressure"), chart_cells())
def test_every_cell_of_the_chart_to_its_printed_digit(f: float, volumes: float, pressure: float) -> None:
    got = gauge_pressure_kpa(volumes, celsius(f)) / KPA_PER_PSI
    assert got == pytest.approx(pressure, abs=0.05)
    assert round(got, 1) == pressure


@pytest.mark.parametrize("row", table("co2-at-2.5-volumes.csv"), ids=lambda row: case_id(f"{row['f']} °F"))
def test_an_independent_chart(row: dict[str, str]) -> None:
    got = gauge_pressure_kpa(2.5, celsius(float(row["f"]))) / KPA_PER_PSI
    assert got == pytest.approx(float(row["psi"]), abs=0.2)


def test_the_unit_of_pressure() -> None:
    assert pytest.approx(psi / 1000, abs=1e-6) == KPA_PER_PSI


def delange_psi(volumes: float, f: float) -> float:
    """The chart in deLange's form, from memory."""
    return (volumes + 0.003342) / (0.01821 + 0.090115 * math.exp(-(f - 32) / 43.11)) - 14.695


@pytest.mark.parametrize("volumes", [2.0, 2.5, 3.0, 4.0])
def test_warm_bottles_are_not_understated(volumes: float) -> None:
    # two ways to go on beyond the chart, both from memory: deLange's form, and the solubility of CO2 in water under
    # 1 atm, 1.69 g/kg at 20 °C, 1.26 at 30 °C and 0.97 at 40 °C
    for temperature in (30, 40):
        warm = bottle_pressure_kpa(volumes, temperature) / KPA_PER_PSI
        assert warm == pytest.approx(delange_psi(volumes, 1.8 * temperature + 32), rel=0.11)
    room, van, hot = (bottle_pressure_kpa(volumes, t) + 101.325 for t in (20, 30, 40))
    assert hot / van == pytest.approx(1.26 / 0.97, rel=0.02)
    # the chart itself rises less than the solubility falls; 10 % is what the function promises
    assert hot / room == pytest.approx(1.69 / 0.97, rel=0.10)
    # the chart's polynomial alone falls short of both at 40 °C
    assert gauge_pressure_kpa(volumes, 40) < 0.95 * bottle_pressure_kpa(volumes, 40)


@given(st.floats(0, 8), st.floats(-5, 59))
def test_a_bottle_follows_the_chart_and_never_falls(volumes: float, temperature: float) -> None:
    here = bottle_pressure_kpa(volumes, temperature)
    assert bottle_pressure_kpa(volumes, temperature + 1) >= here
    if temperature <= celsius(80):
        assert here >= gauge_pressure_kpa(volumes, temperature)
    assert bottle_pressure_kpa(volumes, celsius(80) + 1e-9) == pytest.approx(
        bottle_pressure_kpa(volumes, celsius(80)), abs=0.001
    )


@pytest.mark.parametrize("volumes", [2.5, 3.5, 5.0, 8.0, 20.0, 60.0])
def test_a_warm_bottle_is_not_below_henrys_law(volumes: float) -> None:
    # CO2 in water at 25 °C: 3.3e-4 to 3.4e-4 mol/(m³ Pa), d ln/d(1/T) 2300 to 2400 K (R. Sander, compilation of Henry's
    # law constants, Atmos. Chem. Phys. 2015, from memory); a volume is 44.6 mol/m³ (1 atm and 0 °C, ideal gas by scipy)
    moles = volumes * 101325 / (gas_constant * 273.15)
    for temperature in (20, 25, 30, 40):
        for constant, slope in ((3.3e-4, 2300.0), (3.4e-4, 2400.0)):
            at = constant * math.exp(slope * (1 / (temperature + 273.15) - 1 / 298.15))
            assert bottle_pressure_kpa(volumes, temperature) + 101.325 >= 0.955 * moles / at / 1000
    # and is no wild guess either: within a tenth of it at ordinary carbonation
    if volumes <= 8:
        assert bottle_pressure_kpa(volumes, 25) + 101.325 == pytest.approx(moles / 3.35e-4 / 1000, rel=0.05)


@pytest.mark.parametrize(("celsius_", "grams"), [(0, 3.35), (10, 2.32), (20, 1.69), (30, 1.26), (40, 0.97), (50, 0.76)])
def test_residual_gas_follows_the_solubility_of_co2(celsius_: float, grams: float) -> None:
    # g/kg of water under 1 atm of CO2 (handbook tables, from memory); what beer keeps is that within a tenth, and above
    # 30 °C, where the brewers' polynomial turns, it goes on falling
    assert residual_volumes(celsius_) == pytest.approx(grams / 1.964, rel=0.13)


def test_the_warning_at_four_temperatures() -> None:
    # brewery.org chart at 40 °F and 70 °F for 3.0 volumes: 17.7 and 36.8 psi; a fridge, a room, a van, a hot van
    fridge, room, van, hot = (bottle_pressure_kpa(3.0, t) / KPA_PER_PSI for t in (4, 20, 30, 40))
    assert fridge < 17.7 < room < 36.8 < van < hot


@pytest.mark.parametrize(
    "row", vector_rows("residual-co2.yaml"), ids=lambda row: case_id(f"{row['celsius']} {row['source']}")
)
def test_residual_against_both_tables(row: dict[str, Any]) -> None:
    abs_error = 0.03 if 14 <= row["celsius"] <= 24 else 0.07
    assert residual_volumes(row["celsius"]) == pytest.approx(row["volumes"], abs=abs_error)


@pytest.mark.parametrize("row", vector_rows("priming.yaml"), ids=lambda row: case_id(row["source"]))
def test_priming_against_published_amounts(row: dict[str, Any]) -> None:
    added = primed_volumes(row["sugar"], row["grams"], row["litres"], 20) - residual_volumes(20)
    assert added == pytest.approx(row["adds"], abs=row["tolerance"])


def test_stoichiometry() -> None:
    # standard atomic weights (IUPAC, from memory) and scipy's gas constant: 1 mole of glucose gives 2 of CO2, of a
    # disaccharide 4; a volume is a litre of gas at 0 °C and 1 atm
    c, h, o = 12.011, 1.008, 15.999
    co2, water = c + 2 * o, 2 * h + o
    glucose = 6 * c + 12 * h + 6 * o
    per_volume = co2 / (gas_constant * 273.15 / 101.325)  # grams of CO2 per litre and volume
    sugars = {"glucose": glucose / 2, "corn sugar": (glucose + water) / 2, "table sugar": (2 * glucose - water) / 4}
    for sugar, grams_per_mole in sugars.items():
        expected = grams_per_mole / co2 * per_volume
        assert 1 / VOLUMES_PER_GRAM_PER_LITRE[sugar] == pytest.approx(expected, abs=0.006), sugar


def test_rules_of_thumb_on_sugars() -> None:
    per_gram = VOLUMES_PER_GRAM_PER_LITRE
    # BYO, "Priming with sugar": 9 % of glucose monohydrate is water
    assert per_gram["corn sugar"] / per_gram["glucose"] == pytest.approx(0.91, abs=0.005)
    # criticalhitmontreal: 10 % less sucrose than dextrose, a rule between the two kinds of dextrose
    assert per_gram["glucose"] / per_gram["table sugar"] > 0.9 > per_gram["corn sugar"] / per_gram["table sugar"]
    # a page: 1 g of CO2 needs 2.16 g of glucose, which allows for a loss of a twentieth
    assert 1 / per_gram["glucose"] / 1.964 == pytest.approx(2.16, rel=0.06)
    # common practice: a third to a half more dry malt extract than corn sugar, an eighth to a quarter more honey
    assert 1.3 <= per_gram["corn sugar"] / per_gram["dry malt extract"] <= 1.5
    assert 1.12 <= per_gram["corn sugar"] / per_gram["honey"] <= 1.25


def test_the_factor_at_room_temperature_is_not_ours() -> None:
    # hbd.org/ddraper: 3.7 g of glucose per litre and volume takes a molar volume of 24.055 L, that of 20 °C
    assert 1 / VOLUMES_PER_GRAM_PER_LITRE["glucose"] > 3.7 * 1.07


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: primed_volumes("corn sugar", 120, 0, 20), "above 0, not 120 g and 0 L"),
        (lambda: primed_volumes("molasses", 120, 20, 20), "molasses is not one of corn sugar, glucose, table sugar"),
        (lambda: primed_volumes("corn sugar", -1, 20, 20), "mass from 0 .*, not -1 g"),
        (lambda: primed_volumes("corn sugar", 1e300, 1e-300, 20), "more than can be reckoned"),
        (lambda: bottle_pressure_kpa(61, 30), "outside 0 to 60"),
        (lambda: bottle_pressure_kpa(2, 70), r"outside .5 to 60 "),
    ],
)
def test_impossible_values_are_refused(call: Callable[[], object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()
