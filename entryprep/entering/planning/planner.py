"""The plan of a season: entries worth making, what they cost, why not the others, what one more would bring."""

from __future__ import annotations

import datetime as dt
import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from entryprep.entering.planning.candidates import LEAST_STANDING, Candidate, Options, Out, options
from entryprep.entering.planning.gains import Asked, Gain, gains
from entryprep.entering.planning.model import Programme, Terms, programme
from entryprep.entering.planning.sending import BoxKind, box_kinds, sending_cost
from entryprep.entering.planning.solver import EQUAL, PlanningError, Question, Solved, earliest, solve
from entryprep.entering.planning.whynot import left_out
from entryprep.entering.season import Season

MONEY_WEIGHT = 0.01  # of expected standing, for one unit of money: 100 of them outweigh one certain and perfect entry
SETTLING = 20  # branches for the order of equally good plans, which is worth no more
GAINS = 3  # how many limits are tried with one more


@dataclass(frozen=True)
class Wishes:
    """What a plan is asked for: the money one accepts, in ``currency``, and how much of it weighs a standing of 1.

    ``rates`` say what one unit of another currency is worth in ``currency``; ``currency`` empty: the first that the
    competitions name. ``least``: the least expected standing of an entry. ``gains``: how many limits are tried.
    """

    budget: float | None = None
    currency: str = ""
    rates: Mapping[str, float] = field(default_factory=dict)
    weight: float = MONEY_WEIGHT
    least: float = LEAST_STANDING
    gains: int = GAINS


@dataclass(frozen=True)
class Sent:
    """What goes to one competition: bottles and kg, those entered already included, and what sending costs."""

    competition_id: str
    bottles: int
    mass_kg: float
    cost: float
    priced: bool


@dataclass(frozen=True)
class Plan:
    """A plan. ``objective`` = ``standing`` − ``weight`` × (``fees`` + ``sending``), of all entries, new and entered.

    Money is in ``currency``. ``gap``: how much better any plan could be, 0 where this one is proven best. ``unmet`` are
    wishes that nothing could fulfil, as batch and competition.
    """

    chosen: tuple[Candidate, ...]
    entered: tuple[Candidate, ...]
    left_out: tuple[Out, ...]
    gains: tuple[Gain, ...]
    sent: tuple[Sent, ...]
    unmet: tuple[tuple[str, str], ...]
    standing: float
    fees: float
    sending: float
    weight: float
    budget: float | None
    currency: str
    gap: float

    @property
    def objective(self) -> float:
        """Expected standing less the weighted cost."""
        return self.standing - self.weight * (self.fees + self.sending)


def plan(season: Season, today: dt.date, wishes: Wishes = Wishes()) -> Plan:
    """The best entries of a season beside those of entries.yaml, proven by the solver; ties go by the records' order.

    Raises PlanningError for currencies without a rate, a budget below what the entries of entries.yaml cost, and where
    the solver finds nothing in time.
    """
    currency, rates = _money(season, wishes)
    every = options(season, today, rates, wishes.least)
    boxes = {c: _kinds(season, c, rates, currency) for c in season.competitions}
    own = [season.competitions[e.competition_id].fee for e in season.entered]
    fees = sum(fee.amount * rates[fee.currency] for fee in own if fee is not None)
    terms = Terms(wishes.weight, wishes.budget, boxes, fees + _idle(every, boxes))
    _affordable(every, terms, fees, currency)
    granted = _granted(Question(season, every, programme(season, every, terms))) if _wishing(season) else 0
    made = programme(season, every, terms, granted=granted)
    answer = _solved(Question(season, every, made))
    chosen = tuple(c for c, x in zip(every.candidates, answer.columns, strict=False) if x)
    sent = _sent(season, every, made, answer, boxes)
    fees += sum(candidate.fee for candidate in chosen)
    money = fees + sum(each.cost for each in sent)
    asked = {(c.batch_id, c.competition_id) for c in (*chosen, *every.entered)}
    out = left_out(season, every, terms, chosen, money)
    musts = ((b, c) for b, batch in season.batches.items() for c, wish in batch.wish.items() if wish == "must")
    return Plan(
        chosen,
        every.entered,
        out,
        gains(Asked(season, every, terms, granted), answer, chosen, out, wishes.gains) if not answer.gap else (),
        sent,
        tuple(pair for pair in musts if pair not in asked and pair[1] in season.competitions),
        sum(c.standing for c in (*chosen, *every.entered)),
        fees,
        sum(each.cost for each in sent),
        wishes.weight,
        wishes.budget,
        currency,
        answer.gap,
    )


