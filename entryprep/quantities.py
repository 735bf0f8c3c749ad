"""Numbers with units, as people write them, to numbers in the fixed inner units.

Inner units: SG 20/20 °C, litres, kilograms or grams (the kind says which), °C, SRM, IBU, % ABV, volumes
of CO2, millimetres. A bare number is taken in the inner unit.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from entryprep.brewing.colour import lovibond_from_srm, srm_from_ebc
from entryprep.brewing.extract import SUCROSE_POINTS
from entryprep.brewing.gravity import sg_from_brix, sg_from_plato
from entryprep.errors import EntryprepError

# exact by definition (NIST SP 811, appendix B): the inch, the avoirdupois pound, the US gallon of 231 cubic inches
MM_PER_INCH = 25.4
LITRES_PER_GALLON = 3.785411784
LITRES_PER_FL_OZ = LITRES_PER_GALLON / 128
KG_PER_POUND = 0.45359237
KG_PER_OUNCE = KG_PER_POUND / 16

KPA_PER_PSI = KG_PER_POUND * 9.80665 / (MM_PER_INCH / 1000) ** 2 / 1000  # NIST SP 811, appendix B: 6.894757
KPA_PER_BAR = 100.0

Convert = Callable[[float], float]
DAYS_PER_MONTH = 365.25 / 12


class QuantityError(EntryprepError, ValueError):
    """A value that cannot be read as the quantity wanted; ``fix`` says how to write it."""


def _same(value: float) -> float:
    return value


def _times(factor: float) -> Convert:
    return lambda value: value * factor


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: its words, its plausible range in the inner unit, its units."""

    words: str
    low: float
    high: float
    example: str
    units: Mapping[str, Convert]

    def unit_list(self) -> str:
        """The units a person may write, for messages."""
        return ", ".join(unit for unit in self.units if unit)


_VOLUME: dict[str, Convert] = {
    "L": _same,
    "l": _same,
    "litre": _same,
    "litres": _same,
    "liter": _same,
    "liters": _same,
    "ml": _times(0.001),
    "mL": _times(0.001),
    "cl": _times(0.01),
    "hl": _times(100),
    "gal": _times(LITRES_PER_GALLON),
    "gallons": _times(LITRES_PER_GALLON),
    "qt": _times(LITRES_PER_GALLON / 4),
    "fl oz": _times(LITRES_PER_FL_OZ),
}
_MASS_KG: dict[str, Convert] = {
    "kg": _same,
    "g": _times(0.001),
    "mg": _times(1e-6),
    "lb": _times(KG_PER_POUND),
    "lbs": _times(KG_PER_POUND),
    "oz": _times(KG_PER_OUNCE),
}


def _scaled(units: Mapping[str, Convert], factor: float) -> dict[str, Convert]:
    def outer(inner: Convert) -> Convert:
        return lambda value: inner(value) * factor

    return {unit: outer(convert) for unit, convert in units.items()}


KINDS: Mapping[str, Kind] = {
    "gravity": Kind(
        "a specific gravity",
        0.980,
        1.200,
        "1.052 or 12.9 °P",
        {
            "SG": _same,
            "sg": _same,
            "°P": sg_from_plato,
            "P": sg_from_plato,
            "Plato": sg_from_plato,
            "°Plato": sg_from_plato,
            "°Brix": sg_from_brix,
            "Brix": sg_from_brix,
            "°Bx": sg_from_brix,
            "Bx": sg_from_brix,
        },
    ),
    "volume": Kind("a volume", 0.0, 5000.0, "19 L or 5 gal", _VOLUME),
    "volume_ml": Kind(
        "a bottle or glass size",
        20.0,
        20000.0,
        "355 ml or 12 fl oz",
        {"ml": _same, "mL": _same} | _scaled({k: v for k, v in _VOLUME.items() if k not in {"ml", "mL"}}, 1000.0),
    ),
    "mass": Kind("a mass", 0.0, 2000.0, "4.5 kg or 10 lb", _MASS_KG),
    "mass_g": Kind(
        "a mass",
        0.0,
        2_000_000.0,
        "120 g or 4.2 oz",
        {"g": _same} | _scaled({k: v for k, v in _MASS_KG.items() if k != "g"}, 1000.0),
    ),
    "temperature": Kind(
        "a temperature",
        -20.0,
        110.0,
        "20 °C or 68 °F",
        {
            "°C": _same,
            "C": _same,
            "°F": lambda f: (f - 32) / 1.8,
            "F": lambda f: (f - 32) / 1.8,
        },
    ),
    "colour": Kind(
        "a colour",
        0.5,
        120.0,
        "12 SRM or 24 EBC",
        {"SRM": _same, "srm": _same, "EBC": srm_from_ebc, "ebc": srm_from_ebc},
    ),
    "bitterness": Kind("a bitterness", 0.0, 300.0, "35 IBU", {"IBU": _same, "ibu": _same, "EBU": _same, "BU": _same}),
    "alcohol": Kind(
        "an alcohol content",
        0.0,
        25.0,
        "5.2 %",
        {"%": _same, "% ABV": _same, "%ABV": _same, "% vol": _same, "ABV": _same},
    ),
    "strength": Kind(
        "the strength of a spirit or wine",
        0.0,
        96.5,
        "40 % or 80 proof",
        {"%": _same, "% ABV": _same, "%ABV": _same, "% vol": _same, "ABV": _same, "proof": _times(0.5)},
    ),
    "carbonation": Kind(
        "a carbonation", 0.0, 60.0, "2.5 volumes", {"volumes": _same, "volume": _same, "vol": _same, "vols": _same}
    ),
    "brix": Kind(
        "a refractometer reading", 0.0, 35.0, "12.5 °Brix", dict.fromkeys(("°Brix", "Brix", "°Bx", "Bx"), _same)
    ),
    "percent": Kind("a percentage", 0.0, 100.0, "15 %", {"%": _same}),
    # apparent, so that a beer fermented to the last sugar lies above 100 %
    "attenuation": Kind("an apparent attenuation", 0.0, 120.0, "75 %", {"%": _same}),
    "alpha": Kind("an alpha acid content", 0.0, 90.0, "5.5 %", {"%": _same}),
    "potential": Kind(
        "a potential",
        1.0,
        1.060,
        "1.037, 80 % or 300 L°/kg",
        {
            "SG": _same,
            "sg": _same,
            "%": lambda share: 1 + share * SUCROSE_POINTS / 1e5,
            "ppg": lambda points: 1 + points / 1000,
            "L°/kg": lambda degrees: 1 + degrees / (KG_PER_POUND**-1 * LITRES_PER_GALLON) / 1000,
        },
    ),
    "malt_colour": Kind(
        "the colour of a malt or sugar",
        0.0,
        4000.0,
        "3 °L or 6 EBC",
        {
            "°L": _same,
            "L": _same,
            "Lovibond": _same,
            "°Lovibond": _same,
            "SRM": lovibond_from_srm,
            "EBC": lambda ebc: lovibond_from_srm(srm_from_ebc(ebc)),
        },
    ),
    "minutes": Kind(
        "a time",
        0.0,
        1440.0,
        "60 min",
        {"min": _same, "minutes": _same, "minute": _same, "h": _times(60), "hours": _times(60), "hour": _times(60)},
    ),
    "length_mm": Kind(
        "a length",
        0.0,
        3000.0,
        "231 mm or 9.1 in",
        {"mm": _same, "cm": _times(10), "m": _times(1000), "in": _times(25.4)},
    ),
    "days": Kind(
        "a number of days",
        0.0,
        4000.0,
        "14 days",
        {
            "days": _same,
            "day": _same,
            "weeks": _times(7),
            "week": _times(7),
            "months": _times(DAYS_PER_MONTH),
            "hours": _times(1 / 24),
        },
    ),
}

