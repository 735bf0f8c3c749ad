"""What is printed, as the register keeps it, and which panels are no longer as they were printed."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from entryprep.receiving.panels import Panel
from entryprep.receiving.register.planning import Planned
from entryprep.receiving.register.state import State
from entryprep.receiving.tasting import Tasted


def mark_panels(state: State, plan: Sequence[Planned], seated: Sequence[Panel]) -> None:
    """Mark flights as changed whose panel is no longer the printed one."""
    seats = {panel.flight: panel for panel in seated}
    for flight in plan:
        printed, panel = state.flights.get(flight.number), seats.get(flight.number)
        if printed is None or panel is None or flight.judged:
            continue
        before, now = list(printed["judges"]), list(panel.judges)
        if (now, panel.round) != (before, printed["round"]):
            flight.changed = True
            flight.judges_left = [name for name in before if name not in now]
            flight.judges_joined = [name for name in now if name not in before]


def mark_reworded(state: State, plan: Sequence[Planned], known: Mapping[str, Tasted], when: Mapping[int, str]) -> None:
    """Mark flights whose sheets would say something else since the competition's file was changed: its codes say which
    style an entry is, its sessions when it is judged. ``when`` is the session of each flight as it stands now.

    Nothing else is compared so: a sheet in somebody's hands does not change because our own tables do.
    """
    for flight in plan:
        printed = state.flights.get(flight.number)
        if printed is None or flight.judged or flight.changed or state.competition.get("n", 0) <= printed["n"]:
            continue
        reworded = _digest(printed, [known[each] for each in flight.ids]) != printed["digest"]
        flight.changed = reworded or printed.get("when", "") != when.get(flight.number, printed.get("when", ""))


NO_SESSIONS: Mapping[int, str] = MappingProxyType({})
_SHEET = ("flight", "groups", "entries", "numbers", "judges", "round", "session", "day")


def _digest(said: Mapping[str, Any], entries: Sequence[Tasted]) -> str:
    """A digest of all that is read on a flight's sheets (SHA-256)."""
    words = [[e.number, e.named, e.words, e.allergens] for e in entries]
    text = json.dumps([{name: said[name] for name in _SHEET}, words], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def printed_record(
    plan: Sequence[Planned], known: Mapping[str, Tasted], seated: Sequence[Panel], when: Mapping[int, str] = NO_SESSIONS
) -> Iterator[dict[str, Any]]:
    """What the sheets of these flights say, for the journal: entries, numbers, panel, when, and a digest of all that is
    read on them."""
    seats = {panel.flight: panel for panel in seated}
    for flight in plan:
        entries, panel = [known[each] for each in flight.ids], seats.get(flight.number)
        said: dict[str, Any] = {
            "flight": flight.number,
            "groups": list(flight.groups),
            "entries": list(flight.ids),
            "numbers": [entry.number for entry in entries],
            "judges": list(panel.judges) if panel else [],
            "round": panel.round if panel else 0,
            "session": panel.session if panel else 0,
            "day": panel.day if panel else 1,
        }
        yield {**said, "when": when.get(flight.number, ""), "digest": _digest(said, entries)}
