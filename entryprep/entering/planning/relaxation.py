"""The plan without whole numbers, in the hands of HiGHS: answers, and bounds that hold whatever is spent.

Three ways to spend stand in it, one open at a time: at first a mixture of each competition's tiers under the budget,
then a mixture of whole choices (``offer``), and one choice (``spend``); a choice is a tier of each competition.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import highspy
import numpy as np
import numpy.typing as npt

from entryprep.entering.planning.model import INFINITY, Programme
from entryprep.entering.planning.quiet import solver
from entryprep.entering.planning.solver import EQUAL

Choice = tuple[int, ...]
Floats = npt.NDArray[np.float64]
_EXACT = 1e-9
_ANSWER = 2  # the state of a primal solution that keeps every limit


class Bound(NamedTuple):
    """No plan that spends a choice is worth more than ``constant`` + Σ profits[competition][its tier]."""

    constant: float
    profits: tuple[Floats, ...]

    def of(self, choice: Sequence[int]) -> float:
        """The bound of a choice."""
        return self.constant + float(sum(profit[k] for profit, k in zip(self.profits, choice, strict=True)))


class Relaxation:
    """A programme's columns and rows, and columns for what is spent."""

    def __init__(self, made: Programme) -> None:
        self._made = made
        self._highs = solver()
        self._count = len(made.values)
        self._values, self._rows = np.array(made.values), len(made.rows)
        self._low = np.array([float(low) for low, _ in made.bounds])
        self._high = np.array([float(high) for _, high in made.bounds])
        lows, highs = [row[0] for row in made.rows], [row[1] for row in made.rows]
        starts, index, value = [0], list[int](), list[float]()
        for _, _, parts in made.rows:
            index += parts.keys()
            value += parts.values()
            starts.append(len(index))
        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = self._count, self._rows
        lp.sense_ = highspy.ObjSense.kMaximize
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = self._values, self._low, self._high
        lp.row_lower_ = [max(low, -highspy.kHighsInf) for low in lows]
        lp.row_upper_ = [min(high, highspy.kHighsInf) for high in highs]
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = starts, index, value
        self._highs.passModel(lp)
        self._lows, self._tops = lows, highs
        self._where = np.array([row for row, part in enumerate(made.rows) for _ in part[2]], dtype=np.int64)
        self._index, self._parts = np.array(index, dtype=np.int64), np.array(value)
        self._spent = 0.0
        self._mixed, self._offered = list[int](), list[int]()
        self._mixing_rows = self._mix()
        self.runs, self.gap = 0, 0.0
        self.value = -INFINITY
        self.answer: Floats = np.zeros(self._count)

    def _mix(self) -> list[int]:
        """Columns for the tiers of each competition, of which one whole is mixed, within the budget."""
        made, highs = self._made, self._highs
        rows = []
        for _ in made.spendings:
            rows.append(self._special_row(1.0, 1.0))
        budget = self._special_row(-INFINITY, made.budget)
        for one, spending in zip(rows, made.spendings, strict=True):
            for entries, load, cost in spending.tiers:
                parts = {one: 1.0, spending.count_row: -float(entries), spending.load_row: -load, budget: cost}
                self._mixed.append(highs.getNumCol())
                self._column(-made.weight * cost, parts)
        return [*rows, budget]

    def _special_row(self, low: float, high: float) -> int:
        """A row that concerns spending alone, and is no part of a bound."""
        self._highs.addRow(max(low, -highspy.kHighsInf), min(high, highspy.kHighsInf), 0, [], [])
        self._lows.append(0.0)
        self._tops.append(0.0)
        self._rows += 1
        return self._rows - 1

    def _column(self, value: float, parts: Mapping[int, float]) -> None:
        kept = {row: part for row, part in parts.items() if part}
        self._highs.addCol(value, 0.0, highspy.kHighsInf, len(kept), list(kept), list(kept.values()))

    def add_row(self, parts: Mapping[int, float], high: float) -> None:
        """One more row, Σ part·column ≤ high."""
        self._highs.addRow(-highspy.kHighsInf, high, len(parts), list(parts), list(parts.values()))
        self._lows.append(-INFINITY)
        self._tops.append(high)
        self._where = np.concatenate([self._where, np.full(len(parts), self._rows)])
        self._index = np.concatenate([self._index, list(parts)])
        self._parts = np.concatenate([self._parts, list(parts.values())])
        self._rows += 1

    def run(self) -> float:
        """Solve; the objective, -inf without an answer. ``answer`` has a number for each of the programme's columns."""
        self.runs += 1
        self._highs.run()
        if self._highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            self.value = -INFINITY
            return self.value
        solution = self._highs.getSolution()
        self.answer = np.array(solution.col_value[: self._count])
        self.value = self._highs.getInfo().objective_function_value - self._spent
        return self.value

    def bound(self) -> Bound:
        """What the duals of the last answer say of every choice; by weak duality it holds however exact they are."""
        duals = np.array(self._highs.getSolution().row_dual)
        lows, tops = np.array(self._lows), np.array(self._tops)
        duals[(duals > 0) & np.isinf(tops) | (duals < 0) & np.isinf(lows)] = 0.0
        reduced = self._values - np.bincount(self._index, self._parts * duals[self._where], minlength=self._count)
        ends = np.where(duals > 0, tops, np.where(duals < 0, lows, 0.0))
        profits = []
        for spending in self._made.spendings:
            tiers = np.array(spending.tiers)
            rows = [spending.count_row, spending.load_row]
            ends[rows] = 0.0
            profits.append(tiers[:, :2] @ duals[rows] - self._made.weight * tiers[:, 2])
        constant = float(duals @ ends + np.maximum(reduced * self._low, reduced * self._high).sum())
        return Bound(constant, tuple(profits))

    def offer(self, choice: Choice) -> None:
        """Open a choice for mixing with others that were offered; tiers are mixed by themselves no more."""
        if not self._offered:
            self._shut(self._mixed)
            for row in self._mixing_rows:
                self._highs.changeRowBounds(row, -highspy.kHighsInf, highspy.kHighsInf)
            self._whole = self._special_row(1.0, 1.0)
        parts, cost = {self._whole: 1.0}, 0.0
        for spending, k in zip(self._made.spendings, choice, strict=True):
            tier = spending.tiers[k]
            parts[spending.count_row], parts[spending.load_row] = -float(tier.entries), -tier.load
            cost += tier.cost
        self._offered.append(self._highs.getNumCol())
        self._column(-self._made.weight * cost, parts)

    def mixture(self) -> list[float]:
        """How much of each choice that was offered the last answer takes."""
        values = self._highs.getSolution().col_value
        return [values[column] for column in self._offered]

    def spend(self, choice: Choice) -> None:
        """From now on just this is spent."""
        self._shut([*self._mixed, *self._offered])
        for row in [*self._mixing_rows, *([self._whole] if self._offered else [])]:
            self._highs.changeRowBounds(row, -highspy.kHighsInf, highspy.kHighsInf)
        self._spent = 0.0
        for spending, k in zip(self._made.spendings, choice, strict=True):
            tier = spending.tiers[k]
            self._highs.changeRowBounds(spending.count_row, -highspy.kHighsInf, float(tier.entries))
            self._highs.changeRowBounds(spending.load_row, -highspy.kHighsInf, tier.load)
            self._spent += self._made.weight * tier.cost

    def _shut(self, columns: list[int]) -> None:
        for column in columns:
            self._highs.changeColBounds(column, 0.0, 0.0)

    def fix(self, column: int, low: float, high: float) -> None:
        """From now on a column lies between two numbers."""
        self._highs.changeColBounds(column, float(low), float(high))

    def settle(self, goal: float) -> list[int]:
        """Fix every column that has its number in all answers better than a goal; which they are.

        By the duals of the last answer: where a column that stands at one of its bounds costs more for each step away
        from it than the relaxation is better than the goal, no such answer takes that step.
        """
        room = self.value - goal
        duals = np.array(self._highs.getSolution().col_dual[: self._count])
        fixed = [int(column) for column in np.flatnonzero(np.abs(duals) > room) if _whole(self.answer[column])]
        for column in fixed:
            self.fix(column, round(self.answer[column]), round(self.answer[column]))
        return fixed

    def free(self, columns: Sequence[int]) -> None:
        """Undo ``settle``."""
        for column in columns:
            self.fix(column, self._low[column], self._high[column])

    def branch(
        self, near: float, nodes: int | None = None, seconds: float | None = None, start: Sequence[int] = ()
    ) -> tuple[float, tuple[int, ...]] | None:
        """The best answer in whole numbers, to ``near``, and its objective; None if there is none.

        After so many ``nodes``, or so many ``seconds``, the best that was found is taken, and ``gap`` says how much
        better another might be; a number of nodes, unlike a time, is the same on every run.
        """
        highs, count = self._highs, self._highs.getNumCol()
        basis, every = highs.getBasis(), list(range(count))
        highs.changeColsIntegrality(count, every, [highspy.HighsVarType.kInteger] * count)
        if start:
            known = highspy.HighsSolution()
            known.col_value = [float(each) for each in start] + [0.0] * (count - len(start))
            highs.setSolution(known)
        highs.setOptionValue("presolve", "choose")
        highs.setOptionValue("mip_abs_gap", near)
        highs.setOptionValue("mip_max_nodes", highspy.kHighsIInf if nodes is None else nodes)
        limit = highspy.kHighsInf if seconds is None else highs.getRunTime() + seconds  # its clock goes on
        highs.setOptionValue("time_limit", limit)
        highs.run()
        found, info, status = None, highs.getInfo(), highs.getModelStatus()
        if info.primal_solution_status == _ANSWER:
            answer = highs.getSolution().col_value[: self._count]
            found = info.objective_function_value - self._spent, tuple(round(value) for value in answer)
        self.gap = 0.0
        if status not in {highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible}:
            self.gap = max(info.mip_dual_bound - info.objective_function_value, EQUAL) if found else INFINITY
        highs.setOptionValue("presolve", "off")
        highs.setOptionValue("time_limit", highspy.kHighsInf)
        highs.changeColsIntegrality(count, every, [highspy.HighsVarType.kContinuous] * count)
        highs.setBasis(basis)
        return found

    def at_least(self, worth: float) -> None:
        """From now on only answers worth so much, by the objective as it is."""
        costs = dict(enumerate(self._highs.getLp().col_cost_))
        parts = {column: cost for column, cost in costs.items() if cost}
        self._highs.addRow(worth + self._spent, highspy.kHighsInf, len(parts), list(parts), list(parts.values()))
        self._lows.append(0.0)
        self._tops.append(0.0)
        self._rows += 1

    def value_by(self, values: Sequence[float]) -> None:
        """Another objective, of the programme's columns; what is spent counts no more."""
        for column, value in enumerate(values):
            self._highs.changeColCost(column, value)
        for column in [*self._mixed, *self._offered]:
            self._highs.changeColCost(column, 0.0)
        self._spent = 0.0


def _whole(value: float) -> bool:
    return abs(value - round(value)) < _EXACT
