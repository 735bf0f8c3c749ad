"""Carbonation: pressure of dissolved CO2, what fermentation leaves behind, what priming sugar adds."""

from __future__ import annotations

KPA_PER_PSI = 6.894757
VOLUMES_PER_GRAM_PER_LITRE = {
    # grams of sugar per litre that add one volume: stoichiometry at 1.964 g CO2 per litre and volume;
    # 4.42 for glucose monohydrate agrees with the BYO priming chart (128 g in 5 US gal gives 1.53 volumes).
    "corn sugar": 1 / 4.42,
    "glucose": 1 / 4.02,
    "table sugar": 1 / 3.82,
}


def gauge_pressure_kpa(volumes: float, temperature_c: float) -> float:
    """Gauge pressure, kPa, of beer holding ``volumes`` of CO2 at ``temperature_c``, at equilibrium.

    The brewers' chart as a polynomial in °F and psi (brewery.org/library/CO2charts.html); made for 0 to
    27 °C, extrapolated above and then good to about ±10 %. Raises ValueError for volumes outside 0 to 8
    or temperatures outside −5 to 60 °C. Never below 0.
    """
    if not 0 <= volumes <= 8:
        raise ValueError(f"{volumes} volumes of CO2 is outside 0 to 8")
    if not -5 <= temperature_c <= 60:
        raise ValueError(f"{temperature_c} °C is outside −5 to 60 °C")
    f = 1.8 * temperature_c + 32
    psi = (
        -16.6999
        - 0.0101059 * f
        + 0.00116512 * f * f
        + 0.173354 * f * volumes
        + 4.24267 * volumes
        - 0.0684226 * volumes * volumes
    )
    return max(0.0, psi * KPA_PER_PSI)


def residual_volumes(temperature_c: float) -> float:
    """Volumes of CO2 left in beer that fermented out at ``temperature_c`` under no pressure.

    V = 3.0378 − 0.050062 F + 0.00026555 F² (as quoted at homebrewtalk 152427), 0 to 30 °C; published
    tables differ from it by up to 0.07 volumes. Raises ValueError outside that range.
    """
    if not 0 <= temperature_c <= 30:
        raise ValueError(f"{temperature_c} °C is outside 0 to 30 °C")
    f = 1.8 * temperature_c + 32
    return 3.0378 - 0.050062 * f + 0.00026555 * f * f


def primed_volumes(sugar: str, mass_g: float, beer_l: float, temperature_c: float) -> float:
    """Volumes of CO2 after ``mass_g`` of priming sugar ferments out in ``beer_l`` litres of beer.

    ``sugar`` is a key of :data:`VOLUMES_PER_GRAM_PER_LITRE`; ``temperature_c`` the warmest the beer was after
    fermentation. Raises ValueError for an unknown sugar, a mass below 0 or no beer.
    """
    if sugar not in VOLUMES_PER_GRAM_PER_LITRE:
        raise ValueError(f"{sugar} is not one of {', '.join(VOLUMES_PER_GRAM_PER_LITRE)}")
    if mass_g < 0 or beer_l <= 0:
        raise ValueError("priming needs a mass from 0 and a volume above 0")
    return residual_volumes(temperature_c) + VOLUMES_PER_GRAM_PER_LITRE[sugar] * mass_g / beer_l
