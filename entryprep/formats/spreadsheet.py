"""A sheet of separated values as people save it: rows numbered as a spreadsheet numbers them, none lost."""

from __future__ import annotations

import csv
import io
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import BinaryIO

from entryprep.findings import Finding
from entryprep.formats.encoding import sheet_encoding
from entryprep.tables.rules import NO_VALUES, finding, refused

SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
LONGEST_LINE = 1 << 20
MOST_LINES = 100  # of one row: a quotation mark that is still open after so many was never closed
LOOK_AHEAD = 12  # rows among which the column names are looked for: titles may stand above them


@dataclass(frozen=True)
class Row:
    """One row: its number as a spreadsheet counts, one text per column, what stood beyond the last column."""

    number: int
    cells: tuple[str, ...]
    beyond: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass
class Sheet:
    """An open sheet. ``findings`` are those of the sheet as a whole; those of a row come with the row."""

    name: str
    encoding: str
    separator: str
    header: tuple[str, ...]
    header_row: int
    tab: str = ""
    """The sheet of a workbook that this is; empty where it is separated values."""
    findings: list[Finding] = field(default_factory=list)
    aside: Callable[[tuple[str, ...]], str | None] | None = field(default=None, repr=False)
    """Says why a row is none of the table (a case of the rule ``sheet-row-aside``), or None where it is one."""
    _stream: BinaryIO = field(default_factory=io.BytesIO, repr=False)

    def finding(
        self,
        rule: str,
        row: int = 0,
        column: int = 0,
        values: Mapping[str, object] = NO_VALUES,
        *,
        milder: bool = False,
        case: str = "",
    ) -> Finding:
        """A finding at a row and column of this sheet, with the values that its rule's words need."""
        column = column or min(row, 1)
        return finding(rule, values, file=self.name, line=row, column=column, milder=milder, case=case)

    def rows(self) -> Iterator[Row]:
        """The rows below the column names, blank ones left out; may be called again."""
        for number, cells, broken in _records(self._stream, self.encoding, self.separator):
            if number <= self.header_row or not any(cell.strip() for cell in cells):
                continue
            if number > self.header_row and tuple(cells) == self.header:
                self.findings.append(self.finding("sheet-header-again", number))
                continue
            if self.aside is not None and (case := self.aside(tuple(cells))) is not None:
                said = next(cell.strip() for cell in cells if cell.strip())[:40]
                self.findings.append(self.finding("sheet-row-aside", number, 0, {"said": said}, case=case))
                continue
            yield self._row(number, cells, broken)

    def _row(self, number: int, cells: list[str], broken: bool) -> Row:
        width = len(self.header)
        found: list[Finding] = []
        if broken:
            found.append(self.finding("sheet-quotation", number))
        while len(cells) > width and not cells[-1].strip():
            cells.pop()
        if len(cells) != width:
            case, column = "short" if len(cells) < width else "", min(len(cells), width) + 1
            found.append(
                self.finding("sheet-ragged", number, column, {"cells": len(cells), "columns": width}, case=case)
            )
        kept_cells = tuple(cells[:width]) + ("",) * (width - len(cells))
        return Row(number, kept_cells, tuple(cells[width:]), tuple(found))


def open_sheet(
    stream: BinaryIO,
    name: str,
    encoding: str = "",
    separator: str = "",
    is_header: Callable[[Sequence[str]], bool] = lambda _cells: True,
) -> Sheet:
    """Open a sheet on a seekable binary stream; ``is_header`` says which of the first rows holds the column names.

    ``encoding`` and ``separator`` (a character) are found where they are not given. Raises RecordError for a file
    that is empty, binary or in an unknown encoding, and for one without a row below its column names.
    """
    coding = sheet_encoding(stream, name, encoding)
    first = _first_line(stream, coding)
    declared = first[4:5] if first[:4].lower() == "sep=" and len(first.strip()) == 5 else ""
    mark = separator or declared or _separator(stream, coding)
    rows = []
    for number, cells, _broken in _records(stream, coding, mark):
        if any(cell.strip() for cell in cells) and not (number == 1 and declared):
            rows.append((number, tuple(cells)))
        if len(rows) > LOOK_AHEAD:
            break
    if not rows:
        raise refused("sheet", name)
    number, header = next(((n, c) for n, c in rows if is_header(c)), rows[0])
    if all(n <= number or c == header for n, c in rows) and len(rows) <= LOOK_AHEAD:
        raise refused("sheet", name, "no-rows" if is_header(header) else "one-row")
    while len(header) > 1 and not header[-1].strip():
        header = header[:-1]
    sheet = Sheet(name, coding, mark, header, number, _stream=stream)
    _tell_about(sheet, rows[0][0])
    return sheet


