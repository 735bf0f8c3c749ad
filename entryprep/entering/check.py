"""Check a season by the rules: every finding with its place, its reason and its remedy."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from entryprep.entering.rules import FOR_BEERS, FOR_COMPETITIONS, FOR_ENTRIES
from entryprep.entering.rules.context import Context, Hit, Rule, Subject
from entryprep.entering.season import Season
from entryprep.findings import Finding, ordered


def check(season: Season, today: dt.date | None = None, competition_id: str | None = None) -> list[Finding]:
    """Everything the rules find in a season on the day ``today`` (the day it is, if none is given), in stable order.

    With ``competition_id`` only its entries, their batches and the competition itself are looked at (stock is
    still shared with the other entries); without it, batches that are not entered too. Raises KeyError for a
    competition that the season does not have. Linear in the number of entries.
    """
    competitions = list(season.competitions) if competition_id is None else [competition_id]
    if competition_id is not None and competition_id not in season.competitions:
        raise KeyError(competition_id)
    context = Context(season, today or dt.date.today(), competition_id)
    found = [
        *_all(context, FOR_BEERS, context.beers, context.declaring),
        *_all(context, FOR_ENTRIES, context.entries, lambda entered: (entered.competition_id,)),
        *_all(context, FOR_COMPETITIONS, competitions, lambda own: (own,)),
    ]
    return ordered(found)


def _all(
    context: Context,
    rules: Iterable[Rule[Subject]],
    subjects: Iterable[Subject],
    drawn_by: Callable[[Subject], tuple[str, ...]],
) -> Iterator[Finding]:
    """Findings of some rules on every subject, each with the competitions that draw it."""
    known = tuple(rules)
    for subject in subjects:
        for rule in known:
            for hit in rule.find(context, subject):
                yield replace(finding(context, hit), competitions=drawn_by(subject))


def finding(context: Context, hit: Hit) -> Finding:
    """A hit in words. Raises KeyError for a rule, or a field of its words, that is not there."""
    return context.season.finding(hit.rule, hit.values, hit.place.file, hit.place.path, hit.about, hit.milder, hit.case)
