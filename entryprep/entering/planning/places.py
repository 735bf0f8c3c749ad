"""Every beer in every category of every competition: which style it would stand for there, its share and its fit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from entryprep.beer.beer import Beer
from entryprep.beer.category_ranking import Takers, category_shares, category_to_enter
from entryprep.beer.fitting import Fit
from entryprep.entering.bottles import bottle_objections, needed, spare, stock_of
from entryprep.entering.declaration import missing_declarations
from entryprep.entering.season import Entered, Season
from entryprep.records.competition import Category
from entryprep.records.entry import Entry
from entryprep.tables.style import Style
from entryprep.text import several
from entryprep.vitals import words_of


@dataclass(frozen=True)
class Place:
    """One beer in one category, with a share of 0 to 1.

    ``style`` is what it would be declared as: the style it is to be entered as where the category takes it, else the
    likeliest of the category's; None where there is none. ``own_style``: it is declared as that already. ``first``: the
    category of this competition to enter it in.
    """

    batch_id: str
    competition_id: str
    category: Category
    share: float
    style: Style | None
    certain: bool
    own_style: bool
    first: bool
    beer: Beer

    @cached_property
    def fit(self) -> Fit | None:
        """Fit to the style, worked out when it is asked for."""
        return None if self.style is None else self.beer.fit(self.style)

    @property
    def score(self) -> float | None:
        """The fit as a number, 0 to 100; None where nothing could be compared."""
        return self.fit.score if self.fit is not None else None


def places(
    season: Season, batch_ids: Iterable[str] | None = None, competition_ids: Iterable[str] | None = None
) -> dict[tuple[str, str], tuple[Place, ...]]:
    """By batch and competition, a place for each category in the competition's order; all of them, or those named.

    Batches whose records contradict each other have none (``Season.contradiction`` says why). Linear in beers times
    categories; a competition's categories are matched to styles once.
    """
    found: dict[tuple[str, str], tuple[Place, ...]] = {}
    for competition_id in season.competitions if competition_ids is None else competition_ids:
        competition = season.competitions[competition_id]
        into = Takers.of(competition, season.table)
        for batch_id in season.batches if batch_ids is None else batch_ids:
            beer = season.beer(batch_id)
            if beer is None:
                continue
            if competition.routing:
                beer = beer.changed(routing=competition.routing)
            shares = category_shares(beer, into)
            first = category_to_enter(beer, into, shares)
            row = []
            for i, (share, style) in enumerate(shares):
                category, match = into.matches[i]
                own = style is not None and style is beer.style
                row.append(
                    Place(batch_id, competition_id, category, share, style, match.certain, own, i == first, beer)
                )
            found[batch_id, competition_id] = tuple(row)
    return found


def entered_at(season: Season, place: Place, index: int = -1) -> Entered:
    """The entry that a place would become, with the style it would declare."""
    style = None if place.own_style or place.style is None else place.style.name
    entry = Entry(batch=place.batch_id, competition=place.competition_id, category=place.category.code, style=style)
    batch, competition = season.batches[place.batch_id], season.competitions[place.competition_id]
    return Entered(index, entry, place.batch_id, batch, place.competition_id, competition, place.category)


def missing(season: Season, place: Place) -> tuple[str, ...]:
    """What an entry at this place would still lack, in words: vitals, declarations, bottles."""
    said: list[str] = []
    if place.style is not None:
        beer = place.beer
        ranged = (place.fit.base or place.style) if place.fit is not None else place.style
        known = (beer.base_vitals or beer.vitals) if place.fit is not None and place.fit.base else beer.vitals
        unknown = [words_of(vital) for vital in ranged.ranges if vital not in known and vital != "co2"]
        said += unknown
        if place.style.specialty and not ranged.ranges:
            said.append("base style")
    entered = entered_at(season, place)
    said += [f"to declare: {item}" for item in missing_declarations(entered, place.style)]
    usable = [b for b in stock_of(entered) if not bottle_objections(b, entered.competition.bottles)]
    short = needed(entered) - min(sum(bottle.count for bottle in usable), spare(entered.batch))
    if short > 0:
        said.append(several(short, "bottle that it takes", "bottles that it takes"))
    return tuple(said)
