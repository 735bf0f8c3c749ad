"""A season at a glance, as plain values: a line for each beer, the days that come, what is to be mended."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from entryprep.entering.plan import FitSheet, Milestone, Pressure
from entryprep.entering.season import Entered, Season
from entryprep.entering.shipping import milestones, pressures_packed, way_of
from entryprep.findings import Finding, Severity
from entryprep.text import several

REGISTRATION, OPENS = "Registration closes", "Not to arrive before"  # titles of days


@dataclass(frozen=True)
class BeerLine:
    """One beer of the overview: its sheet, the gas in its packed bottles, where it is entered, the day that comes."""

    sheet: FitSheet
    pressure: Pressure | None
    entered: tuple[str, ...]
    next_day: Milestone | None

    @property
    def wrong(self) -> str:
        """What is wrong with it, the gravest only: ``STOP``, ``3 errors``, ``1 warning``; empty where nothing is."""
        if self.sheet.stops:
            return "STOP"
        for severity in (Severity.ERROR, Severity.WARNING):
            count = sum(f.severity is severity for f in self.sheet.findings)
            if count:
                return several(count, severity.value)
        return ""


@dataclass(frozen=True)
class Task:
    """Something to be mended: of which beer (empty: of none), what was found and what to do about it."""

    beer: str
    finding: Finding
    danger: bool


@dataclass(frozen=True)
class Overview:
    """A season on one day: beers in order of entry, days in order of time, tasks with dangers first."""

    title: str
    as_of: dt.date
    beers: tuple[BeerLine, ...]
    days: tuple[Milestone, ...]
    tasks: tuple[Task, ...]

    @property
    def stops(self) -> tuple[Task, ...]:
        """What keeps bottles at home."""
        return tuple(task for task in self.tasks if task.danger)

    @property
    def coming(self) -> tuple[Milestone, ...]:
        """The days that are not over."""
        return tuple(day for day in self.days if day.day >= self.as_of)

    @property
    def over(self) -> tuple[Milestone, ...]:
        """The days that are over."""
        return tuple(day for day in self.days if day.day < self.as_of)


def overview(
    season: Season, chosen: Sequence[Entered], sheets: Iterable[FitSheet], findings: Sequence[Finding], today: dt.date
) -> Overview:
    """The overview of the entries chosen; ``sheets`` are those of ``fit_sheets``. Linear in entries and findings."""
    by_batch: dict[str, list[Entered]] = {}
    for entered in chosen:
        by_batch.setdefault(entered.batch_id, []).append(entered)
    names = dict.fromkeys(entered.competition_id for entered in chosen)
    days = {name: milestones(season.competitions[name], way_of(season, name)) for name in names}
    packed = pressures_packed(season, chosen)
    lines = tuple(_line(sheet, by_batch[sheet.batch_id], days, packed, today) for sheet in sheets)
    title = ", ".join(season.competitions[name].name for name in names)
    every = sorted((day for own in days.values() for day in own), key=lambda day: (day.day, day.competition))
    return Overview(title, today, lines, tuple(every), tuple(_tasks(lines, findings)))


def _line(
    sheet: FitSheet,
    own: Sequence[Entered],
    days: Mapping[str, Sequence[Milestone]],
    packed: Mapping[str, Pressure],
    today: dt.date,
) -> BeerLine:
    coming = [
        day
        for each in dict.fromkeys(entered.competition_id for entered in own)
        for day in days[each]
        if day.day >= today and day.title != OPENS and not (day.title == REGISTRATION and _registered(own, each))
    ]
    entered = tuple(f"{e.competition.name} {e.category.code}" for e in own)
    return BeerLine(sheet, packed.get(sheet.batch_id), entered, min(coming, key=lambda day: day.day, default=None))


def _registered(own: Sequence[Entered], competition_id: str) -> bool:
    """Whether all entries of a beer in a competition have their numbers."""
    return all(e.entry.number for e in own if e.competition_id == competition_id)


def _tasks(lines: Sequence[BeerLine], findings: Sequence[Finding]) -> list[Task]:
    """Everything found but notes, each once, under its beer's name where it is one beer's."""
    tasks: dict[Finding, Task] = {}
    for line in lines:
        for finding in line.sheet.findings:
            danger = finding.what in line.sheet.stops
            tasks.setdefault(finding, Task(line.sheet.batch_name, finding, danger))
    for finding in findings:
        tasks.setdefault(finding, Task("", finding, False))
    order = tuple(Severity)
    kept = (task for task in tasks.values() if task.finding.severity is not Severity.NOTE)
    return sorted(kept, key=lambda task: (not task.danger, order.index(task.finding.severity)))
