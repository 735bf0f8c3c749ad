"""The entries as a table: RFC 4180, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.formats.csvtext import csv_bytes, csv_cell


@pytest.mark.parametrize("text", ["=SUM(A1)", "+1", "-1", "@x", "\tx", "\rx"])
def test_formulas_are_disarmed(text: str) -> None:
    assert csv_cell(text) == "'" + text


@pytest.mark.parametrize(("value", "cell"), [(None, ""), (0, "0"), (1.052, "1.052"), ('Øl, "fin"', 'Øl, "fin"')])
def test_plain_values_stay(value: object, cell: str) -> None:
    assert csv_cell(value) == cell


@given(st.lists(st.lists(st.text(st.characters(codec="utf-8")), min_size=2, max_size=2), max_size=5))
def test_read_back_by_the_standard_library(rows: list[list[str]]) -> None:
    content = csv_bytes(("a", "b"), rows)
    assert content.startswith(b"\xef\xbb\xbf")
    read = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))
    assert read == [["a", "b"], *[[csv_cell(cell) for cell in row] for row in rows]]
