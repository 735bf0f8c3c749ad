"""Bitterness by Tinseth's equation, and what is known beyond the boil.

U = 1.65 · 0.000125^(G − 1) · (1 − e^(−0.04 t))/4.15, IBU = U · alpha · g · 1000/L (G. Tinseth, 1997, as printed in
Palmer, How to Brew, 1st ed., ch. 5.5). The gravity is that of the wort in the kettle, averaged over the boil; the
volume is that of the finished wort. Sources disagree on both: whoever calls says which figures went in. Whole hops;
pellets are often taken as a tenth more. Against a laboratory any prediction is good to about a third.
"""

from __future__ import annotations

import math

from entryprep.brewing.gravity import SG_MAX, SG_MIN

CEILING_IBU = 110.0  # solubility of iso-alpha acids in beer, about 110 mg/l (beerandbrewing.com, "bitterness units")
# isomerisation k1 = 7.9e11 e^(−11858/T) per minute, T in K, 90 to 130 °C: Malowicki & Shellhammer, J. Agric. Food Chem.
# 53(11), 4434-4439, 2005
_ACTIVATION_K = 11858.0
_BOIL_K = 373.15
ISOMERISES_ABOVE_C = 60.0
# First wort hops boil as long as the boil; brewers add 0 to 10 % for the time in warming wort (common practice).
FIRST_WORT_FACTOR = 1.05
FIRST_WORT_LEAST, FIRST_WORT_MOST = 1.0, 1.1
MASH_FACTOR = 0.2  # hops left in the mash tun bitter little: common practice, uncertain
# Dry hops add no IBU by definition: their alpha acids are not isomerised below about 60 °C. (The laboratory's figure
# may still move by some units, as it counts oxidised acids and polyphenols too, and hop matter takes iso-alpha acids
# out; no published rule was found, so none is applied.)
DRY_HOP_IBU = 0.0
MOST_G_PER_L = 1000.0  # of hops


def gravity_factor(boil_sg: float) -> float:
    """The part of utilisation that depends on the gravity of the kettle: 1.65 · 0.000125^(G − 1).

    Valid for 0.980 to 1.200; the equation was made for worts of 1.030 to 1.130 (from memory) and is carried on beyond
    them. Raises ValueError outside.
    """
    if not SG_MIN <= boil_sg <= SG_MAX:
        raise ValueError(f"a kettle gravity of {boil_sg} is outside {SG_MIN:.3f} to {SG_MAX:.3f}")
    return 1.65 * math.pow(0.000125, boil_sg - 1)


def tinseth_utilisation(boil_sg: float, minutes: float) -> float:
    """Share of alpha acid that ends up as bitterness: 0 to 0.40 for worts from 1.000, and never above 0.48.

    Valid for a kettle gravity as in :func:`gravity_factor` and from 0 minutes; raises ValueError outside.
    """
    if not minutes >= 0:
        raise ValueError(f"{minutes} minutes are below 0")
    return gravity_factor(boil_sg) * (1 - math.exp(-0.04 * minutes)) / 4.15


def boil_ibu(mass_g: float, alpha_percent: float, minutes: float, boil_sg: float, volume_l: float) -> float:
    """IBU of one addition to the boil: ``mass_g`` grams of hops of ``alpha_percent`` % in ``volume_l`` litres.

    Raises ValueError for a negative mass, alpha acid outside 0 to 100 % (extracts have 50 and more), no volume, more
    than a kilogram of hops in a litre, or as :func:`tinseth_utilisation`.
    """
    if not (mass_g >= 0 and 0 <= alpha_percent <= 100 and volume_l > 0):
        raise ValueError(
            f"{mass_g} g of hops of {alpha_percent} % in {volume_l} L: hops need a mass from 0, alpha acid of 0 to "
            "100 % and a volume above 0"
        )
    dose = mass_g / volume_l
    if not dose <= MOST_G_PER_L:
        raise ValueError(f"{mass_g} g of hops in {volume_l} L is more than {MOST_G_PER_L:g} g in a litre")
    return tinseth_utilisation(boil_sg, minutes) * alpha_percent * 10 * dose


def isomerisation_rate(celsius: float) -> float:
    """Rate of isomerisation at a temperature, relative to boiling at 100 °C (about a half at 92, a sixth at 80 °C).

    Valid for 0 to 105 °C; raises ValueError outside. Measured from 90 °C up, extrapolated below.
    """
    if not 0 <= celsius <= 105:
        raise ValueError(f"{celsius} °C is outside 0 to 105 °C")
    return math.exp(_ACTIVATION_K * (1 / _BOIL_K - 1 / (celsius + 273.15)))


def boiling_minutes(minutes: float, celsius: float) -> float:
    """Minutes of boiling that ``minutes`` at this temperature count for: shortened by the rate of isomerisation.

    Below 60 °C none count. Raises ValueError below 0 and for endless minutes, or as :func:`isomerisation_rate`.
    """
    if not minutes >= 0:
        raise ValueError(f"{minutes} minutes are below 0")
    if minutes == math.inf:
        raise ValueError("no boil is endless")
    rate = isomerisation_rate(celsius)
    return minutes * rate if celsius >= ISOMERISES_ABOVE_C else 0.0


def stand_ibu(
    mass_g: float, alpha_percent: float, minutes: float, celsius: float, boil_sg: float, volume_l: float
) -> float:
    """IBU of hops that stand in hot wort: Tinseth's equation for :func:`boiling_minutes`; uncertain by half.

    Raises ValueError as :func:`boil_ibu` and :func:`boiling_minutes`.
    """
    return boil_ibu(mass_g, alpha_percent, boiling_minutes(minutes, celsius), boil_sg, volume_l)


def first_wort_ibu(
    mass_g: float,
    alpha_percent: float,
    boil_minutes: float,
    boil_sg: float,
    volume_l: float,
    factor: float = FIRST_WORT_FACTOR,
) -> float:
    """IBU of hops given to the first wort: an addition of the whole boil, times ``factor``; uncertain.

    Common practice puts the factor anywhere from 1.0 to 1.1; in a pilot trial tasters could not tell first wort hops
    from an addition at the start of the boil (Hahn & Shellhammer, as reported at appellationbeer.com). Some brewers
    count them as 20 minutes instead: that speaks of their flavour, not of their bitterness. Raises ValueError for a
    factor outside 1.0 to 1.1, or as :func:`boil_ibu`.
    """
    if not FIRST_WORT_LEAST <= factor <= FIRST_WORT_MOST:
        raise ValueError(f"a first wort factor of {factor} is outside {FIRST_WORT_LEAST} to {FIRST_WORT_MOST}")
    return factor * boil_ibu(mass_g, alpha_percent, boil_minutes, boil_sg, volume_l)


def mash_ibu(mass_g: float, alpha_percent: float, boil_minutes: float, boil_sg: float, volume_l: float) -> float:
    """IBU of hops left in the mash tun: a fifth of an addition of the whole boil, from what runs off with the wort.

    Common practice, uncertain. Raises ValueError as :func:`boil_ibu`.
    """
    return MASH_FACTOR * boil_ibu(mass_g, alpha_percent, boil_minutes, boil_sg, volume_l)


def capped_ibu(ibu: float) -> float:
    """IBU held to what beer can dissolve, :data:`CEILING_IBU`; predictions add up without end, beer does not.

    Beers level off well before: measured utilisation falls from about 50 IBU on (brewers' reports), so a prediction
    between 50 and the ceiling is likely too high. Raises ValueError below 0.
    """
    if not ibu >= 0:
        raise ValueError(f"{ibu} IBU is below 0")
    return min(ibu, CEILING_IBU)
