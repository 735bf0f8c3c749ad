"""Bitterness by Tinseth's equation, and what is known beyond the boil.

U = 1.65 · 0.000125^(G − 1) · (1 − e^(−0.04 t))/4.15, IBU = U · alpha · g · 1000/L (G. Tinseth, 1997, as printed in
Palmer, How to Brew, 1st ed., ch. 5.5). The gravity is that of the wort in the kettle, averaged over the boil; the
volume is that of the finished wort. Sources disagree on both: whoever calls says which figures went in.
"""

from __future__ import annotations

import math

CEILING_IBU = 110.0  # solubility of iso-alpha acids in beer, about 110 mg/l (beerandbrewing.com, "bitterness units")
# isomerisation k1 = 7.9e11 e^(−11858/T) per minute, T in K, 90 to 130 °C: Malowicki & Shellhammer, J. Agric. Food Chem.
# 53(11), 4434-4439, 2005
_ACTIVATION_K = 11858.0
_BOIL_K = 373.15
ISOMERISES_ABOVE_C = 60.0


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