def _tell_about(sheet: Sheet, first_row: int) -> None:
    if sheet.encoding == "cp1252":
        sheet.findings.append(sheet.finding("sheet-encoding"))
    if sheet.header_row > first_row:
        sheet.findings.append(sheet.finding("sheet-title", first_row, 0, {"header_row": sheet.header_row}))
    for column, text in enumerate(sheet.header, 1):
        if not text.strip():
            sheet.findings.append(sheet.finding("sheet-unnamed", sheet.header_row, column))


class _Unclosed(Exception):
    """A row goes on for too many lines."""


class _Lines:
    """Lines of a stream, of which those of the row being read are remembered and can be given back."""

    def __init__(self, stream: BinaryIO, encoding: str) -> None:
        stream.seek(0)
        self.text = io.TextIOWrapper(stream, encoding, newline="")
        self.waiting: deque[str] = deque()
        self.taken: list[str] = []

    def __iter__(self) -> _Lines:
        return self

    def __next__(self) -> str:
        if len(self.taken) >= MOST_LINES:
            raise _Unclosed
        line = self.waiting.popleft() if self.waiting else self.text.readline(LONGEST_LINE)
        if not line:
            raise StopIteration
        self.taken.append(line)
        return line


def _records(stream: BinaryIO, encoding: str, separator: str) -> Iterator[tuple[int, list[str], bool]]:
    """Rows with their numbers, and whether their quotation marks were broken.

    A broken row is read as the one line it begins with, so that it takes none of the following with it.
    """
    lines = _Lines(stream, encoding)
    reader = csv.reader(lines, delimiter=separator, strict=True)
    number, width = 0, 0
    try:
        while True:
            lines.taken.clear()
            number += 1
            try:
                cells = next(reader)
                broken = False
            except StopIteration:
                return
            except (csv.Error, _Unclosed):
                first, *rest = lines.taken
                lines.waiting.extendleft(reversed(rest))
                cells, broken = _one_line(first, separator, width), True
                reader = csv.reader(lines, delimiter=separator, strict=True)
            width = width if broken else len(cells)
            yield number, cells, broken
    finally:
        lines.text.detach()


def _one_line(line: str, separator: str, width: int) -> list[str]:
    plain = line.rstrip("\r\n")
    ways = (
        [list(csv.reader([plain], delimiter=separator, quoting=q)) for q in (csv.QUOTE_MINIMAL, csv.QUOTE_NONE)]
        if (len(plain) < csv.field_size_limit())
        else []
    )
    for found in ways:
        if found and len(found[0]) == width:
            return found[0]
    return ways[-1][0] if ways and ways[-1] else [plain[:1000]]


def _first_line(stream: BinaryIO, encoding: str) -> str:
    for _, cells, _ in _records(stream, encoding, "\x1f"):
        return "".join(cells)
    return ""


def _separator(stream: BinaryIO, encoding: str) -> str:
    """The separator that cuts the first rows into most cells, evenly; the first of the list where all do alike."""
    best, best_score = ",", (0.0, 0)
    for mark in SEPARATORS.values():
        widths = []
        for _, cells, broken in _records(stream, encoding, mark):
            if any(cell.strip() for cell in cells) and not broken:
                widths.append(len(cells))
            if len(widths) >= LOOK_AHEAD:
                break
        usual = max(set(widths), key=lambda w: (widths.count(w), w)) if widths else 1
        score = (widths.count(usual) / len(widths) if usual > 1 else 0.0, usual)
        if usual > 1 and (score[1] * score[0], usual) > (best_score[1] * best_score[0], best_score[1]):
            best, best_score = mark, score
    return best
