"""Separated values as we write them, and as they read when they come back."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

# a spreadsheet takes a cell that begins so for a formula; full-width forms are read as their plain ones
_ARMED = frozenset("=+-@\t\r＝＋－＠")


def csv_cell(value: object) -> str:
    """Text for one CSV cell; what a spreadsheet would take for a formula is disarmed with an apostrophe."""
    text = "" if value is None else str(value)
    return f"'{text}" if text[:1] in _ARMED and text else text


def plain_cell(text: str) -> str:
    """A cell of a file of ours as it was before it was disarmed."""
    return text[1:] if text[:1] == "'" and text[1:2] in _ARMED and len(text) > 1 else text


def csv_bytes(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A CSV file (RFC 4180, UTF-8 with byte order mark so that spreadsheets see the letters)."""
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(columns)
    writer.writerows([csv_cell(value) for value in row] for row in rows)
    return b"\xef\xbb\xbf" + stream.getvalue().encode()
