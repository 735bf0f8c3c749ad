"""Checks on what arrived: numbers, bottles, their condition, dates."""

from __future__ import annotations

import datetime as dt
import re

from entryprep.findings import Severity
from entryprep.formats.cells import count_cell, day_cell
from entryprep.quantities import DAYS_PER_MONTH, QuantityError
from entryprep.receiving.declaration import Declaration
from entryprep.receiving.desk import Desk
from entryprep.tables.letterwords import questions

ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE


def entry_number(check: Desk, about: Declaration) -> None:
    """The entry number: missing, or in an earlier row already."""
    if not about.text("entry"):
        if check.reader.column("entry"):
            check.tell(about, "entry-number-missing", WARNING, "this row has no entry number", "give it one", "entry")
        return
    first = check.first_row(about.entry, about.row.number)
    if first:
        what = f"entry {about.entry} stands in row {first} already"
        check.tell(
            about, "entry-twice", ERROR, what, "give each entry a number of its own; both rows are kept", "entry"
        )


_BROKEN = re.compile(r"broken|broke\b|smashed|cracked|shattered|exploded|burst|empty", re.IGNORECASE)
_DOUBTFUL = re.compile(r"leak|gush|low fill|underfill|loose|rust|swollen|bulg|damag|wet|open|label|mark", re.IGNORECASE)
_SOUND = re.compile(r"^\s*(?:no|not|none|un|nothing)\b", re.IGNORECASE)


def bottles(check: Desk, about: Declaration) -> None:
    """Bottles fewer than wanted, and what their condition means for who opens them."""
    have: int | None = None
    if about.text("bottles"):
        try:
            have = count_cell(about.text("bottles"))
        except QuantityError as error:
            check.tell(about, "bottles-unreadable", WARNING, error.message, error.fix, "bottles")
    if check.bottles and have is not None and have < check.bottles:
        what = f"{have} of {check.bottles} bottles arrived"
        check.tell(
            about,
            "bottles-short",
            ERROR if have == 0 else WARNING,
            what,
            "ask for more, or judge fewer rounds",
            "bottles",
        )
        about.questions.append(questions().other["bottles"].format(have=have, want=check.bottles))
    condition = about.text("condition")
    if condition and not _SOUND.match(condition):
        if _BROKEN.search(condition):
            check.tell(about, "bottle-broken", ERROR, f"condition: {condition}", _GLASS, "condition")
        elif _DOUBTFUL.search(condition):
            check.tell(about, "bottle-doubtful", WARNING, f"condition: {condition}", _DOUBT, "condition")


_GLASS = "serve nothing from a broken or cracked bottle; count what is left and tell the entrant"
_DOUBT = "chill it, open it upright with eyes covered, and cover or remove marks that tell whose it is"


def dates(check: Desk, about: Declaration) -> None:
    """Days that cannot be read or stand in the wrong order, and beer past its best."""
    days: dict[str, dt.date] = {}
    for name in ("brewed", "packaged", "received"):
        text = about.text(name)
        if text:
            try:
                day = day_cell(text)
            except QuantityError as error:
                check.tell(about, "date-unreadable", NOTE, f"{error.message}: not used", error.fix, name)
                continue
            if day is not None:
                days[name] = day
    for first, then in (("brewed", "packaged"), ("packaged", "received"), ("brewed", "received")):
        if first in days and then in days and days[first] > days[then]:
            what = f"{first} {days[first]} is after {then} {days[then]}"
            check.tell(about, "dates-disagree", WARNING, what, "correct one of them", then)
            return
    judged = check.day or days.get("received")
    if judged and "packaged" in days and about.style and about.style.best_within_months:
        months = (judged - days["packaged"]).days / DAYS_PER_MONTH
        if months > about.style.best_within_months:
            best = f"{about.style.name} is best within {about.style.best_within_months:g}"
            what = f"{months:.0f} months in the bottle; {best}"
            check.tell(
                about, "past-its-best", NOTE, what, "tell the judges nothing; expect age in the glass", "packaged"
            )
