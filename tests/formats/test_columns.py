"""Columns found by name, by spelling, inside a question, or as told."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
import yaml

from entryprep.findings import Severity
from entryprep.formats.columns import MappingError, matched, sheet_columns
from tests.receiving.sheets import sheet


def fields(header: str, told: dict[str, str] | None = None, kind: str = "declarations") -> dict[str, tuple[str, str]]:
    opened = sheet(f"{header}\n{',' * header.count(',')}x\n", kind)
    return {m.field: (m.header, m.how) for m in matched(opened, kind, told)}


def test_names_spellings_and_questions() -> None:
    found = fields("ENTRY NO.,Brewd by,What style is your beer?,Original gravty,Special Ingredients,Shoe size")
    assert found == {
        "entry": ("ENTRY NO.", "name"),
        "brewer": ("Brewd by", "spelling"),
        "style": ("What style is your beer?", "inside"),
        "og": ("Original gravty", "spelling"),
        "specials": ("Special Ingredients", "name"),
    }


def test_the_longest_name_inside_a_question_wins() -> None:
    found = fields("Please name the base style of your beer,Which beer style do you declare")
    assert found["base"][0].startswith("Please name")
    assert found["style"][0].startswith("Which")


def test_other_languages() -> None:
    found = fields("Startnummer,Brauer,Biername,Bierstil,Stammwürze,Alkohol,Farbe,Flaschen")
    assert list(found) == ["entry", "brewer", "beer", "style", "og", "abv", "srm", "bottles"]


def test_two_columns_of_one_name_are_an_error_and_the_first_is_used() -> None:
    opened = sheet("Entry,Style,Beer style\n1,Kölsch,Gose\n")
    assert [m.column for m in matched(opened, "declarations") if m.field == "style"] == [1]
    (finding,) = opened.findings
    assert (finding.rule, finding.severity, finding.line, finding.column) == (
        "sheet-columns-alike",
        Severity.ERROR,
        1,
        3,
    )
    assert "--map style=3" in finding.fix
    told = sheet("Entry,Style,Style\n1,Kölsch,Gose\n")
    assert [m.column for m in matched(told, "declarations", {"style": "3"}) if m.field == "style"] == [2]


def test_a_mapping_outranks_and_takes_away() -> None:
    found = fields("Entry,Style,Notes from the brewer", {"specials": "notes from the brewer", "entry": ""})
    assert found["specials"] == ("Notes from the brewer", "told")
    assert "entry" not in found


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"flavour": "Style"}, "is no field"),
        ({"style": "Stile"}, "has no column"),
        ({"style": "9"}, "has no column"),
        ({"style": "Style", "base": "2"}, "two fields"),
    ],
)
def test_a_wrong_mapping_is_told(told: dict[str, str], said: str) -> None:
    with pytest.raises(MappingError, match=said) as caught:
        fields("Entry,Style", told)
    assert caught.value.fix


@pytest.mark.parametrize("kind", ["declarations", "scores", "judges", "votes"])
def test_no_name_means_two_fields(kind: str) -> None:
    from entryprep.text import fold

    homes: dict[str, str] = {}
    for column in sheet_columns(kind):
        for name in (column.name.replace("_", " "), *column.also):
            assert homes.setdefault(fold(name), column.name) == column.name, name


def _forms() -> dict[str, dict[str, str]]:
    path = Path(__file__).parents[1] / "vectors" / "headers.yaml"
    return dict(yaml.safe_load(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize("language", ["en", "de", "fr", "es", "it", "nl", "pt"])
def test_what_a_form_asks_is_known_in_seven_languages(language: str) -> None:
    heads = _forms()[language]
    stream = io.StringIO()
    csv.writer(stream).writerows([list(heads), ["x"] * len(heads)])
    opened = sheet(stream.getvalue())
    found = {m.header: m.field for m in matched(opened, "declarations")}
    assert {header: found.get(header, "-") for header in heads} == heads
    assert not opened.findings


ASKED = (
    "Do you brew with a co-brewer?,If so who is your co-brewer?,Please give the name of the (main) brewer,Which style?"
)


def test_the_column_of_the_answer_is_read_and_not_the_question_beside_it() -> None:
    rows = "yes,Asta Lie,Jorun Vik,Gose\nno,,Eli Moe,Gose\nno,,Runa Dal,Gose\n"
    opened = sheet(f"{ASKED}\n{rows}")
    assert {m.field: m.column for m in matched(opened, "declarations")} == {"cobrewer": 1, "brewer": 2, "style": 3}


def test_a_column_of_yes_and_no_names_nobody() -> None:
    opened = sheet("Brewer of the beer is a member?,Entrant's own words,Style\nyes,a,Gose\nno,b,Gose\nyes,c,Gose\n")
    assert "brewer" not in {m.field for m in matched(opened, "declarations") if m.column == 0}


def test_two_columns_that_may_say_who_it_is_are_asked_about_and_neither_is_read() -> None:
    text = "Name of the brewer or of both brewers,Brewer as on the medal,Style\nJorun Vik,J. Vik,Gose\n"
    opened = sheet(text)
    assert "brewer" not in {m.field for m in matched(opened, "declarations")}
    (finding,) = opened.findings
    assert (finding.rule, finding.severity) == ("sheet-person-doubtful", Severity.ERROR)
    assert "--map brewer=1" in finding.fix
    told = sheet(text)
    assert [m.column for m in matched(told, "declarations", {"brewer": "2"}) if m.field == "brewer"] == [1]


def test_totals_headings_footnotes_and_reserved_numbers_are_left_out_and_told() -> None:
    rows = "1,Vik,Gose,2\n,,,\nTable two,,,\n2,Lie,Gose,2\n3,,,\n4,Moe,Total eclipse,2\nTotal,,,6\n* one came late,,,\n"
    opened = sheet(f"Entry,Brewer,Style,Bottles\n{rows}")
    matched(opened, "declarations")
    assert [row.cells[0] for row in opened.rows()] == ["1", "2", "4"]
    assert [f.line for f in opened.findings if f.rule == "sheet-row-aside"] == [4, 6, 8, 9]
