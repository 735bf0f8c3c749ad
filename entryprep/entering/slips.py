"""What stands on each slip: one for every bottle of every entry."""

from __future__ import annotations

from entryprep.entering.bottles import needed
from entryprep.entering.declaration import declared, slip_text
from entryprep.entering.plan import Slip
from entryprep.entering.rules.people import Telling
from entryprep.entering.season import Entered, Season
from entryprep.records.brewer import Brewer


def slips(season: Season, competition_id: str) -> list[Slip]:
    """Slips of one competition, in the order of entries.yaml, bottle 1 to n.

    The brewer stands only on a stub that is cut off, and only where the competition wants one. The beer's name
    stands nowhere. What tells whose a beer is stands as a bar in what judges read, whether or not it was told before.
    """
    made = []
    telling = Telling(season.brewer, season.table)
    for entered in season.entered:
        if entered.competition_id == competition_id:
            made += _of_entry(season, entered, telling)
    return made


def _of_entry(season: Season, entered: Entered, telling: Telling) -> list[Slip]:
    said = declared(season.table, entered)
    number = entered.entry.number
    named = bool(number and telling.found(number, entered.batch))  # a number that names somebody is not printed

    def blind(text: str) -> str:
        return telling.blinded(text, entered.batch)

    labels = entered.competition.labels
    wanted = needed(entered)
    names = identity(season.brewer) if labels.identity == "stub" and season.brewer else ()
    return [
        Slip(
            code=entered.unnumbered_code if named else entered.code,
            number=None if named else number,
            competition=entered.competition.name,
            category_code=blind(entered.category.code),
            category_name=blind(entered.category.name),
            style=blind(said.style_shown),
            base=blind(said.base_shown),
            declaration=blind(slip_text(entered, said.style)),
            allergens=tuple(entered.batch.allergens),
            bottle=bottle,
            bottles=wanted,
            identity=names,
            attach=labels.attach,
            entry=entered.label,
        )
        for bottle in range(1, wanted + 1)
    ]


def identity(brewer: Brewer) -> tuple[str, ...]:
    """Names, club, and how to reach the brewer, a line each."""
    names = ", ".join([brewer.name, *brewer.co_brewers])
    reach = ", ".join(text for text in (brewer.email, brewer.phone) if text)
    return tuple(line for line in (names, brewer.club, reach) if line)
