"""Charts of the page as inline SVG, wide as their column, no script: forest plot, places in ranges, gauge, days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from entryprep.entering.plan import Milestone, Pressure
from entryprep.paper.forest import END, HEADS, START, Row, beyond, clipped
from entryprep.paper.glass import glass_hex, glass_words
from entryprep.paper.webtext import safe
from entryprep.text import day_words
from entryprep.vitals import VITALS

DOT = 6  # pixels
ARROW = {1: "M0 0 L-11 6 L-11 -6 Z", -1: "M0 0 L11 6 L11 -6 Z"}
TICKS = ((-1.0, "−1", "start"), (0.0, "0", "middle"), (1.0, "1", "middle"), (2.0, "2", "end"))
MOST_SHOWN = 5.0  # volumes at the right end of a gauge


def forest_chart(rows: Sequence[Row]) -> str:
    """A forest plot: numbers at the sides, one axis and one band through all rows."""
    under, inside, over = HEADS
    words = "".join(
        f'<text x="{_at(at)}" y="14" class="{kind}">{safe(word)}</text>'
        for at, word, kind in ((START, under, "start"), (0.5, inside, "middle"), (END, over, "end"))
    )
    ticks = "".join(f'<text x="{_at(at)}" y="13" class="{kind}">{word}</text>' for at, word, kind in TICKS)
    head = f'<b>this beer</b><svg height="20" width="100%" aria-hidden="true">{words}</svg><b>range</b>'
    foot = f'<span></span><svg height="18" width="100%" aria-hidden="true">{ticks}</svg><span></span>'
    return f'<div class="forest">{head}{"".join(_row(row) for row in rows)}{foot}</div>'


def _row(row: Row) -> str:
    value = (
        f"<b>{safe(row.value)}{safe(row.unit)}</b>" if row.known else f'<span class="quiet">{safe(row.words)}</span>'
    )
    miss = f"<b>{safe(row.miss)}</b>" if row.miss else ""
    return (
        f'<p class="value">{safe(row.title)} {value}</p>{_svg(row)}'
        f'<p class="range">{safe(row.range)}{safe(row.unit)} {miss}</p>'
    )


def _svg(row: Row) -> str:
    band = (
        f'<rect class="band" x="{_at(0)}" width="{_wide(0, 1)}" y="0" height="100%"/>'
        f'<line class="edge" x1="{_at(0)}" x2="{_at(0)}" y1="0" y2="100%"/>'
        f'<line class="edge" x1="{_at(1)}" x2="{_at(1)}" y1="0" y2="100%"/>'
        '<line class="axis" x1="0%" x2="100%" y1="50%" y2="50%"/>'
    )
    marks = ""
    if row.at is not None:
        marks = f'<line class="mark" x1="{_at(row.low)}" x2="{_at(row.high)}" y1="50%" y2="50%"/>'
        marks += _mark(row.other, "other") if row.other is not None else ""
        marks += _mark(row.at, "spot")
    svg = f'<svg role="img" width="100%" height="100%" aria-label="{safe(row.said)}">{band}{marks}</svg>'
    return f'<div class="cell">{svg}</div>'


def _mark(at: float, kind: str) -> str:
    way = beyond(at)
    shape = f'<path d="{ARROW[way]}"/>' if way else f'<circle r="{DOT}"/>'
    return f'<svg x="{_at(at)}" y="50%" class="{kind}">{shape}</svg>'


def _at(at: float) -> str:
    """A place on the axis in hundredths of the width."""
    return f"{(clipped(at) - START) / (END - START) * 100:.2f}%"


def _wide(low: float, high: float) -> str:
    return f"{(high - low) / (END - START) * 100:.2f}%"


def places(rows: Sequence[Row]) -> str:
    """The place of each vital in its range, side by side, named below."""
    by_vital = {row.vital: row for row in rows}
    cell = 100 / len(VITALS)
    drawn = []
    for number, vital in enumerate(VITALS):
        left, wide = number * cell + 0.8, cell - 1.6
        row = by_vital.get(vital)
        if row is None:
            continue

        def x(at: float, left: float = left, wide: float = wide) -> float:
            return left + (clipped(at) - START) / (END - START) * wide

        drawn.append(f'<rect class="band" x="{x(0):.2f}%" width="{wide / 3:.2f}%" y="0" height="16"/>')
        drawn.append(f'<line class="axis" x1="{x(START):.2f}%" x2="{x(END):.2f}%" y1="8" y2="8"/>')
        drawn.append(f'<text x="{x(0.5):.2f}%" y="28" class="middle">{vital.upper()}</text>')
        if row.at is not None:
            way = beyond(row.at)
            shape = f'<path d="{ARROW[way]}" transform="scale(.7)"/>' if way else '<circle r="4"/>'
            drawn.append(f'<svg x="{x(row.at):.2f}%" y="8" class="small">{shape}</svg>')
    said = "; ".join(row.said for row in rows)
    label = f' role="img" aria-label="{safe(said)}"' if rows else ' aria-hidden="true"'
    return f'<svg class="places" width="100%" height="30"{label}>{"".join(drawn)}</svg>'


def colour_dot(srm: float | None) -> str:
    """A beer's colour as a dot; an empty ring where it is not known."""
    words, fill = (glass_words(srm), glass_hex(srm)) if srm is not None else ("colour not known", "none")
    return (
        f'<svg class="dot" width="26" height="26" role="img" aria-label="{safe(words)}">'
        f'<circle cx="13" cy="13" r="11" fill="{fill}" class="ring"/></svg>'
    )


