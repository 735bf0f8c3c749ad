"""Panels once some are printed: judges keep their seats; only who has to go is replaced, and who came fills gaps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from entryprep.receiving.flights import Flight
from entryprep.receiving.panels import Hours, Judge, Panel, may_judge, panels
from entryprep.receiving.register.state import State
from entryprep.text import name_key


def seated_panels(
    state: State, made: Sequence[Flight], judges: Sequence[Judge], each: int, hours: Hours
) -> list[Panel]:
    """A panel for every flight, in their order: as printed, but for judges who left or may no longer sit there.

    Before anything is printed all are seated afresh. A seat that falls free is given to who is free in that round and
    tasted least; a flight that is new comes into the first round after those judged in which enough judges are free.
    """
    there = [judge for judge in judges if _is_there(state, judge.name)]
    if not any(flight.get("judges") for flight in state.flights.values()):
        return panels(made, there, each, hours)
    return _Seats(state, made, judges, each, hours).all()


def _is_there(state: State, name: str) -> bool:
    known = state.judges.get(name_key(name))
    return known is None or known.there


@dataclass
class _Seats:
    state: State
    made: Sequence[Flight]
    judges: Sequence[Judge]
    each: int
    hours: Hours
    busy: dict[int, set[str]] = field(default_factory=dict)
    beers: dict[tuple[str, int], int] = field(default_factory=dict)
    found: dict[int, Panel] = field(default_factory=dict)

    def all(self) -> list[Panel]:
        """The panels in the order of the flights."""
        self.by_name = {judge.name: judge for judge in self.judges}
        self.free = may_judge(self.made, self.judges)
        scored = {entry for entry, _ in self.state.scores}
        self.judged = {n for n, flight in self.state.flights.items() if scored & set(flight["entries"])}
        old = {n: flight for n, flight in self.state.flights.items() if flight.get("round")}
        for flight in self.made:
            if flight.number in old:
                self._keep(flight, old[flight.number])
        for flight in self.made:
            if flight.number in old:
                self._fill(flight)
        for flight in self.made:
            if flight.number not in old:
                self._seat(flight)
        return [self.found[flight.number] for flight in self.made]

    def _keep(self, flight: Flight, printed: Mapping[str, object]) -> None:
        """Those of a printed panel who may stay."""
        stay = list(printed["judges"])  # type: ignore[call-overload]
        if flight.number not in self.judged:
            may = {name for names in self.free[flight.number] for name in names}
            stay = [name for name in stay if name in may and self._still(name, flight.number)]
        near = set(self.free[flight.number][1])
        turn, session, day = (int(str(printed.get(name, 0))) for name in ("round", "session", "day"))
        panel = Panel(flight.number, turn, tuple(stay), tuple(n for n in stay if n in near), 0, session, day or 1)
        self.found[flight.number] = panel
        self._count(flight, panel, stay)

    def _still(self, name: str, number: int) -> bool:
        """Whether a judge is there for a flight: one who left after another still sits in those up to its round."""
        judge = self.state.judges.get(name_key(name))
        if judge is None or judge.there:
            return judge is not None
        last = self.state.flights.get(judge.gone, {}).get("round", 0)
        turn = self.state.flights.get(number, {}).get("round", 0)
        return bool(last) and turn <= last

    def _count(self, flight: Flight, panel: Panel, names: Sequence[str]) -> None:
        for name in names:
            self.busy.setdefault(panel.round, set()).add(name)
            key = (name, panel.day)
            self.beers[key] = self.beers.get(key, 0) + len(flight.entries)

    def _fill(self, flight: Flight) -> None:
        """Give away the seats that fell free, and those that were never filled to who has come since."""
        panel = self.found[flight.number]
        if flight.number in self.judged or not flight.entries:
            return
        names = [*panel.judges]
        printed = self.state.flights.get(flight.number)
        had = len(printed["judges"]) if printed else self.each
        for name in self._line(flight, panel):
            enough = had if printed and self._came(name) <= printed["n"] else self.each
            if len(names) < enough and not any(self._apart(name, other) for other in names):
                names.append(name)
                self._count(flight, panel, [name])
        heads = [name for name in names if self.by_name[name].head]
        if heads and set(names) - set(panel.judges) and names[0] not in heads:  # whoever led has gone
            names = [heads[0], *(name for name in names if name != heads[0])]
        near = set(self.free[flight.number][1])
        self.found[flight.number] = replace(
            panel,
            judges=tuple(names),
            near=tuple(name for name in names if name in near),
            short=max(self.each - len(names), 0),
        )

    def _came(self, name: str) -> int:
        known = self.state.judges.get(name_key(name))
        return known.came if known is not None else 0

    def _line(self, flight: Flight, panel: Panel) -> list[str]:
        """Who may be asked to sit in a flight, the best first."""
        clear, near = self.free[flight.number]
        able = [name for name in (*clear, *near) if self._may(name, flight, panel)]
        return sorted(able, key=lambda name: (name in near, self.beers.get((name, panel.day), 0), name))

    def _may(self, name: str, flight: Flight, panel: Panel) -> bool:
        judge = self.by_name[name]
        if not _is_there(self.state, name) or name in self.busy.get(panel.round, set()):
            return False
        if panel.session and panel.session - 1 in judge.absent:
            return False
        most = judge.most or self.hours.most
        return not most or self.beers.get((name, panel.day), 0) + len(flight.entries) <= most

    def _apart(self, one: str, other: str) -> bool:
        keys = name_key(one), name_key(other)
        return keys[1] in self.by_name[one].apart or keys[0] in self.by_name[other].apart

    def _seat(self, flight: Flight) -> None:
        """A panel for a flight that had none."""
        past = max((f.get("round", 0) for n, f in self.state.flights.items() if n in self.judged), default=0)
        last = max((panel.round for panel in self.found.values()), default=0)
        slots = {panel.round: panel for panel in self.found.values() if panel.round}
        for turn in range(past + 1, last + 2):
            like = slots.get(turn, slots.get(last))
            session = like.session if like is not None and turn <= last else 0
            panel = Panel(flight.number, turn, (), (), self.each, session, like.day if like else 1)
            if turn > last or len(self._line(flight, panel)) >= self.each:
                break
        self.found[flight.number] = panel
        self._fill(flight)
        if not self.found[flight.number].judges:
            self.found[flight.number] = replace(self.found[flight.number], round=0)
