"""A recipe in numbers: what a prediction needs, what of it cannot be, and what it lacks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from entryprep.brewing.extract import Fermentable
from entryprep.brewing.gravity import SG_MAX, SG_MIN

STAND_CELSIUS = 90.0  # where a stand has no temperature: common practice
DEFAULT_BOIL_MINUTES = 60.0
LEAST_EFFICIENCY, MOST_ATTENUATION, MOST_LITRES = 0.01, 1.2, 1e6


class Hops(NamedTuple):
    """Hops: grams, alpha acid %, how used, minutes in the heat; temperature in °C for a stand."""

    mass_g: float
    alpha_percent: float
    use: Literal["boil", "first wort", "mash", "stand", "dry"] = "boil"
    minutes: float = 0.0
    celsius: float = STAND_CELSIUS


@dataclass(frozen=True)
class Plan:
    """A recipe in numbers. ``volume_l`` reaches the fermenter, ``efficiency`` is from the grain to there (0 to 1).

    ``dissolved_efficiency`` is the share of what is dissolved in the kettle that reaches the fermenter; ``hops`` None
    means nothing is known of them, empty that there are none; ``attenuation`` is apparent, 0 to 1.2.
    """

    fermentables: Sequence[Fermentable]
    hops: Sequence[Hops] | None = None
    volume_l: float | None = None
    efficiency: float | None = None
    dissolved_efficiency: float = 1.0
    boil_volume_l: float | None = None
    boil_minutes: float = DEFAULT_BOIL_MINUTES
    attenuation: float | None = None


def mashes(plan: Plan) -> bool:
    """Whether any grain is mashed, so that the efficiency of the mash matters."""
    return any(item.use == "mashed" and item.mass_kg > 0 for item in plan.fermentables)


def check_plan(plan: Plan, known_og: float | None) -> None:
    """Raise ValueError for what is no recipe and the formulas themselves would not refuse.

    A volume outside 0 to 1e6 L, a volume in the kettle or a time below 0, an efficiency outside 1 to 100 %, an
    attenuation outside 0 to 120 %, a measured gravity outside 0.980 to 1.200, a sugar of which more than all ferments.
    """
    volume, boil, efficiency, attenuation = plan.volume_l, plan.boil_volume_l, plan.efficiency, plan.attenuation
    if volume is not None and not 0 < volume <= MOST_LITRES:
        raise ValueError(f"a volume of {volume} L is not above 0 and up to {MOST_LITRES:,.0f} L")
    if boil is not None and not boil >= 0:
        raise ValueError(f"a volume of {boil} L in the kettle is below 0")
    if not plan.boil_minutes >= 0:
        raise ValueError(f"a boil of {plan.boil_minutes} minutes is below 0")
    if efficiency is not None and not LEAST_EFFICIENCY <= efficiency <= 1:
        raise ValueError(f"an efficiency of {efficiency:.1%} is outside 1 to 100 %")
    if attenuation is not None and not 0 <= attenuation <= MOST_ATTENUATION:
        raise ValueError(f"an attenuation of {attenuation:.1%} is outside 0 to {MOST_ATTENUATION:.0%}")
    if known_og is not None and not SG_MIN <= known_og <= SG_MAX:
        raise ValueError(f"an original gravity of {known_og} is outside {SG_MIN} to {SG_MAX}")
    for item in plan.fermentables:
        if item.fermentable is not None and not 0 <= item.fermentable <= 1:
            raise ValueError(f"{item.fermentable:.1%} of the extract of a sugar cannot ferment: 0 to 100 % can")


def missing_from(plan: Plan) -> tuple[str, ...]:
    """What a plan lacks for a full prediction, and what cannot be predicted therefore, in words."""
    lacks = []
    if plan.volume_l is None:
        lacks.append("the volume into the fermenter, without which nothing can be predicted")
    if not plan.fermentables:
        lacks.append("fermentables: original gravity, final gravity, strength and colour cannot be predicted")
    elif plan.efficiency is None and mashes(plan):
        lacks.append("the efficiency of the mash: gravities and strength cannot be predicted")
    if plan.fermentables and plan.attenuation is None:
        lacks.append("the attenuation of the yeast: final gravity and strength cannot be predicted")
    if plan.hops is None:
        lacks.append("hops: bitterness cannot be predicted")
    return tuple(lacks)
