"""Checks on what can hurt: what is eaten, how strong it is, how concentrated, what it is said to be free of."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from entryprep.beer.allergens import says_free
from entryprep.beer.caution import Caution
from entryprep.beer.cautions import STRONG_ABV, strong_words
from entryprep.beer.cautions_amounts import MOST_FRUIT_KG_PER_L, by_ice
from entryprep.beer.cautions_eaten import told_of
from entryprep.beer.told import amount_told, pieces
from entryprep.formats.cells import is_empty
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration
from entryprep.tables.letterwords import caution_told, questions
from entryprep.tables.vocabulary import GLUTEN, cautions_in, says_gluten_free

FROZEN_STYLES = frozenset({"eisbock"})
CAREFUL = "ingredient-caution"  # of what is told of an ingredient all but this is dangerous
HARMFUL = frozenset({"poisonous-ingredient", "dose-unsafe"})
"""What makes an entry dangerous to drink, as far as its words go: it is not poured until a steward has decided."""


@lru_cache(maxsize=8192)  # the register asks for the same texts as the check
def cautions_told(told: str) -> tuple[Caution, ...]:
    """The cautions of what an entrant tells, thing by thing; each thing is told of once."""
    found: dict[tuple[str, str], Caution] = {}
    for piece in pieces(told):
        amount = amount_told(piece)
        for each in told_of(cautions_in(piece), (), amount.grams, said=piece.strip()[:80], number=amount.number):
            what = str(each.values["what"]) + (amount.assumed if each.rule == "dose-unsafe" else "")
            values = {**each.values, "named": each.values["what"], "what": what}
            found.setdefault((each.rule, what), replace(each, values=values))
    return tuple(found.values())


def harm_in(told: str) -> str:
    """What of an entrant's words is dangerous to drink, with the reason; empty where nothing is."""
    words = (each.values for each in cautions_told(told) if each.rule != CAREFUL)
    return "; ".join(f"{said['what']}: {said['caution']}" for said in words)


def eaten(check: CheckIn, about: Declaration) -> None:
    """What an entry names that is poisonous, or unsafe unless it is done right."""
    for found in cautions_told(about.told):
        check.reader.tell(about, found.rule, "specials", found.values, milder=found.milder)
        if found.rule != CAREFUL:
            key = f"{found.values['id']}-dose" if found.rule == "dose-unsafe" else str(found.values["id"])
            caution = caution_told(key, str(found.values["caution"]), about.language)
            asked = questions(about.language).other["poison"]
            about.questions.append(asked.format(what=found.values["named"], caution=caution))
    for piece in pieces(about.told):
        amount = amount_told(piece)
        if amount.grams is not None and amount.grams > MOST_FRUIT_KG_PER_L * 1000:
            values = {"problem": f"{piece.strip()[:80]} is more than the beer{amount.assumed}"}
            check.reader.tell(about, "addition-impossible", "specials", values, milder=bool(amount.assumed))


def strong(check: CheckIn, about: Declaration) -> None:
    """Strong beer, and beer concentrated by freezing."""
    reading = about.vitals.abv if about.vitals is not None else None
    if reading is not None and reading.value >= STRONG_ABV:
        where = "abv" if about.text("abv") else "og"
        check.reader.tell(about, "strong-beer", where, strong_words(reading.value))
    if by_ice(about.told):
        check.reader.tell(about, "concentrated-beer", "specials", {"how": f" by the declaration: {about.told[:80]}"})
    elif about.style is not None and about.style.id in FROZEN_STYLES:
        check.reader.tell(about, "concentrated-beer", "style", {"how": f", as {about.style.name} is by custom"})


def free_of(check: CheckIn, about: Declaration) -> None:
    """Allergens said to be absent from a beer that holds some."""
    said = says_free(about.text("allergens")) or says_gluten_free(about.told)
    if not said or is_empty(about.text("style")):
        return
    named = [name for name in about.allergens if name != GLUTEN]
    found = f"it holds {', '.join(named)}" if named else "nearly every beer is brewed of barley"
    values = {"stated": said, "found": found, "missing": ", ".join(named) or "barley (gluten)"}
    check.reader.tell(about, "allergen-contradicts", "allergens", values)
