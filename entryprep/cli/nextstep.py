"""The first lines of what a steward is told: the answer, and what to do next with the command that does it."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path

from entryprep.cli.show import console, paragraph
from entryprep.findings import Severity
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.competition import is_edited
from entryprep.receiving.register.listing import PRINTING, SCORES
from entryprep.receiving.register.planning import homeless, stale_flights
from entryprep.receiving.register.state import State
from entryprep.tables.rules import rule_row
from entryprep.text import either, listed, name_key


def say_answer(answer: str, following: str) -> None:
    """The answer on the first line, and what to do next on the second."""
    out = console()
    out.print(paragraph(answer, "bold"))
    if following:
        out.print(paragraph(f"Next: {following}"))


def in_register(folder: Path, words: str) -> str:
    """A command on the register of a folder, as it is typed; ``{}`` stands for the folder."""
    return "entryprep " + words.replace("{}", shlex.quote(folder.as_posix()))


def next_of(register: Register, letters: str = "") -> str:
    """What to do next with a register; ``letters`` are to be sent before anything that cannot be decided here."""
    state, folder = register.state, register.folder
    first = f"{letters}; then " if letters else ""
    questions = state.open_questions()
    errors = [q for q in questions if rule_row(q.kind).severity is Severity.ERROR]
    if questions:
        asked = (errors or questions)[0]
        each = f" (the first of {len(questions)} questions)" if len(questions) > 1 else ""
        return f"{first}{in_register(folder, f'decide {{}} {asked.q}')} {either(list(asked.answers))}{each}"
    if not any(entry.number for entry in state.entries.values()):
        return f"{first}{in_register(folder, 'intake FORM --out {} --seed')} 'words only you know' draws blind numbers"
    if not state.printings:
        judges = "" if state.judges else " --judges judges.csv"
        return f"{first}{in_register(folder, 'flights --out {}')}{judges}"
    if out_of_date(state) or (not judged_all(state) and is_edited(register)):
        return f"{first}{in_register(folder, 'flights --out {}')} prints what has changed, and nothing else"
    if state.scores:
        return f"{first}{in_register(folder, 'results --out {}')}"
    last = sorted({flight["printing"] for flight in state.flights.values() if flight["entries"]})
    sheets = [shlex.quote((folder / f"{PRINTING}{number}" / SCORES).as_posix()) for number in last]
    return f"{first}{scores_step(folder, sheets)}"


def scores_step(folder: Path, sheets: Sequence[str]) -> str:
    """What to do once the flights are printed."""
    also = "".join(f" --also {sheet}" for sheet in sheets[1:])
    then = in_register(folder, f"results {sheets[0]}{also} --out {{}}")
    both = " (a flight that stands in several: into the last of them)" if len(sheets) > 1 else ""
    return f"judge, type the scores into {listed(list(sheets))}{both}; then {then}"


def out_of_date(state: State) -> list[int]:
    """Flights whose printed sheet is no longer true, and 0 where a poured entry is in none."""
    if not state.printings:
        return []
    gone = [judge.name for judge in state.judges.values() if not judge.there]
    seats = [number for number, flight in state.flights.items() if _is_left(state, number, gone)]
    return sorted({*stale_flights(state), *seats, *([0] if homeless(state) else [])})


def judged_all(state: State) -> bool:
    """Whether each printed flight has scores, so that nothing of it is printed again."""
    scored = {entry for entry, _ in state.scores}
    return all(scored & set(flight["entries"]) for flight in state.flights.values() if flight["entries"])


def _is_left(state: State, number: int, gone: Sequence[str]) -> bool:
    """Whether a judge of a printed panel has left before its round."""
    flight = state.flights[number]
    for name in set(flight.get("judges", ())) & set(gone):
        after = state.judges[name_key(name)].gone
        last = state.flights.get(after, {}).get("round", 0)
        if not last or flight["round"] > last:
            return True
    return False
