"""Colour: units, prediction from malt, words.

EBC = 1.97 × SRM: both read absorbance at 430 nm, EBC over 1 cm × 25, SRM over 1/2 inch × 10 (ASBC and
EBC method definitions).
"""

from __future__ import annotations

import math

EBC_PER_SRM = 1.97


def srm_from_ebc(ebc: float) -> float:
    """SRM of an EBC colour; linear, any value from 0."""
    return ebc / EBC_PER_SRM


def ebc_from_srm(srm: float) -> float:
    """EBC of an SRM colour; linear, any value from 0."""
    return srm * EBC_PER_SRM


LB_PER_GAL = 8.345404  # kg/L in lb per US gallon
MOREY_VALID_SRM = 50.0
MOREY_EXPONENT = 0.6859


def mcu(malts: list[tuple[float, float]], volume_l: float) -> float:
    """Malt colour units, lb·°L per US gallon, of (kilograms, °Lovibond) in ``volume_l`` litres.

    Raises ValueError for a negative mass or colour, or no volume (brewwiki.com, "Estimating Color").
    """
    if volume_l <= 0 or any(mass < 0 or colour < 0 for mass, colour in malts):
        raise ValueError("malt colour needs masses and colours from 0 and a volume above 0")
    return sum(mass * colour for mass, colour in malts) / volume_l * LB_PER_GAL


def morey_srm(malt_colour_units: float) -> float:
    """SRM of a beer by Morey's fit, 1.4922 · MCU^0.6859; valid below 50 SRM.

    D. A. Morey, "Beer's Law", Brewing Techniques; a page in circulation misprints the exponent. Raises ValueError
    below 0.
    """
    if malt_colour_units < 0:
        raise ValueError(f"{malt_colour_units} malt colour units are below 0")
    return 1.4922 * math.pow(malt_colour_units, MOREY_EXPONENT)


def lovibond_from_srm(srm: float) -> float:
    """°Lovibond of a malt from its SRM: SRM = 1.3546 L − 0.76 (constants from memory). Never below 0."""
    return max(0.0, (srm + 0.76) / 1.3546)


def srm_from_lovibond(lovibond: float) -> float:
    """SRM of a malt of this °Lovibond: SRM = 1.3546 L − 0.76 (constants from memory). Never below 0."""
    return max(0.0, 1.3546 * lovibond - 0.76)


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
    """The word for a colour: straw, yellow, gold, amber, deep amber, copper, brown, dark brown, black, opaque black.

    Raises ValueError below 0.
    """
    if srm < 0:
        raise ValueError(f"{srm} SRM is below 0")
    return next((word for high, word in _WORDS if srm <= high), "opaque black")
