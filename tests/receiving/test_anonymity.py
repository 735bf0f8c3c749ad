"""The steward's side: nothing that judges read tells whose a beer is, and whatever is taken out is told."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from typer.testing import CliRunner

from entryprep.cli.app import app
from entryprep.formats.columns import matched
from entryprep.formats.spreadsheet import open_sheet
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration, Reader
from entryprep.receiving.intake import declarations
from entryprep.receiving.outputs import judging_row
from entryprep.receiving.tasting import tasted
from entryprep.records.anonymity import BLACKED_OUT
from entryprep.tables.styles import load_styles

COLUMNS = (
    *(
        "Entry",
        "First name",
        "Last name",
        "Brewery",
        "Home club",
        "Town",
        "Phone",
        "Co-brewer",
        "Beer name",
        "Category",
    ),
    *("Style", "Base", "Special ingredients", "Notes", "Strength", "Sweetness", "Carbonation"),
)
OWN = {
    "Entry": "1", "First name": "Ottilie", "Last name": "Brandvik", "Brewery": "Skumring Bryggeri",
    "Home club": "Tidepool Mashers", "Town": "Drøbak", "Phone": "+47 912 34 567", "Co-brewer": "Théo Okonjo",
    "Beer name": "Natteravn", "Category": "Sours", "Style": "Gose",
}  # fmt: skip
OTHER = {"Entry": "2", "First name": "Wanjiru", "Last name": "Hetherington", "Category": "Sours", "Style": "Gose"}
NAMING = ("Ottilie", "Brandvik’s", "by Brandvik, Ottilie", "skumring", "TIDEPOOL MASHERS", "Drobak", "91234567",
          "Theo", "Natteravn", "#OttilieBrews", "ottiliebrandvik", "O. Brandvik", "Wanjiru Hetherington",
          "Ott\u200bilie", "mail@natt.example")  # fmt: skip


def desk(*rows: dict[str, str]) -> CheckIn:
    stream = io.StringIO()
    writer = csv.DictWriter(stream, COLUMNS, restval="")
    writer.writeheader()
    writer.writerows(rows)
    sheet = open_sheet(io.BytesIO(stream.getvalue().encode()), "sheet.csv")
    return CheckIn(Reader(sheet, matched(sheet, "declarations")), load_styles())


def told(about: Declaration) -> list[str]:
    return [f.what for f in about.findings if f.rule in {"brewer-named", "beer-named"}]


@pytest.mark.parametrize(
    "column", ["Category", "Style", "Base", "Special ingredients", "Notes", "Strength", "Sweetness"]
)
@pytest.mark.parametrize("words", NAMING)
def test_every_line_that_judges_see_is_blind(column: str, words: str) -> None:
    check = desk(OWN | {column: f"dark {words}, plain"}, OTHER)
    about, _ = declarations(check)
    assert len(told(about)) == 1, about.findings
    said = "|".join(judging_row(check, about, "X1"))
    assert BLACKED_OUT in said
    assert words.rsplit(maxsplit=1)[-1].strip("’s#") not in said
    (entry, _), _ = tasted(desk(OWN | {column: f"dark {words}, plain"}, OTHER))
    if column not in {"Strength", "Sweetness"}:  # the cards do not print these
        assert BLACKED_OUT in entry.group + entry.named + entry.words
    assert words.rsplit(maxsplit=1)[-1].strip("’s#") not in entry.group + entry.named + entry.words


def test_a_category_that_several_entries_have_is_the_competitions() -> None:
    check = desk(OWN | {"Category": "Brandvik Cup"}, OTHER | {"Category": "Brandvik Cup"})
    about, _ = declarations(check)
    assert told(about) == []
    assert judging_row(check, about, "X1")[1] == "Brandvik Cup"


def test_an_honest_row_is_left_as_it_is() -> None:
    words = "brewed with rose hips, 150 g/l; Burton water"
    check = desk(OWN | {"Special ingredients": words, "Base": "smoked something", "Style": "sour thing"}, OTHER)
    about, _ = declarations(check)
    assert told(about) == []
    assert judging_row(check, about, "X1")[2:5] == ("sour thing", "smoked something", words)


def test_the_same_word_in_two_fields_is_told_for_each_and_once_in_each() -> None:
    check = desk(OWN | {"Special ingredients": "Ottilie, then Ottilie again", "Notes": "Ottilie"}, OTHER)
    about, _ = declarations(check)
    assert [what.split(" holds ")[0] for what in told(about)] == ["the Special ingredients", "the Notes"]


def test_the_sheet_is_told_of_once_though_it_is_read_twice() -> None:
    text = "Entry,Brewer,Style\n1,A B,Gose\nEntry,Brewer,Style\n2,C D,Gose\n"
    sheet = open_sheet(io.BytesIO(text.encode()), "sheet.csv")
    assert len(list(declarations(CheckIn(Reader(sheet, matched(sheet, "declarations")), load_styles())))) == 2
    assert [finding.rule for finding in sheet.findings].count("sheet-header-again") == 1


def test_intake_writes_no_name_for_the_judges(tmp_path: Path) -> None:
    file = tmp_path / "sheet.csv"
    rows = [",".join(COLUMNS)]
    for number, words in enumerate(NAMING, 1):
        row = OWN | {"Entry": str(number), "Special ingredients": f"plums; {words}"}
        rows.append(",".join(f'"{row.get(column, "")}"' for column in COLUMNS))
    file.write_text("\n".join(rows) + "\n", encoding="utf-8")
    out = str(tmp_path / "o")
    CliRunner().invoke(app, ["intake", str(file), "--out", out, "--seed", "words of ours"])
    for question in range(1, len(NAMING)):  # one beer under so many numbers: each is asked about
        CliRunner().invoke(app, ["decide", out, str(question), "apart"])
    judging = (tmp_path / "o" / "judging.csv").read_text(encoding="utf-8").casefold()
    assert judging.count(BLACKED_OUT) == len(NAMING) - 1  # the other entrant is not in this sheet
    for word in ("ottilie", "brandvik", "skumring", "tidepool", "robak", "912", "theo", "natteravn"):
        assert word not in judging
