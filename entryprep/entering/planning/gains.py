"""What one more bottle of a beer, or one more place in a competition or category, would bring to a plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from entryprep.entering.planning.candidates import Candidate, Key, Options, Out
from entryprep.entering.planning.model import Terms, programme
from entryprep.entering.planning.solver import EQUAL, Solved, Solver
from entryprep.entering.season import Season

Limit = tuple[str, ...]


@dataclass(frozen=True)
class Gain:
    """One more of a limit: ``("bottles", batch)``, ``("brewer", competition)`` or ``("category", competition, code)``.

    ``gain`` is what the objective gains, 0 for nothing, None where it was not tried; ``added`` and ``dropped`` are the
    entries that change.
    """

    limit: Limit
    gain: float | None
    added: tuple[Key, ...] = ()
    dropped: tuple[Key, ...] = ()


def gains(
    season: Season, options: Options, terms: Terms, best: float, chosen: Sequence[Candidate], out: Sequence[Out], tried: int
) -> tuple[Gain, ...]:
    """What one more of each limit that keeps a beer out would bring, the plan solved anew for each; the greatest first.

    ``best`` is the objective of the plan as it is. The limits that keep out the highest expected standings are tried,
    ``tried`` of them; the others follow untried.
    """
    order = list(_holding(season, options, chosen, out))
    found = [_gain(season, options, terms, best, chosen, limit) for limit in order[: max(tried, 0)]]
    found.sort(key=lambda gain: -(gain.gain or 0.0))
    return (*found, *(Gain(limit, None) for limit in order[max(tried, 0) :]))


def _holding(season: Season, options: Options, chosen: Sequence[Candidate], out: Sequence[Out]) -> Mapping[Limit, float]:
    """The limits that keep somebody out, with the highest standing each keeps out, the highest first."""
    by_category: dict[Limit, int] = {}
    for c, code in [(x.competition_id, x.category) for x in chosen] + [
        (e.competition_id, e.category.code) for e in season.entered
    ]:
        for limit in (("brewer", c), ("category", c, code)):
            by_category[limit] = by_category.get(limit, 0) + 1
    kept: dict[Limit, float] = {}
    for each in out:
        c = season.competitions[each.competition_id]
        limits: list[Limit] = []
        if each.kind == "bottles" and options.usable[each.batch_id, each.competition_id]:
            limits.append(("bottles", each.batch_id))
        if each.kind in {"bottles", "limit"} and each.category:
            category = next(k for k in c.categories if k.code == each.category)
            most: Mapping[Limit, int | None] = {
                ("brewer", each.competition_id): c.limits.per_brewer,
                ("category", each.competition_id, each.category): category.limit_per_brewer or c.limits.per_category,
            }
            limits += [k for k, v in most.items() if v is not None and by_category.get(k, 0) >= v]
        for limit in limits:
            kept[limit] = max(kept.get(limit, 0.0), each.standing / len(limits))
    return dict(sorted(kept.items(), key=lambda item: -item[1]))


def _gain(
    season: Season, options: Options, terms: Terms, best: float, chosen: Sequence[Candidate], limit: Limit
) -> Gain:
    if limit[0] == "bottles":
        options = _one_more_bottle(options, limit[1])
    answer = _solved(Solver(programme(season, options, terms, limit)))
    if answer is None or answer.objective <= best + EQUAL:
        return Gain(limit, 0.0)
    now = [c.key for c, x in zip(options.candidates, answer.columns, strict=False) if x]
    before = [c.key for c in chosen]
    added, dropped = tuple(k for k in now if k not in before), tuple(k for k in before if k not in now)
    return Gain(limit, answer.objective - best, added, dropped)


def _solved(solver: Solver) -> Solved | None:
    answer = solver.solve()
    return answer if answer is not None and answer.gap == 0 else None


def _one_more_bottle(options: Options, batch_id: str) -> Options:
    """The same options with one more bottle of the kind of which the batch has most."""
    cellar = options.cellars[batch_id]
    most = max(range(len(cellar.kinds)), key=lambda i: (cellar.kinds[i].count, -i))
    free = tuple(count + (i == most) for i, count in enumerate(cellar.free))
    if sum(cellar.free) < cellar.keep:  # a bottle that is kept back brings nothing
        return options
    return replace(options, cellars={**options.cellars, batch_id: replace(cellar, free=free)})
