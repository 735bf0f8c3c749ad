"""A beer beside a style as the rows of a forest plot, in plain values; terminal, page and paper draw them.

All rows share one axis, in widths of each vital's own range: 0 is its low end, 1 its high end. So one band, from 0 to
1, runs through all rows, and how far a beer misses can be compared from vital to vital.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from entryprep.beer.fitting import Fit
from entryprep.tables.style import Range
from entryprep.text import several
from entryprep.vitals import KINDS_OF_VITAL, Vitals, amount, span, title_of

REACH = 1.0  # how far the axis goes on either side of the band
START, END = -REACH, 1.0 + REACH
HEADS = ("under", "in style", "over")
ARROWS = "an arrow: further outside than the axis goes"


@dataclass(frozen=True)
class Row:
    """One vital of a style. Places are in range-widths, None where nothing is known.

    ``low`` and ``high`` are the ends of the error bar (one standard uncertainty), ``other`` is the same beer in the
    range of another style. ``value``, ``error`` and ``range`` carry no unit, ``unit`` has it; ``miss`` is the distance
    outside ("0.014 over", empty inside), ``errors`` the same in standard uncertainties; ``words`` a sentence's worth.
    """

    vital: str
    title: str
    unit: str
    value: str
    error: str
    range: str
    at: float | None
    low: float
    high: float
    other: float | None
    miss: str
    errors: float
    words: str

    @property
    def known(self) -> bool:
        """Whether there is anything to draw of this beer."""
        return self.at is not None

    @property
    def said(self) -> str:
        """The row in words, for those who do not see it."""
        shown = f"{self.value}{self.unit}" if self.known else self.words
        return f"{self.title}: {shown}; range {self.range}{self.unit}{f'; {self.miss}' if self.miss else ''}"


def forest(fit: Fit, other: Fit | None = None, vitals: Vitals | None = None) -> tuple[Row, ...]:
    """A row for every vital that the style ranges, known or not; none where it has no ranges of its own or a base's.

    ``other`` is the fit of the same beer to a second style, ``vitals`` say what is known but was not compared.
    """
    source = fit.base or fit.style
    second = (other.base or other.style).ranges if other is not None else {}
    return tuple(_row(fit, vital, range_, other, second, vitals) for vital, range_ in source.ranges.items())


def beyond(at: float) -> int:
    """-1 or 1 for a place off the axis to the left or right, 0 on it."""
    return -1 if at < START else 1 if at > END else 0


def side_words(at: float | None) -> str:
    """On which side of a range a place lies, in the words over the plot; empty where nothing is known."""
    return "" if at is None else HEADS[0] if at < 0 else HEADS[2] if at > 1 else HEADS[1]


def clipped(at: float) -> float:
    """The nearest place on the axis."""
    return min(max(at, START), END)


def legend(fit: Fit, underneath: bool, other: Fit | None, other_underneath: bool = False) -> tuple[str, str]:
    """What the dot and the hollow dot stand for, always saying whether the beer is the one that is served.

    The second is empty where there is no other style.
    """
    dot = f"{_which(underneath)} in the range of {_whose(fit)}"
    if other is None:
        return dot, ""
    same = "the same" if underneath == other_underneath else _which(other_underneath)
    return dot, f"{same} in the range of {_whose(other)}"


def compared(fit: Fit) -> str:
    """On how many vitals a fit stands: ``from all 6 vitals``, ``from 5 of 6 vitals``."""
    count, whole = len(fit.parts), len((fit.base or fit.style).ranges)
    return f"from all {several(count, 'vital')}" if count == whole else f"from {count} of {several(whole, 'vital')}"


def off_the_axis(rows: Sequence[Row]) -> tuple[bool, bool]:
    """Whether an arrow stands for the beer anywhere, and whether one does for the other style."""
    beer = any(row.at is not None and beyond(row.at) for row in rows)
    return beer, any(row.at is not None and row.other is not None and beyond(row.other) for row in rows)


def runner_up(fit: Fit, others: Iterable[Fit]) -> Fit | None:
    """The first of other fits that has another range to show."""
    own = fit.base or fit.style
    return next((o for o in others if o.parts and (o.base or o.style) is not own and o.style is not fit.style), None)


def _whose(fit: Fit) -> str:
    return f"the base, {fit.base.name}" if fit.base else fit.style.name


def _which(underneath: bool) -> str:
    return "the beer underneath, before what was added," if underneath else "the beer as served"


def _row(
    fit: Fit, vital: str, range_: Range, other: Fit | None, second: dict[str, Range], vitals: Vitals | None
) -> Row:
    kind = KINDS_OF_VITAL[vital]
    ends = span(vital, range_.low, range_.high).replace("-", "–")
    part = fit.part(vital)
    if part is None:
        known = vitals is not None and vital in vitals
        words = "not known" if not known else "that of what was added" if vital == "srm" else "as served only"
        return Row(vital, title_of(vital), kind.unit, "", "", ends, None, 0.0, 0.0, None, "", 0.0, words)
    value, error = part.reading.value, part.reading.error or 0.0
    hollow = other.part(vital) if other is not None else None
    return Row(
        vital=vital,
        title=title_of(vital),
        unit=kind.unit,
        value=_bare(vital, value),
        error=_bare(vital, error) if error else "",
        range=ends,
        at=_widths(value, range_),
        low=_widths(value - error, range_),
        high=_widths(value + error, range_),
        other=_widths(hollow.reading.value, second[vital]) if hollow is not None else None,
        miss=f"{_bare(vital, abs(part.miss))} {'over' if part.miss > 0 else 'under'}" if part.miss else "",
        errors=part.miss_in_errors,
        words=part.words,
    )


def _widths(value: float, range_: Range) -> float:
    return (value - range_.low) / range_.width


def _bare(vital: str, value: float) -> str:
    """A value without its unit."""
    return amount(vital, value).removesuffix(KINDS_OF_VITAL[vital].unit)
