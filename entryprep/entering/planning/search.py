"""The best plan, proven: what to spend on each competition is searched by bounds, and the entries by branching.

1. The relaxation is solved with mixtures of whole choices within the budget, which are found one by one (Dantzig and
   Wolfe's decomposition), and with the rows of bottles that its answers break. Its duals bound every choice.
2. A plan is sought that spends what the mixture holds most of.
3. All choices that the bounds let be better are listed: there are few. The highest is solved with what it spends; its
   duals lower the bounds of the others, until it stays the highest and its entries are searched in whole numbers. That
   goes on until none is left.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import replace

import numpy as np

from entryprep.entering.planning.bottlerows import BottleRow, BottleRows
from entryprep.entering.planning.model import INFINITY, Programme
from entryprep.entering.planning.relaxation import Bound, Choice, Floats, Relaxation
from entryprep.entering.planning.solver import EQUAL, SECONDS, PlanningError, Question, Solved
from entryprep.entering.planning.spending import Budget, Wholes

MOST_CHOICES = 100_000  # that are listed; beyond it the tiers are branched on as well
MOST_RUNS = 3000  # of the relaxation, likewise
LOOKS, BRANCHES = 2, 3  # how many choices are branched on, and how far, where an answer is only looked for
ROUGH = 0.4  # how near the best the first plan has to be


class Search:
    """One programme, searched for the best answer that is worth more than ``above`` by more than ``near``."""

    def __init__(self, question: Question, near: float, above: float) -> None:
        self._made, self._near, self._worth = question.made, near, above
        self._bottles = BottleRows(question.season, question.options)
        self._relaxed = Relaxation(question.made)
        self._budget = Budget(question.made)
        self._bounds: list[Bound] = []
        self._rows: list[BottleRow] = []
        self._top = INFINITY
        self._best: Solved | None = None

    def add(self, rows: Iterable[BottleRow]) -> bool:
        """Take rows that hold; whether there were any."""
        before = len(self._rows)
        for row in rows:
            self._rows.append(row)
            self._relaxed.add_row(row.parts, row.high)
        return len(self._rows) > before

    def solve(self) -> Solved | None:
        """The best answer; None if none is worth enough."""
        first = self._mixed()
        if first is not None and self._top > self._goal:
            self._spend(first)
            self._branch(first, ROUGH)
            listed = self._budget.above(self._bounds, self._goal, MOST_CHOICES)
            if listed is None or not self._every(*listed):
                return self._by_branching()
        return self._answer(0.0)

    def look(self, like: Solved) -> Solved | None:
        """The best answer of a few choices, and how much better that of another may be."""
        first = self._mixed()
        if first is None or self._top <= self._goal:
            return None
        self._bounds.append(self._spend(_spent(self._made, like)))
        listed = self._budget.above(self._bounds, self._goal, MOST_CHOICES)
        if listed is None:
            return self._answer(self._top - self._worth)
        self._every(*listed, LOOKS)
        return self._answer(self._left)

    def _answer(self, gap: float) -> Solved | None:
        if self._best is None:
            return Solved(self._worth, (), gap) if gap else None
        return replace(self._best, gap=gap, rows=tuple(self._rows))

    @property
    def _goal(self) -> float:
        return self._worth + self._near

    def _mixed(self) -> Choice | None:
        """Bounds by mixtures; the choice that the last mixture holds most of, None where no choice is good enough."""
        relaxed, offered = self._relaxed, list[Choice]()
        relaxed.run()  # tiers mixed by themselves, for good duals to begin with
        while self.add(self._bottles.broken(relaxed.answer)):
            relaxed.run()
        while True:
            bound = relaxed.bound()
            rest = self._budget.rest(bound)
            self._bounds.append(bound)
            self._top = min(self._top, bound.constant + float(rest[0][-1]))
            if self._top <= self._goal:
                return None
            choice = self._budget.best(bound, rest)
            fresh = choice not in offered
            if fresh:
                offered.append(choice)
                relaxed.offer(choice)
            if not self.add(self._bottles.broken(relaxed.answer)) and not fresh:
                break
            relaxed.run()
        parts = relaxed.mixture()
        held = [i for i, choice in enumerate(offered) if self._budget.allows(choice)]
        return offered[max(held, key=lambda i: (parts[i], -i))] if held else self._budget.least()

    def _every(self, choices: Wholes, tops: Floats, looks: int | None = None) -> bool:
        """Go through choices, the highest bound first; whether that was done before there were too many runs.

        ``looks``: that many are branched on, for a while only; what the others may be worth more is left.
        """
        relaxed = self._relaxed
        branched, passed = 0, -INFINITY
        solved = np.zeros(len(tops), dtype=bool)  # the bound is that of its own relaxation
        while len(tops):
            if relaxed.runs > MOST_RUNS:
                return False
            first = int(np.argmax(tops))
            choice = tuple(int(k) for k in choices[first])
            if solved[first]:
                if looks is not None and branched == looks:
                    self._left = max(passed, float(tops[first])) - self._worth
                    return True
                self._branch(choice, self._near, None if looks is None else BRANCHES)
                branched += 1
                if looks is not None and relaxed.gap:  # it was left before the end
                    passed = max(passed, float(tops[first]))
                tops[first] = -INFINITY
            else:
                bound = self._spend(choice)
                lower = np.full(len(tops), bound.constant)
                for place, profits in enumerate(bound.profits):
                    lower += profits[choices[:, place]]
                tops = np.minimum(tops, lower)
                tops[first] = min(tops[first], relaxed.value)
                solved[first] = True
            kept = tops > self._goal
            choices, tops, solved = choices[kept], tops[kept], solved[kept]
        self._left = max(passed - self._worth, 0.0)
        return True

    def _spend(self, choice: Choice) -> Bound:
        """Solve the relaxation with what is spent; what its duals say of all choices."""
        relaxed = self._relaxed
        relaxed.spend(choice)
        while relaxed.run() > self._goal and self.add(self._bottles.broken(relaxed.answer)):
            pass
        return relaxed.bound()

    def _branch(self, choice: Choice, near: float, nodes: int | None = None) -> None:
        """The best plan that spends this, to ``near`` or after so many ``nodes``, if better than what there is."""
        relaxed = self._relaxed
        relaxed.spend(choice)
        if relaxed.run() <= self._goal:
            return
        fixed = relaxed.settle(self._goal)
        found = relaxed.branch(near, nodes, start=self._best.columns if self._best is not None else ())
        relaxed.free(fixed)
        if found is not None and found[0] > self._goal:
            self._worth = found[0]
            self._best = Solved(*found, gap=0.0)

    def _by_branching(self) -> Solved | None:
        """The same, with the tiers as columns that are branched on: where there are too many choices to go through."""
        relaxed = Relaxation(self._made)
        for row in self._rows:
            relaxed.add_row(row.parts, row.high)
        if self._best is not None:
            relaxed.at_least(self._best.objective)
        relaxed.run()
        found = relaxed.branch(self._near, seconds=SECONDS)
        if found is not None and found[0] > self._goal:
            self._best = Solved(*found, gap=0.0)
        elif self._best is None and relaxed.gap:
            raise PlanningError(f"no plan was found in {SECONDS} seconds", "plan fewer competitions, or raise --least")
        return self._answer(relaxed.gap if self._best is not None else 0.0)


def settled(question: Question, solved: Solved, free: Collection[int], nodes: int) -> Solved:
    """``solver.earliest``."""
    made: Programme = question.made
    relaxed = Relaxation(made)
    for row in solved.rows:
        relaxed.add_row(row.parts, row.high)
    relaxed.spend(_spent(made, solved))
    relaxed.run()
    relaxed.settle(solved.objective - EQUAL)
    for column in range(made.entries):
        if column not in free:
            relaxed.fix(column, solved.columns[column], solved.columns[column])
    relaxed.at_least(solved.objective - EQUAL)
    count = made.entries
    # falling by place, and by no even step, so that two sets of entries hardly ever weigh the same
    places = [-(((i + 1) / count) ** 1.37) if i < count else 0.0 for i in range(len(made.values))]
    relaxed.value_by(places)
    relaxed.run()
    found = relaxed.branch(EQUAL, nodes=nodes, start=solved.columns)
    return solved if found is None else replace(solved, columns=found[1])


def _spent(made: Programme, solved: Solved) -> Choice:
    """The cheapest tiers that take an answer."""
    chosen = []
    for spending in made.spendings:
        held = [
            sum(part * solved.columns[column] for column, part in made.rows[row][2].items())
            for row in (spending.count_row, spending.load_row)
        ]
        chosen.append(
            next(k for k, tier in enumerate(spending.tiers) if tier.entries >= held[0] and tier.load >= held[1] - EQUAL)
        )
    return tuple(chosen)
