"""Opening a register: for reading, or to add to it under the lock of its folder."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from entryprep.output import Claimed, claimed, part_of
from entryprep.receiving.codes import COMPETITION
from entryprep.receiving.numbers import checked_number, drawn
from entryprep.receiving.register.journal import (
    FORMAT,
    JOURNAL,
    Change,
    Journal,
    RegisterError,
    mending,
    read_journal,
)
from entryprep.receiving.register.state import Entry, State

BESIDE = (JOURNAL, COMPETITION, part_of(Path(COMPETITION)).name)
"""Files of the folder that are no papers: the journal, and the competition's file, which is its owner's, also while a
run was cut short that put it there."""


@dataclass
class Register:
    """An open register. What is noted stands in ``state`` at once, and on the disk when :meth:`settle` returns."""

    folder: Path
    journal: Journal
    state: State
    at: str
    who: str = ""
    place: Claimed | None = None
    mended: int = 0
    _waiting: list[Change] = field(default_factory=list)

    def note(self, what: str, why: str = "", /, **said: Any) -> Change:
        """Add one change; it is on the disk only once :meth:`settle` has returned."""
        change = Change(self.journal.next + len(self._waiting), self.at, what, self.who, why, said)
        self.state.apply(change)
        self._waiting.append(change)
        return change

    def note_all(self, effects: Iterable[Mapping[str, Any]], why: str = "") -> None:
        """Add changes that a question holds ready for its answer."""
        for effect in effects:
            said = {name: value for name, value in effect.items() if name != "what"}
            if effect["what"] == "entered":
                said["entry"] = self.state.free_name(said["entry"])
            self.note(effect["what"], why, **said)

    def settle(self) -> int:
        """Write what was noted, and how many changes that were. Raises OSError for a disk that refuses."""
        count = len(self._waiting)
        self.journal.append(self._waiting)
        self._waiting = []
        return count

    def waiting_entries(self) -> list[str]:
        """The entries that the changes name which are not settled yet, each once."""
        named = (str(change.said.get("entry", "")) for change in self._waiting)
        return [each for each in dict.fromkeys(named) if each in self.state.entries]

    def draw_numbers(self) -> list[Entry]:
        """Give a blind number to each entry that has none and is poured, where the seed is known; who got one."""
        state = self.state
        wanted = [entry for entry in state.entries.values() if not entry.number and entry.poured]
        if not wanted or not state.seed:
            return []
        numbers = self._drawn([entry.id for entry in wanted])
        for entry in wanted:
            self.note("numbered", entry=entry.id, number=numbers[entry.id])
        return wanted

    def renumber(self, entry: Entry, number: str = "", why: str = "") -> str:
        """Give an entry a fresh number, drawn or as a spare label has it; the old one is never used again.

        Raises RegisterError for a number that was issued before or cannot be drawn, NumberError for one misread.
        """
        state = self.state
        if number:
            fresh = checked_number(number)
            if fresh in state.owners:
                whose = state.owners[fresh]
                raise RegisterError(f"{fresh} was issued to entry {whose} already", "take a label that nobody had")
        elif not state.seed:
            raise RegisterError("no numbers were drawn in this register", "draw them with intake --seed first")
        else:
            key = f"{entry.id} again {len(entry.numbers)}"
            fresh = self._drawn([key])[key]
        self.note("numbered", why, entry=entry.id, number=fresh)
        return fresh

    def _drawn(self, keys: list[str]) -> dict[str, str]:
        given = {f"issued {number}": number for number in self.state.owners}
        return drawn(keys, self.state.seed, given)


def is_register(folder: Path) -> bool:
    """Whether a folder holds a register."""
    return (folder / JOURNAL).is_file()


def read_register(folder: Path, at: str = "") -> Register:
    """A register as it stands, to be read only. Raises RegisterError where there is none, or none that can be used."""
    if not is_register(folder):
        raise RegisterError(
            "there is no register in this folder",
            "name the folder that intake --out wrote to, or make one with it",
            folder.as_posix(),
        )
    journal = read_journal(folder / JOURNAL)
    return Register(folder, journal, _folded(journal), at)


@contextmanager
def held_register(folder: Path, at: str, who: str = "", *, new: bool = False) -> Iterator[Register]:
    """A register to add to; this run alone writes to its folder meanwhile. ``at`` is the time of its changes.

    With ``new`` one is begun where there is none. What a run that was killed left unfinished is mended first. Raises
    RegisterError, and OutputError as :func:`entryprep.output.claimed` does.
    """
    if not new and not is_register(folder):
        read_register(folder)
    with claimed(folder, BESIDE) as place:
        journal = read_journal(folder / JOURNAL)
        register = Register(folder, journal, _folded(journal), at, who, place, len(journal.torn))
        for change in mending(journal, at):
            register.note(change.what, change.why, **change.said)
        if not register.state.opened:
            register.note("opened", format=FORMAT)
        yield register


def _folded(journal: Journal) -> State:
    state = State()
    for change in journal.changes:
        try:
            state.apply(change)
        except (KeyError, TypeError, ValueError, AttributeError, IndexError):
            raise RegisterError(
                f"change {change.n} ({change.what[:40]}) does not follow from those before it",
                "put back a copy of the file from before it was changed; nothing was written to it now",
                journal.path.as_posix(),
            ) from None
    return state


def said_of(register: Register, entry: str) -> list[Change]:
    """The changes that name an entry, in their order."""
    return [change for change in register.journal.changes if change.said.get("entry") == entry]
