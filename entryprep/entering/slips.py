"""What stands on each slip: one for every bottle of every entry."""

from __future__ import annotations

from entryprep.entering.bottles import needed
from entryprep.entering.declaration import declared, slip_text
from entryprep.entering.plan import Slip
from entryprep.entering.season import Entered, Season
from entryprep.records.brewer import Brewer


def slips(season: Season, competition_id: str) -> list[Slip]:
    """Slips of one competition, in the order of entries.yaml, bottle 1 to n.

    The brewer stands only on a stub that is cut off, and only where the competition wants one. The beer's name
    stands nowhere.
    """
    made = []
    for entered in season.entered:
        if entered.competition_id == competition_id:
            made += _of_entry(season, entered)
    return made


def _of_entry(season: Season, entered: Entered) -> list[Slip]:
    said = declared(season.table, entered)
    labels = entered.competition.labels
    wanted = needed(entered)
    names = identity(season.brewer) if labels.identity == "stub" and season.brewer else ()
    return [
        Slip(
            code=entered.code,
            number=entered.entry.number,
            competition=entered.competition.name,
            category_code=entered.category.code,
            category_name=entered.category.name,
            style=said.style_shown,
            base=said.base_shown,
            declaration=slip_text(entered, said.style),
            allergens=tuple(entered.batch.allergens),
            bottle=bottle,
            bottles=wanted,
            identity=names,
            attach=labels.attach,
        )
        for bottle in range(1, wanted + 1)
    ]


def identity(brewer: Brewer) -> tuple[str, ...]:
    """Names, club, and how to reach the brewer, a line each."""
    names = ", ".join([brewer.name, *brewer.co_brewers])
    reach = ", ".join(text for text in (brewer.email, brewer.phone) if text)
    return tuple(line for line in (names, brewer.club, reach) if line)
