"""Scores kept in a register: each as it was last typed, every change of one in the journal."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from entryprep.findings import Finding
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.state import State
from entryprep.receiving.scores import Score, says_something, superseding
from entryprep.tables.rules import finding
from entryprep.tables.scales import PARTS
from entryprep.text import name_key, several

_KEPT = ("total", "agreed", "improve", "faults", "creative", "place")


def note_scores(register: Register, scores: Iterable[Score], file: str) -> list[Finding]:
    """Note what is new or other than before; each change of a score is told, those of a flight that was printed again
    once for all its rows: the sheet printed later counts. Empty rows take nothing away.

    Scores of numbers that no entry of the register has are left out: they are told elsewhere.
    """
    state, findings = register.state, list[Finding]()
    superseded: dict[tuple[str, str], list[Score]] = {}
    for score in scores:
        entry = state.owners.get(score.number)
        if entry is None or not says_something(score):
            continue
        said = _said(score)
        before = state.scores.get((entry, name_key(score.judge)))
        if before is not None and all(before.get(name) == value for name, value in said.items()):
            continue
        late = before.get("printing", 0) if before is not None and score.printing else 0
        if late > score.printing:
            superseded.setdefault((score.sheet, "kept"), []).append(score)
            continue
        if 0 < late < score.printing:
            superseded.setdefault((score.sheet, "newer"), []).append(score)
        elif before is not None:
            was, now = _shown(before), _shown(said)
            values = {"judge": score.judge[:60], "number": score.number, "was": was, "now": now}
            case = "" if was != now else "words"
            findings.append(finding("score-changed", values, file=score.sheet or file, line=score.row, case=case))
        came = {"printing": score.printing} if score.printing else {}
        register.note("scored", entry=entry, judge=score.judge, number=score.number, **said, **came)
    flights = {n: number for number, flight in state.flights.items() for n in _numbers(state, flight["entries"])}
    return findings + [superseding(those, flights, case) for (_, case), those in superseded.items()]


def _numbers(state: State, entries: Iterable[str]) -> list[str]:
    """Every number that these entries ever had."""
    return [number for each in entries if each in state.entries for number in state.entries[each].numbers]


def kept_scores(state: State) -> list[Score]:
    """The scores that stand in a register of entries that are judged, by the blind number each has now."""
    return [
        _score(state, entry, said)
        for (entry, _), said in state.scores.items()
        if entry in state.entries and state.entries[entry].poured
    ]


def not_judged(state: State) -> dict[str, tuple[str, str]]:
    """By every blind number of an entry that is not judged, which it is and how it stands."""
    entries = [entry for entry in state.entries.values() if not entry.poured]
    return {number: (entry.id, entry.stands) for entry in entries for number in entry.numbers}


def not_ranked(state: State, file: str) -> list[Finding]:
    """Entries that have scores and are not judged: what is told of them."""
    counts = Counter(entry for entry, _ in state.scores if entry in state.entries and not state.entries[entry].poured)
    findings = []
    for each, count in counts.items():
        entry = state.entries[each]
        values = {"entry": each, "number": entry.number, "standing": entry.stands, "count": _are(count)}
        findings.append(finding("entry-not-ranked", values, file=file, about=each))
    return findings


def _are(count: int) -> str:
    return several(count, "score is", "scores are")


def _said(score: Score) -> dict[str, Any]:
    """What is kept of a score, as plain values."""
    kept: dict[str, Any] = {name: getattr(score, name) for name in _KEPT}
    return {**kept, "marks": list(score.marks), "said": list(score.said)}


def _shown(said: Mapping[str, Any]) -> str:
    parts = [f"{said['total']:g}"] if said.get("total") is not None else ["no sum"]
    parts += [f"agreed {said['agreed']:g}"] if said.get("agreed") is not None else []
    return ", ".join(parts + ([f"place {said['place']}"] if said.get("place") else []))


def _score(state: State, entry: str, said: Mapping[str, Any]) -> Score:
    marks, words = said.get("marks", [None] * len(PARTS)), said.get("said", [""] * len(PARTS))
    number = state.entries[entry].number or str(said.get("number", ""))
    return Score(
        number,
        str(said["judge"]),
        tuple(marks),
        said.get("total"),
        said.get("agreed"),
        tuple(words),
        str(said.get("improve", "")),
        str(said.get("faults", "")),
        bool(said.get("creative")),
        0,
        int(said.get("place", 0)),
    )
