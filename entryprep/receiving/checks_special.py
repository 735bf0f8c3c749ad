"""Checks on special beers: can the base be one, do the additions belong there, is the dose that is told enough?"""

from __future__ import annotations

from entryprep.beer.basefit import base_problem
from entryprep.beer.dosing import telling
from entryprep.beer.placement import misplaced
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration


def base_holds(check: CheckIn, about: Declaration) -> None:
    """A base must be a beer of its own: no specialty category, and not the style declared itself."""
    problem = base_problem(about.style, about.base)
    if problem:
        check.reader.tell(about, "base-refused", "base", {"problem": problem})


def belongs(check: CheckIn, about: Declaration) -> None:
    """Whether the kinds of addition that are named belong where the beer is declared."""
    beer, style = about.beer, about.style
    told = misplaced(beer, style) if beer is not None and style is not None else ()
    if beer is not None and told:
        names = " or ".join(check.table.styles[i].name for i in beer.route.to if i in check.table.styles)
        values = {"kinds": ", ".join(told), "where": names, "why": beer.route.why}
        check.reader.tell(about, "style-routed-elsewhere", "style", values)


def doses(check: CheckIn, about: Declaration) -> None:
    """Doses told in grams per litre: too little to be tasted, or so much that it hides the base."""
    for verdict, rule in telling(about.beer.verdicts, about.style) if about.beer is not None else ():
        check.reader.tell(about, rule, "specials", {"what": verdict.addition.what, "words": verdict.words})
