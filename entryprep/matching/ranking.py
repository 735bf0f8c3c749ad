"""Ranking: which style is it? Shares that sum to 1, with one share for "none of these".

share ∝ prior · Π p_k/width_k · Π P(trait | style), p_k = Φ((high−x)/u) − Φ((low−x)/u). A narrow style that
fits says more than a wide one; that is what dividing by the width does. Range edges are soft, since published
tables disagree with each other: u² is the reading's error squared plus (EDGE_BLUR × width)².
Of og, fg and abv only two are counted, since the third follows from them. Where they are og and fg, the style's
strength cuts its rectangle of gravities down to a part: the factor is P(abv inside) over the share of the rectangle
that is inside. Carbonation is not counted: it is the packager's choice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from entryprep.brewing.alcohol import abv, abv_slopes
from entryprep.matching.fitting import Fit, amount, fit
from entryprep.matching.membership import chance_inside
from entryprep.matching.traits import additions_log_chance, traits_log_chance
from entryprep.matching.vitals import Reading, Vitals
from entryprep.quantities import QuantityError
from entryprep.records.style import ADDITIONS, TRAITS, Range, Style
from entryprep.records.table import StyleTable, load_styles

EDGE_BLUR = 0.1
STRENGTH_BLUR = 0.5
NONE_PRIOR = 0.01
SPECIALTY_PRIOR = 0.1  # of a specialty category against a style, while nothing is known of additions
CLOSE = 2.0  # two shares within this factor are a tie to be told
# The span of beer: where nothing is known of a style's range, a vital is spread evenly over this.
SPAN = {
    "og": Range(1.020, 1.130),
    "fg": Range(0.995, 1.040),
    "abv": Range(2.0, 15.0),
    "ibu": Range(0.0, 120.0),
    "srm": Range(1.0, 50.0),
}
_TINY = 1e-300


@dataclass(frozen=True)
class Suggestion:
    """One style as an answer: its share among all answers (0 to 1), its fit, and why."""

    style: Style
    share: float
    fit: Fit
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Ranking:
    """All styles by share, highest first; ``none_share`` is the share of "none of these"."""

    shares: tuple[tuple[Style, float], ...]
    none_share: float

    @property
    def close(self) -> tuple[Style, ...]:
        """The styles whose share is within a factor of two of the first, if there is more than one."""
        if not self.shares:
            return ()
        top = self.shares[0][1]
        near = tuple(style for style, share in self.shares if share * CLOSE >= top)
        return near if len(near) > 1 else ()


def counted_vitals(vitals: Vitals) -> tuple[str, ...]:
    """The vitals a ranking counts: ibu, srm, and of og, fg, abv two that were not derived.

    Carbonation is the packager's choice and does not say which style a beer is.
    """
    known = vitals.known
    strength = [name for name in ("og", "fg", "abv") if name in known and known[name].origin != "derived"]
    return (*strength[:2], *(name for name in ("ibu", "srm") if name in known))


def checked_traits(traits: Mapping[str, str] | None) -> dict[str, str]:
    """Traits by name, refusing what is not in TRAITS. Raises QuantityError with the values known."""
    result: dict[str, str] = {}
    for name, value in (traits or {}).items():
        if name not in TRAITS:
            raise QuantityError(f"{name} is not a trait", f"traits known: {', '.join(TRAITS)}")
        if value not in TRAITS[name]:
            raise QuantityError(f"{value} is not a value of {name}", f"values known: {', '.join(TRAITS[name])}")
        result[name] = value
    return result


def rank(
    vitals: Vitals,
    traits: Mapping[str, str] | None = None,
    styles: Iterable[Style] | None = None,
    additions: Iterable[str] | None = None,
) -> Ranking:
    """Rank styles for a beer. ``additions`` None says nothing is known of them, empty that there are none.

    Raises QuantityError for a trait or addition that is not known.
    """
    known = checked_traits(traits)
    kinds = None if additions is None else tuple(additions)
    for kind in kinds or ():
        if kind not in ADDITIONS:
            raise QuantityError(f"{kind} is not a kind of addition", f"kinds known: {', '.join(ADDITIONS)}")
    choices = tuple(load_styles() if styles is None else styles)
    counted = [(name, vitals.known[name].value, vitals.error(name)) for name in counted_vitals(vitals)]
    pair = {"og", "fg"} <= {name for name, _, _ in counted}
    strength = vitals.get("abv") if pair else None
    logs = [_log_share(style, counted, known, kinds, strength) for style in choices]
    logs.append(_none_log_share(len(choices), counted, known))
    top = max(logs)
    weights = [math.exp(value - top) for value in logs]
    total = sum(weights)
    shares = [(style, weight / total) for style, weight in zip(choices, weights, strict=False)]
    shares.sort(key=lambda pair: (-pair[1], pair[0].id))
    return Ranking(tuple(shares), weights[-1] / total)


def _log_share(
    style: Style,
    counted: Sequence[tuple[str, float, float]],
    traits: Mapping[str, str],
    additions: tuple[str, ...] | None,
    strength: Reading | None,
) -> float:
    total = math.log(SPECIALTY_PRIOR) if style.specialty and additions is None else 0.0
    for name, value, error in counted:
        total += _vital_log_density(style.ranges.get(name, SPAN[name]), value, error)
    if strength is not None and {"og", "fg", "abv"} <= style.ranges.keys():
        inside = _chance_of_strength(style.ranges["abv"], strength.value, strength.error or 0.0)
        total += math.log(max(inside, _TINY)) - _log_share_of_gravities(style.ranges)
    if traits:
        total += traits_log_chance(style, traits)
    if additions is not None:
        total += additions_log_chance(style, additions)
    return total


def _vital_log_density(range_: Range, value: float, error: float) -> float:
    width = range_.high - range_.low
    spread = math.sqrt(error * error + (EDGE_BLUR * width) ** 2) * math.sqrt(2.0)
    inside = 0.5 * (math.erfc((value - range_.high) / spread) - math.erfc((value - range_.low) / spread))
    return math.log(max(inside, _TINY) / width)


def _chance_of_strength(range_: Range, value: float, error: float) -> float:
    return chance_inside(value, math.hypot(error, STRENGTH_BLUR * range_.width), range_.low, range_.high)


@lru_cache(maxsize=2048)
def _share_of_gravities(og: Range, fg: Range, strength: Range) -> float:
    """log of the share of the og × fg rectangle whose strength lies in range, strength taken as normal over it."""
    middle_og, middle_fg = (og.low + og.high) / 2, (fg.low + fg.high) / 2
    by_og, by_fg = abv_slopes(middle_og, middle_fg)
    spread = math.hypot(by_og * og.width, by_fg * fg.width) / math.sqrt(12.0)
    return math.log(max(_chance_of_strength(strength, abv(middle_og, middle_fg), spread), 1e-3))


def _log_share_of_gravities(ranges: Mapping[str, Range]) -> float:
    return _share_of_gravities(ranges["og"], ranges["fg"], ranges["abv"])


def _none_log_share(count: int, counted: Sequence[tuple[str, float, float]], traits: Mapping[str, str]) -> float:
    total = math.log(NONE_PRIOR * max(count, 1))
    total -= sum(math.log(SPAN[name].width) for name, _, _ in counted)
    return total - sum(math.log(len(TRAITS[name])) for name in traits)


def suggest(
    vitals: Vitals,
    traits: Mapping[str, str] | None = None,
    table: StyleTable | None = None,
    limit: int = 5,
    additions: Iterable[str] | None = None,
) -> list[Suggestion]:
    """The styles that suit a beer best, at most ``limit``, each with share, fit and reasons.

    Works from any two vitals. Shares are among all styles of ``table`` and "none of these", so those of a
    short list sum to less than 1. Raises QuantityError as :func:`rank`.
    """
    kinds = None if additions is None else tuple(additions)
    ranking = rank(vitals, traits, table, kinds)
    return [explained(vitals, traits or {}, kinds, *pair) for pair in ranking.shares[: max(limit, 0)]]


def explained(
    vitals: Vitals, traits: Mapping[str, str], additions: tuple[str, ...] | None, style: Style, share: float
) -> Suggestion:
    """A ranked style with its fit and the reasons for and against it."""
    result = fit(vitals, style)
    reasons = [
        f"{part.vital} {amount(part.vital, part.reading.value)}: {part.words}" for part in result.parts if part.miss
    ]
    if result.parts and not reasons:
        reasons.append("every known vital is inside")
    for name, value in sorted(traits.items()):
        accepted = style.traits.get(name)
        if accepted:
            agrees = value in accepted
            reasons.append(
                f"{_plain(name)} {value}: {'as expected' if agrees else 'expected ' + ' or '.join(accepted)}"
            )
    if additions is not None:
        reasons += _addition_reasons(style, additions)
    return Suggestion(style, share, result, tuple(reasons))


def _addition_reasons(style: Style, additions: tuple[str, ...]) -> list[str]:
    own = dict.fromkeys((*style.takes, *style.traits.get("additions", ()), *style.may_have))
    said = [f"{kind}: belongs here" for kind in additions if kind in own]
    said += [f"{kind}: not part of this style" for kind in additions if kind not in own]
    missing = [kind for kind in style.takes if kind not in additions]
    return said + [f"{kind}: wanted here, none declared" for kind in missing]


def _plain(name: str) -> str:
    return name.replace("_", " ")
