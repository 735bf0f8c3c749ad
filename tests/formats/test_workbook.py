"""Workbooks: read by the same rules as separated values, and ours read back by a library that is not ours."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook
from typer.testing import CliRunner

from entryprep.cli.app import app
from entryprep.formats.columns import looks_like_header
from entryprep.formats.spreadsheet import Sheet
from entryprep.formats.workbook import is_workbook, open_workbook
from entryprep.formats.xlsxtext import xlsx_bytes
from entryprep.reading.yamltext import RecordError

OFFICE = "urn:oasis:names:tc:opendocument:xmlns"


def opened(content: bytes) -> Sheet:
    stream = io.BytesIO(content)
    assert is_workbook(stream)
    return open_workbook(stream, "w", lambda cells: looks_like_header(cells, "declarations"))


def ods(*tables: tuple[str, str]) -> bytes:
    """An OpenDocument spreadsheet (ISO/IEC 26300-1) of tables given by name and by their rows as XML."""
    names = f'xmlns:office="{OFFICE}:office:1.0" xmlns:table="{OFFICE}:table:1.0" xmlns:text="{OFFICE}:text:1.0"'
    body = "".join(f'<table:table table:name="{name}">{rows}</table:table>' for name, rows in tables)
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {names} office:version="1.3"><office:body>'
    )
    content += f"<office:spreadsheet>{body}</office:spreadsheet></office:body></office:document-content>"
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = f'<manifest:manifest xmlns:manifest="{OFFICE}:manifest:1.0">'
    manifest += f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/></manifest:manifest>'
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as package:
        package.writestr("mimetype", kind)
        package.writestr("content.xml", content)
        package.writestr("META-INF/manifest.xml", manifest)
    return stream.getvalue()


def row(*cells: str) -> str:
    return f"<table:table-row>{''.join(cells)}</table:table-row>"


def text(said: str) -> str:
    return f'<table:table-cell office:value-type="string"><text:p>{said}</text:p></table:table-cell>'


def value(kind: str, said: str) -> str:
    name = {"date": "date-value", "boolean": "boolean-value"}.get(kind, "value")
    return f'<table:table-cell office:value-type="{kind}" office:{name}="{said}"/>'


HEADS = row(*map(text, ("Entry", "Style", "ABV", "Bottled on", "Bottles")))
FIRST = row(value("float", "8"), text("Gose"), value("percentage", "0.047"), value("date", "2027-01-08"), text("two"))


def test_an_ods_gives_what_a_person_would_have_typed() -> None:
    sheet = opened(ods(("Entries", HEADS + FIRST)))
    (found,) = sheet.rows()
    assert (sheet.tab, found.number, found.cells) == ("Entries", 2, ("8", "Gose", "0.047", "2027-01-08", "two"))
    assert not sheet.findings


def test_the_sheet_with_the_table_is_found_and_the_others_are_told() -> None:
    notes = row(text("Call the hall")) + row(text("Buy buckets"))
    sheet = opened(ods(("To do", notes), ("Entries", HEADS + FIRST), ("Empty", row(text("")))))
    assert sheet.tab == "Entries"
    (finding,) = sheet.findings
    assert (finding.rule, finding.severity.value) == ("sheet-tabs", "note")
    assert "To do" in finding.what
    both = opened(ods(("Friday", HEADS + FIRST), ("Saturday", HEADS + FIRST)))
    assert [(f.rule, f.severity.value) for f in both.findings] == [("sheet-tabs", "warning")]


TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=20).filter(
    lambda t: t == t.strip()
)


@given(st.lists(st.tuples(TEXTS, st.integers(0, 50)), min_size=1, max_size=6))
def test_what_we_write_is_read_by_a_library_that_is_not_ours(rows: list[tuple[str, int]]) -> None:
    # oracle: python-calamine
    content = xlsx_bytes("Scores", ["judge", "aroma"], rows, bounds={"aroma": (0, 12)})
    book = CalamineWorkbook.from_filelike(io.BytesIO(content))
    assert book.sheet_names == ["Scores"]
    read = book.get_sheet_by_index(0).to_python()
    wanted = [[said, float(points)] for said, points in rows]
    assert [[cell.replace("\r", "") if isinstance(cell, str) else cell for cell in r] for r in read[1:]] == wanted


def test_a_workbook_of_ours_is_whole_and_bounded() -> None:
    rows = [["3018", "=HYPERLINK(1)", ""]] * 3
    content = xlsx_bytes("Scores: all", ["number", "judge", "aroma"], rows, bounds={"aroma": (0, 12)})
    assert content == xlsx_bytes("Scores: all", ["number", "judge", "aroma"], rows, bounds={"aroma": (0, 12)})
    with zipfile.ZipFile(io.BytesIO(content)) as package:
        for name in package.namelist():
            ET.fromstring(package.read(name))
        sheet = package.read("xl/worksheets/sheet1.xml").decode()
    assert "<f>" not in sheet
    assert 'sqref="C2:C4"' in sheet
    assert "<formula2>12</formula2>" in sheet


@pytest.mark.parametrize("content", [b"PK\x03\x04rest", b"\xd0\xcf\x11\xe0" + bytes(600), b"PK\x03\x04"])
def test_a_damaged_workbook_is_refused_in_one_line(content: bytes) -> None:
    with pytest.raises(RecordError) as caught:
        opened(content)
    (finding,) = caught.value.findings
    assert "damaged or protected" in finding.what
    assert finding.fix


def test_an_empty_workbook_is_refused() -> None:
    with pytest.raises(RecordError, match="empty"):
        opened(ods(("Empty", row(text("")))))


def test_a_workbook_cut_anywhere_is_read_or_refused() -> None:
    whole = ods(("Entries", HEADS + FIRST))
    for cut in range(4, len(whole), 37):
        try:
            list(opened(whole[:cut]).rows())
        except RecordError as error:
            assert error.findings


def test_intake_takes_a_workbook(tmp_path: Path) -> None:
    (tmp_path / "entries.ods").write_bytes(ods(("Entries", HEADS + FIRST)))
    result = CliRunner().invoke(app, ["intake", str(tmp_path / "entries.ods"), "--bottles", "2", "--json"])
    assert result.exit_code in {0, 1}, result.output
    assert '"tab": "Entries"' in result.stdout
    assert '"style": "gose"' in result.stdout
    assert "bottles-unreadable" not in result.stdout
