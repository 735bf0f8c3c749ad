"""Rules on the starter: its own words that nobody replaced."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from entryprep.entering.rules.context import Context, DeclaredBeer, Hit, Place, Rule
from entryprep.entering.season import Entered
from entryprep.text import fold


def of_a_batch(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """The beer of the starter, and the text that it gives for the judges."""
    said = {"name": beer.batch.name, "declaration": beer.batch.declaration}
    for key, text in _starters(context, said).items():
        yield Hit("starter-not-filled-in", context.at_batch(beer.batch_id, key), beer.batch_id, {"words": text}, True)


def of_an_entry(context: Context, entered: Entered) -> Iterator[Hit]:
    """The text for the judges that the starter gives."""
    for key, text in _starters(context, {"declaration": entered.entry.declaration}).items():
        yield Hit("starter-not-filled-in", context.at_entry(entered, key), entered.label, {"words": text}, True)


def of_a_competition(context: Context, competition_id: str) -> Iterator[Hit]:
    """The competition and the brewer of the starter."""
    competition, brewer = context.season.competitions[competition_id], context.season.brewer
    for key, text in _starters(context, {"name": competition.name, "place": competition.place}).items():
        place = context.at_competition(competition_id, key)
        yield Hit("starter-not-filled-in", place, competition_id, {"words": text}, True)
    if brewer is None:
        return
    said = {"name": brewer.name, "brewery": brewer.brewery, "email": brewer.email, "club": brewer.club}
    for key, text in _starters(context, said).items():
        yield Hit("starter-not-filled-in", Place("brewer.yaml", (key,)), "brewer", {"words": text}, key != "name")
    for index, line in enumerate(brewer.address):
        if _starters(context, {"address": line}):
            place = Place("brewer.yaml", ("address", index))
            yield Hit("starter-not-filled-in", place, "brewer", {"words": line}, True)


def _starters(context: Context, said: Mapping[str, str | None]) -> dict[str, str]:
    """Those of some texts that are the starter's own."""
    return {key: text for key, text in said.items() if text and fold(text) in context.rules.starter_words}


FOR_BEERS: tuple[Rule[DeclaredBeer], ...] = (Rule(("starter-not-filled-in",), of_a_batch),)
FOR_ENTRIES: tuple[Rule[Entered], ...] = (Rule(("starter-not-filled-in",), of_an_entry),)
FOR_COMPETITIONS: tuple[Rule[str], ...] = (Rule(("starter-not-filled-in",), of_a_competition),)