def _money(season: Season, wishes: Wishes) -> tuple[str, dict[str, float]]:
    """The plan's currency, and what one unit of every other is worth in it."""
    named: list[str] = []
    for competition in season.competitions.values():
        named += [competition.fee.currency] if competition.fee else []
        if competition.sending and competition.sending.rates and competition.sending.currency:
            named.append(competition.sending.currency)
    currency = wishes.currency or next(iter(named), "")
    rates = {**wishes.rates, currency: 1.0}
    lacking = [each for each in dict.fromkeys(named) if each not in rates]
    if lacking:
        raise PlanningError(
            f"prices are in {currency} and {lacking[0]}, which cannot be added",
            f"say what one {lacking[0]} is worth: --rate {lacking[0]}=1.08",
        )
    return currency, rates


def _kinds(season: Season, c: str, rates: Mapping[str, float], currency: str) -> tuple[BoxKind, ...]:
    competition = season.competitions[c]
    own = competition.sending.currency if competition.sending else None
    rate = rates[own or (competition.fee.currency if competition.fee else currency)]
    return tuple(BoxKind(kind.slots, kind.payload_kg, kind.cost * rate) for kind in box_kinds(competition))


def _idle(every: Options, boxes: Mapping[str, tuple[BoxKind, ...]]) -> float:
    """What sending costs to competitions for which there is nothing to choose."""
    chosen_from = {candidate.competition_id for candidate in every.candidates}
    idle = (c for c in boxes if c not in chosen_from)
    return sum(sending_cost(boxes[c], every.sent_bottles[c], every.sent_kg[c]) for c in idle)


def _affordable(every: Options, terms: Terms, fees: float, currency: str) -> None:
    least = fees + sum(sending_cost(k, every.sent_bottles[c], every.sent_kg[c]) for c, k in terms.boxes.items())
    if terms.budget is not None and terms.budget < least - EQUAL:
        raise PlanningError(
            f"entries.yaml alone costs {least:.2f} {currency}, more than the budget of {terms.budget:.2f}",
            f"give a budget of at least {math.ceil(least)}, or take entries out of entries.yaml",
        )


def _wishing(season: Season) -> bool:
    return any("must" in batch.wish.values() for batch in season.batches.values())


def _granted(question: Question) -> int:
    """How many of the brewer's wishes can be fulfilled together."""
    made = question.made
    values = [1.0 if column in set(made.wishes) else 0.0 for column in range(len(made.values))]
    found = solve(replace(question, made=replace(made, values=values, weight=0.0)), near=0.5, above=0.0)
    return round(found.objective) if found is not None else 0


def _solved(question: Question) -> Solved:
    """The best answer: by the objective, then by what stands first in the records, where entries are worth the same.

    How many entries each competition gets, and in which boxes, stays, as does an entry that is worth what no other is.
    """
    made = question.made
    best = solve(question)
    if best is None or (made.lacking is not None and best.columns[made.lacking]):
        raise PlanningError("no plan keeps every limit", "check entries.yaml with `entryprep check`: it may break one")
    worth = [round(value, 9) for value in made.worth]
    alike = Counter(worth)
    free = {x for x, value in enumerate(worth) if alike[value] > 1}
    return earliest(question, best, free, SETTLING) if free and not best.gap else best


def _sent(
    season: Season, every: Options, made: Programme, answer: Solved, boxes: Mapping[str, tuple[BoxKind, ...]]
) -> tuple[Sent, ...]:
    bottles, mass = Counter(every.sent_bottles), dict(every.sent_kg)
    for (b, c, i), y in made.kinds.items():
        bottles[c] += answer.columns[y]
        mass[c] += answer.columns[y] * every.cellars[b].kinds[i].full_g / 1000
    return tuple(
        Sent(c, bottles[c], mass[c], sending_cost(boxes[c], bottles[c], mass[c]), bool(boxes[c]))
        for c in season.competitions
        if bottles[c]
    )
