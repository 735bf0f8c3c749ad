"""Sheets for the tests, from text or bytes."""

from __future__ import annotations

import io
from collections.abc import Sequence

from entryprep.formats.columns import looks_like_header, matched
from entryprep.formats.spreadsheet import Sheet, open_sheet
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration, Reader
from entryprep.receiving.intake import declarations
from entryprep.tables.styles import load_styles


def sheet(text: str | bytes, kind: str = "declarations", encoding: str = "", separator: str = "") -> Sheet:
    """An open sheet."""
    content = text.encode() if isinstance(text, str) else text
    return open_sheet(io.BytesIO(content), "s.csv", encoding, separator, lambda cells: looks_like_header(cells, kind))


def check_in(text: str | bytes, bottles: int = 0, told: dict[str, str] | None = None) -> list[Declaration]:
    """The rows of a sheet, checked."""
    opened = sheet(text)
    return list(declarations(CheckIn(Reader(opened, matched(opened, "declarations", told)), load_styles(), bottles)))


def rules(declared: Declaration) -> set[str]:
    """What was found in a row."""
    return {finding.rule for finding in declared.findings}


def lines(header: Sequence[str], *rows: Sequence[str]) -> str:
    """A plain sheet; no cell may hold a separator."""
    return "\n".join(",".join(row) for row in (header, *rows)) + "\n"
