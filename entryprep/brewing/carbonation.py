"""Carbonation: pressure of dissolved CO2, what fermentation leaves behind, what priming sugar adds.

Too much priming sugar, or beer bottled before its fermentation is over, bursts glass: whoever shows these numbers says
so beside them. A volume is a litre of gas at 0 °C and 1 atm in a litre of beer, 1.964 g/L.
"""

from __future__ import annotations

import math

KPA_PER_PSI = 6.894757
VOLUMES_PER_GRAM_PER_LITRE = {
    # 1 over the grams of sugar per litre that add one volume. The first three are stoichiometry at 1.964 g CO2 per
    # litre and volume; 4.42 for glucose monohydrate agrees with the BYO priming chart (128 g in 5 US gal: 1.53).
    # Charts that work with 3.7 or 3.75 take the gas at 20 °C and come out 8 % low.
    "corn sugar": 1 / 4.42,
    "glucose": 1 / 4.02,
    "table sugar": 1 / 3.82,
    # The last two vary from lot to lot, and are good to about a fifth. Dry malt extract: 97 % solids, 64 % of them
    # fermented, as maltose (from memory). Honey: 82.5 % solids, 95 % of them fermented, as glucose (from memory).
    "dry malt extract": 0.97 * 0.64 / 3.82,
    "honey": 0.825 * 0.95 / 4.02,
}
MOST_VOLUMES = 8.0  # to which the chart's polynomial is asked
BEYOND_ALL = 60.0  # volumes: at room temperature such a pressure would make the gas a liquid
ATMOSPHERE_KPA = 101.325
CHART_ENDS_C = (80 - 32) / 1.8
# CO2 in water at 25 °C, mol/(L atm), and d ln(solubility)/d(1/T), K: compilations of Henry's law constants, from memory
_HENRY_25, _HENRY_K = 0.034, 2400.0
_MOL_PER_VOLUME = 1.964 / 44.0095  # in a litre
CELSIUS_0, POLYNOMIAL_ENDS_C, WARMEST_C, COLDEST_C = 273.15, 30.0, 60.0, -5.0
# the polynomial of the brewers' chart: psi = C0 + C1 F + C2 F² + C3 F V + C4 V + C5 V²
_C0, _C1, _C2, _C3, _C4, _C5 = -16.6999, -0.0101059, 0.00116512, 0.173354, 4.24267, -0.0684226


def gauge_pressure_kpa(volumes: float, temperature_c: float) -> float:
    """Gauge pressure, kPa, of beer holding ``volumes`` of CO2 at ``temperature_c``, at equilibrium.

    The brewers' chart as a polynomial in °F and psi (brewery.org/library/CO2charts.html), for a gauge at sea level. The
    chart ends at 80 °F (26.7 °C); extrapolated above it reads low, by about a tenth at 40 °C: for a warm bottle use
    :func:`bottle_pressure_kpa`. Raises ValueError for volumes outside 0 to 8 or temperatures outside −5 to 60 °C.
    Never below 0.
    """
    if not 0 <= volumes <= MOST_VOLUMES:
        raise ValueError(f"{volumes} volumes of CO2 is outside 0 to {MOST_VOLUMES:g}")
    return max(0.0, _chart_kpa(volumes, temperature_c))


def bottle_pressure_kpa(volumes: float, temperature_c: float) -> float:
    """Gauge pressure, kPa, in a closed bottle of beer with ``volumes`` of CO2 that has come to ``temperature_c``.

    The higher of two: :func:`gauge_pressure_kpa`, whose chart ends at 26.7 °C and rises by e^(−2400/T) above it, and
    Henry's law for CO2 in water. The chart's polynomial reads 5 % below Henry's law at 3.5 volumes and 25 °C and 9 %
    at 8; beer holds a little less gas than water at the same pressure, and the space above it is left out: what errs,
    errs on the side of caution but for some 5 %. Above 8 volumes Henry's law alone. Raises ValueError for volumes
    outside 0 to 60 or temperatures outside −5 to 60 °C.
    """
    if not 0 <= volumes <= BEYOND_ALL:
        raise ValueError(f"{volumes} volumes of CO2 is outside 0 to {BEYOND_ALL:g}")
    _chart(temperature_c)
    by_henry = _henry_kpa(volumes, temperature_c)
    return max(0.0, by_henry, _warm_chart_kpa(volumes, temperature_c) if volumes <= MOST_VOLUMES else 0.0)


