"""Bitterness by Tinseth's equation, and what is known beyond the boil.

U = 1.65 · 0.000125^(G − 1) · (1 − e^(−0.04 t))/4.15, IBU = U · alpha · g · 1000/L (G. Tinseth, 1997, as printed in
Palmer, How to Brew, 1st ed., ch. 5.5). The gravity is that of the wort in the kettle, averaged over the boil; the
volume is that of the finished wort. Sources disagree on both: whoever calls says which figures went in. Whole hops;
pellets are often taken as a tenth more. Against a laboratory any prediction is good to about a third.
"""

from __future__ import annotations

import math

CEILING_IBU = 110.0  # solubility of iso-alpha acids in beer, about 110 mg/l (beerandbrewing.com, "bitterness units")
# isomerisation k1 = 7.9e11 e^(−11858/T) per minute, T in K, 90 to 130 °C: Malowicki & Shellhammer, J. Agric. Food Chem.
# 53(11), 4434-4439, 2005
_ACTIVATION_K = 11858.0
_BOIL_K = 373.15
ISOMERISES_ABOVE_C = 60.0
# First wort hops boil as long as the boil; brewers add 0 to 10 % for the time in warming wort (common practice).
FIRST_WORT_FACTOR = 1.05
# Dry hops add no IBU by definition: their alpha acids are not isomerised below about 60 °C. (The laboratory's figure
# may still move by some units, as it counts oxidised acids and polyphenols too, and hop matter takes iso-alpha acids
# out; no published rule was found, so none is applied.)
DRY_HOP_IBU = 0.0
LOSS_PER_MONTH_AT_20_C = 0.02  # from memory, uncertain by half
_DOUBLES_EVERY_C = 10.0  # from memory: reactions of staling about double every 10 °C


def tinseth_utilisation(boil_sg: float, minutes: float) -> float:
    """Share of alpha acid that ends up as bitterness, 0 to 0.40.

    Valid for a kettle gravity of 1.000 to 1.150 and 0 to 240 minutes; raises ValueError outside.
    """
    if not 1.0 <= boil_sg <= 1.15:
        raise ValueError(f"a kettle gravity of {boil_sg} is outside 1.000 to 1.150")
    if not 0 <= minutes <= 240:
        raise ValueError(f"{minutes} minutes are outside 0 to 240")
    return 1.65 * math.pow(0.000125, boil_sg - 1) * (1 - math.exp(-0.04 * minutes)) / 4.15


def boil_ibu(mass_g: float, alpha_percent: float, minutes: float, boil_sg: float, volume_l: float) -> float:
    """IBU of one addition to the boil: ``mass_g`` grams of hops of ``alpha_percent`` % in ``volume_l`` litres.

    Raises ValueError for a negative mass, alpha acid outside 0 to 30 %, no volume, or as :func:`tinseth_utilisation`.
    """
    if mass_g < 0 or not 0 <= alpha_percent <= 30 or volume_l <= 0:
        raise ValueError("hops need a mass from 0, alpha acid of 0 to 30 % and a volume above 0")
    return tinseth_utilisation(boil_sg, minutes) * alpha_percent / 100 * mass_g * 1000 / volume_l


def isomerisation_rate(celsius: float) -> float:
    """Rate of isomerisation at a temperature, relative to boiling at 100 °C (about a half at 92, a sixth at 80 °C).

    Valid for 0 to 105 °C; raises ValueError outside. Measured from 90 °C up, extrapolated below.
    """
    if not 0 <= celsius <= 105:
        raise ValueError(f"{celsius} °C is outside 0 to 105 °C")
    return math.exp(_ACTIVATION_K * (1 / _BOIL_K - 1 / (celsius + 273.15)))


def stand_ibu(
    mass_g: float, alpha_percent: float, minutes: float, celsius: float, boil_sg: float, volume_l: float
) -> float:
    """IBU of hops that stand in hot wort: Tinseth's time shortened by the rate of isomerisation; uncertain by half.

    Below 60 °C nothing is counted. Raises ValueError as :func:`boil_ibu` and :func:`isomerisation_rate`.
    """
    rate = isomerisation_rate(celsius)
    effective = minutes * rate if celsius >= ISOMERISES_ABOVE_C else 0.0
    return boil_ibu(mass_g, alpha_percent, effective, boil_sg, volume_l)


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
    if not 1.0 <= factor <= 1.1:
        raise ValueError(f"a first wort factor of {factor} is outside 1.0 to 1.1")
    return factor * boil_ibu(mass_g, alpha_percent, boil_minutes, boil_sg, volume_l)


def capped_ibu(ibu: float) -> float:
    """IBU held to what beer can dissolve, :data:`CEILING_IBU`; predictions add up without end, beer does not.

    Beers level off well before: measured utilisation falls from about 50 IBU on (brewers' reports), so a prediction
    between 50 and the ceiling is likely too high. Raises ValueError below 0.
    """
    if not ibu >= 0:
        raise ValueError(f"{ibu} IBU is below 0")
    return min(ibu, CEILING_IBU)


def aged_ibu(ibu: float, months: float, celsius: float) -> float:
    """IBU left after storage: a steady loss of 2 % a month at 20 °C, doubling every 10 °C; an estimate.

    Both numbers are from memory and uncertain by half; oxygen and light make it faster. Valid for 0 to 120 months and
    −2 to 40 °C; raises ValueError outside, or for IBU below 0.
    """
    if not ibu >= 0:
        raise ValueError(f"{ibu} IBU is below 0")
    if not (0 <= months <= 120 and -2 <= celsius <= 40):
        raise ValueError(f"{months} months at {celsius} °C are outside 0 to 120 months and −2 to 40 °C")
    rate = LOSS_PER_MONTH_AT_20_C * 2 ** ((celsius - 20) / _DOUBLES_EVERY_C)
    return ibu * math.exp(-rate * months)
