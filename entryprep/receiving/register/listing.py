"""The list of entries for people: a sheet made from the register, to be read, sorted and printed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from entryprep.formats.csvtext import csv_bytes
from entryprep.receiving.register.state import State

ENTRIES, KEY, JUDGING = "entries.csv", "key.csv", "judging.csv"
FLIGHTS, PANELS = "flights.csv", "panels.csv"
SCORES, SCORES_BOOK = "scores.csv", "scores.xlsx"
"""Files of a register, by what they hold."""
PRINTING = "printing-"  # and the number of a printing: the folder of its papers
SHOWN = ("brewer", "contact", "beer", "category", "style", "base")
LIST_COLUMNS = ("entry", "standing", "number", *SHOWN, "flight", "club", "earlier numbers", "change")
"""``change`` is the number of the last change of the row: by it an edited list is held against the register."""


def printing_of(folder: Path, path: Path) -> int:
    """The printing that a sheet of scores in a register came with, 0 for any other file."""
    with suppress(OSError, ValueError):
        where = path.resolve().relative_to(folder.resolve()).as_posix()
        found = re.fullmatch(rf"{PRINTING}(\d+)/(?:{re.escape(SCORES)}|{re.escape(SCORES_BOOK)})", where)
        return int(found[1]) if found else 0
    return 0


def entries_csv(state: State) -> bytes:
    """All entries, in the order they came, as a CSV file; it joins numbers to people."""
    return csv_bytes(LIST_COLUMNS, _rows(state))


def _rows(state: State) -> Iterator[tuple[object, ...]]:
    flights = {each: number for number, flight in state.flights.items() for each in flight["entries"]}
    for entry in state.entries.values():
        texts = state.texts(entry)
        earlier = ", ".join(number for number in entry.numbers if number != entry.number)
        said = (texts.get(name, "") for name in SHOWN)
        flight = flights.get(entry.id, "")
        yield (entry.id, entry.standing, entry.number, *said, flight, entry.known.club, earlier, entry.touched)
