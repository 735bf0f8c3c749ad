"""``calendar``: every day of the season worked back, in the terminal, as a picture, and as iCalendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.options import the_day
from entryprep.cli.reading import opened, written
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.entering.planning.calendar import Day, season_days
from entryprep.entering.season import Season
from entryprep.text import day_words, several

NARROW = 60  # columns below which the line of time is left out
LINE = 20


def run(folder: Path, planned: bool, out: Path | None, picture: Path | None, today: str, as_json: bool) -> None:
    """``entryprep calendar``."""
    day, season = the_day(today), opened(folder)
    if planned:
        season = _planned(season, day)
    days = season_days(season, day)
    if not days:
        fix = "add entries to entries.yaml, or --planned to count a plan's"
        raise UsageProblem("no entry has a date", fix)
    if out is not None:
        from entryprep.entering.planning.ics import ics

        written(out, ics(season, days, day))
    if picture is not None:
        from entryprep.paper.timelinepicture import timeline_picture

        written(picture, timeline_picture(days, _names(season), day).encode())
    if as_json:
        print_json(_as_json(season, days, folder, [p.as_posix() for p in (out, picture) if p is not None]))
        return
    _print(days, day)
    for path in (out, picture):
        if path is not None:
            console().print(paragraph(path.as_posix()))


def _planned(season: Season, day: dt.date) -> Season:
    """The season with the entries of its plan, which are not written anywhere."""
    from entryprep.entering.planning.planner import Wishes, plan
    from entryprep.entering.planning.writing import planned_entries, with_entries

    return with_entries(season, planned_entries(season, plan(season, day, Wishes(gains=0)).chosen))


def _names(season: Season) -> dict[str, str]:
    names = {batch_id: batch.name for batch_id, batch in season.batches.items()}
    return names | {c: competition.name for c, competition in season.competitions.items()}


def _print(days: Sequence[Day], today: dt.date) -> None:
    screen = console()
    first, last = min(today, days[0].day), max(today, days[-1].day)
    wide = screen.width >= NARROW
    screen.print(paragraph(_answer(days, today), "bold"))
    rows = []
    for day in days:
        line = (_line(day.day, today, first, last),) if wide else ()
        late = "LATE: " if day.late else ""
        detail = f" ({day.detail})" if day.detail else ""
        rows.append((day_words(day.day), *line, f"{late}{day.words}{detail}"))
    head = ("day", f"|{first:%Y-%m} … {last:%Y-%m}", "") if wide else ("day", "")
    screen.print(table(head, rows))
    if wide:
        screen.print(paragraph("In the line of time: | is today, # the day."))


def _answer(days: Sequence[Day], today: dt.date) -> str:
    """What is next, when, and how much is late already."""
    late = sum(day.late for day in days)
    after = f" {several(late, 'day is', 'days are')} late already." if late else ""
    coming = next((day for day in days if day.day >= today and not day.late), None)
    if coming is None:
        return f"No day is to come.{after}"
    left = (coming.day - today).days
    when = "today" if not left else f"in {several(left, 'day')}"
    return f"Next: {day_words(coming.day)}, {when}: {coming.words}.{after}"


def _line(day: dt.date, today: dt.date, first: dt.date, last: dt.date) -> str:
    length = max((last - first).days, 1)
    cells = ["."] * LINE
    cells[round((today - first).days / length * (LINE - 1))] = "|"
    cells[round((day - first).days / length * (LINE - 1))] = "#"
    return "".join(cells)


def _as_json(season: Season, days: Sequence[Day], folder: Path, files: list[str]) -> dict[str, Any]:
    from entryprep.entering.planning.ics import uid

    listed = [
        {
            "day": day.day.isoformat(),
            "opens": day.opens.isoformat() if day.opens else None,
            "kind": day.kind,
            "competition": day.competition_id or None,
            "batch": day.batch_id or None,
            "words": day.words,
            "detail": day.detail,
            "late": day.late,
            "uid": uid(season, day),
        }
        for day in days
    ]
    return {"season": folder.as_posix(), "days": listed, "files": files}
