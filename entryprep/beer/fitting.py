"""Fit: how well a beer sits in one style, from 0 to 100, vital by vital, trait by trait.

The score of a vital is its expected membership (see ``membership``); the whole is the weighted geometric mean over the
vitals the style ranges, so one wild vital cannot be averaged away. A vital that is not known counts as one that fits
most likely (:data:`UNKNOWN`): it lowers the stated confidence and is never a hit. Traits and additions that do not
belong count against the beer; those that do belong add nothing, for they make up for no miss.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from entryprep.beer.membership import expected_membership
from entryprep.beer.traits import ORDERED, step_away
from entryprep.tables.style import Range, Style
from entryprep.vitals import KINDS_OF_VITAL, Reading, Vitals, amount

WEIGHTS = {"og": 1.0, "fg": 1.0, "abv": 1.0, "ibu": 1.0, "srm": 1.0, "co2": 0.25}
# Slack: how far outside the range a vital may lie before it counts for nothing: a least amount in its own
# unit, or half the range's width if that is more (common practice: what a judge would still forgive).
LEAST_SLACK = {"og": 0.004, "fg": 0.003, "abv": 0.4, "ibu": 5.0, "srm": 2.0, "co2": 0.4}
SLACK_SHARE = 0.5
FLOOR = 1e-6
UNKNOWN = 0.8  # membership of a vital nobody knows, in a style the beer may well be: common practice, an assumption
BLACK_SRM = 40.0  # beyond it a glass is black to any eye, whatever an instrument says (common practice)
# how much a trait that does not belong counts beside a vital
TRAIT_WEIGHTS = {
    "fermentation": 1.0,
    "clarity": 0.4,
    "hops": 0.6,
    "hop_kind": 0.4,
    "malt": 0.6,
    "yeast": 0.6,
    "sourness": 1.0,
    "grain": 0.4,
    "smoke": 1.0,
}
SCALES = (*ORDERED, "malt")  # whose values lie beside each other: from grain by way of toast to roast
ADDITION_WEIGHT = 1.0
HARDLY_MORE = 1.25  # errors, up to which a miss is told as hardly more than one
MORE = 2.0  # errors, from which a miss is told as more than one; below it is told how many
WRONG, BESIDE = 0.15, 0.5  # membership of what does not belong, and of what lies one step beside


@dataclass(frozen=True)
class Part:
    """One vital against its range.

    ``miss`` is the signed distance outside the range in the vital's unit (0 inside, below it negative),
    ``miss_in_errors`` the same in standard uncertainties, ``membership`` 0 to 1. ``how`` says how it sits: inside,
    near-edge, or how a miss stands to the error: within, hardly, times, more.
    """

    vital: str
    reading: Reading
    range: Range
    miss: float
    miss_in_errors: float
    membership: float
    how: str

    @property
    def words(self) -> str:
        """How it sits in its range, in one line."""
        if not self.miss:
            return "inside" if self.how == "inside" else "inside, near the edge"
        tool = "the prediction" if self.is_predicted else KINDS_OF_VITAL[self.vital].instrument
        size, side = amount(self.vital, abs(self.miss)), "over" if self.miss > 0 else "under"
        times = f"{abs(self.miss_in_errors):.1f} times"
        stands = {"within": "within", "hardly": "hardly more than", "times": times, "more": "more than"}[self.how]
        return f"{size} {side}; {stands} the error of {tool}"

    @property
    def is_predicted(self) -> bool:
        """Whether the error is a prediction's, and not the usual instrument's."""
        return self.reading.origin in {"recipe", "predicted"}


@dataclass(frozen=True)
class Misfit:
    """A trait or an addition that does not belong to a style: ``words`` one line, ``membership`` 0 to 1, its weight."""

    what: str
    words: str
    membership: float
    weight: float


@dataclass(frozen=True)
class Fit:
    """Fit of a beer to a style. ``score`` is None where nothing could be compared.

    ``confidence`` is the weight of the known vitals among those the style ranges, 0 to 1. ``base`` is
    the style whose ranges were used, where the style's vitals follow its base. ``misfits`` are the traits and additions
    that speak against it.
    """

    style: Style
    score: float | None
    confidence: float
    parts: tuple[Part, ...]
    base: Style | None = None
    misfits: tuple[Misfit, ...] = ()

    def part(self, vital: str) -> Part | None:
        """The part of one vital, if it could be compared."""
        return next((part for part in self.parts if part.vital == vital), None)


def best_first(result: Fit) -> tuple[float, str]:
    """A key to sort fits by, the best first: those of which nothing could be compared last, equal ones by style."""
    return (-(result.score if result.score is not None else -1.0), (result.base or result.style).id)


def slack(vital: str, range_: Range) -> float:
    """How far outside a range membership reaches, in the vital's unit."""
    return max(LEAST_SLACK[vital], SLACK_SHARE * range_.width)


