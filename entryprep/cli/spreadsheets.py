"""Opening the sheets of the receiving side, and telling how their columns are read."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO, cast

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.show import console, paragraph, say_finding, say_findings, table
from entryprep.findings import Finding, Severity, ordered
from entryprep.formats.columns import MappingError, Match, looks_like_header, matched
from entryprep.formats.spreadsheet import SEPARATORS, Sheet, open_sheet
from entryprep.formats.workbook import is_workbook, open_workbook
from entryprep.reading.files import open_plain
from entryprep.tables.rules import dangerous, refused

STDIN = "-"
CHUNK = 1 << 20
MOST_BYTES = 512 << 20  # of a sheet: a hundred thousand rows have a few per cent of that


@contextmanager
def opened(file: Path | None, kind: str, encoding: str = "", separator: str = "") -> Iterator[Sheet]:
    """A sheet of ``kind`` from a file, or from stdin where the file is ``-`` or not named.

    Raises RecordError for what cannot be read and UsageProblem for an unknown separator.
    """
    if separator and separator not in SEPARATORS:
        raise UsageProblem(f"--separator {separator} is not known", f"use {', '.join(SEPARATORS)}")
    name = "stdin" if file is None or file.as_posix() == STDIN else file.as_posix()
    with _stream(file, name) as stream:
        if is_workbook(stream):
            yield open_workbook(stream, name, lambda cells: looks_like_header(cells, kind))
            return
        yield open_sheet(
            stream, name, encoding, SEPARATORS.get(separator, ""), lambda cells: looks_like_header(cells, kind)
        )


@contextmanager
def _stream(file: Path | None, name: str) -> Iterator[BinaryIO]:
    if name == "stdin":
        if sys.stdin is None or sys.stdin.isatty():
            raise UsageProblem(
                "no sheet was named", "name a CSV file or a workbook, or send one in: entryprep intake < sheet.csv"
            )
        with tempfile.TemporaryFile() as kept:
            _keep_stdin(cast(BinaryIO, kept))
            yield cast(BinaryIO, kept)
        return
    assert file is not None
    try:
        if file.exists() and not file.is_file():
            raise refused("sheet", name, "no-plain-file")
        stream = open_plain(file, name)
        if os.fstat(stream.fileno()).st_size > MOST_BYTES:
            stream.close()
            raise refused("sheet", name, "too-large", most=MOST_BYTES >> 20)
    except FileNotFoundError:
        raise refused("sheet", name, "no-file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise refused("sheet", name, "unreadable", reason=reason) from None
    with stream:
        yield stream


def _keep_stdin(kept: BinaryIO) -> None:
    """Copy stdin as far as sheets may go. Raises RecordError for more, or for what cannot be read."""
    left = MOST_BYTES
    try:
        while part := sys.stdin.buffer.read(CHUNK):
            left -= len(part)
            if left < 0:
                raise refused("sheet", "stdin", "too-large", most=MOST_BYTES >> 20)
            kept.write(part)
    except OSError as error:
        raise refused("sheet", "stdin", "unreadable", reason=error.strerror or error) from None


def told_columns(options: Sequence[str]) -> dict[str, str]:
    """``--map field=column`` options by field. Raises UsageProblem for another form."""
    told = {}
    for option in options:
        field, equals, column = option.partition("=")
        if not equals or not field.strip():
            raise UsageProblem(f"--map {option} has not the form field=column", 'write --map style="Beer style"')
        told[field.strip().lower()] = column.strip()
    return told


def columns_of(sheet: Sheet, kind: str, options: Sequence[str], needed: Sequence[str]) -> list[Match]:
    """The columns of a sheet by field. Raises UsageProblem for a wrong mapping, RecordError where one is needed."""
    try:
        matches = matched(sheet, kind, told_columns(options))
    except MappingError as error:
        raise UsageProblem(str(error), error.fix) from None
    have = {m.field for m in matches}
    for field in needed:
        if field not in have:
            names = ", ".join(h.strip()[:30] for h in sheet.header if h.strip())[:300]
            raise refused("sheet", sheet.name, "no-column", field=field, names=names)
    return matches


def unread_columns(sheet: Sheet, matches: Sequence[Match]) -> list[str]:
    """Names of the columns that are not read, in order."""
    read = {m.column for m in matches}
    return [h.strip() for i, h in enumerate(sheet.header) if i not in read and h.strip()]


def columns_json(sheet: Sheet, matches: Sequence[Match]) -> dict[str, Any]:
    """How a sheet was read, as plain values."""
    names = {mark: name for name, mark in SEPARATORS.items()}
    return {
        "sheet": sheet.name,
        "tab": sheet.tab or None,
        "encoding": {"cp1252": "windows-1252", "utf-8-sig": "utf-8"}.get(sheet.encoding, sheet.encoding),
        "separator": names.get(sheet.separator, sheet.separator),
        "columns": [{"column": m.column + 1, "header": m.header, "field": m.field, "how": m.how} for m in matches],
        "columns_not_read": unread_columns(sheet, matches),
    }


def show_columns(sheet: Sheet, matches: Sequence[Match]) -> None:
    """How the columns are read: one line each for those not read by their plain name, one line for the rest."""
    out = console()
    value = columns_json(sheet, matches)
    how = f"sheet “{sheet.tab}”" if sheet.tab else f"{value['encoding']}, {value['separator']} between cells"
    out.print(paragraph(f"{sheet.name}: {how}", "bold"))
    plain = [_called(m) for m in matches if m.how == "name"]
    if plain:
        out.print(paragraph(f"Read by name: {', '.join(plain)}."))
    rows = [(str(m.column + 1), m.header.strip()[:60], m.field, _HOW[m.how]) for m in matches if m.how != "name"]
    if rows:
        out.print(table(("column", "called", "read as", "because of"), rows, right=(0,)))
    unread = value["columns_not_read"]
    if unread:
        out.print(paragraph(f"Not read, but kept: {', '.join(u[:40] for u in unread[:20])}."))


def _called(match: Match) -> str:
    """A header, and the field it is read as where that is another word."""
    header = match.header.strip()[:40]
    return header if header.casefold() == match.field else f"{header} ({match.field})"


_HOW = {"name": "its name", "spelling": "its spelling", "inside": "words in its name", "told": "--map"}


def tell_sheet(sheet: Sheet, least: Severity = Severity.NOTE) -> None:
    """Findings of the sheet as a whole."""
    for finding in ordered(sheet.findings):
        if _RANK[finding.severity] <= _RANK[least]:
            say_finding(finding)


_RANK = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}


def tell_some(findings: Sequence[Finding], most: int) -> None:
    """The gravest findings, what may hurt before all, and how many more there are."""
    grave = sorted(findings, key=lambda f: (_RANK[f.severity], not dangerous(f)))
    say_findings(grave[:most])
    if len(findings) > most:
        console().print(paragraph(f"... and {len(findings) - most} more; --json gives all."))
