"""Solving a programme: proven optimal, the same plan on every run. HiGHS is loaded only here."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from entryprep.entering.planning.candidates import Options
from entryprep.entering.planning.model import INFINITY, Programme
from entryprep.entering.season import Season
from entryprep.errors import EntryprepError

if TYPE_CHECKING:
    from entryprep.entering.planning.bottlerows import BottleRow

SECONDS = 60  # after which the best plan found is taken, and said to be no more than that
EQUAL = 1e-6  # plans whose objectives differ by less are equally good


class PlanningError(EntryprepError):
    """A plan that cannot be made: its budget, its currencies, or the solver; ``fix`` says what to do."""


@dataclass(frozen=True)
class Solved:
    """An answer: its objective, a whole number for each column, and how much better any plan could be (0: proven).

    ``rows`` were found on the way; they hold as long as nobody's bottles change.
    """

    objective: float
    columns: tuple[int, ...]
    gap: float
    rows: tuple[BottleRow, ...] = ()


@dataclass(frozen=True)
class Question:
    """A programme with the season and the options that it was made from."""

    season: Season
    options: Options
    made: Programme


def solve(
    question: Question,
    near: float = EQUAL / 10,
    above: float = -INFINITY,
    like: Solved | None = None,
    rows: Iterable[BottleRow] = (),
) -> Solved | None:
    """The best answer, to ``near``; None where none is better than ``above`` by more than that.

    ``rows`` are known to hold. ``like``, an answer to nearly the same question, asks for little: a few ways to spend
    are branched on for a while, the best that was found is taken, and where none was, an answer without columns says
    how much there might be. Raises PlanningError if nothing was found in time.
    """
    from entryprep.entering.planning.search import Search  # noqa: PLC0415 - heavy libraries that only a plan needs

    search = Search(question, near, above)
    search.add(rows)
    return search.solve() if like is None else search.look(like)


def earliest(question: Question, solved: Solved, free: Collection[int], nodes: int) -> Solved:
    """Of answers equally good that spend the same, the one with the earliest entries, as far as ``free`` may change.

    What the duals forbid is fixed, so that there is little to search; after so many branches it ends with what it has.
    """
    from entryprep.entering.planning.search import settled  # noqa: PLC0415

    return settled(question, solved, free, nodes)
