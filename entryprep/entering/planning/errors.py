"""What ``check`` calls an error and no plan can change: of entries that stand, and of those that could be made."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from functools import cache, lru_cache
from typing import TypeVar

from entryprep.entering.declaration import declared_as
from entryprep.entering.planning.places import Place, entered_at
from entryprep.entering.rules import FOR_BEERS, FOR_COMPETITIONS, FOR_ENTRIES
from entryprep.entering.rules.bottles import RULE_OF
from entryprep.entering.rules.context import ENTRIES, Context, DeclaredBeer, Hit, Rule
from entryprep.entering.season import Entered, Season
from entryprep.findings import Severity
from entryprep.tables.rules import RuleRow, finding, rule_row, severity_of

Subject = TypeVar("Subject")
_LIMITS = ("bottles-too-few", "entries-over-limit", "category-over-limit", "batch-twice")
# what the plan itself sees to, of entries that it makes: bottles and limits are rows of its programme
_PLANNED = frozenset({*(rule for rule, _ in RULE_OF.values()), *_LIMITS})


def barred_entries(season: Season, today: dt.date) -> dict[int, str]:
    """By the index of an entry of entries.yaml that errors stand against: the first of them, in words."""
    if not season.entered:
        return {}
    context = Context(season, today)
    found: dict[int, str] = {}
    for hit in _hits(context, _barring(FOR_COMPETITIONS), season.competitions):
        for index in _meant(context, hit):
            found.setdefault(index, _words(hit))
    for entered in season.entered:
        own = _of_entry(context, entered)
        if own:
            found.setdefault(entered.index, own)
    return found


class Trial:
    """Entries that could be made, checked as if they stood. What hangs on the beer and its style is asked once."""

    def __init__(self, season: Season, today: dt.date) -> None:
        self._context = Context(season, today)
        self._of_beers: dict[tuple[str, str, int], str] = {}

    def error(self, place: Place) -> str:
        """The first error against an entry at a place that a plan can not change, in words; empty if there is none."""
        style = place.style.id if place.style is not None else ""
        key = place.batch_id, style, id(place.beer)
        if key not in self._of_beers:
            beer = self._declared(place)
            self._of_beers[key] = _first(_hits(self._context, _barring(FOR_BEERS, _PLANNED), (beer,)))
        if self._of_beers[key]:
            return self._of_beers[key]
        entered = entered_at(self._context.season, place)
        return _first(_hits(self._context, _barring(FOR_ENTRIES, _PLANNED), (entered,)))

    def _declared(self, place: Place) -> DeclaredBeer:
        """The beer as an entry at a place would declare it."""
        batch = self._context.season.batches[place.batch_id]
        said = declared_as(self._context.season.table, place.style.name if place.style else batch.style, batch.base)
        at = self._context.at_batch(place.batch_id)
        return DeclaredBeer(place.batch_id, batch, said, at, at, True, place.beer)


def _of_entry(context: Context, entered: Entered) -> str:
    own = _first(_hits(context, _barring(FOR_BEERS), (context.beer(entered),)))
    return own or _first(_hits(context, _barring(FOR_ENTRIES), (entered,)))


def _first(hits: Iterator[Hit]) -> str:
    """The first of some hits in words; empty where there is none."""
    return next(map(_words, hits), "")


@cache
def _barring(rules: tuple[Rule[Subject], ...], without: frozenset[str] = frozenset()) -> tuple[Rule[Subject], ...]:
    """The rules that may find a barring error."""
    wanted = _barring_ids() - without
    return tuple(rule for rule in rules if wanted & set(rule.ids))


@lru_cache(maxsize=1)
def _barring_ids() -> frozenset[str]:
    ids = {rule_id for group in (FOR_BEERS, FOR_ENTRIES, FOR_COMPETITIONS) for rule in group for rule_id in rule.ids}
    return frozenset(rule_id for rule_id in ids if _row(rule_id).barring)


def _hits(context: Context, rules: Sequence[Rule[Subject]], subjects: Iterable[Subject]) -> Iterator[Hit]:
    for subject in subjects:
        for rule in rules:
            for hit in rule.find(context, subject):
                row = _row(hit.rule)
                if row.barring and severity_of(row, hit.milder) is Severity.ERROR:
                    yield hit


def _meant(context: Context, hit: Hit) -> Iterator[int]:
    """The entries that a hit on a competition is about."""
    file, path = hit.place.file, hit.place.path
    first = context.season.entry_at(path[1]) if file == ENTRIES and isinstance(path[1], int) else None
    if first is not None and hit.rule != "delivery-tight":
        yield first.index
        return
    for e in context.by_competition.get(first.competition_id if first else hit.about, ()):
        if hit.rule == "registration-closed" and e.entry.number:
            continue
        if first is None or e.entry.way == first.entry.way:
            yield e.index


@lru_cache(maxsize=512)
def _row(rule_id: str) -> RuleRow:
    return rule_row(rule_id)


def _words(hit: Hit) -> str:
    return finding(hit.rule, hit.values, milder=hit.milder).what
