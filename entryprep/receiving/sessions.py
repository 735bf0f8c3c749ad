"""Sessions of a judging: when they are, how many rounds of flights fit into each, what of them a judge is away for."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

from entryprep.errors import EntryprepError
from entryprep.text import fold

MINUTES_A_FLIGHT = 90  # of eight to ten beers, ten minutes each: common practice
BEERS_A_DAY = 35  # what a judge tastes in a day: 30 to 40, common practice
NOON, EVENING = 12 * 60, 17 * 60
_DAYS = (
    ("mon", "monday", "montag", "lundi", "lunes", "mo"),
    ("tue", "tues", "tuesday", "dienstag", "mardi", "martes", "di"),
    ("wed", "wednesday", "mittwoch", "mercredi", "miercoles", "mi"),
    ("thu", "thur", "thurs", "thursday", "donnerstag", "jeudi", "jueves", "do"),
    ("fri", "friday", "freitag", "vendredi", "viernes", "fr"),
    ("sat", "saturday", "samstag", "sonnabend", "samedi", "sabado", "sa"),
    ("sun", "sunday", "sonntag", "dimanche", "domingo", "so"),
)
WEEKDAYS = {word: day for day, words in enumerate(_DAYS) for word in words}
NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


class SessionError(EntryprepError, ValueError):
    """A session that cannot be read; ``fix`` says how to write it."""


@dataclass(frozen=True)
class Session:
    """One session: its name, the day it is on (0 Monday to 6), its date where known, start and end in minutes."""

    name: str
    weekday: int
    start: int
    end: int
    date: dt.date | None = None
    rounds: int = 0

    @property
    def day(self) -> str:
        """What tells its day from others."""
        return self.date.isoformat() if self.date else str(self.weekday)

    @property
    def flights(self) -> int:
        """How many flights a judge sits in, one after the other: as told, else by its length, at least one."""
        return self.rounds or max(1, (self.end - self.start) // MINUTES_A_FLIGHT)


_TIME = r"(\d{1,2})(?:[:.h](\d{2}))?\s*(am|pm|uhr|h)?"
_SESSION = re.compile(
    rf"^\s*(?P<day>\d{{4}}-\d{{2}}-\d{{2}}|[^\W\d]+\.?)\s+{_TIME}\s*(?:-|–|to|bis|à|a)\s*{_TIME}\s*(?:x\s*(?P<rounds>\d))?\s*$",
    re.IGNORECASE,
)
_WRITE = "write a day and its hours, such as 'Sat 09:30-12:30' or '2027-03-13 14:00-17:00 x2' for two flights"


def minutes(hour: str, minute: str | None, mark: str | None) -> int | None:
    """Minutes after midnight of a time of day, or None for none."""
    value = int(hour) + (12 if (mark or "").lower() == "pm" and int(hour) < 12 else 0)
    value = 0 if (mark or "").lower() == "am" and value == 12 else value
    past = int(minute or 0)
    return value * 60 + past if value <= 24 and past < 60 and value * 60 + past <= 24 * 60 else None


def read_session(text: str) -> Session:
    """A session as a person writes it: ``Sat 09:30-12:30``. Raises SessionError."""
    match = _SESSION.match(text)
    start = minutes(match[2], match[3], match[4]) if match else None
    end = minutes(match[5], match[6], match[7]) if match else None
    if match is None or start is None or end is None or start >= end:
        raise SessionError(f"{text.strip()[:40]} is no session", _WRITE)
    date: dt.date | None = None
    if match["day"][0].isdigit():
        try:
            date = dt.date.fromisoformat(match["day"])
        except ValueError:
            raise SessionError(f"{match['day']} is no day of the calendar", _WRITE) from None
    weekday = date.weekday() if date else WEEKDAYS.get(fold(match["day"]))
    if weekday is None:
        raise SessionError(f"{match['day'][:20]} is no day of the week", _WRITE)
    return Session(" ".join(text.split()), weekday, start, end, date, int(match["rounds"] or 0))


def read_sessions(text: str) -> tuple[Session, ...]:
    """Sessions with commas or line ends between, in the order of time. Raises SessionError."""
    return in_order([read_session(part) for part in re.split(r"[,;\n]", text) if part.strip()])


def in_order(sessions: Sequence[Session]) -> tuple[Session, ...]:
    """Sessions by day and hour; days of the week without a date as they first come."""
    first = {session.day: place for place, session in reversed(list(enumerate(sessions)))}
    return tuple(sorted(sessions, key=lambda s: (s.date or dt.date.min, first[s.day], s.start)))
