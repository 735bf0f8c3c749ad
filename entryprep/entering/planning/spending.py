"""What to spend on each competition: choices of a tier each, within the budget, by their bounds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from entryprep.entering.planning.model import INFINITY, Programme
from entryprep.entering.planning.relaxation import Bound, Choice, Floats

UNITS = 2000  # of money that the budget is counted in, at most
_ROUNDING = 1e-7
_SMALLEST = 1e-6
Wholes = npt.NDArray[np.int64]


class Budget:
    """A programme's money in whole units. Where costs are no multiples of a unit they are rounded down.

    So nothing that can be paid is lost; what cannot is left out where whole choices are made.
    """

    def __init__(self, made: Programme) -> None:
        self._tiers = [spending.tiers for spending in made.spendings]
        dearest = sum(max(tier.cost for tier in tiers) for tiers in self._tiers)
        self._money = min(made.budget, dearest)
        self._unit = self._coarsest()
        self._units = math.floor(self._money / self._unit + _ROUNDING) + 1
        self._costs = [
            np.array([math.floor(tier.cost / self._unit + _ROUNDING) for tier in tiers]) for tiers in self._tiers
        ]

    def _coarsest(self) -> float:
        """The largest unit of which every cost is a multiple, or else a small part of the budget."""
        costs = [Fraction(tier.cost).limit_denominator(100) for tiers in self._tiers for tier in tiers]
        exact = all(
            abs(float(found) - tier.cost) < _ROUNDING
            for found, tier in zip(costs, (tier for tiers in self._tiers for tier in tiers), strict=True)
        )
        denominator = math.lcm(*(cost.denominator for cost in costs))
        unit = math.gcd(*(int(cost * denominator) for cost in costs)) / denominator if exact else 0.0
        return max(unit, self._money / UNITS, _SMALLEST)

    def rest(self, bound: Bound) -> list[Floats]:
        """For each competition on, the most profit of it and those after it with so many units of money."""
        best = np.zeros(self._units)
        found = [best]
        for costs, profits in zip(reversed(self._costs), reversed(bound.profits), strict=True):
            better = np.full(self._units, -np.inf)
            for cost, profit in zip(costs, profits, strict=True):
                if cost < self._units:
                    part = better[cost:]
                    np.maximum(part, best[: self._units - cost] + profit, out=part)
            best = better
            found.append(best)
        return found[::-1]

    def best(self, bound: Bound, rest: Sequence[Floats]) -> Choice:
        """The choice with the highest bound; the first of several."""
        left, chosen = self._units - 1, []
        for place, (costs, profits) in enumerate(zip(self._costs, bound.profits, strict=True)):
            after = rest[place + 1]
            worth = [after[left - c] + p if c <= left else -INFINITY for c, p in zip(costs, profits, strict=True)]
            chosen.append(int(np.argmax(worth)))
            left -= costs[chosen[-1]]
        return tuple(chosen)

    def allows(self, choice: Choice) -> bool:
        """Whether there is money for a choice, whose costs are not rounded."""
        paid = sum(tiers[k].cost for tiers, k in zip(self._tiers, choice, strict=True))
        return paid <= self._money + _ROUNDING

    def least(self) -> Choice:
        """The cheapest choice."""
        return tuple(0 for _ in self._tiers)

    def above(self, bounds: Sequence[Bound], worth: float, most: int) -> tuple[Wholes, Floats] | None:
        """All choices that the bounds let be worth more, and the lowest bound of each; None if over ``most``."""
        rests = [self.rest(bound) for bound in bounds]
        sums = np.array([[bound.constant for bound in bounds]])
        units, money = np.zeros(1, dtype=np.int64), np.zeros(1)
        chosen = np.zeros((1, 0), dtype=np.int64)
        for place, tiers in enumerate(self._tiers):
            after = np.array([rest[place + 1] for rest in rests]).T
            grown = []
            for k, tier in enumerate(tiers):
                paid, used = money + tier.cost, units + self._costs[place][k]
                can = (paid <= self._money + _ROUNDING) & (used < self._units)
                worths = sums[can] + [bound.profits[place][k] for bound in bounds]
                good = (worths + after[self._units - 1 - used[can]]).min(axis=1) > worth
                row = np.hstack([chosen[can][good], np.full((int(good.sum()), 1), k)])
                grown.append((worths[good], used[can][good], paid[can][good], row))
            sums, units, money, chosen = (np.concatenate(each) for each in zip(*grown, strict=True))
            if len(units) > most:
                return None
        return chosen, sums.min(axis=1, initial=np.inf)
