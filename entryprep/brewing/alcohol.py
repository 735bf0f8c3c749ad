"""Alcohol and extract by Balling's relations.

RE = 0.1808 OE + 0.8192 AE and ABW = (OE − RE)/(2.0665 − 0.010665 OE) with true °Plato; ABV = ABW·FG/0.794
(H. Rudolph, "Berechnung des Alkoholgehalts"; classical Balling/De Clerck).
"""

from __future__ import annotations

from entryprep.brewing.gravity import plato_from_sg

ETHANOL_DENSITY_RATIO = 0.794
_BISECTIONS = 50


def real_extract(oe_plato: float, ae_plato: float) -> float:
    """Real extract in °P from original and apparent extract in °P."""
    return 0.1808 * oe_plato + 0.8192 * ae_plato


def abw(og: float, fg: float) -> float:
    """Alcohol by mass, %, from original and final specific gravity.

    Valid for 0.980 ≤ FG ≤ OG ≤ 1.200; raises ValueError outside.
    """
    if fg > og:
        raise ValueError(f"final gravity {fg} is above original gravity {og}")
    oe = plato_from_sg(og)
    return (oe - real_extract(oe, plato_from_sg(fg))) / (2.0665 - 0.010665 * oe)


def abv(og: float, fg: float) -> float:
    """Alcohol by volume, %, from original and final specific gravity. Raises ValueError as :func:`abw`."""
    return abw(og, fg) * fg / ETHANOL_DENSITY_RATIO


def abv_slopes(og: float, fg: float) -> tuple[float, float]:
    """∂ABV/∂OG and ∂ABV/∂FG in % per unit of gravity, by central differences of 0.0005."""
    step = 0.0005
    by_og = (abv(og + step, min(fg, og - step)) - abv(og - step, min(fg, og - step))) / (2 * step)
    by_fg = (abv(og, min(fg + step, og)) - abv(og, fg - step)) / (min(fg + step, og) - (fg - step))
    return by_og, by_fg


def og_from_abv(abv_percent: float, fg: float) -> float:
    """Original gravity that ferments to ``fg`` with this strength; inverse of :func:`abv` by bisection.

    Raises ValueError where no original gravity up to 1.195 gives that strength, or strength is negative.
    """
    low, high = fg, 1.195
    if abv_percent < 0 or abv(high, fg) < abv_percent:
        raise ValueError(f"no original gravity gives {abv_percent} % at a final gravity of {fg}")
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if abv(middle, fg) < abv_percent:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def fg_from_abv(og: float, abv_percent: float) -> float:
    """Final gravity at which a wort of ``og`` has this strength; inverse of :func:`abv` by bisection.

    Raises ValueError where no final gravity down to 0.980 gives that strength, or strength is negative.
    """
    low, high = 0.980, og
    if abv_percent < 0 or abv(og, low) < abv_percent:
        raise ValueError(f"a wort of {og} cannot reach {abv_percent} %")
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if abv(og, middle) > abv_percent:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def apparent_attenuation(og: float, fg: float) -> float:
    """Apparent attenuation (ADF), %, = 100 (OE − AE)/OE with extracts in °P (Cargill Malt, brewing calculations).

    Raises ValueError if there is no extract to ferment.
    """
    oe = plato_from_sg(og)
    if oe <= 0:
        raise ValueError(f"an original gravity of {og} holds no extract")
    return 100 * (oe - plato_from_sg(fg)) / oe
