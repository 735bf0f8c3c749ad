"""What sending costs: the cheapest boxes for a number of bottles and a mass.

Boxes are the divided ones of the packing list (6, 12 and 24 slots) with the same masses of packing. Bottles are counted
and weighed together, so a box that keeps entries whole may now and then need one box more: the plan says so where the
packing list differs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from entryprep.entering.boxes import PACKING_KG
from entryprep.records.competition import Competition

_DECIMALS = 9


@dataclass(frozen=True)
class BoxKind:
    """One kind of box at one price: bottles it takes, kg of full bottles it takes, its cost in the rate's currency."""

    slots: int
    payload_kg: float
    cost: float


def box_kinds(competition: Competition) -> tuple[BoxKind, ...]:
    """The kinds of box worth using for a competition; empty where the record states no price, so that sending is free.

    A box may weigh what its rate allows, and no more than the organiser lifts. Kinds that another outdoes at no
    higher a price are left out.
    """
    sending = competition.sending
    if sending is None or not sending.rates:
        return ()
    kinds = []
    for rate in sending.rates:
        heaviest = min(rate.up_to, competition.delivery.box_limit)
        kinds += [BoxKind(slots, heaviest - kg, rate.cost) for slots, kg in PACKING_KG.items() if heaviest > kg]
    kept = [kind for i, kind in enumerate(kinds) if not any(_outdone(kind, i, o, j) for j, o in enumerate(kinds))]
    return tuple(sorted(kept, key=lambda kind: (kind.cost, kind.slots, kind.payload_kg)))


def _outdone(kind: BoxKind, place: int, other: BoxKind, at: int) -> bool:
    no_worse = other.slots >= kind.slots and other.payload_kg >= kind.payload_kg and other.cost <= kind.cost
    return no_worse and (other != kind or at < place)


@dataclass(frozen=True)
class BoxSet:
    """Boxes for one competition together: bottles and kg of full bottles they take, and their cost."""

    slots: int
    payload_kg: float
    cost: float


@lru_cache(maxsize=4096)
def box_sets(kinds: tuple[BoxKind, ...], bottles: int, mass_kg: float) -> tuple[BoxSet, ...]:
    """The sets of boxes worth choosing from for at most so many bottles of at most so much mass, the cheapest first.

    The first is no box at all. Sets that another outdoes at no higher a cost are left out; what a set takes beyond
    the most that is wanted does not count.
    """
    kept = [BoxSet(0, 0.0, 0.0)]
    fresh = kept
    while fresh:
        grown = [_grown(known, kind, bottles, mass_kg) for known in fresh for kind in kinds]
        kept, before = _best([*kept, *grown]), set(kept)
        fresh = [each for each in kept if each not in before]
    return tuple(kept)


def _grown(known: BoxSet, kind: BoxKind, bottles: int, mass_kg: float) -> BoxSet:
    payload = round(known.payload_kg + kind.payload_kg, _DECIMALS)
    return BoxSet(min(known.slots + kind.slots, bottles), min(payload, mass_kg), known.cost + kind.cost)


def _best(sets: Sequence[BoxSet]) -> list[BoxSet]:
    """Without those that an earlier, no dearer one outdoes."""
    kept: list[BoxSet] = []
    for each in sorted(set(sets), key=lambda s: (s.cost, -s.slots, -s.payload_kg)):
        if not any(known.slots >= each.slots and known.payload_kg >= each.payload_kg for known in kept):
            kept.append(each)
    return kept


def sending_cost(kinds: tuple[BoxKind, ...], bottles: int, mass_kg: float) -> float:
    """Cost of the cheapest boxes for so many bottles of so much mass together, kg; 0 where no price is stated."""
    if not kinds or bottles <= 0:
        return 0.0
    enough = (s.cost for s in box_sets(kinds, bottles, mass_kg) if s.slots >= bottles and s.payload_kg >= mass_kg)
    return min(enough)
