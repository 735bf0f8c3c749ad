"""Rows that follow from a beer's bottles for whole entries, found where an answer in parts breaks one.

The competitions that a beer's bottles suffice for are a small set of sets. Every row that holds for all of them may be
added: it takes no plan away, and cuts off parts of entries from which a solver would have to branch. The row that an
answer breaks most is a corner of the polar of that set, found by a small linear programme.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import highspy
import numpy as np
import numpy.typing as npt

from entryprep.entering.planning.candidates import Options
from entryprep.entering.planning.quiet import solver
from entryprep.entering.season import Season

MOST_COMPETITIONS = 12  # of one beer at a time: beyond it the sets are too many to go through
BROKEN = 1e-4  # by less, a row is not worth adding
_PART = 1e-6
_DENOMINATORS = 24


class BottleRow(NamedTuple):
    """Σ part·column ≤ high, of one beer."""

    batch_id: str
    parts: dict[int, float]
    high: float


class BottleRows:
    """Finds the rows of a season's beers."""

    def __init__(self, season: Season, options: Options) -> None:
        self._options = options
        self._columns: dict[str, dict[str, list[int]]] = {}
        for x, candidate in enumerate(options.candidates):
            self._columns.setdefault(candidate.batch_id, {}).setdefault(candidate.competition_id, []).append(x)
        self._most = {
            (b, c): len(columns) if season.competitions[c].limits.same_batch_twice else 1
            for b, own in self._columns.items()
            for c, columns in own.items()
        }
        self._sets: dict[tuple[str, tuple[str, ...]], tuple[tuple[int, ...], ...]] = {}
        self._highs = solver()

    def broken(self, answer: npt.NDArray[np.float64] | Sequence[float]) -> Iterator[BottleRow]:
        """For each beer whose entries the answer holds in parts, the row that it breaks most, if there is one."""
        for b, own in self._columns.items():
            shares = {c: sum(answer[x] for x in columns) for c, columns in own.items()}
            shares = {c: share for c, share in shares.items() if share > _PART}
            if len(shares) > MOST_COMPETITIONS or all(abs(v - round(v)) < _PART for v in shares.values()):
                continue
            found = self._row(b, shares)
            if found is not None:
                parts, high = found
                yield BottleRow(b, {x: float(parts[c]) for c in parts for x in own[c]}, float(high))

    def _row(self, b: str, shares: Mapping[str, float]) -> tuple[dict[str, int], int] | None:
        names = tuple(shares)
        if (b, names) not in self._sets:
            self._sets[b, names] = tuple(self._largest(b, names))
        sets = self._sets[b, names]
        if len(sets) == 1 and all(count == self._most[b, c] for c, count in zip(names, sets[0], strict=True)):
            return None  # there are bottles for all of them
        weights = self._corner([shares[c] for c in names], sets)
        for denominator in range(1, _DENOMINATORS + 1) if weights else ():
            parts = [round(weight * denominator) for weight in weights]
            if all(abs(weight * denominator - part) < _PART for weight, part in zip(weights, parts, strict=True)):
                assert all(sum(map(int.__mul__, parts, each)) <= denominator for each in sets)
                return {c: part for c, part in zip(names, parts, strict=True) if part}, denominator
        return None

    def _largest(self, b: str, names: Sequence[str]) -> Iterator[tuple[int, ...]]:
        """The largest numbers of entries in each competition that the beer's bottles suffice for."""
        cellar, usable = self._options.cellars[b], [set(self._options.usable[b, c]) for c in names]
        wanted = [self._options.candidates[self._columns[b][c][0]].bottles for c in names]
        most = [self._most[b, c] for c in names]
        limits = [(wanted, cellar.available)]  # by Hall's condition, of all bottles and of each set of kinds
        for size in range(1, len(cellar.kinds) + 1):
            for kinds in itertools.combinations(range(len(cellar.kinds)), size):
                only = [want if takes <= set(kinds) else 0 for want, takes in zip(wanted, usable, strict=True)]
                if any(only):
                    limits.append((only, sum(cellar.free[i] for i in kinds)))

        def grown(counts: tuple[int, ...], left: list[int]) -> Iterator[tuple[int, ...]]:
            place = len(counts)
            if place == len(names):
                fuller = (
                    count < high and all(room >= parts[i] for room, (parts, _) in zip(left, limits, strict=True))
                    for i, (count, high) in enumerate(zip(counts, most, strict=True))
                )
                if not any(fuller):
                    yield counts
                return
            for count in range(most[place], -1, -1):
                rest = [room - parts[place] * count for room, (parts, _) in zip(left, limits, strict=True)]
                if min(rest) >= 0:
                    yield from grown((*counts, count), rest)

        yield from grown((), [room for _, room in limits])

    def _corner(self, shares: Sequence[float], sets: Sequence[Sequence[int]]) -> list[float]:
        """Weights ≥ 0 with Σ weight·set ≤ 1 for all sets, and as much above 1 for the shares as can be; or none."""
        lp: Any = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(shares), len(sets)
        lp.sense_ = highspy.ObjSense.kMaximize
        lp.col_cost_ = list(shares)
        lp.col_lower_, lp.col_upper_ = [0.0] * len(shares), [highspy.kHighsInf] * len(shares)
        lp.row_lower_, lp.row_upper_ = [-highspy.kHighsInf] * len(sets), [1.0] * len(sets)
        starts, index, value = [0], list[int](), list[float]()
        for each in sets:
            index += [i for i, count in enumerate(each) if count]
            value += [float(count) for count in each if count]
            starts.append(len(index))
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = starts, index, value
        self._highs.passModel(lp)
        self._highs.run()
        solved = self._highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
        if not solved or self._highs.getInfo().objective_function_value < 1 + BROKEN:
            return []
        return list(self._highs.getSolution().col_value)
