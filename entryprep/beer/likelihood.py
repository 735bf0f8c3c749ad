"""How likely a beer is in each of many styles: the numbers of a table laid out once, then read for every beer."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from operator import add

from entryprep.beer.membership import chance_inside
from entryprep.beer.mixing import mixed_shares
from entryprep.beer.traits import (
    LIVES_BY,
    addition_chance,
    group_log_chance,
    stray_chance,
    trait_chance,
    trait_chances,
)
from entryprep.brewing.alcohol import abv, abv_slopes
from entryprep.tables.style import ADDITIONS, TRAITS, Range, Style
from entryprep.tables.things import Thing
from entryprep.vitals import Reading

EDGE_BLUR = 0.1  # of a range's width: measured best on beers of another published table
STRENGTH_BLUR = 0.5
OF_THE_CULTURE = ("yeast", "clarity")  # traits of a wild beer that its base has otherwise
# how often a style is brewed beside a usual one: common practice, from memory; measured on two tables and on recipes
PRIORS = {"usual": 1.0, "local": 0.5, "rare": 0.5}
SPECIALTY_PRIOR = 0.1  # of a specialty category against a style, while nothing is known of additions
# The base of a special beer: the declared one, but for the shares of which another is meant or fits better, and of
# which the base is no classic style (assumptions).
BY_ANY_BASE, BY_NO_BASE = 0.10, 0.05
FREED_WIDTHS = {
    "og": 0.050,
    "fg": 0.015,
    "abv": 6.0,
}  # that session, usual and double versions of a style span (common practice)
GRAVITIES = ("og", "fg", "abv")
# The span of beer: where nothing is known of a style's range, a vital is spread evenly over this.
SPAN = {
    "og": Range(1.020, 1.130),
    "fg": Range(0.995, 1.040),
    "abv": Range(2.0, 15.0),
    "ibu": Range(0.0, 120.0),
    "srm": Range(1.0, 50.0),
}
_LEAST = 1e-60  # of a density, so that a product of a few stays a number
_1_BY_ROOT_2 = math.sqrt(0.5)
_DENSITIES_KEPT = 64

Counted = Sequence[tuple[str, float, float]]


class Prepared:
    """Styles with their ranges and trait chances laid out by column."""

    def __init__(self, styles: tuple[Style, ...]) -> None:
        self.styles = styles
        self._ranges = {
            name: [(r.low, r.high, r.width, (EDGE_BLUR * r.width) ** 2) for r in _column(styles, name)] for name in SPAN
        }
        ranges = self._ranges.items()
        self._halves = {name: [(low, high, 0.5 / w, blur) for low, high, w, blur in rows] for name, rows in ranges}
        self._densities: dict[tuple[str, float, float], list[float]] = {}
        self._narrowed: dict[tuple[str, float, float], list[float]] = {}
        self._traits: dict[tuple[str, str], list[float]] = {}
        self._additions: dict[tuple[Thing, ...], list[float]] = {}
        self._priors = [math.log(PRIORS[style.common]) for style in styles]
        self._shares: list[tuple[float, float, float, float]] | None = None
        self._follows = [i for i, style in enumerate(styles) if style.follows_base]
        self._bases = [i for i, style in enumerate(styles) if style.ranges]
        self.by_id = sorted(range(len(styles)), key=[style.id for style in styles].__getitem__)
        self._place = {style.id: i for i, style in enumerate(styles)}

    def log_shares(
        self,
        counted: Counted,
        strength: Reading | None,
        traits: Mapping[str, str | tuple[float, ...]],
        additions: tuple[Thing, ...] | None,
        base: Style | None,
        underneath: tuple[Counted, Reading | None] | None = None,
        freed: Collection[str] = (),
    ) -> list[float]:
        """log(prior × likelihood) of each style, in order; ``underneath`` are the base beer's vitals if they differ.

        A trait is a value, or how much each of its values is spoken for where it was inferred. Styles ``freed``, by id,
        are declared at a strength in their own words: their gravities are spread over all their versions.
        """
        logs = self._vitals(counted, strength)
        for place in (self._place[name] for name in freed if name in self._place):
            logs[place] = max(logs[place], self._freed(counted, place))
        counted_below, strength_below = (counted, strength) if underneath is None else underneath
        below = logs if underneath is None else self._vitals(counted_below, strength_below)
        columns = [(name, self._trait(name, value)) for name, value in sorted(traits.items())]
        plain = _added(logs, [column for _, column in columns])
        under: dict[tuple[bool, tuple[str, ...]], float] = {}  # most specialty categories leave all traits to the base
        for i in self._follows:
            own, wild = self.styles[i].traits, "culture" in self.styles[i].takes
            if "mixed-styles" in self.styles[i].declare:
                plain[i] = self._mixed(counted_below, strength_below, dict(columns), base)
                continue
            rest = tuple(name for name, _ in columns if name not in own and not (wild and name in OF_THE_CULTURE))
            if (wild, rest) not in under:
                rows = [c for name, c in columns if name in rest]
                if wild:
                    under[wild, rest] = self._wild(counted_below, rest, rows, base)
                else:
                    found = self._of_base(_added(below, rows), base, _anything(counted_below, rest))
                    if underneath is not None:  # brewers count a sugar to the base as often as not
                        served = self._of_base(_added(logs, rows), base, _anything(counted, rest))
                        found = _joined((0.5, found), (0.5, served))
                    under[wild, rest] = found
            plain[i] = under[wild, rest] + sum(column[i] for name, column in columns if name in own)
        plain = list(map(add, plain, self._priors))
        if additions is None:
            prior = math.log(SPECIALTY_PRIOR)
            return [log + prior if self.styles[i].specialty else log for i, log in enumerate(plain)]
        return list(map(add, plain, self._addition(additions)))

    def _wild(self, counted: Counted, rest: tuple[str, ...], rows: list[list[float]], base: Style | None) -> float:
        """log of the likelihood of a wild beer, whose base need not be a classic one: half as its base, half as any.

        How far it ferments is a matter of the culture, so final gravity and strength do not count.
        """
        kept = [item for item in counted if item[0] in {"og", "ibu", "srm"}]
        as_any = _anything(counted, rest)
        as_base = self._mean(_added(self._vitals(kept, None), rows), base)
        as_base -= sum(math.log(SPAN[name].width) for name, _, _ in counted if name not in {"og", "ibu", "srm"})
        return _joined((0.5, as_base), (0.5, as_any))

    def _of_base(self, logs: list[float], base: Style | None, as_any: float) -> float:
        """log of the likelihood of a beer on a base: mostly the declared one, else any, seldom none that is classic."""
        every = (BY_ANY_BASE if base is not None else 1 - BY_NO_BASE, self._mean(logs, None))
        if base is None:
            return _joined(every, (BY_NO_BASE, as_any))
        return _joined((1 - BY_ANY_BASE - BY_NO_BASE, self._mean(logs, base)), every, (BY_NO_BASE, as_any))

    def _mean(self, logs: list[float], base: Style | None) -> float:
        """log of the mean likelihood over the possible base beers."""
        bases = self._bases_of(base)
        if not bases:
            return 0.0
        values = [logs[i] for i in bases]
        top = max(values)
        return top + math.log(sum(math.exp(value - top) for value in values) / len(values))

    def _bases_of(self, base: Style | None) -> list[int]:
        return [self._place[base.id]] if base is not None and base.id in self._place else self._bases

    def _mixed(
        self, counted: Counted, strength: Reading | None, traits: Mapping[str, list[float]], base: Style | None
    ) -> float:
        """log of the likelihood of two styles brought together, or of a beer that may be anything."""
        facts = {name: [self._density(name, value, error)] for name, value, error in counted if name not in GRAVITIES}
        weights = [self._density(*item) for item in counted if item[0] in GRAVITIES]
        if weights:
            facts["strength"] = weights if strength is None else [*weights, self._inside(strength)]
        facts |= {name: [list(map(math.exp, column))] for name, column in traits.items()}
        own = self._bases_of(base)
        fits = self._fits(counted, traits, own[0]) if len(own) == 1 else {}
        shares = mixed_shares(facts, self._bases, own, len(self.styles), fits)
        return _joined(*shares, (BY_NO_BASE, _anything(counted, tuple(traits))))

    def _fits(self, counted: Counted, traits: Mapping[str, list[float]], place: int) -> dict[str, float]:
        """How likely a style is to have each fact: a vital inside its range, a trait beside its most usual value."""
        style = self.styles[place]
        fits: dict[str, float] = {}
        for name, value, error in counted:
            inside = self._density(name, value, error)[place] * self._ranges[name][place][2]
            group = "strength" if name in GRAVITIES else name
            fits[group] = fits.get(group, 1.0) * min(inside, 1.0)
        for name, column in traits.items():
            fits[name] = min(math.exp(column[place]) / max(trait_chances(style, name)), 1.0)
        return fits

    def _inside(self, strength: Reading) -> list[float]:
        """By what factor the strength narrows each style's pair of gravities."""
        key = ("abv", strength.value, strength.error or 0.0)
        if key not in self._narrowed:
            if len(self._narrowed) >= _DENSITIES_KEPT:
                self._narrowed.clear()
            value, square = key[1], key[2] * key[2]
            found = []
            erfc, sqrt = math.erfc, math.sqrt
            for low, high, blur, factor in self._gravity_shares():
                if not factor:  # a style without gravities is not narrowed
                    found.append(1.0)
                    continue
                scale = _1_BY_ROOT_2 / sqrt(square + blur)
                inside = 0.5 * (erfc((value - high) * scale) - erfc((value - low) * scale))
                found.append((inside if inside > _LEAST else _LEAST) * factor)
            self._narrowed[key] = found
        return self._narrowed[key]

    def _vitals(self, counted: Counted, strength: Reading | None) -> list[float]:
        columns = [self._density(*item) for item in counted]
        logs = list(map(math.log, map(math.prod, zip(*columns, strict=True)))) if columns else [0.0] * len(self.styles)
        if strength is not None:
            return list(map(add, logs, map(math.log, self._inside(strength))))
        return logs

    def _freed(self, counted: Counted, place: int) -> float:
        """log of the density of a style's vitals, whichever of its versions its gravities are those of."""
        total = 0.0
        for name, value, error in counted:
            wide = FREED_WIDTHS.get(name)
            total -= math.log(wide) if wide else -math.log(self._density(name, value, error)[place])
        return total

    def _density(self, name: str, value: float, error: float) -> list[float]:
        """Chance inside over width, for each style; what was asked last is kept, for a base often shares it."""
        key = (name, value, error)
        if key not in self._densities:
            if len(self._densities) >= _DENSITIES_KEPT:
                self._densities.clear()
            self._densities[key] = self._column(name, value, error * error)
        return self._densities[key]

    def _column(self, name: str, value: float, square: float) -> list[float]:
        erfc, sqrt, least = math.erfc, math.sqrt, _LEAST
        densities = [
            (erfc((value - high) * (scale := _1_BY_ROOT_2 / sqrt(square + blur))) - erfc((value - low) * scale)) * half
            for low, high, half, blur in self._halves[name]
        ]
        for place, density in enumerate(densities):
            if density < least:
                densities[place] = least
        return densities

    def _gravity_shares(self) -> list[tuple[float, float, float, float]]:
        """Low, high and blur of each style's strength, and one by the share of its gravities that have it, or 0."""
        if self._shares is None:
            wanted = ("og", "fg", "abv")
            self._shares = []
            for style, (low, high, width, _) in zip(self.styles, self._ranges["abv"], strict=True):
                has = set(wanted) <= style.ranges.keys()
                factor = math.exp(-share_of_gravities(*(style.ranges[name] for name in wanted))) if has else 0.0
                self._shares.append((low, high, (STRENGTH_BLUR * width) ** 2, factor))
        return self._shares

    def _trait(self, name: str, value: str | tuple[float, ...]) -> list[float]:
        if not isinstance(value, str):
            rows = (trait_chances(style, name) for style in self.styles)
            return [math.log(sum(a * b for a, b in zip(row, value, strict=True))) for row in rows]
        if (name, value) not in self._traits:
            self._traits[name, value] = [math.log(trait_chance(style, name, value)) for style in self.styles]
        return self._traits[name, value]

    def _addition(self, things: tuple[Thing, ...]) -> list[float]:
        if things not in self._additions:
            if len(self._additions) >= _DENSITIES_KEPT:
                self._additions.clear()
            self._additions[things] = [additions_log_chance(style, things) for style in self.styles]
        return self._additions[things]


