"""Who judges which flight, and when: nobody an own entry, nobody two flights at a time, nobody more than a day bears.

Rounds are filled one after the other, lightest flights first, so that a judge's day goes from pale to strong. What
stands in the way is let go of in steps, and told: first that a judge entered the category, then the order of a day.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from entryprep.receiving.flights import NEAR, NO_GROUP, Flight, distance
from entryprep.receiving.sessions import Session
from entryprep.receiving.tasting import Palate
from entryprep.text import fold, name_key


@dataclass(frozen=True)
class Judge:
    """A judge: name, numbers of own entries, what to stay away from (flight numbers, keys of groups), may lead.

    ``apart`` are keys of people never beside this one, ``styles`` ids never judged, ``allergens`` never in the glass,
    ``absent`` places of the sessions this judge is not there for, ``most`` beers a day (0: as all).
    """

    name: str
    own: frozenset[str] = frozenset()
    away: frozenset[str] = frozenset()
    head: bool = False
    apart: frozenset[str] = frozenset()
    styles: frozenset[str] = frozenset()
    allergens: frozenset[str] = frozenset()
    absent: frozenset[int] = frozenset()
    most: int = 0


@dataclass(frozen=True)
class Panel:
    """The judges of one flight, who leads first, and the round they sit in (0 where nobody sits).

    ``near`` are those of them who have an entry in another flight of the same category, ``heavy`` those for whom it
    follows a much louder flight; ``short`` is how many judges are missing. ``session`` counts from 1, 0 where there is
    none for it; ``day`` from 1.
    """

    flight: int
    round: int
    judges: tuple[str, ...]
    near: tuple[str, ...]
    short: int
    session: int = 0
    day: int = 1
    heavy: tuple[str, ...] = ()


@dataclass(frozen=True)
class Hours:
    """When flights are judged: sessions in the order of time (none: rounds as needed), beers a day (0: any)."""

    sessions: tuple[Session, ...] = ()
    most: int = 0


ANYTIME = Hours()


def panels(made: Sequence[Flight], judges: Sequence[Judge], each: int = 3, hours: Hours = ANYTIME) -> list[Panel]:
    """A panel of ``each`` judges for every flight, in rounds in which a judge sits once.

    No judge meets an own entry, a style or an allergen never wanted, nor sits beside somebody never wanted, nor tastes
    more beers in a day than ``hours`` or the judge allows, unless one flight alone is more. Who has entered a category
    judges none of its flights (common practice) unless it would else be short of judges, and is then named in ``near``.
    Judges who tasted least are taken first. Flights for which the sessions have no room come in rounds after them, of a
    day more. Raises ValueError unless ``each`` is at least 1, and for two judges of one name.
    """
    if each < 1 or len({judge.name for judge in judges}) < len(judges):
        raise ValueError("a panel needs at least one judge, and judges need names of their own")
    return _Seating(made, judges, each, hours).panels()


@dataclass(frozen=True)
class _Slot:
    round: int
    session: int
    day: int


@dataclass
class _Day:
    """What a day has brought each judge so far: beers, and the last flight."""

    beers: dict[str, int] = field(default_factory=dict)
    last: dict[str, Flight] = field(default_factory=dict)


# what is let go of, one step after the other, where a flight cannot be seated otherwise
_STRICT, _ORDER, _CATEGORY, _SIZE, _MOST = range(5)


class _Seating:
    """The work on one set of flights and judges."""

    def __init__(self, made: Sequence[Flight], judges: Sequence[Judge], each: int, hours: Hours) -> None:
        self.made, self.judges, self.each, self.hours = made, {judge.name: judge for judge in judges}, each, hours
        self.free = may_judge(made, judges)
        self.keys = {judge.name: name_key(judge.name) for judge in judges}
        self.heads = {judge.name for judge in judges if judge.head}
        self.limits = any(judge.most for judge in judges) or bool(hours.most)
        self.least = min((self._wanted(flight) for flight in made), default=1)
        self.sat = dict.fromkeys(self.judges, 0)
        self.means: dict[int, Palate] = {}
        self.found: dict[int, Panel] = {}
        self.today, self.busy = _Day(), set[str]()

    def panels(self) -> list[Panel]:
        """The panels, in the order of the flights."""
        pending: list[Flight] = []
        turn = day = 0
        days = self._days()
        for day, (sessions, flights) in enumerate(days, 1):
            self.today = _Day()
            pending = self._in_order([*pending, *flights])
            slots = [place for place in sessions for _ in range(self.hours.sessions[place].flights)]
            for left, place in zip(range(len(slots), 0, -1), slots, strict=True):
                turn += 1
                self.busy = set()
                slot = _Slot(turn, place + 1, day)
                most = _CATEGORY if day == len(days) and self._is_pressed(pending, left, place) else _STRICT
                for level in range(most + 1):
                    pending = self._filled(slot, pending, level)
        self._open_ended(pending if days else self._in_order(self.made), turn, day + 1)
        return [self.found[flight.number] for flight in self.made]

    def _days(self) -> list[tuple[list[int], list[Flight]]]:
        """The sessions of each day by their places, and the flights meant for it: those of a category on one day."""
        places: dict[str, list[int]] = {}
        for place, session in enumerate(self.hours.sessions):
            places.setdefault(session.day, []).append(place)
        days: list[tuple[list[int], list[Flight]]] = [(sessions, []) for sessions in places.values()]
        rooms = [sum(self.hours.sessions[place].flights for place in sessions) for sessions, _ in days]
        groups: dict[str, list[Flight]] = {}
        for flight in self.made:
            groups.setdefault(flight.groups[0] if flight.groups else NO_GROUP, []).append(flight)
        for flights in groups.values() if days else ():
            day = min(range(len(days)), key=lambda d: (len(days[d][1]) / rooms[d], d))
            days[day][1].extend(flights)
        return days

    def _open_ended(self, pending: list[Flight], turn: int, day: int) -> None:
        """Rounds as many as are needed, a new day whenever nobody may taste more."""
        self.today, self.busy, level = _Day(), set(), _STRICT
        while pending:
            left = self._filled(_Slot(turn + 1, 0, day), pending, level)
            if len(left) < len(pending):
                pending, level = left, _STRICT
            elif self.busy:
                pass  # the round is full
            elif level >= _ORDER and self.limits and self.today.beers:
                day, level, self.today = day + 1, _STRICT, _Day()
                continue
            else:
                level += 1
                continue
            turn, self.busy = turn + 1, set()

    def _is_pressed(self, pending: Sequence[Flight], left: int, place: int) -> bool:
        """Whether the rounds left are few for the flights that wait."""
        there = sum(place not in judge.absent for judge in self.judges.values())
        return len(pending) > (left - 1) * (there // self.each)

    def _in_order(self, flights: Sequence[Flight]) -> list[Flight]:
        """Lightest first; those that few may judge before all others, so that these few are not taken."""
        scarce = {f.number: len(self.free[f.number][0]) < 2 * self.each for f in flights}
        return sorted(flights, key=lambda f: (not scarce[f.number], f.number))

    def _wanted(self, flight: Flight) -> int:
        clear, near = self.free[flight.number]
        return min(self.each, len(clear) + len(near))

    def _filled(self, slot: _Slot, pending: list[Flight], level: int) -> list[Flight]:
        """Seat what can be seated in a round; what is left."""
        waiting: list[Flight] = []
        for place, flight in enumerate(pending):
            free = len(self.judges) - len(self.busy)
            if free < self.least or (free == 0 and self.least):
                return [*waiting, *pending[place:]]
            if not self._seated(slot, flight, level):
                waiting.append(flight)
        return waiting

    def _seated(self, slot: _Slot, flight: Flight, level: int) -> bool:
        clear, near = self.free[flight.number]
        names = clear if len(clear) >= self.each and level < _CATEGORY else (*clear, *near)
        wanted = min(self.each, len(names))
        there = [name for name in names if name not in self.busy and self._may(name, slot, flight, level)]
        chosen = self._chosen(there, set(near), wanted)
        if len(chosen) < wanted and not (level >= _SIZE and (chosen or level >= _MOST)):
            return False
        heavy = tuple(name for name in chosen if self._is_heavy(name, flight))
        for name in chosen:
            self.sat[name] += len(flight.entries)
            self.today.beers[name] = self.today.beers.get(name, 0) + len(flight.entries)
            self.today.last[name] = flight
            self.busy.add(name)
        close = tuple(name for name in chosen if name in near)
        turn = slot.round if chosen else 0
        missing = self.each - len(chosen)
        self.found[flight.number] = Panel(
            flight.number, turn, tuple(chosen), close, missing, slot.session, slot.day, heavy
        )
        return True

    def _may(self, name: str, slot: _Slot, flight: Flight, level: int) -> bool:
        judge = self.judges[name]
        if slot.session and slot.session - 1 in judge.absent:
            return False
        beers, most = self.today.beers.get(name, 0), judge.most or self.hours.most
        if most and beers + len(flight.entries) > most and (beers or level < _MOST):
            return False
        return level >= _ORDER or not self._is_heavy(name, flight)

    def _is_heavy(self, name: str, flight: Flight) -> bool:
        """Whether the flight comes to a judge on the same day after a much louder one."""
        last = self.today.last.get(name)
        if last is None or last.number < flight.number:
            return False
        return distance(self._mean(last), self._mean(flight)) > NEAR

    def _mean(self, flight: Flight) -> Palate:
        if flight.number not in self.means:
            count = len(flight.entries)
            values = (math.fsum(getattr(e.palate, name) for e in flight.entries) / count for name in Palate.__slots__)
            self.means[flight.number] = Palate(*values)
        return self.means[flight.number]

    def _chosen(self, there: Sequence[str], near: set[str], wanted: int) -> list[str]:
        """Those farthest from the flight who tasted least, one who may lead first, nobody beside one never wanted."""
        line = sorted(there, key=lambda name: (name in near, self.sat[name], name))
        leaders = [name for name in line if name in self.heads][:1]
        chosen: list[str] = []
        for name in leaders + [name for name in line if name not in leaders]:
            if len(chosen) == wanted:
                break
            if not any(self._are_apart(name, other) for other in chosen):
                chosen.append(name)
        return chosen

    def _are_apart(self, one: str, other: str) -> bool:
        return self.keys[other] in self.judges[one].apart or self.keys[one] in self.judges[other].apart


def beers_of_days(made: Sequence[Flight], seated: Sequence[Panel]) -> dict[tuple[str, int], int]:
    """How many beers each judge tastes on each day."""
    beers: dict[tuple[str, int], int] = {}
    for flight, panel in zip(made, seated, strict=True):
        for name in panel.judges:
            beers[name, panel.day] = beers.get((name, panel.day), 0) + len(flight.entries)
    return beers


def may_judge(made: Sequence[Flight], judges: Sequence[Judge]) -> dict[int, tuple[tuple[str, ...], tuple[str, ...]]]:
    """By flight the judges without an entry in its groups, and those with one there, but none in the flight itself."""
    entered = _groups_entered(made, judges)
    return {flight.number: _may_judge(flight, judges, entered) for flight in made}


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
    styles = {entry.style for entry in flight.entries} | {entry.base for entry in flight.entries}
    held = {each.strip() for entry in flight.entries for each in entry.allergens.split(",") if each.strip()}
    groups = set(flight.groups)
    names = {fold(group) for group in groups} | {str(flight.number)}
    may = [
        judge
        for judge in judges
        if not (judge.own & numbers or judge.away & names or judge.styles & styles or judge.allergens & held)
    ]
    clear = tuple(judge.name for judge in may if not entered[judge.name] & groups)
    return clear, tuple(judge.name for judge in may if entered[judge.name] & groups)
