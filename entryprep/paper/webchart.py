"""The fit chart as inline SVG: the range as a band, the beer as a mark with its error; wide as its page, no script."""

from __future__ import annotations

from html import escape

from entryprep.beer.fitting import Fit, Part
from entryprep.vitals import amount, title_of

OUTSIDE = 0.6  # how much of the range's width is shown on either side of it
HEIGHT, MIDDLE = 44, 16  # pixels
DIAMOND = "M0 -7 L7 0 L0 7 L-7 0 Z"
BEYOND = {1: "M5 0 L-5 7 L-5 -7 Z", -1: "M-5 0 L5 7 L5 -7 Z"}


def fit_chart(fit: Fit) -> str:
    """All vitals of a fit, one row each: name, value, chart, words. Text is escaped."""
    return '<div class="chart">' + "".join(_row(part) for part in fit.parts) + "</div>"


def _row(part: Part) -> str:
    name, value = escape(title_of(part.vital)), escape(amount(part.vital, part.reading.value))
    return (
        f'<div class="vital"><p><b>{name}</b> <span class="value">{value}</span></p>{_svg(part)}'
        f'<p class="words">{escape(part.words)}</p></div>'
    )


def _svg(part: Part) -> str:
    low, high, span = part.range.low, part.range.high, part.range.width
    start, end = low - OUTSIDE * span, high + OUTSIDE * span

    def at(value: float) -> str:
        """Where a value lies, in hundredths of the width."""
        share = (min(max(value, start), end) - start) / (end - start) if end > start else 0.5
        return f"{share * 100:.2f}%"

    value, error = part.reading.value, part.reading.error or 0.0
    beyond = 0 if start <= value <= end else 1 if value > end else -1
    ranged = f"range {amount(part.vital, low)} to {amount(part.vital, high)}"
    said = f"{title_of(part.vital)}: {amount(part.vital, value)}; {ranged}"
    ends = "".join(
        f'<line class="mark" x1="{at(edge)}" x2="{at(edge)}" y1="{MIDDLE - 4}" y2="{MIDDLE + 4}"/>'
        for edge in (value - error, value + error)
    )
    band = _width(at(low), at(high))
    return (
        f'<svg role="img" width="100%" height="{HEIGHT}" aria-label="{escape(said)}">'
        f'<line class="axis" x1="0%" x2="100%" y1="{MIDDLE}" y2="{MIDDLE}"/>'
        f'<rect class="band" x="{at(low)}" width="{band}" y="{MIDDLE - 8}" height="16"/>'
        f'<line class="mark" x1="{at(value - error)}" x2="{at(value + error)}" y1="{MIDDLE}" y2="{MIDDLE}"/>{ends}'
        f'<svg x="{at(value)}" y="{MIDDLE}" class="spot"><path d="{BEYOND.get(beyond, DIAMOND)}"/></svg>'
        f'<text x="{at(low)}" y="{HEIGHT - 6}">{escape(amount(part.vital, low))}</text>'
        f'<text x="{at(high)}" y="{HEIGHT - 6}">{escape(amount(part.vital, high))}</text></svg>'
    )


def _width(left: str, right: str) -> str:
    return f"{float(right[:-1]) - float(left[:-1]):.2f}%"
