"""Which of a competition's own categories suits a beer: the ranking of styles, gathered by category.

A style's share goes to the categories that name it; where several do, it is split evenly among them, and those
that only take its family get it when none names the style itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from entryprep.beer.beer import Beer
from entryprep.beer.categories import CategoryMatch, category_styles
from entryprep.beer.fitting import Fit
from entryprep.records.competition import Category, Competition
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable
from entryprep.text import fold


@dataclass(frozen=True)
class CategoryAnswer:
    """One category: its share, the style that speaks for it, that style's fit, and whether its styles are certain."""

    category: Category
    share: float
    style: Style | None
    fit: Fit | None
    certain: bool
    words: str


@dataclass(frozen=True)
class Takers:
    """A competition's categories with their styles, worked out once for any number of beers.

    ``takers`` are, for each style by id, the places of the categories that take it.
    """

    matches: tuple[tuple[Category, CategoryMatch], ...]
    takers: Mapping[str, list[int]]

    @classmethod
    def of(cls, competition: Competition, table: StyleTable) -> Takers:
        """The categories of a competition, by a style table."""
        matches = tuple((category, category_styles(category, table)) for category in competition.categories)
        takers = _takers(matches)
        return cls(matches, takers)


def rank_categories(beer: Beer, competition: Competition, limit: int = 5) -> list[CategoryAnswer]:
    """Categories by share, highest first but for the one to enter; ties keep the competition's order.

    The one to enter (:func:`category_to_enter`) stands first. Shares are those of the ranking of all styles: what is
    left is the share of styles that no category takes. Linear in categories and styles.
    """
    into = Takers.of(competition, beer.table)
    shares = category_shares(beer, into)
    first = category_to_enter(beer, into, shares)
    order = sorted(range(len(shares)), key=lambda index: (index != first, -shares[index][0], index))
    return [_answer(beer, *into.matches[index], *shares[index]) for index in order[: max(limit, 0)]]


def category_to_enter(beer: Beer, into: Takers, shares: Sequence[tuple[float, Style | None]]) -> int:
    """The place of the category to enter a beer in, -1 where none has a share.

    Of those that take the style it is to be entered as, else of all, the one with the highest share.
    """
    style = beer.placement.style
    takers = into.takers.get(style.id, []) if style is not None else []
    among = [index for index in takers or range(len(shares)) if shares[index][0] > 0]
    return max(among, key=lambda index: (shares[index][0], -index), default=-1)


def category_shares(beer: Beer, into: Takers) -> list[tuple[float, Style | None]]:
    """For each category, in the competition's order, its share and the style that speaks for it.

    What the beer is to be entered as speaks for every category that takes it, else the likeliest style.
    """
    takers = into.takers
    totals = [0.0] * len(into.matches)
    best: list[Style | None] = [None] * len(into.matches)
    most = [0.0] * len(into.matches)
    for style, share in beer.ranking.shares:
        taken_by = takers.get(style.id, ())
        for index in taken_by:
            totals[index] += share / len(taken_by)
            if best[index] is None or share > most[index]:
                best[index], most[index] = style, share
    answer = beer.placement.style
    for index, (_, match) in enumerate(into.matches):
        if any(taken is answer for taken in match.styles):
            best[index] = answer
    return list(zip(totals, best, strict=True))


def _takers(matches: Sequence[tuple[Category, CategoryMatch]]) -> dict[str, list[int]]:
    """For each style the categories that take it: those that name it, else those that take its family."""
    named: dict[str, list[int]] = {}
    loose: dict[str, list[int]] = {}
    for index, (category, match) in enumerate(matches):
        names = {fold(name) for name in category.styles}
        for style in match.styles:
            by_name = not category.families
            if names and not by_name:
                by_name = any(fold(name) in names for name in (style.id, style.name, *style.aliases))
            target = named if by_name else loose
            target.setdefault(style.id, []).append(index)
    return {**loose, **named}


def _answer(beer: Beer, category: Category, match: CategoryMatch, share: float, style: Style | None) -> CategoryAnswer:
    result = beer.fit(style) if style else None
    return CategoryAnswer(category, share, style, result, match.certain, match.words)