def _added(logs: list[float], columns: list[list[float]]) -> list[float]:
    return list(map(sum, zip(logs, *columns, strict=True))) if columns else list(logs)


def additions_log_chance(style: Style, things: tuple[Thing, ...]) -> float:
    """log P(exactly these things were added | style): of a kind what belongs may be there, what does not, or both."""
    known = {thing.kind for thing in things if style.knows(thing)}
    strange = {thing.kind for thing in things} - known
    mixed = {thing.kind for thing in things if thing.kind in known and not style.knows(thing)}
    group = style.takes_any
    total = group_log_chance(group, tuple(known | strange)) if group else 0.0
    for kind in ADDITIONS:
        if kind in group:
            continue
        if kind in strange or kind in mixed:
            total += math.log(stray_chance(kind))
        chance = addition_chance(style, kind)
        if kind in known:
            total += math.log(chance)
        elif kind not in strange or chance > LIVES_BY:
            total += math.log(1 - chance)
    return total


def _anything(counted: Counted, traits: Sequence[str]) -> float:
    """log of the likelihood of a beer that may be anything."""
    return -sum(math.log(SPAN[name].width) for name, _, _ in counted) - sum(math.log(len(TRAITS[n])) for n in traits)


def _joined(*parts: tuple[float, float]) -> float:
    """log of a sum of weights times exp(log)."""
    top = max(log for _, log in parts)
    return top + math.log(sum(weight * math.exp(log - top) for weight, log in parts))


