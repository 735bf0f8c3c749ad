"""What check-in writes: the annotated sheet, the sheet for the judges' side, and the key that joins the two.

Only the key holds people and blind numbers together. The judges' side is in the order of its numbers.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import IO, Any

from entryprep.findings import Finding, Severity
from entryprep.formats.csvtext import csv_bytes, csv_cell, plain_cell
from entryprep.formats.spreadsheet import Row, Sheet, open_sheet
from entryprep.reading.files import open_plain
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.checks_stated import judges_words
from entryprep.receiving.declaration import CAUTIONS, Declaration
from entryprep.receiving.numbers import is_valid
from entryprep.tables.rules import refused
from entryprep.vitals import VITALS, exact

JUDGING_COLUMNS = ("number", "category", "style", "base", "declaration", *VITALS, "allergens")
KEY_COLUMNS = ("number", "entry", "brewer", "contact", "beer", "club", "language")
NOTED = ("read as", "base read as", "fit", "allergens to name", "declarations missing", "found", "to ask")
SEPARATE = " | "


class Annotated:
    """Writes the sheet as it came, each row with what was found in it, to a binary stream as it goes."""

    def __init__(self, stream: IO[bytes], sheet: Sheet) -> None:
        stream.write(b"\xef\xbb\xbf")
        self._text = io.TextIOWrapper(stream, "utf-8", newline="", write_through=False)
        self._writer = csv.writer(self._text)
        self._write((*sheet.header, "beyond the last column", *NOTED))

    def add(self, declared: Declaration) -> None:
        """One row."""
        row, fit = declared.row, declared.fit
        own = (
            declared.style.name if declared.style else "",
            declared.base.name if declared.base else "",
            "" if fit is None or fit.score is None else f"{fit.score:.0f}",
            ", ".join(declared.allergens),
            ", ".join(declared.missing),
            SEPARATE.join(map(_found, declared.findings)),
            SEPARATE.join(declared.questions),
        )
        self._write((*row.cells, SEPARATE.join(row.beyond), *own))

    def close(self) -> None:
        """Write what is left."""
        self._text.flush()
        self._text.detach()

    def _write(self, cells: Sequence[str]) -> None:
        self._writer.writerow([csv_cell(cell) for cell in cells])


def _found(finding: Finding) -> str:
    caution = f" ({finding.fix})" if finding.rule in CAUTIONS else ""
    return f"{finding.severity.value}: {finding.what}{caution}"


def judging_row(check: CheckIn, declared: Declaration, number: str) -> tuple[str, ...]:
    """One entry as the judges' side may know it: JUDGING_COLUMNS; nothing that tells whose it is."""
    known = declared.vitals.known if declared.vitals else {}
    numbers = (exact(v, known[v].value) if v in known else "" for v in VITALS)
    blind = check.blind
    said = (blind.category(declared), blind.style(declared), blind.base(declared), judges_words(check, declared))
    return (number, *said, *numbers, ", ".join(blind.blinded(declared, each) for each in declared.allergens))


def key_row(declared: Declaration, number: str, key: str) -> tuple[str, ...]:
    """One entry in the key; ``key`` tells rows with the same entry number apart."""
    return (number, key, *(declared.text(name) for name in KEY_COLUMNS[2:]))


class SortedRows:
    """Rows of a CSV file in the order of their first cells, kept as lines so that many need little room."""

    def __init__(self, columns: Sequence[str]) -> None:
        self._head = csv_bytes(columns, ())
        self._lines: list[bytes] = []

    def add(self, cells: Sequence[str]) -> None:
        """One row."""
        stream = io.StringIO()
        csv.writer(stream).writerow([csv_cell(cell) for cell in cells])
        self._lines.append(stream.getvalue().encode())

    def content(self) -> bytes:
        """The whole file; the rows are gone from here afterwards."""
        self._lines.sort()
        made = self._head + b"".join(self._lines)
        self._lines.clear()
        return made


def entry_key(entry: str, turn: int) -> str:
    """What the number of an entry hangs on: its own number, and which of the rows with that number it is.

    No two entries share one: an own number that ends as a key would, such as ``1 (2)``, is always told its turn.
    """
    return entry if turn == 1 and not _TURN.search(entry) else f"{entry} ({turn})"


_TURN = re.compile(r" \([1-9][0-9]*\)$")


class EntryKeys:
    """Keys of entries as their rows come; the same for the same rows."""

    def __init__(self) -> None:
        self._turns: dict[str, int] = {}

    def next(self, entry: str) -> str:
        """The key of the next row that has this entry number."""
        self._turns[entry] = self._turns.get(entry, 0) + 1
        return entry_key(entry, self._turns[entry])


def read_key(path: Path) -> dict[str, dict[str, str]]:
    """The key by blind number, each row by KEY_COLUMNS. Raises RecordError for what is no sheet, OSError.

    Rows whose number has a wrong check digit are left out: they are not ours.
    """
    with open_plain(path, path.as_posix()) as stream:
        sheet = open_sheet(stream, path.as_posix())
        columns = {name: i for i, name in enumerate(sheet.header)}
        rows = (_named_cells(row, columns) for row in sheet.rows())
        return {row["number"]: row for row in rows if is_valid(row["number"])}


def people_of(key: Path) -> dict[str, dict[str, str]]:
    """The key as :func:`read_key` gives it; a file that cannot be opened is refused with a RecordError too."""
    try:
        return read_key(key)
    except OSError as error:
        raise refused("sheet", key.as_posix(), "key-unreadable", reason=error.strerror) from None


def _named_cells(row: Row, columns: Mapping[str, int]) -> dict[str, str]:
    return {name: plain_cell(row.cells[columns[name]]) if name in columns else "" for name in KEY_COLUMNS}


def declared_json(declared: Declaration) -> dict[str, Any]:
    """One entry as plain values for ``--json``: what was read and what was found; no blind number."""
    fit = declared.fit
    return {
        "row": declared.row.number,
        "entry": declared.entry,
        "declared": dict(declared.texts),
        "style": declared.style.id if declared.style else None,
        "style_how": declared.named.how,
        "candidates": list(declared.named.candidates) if declared.style is None else [],
        "base": declared.base.id if declared.base else None,
        "vitals": {n: round(r.value, 5) for n, r in declared.vitals.known.items()} if declared.vitals else {},
        "fit": None if fit is None or fit.score is None else round(fit.score, 2),
        "outside": {
            part.vital: {"miss": round(part.miss, 5), "in_errors": round(part.miss_in_errors, 2), "words": part.words}
            for part in (fit.parts if fit else ())
            if part.miss
        },
        "missing": list(declared.missing),
        "allergens": list(declared.allergens),
        "remarks": list(declared.remarks),
        "questions": list(declared.questions),
        "worst": declared.worst.value if isinstance(declared.worst, Severity) else None,
        "findings": [finding.as_json() for finding in declared.findings],
    }
