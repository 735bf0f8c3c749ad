"""Fit: how well a beer sits in one style, from 0 to 100, vital by vital.

The score of a vital is its expected membership (see ``membership``); the whole is the weighted geometric
mean over the vitals that are known, so one wild vital cannot be averaged away. What is not known lowers
the stated confidence and never counts as a hit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from entryprep.beer.membership import expected_membership
from entryprep.tables.style import Range, Style
from entryprep.vitals import KINDS_OF_VITAL, Reading, Vitals, amount

WEIGHTS = {"og": 1.0, "fg": 1.0, "abv": 1.0, "ibu": 1.0, "srm": 1.0, "co2": 0.25}
# Slack: how far outside the range a vital may lie before it counts for nothing: a least amount in its own
# unit, or half the range's width if that is more (common practice: what a judge would still forgive).
LEAST_SLACK = {"og": 0.004, "fg": 0.003, "abv": 0.4, "ibu": 5.0, "srm": 2.0, "co2": 0.4}
SLACK_SHARE = 0.5
FLOOR = 1e-6


@dataclass(frozen=True)
class Part:
    """One vital against its range.

    ``miss`` is the signed distance outside the range in the vital's unit (0 inside, below it negative),
    ``miss_in_errors`` the same in standard uncertainties, ``membership`` 0 to 1, ``words`` one line.
    """

    vital: str
    reading: Reading
    range: Range
    miss: float
    miss_in_errors: float
    membership: float
    words: str


@dataclass(frozen=True)
class Fit:
    """Fit of a beer to a style. ``score`` is None where nothing could be compared.

    ``confidence`` is the weight of the known vitals among those the style ranges, 0 to 1. ``base`` is
    the style whose ranges were used, where the style's vitals follow its base.
    """

    style: Style
    score: float | None
    confidence: float
    parts: tuple[Part, ...]
    base: Style | None = None

    def part(self, vital: str) -> Part | None:
        """The part of one vital, if it could be compared."""
        return next((part for part in self.parts if part.vital == vital), None)


def slack(vital: str, range_: Range) -> float:
    """How far outside a range membership reaches, in the vital's unit."""
    return max(LEAST_SLACK[vital], SLACK_SHARE * range_.width)


def fitted(vitals: Vitals, style: Style, base: Style | None = None) -> Fit:
    """Fit of ``vitals`` to ``style``; a specialty style without ranges is compared with its ``base``."""
    source = base if base is not None and style.specialty and not style.ranges else style
    parts = tuple(
        _part(vital, vitals.known[vital], vitals.error(vital), range_)
        for vital, range_ in source.ranges.items()
        if vital in vitals.known and not _coloured_by_fruit(vital, vitals, source)
    )
    wanted = sum(WEIGHTS[vital] for vital in source.ranges)
    have = sum(WEIGHTS[part.vital] for part in parts)
    if not parts:
        return Fit(style, None, 0.0, (), source if source is not style else None)
    logs = sum(WEIGHTS[part.vital] * math.log(max(part.membership, FLOOR)) for part in parts)
    score = 100.0 * math.exp(logs / have)
    return Fit(style, score, have / wanted, parts, source if source is not style else None)


def _coloured_by_fruit(vital: str, vitals: Vitals, style: Style) -> bool:
    """Whether a measured colour is that of the fruit, where the range is that of the beer before it."""
    measured = vital == "srm" and vitals.known["srm"].origin == "measured"
    return measured and style.srm_before_fruit and vitals.known["srm"].value > style.ranges["srm"].high


def _part(vital: str, reading: Reading, error: float, range_: Range) -> Part:
    value = reading.value
    miss = value - range_.high if value > range_.high else min(value - range_.low, 0.0)
    miss = 0.0 if abs(miss) < 1e-9 else miss
    in_errors = miss / error if error > 0 else math.copysign(math.inf, miss) if miss else 0.0
    membership = expected_membership(value, error, range_.low, range_.high, slack(vital, range_))
    words = _words(vital, miss, in_errors, value, error, range_)
    return Part(vital, reading, range_, miss, in_errors, membership, words)


def _words(vital: str, miss: float, in_errors: float, value: float, error: float, range_: Range) -> str:
    if miss == 0:
        edge = min(value - range_.low, range_.high - value)
        return "inside" if edge > error else "inside, near the edge"
    size = amount(vital, abs(miss))
    side = "over" if miss > 0 else "under"
    tool = KINDS_OF_VITAL[vital].instrument
    if abs(in_errors) < 1:
        return f"{size} {side}; within the error of {tool}"
    if abs(in_errors) < 2:
        return f"{size} {side}; hardly more than the error of {tool}"
    return f"{size} {side}; more than the error of {tool}"
