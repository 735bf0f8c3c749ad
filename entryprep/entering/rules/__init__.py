"""The rules: functions by what they look at, named here one by one; their words stand in ``templates/rules/``."""

from __future__ import annotations

from entryprep.entering.rules import bottles, dates, declaration, limits, order, safety, special, starter, style
from entryprep.entering.rules.context import DeclaredBeer, Rule
from entryprep.entering.season import Entered

# one call for every beer as it is declared, for every entry, and for every competition
FOR_BEERS: tuple[Rule[DeclaredBeer], ...] = (
    *style.FOR_BEERS,
    *special.FOR_BEERS,
    *safety.FOR_BEERS,
    *order.FOR_BEERS,
    *starter.FOR_BEERS,
)
FOR_ENTRIES: tuple[Rule[Entered], ...] = (
    *style.FOR_ENTRIES,
    *declaration.FOR_ENTRIES,
    *bottles.FOR_ENTRIES,
    *limits.FOR_ENTRIES,
    *dates.FOR_ENTRIES,
    *order.FOR_ENTRIES,
    *starter.FOR_ENTRIES,
)
FOR_COMPETITIONS: tuple[Rule[str], ...] = (
    *style.FOR_COMPETITIONS,
    *limits.FOR_COMPETITIONS,
    *dates.FOR_COMPETITIONS,
    *order.FOR_COMPETITIONS,
    *starter.FOR_COMPETITIONS,
)


def rule_ids() -> tuple[str, ...]:
    """The ids that the functions may yield, each once, sorted."""
    groups = (FOR_BEERS, FOR_ENTRIES, FOR_COMPETITIONS)
    return tuple(sorted({rule_id for group in groups for rule in group for rule_id in rule.ids}))