def _henry_kpa(volumes: float, celsius: float) -> float:
    solubility = _HENRY_25 * math.exp(_HENRY_K * (1 / (celsius + CELSIUS_0) - 1 / (25 + CELSIUS_0)))
    return ATMOSPHERE_KPA * (volumes * _MOL_PER_VOLUME / solubility - 1)


def _warm_chart_kpa(volumes: float, celsius: float) -> float:
    if celsius <= CHART_ENDS_C:
        return gauge_pressure_kpa(volumes, celsius)
    rise = math.exp(_HENRY_K * (1 / (CHART_ENDS_C + CELSIUS_0) - 1 / (celsius + CELSIUS_0)))
    return (gauge_pressure_kpa(volumes, CHART_ENDS_C) + ATMOSPHERE_KPA) * rise - ATMOSPHERE_KPA


def residual_volumes(temperature_c: float) -> float:
    """Volumes of CO2 left in beer that fermented out at ``temperature_c`` under no pressure.

    V = 3.0378 − 0.050062 F + 0.00026555 F² (as quoted at homebrewtalk 152427), −5 to 30 °C; published
    tables differ from it by up to 0.07 volumes. Above 30 °C, where the polynomial turns, it falls by Henry's law for
    CO2 in water, to 60 °C. Raises ValueError outside −5 to 60 °C.
    """
    if not COLDEST_C <= temperature_c <= WARMEST_C:
        raise ValueError(f"{temperature_c} °C is outside −5 to 60 °C")
    f = 1.8 * min(temperature_c, POLYNOMIAL_ENDS_C) + 32
    left = 3.0378 - 0.050062 * f + 0.00026555 * f * f
    if temperature_c > POLYNOMIAL_ENDS_C:
        left *= math.exp(_HENRY_K * (1 / (temperature_c + CELSIUS_0) - 1 / (POLYNOMIAL_ENDS_C + CELSIUS_0)))
    return left


def primed_volumes(sugar: str, mass_g: float, beer_l: float, temperature_c: float) -> float:
    """Volumes of CO2 after ``mass_g`` of priming sugar ferments out in ``beer_l`` litres of beer.

    ``sugar`` is a key of :data:`VOLUMES_PER_GRAM_PER_LITRE`; ``temperature_c`` the warmest the beer was after
    fermentation, −5 to 60 °C. Raises ValueError for an unknown sugar, a mass below 0, no beer, or a temperature
    outside.
    """
    if not (mass_g >= 0 and beer_l > 0):
        raise ValueError(f"priming needs a mass from 0 and a volume above 0, not {mass_g} g and {beer_l} L")
    if sugar not in VOLUMES_PER_GRAM_PER_LITRE:
        raise ValueError(f"{sugar} is not one of {', '.join(VOLUMES_PER_GRAM_PER_LITRE)}")
    volumes = residual_volumes(temperature_c) + VOLUMES_PER_GRAM_PER_LITRE[sugar] * mass_g / beer_l
    if not volumes < math.inf:
        raise ValueError(f"{mass_g} g of sugar in {beer_l} L is more than can be reckoned with")
    return volumes


def _chart(celsius: float) -> tuple[float, float]:
    if not -5 <= celsius <= 60:
        raise ValueError(f"{celsius} °C is outside −5 to 60 °C")
    f = 1.8 * celsius + 32
    return _C0 + _C1 * f + _C2 * f * f, _C4 + _C3 * f


def _chart_kpa(volumes: float, celsius: float) -> float:
    rest, linear = _chart(celsius)
    return (rest + linear * volumes + _C5 * volumes * volumes) * KPA_PER_PSI
