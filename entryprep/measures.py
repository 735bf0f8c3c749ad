"""Quantities in words, metric or US customary: the one home of what ``--units`` changes.

A run says once in which units it speaks (:func:`speak`); every sentence that names a temperature, a mass, a volume, a
dose, a pressure or a length asks here for its words. US customary are °F, lb and oz (avoirdupois), gal and fl oz (US
liquid), psi and in, by the exact definitions of NIST SP 811, appendix B (see :mod:`entryprep.quantities`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache

from entryprep.quantities import (
    KG_PER_OUNCE,
    KG_PER_POUND,
    KPA_PER_BAR,
    KPA_PER_PSI,
    LITRES_PER_FL_OZ,
    LITRES_PER_GALLON,
    MM_PER_INCH,
    QuantityError,
)

METRIC, US = "metric", "us"
_SPOKEN: ContextVar[str] = ContextVar("units", default=METRIC)


def speak(units: str) -> None:
    """Say all quantities in these units from here on, ``metric`` or ``us``: once, before anything is worked out."""
    _SPOKEN.set(units)


def spoken() -> str:
    """The units of this run."""
    return _SPOKEN.get()


@contextmanager
def speaking(units: str) -> Iterator[None]:
    """Say quantities in these units inside a ``with``."""
    before = _SPOKEN.set(units)
    try:
        yield
    finally:
        _SPOKEN.reset(before)


def us() -> bool:
    """Whether this run speaks US customary units."""
    return _SPOKEN.get() == US


def small_mass(grams: float) -> str:
    """A mass of hops, spice or sugar, in g or oz."""
    if us():
        ounces = grams / (KG_PER_OUNCE * 1000)
        return f"{ounces:.{1 if ounces >= 1 else 2}f} oz"
    return f"{grams:.{0 if grams >= 10 else 1}f} g"


def exact_mass(grams: float, digits: int = 1) -> str:
    """A mass as it is reckoned with, in g or oz."""
    return f"{grams / (KG_PER_OUNCE * 1000):.{digits + 2}f} oz" if us() else f"{grams:.{digits}f} g"


def large_mass(kilograms: float, digits: int = 2) -> str:
    """A mass of malt, of fruit or of bottles, in kg or lb."""
    return f"{kilograms / KG_PER_POUND:.{digits}f} lb" if us() else f"{kilograms:.{digits}f} kg"


def both_masses(kilograms: float) -> str:
    """The mass of a box for whoever lifts it, anywhere: kg and lb; lb alone where US units are spoken."""
    pounds = f"{kilograms / KG_PER_POUND:.0f} lb"
    return pounds if us() else f"{kilograms:.1f} kg / {pounds}"


def stated_mass(kilograms: float) -> str:
    """A mass as somebody stated it, in kg or lb."""
    return f"{kilograms / KG_PER_POUND:.4g} lb" if us() else f"{kilograms:g} kg"


def beer_volume(litres: float) -> str:
    """A volume of beer as it was stated, in L or US gallons."""
    return f"{litres / LITRES_PER_GALLON:.3g} gal" if us() else f"{litres:g} L"


def rough_volume(litres: float, digits: int = 1) -> str:
    """A volume that was worked out, in L or US gallons."""
    return f"{litres / LITRES_PER_GALLON:.{digits + 1}f} gal" if us() else f"{litres:.{digits}f} L"


def density_words(kg_per_litre: float) -> str:
    """A density, in kg per litre or lb per gallon."""
    return f"{kg_per_litre * LB_PER_GALLON:.3g} lb per gallon" if us() else f"{kg_per_litre:g} kg per litre"


def bottle_volume(millilitres: float) -> str:
    """What a bottle holds, in ml or US fluid ounces."""
    return f"{millilitres / 1000 / LITRES_PER_FL_OZ:.1f} fl oz" if us() else f"{millilitres:.0f} ml"


def bottle_volumes(low_ml: float, high_ml: float) -> str:
    """A range of what bottles hold, given in ml."""
    return f"{bottle_volume(low_ml).split()[0]} to {bottle_volume(high_ml)}"


def per_volume(grams_per_litre: float) -> tuple[str, str]:
    """A dose as mass and the volume that it is for: ``2.0 g`` per ``litre``, or oz per US gallon."""
    if us():
        return f"{grams_per_litre * OZ_PER_GALLON:.2f} oz", "gallon"
    return f"{grams_per_litre:.1f} g", "litre"


LB_PER_GALLON = LITRES_PER_GALLON / KG_PER_POUND  # of one kg in a litre
OZ_PER_GALLON = LITRES_PER_GALLON / (KG_PER_OUNCE * 1000)  # of one gram in a litre
PER_LITRE = {"g/L": (OZ_PER_GALLON, "oz/gal"), "pods/L": (LITRES_PER_GALLON, "pods/gal"), "L/L": (1.0, "gal/gal")}


def per_beer(value: float, unit: str) -> tuple[float, str]:
    """A dose and its unit, those for a litre of beer in US units for a gallon."""
    factor, said = PER_LITRE.get(unit, (1.0, unit)) if us() else (1.0, unit)
    return value * factor, said


def degrees(celsius: float, exact: bool = False) -> str:
    """A temperature, in °C or °F; ``exact``: as it was stated."""
    value, unit = (celsius * 1.8 + 32, "°F") if us() else (celsius, "°C")
    return f"{value:.4g} {unit}" if exact else f"{value:.0f} {unit}"


def degrees_between(low: float, high: float, joint: str = "-") -> str:
    """A range of temperatures given in °C."""
    return f"{degrees(low).split()[0]}{joint}{degrees(high)}"


def degrees_apart(low: float, high: float) -> str:
    """A difference of temperatures, from and to, given in °C."""
    factor, unit = (1.8, "°F") if us() else (1.0, "°C")
    return f"{low * factor:.0f} to {high * factor:.0f} {unit}"


def pressure_unit() -> str:
    """The unit of :func:`pressure`."""
    return "psi" if us() else "bar"


def pressure(kilopascals: float) -> str:
    """A gauge pressure as a bare figure, in bar or psi."""
    return f"{kilopascals / KPA_PER_PSI:.0f}" if us() else f"{kilopascals / KPA_PER_BAR:.1f}"


def length(millimetres: float) -> str:
    """A length of bottles and boxes, in mm or inches."""
    return f"{millimetres / MM_PER_INCH:.1f} in" if us() else f"{millimetres:.0f} mm"


# ---- our own words, as data

_METRIC = r"°C|kg(?: of extract)? per litre|kg|g/L|g|L|litres?|ml|bar|mm|cm"
_US = r"US gal|gal|fl oz|oz|lb|in|°F|psi"
_NUMBER = r"[-−]?\d[\d,]*(?:\.\d+)?"
_BOTH = re.compile(rf"{_NUMBER} (?:{_METRIC}) \(({_NUMBER} (?:{_US}))\)")  # 5 cm (2 in)
_BOTH_ALSO = re.compile(rf"({_NUMBER} (?:{_US}))(?: \({_NUMBER} (?:{_METRIC})\)| / {_NUMBER} (?:{_METRIC})\b)")
_SPAN = re.compile(rf"({_NUMBER})(?: to ({_NUMBER}))? ({_METRIC})(?![\w/°])( in a litre\b)?( warmer| cooler)?")


def in_units(text: str) -> str:
    """Our own words, as the tables and rules have them, in the units of the run; never anybody else's.

    Quantities are written there in metric units, or in both, as ``5 cm (2 in)`` and ``12 oz / 355 ml``.
    """
    return _reworded(text) if us() else text


def refusal(error: ValueError) -> str:
    """Why the bare maths refuses its numbers, which it takes and tells in metric units; what a reader said is kept."""
    return str(error) if isinstance(error, QuantityError) else in_units(str(error))


@lru_cache(maxsize=4096)
def _reworded(text: str) -> str:
    text = _BOTH_ALSO.sub(r"\1", _BOTH.sub(r"\1", text))
    return _SPAN.sub(_spanned, text)


def _spanned(found: re.Match[str]) -> str:
    low, high, unit, each, apart = found.groups()
    if each:
        unit = "g/L" if unit == "g" else unit
    numbers = [float(part.replace(",", "").replace("−", "-")) for part in (low, high) if part is not None]
    factor, name = _FACTORS[unit]
    shift = 32 if unit == "°C" and not apart else 0
    told = " to ".join(_figure(number * factor + shift, unit, bool(apart)) for number in numbers)
    return f"{told} {'oz in a gallon' if each and unit == 'g/L' else name}{apart or ''}"


_LB_PER_GALLON = LITRES_PER_GALLON / KG_PER_POUND
_FACTORS = {
    "kg of extract per litre": (_LB_PER_GALLON, "lb of extract per gallon"),
    "kg per litre": (_LB_PER_GALLON, "lb per gallon"),
    "°C": (1.8, "°F"),
    "kg": (1 / KG_PER_POUND, "lb"),
    "g": (1 / (KG_PER_OUNCE * 1000), "oz"),
    "g/L": (OZ_PER_GALLON, "oz/gal"),
    "L": (1 / LITRES_PER_GALLON, "gal"),
    "litre": (1 / LITRES_PER_GALLON, "gal"),
    "litres": (1 / LITRES_PER_GALLON, "gal"),
    "ml": (1 / (1000 * LITRES_PER_FL_OZ), "fl oz"),
    "bar": (KPA_PER_BAR / KPA_PER_PSI, "psi"),
    "mm": (1 / MM_PER_INCH, "in"),
    "cm": (10 / MM_PER_INCH, "in"),
}


def _figure(value: float, unit: str, apart: bool) -> str:
    if unit == "bar" or (unit == "°C" and not apart):
        return f"{value:.0f}"
    if unit == "ml":
        return f"{value:.1f}"
    return f"{value:.0f}" if value >= 100 else f"{value:.2g}"
