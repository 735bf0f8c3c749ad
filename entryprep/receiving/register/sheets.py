"""The entries of a register as sheets, one for each form they came in, so that they are checked as any sheet is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from entryprep.formats.columns import Match
from entryprep.formats.spreadsheet import Row, Sheet
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.register.state import Entry, State
from entryprep.records.identity import Identity
from entryprep.tables.styles import StyleTable


@dataclass
class KeptSheet(Sheet):
    """A sheet whose rows are those kept in a register."""

    kept: tuple[Row, ...] = field(default=(), repr=False)

    def rows(self) -> Iterator[Row]:
        """The rows, in the order of the register."""
        return iter(self.kept)


@dataclass(frozen=True)
class Kept:
    """Entries of one form, ready to be checked: ``entries`` by the number of their row."""

    check: CheckIn
    entries: dict[int, Entry]


def kept_sheets(state: State, name: str, table: StyleTable, entries: list[Entry]) -> list[Kept]:
    """These entries as sheets, in the order in which their forms came; ``name`` is what findings call them.

    Rows are numbered as in the list of entries, whose first row holds the names of its columns. What the register says
    otherwise than the form stands in the cells.
    """
    place = {each: row for row, each in enumerate(state.entries, 2)}
    by_form: dict[str, list[Entry]] = {}
    for entry in entries:
        by_form.setdefault(entry.form, []).append(entry)
    return [_kept(state, name, table, form, group, place) for form, group in by_form.items()]


def _kept(state: State, name: str, table: StyleTable, form: str, entries: list[Entry], place: dict[str, int]) -> Kept:
    known = state.forms[form]
    header = list(known.header)
    fields = dict(known.fields)
    matches = [Match(column, known.header[column], field_name, how) for column, field_name, how in known.columns]
    for extra in sorted({each for entry in entries for each in entry.moved} - set(fields)):
        fields[extra] = len(header)
        matches.append(Match(len(header), extra, extra, "told"))
        header.append(extra)
    rows = []
    for entry in entries:
        cells = [*entry.cells, *[""] * (len(header) - len(entry.cells))]
        for field_name, text in entry.moved.items():
            cells[fields[field_name]] = text
        rows.append(Row(place[entry.id], tuple(cells)))
    sheet = KeptSheet(name, "utf-8", ",", tuple(header), 1, kept=tuple(rows))
    check = CheckIn(Reader(sheet, matches), table)
    return Kept(check, {place[entry.id]: entry for entry in entries})


def meet(kept: list[Kept], others: tuple[Identity, ...] = ()) -> list[Kept]:
    """Let the sheets know each other's entrants, and ``others``, so that no declaration tells one; the same sheets."""
    people = [tuple(each.check.blind.entrants()) for each in kept] if len(kept) > 1 else [()]
    for place, each in enumerate(kept):
        each.check.blind.others = (*others, *(who for i, group in enumerate(people) if i != place for who in group))
    return kept


def strangers(kept: list[Kept]) -> tuple[Identity, ...]:
    """The entrants of these sheets."""
    return tuple(who for each in kept for who in each.check.blind.entrants())
