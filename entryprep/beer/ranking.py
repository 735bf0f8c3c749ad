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
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from entryprep.beer.fitting import Fit
from entryprep.beer.likelihood import SPAN, prepared
from entryprep.beer.traits import stray_chance
from entryprep.quantities import QuantityError
from entryprep.tables.style import ADDITIONS, TRAITS, Style
from entryprep.tables.things import ICE_REMOVED, Thing
from entryprep.vitals import Reading, Vitals, stated

NONE_PRIOR = 0.01
CLOSE = 2.0  # two shares within this factor are a tie to be told
CLEAR_SHARE = 0.8  # of the first style, from which nothing more is asked


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
    def settled(self) -> bool:
        """Whether nothing more need be asked: the first style is clear, or there is none."""
        return not self.shares or self.shares[0][1] >= CLEAR_SHARE


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


def checked_kinds(additions: Iterable[str] | None) -> tuple[str, ...] | None:
    """Kinds of addition, each once, refusing what is none. Raises QuantityError with the kinds known."""
    if additions is None:
        return None
    kinds = tuple(dict.fromkeys(additions))
    for kind in kinds:
        if kind not in ADDITIONS:
            raise QuantityError(f"{kind} is not a kind of addition", f"kinds known: {', '.join(ADDITIONS)}")
    return kinds


def rank_styles(
    vitals: Vitals,
    traits: Mapping[str, str],
    styles: Iterable[Style],
    additions: tuple[Thing, ...] | None = None,
    base: Style | None = None,
    base_vitals: Vitals | None = None,
    factors: Mapping[str, float] | None = None,
    inferred: Mapping[str, tuple[float, ...]] | None = None,
    among: Iterable[Style] | None = None,
    freed: Collection[str] = (),
) -> Ranking:
    """Rank styles for a beer; where ``among`` is given, only those of the styles, the others being bases at most.

    ``additions`` None says nothing is known of them, empty that there are none.

    A specialty category has no vitals of its own: it is as likely as its base beer, the declared ``base`` if there
    is one, else any of the styles; ``base_vitals`` are those of the beer underneath if they differ. ``factors`` leans
    to or from styles by id, as the routing rules do; ``inferred`` are traits of which each value is spoken for in part,
    in the order of TRAITS; those that are known outrank them. ``freed`` are ids of styles declared at a
    strength in their own words. Traits and kinds are checked already (``checked_traits``, ``checked_kinds``).
    """
    choices = prepared(tuple(styles))
    counted, strength = _counted(vitals)
    below = _counted(base_vitals) if base_vitals is not None else None
    every: dict[str, str | tuple[float, ...]] = {**(inferred or {}), **traits}
    logs = choices.log_shares(counted, strength, every, additions, base, below, freed)
    if factors:
        logs = [log + math.log(factors.get(s.id, 1.0)) for log, s in zip(logs, choices.styles, strict=True)]
    ranked = choices.styles
    if among is not None:
        wanted = {style.id for style in among}
        kept = [(style, log) for style, log in zip(ranked, logs, strict=True) if style.id in wanted]
        ranked, logs = tuple(style for style, _ in kept), [log for _, log in kept]
    logs.append(_none_log_share(len(ranked), counted, every, additions))
    top = max(logs)
    weights = [math.exp(value - top) for value in logs]
    total = sum(weights)
    # by share, and by id where shares are the same: the sort is stable
    by_id = choices.by_id if among is None else sorted(range(len(ranked)), key=[s.id for s in ranked].__getitem__)
    order = sorted(by_id, key=weights.__getitem__, reverse=True)
    return Ranking(tuple([(ranked[i], weights[i] / total) for i in order]), weights[-1] / total)


def _counted(vitals: Vitals) -> tuple[list[tuple[str, float, float]], Reading | None]:
    """The vitals that are counted, and the strength where it is counted beside both gravities."""
    counted = [(name, vitals.known[name].value, vitals.error(name)) for name in counted_vitals(vitals)]
    both = {"og", "fg"} <= {name for name, _, _ in counted}
    return counted, vitals.get("abv") if both else None


def _none_log_share(
    count: int,
    counted: Sequence[tuple[str, float, float]],
    traits: Iterable[str],
    additions: Sequence[Thing] | None,
) -> float:
    """What is none of the styles has things added as seldom as a style that does not know them."""
    total = math.log(NONE_PRIOR * max(count, 1))
    total += sum(math.log(stray_chance(kind)) for kind in {thing.kind for thing in additions or ()})
    total -= sum(math.log(SPAN[name].width) for name, _, _ in counted)
    return total - sum(math.log(len(TRAITS[name])) for name in traits)


def explained(
    style: Style, share: float, result: Fit, traits: Mapping[str, str], additions: tuple[Thing, ...] | None
) -> Suggestion:
    """A ranked style with its fit and what speaks against it; what is as it should be is not listed."""
    reasons = [f"{stated(part.vital, part.reading.value)}: {part.words}" for part in result.parts if part.miss]
    if result.parts and not reasons:
        reasons.append("every known vital is inside")
    compared = [(name, value, style.traits[name]) for name, value in sorted(traits.items()) if name in style.traits]
    reasons += [
        f"{_plain(name)} {value}: expected {' or '.join(accepted)}"
        for name, value, accepted in compared
        if value not in accepted
    ]
    if additions is not None:
        reasons += _addition_reasons(style, additions)
    return Suggestion(style, share, result, tuple(reasons))


def _addition_reasons(style: Style, additions: tuple[Thing, ...]) -> list[str]:
    kinds = dict.fromkeys(thing.kind for thing in additions)
    strange = {thing.kind for thing in additions if not style.knows(thing) and ICE_REMOVED not in thing.names}
    iced = any(ICE_REMOVED in thing.names and not style.knows(thing) for thing in additions)
    if iced:
        kinds = dict.fromkeys(thing.kind for thing in additions if ICE_REMOVED not in thing.names)
    said = [f"{kind}: belongs here" for kind in kinds if kind not in strange]
    said += [f"{kind}: not part of this style" for kind in kinds if kind in strange]
    said += ["ice taken out: judged as the strength it now has"] if iced else []
    missing: list[str] = [kind for kind in style.takes if kind not in kinds]
    if style.takes_any and not set(style.takes_any) & set(kinds):
        missing.append(" or ".join(style.takes_any))
    return said + [f"{kind}: wanted here, none declared" for kind in missing]


def _plain(name: str) -> str:
    return name.replace("_", " ")
