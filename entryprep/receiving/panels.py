"""Who judges which flight: nobody an own entry, nor a category entered, and nobody two flights at a time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from entryprep.receiving.flights import NO_GROUP, Flight
from entryprep.text import fold


@dataclass(frozen=True)
class Judge:
    """A judge: name, numbers of own entries, what to stay away from (flight numbers, keys of groups), may lead."""

    name: str
    own: frozenset[str] = frozenset()
    away: frozenset[str] = frozenset()
    head: bool = False


@dataclass(frozen=True)
class Panel:
    """The judges of one flight, who leads first, and the round they sit in (0 where nobody sits).

    ``near`` are those of them who have an entry in another flight of the same category; ``short`` is how many judges
    are missing.
    """

    flight: int
    round: int
    judges: tuple[str, ...]
    near: tuple[str, ...]
    short: int


def panels(made: Sequence[Flight], judges: Sequence[Judge], each: int = 3) -> list[Panel]:
    """A panel of ``each`` judges for every flight, in rounds in which a judge sits once.

    No judge meets an own entry. Who has entered a category judges none of its flights (common practice) unless it would
    else be short of judges, and is then named in ``near``. Flights that few may judge are seated first; judges who sat
    least are taken first. Raises ValueError unless ``each`` is at least 1, and for two judges of one name.
    """
    if each < 1 or len({judge.name for judge in judges}) < len(judges):
        raise ValueError("a panel needs at least one judge, and judges need names of their own")
    entered = _groups_entered(made, judges)
    free = {flight.number: _may_judge(flight, judges, entered) for flight in made}
    sat = dict.fromkeys((judge.name for judge in judges), 0)
    busy: dict[str, set[int]] = {judge.name: set() for judge in judges}
    heads = {judge.name for judge in judges if judge.head}
    start: dict[tuple[str, ...], int] = {}  # rounds before this one have no room left for these judges
    found: dict[int, Panel] = {}
    for flight in sorted(made, key=lambda flight: (len(free[flight.number][0]), flight.number)):
        clear, near = free[flight.number]
        names = clear if len(clear) >= each else (*clear, *near)
        wanted = min(each, len(names))
        turn = start.get(names, 1)
        while sum(turn not in busy[name] for name in names) < wanted:
            turn += 1
        start[names] = turn
        there = [name for name in names if turn not in busy[name]]
        chosen = _chosen(there, sat, heads, set(near), wanted)
        for name in chosen:
            sat[name] += 1
            busy[name].add(turn)
        close = tuple(name for name in chosen if name in near)
        found[flight.number] = Panel(flight.number, turn if chosen else 0, tuple(chosen), close, each - len(chosen))
    return [found[flight.number] for flight in made]


def _chosen(there: Sequence[str], sat: Mapping[str, int], heads: set[str], near: set[str], wanted: int) -> list[str]:
    """Those farthest from the flight who sat least, one who may lead among them if there is one; that one first."""
    line = sorted(there, key=lambda name: (name in near, sat[name], name))
    leaders = [name for name in line if name in heads][:1]
    rest = [name for name in line if name not in leaders]
    return (leaders + rest)[:wanted]


def _groups_entered(made: Sequence[Flight], judges: Sequence[Judge]) -> dict[str, set[str]]:
    """The groups in which each judge has an entry."""
    whose: dict[str, list[str]] = {}
    for judge in judges:
        for number in judge.own:
            whose.setdefault(number, []).append(judge.name)
    entered: dict[str, set[str]] = {judge.name: set() for judge in judges}
    for flight in made:
        for entry in flight.entries:
            for name in whose.get(entry.number, ()):
                entered[name].add(entry.group or NO_GROUP)
    return entered


def _may_judge(
    flight: Flight, judges: Sequence[Judge], entered: Mapping[str, set[str]]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Judges without an entry in the flight's groups, and those with one, but not in the flight itself."""
    numbers = {entry.number for entry in flight.entries}
    groups = set(flight.groups)
    names = {fold(group) for group in groups} | {str(flight.number)}
    may = [judge for judge in judges if not judge.own & numbers and not judge.away & names]
    clear = tuple(judge.name for judge in may if not entered[judge.name] & groups)
    return clear, tuple(judge.name for judge in may if entered[judge.name] & groups)
