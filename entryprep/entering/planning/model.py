"""The plan as a mixed-integer linear programme: a matrix, and for each competition what may be spent on it.

    maximise    Σ standing·x − weight·Σ cost of the tiers
    subject to  bottles of each entry = kinds of bottle taken;  kinds ≤ free;  all kinds ≤ free − kept back
                entries of a brewer, of a category, of a batch in a competition ≤ their limits
                of each competition one tier;  its entries and its load ≤ what the tier takes
                Σ cost of the tiers ≤ budget

x is an entry (0 or 1), y the bottles of a kind that a batch sends to a competition, a tier a number of entries of a
competition with a set of boxes that takes them; its cost is that of fees and boxes together. Tiers are no columns:
which are chosen is searched (``search.py``), and the columns follow (``relaxation.py``).
Entries that stand already take their part of limits, boxes and money, and change nothing else.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from entryprep.entering.planning.candidates import Options
from entryprep.entering.planning.sending import BoxKind, BoxSet, box_sets
from entryprep.entering.season import Season

INFINITY = float("inf")
_ROUNDING = 1e-9
_GRAMS = 6  # decimals of a kilogram
_FINEST = 6  # the finest share of bottles that is rounded


class Tier(NamedTuple):
    """At most so many new entries of a competition, of so much load, and what they cost with their boxes.

    The load is the mass of their bottles above that of as many of the lightest kind, in the unit of its row.
    """

    entries: int
    load: float
    cost: float


@dataclass(frozen=True)
class Spending:
    """What may be spent on a competition: one of its tiers, which says how much its two rows may hold."""

    competition_id: str
    count_row: int
    load_row: int
    tiers: tuple[Tier, ...]


@dataclass
class Programme:
    """Columns (value, low, high) and rows (low, high, coefficients by column), every column whole.

    ``entries`` are the columns of the candidates, in their order, each alone worth so much (``worth``); ``rows`` can be
    found by name in ``names``. ``spendings`` are the competitions that cost money, at ``weight`` each, all together at
    most ``budget``.
    """

    values: list[float] = field(default_factory=list)
    bounds: list[tuple[float, float]] = field(default_factory=list)
    rows: list[tuple[float, float, dict[int, float]]] = field(default_factory=list)
    names: dict[tuple[str, ...], int] = field(default_factory=dict)
    entries: int = 0
    worth: tuple[float, ...] = ()
    spendings: list[Spending] = field(default_factory=list)
    weight: float = 0.0
    budget: float = INFINITY
    kinds: dict[tuple[str, str, int], int] = field(default_factory=dict)
    wishes: list[int] = field(default_factory=list)
    lacking: int | None = None

    def column(self, value: float, low: float, high: float) -> int:
        """A new whole column; its number."""
        self.values.append(value)
        self.bounds.append((low, high))
        return len(self.values) - 1

    def row(self, name: tuple[str, ...], low: float, high: float, parts: Mapping[int, float]) -> None:
        """A new row, low ≤ Σ part·column ≤ high."""
        self.names[name] = len(self.rows)
        self.rows.append((low, high, dict(parts)))


@dataclass(frozen=True)
class Terms:
    """What money means: its weight, the budget in the plan's currency (None: no limit), kinds of box by competition.

    ``spent`` are the fees of entries that stand already.
    """

    weight: float
    budget: float | None
    boxes: Mapping[str, tuple[BoxKind, ...]]
    spent: float = 0.0


def programme(
    season: Season, options: Options, terms: Terms, more: tuple[str, ...] = (), granted: int = 0
) -> Programme:
    """The programme of a season. Columns and rows are in the order of the records.

    ``more`` names a limit that is to be one higher: ``("brewer", competition)`` or ``("category", competition, code)``.
    ``granted`` is how many of the brewer's wishes a plan has to fulfil.
    """
    budget = INFINITY if terms.budget is None else terms.budget - terms.spent
    made = Programme(weight=terms.weight, budget=budget)
    for candidate in options.candidates:
        made.column(candidate.standing - terms.weight * candidate.fee, 0, 1)
    made.entries, made.worth = len(options.candidates), tuple(made.values)
    by_pair: dict[tuple[str, str], list[int]] = {}
    for x, candidate in enumerate(options.candidates):
        by_pair.setdefault((candidate.batch_id, candidate.competition_id), []).append(x)
    _limits(made, season, options, by_pair, more)
    _bottles(made, options, by_pair)
    _sending(made, options, terms, by_pair)
    _wishes(made, season, by_pair, granted)
    return made


def _limits(
    made: Programme,
    season: Season,
    options: Options,
    by_pair: Mapping[tuple[str, str], list[int]],
    more: tuple[str, ...],
) -> None:
    own: dict[tuple[str, ...], list[int]] = {}
    for x, candidate in enumerate(options.candidates):
        own.setdefault(("brewer", candidate.competition_id), []).append(x)
        own.setdefault(("category", candidate.competition_id, candidate.category), []).append(x)
    standing = Counter[tuple[str, ...]]()
    for e in season.entered:
        standing["brewer", e.competition_id] += 1
        standing["category", e.competition_id, e.category.code] += 1
    for c, competition in season.competitions.items():
        limits: list[tuple[tuple[str, ...], int | None]] = [(("brewer", c), competition.limits.per_brewer)]
        for category in competition.categories:
            limit = category.limit_per_brewer or competition.limits.per_category
            limits.append((("category", c, category.code), limit))
        for name, most in limits:
            if name in own and most is not None:
                left = max(most + (name == more) - standing[name], 0)
                made.row(name, -INFINITY, left, dict.fromkeys(own[name], 1.0))
    for (b, c), columns in by_pair.items():
        if len(columns) > 1 and not season.competitions[c].limits.same_batch_twice:
            made.row(("once", b, c), -INFINITY, 1, dict.fromkeys(columns, 1.0))


def _bottles(made: Programme, options: Options, by_pair: Mapping[tuple[str, str], list[int]]) -> None:
    of_kind: dict[tuple[str, int], list[int]] = {}
    of_batch: dict[str, list[int]] = {}
    for (b, c), columns in by_pair.items():
        cellar, wanted = options.cellars[b], options.candidates[columns[0]].bottles
        parts = {x: float(wanted) for x in columns}
        if min(sum(cellar.free[i] for i in options.usable[b, c]), cellar.available) < wanted:
            for x in columns:
                made.bounds[x] = 0, 0
        for i in options.usable[b, c]:
            y = made.column(0.0, 0, min(cellar.free[i], wanted * len(columns)))
            made.kinds[b, c, i] = y
            of_kind.setdefault((b, i), []).append(y)
            of_batch.setdefault(b, []).append(y)
            parts[y] = -1.0
        made.row(("takes", b, c), 0, 0, parts)
    for (b, i), columns in of_kind.items():
        made.row(("kind", b, str(i)), -INFINITY, options.cellars[b].free[i], dict.fromkeys(columns, 1.0))
    for b, columns in of_batch.items():
        made.row(("bottles", b), -INFINITY, options.cellars[b].available, dict.fromkeys(columns, 1.0))
    _whole_entries(made, options, by_pair)


def _whole_entries(made: Programme, options: Options, by_pair: Mapping[tuple[str, str], list[int]]) -> None:
    """What follows from bottles for whole entries: with seven bottles, at most two entries of three.

    For any share s, Σ wanted·x ≤ bottles gives Σ ⌊s·wanted⌋·x ≤ ⌊s·bottles⌋ (rounding by Gomory and Chvátal): rows that
    take no plan away and cut off halves of entries, from which the solver would have to branch.
    """
    of_batch: dict[str, list[str]] = {}
    for b, c in by_pair:
        of_batch.setdefault(b, []).append(c)
    for b, competitions in of_batch.items():
        cellar = options.cellars[b]
        for kinds in sorted({options.usable[b, c] for c in competitions}):
            inside = [c for c in competitions if set(options.usable[b, c]) <= set(kinds)]
            bottles = min(sum(cellar.free[i] for i in kinds), cellar.available)
            wants = {x: options.candidates[x].bottles for c in inside for x in by_pair[b, c]}
            told: set[tuple[float, ...]] = set()
            for share in _shares(max(wants.values())):
                parts = {x: float(math.floor(share * want)) for x, want in wants.items()}
                limit = math.floor(share * bottles)
                key = (limit, *parts.values())
                if key not in told and sum(parts.values()) > limit:
                    told.add(key)
                    name = ("whole", b, str(kinds), str(share))
                    made.row(name, -INFINITY, limit, {x: part for x, part in parts.items() if part})


def _shares(wanted: int) -> list[Fraction]:
    return sorted({Fraction(p, q) for q in range(1, min(wanted, _FINEST) + 1) for p in range(1, q + 1)})


def _sending(made: Programme, options: Options, terms: Terms, by_pair: Mapping[tuple[str, str], list[int]]) -> None:
    """What may be spent on each competition: a tier for each number of new entries and set of boxes.

    Its cost is that of fees and boxes together, so that the budget is a choice of one tier for each competition. Mass
    is counted above that of the lightest bottle, which every one weighs: of bottles of two masses, what a tier takes
    is then a whole number of the heavier, and no part of one is left in it.
    """
    for c, kinds in terms.boxes.items():
        own = [x for pair, columns in by_pair.items() if pair[1] == c for x in columns]
        if not own or not (kinds or (terms.budget is not None and options.candidates[own[0]].fee)):
            continue
        wanted, fee = options.candidates[own[0]].bottles, options.candidates[own[0]].fee
        mass = {
            made.kinds[pair[0], c, i]: options.cellars[pair[0]].kinds[i].full_g / 1000
            for pair in by_pair
            if pair[1] == c
            for i in options.usable[pair]
        }
        lightest, heaviest = min(mass.values(), default=0.0), max(mass.values(), default=0.0)
        above = {y: round(each - lightest, _GRAMS) for y, each in mass.items()} if kinds else {}
        steps = sorted({each for each in above.values() if each})
        unit = steps[0] if steps else 1.0
        sent, sent_kg, most = options.sent_bottles[c], options.sent_kg[c], _most(made, c, own)
        sets = box_sets(kinds, sent + most * wanted, sent_kg + most * wanted * heaviest) if kinds else ()
        tiers: list[Tier] = []
        for n in range(most + 1):
            least = sent_kg + n * wanted * lightest
            for each in _fitting(sets, sent + n * wanted, least, sent_kg + n * wanted * heaviest):
                load = _load(steps, n * wanted, each.payload_kg - least) / unit
                tiers.append(Tier(n, load, fee * n + each.cost))
        for x in own:
            made.values[x] = options.candidates[x].standing
        made.row(("count", c), -INFINITY, 0, dict.fromkeys(own, 1.0))
        made.row(("load", c), -INFINITY, 0, {y: each / unit for y, each in above.items() if each})
        rows = made.names["count", c], made.names["load", c]
        made.spendings.append(Spending(c, *rows, worth_choosing(tiers)))


def _most(made: Programme, c: str, own: Sequence[int]) -> int:
    """The most new entries of a competition that its limits allow."""
    limits = [len(own)]
    for name in made.names:
        if name[:2] == ("brewer", c):
            limits.append(round(made.rows[made.names[name]][1]))
    rows = [made.rows[made.names[name]] for name in made.names if name[:2] == ("category", c)]
    limited = {x for _, _, parts in rows for x in parts}
    limits.append(len(own) - len(limited) + sum(min(round(high), len(parts)) for _, high, parts in rows))
    return min(limits)


def _load(steps: Sequence[float], bottles: int, room: float) -> float:
    """The most that so many bottles can weigh above the lightest kind, of ``steps`` each, within ``room``; kg."""
    if not steps:
        return 0.0
    if len(steps) > 2:  # every sum would have to be tried
        return max(room, 0.0)
    best, first = 0.0, steps[0]
    for heavier in range(bottles + 1 if len(steps) > 1 else 1):
        left = room - heavier * steps[-1] + _ROUNDING
        if left < 0:
            break
        most = bottles if len(steps) == 1 else bottles - heavier
        best = max(best, heavier * steps[-1] + min(most, math.floor(left / first)) * first)
    return best


def worth_choosing(tiers: Sequence[Tier]) -> tuple[Tier, ...]:
    """Without those that take no more than another which costs no more; the cheapest first."""
    kept: list[Tier] = []
    for each in sorted(set(tiers), key=lambda t: (t.cost, -t.entries, -t.load)):
        if not any(t.entries >= each.entries and t.load >= each.load - _ROUNDING for t in kept):
            kept.append(each)
    return tuple(kept)


def _fitting(sets: Sequence[BoxSet], bottles: int, least_kg: float, most_kg: float) -> Iterator[BoxSet]:
    """The sets of boxes that may be the cheapest for so many bottles, of a mass between two."""
    if not sets:
        yield BoxSet(0, INFINITY, 0.0)  # sending is free
    for each in sets:
        if each.slots >= bottles and each.payload_kg + _ROUNDING >= least_kg:
            yield each
            if each.payload_kg >= most_kg:
                return


def _wishes(made: Programme, season: Season, by_pair: Mapping[tuple[str, str], list[int]], granted: int) -> None:
    """A column for each batch and competition of which the brewer wishes that they must meet: 1 if they do.

    What is lacking of the wishes that have to be granted is a column that costs more than all entries bring, so that
    there is an answer for everything that may be spent.
    """
    for (b, c), columns in by_pair.items():
        if season.batches[b].wish.get(c) == "must":
            wish = made.column(0.0, 0, 1)
            made.wishes.append(wish)
            made.row(("wish", b, c), -INFINITY, 0, {wish: 1.0, **dict.fromkeys(columns, -1.0)})
    if made.wishes:
        dearest = sum(max(tier.cost for tier in each.tiers) for each in made.spendings)
        all_worth = sum(max(value, 0.0) for value in made.values) + made.weight * dearest
        made.lacking = made.column(-1.0 - all_worth, 0, granted)
        lacking = {made.lacking: 1.0}
        made.row(("wishes",), granted, INFINITY, dict.fromkeys(made.wishes, 1.0) | lacking)
