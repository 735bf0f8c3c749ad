"""How likely a trait, or a set of additions, is in a beer of a style."""

from __future__ import annotations

import math

from entryprep.tables.style import TRAITS, Style

WRONG = 0.08  # share of traits reported otherwise than the style has them: common practice, an assumption
WRONG_FERMENTATION = 0.005  # brewers know their yeast
ORDERED = ("hops", "sourness")  # a step beside is a likelier mistake than two steps
_BY_DEFINITION, _MAY, _BELONGS, _STRAY = 0.95, 0.4, 0.15, 0.005
_ALL_IT_MAY = 1.2  # kinds, on the mean, in a style that may have any of many
LIVES_BY = 0.4  # an addition that is likelier than this is one the style lives by: its lack counts
_QUIET_BY_DEFINITION, _QUIET_STRAY = 0.5, 0.08  # brewing sugar and process often go unmentioned
QUIET_KINDS = ("sugar", "process")  # often part of the recipe and not worth a word
CULTURED = frozenset({"culture"})  # told by the fermentation as well as by an addition
_ONE_OF_THEM = 0.95  # that at least one of a group is reported of which one must be there


def trait_chance(style: Style, trait: str, value: str) -> float:
    """P(value | style) for one trait; uniform where the style does not say. Raises KeyError for an unknown trait."""
    values = TRAITS[trait]
    accepted = style.traits.get(trait, ("none",) if trait == "smoke" and not style.specialty else ())
    if not accepted:
        return 1.0 / len(values)
    others = [name for name in values if name not in accepted]
    wrong = 0.0 if not others else WRONG_FERMENTATION if trait == "fermentation" else WRONG
    if value in accepted:
        # the first value is the typical one, the others are accepted: 3 to 2
        weights = [3.0 if name == accepted[0] else 2.0 for name in accepted]
        return (1 - wrong) * (3.0 if value == accepted[0] else 2.0) / sum(weights)
    shares = [_nearness(trait, name, accepted) for name in others]
    return wrong * _nearness(trait, value, accepted) / sum(shares)


_KEPT: dict[int, tuple[Style, dict[str, tuple[float, ...]]]] = {}
_KEEP = 2_000


def trait_chances(style: Style, trait: str) -> tuple[float, ...]:
    """P(value | style) for every value of a trait, in the order of TRAITS; worked out once for a style.

    Raises KeyError for an unknown trait.
    """
    kept = _KEPT.get(id(style))
    if kept is None:
        if len(_KEPT) >= _KEEP:
            _KEPT.clear()
        kept = _KEPT[id(style)] = (style, {})  # the style is held, so that its id stays its own
    table = kept[1]
    if trait not in table:
        table[trait] = tuple(trait_chance(style, trait, value) for value in TRAITS[trait])
    return table[trait]


def _nearness(trait: str, value: str, accepted: tuple[str, ...]) -> float:
    return 4.0 if trait in ORDERED and step_away(trait, value, accepted) == 1 else 1.0


def step_away(trait: str, value: str, accepted: tuple[str, ...]) -> int:
    """By how many steps on the scale of an ordered trait a value lies beside the nearest that is accepted."""
    places = TRAITS[trait]
    return min(abs(places.index(value) - places.index(name)) for name in accepted)


def addition_chance(style: Style, kind: str) -> float:
    """P(something of this kind that belongs is reported | style)."""
    quiet = kind in QUIET_KINDS
    if kind in style.takes:
        return _QUIET_BY_DEFINITION if kind == "process" else _BY_DEFINITION
    if kind in style.traits.get("additions", ()):
        return _QUIET_BY_DEFINITION if quiet else _BY_DEFINITION
    if kind in style.belongs or (kind == "grain" and kind in style.kinds):
        return _BELONGS
    if kind not in style.kinds:
        return stray_chance(kind)
    return min(_MAY, _ALL_IT_MAY / max(len(style.may_have), 1))


def stray_chance(kind: str) -> float:
    """P(something of this kind that does not belong is reported | any style)."""
    return _QUIET_STRAY if kind in QUIET_KINDS else _STRAY


def group_log_chance(group: tuple[str, ...], present: tuple[str, ...]) -> float:
    """log P(exactly these of a group are reported | a style of which at least one of the group is part)."""
    inside = [kind in present for kind in group]
    if not any(inside):
        return math.log(1 - _ONE_OF_THEM)
    some = 1 - (1 - _MAY) ** len(group)
    logs = sum(math.log(_MAY if there else 1 - _MAY) for there in inside)
    return math.log(_ONE_OF_THEM) + logs - math.log(some)