def gas_words(gas: Pressure) -> str:
    """Volumes of CO2 beside what the bottle holds."""
    return f"{gas.volumes:.1f} volumes; {gas.bottle} usually holds {gas.usual:.1f}, at most {gas.most:.1f}"


def gauge(gas: Pressure) -> str:
    """Volumes of CO2 from 0 to 5 as a dot; grey above what the bottle is used to, dark above the most."""

    def x(volumes: float) -> float:
        return min(volumes, MOST_SHOWN) / MOST_SHOWN * 100

    zones = (("free", 0.0, gas.usual), ("band", gas.usual, gas.most), ("dark", gas.most, MOST_SHOWN))
    drawn = "".join(
        f'<rect class="{kind} edge" x="{x(start):.1f}%" width="{max(x(end) - x(start), 0):.1f}%" y="5" height="10"/>'
        for kind, start, end in zones
    )
    said = gas_words(gas)
    dot = f'<svg x="{x(gas.volumes):.1f}%" y="10" class="spot"><circle r="{DOT}"/></svg>'
    svg = f'<svg class="gauge" role="img" width="100%" height="20" aria-label="{safe(said)}">{drawn}{dot}</svg>'
    return f"{svg}<p>{safe(said)}.</p>"


def days_line(days: Sequence[Milestone], today: dt.date) -> str:
    """Days on a line from the first, or today, to the last; what is over is hollow, today a stroke."""
    every = [today, *(each.day for each in days)]
    first, span = min(every), max((max(every) - min(every)).days, 1)

    def x(day: dt.date) -> str:
        return f"{2 + (day - first).days / span * 96:.2f}%"

    dots = "".join(
        f'<svg x="{x(day)}" y="50%" class="{"other" if day < today else "spot"}"><circle r="{DOT}"/></svg>'
        for day in dict.fromkeys(each.day for each in days)
    )
    stroke = f'<line class="mark" x1="{x(today)}" x2="{x(today)}" y1="2" y2="22"/>'
    said = f"from {day_words(first)} to {day_words(max(every))}"
    axis = '<line class="axis" x1="0%" x2="100%" y1="50%" y2="50%"/>'
    return f'<svg role="img" width="100%" height="24" aria-label="{safe(said)}">{axis}{stroke}{dots}</svg>'
