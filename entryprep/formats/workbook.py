"""Workbooks, as spreadsheet programs save them: the sheet that holds the table, made separated values in memory.

What is read of a cell is its value, not how it is shown; a cell with a formula has the value it had when it was saved.
"""

from __future__ import annotations

import contextlib
import csv
import datetime as dt
import io
import zipfile
from collections.abc import Callable, Sequence
from typing import Any, BinaryIO

from entryprep.formats.spreadsheet import LOOK_AHEAD, Sheet, open_sheet
from entryprep.tables.rules import refused

MOST_BYTES = 512 << 20  # unpacked; a workbook of a hundred thousand rows has a tenth of that
_MAGIC = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_DAMAGED = "a workbook that is damaged or protected by a password"
IsHeader = Callable[[Sequence[str]], bool]


def is_workbook(stream: BinaryIO) -> bool:
    """Whether a seekable stream begins as a workbook does (.xlsx, .ods, .xls)."""
    stream.seek(0)
    head = stream.read(4)
    stream.seek(0)
    return head in _MAGIC


def open_workbook(stream: BinaryIO, name: str, is_header: IsHeader = lambda _cells: True) -> Sheet:
    """The sheet of a workbook that holds the table: the first with such column names, else the first with anything.

    What is left aside is told in the sheet's findings. Raises RecordError for what is no workbook, is protected by a
    password, is too large, or holds no table.
    """
    tables = _tables(stream, name)
    fitting = [tab for tab, rows in tables if any(is_header(cells) for cells in rows[:LOOK_AHEAD])]
    if not tables:
        raise refused("sheet", name)
    chosen = fitting[0] if fitting else tables[0][0]
    rows = dict(tables)[chosen]
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    sheet = open_sheet(io.BytesIO(text.getvalue().encode()), name, "utf-8", ",", is_header)
    sheet.tab = chosen
    others = [tab for tab, _ in tables if tab != chosen]
    if others:
        case = "" if len(fitting) <= 1 else "several"
        values = {"tab": chosen[:60], "others": ", ".join(others)[:200]}
        sheet.findings.append(sheet.finding("sheet-tabs", sheet.header_row, 0, values, case=case))
    return sheet


def _tables(stream: BinaryIO, name: str) -> list[tuple[str, list[list[str]]]]:
    """The sheets of a workbook that say anything and are not hidden, by name, as texts."""
    from python_calamine import CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum  # noqa: PLC0415 - few sheets need it

    try:
        with zipfile.ZipFile(stream) if zipfile.is_zipfile(stream) else contextlib.nullcontext() as packed:
            size = sum(item.file_size for item in packed.infolist()) if packed else 0
    except (zipfile.BadZipFile, OSError, ValueError):
        size = 0
    if size > MOST_BYTES:
        raise refused("sheet", name, "too-large", most=MOST_BYTES >> 20)
    try:
        stream.seek(0)
        book = CalamineWorkbook.from_filelike(stream)
        found = []
        for meta in book.sheets_metadata:
            if meta.typ is not SheetTypeEnum.WorkSheet or meta.visible is not SheetVisibleEnum.Visible:
                continue
            rows = [
                [_text(cell) for cell in row]
                for row in book.get_sheet_by_name(meta.name).to_python(skip_empty_area=False)
            ]
            if any(cell.strip() for row in rows for cell in row):
                found.append((meta.name, rows))
    except (KeyboardInterrupt, MemoryError):
        raise
    except BaseException:  # the reader's own faults are no Exception
        raise refused("sheet", name, "other-kind", kind=_DAMAGED) from None
    return found


def _text(value: Any) -> str:
    """A cell as a person would have typed it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, dt.datetime):
        return value.date().isoformat() if value.time() == dt.time() else value.isoformat(" ")
    return value.isoformat() if isinstance(value, dt.date) else str(value)
