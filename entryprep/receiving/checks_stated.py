"""Checks on what is stated: declarations that are missing, allergens, and names that tell whose beer it is."""

from __future__ import annotations

import re

from entryprep.beer.allergens import carried, in_words, named_by, not_among, to_name
from entryprep.formats.cells import is_empty
from entryprep.receiving.anonymity import rule_of
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration
from entryprep.tables.letterwords import questions
from entryprep.tables.vocabulary import named_in
from entryprep.text import fold


def missing(check: CheckIn, about: Declaration) -> None:
    """Allergens to name, and declarations the style wants that nothing answers."""
    said = (about.told, about.text("base"), about.text("beer"), about.text("style"))
    named = named_in(about.told, about.text("base"), about.text("style"))
    about.kinds = named.kinds
    about.remarks = named.remarks
    about.allergens = to_name(about.text("allergens"), said, (about.style, about.base))
    _not_listed(check, about, said)
    if about.style is None:
        return
    about.missing = tuple(item for item in about.style.declare if not answered(about, item))
    either = about.style.declare_any
    if either and not any(answered(about, item) for item in either):
        about.missing = (*about.missing, " or ".join(either))
    for item in about.missing:
        values = {"asker": about.style.name, "item": item.replace("-", " ")}
        check.reader.tell(about, "declaration-missing", "specials", values)
        about.questions.append(questions(about.language).declare[item.partition(" or ")[0]])


def _not_listed(check: CheckIn, about: Declaration, said: tuple[str, ...]) -> None:
    """An allergen that words or styles give away and that is not among those the entrant lists."""
    listed = about.text("allergens")
    stated = named_by(listed)
    styles = [(style, None) for style in (about.style, about.base) if style is not None]
    absent = not_among(stated, carried([(text, None) for text in said], styles)) if stated else {}
    if absent:
        values = {"found": in_words(absent), "stated": listed, "missing": ", ".join(absent)}
        check.reader.tell(about, "allergen-not-listed", "allergens", values)


_SAID_BY = {"fruit": "fruit", "spice": "spice", "smoke-source": "smoke", "wood": "wood", "spirit": "spirit"}
_SAID_BY |= {"grain": "grain", "sugar": "sugar", "culture": "culture", "process": "process"}
_WORDS = {
    "strength": {"session", "standard", "double", "imperial", "table", "super", "regular", "strong", "triple"},
    "colour": {"pale", "amber", "dark", "brown", "blond", "blonde", "black", "red", "brune", "ambree", "hell", "dunkel",
               "light", "gold", "golden", "dunkler", "heller", "dunkles", "helles"},
    "sweetness": {"dry", "sweet", "semi", "medium", "off", "low", "high", "none"},
    "carbonation": {"still", "petillant", "sparkling", "low", "medium", "high", "moderate", "spritzy"},
}  # fmt: skip


def answered(about: Declaration, item: str) -> bool:
    """Whether the sheet says anything to a declaration item: in its own column, or in words of its kind."""
    specials = about.told
    if item == "base":
        return not is_empty(about.text("base"))
    if item in _SAID_BY:
        alone = [i for i in about.style.declare if i in _SAID_BY] == [item] if about.style else False
        return _SAID_BY[item] in about.kinds or (alone and bool(specials))
    if item in _WORDS:
        own = about.text("carbonation" if item == "carbonation" else "srm" if item == "colour" else item)
        words = set(fold(f"{specials} {about.text('style')}").split())
        return (bool(own) and not is_empty(own)) or bool(words & _WORDS[item])
    if item == "vitals":
        known = about.vitals.known.values() if about.vitals else ()
        return sum(reading.origin != "derived" for reading in known) >= 2
    return len(specials.split()) >= 2 or (item == "mixed-styles" and not is_empty(about.text("base")))


def anonymity(check: CheckIn, about: Declaration) -> None:
    """What judges read must not say whose beer it is, nor name any other entrant."""
    for where, found in check.blind.told(about):
        values = {"where": check.reader.header(where) or where, "shown": found.shown, "whose": found.whose}
        check.reader.tell(about, rule_of(found), where, values)


def judges_words(check: CheckIn, about: Declaration) -> str:
    """What the judges are told: specials, strength, sweetness and carbonation, without what tells whose it is."""
    text = check.blind.blinded(about, about.told)
    own = [f"{name} {about.text(name)}" for name in ("strength", "sweetness") if not is_empty(about.text(name))]
    carbonation = about.text("carbonation")
    own += [f"carbonation {carbonation}"] if carbonation and not re.search(r"\d", carbonation) else []
    return "; ".join([*([text] if text else []), *(check.blind.blinded(about, each) for each in own)])
