"""The season's days as one picture: a line for each beer and competition, a lettered mark for each day. Plain SVG."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from html import escape

from entryprep.entering.planning.calendar import KINDS, Day

WIDTH, LEFT, RIGHT, LINE, TOP = 900, 210, 24, 30, 66
# a letter and a shape for every kind of day, so that nothing hangs on colour
LETTERS = {
    "brew": "B",
    "package": "P",
    "conditioned": "C",
    "register": "R",
    "send": "S",
    "deliver": "D",
    "judge": "J",
}
WORDS = {
    "brew": "brew by",
    "package": "package by",
    "conditioned": "conditioned",
    "register": "register by",
    "send": "send by",
    "deliver": "deliver by",
    "judge": "judging",
}
_RADIUS = 9
_APART = 2 * _RADIUS + 1


def timeline_picture(
    days: Sequence[Day], names: Mapping[str, str], today: dt.date, title: str = "The season by day"
) -> str:
    """The picture as an SVG document; ``names`` are those of batches and competitions by id. Linear in days."""
    rows: dict[str, list[Day]] = {}
    for day in sorted(days, key=lambda day: bool(day.competition_id)):  # beers, then competitions; else as they come
        rows.setdefault(day.competition_id or day.batch_id, []).append(day)
    first = min([today, *(day.opens or day.day for day in days)])
    last = max([today, *(day.day for day in days)])
    length = max((last - first).days, 1)

    def at(day: dt.date) -> float:
        return LEFT + (day - first).days / length * (WIDTH - LEFT - RIGHT)

    height = TOP + len(rows) * LINE + 44
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" '
        f'aria-label="{escape(title)}" font-family="sans-serif" font-size="12" fill="#111">'
        f'<rect width="100%" height="100%" fill="#fff"/>'
        f'<text x="16" y="24" font-size="15" font-weight="bold">{escape(title)}</text>'
    ]
    bottom = TOP + len(rows) * LINE
    for month in _months(first, last):
        parts.append(
            f'<line x1="{at(month):.1f}" x2="{at(month):.1f}" y1="{TOP - 12}" y2="{bottom}" stroke="#ccc"/>'
            f'<text x="{at(month) + 3:.1f}" y="{TOP - 16}" font-size="10">{month:%Y-%m}</text>'
        )
    parts.append(
        f'<line x1="{at(today):.1f}" x2="{at(today):.1f}" y1="{TOP - 12}" y2="{bottom}" stroke="#111" '
        f'stroke-dasharray="4 3"/><text x="{at(today):.1f}" y="{bottom + 13}" font-size="10" '
        f'text-anchor="middle">today</text>'
    )
    for i, (key, row) in enumerate(rows.items()):
        parts += _row(names.get(key, key), row, TOP + i * LINE + LINE / 2, at)
    legend = ", ".join(f"{LETTERS[kind]} {WORDS[kind]}" for kind in KINDS if any(day.kind == kind for day in days))
    parts.append(f'<text x="16" y="{height - 10}" font-size="11">{legend}</text></svg>\n')
    return "".join(parts)


def _row(name: str, days: Sequence[Day], y: float, at: Callable[[dt.date], float]) -> list[str]:
    shown = name if len(name) <= 30 else name[:29] + "…"
    parts = [
        f'<text x="16" y="{y + 4:.1f}">{escape(shown)}</text>'
        f'<line x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{y:.1f}" y2="{y:.1f}" stroke="#eee"/>'
    ]
    for day in days:
        if day.opens is not None:  # a window: from its first day to its last
            parts.append(
                f'<line x1="{at(day.opens):.1f}" x2="{at(day.day):.1f}" y1="{y:.1f}" y2="{y:.1f}" stroke="#999" '
                f'stroke-width="4"/>'
            )
    edge = 0.0
    for day in days:
        x = max(at(day.day), edge)  # marks of days close together stand side by side
        edge = x + _APART
        own = day.kind in {"send", "judge"}
        fill, ink = ("#111", "#fff") if own else ("#fff", "#111")
        dashes = ' stroke-dasharray="3 2"' if day.late else ""
        said = f"{day.day} {day.words}{': ' if day.detail else ''}{day.detail}"
        parts.append(
            f"<g><title>{escape(said)}</title>"
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{_RADIUS}" fill="{fill}" stroke="#111"{dashes}/>'
            f'<text x="{x:.1f}" y="{y + 4:.1f}" font-size="11" text-anchor="middle" fill="{ink}">'
            f"{LETTERS[day.kind]}</text></g>"
        )
    return parts


def _months(first: dt.date, last: dt.date) -> list[dt.date]:
    """The firsts of the months inside a span; every third where they are many."""
    found, month = [], first.replace(day=1)
    while month <= last:
        if month >= first:
            found.append(month)
        month = (month.replace(day=28) + dt.timedelta(days=7)).replace(day=1)
    return found if len(found) <= 18 else [m for m in found if m.month % 3 == 1]