def _column(styles: tuple[Style, ...], name: str) -> list[Range]:
    return [style.ranges.get(name, SPAN[name]) for style in styles]


def _chance_of_strength(range_: Range, value: float, error: float) -> float:
    return chance_inside(value, math.hypot(error, STRENGTH_BLUR * range_.width), range_.low, range_.high)


def share_of_gravities(og: Range, fg: Range, strength: Range) -> float:
    """log of the share of the og × fg rectangle whose strength lies in range, strength taken as normal over it."""
    middle_og, middle_fg = (og.low + og.high) / 2, (fg.low + fg.high) / 2
    by_og, by_fg = abv_slopes(middle_og, middle_fg)
    spread = math.hypot(by_og * og.width, by_fg * fg.width) / math.sqrt(12.0)
    return math.log(max(_chance_of_strength(strength, abv(middle_og, middle_fg), spread), 1e-3))


_KEPT: dict[tuple[int, ...], Prepared] = {}
_KEEP = 8


def prepared(styles: tuple[Style, ...]) -> Prepared:
    """The styles laid out; the last few tables are kept, each holding on to its styles."""
    key = tuple(map(id, styles))
    if key not in _KEPT:
        while len(_KEPT) >= _KEEP:
            del _KEPT[next(iter(_KEPT))]
        _KEPT[key] = Prepared(styles)
    return _KEPT[key]
