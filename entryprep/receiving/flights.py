"""Flights: entries grouped by category and style, large groups split evenly, small ones joined to their like."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left, insort
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from entryprep.receiving.tasting import Palate, Tasted, order_key

NEAR = 2.5  # groups less alike than this are not joined while a better partner may be found
WIDE = 4.5  # nor those less alike than this, even where a flight stays too small
SOUR_APART = 0.5  # and sour beers do not join plain ones: acid dulls the palate for what follows
WINDOW = 100  # neighbours by load on either side that a small flight is compared with
NO_GROUP = "Style not settled"
# how much of a difference counts one; common practice of what upsets a palate
SCALES = {"abv": 3.0, "ibu": 25.0, "srm": 12.0, "roast": 1.0, "smoke": 1.0, "sour": 1.0, "chile": 1.0, "lager": 2.0}


@dataclass(frozen=True)
class Flight:
    """One flight: number from 1, the groups it holds, its entries in the order of tasting."""

    number: int
    groups: tuple[str, ...]
    entries: tuple[Tasted, ...]

    @property
    def title(self) -> str:
        """Its groups in one line."""
        return " and ".join(self.groups)


@dataclass
class _Part:
    groups: tuple[str, ...]
    entries: list[Tasted]
    mean: Palate
    turn: int

    def __post_init__(self) -> None:
        self.place = (self.mean.load, self.turn)
        self.scaled = _scaled(self.mean)


def flights(entries: Iterable[Tasted], least: int = 6, most: int = 10) -> list[Flight]:
    """Put every entry into one flight of ``least`` to ``most`` entries where that can be.

    Small groups join what is most like them; what is still too small then joins a flight that is not too unlike, or
    shares its entries with it evenly. A flight stays smaller only where that cannot be either. Flights are numbered
    from the lightest on; the same entries give the same flights in whatever order they come. Raises ValueError unless
    1 ≤ least ≤ most.
    """
    if not 1 <= least <= most:
        raise ValueError(f"flights of {least} to {most} entries cannot be made")
    by_group: dict[str, list[Tasted]] = {}
    for entry in sorted(entries, key=lambda e: e.number):
        by_group.setdefault(entry.group or NO_GROUP, []).append(entry)
    parts: list[_Part] = []
    for group in sorted(by_group):
        for cut in _split(by_group[group], most):
            parts.append(_Part((group,), cut, mean_palate(cut), len(parts)))
    parts = _evened(_joined(parts, least, most), least, most)
    parts.sort(key=lambda part: _rank(part.mean))
    return [Flight(n, p.groups, tuple(sorted(p.entries, key=order_key))) for n, p in enumerate(parts, 1)]


def _split(entries: list[Tasted], most: int) -> list[list[Tasted]]:
    """Even parts of a group, entries of one style side by side, lighter styles first."""
    by_style: dict[str, list[Tasted]] = {}
    for entry in entries:
        by_style.setdefault(entry.style or entry.named, []).append(entry)
    order = sorted(by_style, key=lambda style: (*_rank(mean_palate(by_style[style])), style))
    line = [entry for style in order for entry in sorted(by_style[style], key=order_key)]
    count = math.ceil(len(line) / most)
    size, more = divmod(len(line), count)
    cuts = [i * size + min(i, more) for i in range(count + 1)]
    return [line[a:b] for a, b in itertools.pairwise(cuts)]


def _joined(parts: list[_Part], least: int, most: int) -> list[_Part]:
    """Small parts joined to the one most like them that has room, the smallest first, as long as that can be."""
    line = sorted(parts, key=lambda p: p.place)
    waiting = sorted((p for p in parts if len(p.entries) < least), key=lambda p: (len(p.entries), p.turn), reverse=True)
    gone: set[int] = set()
    turn = len(parts)
    while waiting:
        small = waiting.pop()
        if small.turn in gone:
            continue
        near = _nearest(line, small, most)
        if near is None:
            continue
        for part in (small, near):
            gone.add(part.turn)
            del line[bisect_left(line, part.place, key=lambda p: p.place)]
        together = small.entries + near.entries
        groups = tuple(dict.fromkeys(sorted((*near.groups, *small.groups))))
        joined = _Part(groups, together, mean_palate(together), turn)
        turn += 1
        insort(line, joined, key=lambda p: p.place)
        if len(together) < least:
            insort(waiting, joined, key=lambda p: (-len(p.entries), -p.turn))
    return line


def _evened(parts: list[_Part], least: int, most: int) -> list[_Part]:
    """What is still too small joins the nearest part that has room, or shares evenly with one that has enough.

    Each step leaves fewer that are too small; a part that was alone may be near to what a step made, so all are asked
    again until no step is left.
    """
    turn = max((part.turn for part in parts), default=0)
    small = [part for part in parts if len(part.entries) < least]
    while small:
        part, near = _pair(small, parts, least, most)
        if near is None:
            break
        parts = [p for p in parts if p is not part and p is not near]
        together = part.entries + near.entries
        # entries of a group stay side by side, so that a cut goes through one group at most
        line = sorted(together, key=lambda e: (e.group not in part.groups, e.group or NO_GROUP, order_key(e)))
        cuts = [line] if len(line) <= most else [line[: len(line) // 2], line[len(line) // 2 :]]
        for cut in cuts:
            turn += 1
            groups = tuple(sorted({entry.group or NO_GROUP for entry in cut}))
            parts.append(_Part(groups, cut, mean_palate(cut), turn))
        small = [part for part in parts if len(part.entries) < least]
    return parts


def _pair(small: list[_Part], parts: list[_Part], least: int, most: int) -> tuple[_Part, _Part | None]:
    """The smallest part that can join or share with another, and the nearest of those."""
    for part in sorted(small, key=lambda p: (len(p.entries), p.turn)):
        able = [
            (_apart(part.scaled, p.scaled), p.turn, p) for p in parts if p is not part and _may(part, p, least, most)
        ]
        best = min(able, default=None)
        if best is not None and best[0] <= WIDE:
            return part, best[2]
    return small[0], None


def _may(part: _Part, other: _Part, least: int, most: int) -> bool:
    """Whether two parts make flights of a good size, and are alike in sourness or near in all that counts."""
    count = len(part.entries) + len(other.entries)
    if not _can_share(count, least, most):
        return False
    alike = abs(part.mean.sour - other.mean.sour) <= SOUR_APART
    return alike or (count <= most and _apart(part.scaled, other.scaled) <= NEAR)


def _can_share(count: int, least: int, most: int) -> bool:
    """Whether so many entries make one flight of a good size, or two."""
    return count <= most or (count // 2 >= least and count - count // 2 <= most)


def _nearest(line: Sequence[_Part], small: _Part, most: int) -> _Part | None:
    spot = bisect_left(line, small.place, key=lambda p: p.place)
    window = line[max(0, spot - WINDOW) : spot + WINDOW + 1]
    room = [p for p in window if p is not small and len(p.entries) + len(small.entries) <= most]
    best = min(((_apart(small.scaled, p.scaled), p.turn, p) for p in room), default=None)
    return best[2] if best is not None and best[0] <= NEAR else None


def distance(one: Palate, other: Palate) -> float:
    """How unlike two palates are: the differences, each on its own scale, added up."""
    return _apart(_scaled(one), _scaled(other))


def _scaled(palate: Palate) -> tuple[float, ...]:
    return tuple(getattr(palate, name) / scale for name, scale in SCALES.items())


def _apart(one: tuple[float, ...], other: tuple[float, ...]) -> float:
    return sum(abs(a - b) for a, b in zip(one, other, strict=True))


def mean_palate(entries: Sequence[Tasted]) -> Palate:
    """The mean of what some entries, one at least, do to a palate."""
    count = len(entries)
    return Palate(*(math.fsum(getattr(e.palate, name) for e in entries) / count for name in Palate.__slots__))


def _rank(palate: Palate) -> tuple[float, float, float, float]:
    return (palate.chile, palate.sour, palate.smoke, palate.load)


def small_flights(made: Sequence[Flight], least: int) -> list[Flight]:
    """Flights that stayed below the least size."""
    return [flight for flight in made if len(flight.entries) < least]


def flight_of(made: Iterable[Flight]) -> Mapping[str, int]:
    """The flight of each entry number."""
    return {entry.number: flight.number for flight in made for entry in flight.entries}
