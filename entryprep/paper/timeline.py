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
from entryprep.text import day_words

TOP, STEP, SIZE = 8 * MM, 12.0, 9.0
GAP = 3  # points between a mark and what another day says


class Timeline(Flowable):  # type: ignore[misc]
    """Days in order of time; ``today`` is marked, and what is over is hollow. ``named``: say the competition too."""

    def __init__(
        self, days: Sequence[Milestone], width: float, today: dt.date | None = None, named: bool = True
    ) -> None:
        super().__init__()
        self.width, self.today = width, today
        self.texts: dict[dt.date, str] = {}
        for each in sorted(days, key=lambda each: each.day):
            words = f"{each.competition}: {each.title.lower()}" if named else each.title
            words += f" ({each.note})" if each.note else ""
            before = self.texts.get(each.day)
            self.texts[each.day] = f"{before}; {words}" if before else words
        every = [*self.texts, *([today] if today else [])]
        self.first, self.last = min(every), max(every)
        self.lanes = self._stairs()
        self.height = TOP + 3 * MM + STEP * (max(self.lanes.values(), default=0) + 1)

    def _x(self, day: dt.date) -> float:
        span = max((self.last - self.first).days, 1)
        return 2 * MM + (self.width - 4 * MM) * (day - self.first).days / span

    def _shown(self, day: dt.date) -> tuple[str, str, float]:
        """The day, its words, and where they begin: at its mark, or ending there where the page would end before."""
        date = day_words(day)
        lead = width_pt(f"{date}  ", BOLD, SIZE)
        words = " ".join(fitted(self.texts[day], REGULAR, self.width - lead - 6, SIZE, SIZE, 1).lines)
        wide = lead + width_pt(words, REGULAR, SIZE)
        return date, words, min(self._x(day) - 1, self.width - wide)

    def _stairs(self) -> dict[dt.date, int]:
        """The step of each day's words: from the last day back, below all whose line comes down through them."""
        lanes: dict[dt.date, int] = {}
        for day in sorted(self.texts, reverse=True):
            date, words, left = self._shown(day)
            right = left + width_pt(f"{date}  ", BOLD, SIZE) + width_pt(words, REGULAR, SIZE) + GAP
            crossed = [lanes[other] for other in lanes if left - GAP <= self._x(other) <= right]
            met = [lanes[other] for other in lanes if self._shown(other)[2] <= right]
            lanes[day] = max([-1, *crossed, *met]) + 1
        return lanes

    def draw(self) -> None:
        """Draw it."""
        canvas, axis = self.canv, self.height - TOP
        canvas.setLineWidth(1)
        canvas.line(0, axis, self.width, axis)
        canvas.setLineWidth(0.4)
        for number in range((self.last - self.first).days + 1):
            day = self.first + dt.timedelta(days=number)
            if day.weekday() == 0:
                canvas.line(self._x(day), axis, self._x(day), axis + 1.2 * MM)
        if self.today is not None:
            canvas.setFont(BOLD, SIZE)
            x = self._x(self.today)
            canvas.drawString(max(x - 10, 0), axis + 2.6 * MM, f"today, {day_words(self.today)}")
            canvas.setLineWidth(2)
            canvas.line(x, axis - 1.6 * MM, x, axis + 1.6 * MM)
        for day, lane in self.lanes.items():
            date, words, left = self._shown(day)
            y = axis - 3 * MM - STEP * (lane + 1) + 3
            canvas.setLineWidth(0.4)
            canvas.line(self._x(day), axis, self._x(day), y + SIZE * 0.75)
            over = self.today is not None and day < self.today
            draw_line(canvas, left, y, date, REGULAR if over else BOLD, SIZE)
            draw_line(canvas, left + width_pt(f"{date}  ", BOLD, SIZE), y, words, REGULAR, SIZE)
        for day in self.texts:
            draw_dot(canvas, self._x(day), axis, hollow=self.today is not None and day < self.today)
