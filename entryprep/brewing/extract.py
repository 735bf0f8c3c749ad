"""Extract as a mass balance: what fermentables give, and the gravity it makes.

A gravity S holds S · 0.99821 · P(S)/100 kg of extract per litre (P in °Plato; water 0.99821 kg/l at 20 °C), so that
sucrose gives 46.2 points per pound and US gallon, as it does in the tables.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from entryprep.brewing.gravity import plato_from_sg, plato_slope

WATER_KG_PER_L = 0.99821  # at 20 °C, from memory of the usual tables
SUCROSE_POINTS = 46.21  # points per pound and US gallon; Palmer's table: points = yield % × 0.4621
MOST_KG_PER_L = 0.45  # of extract, about what 1.19 holds
# share of the laboratory yield that steeping draws: mean of the ratios in Palmer, How to Brew, table 9 (0.12 to 0.84)
STEEPED_SHARE = 0.5
MOST_KG, MOST_YIELD = 1e6, 1.1


class Fermentable(NamedTuple):
    """Something that gives extract: kilograms, yield (share of its mass, 0 to 1.1), colour in °Lovibond.

    ``fermentable`` is the share that yeast ferments wholly, 0 to 1, or None for wort of malt, where the yeast's
    attenuation decides. ``stage``: from the start of the boil, late in it, or in the fermenter.
    """

    mass_kg: float
    yield_share: float
    lovibond: float = 0.0
    use: Literal["mashed", "steeped", "dissolved"] = "mashed"
    fermentable: float | None = None
    stage: Literal["boil", "late", "fermenter"] = "boil"


def yield_from_potential(sg: float) -> float:
    """Share of its mass that a fermentable yields, from its potential (gravity of 1 lb in 1 US gallon, such as 1.037).

    Raises ValueError outside 1.000 to 1.060.
    """
    if not 1.0 <= sg <= 1.060:
        raise ValueError(f"a potential of {sg} is outside 1.000 to 1.060")
    return (sg - 1) * 1000 / SUCROSE_POINTS


def sg_from_extract(kg_per_l: float) -> float:
    """Specific gravity of a wort that holds ``kg_per_l`` kilograms of extract in a litre.

    Valid for 0 to 0.45 kg/l; raises ValueError outside. Newton's method on S · 0.99821 · P(S)/100.
    """
    if not 0 <= kg_per_l <= MOST_KG_PER_L:
        raise ValueError(f"{kg_per_l} kg of extract per litre is outside 0 to {MOST_KG_PER_L} kg per litre")
    sg = 1 + 0.385 * kg_per_l
    for _ in range(8):
        plato = plato_from_sg(sg)
        slope = plato + sg * plato_slope(sg)  # d(S · P)/dS
        step = (sg * plato - kg_per_l * 100 / WATER_KG_PER_L) / slope
        sg = min(max(sg - step, 1.0), 1.2)
        if abs(step) < 1e-6:  # the next step would be its square
            break
    return sg


def extract_per_litre(sg: float) -> float:
    """Kilograms of extract in a litre of wort of this gravity; the inverse of :func:`sg_from_extract`."""
    return sg * WATER_KG_PER_L * plato_from_sg(sg) / 100


def extract_of(item: Fermentable, efficiency: float | None, dissolved: float = 1.0) -> float:
    """Kilograms of extract that one fermentable brings to the fermenter; 0 for mashed grain of unknown efficiency.

    ``efficiency`` (0 to 1) is that of the mash, ``dissolved`` (0 to 100) what of the kettle reaches the fermenter.
    Raises ValueError outside, for a mass outside 0 to 1e6 kg, or a yield outside 0 to 1.1.
    """
    if not (0 <= item.mass_kg <= MOST_KG and 0 <= item.yield_share <= MOST_YIELD):
        raise ValueError(
            f"{item.mass_kg} kg of a yield of {item.yield_share:.1%}: masses are needed from 0 to {MOST_KG:,.0f} kg "
            f"and yields of 0 to {MOST_YIELD:.0%}"
        )
    if not (efficiency is None or 0 <= efficiency <= 1) or not 0 <= dissolved <= 100:
        raise ValueError(f"efficiencies of {efficiency} and {dissolved} are outside 0 to 1 and 0 to 100")
    if item.use == "mashed":
        return item.mass_kg * item.yield_share * (efficiency or 0.0)
    if item.stage == "fermenter":
        return item.mass_kg * item.yield_share
    return item.mass_kg * item.yield_share * (STEEPED_SHARE if item.use == "steeped" else 1.0) * dissolved
