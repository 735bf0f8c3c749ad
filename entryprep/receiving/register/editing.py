"""An edited list of entries read back: what a person changed in it becomes changes, what both changed is asked about.

Each row says by the number of its last change which state it was written from. A cell is held against the register as
it was then and as it is now, so that an old list takes nothing back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from entryprep.findings import Finding
from entryprep.formats.csvtext import plain_cell
from entryprep.formats.spreadsheet import Sheet
from entryprep.receiving.declaration import tidy
from entryprep.receiving.numbers import is_valid
from entryprep.receiving.register.book import Register
from entryprep.receiving.register.changes import STANDINGS
from entryprep.receiving.register.listing import SHOWN
from entryprep.receiving.register.state import Entry, State
from entryprep.tables.rules import refused
from entryprep.text import fold

EDITABLE = ("standing", "number", *SHOWN)
NEEDED = ("entry", "change")
_WORD_OF = {standing: word for word, standing in STANDINGS.items()}


@dataclass
class ReadBack:
    """What came of a list: entries that were changed, questions raised, and rows that could not be used."""

    changed: list[str] = field(default_factory=list)
    raised: list[int] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


def read_back(register: Register, sheet: Sheet) -> ReadBack:
    """Take the changes of an edited list into the register. Raises RecordError for a sheet that is no such list."""
    columns = {fold(name): place for place, name in enumerate(sheet.header)}
    for name in NEEDED:
        if name not in columns:
            raise refused("sheet", sheet.name, "no-list", field=name)
    return _Reading(register, sheet, columns).done()


class _Reading:
    def __init__(self, register: Register, sheet: Sheet, columns: Mapping[str, int]) -> None:
        self.register, self.sheet, self.columns = register, sheet, columns
        self.back = ReadBack()

    def done(self) -> ReadBack:
        """Every row; what it was written from is looked up for all of them at once."""
        rows = list(self._rows())
        before = _as_of(self.register, {entry.id: n for _, entry, n, _ in rows if n != entry.touched})
        for row, entry, _, said in rows:
            now = values_of(self.register.state, entry)
            self._row(row, entry, said, before.get(entry.id, now), now)
        return self.back

    def _rows(self) -> Iterator[tuple[int, Entry, int, dict[str, str]]]:
        for row in self.sheet.rows():
            said = {name: tidy(plain_cell(row.cells[place])) for name, place in self.columns.items()}
            entry = self.register.state.entries.get(said["entry"])
            number = said["change"]
            if entry is None:
                self._told(row.number, "entry", {"entry": said["entry"][:40] or "nothing"})
            elif not self._is_of(entry, number):
                self._told(row.number, "change", {"entry": entry.id, "change": number[:20] or "nothing"}, "change")
            else:
                yield row.number, entry, int(number), said

    def _is_of(self, entry: Entry, number: str) -> bool:
        """Whether a number is that of a change of an entry: a program that makes 8 of 08 moves no row to another."""
        changes = self.register.journal.changes
        if not (number.isascii() and number.isdigit() and 0 < int(number) <= len(changes)):
            return False
        return changes[int(number) - 1].said.get("entry") == entry.id

    def _row(
        self, row: int, entry: Entry, said: Mapping[str, str], before: Mapping[str, str], now: Mapping[str, str]
    ) -> None:
        for name in EDITABLE:
            if name not in said or said[name] in {now[name], before[name]}:
                continue  # nobody changed it here; what was changed in the register meanwhile stands
            effect = self._effect(row, entry, name, said[name], now[name])
            if effect is None:
                continue
            if now[name] == before[name]:
                self.register.note_all([effect], "the list of entries, edited")
                self.back.changed += [entry.id] if entry.id not in self.back.changed else []
            else:
                self._ask(entry, name, said[name], now[name], effect)

    def _effect(self, row: int, entry: Entry, name: str, said: str, now: str) -> dict[str, Any] | None:
        """The change that a cell asks for; None where it cannot be made, which is told."""
        if name == "standing":
            word = _WORD_OF.get(said, said)
            if word in STANDINGS:
                return {"what": word, "entry": entry.id}
            self._told(row, name, {"entry": entry.id, "said": said[:30] or "nothing"}, "standing")
            return None
        if name == "number":
            number = "".join(said.split())
            if is_valid(number) and number not in self.register.state.owners:
                return {"what": "numbered", "entry": entry.id, "number": number}
            owner = self.register.state.owners.get(number)
            case = "number" if owner is None else "issued"
            self._told(row, name, {"entry": entry.id, "said": said[:20] or "nothing", "owner": owner}, case)
            return None
        return {"what": "moved", "entry": entry.id, "to": {name: said}, "was": {name: now}}

    def _ask(self, entry: Entry, name: str, said: str, now: str, effect: Mapping[str, Any]) -> None:
        key = f"register-edited\x1f{entry.id}\x1f{name}\x1f{said}\x1f{now}"
        if key in self.register.state.asked:
            return
        number = len(self.register.state.questions) + 1
        values = {"field": name, "sheet": said or "nothing", "here": now or "nothing"}
        answers: dict[str, Sequence[Mapping[str, Any]]] = {"sheet": [effect], "register": []}
        self.register.note(
            "asked",
            q=number,
            kind="register-edited",
            key=key,
            about=entry.id,
            values=values,
            answers=answers,
        )
        self.back.raised.append(number)

    def _told(self, row: int, name: str, values: Mapping[str, object], case: str = "") -> None:
        column = self.columns[name] + 1
        self.back.findings.append(self.sheet.finding("register-list-row", row, column, values, case=case))


def values_of(state: State, entry: Entry) -> dict[str, str]:
    """What the list of entries says of an entry, of what may be edited in it."""
    texts = state.texts(entry)
    return {"standing": entry.standing, "number": entry.number, **{name: texts.get(name, "") for name in SHOWN}}


def _as_of(register: Register, wanted: Mapping[str, int]) -> dict[str, dict[str, str]]:
    """What the list said of some entries after some change of each, in one pass over the journal."""
    state, found = State(), dict[str, dict[str, str]]()
    by_change: dict[int, list[str]] = {}
    for entry, number in wanted.items():
        by_change.setdefault(number, []).append(entry)
    for change in register.journal.changes if wanted else ():
        state.apply(change)
        for entry in by_change.get(change.n, ()):
            if entry in state.entries:
                found[entry] = values_of(state, state.entries[entry])
    return found
