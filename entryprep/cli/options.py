"""Options that several commands take, each read and refused in one way."""

from __future__ import annotations

import datetime as dt

from entryprep.cli.boundary import UsageProblem


def day_option(name: str, text: str) -> dt.date | None:
    """A day, or None where none is given. Raises UsageProblem, in the option's name, for what is no date."""
    try:
        return dt.date.fromisoformat(text) if text else None
    except ValueError:
        raise UsageProblem(f"{name} {text} is not a date", "write year-month-day, such as 2027-03-14") from None


def the_day(today: str) -> dt.date:
    """The day dates are judged by: that of ``--today``, else the day it is."""
    return day_option("--today", today) or dt.date.today()
