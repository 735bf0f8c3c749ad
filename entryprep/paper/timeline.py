"""Days on a line: where each lies in time, its words on a stair below it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from reportlab.platypus import Flowable

from entryprep.entering.plan import Milestone
from entryprep.paper.canvas import draw_line
from entryprep.paper.fonts import BOLD, REGULAR, width_pt
from entryprep.paper.forestplot import draw_dot
from entryprep.paper.placing import MM
from entryprep.paper.text import fitted
from entryprep.paper.webtext import safe
from entryprep.text import day_words

EDGE, STEP, SIZE = 3.2 * MM, 12.0, 9.0
GAP = 3  # points between a line and words


class Timeline(Flowable):  # type: ignore[misc]
    """Days in order of time; ``today`` is marked, and what is over is hollow. ``named``: say the competition too.

    What has room to the right of its mark stands on a stair below the line, the last day highest; the rest stands above
    it, to the left of its mark, the first day lowest: so no line of a day runs through the words of another.
    """

    def __init__(
        self, days: Sequence[Milestone], width: float, today: dt.date | None = None, named: bool = True
    ) -> None:
        super().__init__()
        self.width, self.today = width, today
        self.texts = _texts(days, today, named)
        self.first, self.last = min(self.texts), max(self.texts)
        below = [day for day in self.texts if self._x(day) + self._wide(day) <= width]
        self.below = self._stairs(sorted(below, reverse=True), -1)
        self.above = self._stairs(sorted(set(self.texts) - set(below)), 1)
        self.down, self.up = (EDGE + STEP * (max(lanes.values(), default=-1) + 1) for lanes in (self.below, self.above))
        self.height = self.down + self.up

    def as_html(self, _deeper: int) -> str:
        """The same as a list."""
        items = "".join(
            f'<li><time datetime="{day.isoformat()}"><b>{safe(day_words(day))}</b></time> {safe(self.texts[day])}'
            f"{' (over)' if self.today is not None and day < self.today else ''}</li>"
            for day in sorted(self.texts)
        )
        return f'<ol class="days">{items}</ol>'

    def _x(self, day: dt.date) -> float:
        span = max((self.last - self.first).days, 1)
        return 2 * MM + (self.width - 4 * MM) * (day - self.first).days / span

    def _said(self, day: dt.date) -> tuple[str, str]:
        date = f"{day_words(day)}  "
        room = self.width - width_pt(date, BOLD, SIZE) - 4 * MM
        return date, " ".join(fitted(self.texts[day], REGULAR, room, SIZE, SIZE, 1).lines)

    def _wide(self, day: dt.date) -> float:
        date, words = self._said(day)
        return width_pt(date, BOLD, SIZE) + width_pt(words, REGULAR, SIZE) + GAP

    def _left(self, day: dt.date, side: int) -> float:
        """Where the words of a day begin: at its mark below the line, so that they end there above it."""
        return self._x(day) if side < 0 else max(0.0, self._x(day) - self._wide(day))

    def _stairs(self, days: Sequence[dt.date], side: int) -> dict[dt.date, int]:
        """The step of each day's words, away from the line, beyond all that they or their line would meet."""
        lanes: dict[dt.date, int] = {}
        for day in days:
            left, right = self._left(day, side), self._left(day, side) + self._wide(day)
            met = [
                lane
                for other, lane in lanes.items()
                if (begins := self._left(other, side)) <= right and begins + self._wide(other) >= left
            ]
            lanes[day] = max(met, default=-1) + 1
        return lanes

    def draw(self) -> None:
        """Draw it."""
        canvas, axis = self.canv, self.down
        canvas.setLineWidth(1)
        canvas.line(0, axis, self.width, axis)
        canvas.setLineWidth(0.4)
        for number in range((self.last - self.first).days + 1):
            day = self.first + dt.timedelta(days=number)
            if day.weekday() == 0:
                canvas.line(self._x(day), axis - 0.8 * MM, self._x(day), axis + 0.8 * MM)
        for lanes, side in ((self.below, -1), (self.above, 1)):
            for day, lane in lanes.items():
                self._day(day, axis + side * (EDGE + STEP * lane) - (STEP if side < 0 else 0) + 3, side)
        for day in self.texts:
            if day == self.today:
                canvas.setLineWidth(2.4)
                canvas.line(self._x(day), axis - 2 * MM, self._x(day), axis + 2 * MM)
            else:
                draw_dot(canvas, self._x(day), axis, hollow=self.today is not None and day < self.today)

    def _day(self, day: dt.date, y: float, side: int) -> None:
        canvas, x, left = self.canv, self._x(day), self._left(day, side)
        canvas.setLineWidth(0.4)
        canvas.line(x, self.down, x, y + (SIZE * 0.75 if side < 0 else -1))
        date, words = self._said(day)
        left += GAP if side < 0 else 0
        draw_line(canvas, left, y, date, BOLD, SIZE)
        draw_line(canvas, left + width_pt(date, BOLD, SIZE), y, words, REGULAR, SIZE)


def _texts(days: Sequence[Milestone], today: dt.date | None, named: bool) -> dict[dt.date, str]:
    """What each day is, those of one competition together; today among them."""
    said: dict[dt.date, dict[str, list[str]]] = {today: {"": ["today"]}} if today is not None else {}
    for each in sorted(days, key=lambda each: each.day):
        words = each.label
        own = said.setdefault(each.day, {}).setdefault(each.competition if named else "", [])
        own.append(f"{words} ({each.note})" if each.note else words)
    return {
        day: "; ".join(f"{name}: {', '.join(words)}" if name else ", ".join(words) for name, words in groups.items())
        for day, groups in said.items()
    }
