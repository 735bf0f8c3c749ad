"""Solving a programme with HiGHS, loaded only here: proven optimal, one thread, the same plan on every run."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from entryprep.entering.planning.model import INFINITY, Programme
from entryprep.errors import EntryprepError

SECONDS = 60.0  # after which the best plan found is taken, and said to be no more than that
EQUAL = 1e-6  # plans whose objectives differ by less are equally good
_WHOLE = 1e-9


class PlanningError(EntryprepError):
    """A plan that cannot be made: its budget, its currencies, or the solver; ``fix`` says what to do."""


@dataclass(frozen=True)
class Solved:
    """An answer: its objective, a whole number for each column, and how much better any plan could be (0: proven)."""

    objective: float
    columns: tuple[int, ...]
    gap: float


class Solver:
    """A programme in the solver's hands, solved again and again with other objectives and other limits."""

    def __init__(self, programme: Programme, near: float = EQUAL / 10) -> None:
        """``near``: the answer may be so much below the best, in the unit of the objective."""
        import highspy  # noqa: PLC0415 - a heavy library that only a plan needs

        self._library: Any = highspy
        self.programme = programme
        with _silenced():
            self._highs = self._library.Highs()
        for name, value in (
            ("output_flag", False),
            ("log_to_console", False),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", near),
            ("threads", 1),
            ("random_seed", 0),
            ("mip_allow_restart", False),  # of programmes of this kind it costs more than it brings
        ):
            self._highs.setOptionValue(name, value)
        self._pass()

    def _pass(self) -> None:
        library, made = self._library, self.programme
        lp = library.HighsLp()
        lp.num_col_, lp.num_row_ = len(made.values), len(made.rows)
        lp.sense_ = library.ObjSense.kMaximize
        lp.col_cost_ = list(made.values)
        lp.col_lower_ = [low for low, _ in made.bounds]
        lp.col_upper_ = [float(high) for _, high in made.bounds]
        lp.row_lower_ = [_infinite(low, library) for low, _, _ in made.rows]
        lp.row_upper_ = [_infinite(high, library) for _, high, _ in made.rows]
        lp.integrality_ = [library.HighsVarType.kInteger] * len(made.values)
        matrix = lp.a_matrix_
        matrix.format_ = library.MatrixFormat.kRowwise
        starts, index, value = [0], list[int](), list[float]()
        for _, _, parts in made.rows:
            index += parts.keys()
            value += parts.values()
            starts.append(len(index))
        matrix.start_, matrix.index_, matrix.value_ = starts, index, value
        if self._highs.passModel(lp) == library.HighsStatus.kError:
            raise PlanningError("the solver does not take this season's plan", "please report it with the season")

    def add_row(self, low: float, high: float, parts: Mapping[int, float]) -> None:
        """One more row, from now on."""
        index = [column for column, part in parts.items() if part]
        ends = (_infinite(low, self._library), _infinite(high, self._library))
        self._highs.addRow(*ends, len(index), index, [parts[column] for column in index])

    def fix(self, column: int, number: int) -> None:
        """From now on a column has this number."""
        self._highs.changeColBounds(column, float(number), float(number))

    def value(self, values: Sequence[float]) -> None:
        """Another objective, a value for each column; it is always maximised."""
        for column, each in enumerate(values):
            self._highs.changeColCost(column, each)

    def bounds(self) -> list[tuple[float, float]]:
        """The least and the most of each column, as they stand now."""
        lp = self._highs.getLp()
        return list(zip(lp.col_lower_, lp.col_upper_, strict=True))

    def settle(self, worth: float) -> int:
        """Fix every column that has its number in all answers worth at least so much; how many there are.

        By the duals of the relaxation: where a column that stands at one of its bounds costs more for each step away
        from it than the relaxation is better than ``worth``, no such answer takes that step.
        """
        highs, library = self._highs, self._library
        count = len(self.programme.values)
        every = list(range(count))
        highs.changeColsIntegrality(count, every, [library.HighsVarType.kContinuous] * count)
        highs.run()
        fixed = 0
        if highs.getModelStatus() == library.HighsModelStatus.kOptimal:
            room = highs.getInfo().objective_function_value - worth + EQUAL
            solution = highs.getSolution()
            pairs = zip(solution.col_value, solution.col_dual, strict=True)
            for column, (value, dual) in enumerate(pairs):
                if abs(dual) > room and abs(value - round(value)) < _WHOLE:
                    highs.changeColBounds(column, float(round(value)), float(round(value)))
                    fixed += 1
        highs.changeColsIntegrality(count, every, [library.HighsVarType.kInteger] * count)
        return fixed

    def solve(self, start: Solved | None = None, nodes: int | None = None) -> Solved | None:
        """The best answer; None if there is none at all. ``start`` is an answer known to be allowed.

        ``nodes``: after so many branches the best answer found is taken; unlike a time, that is the same on every run.
        Raises PlanningError if nothing was found in time.
        """
        if not self.programme.values:
            return Solved(0.0, (), 0.0)
        if start is not None:
            solution = self._library.HighsSolution()
            solution.col_value = [float(each) for each in start.columns]
            self._highs.setSolution(solution)
        if nodes is not None:
            self._highs.setOptionValue("mip_max_nodes", nodes)
        self._highs.setOptionValue("time_limit", self._highs.getRunTime() + SECONDS)  # its clock goes on
        self._highs.run()
        status, known = self._highs.getModelStatus(), self._library.HighsModelStatus
        if status == known.kInfeasible:
            return None
        info: Any = self._highs.getInfo()
        cut_short = status in {known.kTimeLimit, known.kSolutionLimit}
        if status != known.kOptimal and (not cut_short or info.primal_solution_status != 2):
            raise PlanningError(
                f"no plan was found in {SECONDS:.0f} seconds", "plan fewer competitions, or raise --least"
            )
        columns = tuple(round(each) for each in self._highs.getSolution().col_value)
        gap = 0.0 if status == known.kOptimal else max(info.mip_dual_bound - info.objective_function_value, 0.0)
        return Solved(info.objective_function_value, columns, gap)


@contextmanager
def _silenced() -> Iterator[None]:
    """Nothing goes to the process's standard output: the library greets there when it is made, whatever its options."""
    sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:  # there is no standard output to greet on
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def _infinite(value: float, library: Any) -> float:
    return value if abs(value) != INFINITY else library.kHighsInf if value > 0 else -library.kHighsInf
