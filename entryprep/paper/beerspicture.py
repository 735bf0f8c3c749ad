"""One picture of all beers: a line each for OG, FG, strength, bitterness and colour, every beer a lettered mark.

Plain SVG without script. A mark has the beer's colour where that is known, and always its letters, so that nothing
hangs on colour alone; a thin line is its standard error.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape

from entryprep.brewing.swatch import beer_rgb
from entryprep.entering.planning.chart import PICTURED, Pictured
from entryprep.vitals import amount, span, title_of

WIDTH, LEFT, RIGHT = 760, 30, 30
RADIUS, LANE, TITLE, SCALE = 9, 21, 24, 26
LEGEND_COLUMN, LEGEND_LINE = 230, 20
# the least span that a line shows, so that beers alike do not look far apart (common practice of what differs at all)
LEAST_SPAN = {"og": 0.020, "fg": 0.010, "abv": 2.0, "ibu": 20.0, "srm": 10.0}
STEPS = (1.0, 2.0, 5.0)


def beers_picture(beers: Sequence[Pictured], title: str = "The beers of the season") -> str:
    """The picture as an SVG document; the same text for the same beers. Linear in beers but for marks that overlap."""
    letters = {beer.batch_id: _letters(i) for i, beer in enumerate(beers)}
    parts, top = [], 34.0
    for vital in PICTURED:
        drawn, height = _line(vital, beers, letters, top)
        parts += drawn
        top += height
    legend, height = _legend(beers, letters, top + 8)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {top + height + 16:.0f}" role="img" '
        f'aria-label="{escape(title)}" font-family="sans-serif" font-size="12" fill="#111">'
        f'<rect width="100%" height="100%" fill="#fff"/>'
        f'<text x="{LEFT}" y="22" font-size="15" font-weight="bold">{escape(title)}</text>'
    )
    return head + "".join([*parts, *legend]) + "</svg>\n"


def _letters(place: int) -> str:
    """A to Z, then AA to AZ, BA and so on."""
    name = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def _line(vital: str, beers: Sequence[Pictured], letters: dict[str, str], top: float) -> tuple[list[str], float]:
    """The marks of one vital and the height they take; beers that overlap are stacked."""
    known = [(beer, beer.vitals[vital]) for beer in beers if vital in beer.vitals]
    lacking = [letters[beer.batch_id] for beer in beers if vital not in beer.vitals]
    said = f" (not known: {', '.join(lacking)})" if lacking else ""
    parts = [f'<text x="{LEFT}" y="{top + 14:.1f}"><tspan font-weight="bold">{title_of(vital)}</tspan>{said}</text>']
    if not known:
        return parts, TITLE
    low, high, step = _scale(vital, [reading.value for _, reading in known])

    def at(value: float) -> float:
        share = min(max((value - low) / (high - low), 0.0), 1.0)
        return LEFT + share * (WIDTH - LEFT - RIGHT)

    ends: list[float] = []  # of each lane, the right edge of its last mark
    marks = []
    for beer, reading in sorted(known, key=lambda pair: (pair[1].value, pair[0].batch_id)):
        x = at(reading.value)
        lane = next((i for i, end in enumerate(ends) if x - RADIUS >= end), len(ends))
        ends[lane:] = [x + RADIUS, *ends[lane + 1 :]]
        marks.append((beer, reading.value, reading.error or 0.0, x, lane))
    base = top + TITLE + len(ends) * LANE
    errors = [
        f'<line x1="{at(value - error):.1f}" x2="{at(value + error):.1f}" y1="{y:.1f}" y2="{y:.1f}" stroke="#777"/>'
        for _, value, error, _, lane in marks
        for y in [base - lane * LANE - RADIUS - 2]
    ]
    parts += errors  # below all marks
    for beer, value, _, x, lane in marks:
        y = base - lane * LANE - RADIUS - 2
        fill, ink = _fill(beer)
        name = letters[beer.batch_id]
        told = f"{name}: {beer.beer}, {amount(vital, value)}"
        parts.append(
            f"<g><title>{escape(told)}</title>"
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{RADIUS}" fill="{fill}" stroke="#111"/>'
            f'<text x="{x:.1f}" y="{y + 3.5:.1f}" font-size="{10 if len(name) < 2 else 8}" text-anchor="middle" '
            f'fill="{ink}">{name}</text></g>'
        )
    parts.append(f'<line x1="{LEFT}" x2="{WIDTH - RIGHT}" y1="{base:.1f}" y2="{base:.1f}" stroke="#111"/>')
    for i in range(round((high - low) / step) + 1):
        value = low + i * step
        parts.append(
            f'<line x1="{at(value):.1f}" x2="{at(value):.1f}" y1="{base:.1f}" y2="{base + 4:.1f}" stroke="#111"/>'
            f'<text x="{at(value):.1f}" y="{base + 16:.1f}" font-size="10" text-anchor="middle">'
            f"{span(vital, value, value).split('-')[0]}</text>"
        )
    return parts, base - top + SCALE


def _scale(vital: str, values: Sequence[float]) -> tuple[float, float, float]:
    """Low, high and step of a scale with some eight steps of 1, 2 or 5 that holds every value."""
    low, high = min(values), max(values)
    wide = max(high - low, LEAST_SPAN[vital])
    middle = (low + high) / 2
    power = 10.0 ** math.floor(math.log10(wide / 8))
    step = next((power * each for each in STEPS if power * each >= wide / 8), power * 10)
    first = math.floor((middle - wide / 2) / step - 1e-9)
    last = math.ceil((middle + wide / 2) / step + 1e-9)
    if vital in {"abv", "ibu", "srm"}:
        first = max(first, 0)
    return first * step, last * step, step


def _fill(beer: Pictured) -> tuple[str, str]:
    """Colour of the mark and of the letters on it: that of the beer in a thin layer, or white."""
    if "srm" not in beer.vitals:
        return "#fff", "#111"
    rgb = beer_rgb(max(beer.vitals["srm"].value, 0.0))
    red, green, blue = (_linear(channel / 255) for channel in rgb)
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    # whichever stands out more; one of the two always does by 4.5 to 1 (WCAG 2.1, relative luminance and contrast)
    white, black = 1.05 / (light + 0.05), (light + 0.05) / 0.05
    return "#{:02x}{:02x}{:02x}".format(*rgb), "#fff" if white > black else "#000"


def _linear(share: float) -> float:
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def _legend(beers: Sequence[Pictured], letters: dict[str, str], top: float) -> tuple[list[str], float]:
    columns = max((WIDTH - LEFT - RIGHT) // LEGEND_COLUMN, 1)
    lines = -(-len(beers) // columns)
    parts = []
    for i, beer in enumerate(beers):
        x, y = LEFT + (i // max(lines, 1)) * LEGEND_COLUMN, top + (i % max(lines, 1)) * LEGEND_LINE + 12
        name = beer.beer if len(beer.beer) <= 30 else beer.beer[:29] + "…"
        label = f'<tspan font-weight="bold">{letters[beer.batch_id]}</tspan> {escape(name)}'
        parts.append(f'<text x="{x}" y="{y:.1f}">{label}</text>')
    return parts, lines * LEGEND_LINE
