"""Flights once some are printed: what is on paper stays; only what must change does.

An entry that is no longer poured leaves its flight, one that is late or moved joins the flight most like it, and
everything else stays where it was printed. A flight of which an entry has scores is judged, and is left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from entryprep.receiving.flights import NEAR, NO_GROUP, SOUR_APART, WIDE, Flight, distance, flights, mean_palate
from entryprep.receiving.register.state import State
from entryprep.receiving.tasting import Tasted, order_key

OVER = 1  # entries more than a flight should have that are taken in before a flight is made for them alone


@dataclass
class Planned:
    """A flight as it is to be: its entries by their names in the register; ``changed`` where it differs from its
    printed sheet, or was never printed; ``judged`` where it has scores; who ``joined`` and who ``left`` since."""

    number: int
    groups: tuple[str, ...]
    ids: list[str]
    printed: bool = False
    changed: bool = False
    judged: bool = False
    joined: list[str] = field(default_factory=list)
    left: list[str] = field(default_factory=list)
    judges_joined: list[str] = field(default_factory=list)
    judges_left: list[str] = field(default_factory=list)


def planned_flights(state: State, known: Mapping[str, Tasted], least: int, most: int) -> list[Planned]:
    """The flights of a register, by number; ``known`` are its poured entries by name.

    Before anything is printed they are grouped afresh; afterwards each keeps what was printed but for what changed.
    Raises ValueError unless 1 ≤ least ≤ most.
    """
    if not state.flights:
        made = flights(known.values(), least, most)
        names = {entry.number: each for each, entry in known.items()}
        return [Planned(f.number, f.groups, [names[e.number] for e in f.entries], changed=True) for f in made]
    return _Plan(state, known, least, most).all()


def as_flights(plan: Iterable[Planned], known: Mapping[str, Tasted]) -> list[Flight]:
    """Planned flights with their entries."""
    return [Flight(p.number, p.groups, tuple(known[each] for each in p.ids if each in known)) for p in plan]


def stale_flights(state: State) -> list[int]:
    """Printed flights that are no longer as their sheets say, as far as the entries tell; those too that nobody looked
    at since the competition's file was changed."""
    judged = {entry for entry, _ in state.scores}
    cup, found = state.competition.get("n", 0), []
    for number, flight in state.flights.items():
        entries = [state.entries[each] for each in flight["entries"]]
        stale = any(not e.poured or e.seen > flight["n"] for e in entries)
        stale = stale or (bool(entries) and cup > max(flight["n"], state.looked))
        if stale and not judged & set(flight["entries"]):
            found.append(number)
    return found


def homeless(state: State) -> list[str]:
    """Poured entries with a number that no printed flight holds."""
    housed = {each for flight in state.flights.values() for each in flight["entries"]}
    return [e.id for e in state.entries.values() if e.poured and e.number and e.id not in housed]


class _Plan:
    def __init__(self, state: State, known: Mapping[str, Tasted], least: int, most: int) -> None:
        self.state, self.known, self.least, self.most = state, known, least, most
        self.made: dict[int, Planned] = {}
        self.open: dict[str, list[Planned]] = {}

    def all(self) -> list[Planned]:
        """Every flight, those that are new last."""
        scored = {entry for entry, _ in self.state.scores}
        waiting: list[str] = []
        for number in sorted(self.state.flights):
            waiting += self._kept(number, scored)
        housed = {each for flight in self.made.values() for each in flight.ids}
        moving = set(waiting)
        waiting += [each for each in self.known if each not in housed and each not in moving]
        rest = [each for each in sorted(waiting, key=lambda e: order_key(self.known[e])) if not self._joins(each)]
        self._new(rest)
        for flight in self.made.values():
            if flight.changed and flight.printed:
                flight.ids.sort(key=lambda each: order_key(self.known[each]))
        return [self.made[number] for number in sorted(self.made)]

    def _kept(self, number: int, scored: set[str]) -> list[str]:
        """A printed flight as it stands now; entries that have to leave it for another."""
        printed, cup = self.state.flights[number], self.state.competition.get("n", 0)
        flight = Planned(number, tuple(printed["groups"]), [], printed=True)
        flight.judged = bool(scored & set(printed["entries"]))
        self.made[number] = flight
        elsewhere = []
        for each in printed["entries"]:
            entry = self.state.entries[each]
            if flight.judged:
                flight.ids.append(each)
            elif each not in self.known:
                flight.left.append(each)
            elif _group(self.known[each]) not in flight.groups and max(entry.seen, cup) > printed["n"]:
                flight.left.append(each)
                elsewhere.append(each)
            else:
                flight.ids.append(each)
                flight.changed = flight.changed or entry.seen > printed["n"]
        flight.changed = flight.changed or bool(flight.left)
        if not flight.judged:
            for group in flight.groups:
                self.open.setdefault(group, []).append(flight)
        return elsewhere

    def _joins(self, each: str) -> bool:
        """Put an entry into an open flight of its group that has room, the one most like it."""
        entry = self.known[each]
        able = [f for f in self.open.get(_group(entry), ()) if len(f.ids) < self.most + OVER and each not in f.left]
        if not able:
            return False
        best = min(able, key=lambda f: (len(f.ids) >= self.most, self._apart(entry, f), f.number))
        self._take(best, each)
        return True

    def _take(self, flight: Planned, each: str) -> None:
        flight.ids.append(each)
        flight.joined.append(each)
        flight.changed = True

    def _apart(self, entry: Tasted, flight: Planned) -> float:
        entries = [self.known[each] for each in flight.ids if each in self.known]
        return distance(entry.palate, mean_palate(entries)) if entries else WIDE

    def _new(self, rest: Sequence[str]) -> None:
        """Flights for what no flight of its group has room for; few of them join a flight that is like them."""
        if not rest:
            return
        by_number = {self.known[each].number: each for each in rest}
        for made in flights([self.known[each] for each in rest], self.least, self.most):
            ids = [by_number[entry.number] for entry in made.entries]
            near = self._near(made) if len(ids) < self.least else None
            if near is not None:
                for each in ids:
                    self._take(near, each)
                near.groups = tuple(sorted({*near.groups, *made.groups}))
                continue
            number = max(self.made, default=0) + 1
            self.made[number] = Planned(number, made.groups, ids, changed=True, joined=list(ids))

    def _near(self, made: Flight) -> Planned | None:
        """The open flight with room for a few entries that is most like them, if one is like enough."""
        mean = mean_palate(made.entries)
        best: tuple[float, int, Planned] | None = None
        for flight in {f.number: f for group in self.open.values() for f in group}.values():
            entries = [self.known[each] for each in flight.ids]
            if not entries or len(entries) + len(made.entries) > self.most:
                continue
            other = mean_palate(entries)
            apart = distance(mean, other)
            if apart <= NEAR and abs(mean.sour - other.sour) <= SOUR_APART and (best is None or apart < best[0]):
                best = (apart, flight.number, flight)
        return best[2] if best is not None else None


def _group(entry: Tasted) -> str:
    return entry.group or NO_GROUP
