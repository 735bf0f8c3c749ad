"""Units of BeerJSON 1.0, to our inner units; quantities we have no inner unit for go to SI.

Names and lists are those of the standard's measureable_units.json. Imperial and US measures by their legal
definitions: 1 imperial gallon = 4.54609 l, 1 US gallon = 3.785411784 l, 1 US beer barrel = 31 and 1 UK barrel = 36 of
their gallons.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from entryprep.brewing.colour import lovibond_from_srm, srm_from_ebc, srm_from_lovibond
from entryprep.brewing.gravity import sg_from_brix, sg_from_plato
from entryprep.errors import EntryprepError
from entryprep.measures import refusal
from entryprep.quantities import KG_PER_OUNCE, KG_PER_POUND, LITRES_PER_GALLON

IMPERIAL_GALLON = 4.54609
CO2_G_PER_L = 1.964  # one volume: a litre of CO2 at 0 °C and 1 atm
Unit = float | Callable[[float], float]

_US, _UK = LITRES_PER_GALLON, IMPERIAL_GALLON
UNITS: Mapping[str, Mapping[str, Unit]] = {
    "volume": {  # litres
        "ml": 0.001,
        "l": 1.0,
        "tsp": _US / 768,
        "tbsp": _US / 256,
        "floz": _US / 128,
        "cup": _US / 16,
        "pt": _US / 8,
        "qt": _US / 4,
        "gal": _US,
        "bbl": _US * 31,
        "ifloz": _UK / 160,
        "ipt": _UK / 8,
        "iqt": _UK / 4,
        "igal": _UK,
        "ibbl": _UK * 36,
    },
    "mass": {"mg": 1e-6, "g": 0.001, "kg": 1.0, "lb": KG_PER_POUND, "oz": KG_PER_OUNCE},  # kilograms
    "temperature": {"C": 1.0, "F": lambda f: (f - 32) / 1.8},  # °C
    "time": {"sec": 1 / 60, "min": 1.0, "hr": 60.0, "day": 1440.0, "week": 10080.0},  # minutes
    "color": {"SRM": 1.0, "EBC": srm_from_ebc, "Lovi": srm_from_lovibond},  # SRM of wort or beer
    "malt color": {  # °Lovibond
        "Lovi": 1.0,
        "SRM": lovibond_from_srm,
        "EBC": lambda ebc: lovibond_from_srm(srm_from_ebc(ebc)),
    },
    "carbonation": {"vols": 1.0, "g/l": 1 / CO2_G_PER_L},
    "bitterness": {"IBUs": 1.0},
    "gravity": {"sg": 1.0, "plato": sg_from_plato, "brix": sg_from_brix},
    "percent": {"%": 1.0},
    "count": {"1": 1.0, "unit": 1.0, "each": 1.0, "dimensionless": 1.0, "pkg": 1.0},
    "pressure": {"kPa": 1.0, "psi": 6.894757, "bar": 100.0},  # kPa
    "acidity": {"pH": 1.0},
    "diastatic power": {"Lintner": 1.0, "WK": lambda wk: (wk + 16) / 3.5},  # °Lintner
    "concentration": {"ppm": 1.0, "ppb": 0.001, "mg/l": 1.0},  # mg/l, of water
    "specific heat": {"J/(kg K)": 1.0, "Cal/(g C)": 4184.0, "BTU/(lb F)": 4186.8},  # J/(kg K)
    "specific volume": {  # l/kg
        "l/kg": 1.0,
        "l/g": 1000.0,
        "m^3/kg": 1000.0,
        "qt/lb": _US / 4 / KG_PER_POUND,
        "gal/lb": _US / KG_PER_POUND,
        "gal/oz": _US / KG_PER_OUNCE,
        "floz/oz": _US / 128 / KG_PER_OUNCE,
        "ft^3/lb": 28.316846592 / KG_PER_POUND,
    },
    "viscosity": {"cP": 1.0, "mPa-s": 1.0},  # mPa·s
}


class UnitError(EntryprepError, ValueError):
    """A quantity of the standard that is no value and unit, or whose unit is not one of the standard's."""


def converted(value: object, kind: str) -> float:
    """The inner value of ``{"unit": ..., "value": ...}`` as a quantity of ``kind``, a key of :data:`UNITS`.

    Raises UnitError if it is no such object, the unit is unknown for the kind or the number lies beyond its scale.
    """
    try:
        number, factor = value["value"], UNITS[kind][value["unit"]]  # type: ignore[index]
    except (TypeError, KeyError, IndexError):
        raise _unreadable(value, kind) from None
    if type(number) is not float and type(number) is not int:
        raise UnitError(f"{str(number)[:40]} is not a number", 'write it without quotes, such as "value": 4.5')
    if isinstance(factor, float):
        return number * factor
    try:
        return factor(number)
    except ValueError as error:
        raise UnitError(refusal(error), "check the number and its unit") from None


def _unreadable(value: object, kind: str) -> UnitError:
    if not isinstance(value, dict) or "value" not in value or "unit" not in value:
        return UnitError("a quantity is written as a unit and a value", 'such as {"unit": "kg", "value": 4.5}')
    known = ", ".join(UNITS[kind])
    return UnitError(f"{str(value['unit'])[:40]} is not a unit for {kind}", f"the standard knows {known}")
