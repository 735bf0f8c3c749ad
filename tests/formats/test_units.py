"""The units of BeerJSON: all of the standard's, worth what law and other libraries say."""

from __future__ import annotations

import pytest
from scipy import constants

from entryprep.formats.units import UNITS, UnitError, converted
from tests.vectors.beerjson import schema

# the standard's name of an enum, and ours of the quantity
KINDS = {
    "VolumeUnitType": "volume",
    "MassUnitType": "mass",
    "TemperatureUnitType": "temperature",
    "TimeUnitType": "time",
    "ColorUnitType": "color",
    "CarbonationUnitType": "carbonation",
    "BitternessUnitType": "bitterness",
    "GravityUnitType": "gravity",
    "PercentUnitType": "percent",
    "UnitUnitType": "count",
    "PressureUnitType": "pressure",
    "AcidityUnitType": "acidity",
    "DiastaticPowerUnitType": "diastatic power",
    "ConcentrationUnitType": "concentration",
    "SpecificHeatUnitType": "specific heat",
    "SpecificVolumeUnitType": "specific volume",
    "ViscosityUnitType": "viscosity",
}


def test_every_unit_of_the_standard_is_known() -> None:
    enums = {
        n: set(d["enum"])
        for n, d in schema("measureable_units.json")["definitions"].items()
        if "Unit" in n and "enum" in d
    }
    assert enums.pop("DensityUnitType") == enums["GravityUnitType"]
    assert {name: set(UNITS[kind]) for name, kind in KINDS.items()} == enums
    assert set(UNITS["malt color"]) == enums["ColorUnitType"]


@pytest.mark.parametrize(
    ("kind", "unit", "inner"),
    # scipy.constants holds SI values of the legal definitions
    [
        ("volume", "gal", constants.gallon * 1000),
        ("volume", "igal", constants.gallon_imp * 1000),
        ("volume", "floz", constants.fluid_ounce * 1000),
        ("volume", "ifloz", constants.fluid_ounce_imp * 1000),
        ("volume", "qt", constants.gallon * 250),
        ("volume", "cup", constants.gallon * 1000 / 16),
        ("volume", "tbsp", constants.fluid_ounce * 500),
        ("volume", "tsp", constants.fluid_ounce * 1000 / 6),
        ("volume", "bbl", constants.gallon * 31000),  # US beer barrel, 27 CFR 25.11
        ("volume", "ibbl", constants.gallon_imp * 36000),
        ("mass", "lb", constants.lb),
        ("mass", "oz", constants.oz),
        ("pressure", "psi", constants.psi / 1000),
        ("pressure", "bar", constants.bar / 1000),
        ("specific heat", "Cal/(g C)", constants.calorie * 1000),
        ("specific volume", "ft^3/lb", constants.foot**3 * 1000 / constants.lb),
        ("time", "week", constants.week / 60),
    ],
)
def test_units_are_worth_their_definitions(kind: str, unit: str, inner: float) -> None:
    assert converted({"unit": unit, "value": 1}, kind) == pytest.approx(inner, rel=1e-6)


def test_the_crooked_units() -> None:
    assert converted({"unit": "F", "value": 212}, "temperature") == pytest.approx(100)
    # Wikipedia, "Brix": S 1.040 = 9.99325 °Bx = 9.99359 °P
    assert converted({"unit": "plato", "value": 9.99359}, "gravity") == pytest.approx(1.040, abs=1e-5)
    assert converted({"unit": "brix", "value": 9.99325}, "gravity") == pytest.approx(1.040, abs=1e-5)
    assert converted({"unit": "EBC", "value": 19.7}, "color") == pytest.approx(10)
    # a litre of CO2 at 0 °C and 1 atm weighs 44.0095 g/mol over 22.414 l/mol
    assert converted({"unit": "g/l", "value": 44.0095 / 22.414}, "carbonation") == pytest.approx(1, abs=0.001)


@pytest.mark.parametrize(
    "value",
    [4.5, None, [], {"value": 4}, {"unit": "kg"}, {"unit": "stone", "value": 1}, {"unit": ["kg"], "value": 1},
     {"unit": "kg", "value": "4"}, {"unit": "kg", "value": True}],
)  # fmt: skip
def test_what_is_no_quantity_is_refused_with_a_hint(value: object) -> None:
    with pytest.raises(UnitError) as caught:
        converted(value, "mass")
    assert caught.value.fix


def test_a_number_beyond_its_scale_is_refused() -> None:
    with pytest.raises(UnitError, match="900"):
        converted({"unit": "plato", "value": 900}, "gravity")
