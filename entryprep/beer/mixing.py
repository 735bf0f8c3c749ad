"""How likely a beer is as two styles brought together: one style with the strength, colour, hops or yeast of another.

The two are independent, so the mean over all pairs of styles is the product of two means, and costs no more than these.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from operator import itemgetter, mul

Column = list[float]
# What a mixed-style beer takes from another style, and how often (an assumption): the strength with the bitterness that
# balances it, the colour, the hops, strength and hops, or yeast and all that comes with it.
GROUPS = {
    "strength": ("strength",),
    "bitterness": ("ibu",),
    "hops": ("hops", "hop_kind"),
    "colour": ("srm", "malt"),
    "yeast": ("fermentation", "yeast", "clarity", "sourness", "grain", "smoke"),
}
SWAPS = (
    (0.30, ("strength", "bitterness")),
    (0.20, ("colour",)),
    (0.20, ("bitterness", "hops")),
    (0.15, ("strength", "bitterness", "hops")),
    (0.15, ("yeast",)),
)
ALL_ITS_OWN = 1e-3  # of a swap that brings nothing the base has not
NOTHING_FITS: Mapping[str, float] = {}
_NOTHING = 1e-300


def mixed_shares(
    facts: Mapping[str, Sequence[Column]],
    others: list[int],
    own: list[int],
    count: int,
    fits: Mapping[str, float] = NOTHING_FITS,
) -> list[tuple[float, float]]:
    """For each of ``SWAPS`` how often it is, and the log of the likelihood of a beer so made.

    ``facts`` are likelihoods by vital or trait, for each of ``count`` styles; what is taken comes from ``others``, the
    rest from ``own``, both places of styles. ``fits`` says of a declared base how likely it is to have each fact
    itself: nobody calls mixed what is all of one style.
    """
    products: dict[tuple[str, ...], Column] = {}  # by groups, many of which share their ends
    for group, names in GROUPS.items():
        columns = [column for name in names for column in facts.get(name, ())]
        products[(group,)] = _product(columns) if columns else [1.0] * count

    def product(groups: tuple[str, ...]) -> Column:
        if groups not in products:
            products[groups] = list(map(mul, product(groups[:1]), product(groups[1:])))
        return products[groups]

    parts = []
    for often, swapped in SWAPS:
        weight = often
        rest = tuple(group for group in GROUPS if group not in swapped)
        own_facts = [fits[name] for group in swapped for name in GROUPS[group] if name in fits]
        if fits:
            weight *= max((1.0 - math.prod(own_facts)) ** 2, ALL_ITS_OWN)
        parts.append((weight, math.log(_mean(product(swapped), others)) + math.log(_mean(product(rest), own))))
    return parts


def _product(columns: list[Column]) -> Column:
    """The product of columns, place by place."""
    found = columns[0]
    for column in columns[1:]:
        found = list(map(mul, found, column))
    return found


def _mean(column: Column, places: list[int]) -> float:
    """The mean of a column over some styles, never nothing."""
    if not places:
        return 1.0
    chosen = (column[places[0]],) if len(places) == 1 else itemgetter(*places)(column)
    return max(sum(chosen) / len(places), _NOTHING)
