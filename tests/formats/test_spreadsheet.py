"""Sheets against RFC 4180, the csv library's own writer, and what people's spreadsheets make of them."""

from __future__ import annotations

import csv
import io
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.findings import Severity
from entryprep.formats.spreadsheet import MOST_LINES, open_sheet
from entryprep.reading.yamltext import RecordError
from tests.receiving.sheets import sheet

# no control characters: a sheet of many is refused as binary; no lone carriage return: the csv library quotes it
CELLS = st.text(st.characters(exclude_categories=("Cs", "Cc")) | st.sampled_from("\n,;\t\"'"), max_size=12)
ROWS = st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=8)


@given(ROWS, st.sampled_from([",", ";", "\t"]), st.sampled_from(["\r\n", "\n"]), st.booleans())
@settings(max_examples=60, deadline=None)
def test_what_the_csv_library_writes_is_read_back(rows: list[list[str]], mark: str, end: str, quote: bool) -> None:
    # oracle: csv.writer of the standard library
    stream = io.StringIO()
    writer = csv.writer(
        stream, delimiter=mark, lineterminator=end, quoting=csv.QUOTE_ALL if quote else csv.QUOTE_MINIMAL
    )
    writer.writerows([["entry", "brewer", "style"], *rows, ["last", "x", "y"]])
    read = list(open_sheet(io.BytesIO(stream.getvalue().encode()), "s", separator=mark).rows())
    wanted = [row for row in rows if any(cell.strip() for cell in row) and row != ["entry", "brewer", "style"]]
    assert [list(row.cells) for row in read] == [*wanted, ["last", "x", "y"]]
    assert not any(row.findings for row in read)


# RFC 4180, section 2, rules 1 to 7: the examples of the text
@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("name1,name2,name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ("f1,f2,f3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('f1,f2,f3\r\n"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('f1,f2,f3\r\n"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('f1,f2,f3\r\n"aaa","b""bb","ccc"\r\n', [["aaa", 'b"bb', "ccc"]]),
    ],
)  # fmt: skip
def test_examples_of_rfc_4180(text: str, rows: list[list[str]]) -> None:
    assert [list(row.cells) for row in open_sheet(io.BytesIO(text.encode()), "s").rows()] == rows


TEXT = "Entry,Style,Brewer\n1,Kölsch,Ærø Łukasz\n2,Märzen,Żaneta Ж 🍺\n"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_unicode_encodings_are_found(encoding: str) -> None:
    rows = list(sheet(TEXT.encode(encoding)).rows())
    assert rows[1].cells == ("2", "Märzen", "Żaneta Ж 🍺")


def test_windows_1252_is_found_and_told() -> None:
    read = sheet("Entry,Style\n1,Kölsch – “Bière”\n".encode("cp1252"))
    assert next(iter(read.rows())).cells[1] == "Kölsch – “Bière”"
    assert [f.rule for f in read.findings] == ["sheet-encoding"]


def test_a_named_encoding_is_used() -> None:
    content = "Entry,Style\n1,Światłe wyczepne\n".encode("iso-8859-2")
    assert next(iter(sheet(content, encoding="iso-8859-2").rows())).cells[1] == "Światłe wyczepne"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"  \n \n", "empty"),
        (b"PK\x03\x04rest", "spreadsheet"),
        (b"%PDF-1.7 ...", "PDF"),
        (bytes(range(256)) * 20, "binary"),
        (b"Entry,Style\n1,K\x81lsch\n", "neither UTF-8"),
        (b"Entry,Style\n", "no row stands below"),
        (b"\n\n,,\n", "empty"),
    ],
)
def test_what_is_no_sheet_is_refused_in_one_line(content: bytes, said: str) -> None:
    with pytest.raises(RecordError) as caught:
        sheet(content)
    (finding,) = caught.value.findings
    assert said in finding.what
    assert finding.fix
    assert finding.file == "s.csv"


@pytest.mark.parametrize(
    ("encoding", "said"), [("klingon", "not an encoding"), ("hex", "not an encoding"), ("ascii", "throughout")]
)
def test_a_wrong_encoding_is_told(encoding: str, said: str) -> None:
    with pytest.raises(RecordError) as caught:
        sheet(TEXT, encoding=encoding)
    assert said in caught.value.findings[0].what


@pytest.mark.parametrize(("mark", "said"), [(",", ","), (";", ";"), ("\t", "\t")])
def test_the_separator_is_found(mark: str, said: str) -> None:
    text = TEXT.replace(",", mark).replace("Märzen", '"Märzen, 1,5 % or; so"')
    assert sheet(text).separator == said
    assert sheet(f"sep={mark}\n{text}").separator == said
    assert [r.number for r in sheet(f"sep={mark}\n{text}").rows()] == [3, 4]


def test_a_broken_row_takes_no_other_with_it() -> None:
    good = [f"{n},Kölsch,x" for n in range(2, 200)]
    text = "\n".join(["Entry,Style,Brewer", '1,"Kölsch,x', *good]) + "\n"
    rows = list(sheet(text).rows())
    assert [row.cells[0] for row in rows] == [str(n) for n in range(1, 200)]
    assert rows[0].findings[0].rule == "sheet-quotation"
    assert not any(row.findings for row in rows[1:])
    assert MOST_LINES < 198


def test_inches_in_a_cell_are_no_quotation() -> None:
    (row,) = sheet('Entry,Style,Brewer\n1,9" bottle,x\n').rows()
    assert row.cells[1] == '9" bottle'
    assert not row.findings


def test_ragged_rows_are_told_and_kept() -> None:
    rows = list(sheet("Entry,Style,Brewer\n1,Kölsch\n2,Kölsch,x,and,more\n3,Kölsch,x,,,\n").rows())
    assert rows[0].cells == ("1", "Kölsch", "")
    assert rows[1].beyond == ("and", "more")
    assert [(f.rule, f.severity, f.line, f.column) for r in rows for f in r.findings] == [
        ("sheet-ragged", Severity.WARNING, 2, 3),
        ("sheet-ragged", Severity.ERROR, 3, 4),
    ]


def test_titles_above_and_names_again_below() -> None:
    read = sheet("Spring Cup 2027\n\nEntry,Style\n1,Kölsch\nEntry,Style\n2,Gose\n")
    assert [row.number for row in read.rows()] == [4, 6]
    assert {f.rule: f.line for f in read.findings} == {"sheet-title": 1, "sheet-header-again": 5}


def test_any_bytes_are_read_or_refused() -> None:
    chance = random.Random(4)
    for _ in range(400):
        content = bytes(chance.choice(b'abc,;\t"\n\r\xc3\xb6\x00\xff ') for _ in range(chance.randrange(80)))
        try:
            read = sheet(b"Entry,Style\n" + content)
        except RecordError as error:
            assert error.findings[0].what
        else:
            assert all(len(row.cells) == len(read.header) for row in read.rows())
