"""Columns found by name, by spelling, inside a question, or as told."""

from __future__ import annotations

import pytest

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
