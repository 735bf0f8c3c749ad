"""The three questions asked of a beer, a batch or plain vitals alike: how it fits, which style it is, what suits it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from entryprep.beer.beer import Beer
from entryprep.beer.fitting import Fit
from entryprep.beer.ranking import Ranking, Suggestion
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable
from entryprep.vitals import Vitals

if TYPE_CHECKING:
    from entryprep.records.batch import Batch


def _as_beer(
    beer: Beer | Vitals | Batch,
    table: StyleTable | None,
    base: Style | str | None = None,
    traits: Mapping[str, str] | None = None,
    additions: Iterable[str] | None = None,
) -> Beer:
    """What a function was given, as a beer with all that was said beside it."""
    if isinstance(beer, Vitals):
        found = Beer.of_vitals(beer, table=table)
    else:
        found = beer if isinstance(beer, Beer) else Beer.from_batch(beer, table=table)
    if base is None and traits is None and additions is None:
        return found
    under = None if base is None else found.named_style(base)
    return found.changed(base=under, traits=traits, additions=additions)


def fit(
    beer: Beer | Vitals | Batch,
    style: Style | str,
    base: Style | str | None = None,
    table: StyleTable | None = None,
) -> Fit:
    """Fit of a beer, a batch or plain vitals to a style, 0 to 100, part by part; styles by themselves or by name.

    ``base`` is the style underneath, for a specialty style whose vitals follow it. Raises UnknownStyle or
    AmbiguousStyle for a name that leads to no single style.

    >>> round(fit(Vitals(og=1.048, fg=1.010, ibu=35, srm=3.5), "German pils").score)
    96
    """
    return _as_beer(beer, table, base).fit(style)


def rank(
    beer: Beer | Vitals | Batch,
    traits: Mapping[str, str] | None = None,
    styles: Iterable[Style] | None = None,
    additions: Iterable[str] | None = None,
    base: Style | str | None = None,
) -> Ranking:
    """Styles ranked for a beer, a batch or plain vitals. Raises QuantityError for a trait or kind that is not known."""
    table = styles if isinstance(styles, StyleTable) else None
    found = _as_beer(beer, table, base, traits, additions)
    return found.ranked(styles if table is None else None)


def suggest(
    beer: Beer | Vitals | Batch,
    traits: Mapping[str, str] | None = None,
    table: StyleTable | None = None,
    limit: int = 5,
    additions: Iterable[str] | None = None,
    base: Style | str | None = None,
) -> list[Suggestion]:
    """The styles that suit a beer best, at most ``limit``, each with share, fit and reasons.

    Works from any two vitals. Shares are among all styles of ``table`` and "none of these", so those of a short list
    sum to less than 1. Raises QuantityError for a trait or kind of addition that is not known.
    """
    return _as_beer(beer, table, base, traits, additions).suggestions(limit)