_NUMBER = re.compile(r"^\s*([+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*?)\s*$", re.ASCII)
_COMMA = re.compile(r"^\s*[+-]?\d+,\d+")
_LONGEST = 40


def parse(value: object, kind: str) -> float:
    """Read ``value`` (a number or text such as "12.9 °P") as a quantity of ``kind``, in its inner unit.

    Raises QuantityError, with a fix, for text that is no number, a comma decimal, an unknown unit, a
    value that is not finite, or one outside the kind's plausible range. ``kind`` is a key of KINDS.
    """
    wanted = KINDS[kind]
    number, unit = _split(value, wanted)
    if not math.isfinite(number):
        raise QuantityError(f"{_shown(value)} is not a number that can be used", f"write {wanted.example}")
    try:
        inner = wanted.units[unit](number) if unit else number
    except ValueError:
        inner = math.nan
    if not wanted.low <= inner <= wanted.high:
        raise QuantityError(f"{_shown(value)} is not {wanted.words}", _range_hint(number, unit, kind))
    return inner


def _split(value: object, wanted: Kind) -> tuple[float, str]:
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise QuantityError(f"{_shown(value)} is not {wanted.words}", f"write {wanted.example}")
    if not isinstance(value, str):
        try:
            return float(value), ""
        except OverflowError:
            return math.inf, ""
    if value.strip().lower().lstrip("+-.") in {"nan", "inf", "infinity"}:
        return math.nan, ""
    if _COMMA.match(value):
        fixed = value.strip().replace(",", ".", 1)
        raise QuantityError(f"{_shown(value)} has a decimal comma", f"write {fixed[:_LONGEST]}, with a point")
    match = _NUMBER.match(value)
    if match is None:
        raise QuantityError(f"{_shown(value)} is not {wanted.words}", f"write {wanted.example}")
    unit = " ".join(match[2].replace("º", "°").split())
    if unit and unit not in wanted.units:
        raise QuantityError(
            f"{_shown(value)}: {unit[:_LONGEST]} is not a unit for {wanted.words}",
            f"use one of {wanted.unit_list()}",
        )
    return float(match[1]), unit


def _range_hint(number: float, unit: str, kind: str) -> str:
    wanted = KINDS[kind]
    if kind == "gravity" and not unit:
        if 980 <= number <= 1200:
            return f"Did you mean {number / 1000:.3f}?"
        if 1.2 < number < 2:  # a nought too few: 1.50 for 1.050
            return f"Did you mean {1 + (number - 1) / 10:.3f}?"
        if 1.5 <= number <= 40:
            return f"Did you mean {number:g} °P? Write the unit."
    if kind == "volume_ml" and 0 < number < 20 and not unit:
        return f"Did you mean {number:g} L or {number:g} fl oz? Write the unit."
    return f"expected {wanted.low:g} to {wanted.high:g}, such as {wanted.example}"


def _shown(value: object) -> str:
    text = " ".join(value.split()) if isinstance(value, str) else str(value).lower().removesuffix(".0")
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"
