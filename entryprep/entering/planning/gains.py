"""What one more bottle of a beer, or one more place in a competition or category, would bring to a plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from entryprep.entering.planning.candidates import Candidate, Key, Options, Out
from entryprep.entering.planning.model import Terms, programme
from entryprep.entering.planning.solver import Question, Solved, solve
from entryprep.entering.season import Season

Limit = tuple[str, ...]
NEAR = 0.02  # of expected standing: a gain is found to this, and a lesser one is none


@dataclass(frozen=True)
class Gain:
    """One more of a limit: ``("bottles", batch)``, ``("brewer", competition)`` or ``("category", competition, code)``.

    ``gain`` is what the objective gains, to 0.02, 0 for nothing, None where it was not tried; ``added`` and
    ``dropped`` are the entries that change. ``most``: where the search was left before the end, how much it is at most.
    """

    limit: Limit
    gain: float | None
    added: tuple[Key, ...] = ()
    dropped: tuple[Key, ...] = ()
    most: float | None = None


@dataclass(frozen=True)
class Asked:
    """What the plan was made from: season, options, terms of money, and how many wishes it fulfils."""

    season: Season
    options: Options
    terms: Terms
    granted: int


def gains(asked: Asked, best: Solved, chosen: Sequence[Candidate], out: Sequence[Out], tried: int) -> tuple[Gain, ...]:
    """What one more of each limit that keeps a beer out would bring, the plan solved anew for each; the greatest first.

    ``best`` is the answer behind the plan as it is. The limits that keep out the highest expected standings are tried,
    ``tried`` of them; the others follow untried.
    """
    order = list(_holding(asked.season, asked.options, chosen, out))
    found = [_gain(asked, best, chosen, limit) for limit in order[: max(tried, 0)]]
    found.sort(key=lambda gain: -(gain.gain or 0.0))
    return (*found, *(Gain(limit, None) for limit in order[max(tried, 0) :]))


def _holding(
    season: Season, options: Options, chosen: Sequence[Candidate], out: Sequence[Out]
) -> Mapping[Limit, float]:
    """The limits that keep somebody out, with the highest standing each keeps out, the highest first."""
    pairs = [(x.competition_id, x.category) for x in chosen]
    pairs += [(e.competition_id, e.category.code) for e in season.entered]
    counts = Counter[Limit]()
    for c, code in pairs:
        counts["brewer", c] += 1
        counts["category", c, code] += 1
    kept: dict[Limit, float] = {}
    for each in out:
        limits: list[Limit] = []
        if each.kind == "bottles" and options.usable[each.batch_id, each.competition_id]:
            limits.append(("bottles", each.batch_id))
        if each.kind in {"bottles", "limit"} and each.category:
            limits += _full(season, each, counts)
        for limit in limits:
            kept[limit] = max(kept.get(limit, 0.0), each.standing / len(limits))
    return dict(sorted(kept.items(), key=lambda item: -item[1]))


def _full(season: Season, out: Out, counts: Mapping[Limit, int]) -> list[Limit]:
    """The limits of its competition and category that are reached."""
    competition = season.competitions[out.competition_id]
    category = next(each for each in competition.categories if each.code == out.category)
    most: dict[Limit, int | None] = {
        ("brewer", out.competition_id): competition.limits.per_brewer,
        ("category", out.competition_id, out.category): category.limit_per_brewer or competition.limits.per_category,
    }
    return [limit for limit, number in most.items() if number is not None and counts[limit] >= number]


def _gain(asked: Asked, best: Solved, chosen: Sequence[Candidate], limit: Limit) -> Gain:
    options = _one_more_bottle(asked.options, limit[1]) if limit[0] == "bottles" else asked.options
    question = Question(asked.season, options, programme(asked.season, options, asked.terms, limit, asked.granted))
    rows = (row for row in best.rows if limit != ("bottles", row.batch_id))  # with more bottles they hold no more
    answer = solve(question, NEAR, best.objective, best, rows)
    if answer is None:
        return Gain(limit, 0.0)
    gain = answer.objective - best.objective
    most = gain + answer.gap if answer.gap > NEAR else None
    if not answer.columns:
        return Gain(limit, 0.0, most=most)
    now = [c.key for c, x in zip(options.candidates, answer.columns, strict=False) if x]
    before = [c.key for c in chosen]
    added, dropped = tuple(k for k in now if k not in before), tuple(k for k in before if k not in now)
    return Gain(limit, gain, added, dropped, most)


def _one_more_bottle(options: Options, batch_id: str) -> Options:
    """The same options with one more bottle of the kind of which the batch has most."""
    cellar = options.cellars[batch_id]
    most = max(range(len(cellar.kinds)), key=lambda i: (cellar.kinds[i].count, -i))
    free = tuple(count + (i == most) for i, count in enumerate(cellar.free))
    if sum(cellar.free) < cellar.keep:  # a bottle that is kept back brings nothing
        return options
    return replace(options, cellars={**options.cellars, batch_id: replace(cellar, free=free)})
