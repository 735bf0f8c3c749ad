"""Candidates for one beer side by side: each vital against each range, share and fit, what each wants declared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from entryprep.beer.beer import Beer
from entryprep.beer.fitting import Fit
from entryprep.beer.ranking import explained
from entryprep.tables.style import Style


@dataclass(frozen=True)
class Compared:
    """One candidate: ``label`` as it was asked for, its style, its share among all styles, its fit."""

    label: str
    style: Style
    share: float
    fit: Fit
    reasons: tuple[str, ...]

    @property
    def declare(self) -> tuple[str, ...]:
        """What a beer of this style must have declared; of ``a or b`` one is enough."""
        either = " or ".join(self.style.declare_any)
        return (*self.style.declare, *([either] if either else []))


def compared(beer: Beer, candidates: Sequence[tuple[str, Style, float | None]]) -> tuple[Compared, ...]:
    """The candidates in their order, as label, style and share (None: the style's share among all styles)."""
    shares = {style.id: share for style, share in beer.ranking.shares}
    found = []
    for label, style, share in candidates:
        own = shares.get(style.id, 0.0) if share is None else share
        told = explained(style, own, beer.fit(style), beer.traits, beer.things)
        found.append(Compared(label, style, own, told.fit, told.reasons))
    return tuple(found)
