"""Checks on special beers: can the base be one, do the additions belong there, is the dose that is told enough?"""

from __future__ import annotations

import re

from pydantic import ValidationError

from entryprep.beer.basefit import refused_as_base
from entryprep.beer.dosing import verdict
from entryprep.beer.routing import facts_of_kinds, route
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration
from entryprep.records.batch import Addition, Batch
from entryprep.tables.style import ADDITIONS
from entryprep.tables.vocabulary import named_in

TOLD_DOSES = {"faint": "addition-faint", "dominant": "addition-dominant"}
CULTURED = {"culture"}
_DOSE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(g|kg)\s*(?:/|per|pro|par)\s*(l|litre|liter|hl)\b", re.IGNORECASE)
_IN_G_PER_L = {("g", "l"): 1.0, ("kg", "l"): 1000.0, ("g", "hl"): 0.01, ("kg", "hl"): 10.0}


def base_holds(check: CheckIn, about: Declaration) -> None:
    """A base must be a beer of its own: no specialty category, and not the style declared itself."""
    base, style = about.base, about.style
    if base is None or style is None or not style.specialty:
        return
    problem = refused_as_base(base.name, base)
    if base.id == style.id:
        problem = f"{base.name} is declared as its own base"
    if problem:
        check.reader.tell(about, "base-refused", "base", {"problem": problem})


def belongs(check: CheckIn, about: Declaration) -> None:
    """Whether the kinds of addition that are named belong where the beer is declared."""
    style = about.style
    told = about.kinds - CULTURED
    if style is None or not told or (told <= style.kinds and _made_for(about)):
        return
    facts = facts_of_kinds((kind for kind in ADDITIONS if kind in about.kinds), about.base)
    if about.base is not None:
        facts -= set(about.base.traits.get("additions", ())) - CULTURED
    sent = route(facts)
    if not sent.to or style.id in sent.to:
        return
    names = " or ".join(check.table.styles[i].name for i in sent.to if i in check.table.styles)
    values = {"kinds": ", ".join(sorted(told)), "where": names, "why": sent.why}
    check.reader.tell(about, "style-routed-elsewhere", "style", values)


def _made_for(about: Declaration) -> bool:
    style = about.style
    if style is None or not style.specialty:
        return True
    kinds = about.kinds
    return set(style.takes) - CULTURED <= kinds and (not style.takes_any or bool(kinds & set(style.takes_any)))


def doses(check: CheckIn, about: Declaration) -> None:
    """Doses told in grams per litre: too little to be tasted, or so much that it hides the base."""
    for piece in re.split(r"[;,]", about.told):
        found = _DOSE.search(piece)
        if found is None:
            continue
        what = " ".join(piece.replace(found[0], " ").split()).strip("():- ")
        kind = next((k for k in ADDITIONS if k in named_in(piece).kinds), None)
        per = "hl" if found[3].lower() == "hl" else "l"
        amount = float(found[1].replace(",", ".")) * _IN_G_PER_L[found[2].lower(), per]
        if not what or kind is None:
            continue
        try:
            addition = Addition.model_validate({"what": what[:200], "kind": kind, "mass": amount / 1000})
        except ValidationError:
            continue
        judged = verdict(addition, Batch(name="a litre", volume=1.0))
        if judged.word in TOLD_DOSES:
            check.reader.tell(about, TOLD_DOSES[judged.word], "specials", {"what": what, "words": judged.words})
