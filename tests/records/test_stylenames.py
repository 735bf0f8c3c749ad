"""Style names as people write them: of 300 and more rows, 95 of 100 are read rightly, and none wrongly."""

from __future__ import annotations

import pytest
import yaml

from entryprep.records.namereader import StyleNames
from entryprep.tables.styles import load_styles
from tests.vectors import vector_path

NAMES = StyleNames(load_styles())
VECTORS = yaml.safe_load(vector_path("declared-styles.yaml").read_text(encoding="utf-8"))
SETTLED = [(row["text"], row["style"]) for row in VECTORS["settled"]]


def test_at_least_95_of_100_are_read_rightly_and_none_wrongly() -> None:
    # common practice: tests/vectors/declared-styles.yaml, written from memory before what reads them
    assert len(SETTLED) >= 200
    read = {text: NAMES.read(text) for text, _ in SETTLED}
    right = sum(read[text].style is NAMES.table.styles[style] for text, style in SETTLED)
    wrong = [text for text, style in SETTLED if (found := read[text].style) and found.id != style]
    assert wrong == []
    assert right >= 0.95 * len(SETTLED)


def test_what_is_not_spelt_as_in_the_table_is_marked() -> None:
    for text, _ in SETTLED:
        named = NAMES.read(text)
        if named.how == "named":
            assert named.style is NAMES.table.find(text)
        else:
            assert named.how in {"read", "unsettled", "unknown"}


@pytest.mark.parametrize("row", VECTORS["unsettled"], ids=lambda row: row["text"])
def test_what_settles_nothing_is_not_settled(row: dict[str, str]) -> None:
    named = NAMES.read(row["text"])
    assert named.style is None
    assert (named.how == "unsettled") == (row["kind"] == "ambiguous")
    if named.how == "unsettled":
        assert len(named.candidates) > 1


@pytest.mark.parametrize(
    ("text", "style"),
    [
        ("Czech Premium Pale", "czech-premium-pale-lager"),
        ("West Coast", None),
        ("pre-prohibition", None),
        ("Czech", None),
    ],
)
def test_a_name_whose_end_is_left_out_is_read_where_it_can_mean_only_one(text: str, style: str | None) -> None:
    """Beginnings of names of the BJCP 2021 Style Guidelines; what each may mean: common practice."""
    found = NAMES.read(text)
    assert (found.style.id if found.style else None) == style
    assert found.how != "named"


def test_every_name_of_the_table_is_read_as_itself() -> None:
    for style in NAMES.table:
        for name in (style.id, style.name, *style.aliases):
            assert NAMES.read(name).style is style, name


def test_a_letter_wrong_never_leads_to_another_style() -> None:
    # names of ten letters or more, every third letter left out or swapped with the next
    wrong = []
    for style in NAMES.table:
        for name in (style.name, *style.aliases):
            for spot in range(1, len(name) - 1, 3):
                for text in (
                    name[:spot] + name[spot + 1 :],
                    name[:spot] + name[spot + 1] + name[spot] + name[spot + 2 :],
                ):
                    found = NAMES.read(text).style if len(name) >= 10 else style
                    if found is not None and found is not style:
                        wrong.append((text, style.id, found.id))
    assert wrong == []


@pytest.mark.parametrize(
    "text", ["", "  ", "?", "-", "[red]", "=SUM(A1)", "Ж" * 300, "a" * 5000, "🍺", "((((", "4A.", "1 or 2"]
)
def test_odd_texts_settle_nothing(text: str) -> None:
    assert NAMES.read(text).style is None