def fitted(
    vitals: Vitals,
    style: Style,
    base: Style | None = None,
    traits: Mapping[str, str] | None = None,
    strays: Iterable[str] = (),
) -> Fit:
    """Fit of ``vitals`` to ``style``; a specialty style without ranges is compared with its ``base``.

    ``traits`` are those that are known; ``strays`` the additions, in words, that are no part of the style.
    """
    source = base if base is not None and style.follows_base else style
    parts = tuple(
        _part(vital, vitals.known[vital], vitals.error(vital), range_)
        for vital, range_ in source.ranges.items()
        if vital in vitals.known and not _coloured_by_fruit(vital, vitals, source)
    )
    wanted = sum(WEIGHTS[vital] for vital in source.ranges)
    have = sum(WEIGHTS[part.vital] for part in parts)
    under = source if source is not style else None
    misfits = (*_trait_misfits(traits or {}, style, under), *(_stray(what) for what in strays))
    if not parts:
        return Fit(style, None, 0.0, (), under, misfits)
    logs = sum(WEIGHTS[part.vital] * math.log(max(part.membership, FLOOR)) for part in parts)
    logs += (wanted - have) * math.log(UNKNOWN)
    logs += sum(misfit.weight * math.log(misfit.membership) for misfit in misfits)
    return Fit(style, 100.0 * math.exp(logs / wanted), have / wanted, parts, under, misfits)


def _trait_misfits(traits: Mapping[str, str], style: Style, base: Style | None) -> list[Misfit]:
    """Traits that the style, or its base where it says nothing, does not have."""
    found = []
    for name, value in sorted(traits.items()):
        accepted = style.traits.get(name) or (base.traits.get(name) if base is not None else None)
        if accepted and value not in accepted:
            near = name in SCALES and step_away(name, value, accepted) == 1
            words = f"{name.replace('_', ' ')} {value}: expected {' or '.join(accepted)}"
            found.append(Misfit(name, words, BESIDE if near else WRONG, TRAIT_WEIGHTS[name]))
    return found


def _stray(what: str) -> Misfit:
    return Misfit(what, f"{what}: not part of this style", WRONG, ADDITION_WEIGHT)


def _coloured_by_fruit(vital: str, vitals: Vitals, style: Style) -> bool:
    """Whether a measured colour is that of the fruit, where the range is that of the beer before it."""
    measured = vital == "srm" and vitals.known["srm"].origin == "measured"
    return measured and style.srm_before_fruit and vitals.known["srm"].value > style.ranges["srm"].high


def _part(vital: str, reading: Reading, error: float, range_: Range) -> Part:
    value = min(reading.value, BLACK_SRM) if vital == "srm" else reading.value
    miss = value - range_.high if value > range_.high else min(value - range_.low, 0.0)
    miss = 0.0 if abs(miss) < 1e-9 else miss
    told = miss + reading.value - value if miss > 0 else miss  # how far by the instrument; the eye sees less of it
    in_errors = miss / error if error > 0 else math.copysign(math.inf, miss) if miss else 0.0
    membership = expected_membership(value, error, range_.low, range_.high, slack(vital, range_))
    how = _how(miss and in_errors, min(value - range_.low, range_.high - value) > error)
    return Part(vital, reading, range_, told, in_errors, membership, how)


def _how(in_errors: float, deep: bool) -> str:
    """How a vital sits in its range: ``in_errors`` its miss, ``deep`` inside by more than its error."""
    far = abs(in_errors)
    if not far:
        return "inside" if deep else "near-edge"
    return "within" if far < 1 else "hardly" if far < HARDLY_MORE else "times" if far < MORE else "more"
