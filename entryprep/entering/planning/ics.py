"""The season's days as iCalendar (RFC 5545): one event a day, with an alarm, an id that stays, and the place's clock.

A day that an organiser sets runs by the clock at the competition's place where its time zone is known: it begins and
ends there at midnight. Every other day is an all-day event, which has no time zone and holds wherever one is.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Sequence
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from entryprep.entering.planning.calendar import OF_THE_ORGANISER, Day
from entryprep.entering.planning.zones import zone_of
from entryprep.entering.season import Season

if TYPE_CHECKING:
    from icalendar.cal.component import Component

PRODUCT = "-//entryprep//season//EN"
AT_NINE = dt.timedelta(hours=9)
# days before, at nine in the morning, on which a calendar is to remind one: time to do what is to be done
REMIND_DAYS = {"brew": 7, "package": 3, "conditioned": 0, "register": 3, "send": 2, "deliver": 1, "judge": 1}


def season_key(season: Season) -> str:
    """What tells one season from another: the name of its folder."""
    return season.folder.resolve().name if season.folder is not None else "season"


def uid(season: Season, day: Day) -> str:
    """The id of an event (RFC 5545, 3.8.4.7): the same whenever the season's days are written, whatever the day."""
    seed = "/".join((season_key(season), day.competition_id, day.batch_id, day.kind))
    return f"{hashlib.sha256(seed.encode()).hexdigest()[:24]}@entryprep"


def ics(season: Season, days: Sequence[Day], today: dt.date) -> bytes:
    """The calendar file; the same bytes for the same days and the same ``today``, which is its DTSTAMP."""
    from icalendar import Calendar, Timezone  # noqa: PLC0415 - only a calendar file needs it

    made = Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    zones = {c: zone_of(season.competitions[c]) for c in {day.competition_id for day in days} if c}
    used = sorted({zone for zone in (_zone(day, zones) for day in days) if zone})
    if used:
        first, last = min(day.day for day in days), max(day.day for day in days)
        # a year more on either side, so that the change of clocks before and after is there
        span = (first.replace(year=first.year - 1, day=1), last.replace(year=last.year + 1, day=1))
        for zone in used:
            made.add_component(Timezone.from_tzinfo(ZoneInfo(zone), zone, *span))
    for day in days:
        made.add_component(_event(season, day, _zone(day, zones), today))
    return bytes(made.to_ical())


def _zone(day: Day, zones: dict[str, str | None]) -> str | None:
    return zones.get(day.competition_id) if day.kind in OF_THE_ORGANISER else None


def _event(season: Season, day: Day, zone: str | None, today: dt.date) -> Component:
    from icalendar import Event  # noqa: PLC0415

    event = Event()
    event.add("uid", uid(season, day))
    event.add("dtstamp", dt.datetime.combine(today, dt.time(), tzinfo=dt.UTC))
    event.add("summary", day.words)
    if day.detail:
        event.add("description", day.detail)
    competition = season.competitions.get(day.competition_id)
    if competition is not None and day.kind in {"deliver", "judge"}:
        place = ", ".join(part for part in (competition.place, competition.state, competition.country) if part)
        if place:
            event.add("location", place)
    after = day.day + dt.timedelta(days=1)
    if zone is None:
        event.add("dtstart", day.day)
        event.add("dtend", after)
    else:
        clock = ZoneInfo(zone)
        event.add("dtstart", dt.datetime.combine(day.day, dt.time(), tzinfo=clock))
        event.add("dtend", dt.datetime.combine(after, dt.time(), tzinfo=clock))
    event.add("transp", "TRANSPARENT")  # a day to remember, not one on which one is busy
    event.add("categories", [day.kind])
    event.add_component(_alarm(day))
    return event


def _alarm(day: Day) -> Component:
    from icalendar import Alarm  # noqa: PLC0415

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", day.words)
    alarm.add("trigger", AT_NINE - dt.timedelta(days=REMIND_DAYS[day.kind]))
    return alarm
