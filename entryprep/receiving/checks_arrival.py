"""Checks on what arrived: numbers, bottles, their condition, dates."""

from __future__ import annotations

import datetime as dt
import re

from entryprep.formats.cells import count_cell, day_cell
from entryprep.quantities import DAYS_PER_MONTH, QuantityError
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration
from entryprep.tables.letterwords import questions


def entry_number(check: CheckIn, about: Declaration) -> None:
    """The entry number: missing, or in an earlier row already."""
    if not about.text("entry"):
        if check.reader.column("entry"):
            check.reader.tell(about, "entry-number-missing", "entry")
        return
    first = check.first_row(about.entry, about.row.number)
    if first:
        check.reader.tell(about, "number-twice", "entry", {"number": about.entry, "first": first})


_BROKEN = re.compile(r"broken|broke\b|smashed|cracked|shattered|exploded|burst|empty", re.IGNORECASE)
_DOUBTFUL = re.compile(r"leak|gush|low fill|underfill|loose|rust|swollen|bulg|damag|wet|open|label|mark", re.IGNORECASE)
_SOUND = re.compile(r"^\s*(?:no|not|none|un|nothing)\b", re.IGNORECASE)


def bottles(check: CheckIn, about: Declaration) -> None:
    """Bottles fewer than wanted, and what their condition means for who opens them."""
    have: int | None = None
    if about.text("bottles"):
        try:
            have = count_cell(about.text("bottles"))
        except QuantityError as error:
            check.reader.tell(about, "bottles-unreadable", "bottles", {"problem": error.message, "hint": error.fix})
    if check.bottles and have is not None and have < check.bottles:
        values = {"have": have, "needed": check.bottles, "source": "the number of bottles that check-in was told"}
        check.reader.tell(about, "bottles-too-few", "bottles", values, milder=have > 0)
        about.questions.append(questions(about.language).other["bottles"].format(have=have, want=check.bottles))
    condition = about.text("condition")
    if condition and not _SOUND.match(condition):
        if _BROKEN.search(condition):
            check.reader.tell(about, "bottle-broken", "condition", {"condition": condition})
        elif _DOUBTFUL.search(condition):
            check.reader.tell(about, "bottle-doubtful", "condition", {"condition": condition})


def dates(check: CheckIn, about: Declaration) -> None:
    """Days that cannot be read or stand in the wrong order, and beer past its best."""
    days: dict[str, dt.date] = {}
    for name in ("brewed", "packaged", "received"):
        text = about.text(name)
        if text:
            try:
                day = day_cell(text, check.day)
            except QuantityError as error:
                check.reader.tell(about, "date-unreadable", name, {"problem": error.message, "hint": error.fix})
                continue
            if day is not None:
                days[name] = day
    for first, then in (("brewed", "packaged"), ("packaged", "received"), ("brewed", "received")):
        if first in days and then in days and days[first] > days[then]:
            values = {"first": first, "first_day": days[first], "then": then, "then_day": days[then]}
            check.reader.tell(about, "dates-disagree", then, values)
            return
    judged = check.day or days.get("received")
    if judged and "packaged" in days and about.style and about.style.best_within_months:
        months = (judged - days["packaged"]).days / DAYS_PER_MONTH
        if months > about.style.best_within_months:
            best = f"{about.style.best_within_months:g} months"
            values = {"age": f"{months:.0f} months", "style": about.style.name, "best": best}
            check.reader.tell(about, "past-best", "packaged", values)
