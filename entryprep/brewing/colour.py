"""Colour: units, prediction from malt, words.

EBC = 1.97 × SRM: both read absorbance at 430 nm, EBC over 1 cm × 25, SRM over 1/2 inch × 10 (ASBC and
EBC method definitions).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

EBC_PER_SRM = 1.97


LB_PER_GAL = 8.345404  # kg/L in lb per US gallon
MOREY_VALID_SRM = 50.0
MOREY_FACTOR, MOREY_EXPONENT = 1.4922, 0.6859
MOST_COLOUR = 1e6  # SRM, EBC or °Lovibond, far beyond any malt
MOST_UNITS = 1e9  # malt colour units


def srm_from_ebc(ebc: float) -> float:
    """SRM of an EBC colour; linear, −1e6 to 1e6; raises ValueError outside."""
    return _plausible(ebc, "EBC") / EBC_PER_SRM


def mcu(malts: Sequence[tuple[float, float]], volume_l: float) -> float:
    """Malt colour units, lb·°L per US gallon, of (kilograms, °Lovibond) in ``volume_l`` litres.

    Raises ValueError for a negative mass or colour, no volume, or more than 1e9 units (brewwiki.com, "Estimating
    Color").
    """
    for mass, colour in malts:
        if not (mass >= 0 and colour >= 0):
            raise ValueError(f"{mass} kg of a malt of {colour} °L: both are needed from 0")
    if not volume_l > 0:
        raise ValueError(f"a volume of {volume_l} L is not above 0")
    units = sum(mass * colour for mass, colour in malts) / volume_l * LB_PER_GAL
    if not units <= MOST_UNITS:
        raise ValueError(f"{units:g} malt colour units are more than {MOST_UNITS:g}")
    return units


def morey_srm(malt_colour_units: float) -> float:
    """SRM of a beer by Morey's fit, 1.4922 · MCU^0.6859; valid below 50 SRM.

    D. A. Morey, "Beer's Law", Brewing Techniques; a page in circulation misprints the exponent. Raises ValueError
    outside 0 to 1e9 units.
    """
    if not 0 <= malt_colour_units <= MOST_UNITS:
        raise ValueError(f"{malt_colour_units} malt colour units are outside 0 to {MOST_UNITS:g}")
    return MOREY_FACTOR * math.pow(malt_colour_units, MOREY_EXPONENT)


def mcu_from_srm(srm: float) -> float:
    """Malt colour units of a beer of this SRM, 0 to 1e6; :func:`morey_srm` backwards. Raises ValueError outside."""
    if not 0 <= srm <= MOST_COLOUR:
        raise ValueError(f"{srm} SRM is outside 0 to {MOST_COLOUR:g}")
    return math.pow(srm / MOREY_FACTOR, 1 / MOREY_EXPONENT)


def lovibond_from_srm(srm: float) -> float:
    """°Lovibond of a malt from its SRM: SRM = 1.3546 L − 0.76 (constants from memory). Never below 0.

    Valid for −1e6 to 1e6; raises ValueError outside.
    """
    return max(0.0, (_plausible(srm, "SRM") + 0.76) / 1.3546)


def srm_from_lovibond(lovibond: float) -> float:
    """SRM of a malt of this °Lovibond: SRM = 1.3546 L − 0.76 (constants from memory). Never below 0.

    Valid for −1e6 to 1e6; raises ValueError outside.
    """
    return max(0.0, 1.3546 * _plausible(lovibond, "°L") - 0.76)


def _plausible(colour: float, unit: str) -> float:
    if not -MOST_COLOUR <= colour <= MOST_COLOUR:
        raise ValueError(f"{colour} {unit} is outside −{MOST_COLOUR:g} to {MOST_COLOUR:g}")
    return colour


# BJCP 2021 Style Guidelines, Color Reference. Its bands overlap and leave gaps; each word here holds up to the number
# beside it, and a gap belongs to the darker word.
_WORDS = (
    (3, "straw"),
    (4, "yellow"),
    (6, "gold"),
    (9, "amber"),
    (14, "deep amber"),
    (17, "copper"),
    (18, "deep copper"),
    (22, "brown"),
    (30, "dark brown"),
    (40, "black"),
)


def colour_word(srm: float) -> str:
    """The word for a colour: straw, yellow, gold, amber, deep amber, copper, deep copper, brown, dark brown, black,
    opaque black.

    Raises ValueError below 0.
    """
    if not srm >= 0:
        raise ValueError(f"{srm} SRM is below 0")
    return next((word for high, word in _WORDS if srm <= high), "opaque black")
