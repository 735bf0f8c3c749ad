"""The season's days: for every entry what has to be done by when, worked back from where it goes."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from entryprep.entering.declaration import declared
from entryprep.entering.planning.dates import (
    Deadlines,
    bottled_on,
    brewing_days,
    conditioned_on,
    conditioning_days,
    deadlines,
    is_brewed,
    is_packaged,
    package_by,
)
from entryprep.entering.rules.dates import WAY_WORDS, best_within
from entryprep.entering.season import Entered, Season
from entryprep.entering.shipping import LAST_DAY
from entryprep.quantities import DAYS_PER_MONTH
from entryprep.text import several

KINDS = ("brew", "package", "conditioned", "register", "send", "deliver", "judge")
"""What a day is for, in the order in which things happen."""
OF_THE_ORGANISER = frozenset({"register", "deliver", "judge"})  # days that run by the clock at the competition's place


@dataclass(frozen=True)
class Day:
    """One day of the calendar. ``competition_id`` is empty for what concerns a beer alone, ``batch_id`` for what
    concerns a whole competition. ``words`` say what is done, ``detail`` why then. ``late``: it lies before today and
    is not done, as far as the records say."""

    day: dt.date
    kind: str
    competition_id: str
    batch_id: str
    words: str
    detail: str = ""
    late: bool = False
    opens: dt.date | None = None


def season_days(season: Season, today: dt.date) -> tuple[Day, ...]:
    """Every day that matters to the season's entries, in order; each once, however many entries share it.

    Brewing and packaging are told only of beers that are not packaged; the days of a competition only where a beer is
    entered. Linear in entries.
    """
    found: dict[tuple[str, str, str], Day] = {}
    groups: dict[str, list[Entered]] = {}
    for entered in season.entered:
        groups.setdefault(entered.competition_id, []).append(entered)
    for c, entries in groups.items():
        days = deadlines(season, c)
        for day in _of_competition(c, season.competitions[c].name, days, entries, today):
            found[day.kind, c, ""] = day
        for entered in entries:
            for day in _of_beer(season, entered, days, today):
                key = (day.kind, "", day.batch_id)
                if key not in found or day.day < found[key].day:  # the first competition that wants it sets the day
                    found[key] = day
    return tuple(sorted(found.values(), key=_order))


def _order(day: Day) -> tuple[dt.date, int, str, str]:
    return day.day, KINDS.index(day.kind), day.competition_id, day.batch_id


def _of_competition(c: str, name: str, days: Deadlines, entries: list[Entered], today: dt.date) -> list[Day]:
    made = []
    without = sum(not e.entry.number for e in entries)
    count = several(len(entries), "entry", "entries")
    if days.register_by:
        what = f"{count}, {without} without a number" if without else f"{count}, all with numbers"
        late = bool(without) and days.register_by < today
        words = f"{name}: register by this day"
        made.append(Day(days.register_by, "register", c, "", words, what, late, days.register_from))
    if days.send_by:
        bottles = several(sum(e.competition.bottles.count for e in entries), "bottle")
        transit = f", {several(days.transit_days, 'day')} on the way" if days.transit_days else ""
        words = f"{name}: {LAST_DAY[days.way].lower()} this day"
        made.append(Day(days.send_by, "send", c, "", words, f"{bottles} {WAY_WORDS[days.way]}{transit}"))
    if days.deliver_by:
        opens = f"not before {days.deliver_from}" if days.deliver_from else ""
        words = f"{name}: last day of delivery"
        made.append(Day(days.deliver_by, "deliver", c, "", words, opens, False, days.deliver_from))
    if days.judged:
        made.append(Day(days.judged, "judge", c, "", f"{name}: judging", count))
    return made


def _of_beer(season: Season, entered: Entered, days: Deadlines, today: dt.date) -> list[Day]:
    batch, b = entered.batch, entered.batch_id
    bottled, ready = bottled_on(batch), conditioned_on(batch)
    if is_packaged(batch, today):
        if ready is None or ready == bottled:  # of bottles without a date nobody can say since when they stand warm
            return []
        weeks = f"{conditioning_days(batch)} days warm since {bottled}"
        return [Day(ready, "conditioned", "", b, f"{batch.name}: conditioned", weeks)]
    last = package_by(batch, days)
    if last is None:
        return []
    name = season.competitions[entered.competition_id].name
    warm = conditioning_days(batch)
    made = []
    fresh = _fresh_from(season, entered, days)
    why = f"for {name}" + (f": {warm} days of conditioning before it is sent" if warm else "") + fresh
    made.append(Day(last, "package", "", b, f"{batch.name}: package by this day", why, last < today))
    if warm and days.send_by:
        made.append(Day(days.send_by, "conditioned", "", b, f"{batch.name}: conditioned by this day", f"for {name}"))
    if not is_brewed(batch, today):
        takes = brewing_days(batch)
        brew = last - dt.timedelta(days=takes)
        why = f"for {name}: about {takes} days to packaging"
        made.append(Day(brew, "brew", "", b, f"{batch.name}: brew by this day", why, brew < today))
    return made


def _fresh_from(season: Season, entered: Entered, days: Deadlines) -> str:
    best = best_within(declared(season.table, entered).style, entered.batch)
    if best is None or days.tasted is None:
        return ""
    first = days.tasted - dt.timedelta(days=int(best * DAYS_PER_MONTH))
    return f"; at its best if not packaged before {first}"
