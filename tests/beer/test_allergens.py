"""Allergens: one answer on both sides, nothing stated is lost. Sources of the vectors stand in their file."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from entryprep.beer.allergens import barley_behind, brought, carried, not_among, to_name
from entryprep.entering.check import check
from entryprep.entering.season import read_season
from entryprep.reading.words import Allergen
from entryprep.records.batch import Batch
from entryprep.tables.styles import load_styles
from entryprep.tables.vocabulary import cautions, named_in, vocabulary
from entryprep.text import fold
from tests.receiving.sheets import check_in

FILE = Path(__file__).parents[1] / "vectors" / "allergens.yaml"
VECTORS: dict[str, list[dict[str, Any]]] = yaml.safe_load(FILE.read_text(encoding="utf-8"))
WORDS = [row for part in ("annex", "us", "practice", "abroad") for row in VECTORS[part]]
TABLE = load_styles()


@pytest.fixture(scope="module")
def brewers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, set[str]]:
    """What `check` misses among the allergens of each text, all in one season."""
    folder = tmp_path_factory.mktemp("season")
    (folder / "batches").mkdir()
    for index, row in enumerate(WORDS):
        batch: dict[str, Any] = {"name": "X", "style": "Old Ale", "allergens": ["none known"]}
        batch["additions"] = [{"what": row["says"], "kind": "spice"}]
        text = yaml.safe_dump(batch, allow_unicode=True)
        (folder / "batches" / f"b{index}.yaml").write_text(text, encoding="utf-8")
    season, problems = read_season(folder)
    assert problems == []
    found: dict[str, set[str]] = {}
    for finding in check(season, dt.date(2027, 2, 10)):
        if finding.rule == "allergen-not-listed":
            missing = re.match(r"add (.*) to `allergens:`", finding.fix)
            assert missing
            found[WORDS[int(finding.about[1:])]["says"]] = set(missing[1].split(", "))
    return found


@pytest.fixture(scope="module")
def stewards() -> dict[str, set[str]]:
    """What check-in names for each text, all in one sheet; gluten is in every beer."""
    rows = "".join(f'{i},Old Ale,"{row["says"]}"\n' for i, row in enumerate(WORDS))
    declared = check_in("entry,style,specials\n" + rows)
    assert all(each.allergens[0] == "gluten" for each in declared)
    return {WORDS[int(each.entry)]["says"]: set(each.allergens[1:]) for each in declared}


def test_there_are_many_vectors() -> None:
    assert len(WORDS) >= 80
    assert len({row["says"] for row in WORDS}) == len(WORDS)
    assert {a for row in WORDS for a in row["carries"]} == set(get_args(Allergen)) - {"gluten", "none known"}


@pytest.mark.parametrize("row", WORDS, ids=lambda row: row["says"])
def test_both_sides_name_the_same(
    row: dict[str, Any], brewers: dict[str, set[str]], stewards: dict[str, set[str]]
) -> None:
    assert stewards[row["says"]] == set(row["carries"])
    assert brewers.get(row["says"], set()) == set(row["carries"])


@pytest.mark.parametrize("row", VECTORS["stated"], ids=lambda row: row["says"][:40])
def test_what_is_stated_passes_word_for_word(row: dict[str, Any]) -> None:
    (declared,) = check_in(f'entry,style,allergens\n1,Old Ale,"{row["says"]}"\n')
    assert declared.allergens == ("gluten", *row["named"])
    again = to_name(", ".join(declared.allergens), (), ())
    assert again == declared.allergens  # what goes to the judges' side is read there once more


# a piece that says there is none, as a whole and whatever its capitals; it is no allergen, and is not passed on
NONE_SAID = ("no", "none", "none known", "nil", "nothing", "no allergens", "n/a", "na", "unknown", "not known", "keine",
             "aucun", "ninguno", "nessuno", "geen", "ingen", "inga", "brak")  # fmt: skip
JOINING = {
    "contain",
    "contains",
    "may",
    "trace",
    "of",
    "and",
    "plus",
    "allergen",
    "und",
    "et",
    "y",
    "e",
    "en",
    "og",
    "och",
}


@pytest.mark.parametrize("words", NONE_SAID)
def test_what_says_there_is_none_is_no_allergen_and_hides_none(words: str) -> None:
    for said in (words, words.upper(), f"{words}."):
        assert to_name(said, (), ()) == ("gluten",)
    assert to_name(f"{words}; Lactarium", (), ()) == ("gluten", "Lactarium")
    longer = f"{words} but zubrowka"
    assert to_name(longer, (), ()) == ("gluten", longer)  # more than that is passed on word for word


@example(["NO ALLERGENS"])
@example(["no", "Contains Milk"])
@given(st.lists(st.text(st.characters(categories=("L", "Nd", "Zs")), min_size=1, max_size=20), max_size=5))
@settings(max_examples=60, deadline=None)
def test_no_stated_word_is_lost(pieces: list[str]) -> None:
    named = " ".join(fold(each) for each in to_name("; ".join(pieces), (), ())).split()
    for piece in pieces:
        if fold(piece) not in {"", *map(fold, NONE_SAID)}:
            assert set(fold(piece).split()) <= set(named) | JOINING


@pytest.mark.parametrize("style", list(TABLE), ids=lambda style: style.id)
def test_names_of_styles_carry_no_more_than_the_style_brings(style: Any) -> None:
    for name in (style.name, *style.aliases):
        if not style.specialty:  # grape ales are made with must or wine
            own = {"sulphites"} if style.id == "grape-ale" else {"oats"} if "oatmeal" in name.casefold() else set()
            assert set(named_in(name).allergens) <= {*brought(style), *own}, name


@pytest.mark.parametrize(
    ("malts", "grains", "behind"),
    [
        ([], [], "beer"),  # nearly every beer is brewed of barley: common practice
        (["pale barley malt"], [], "said"),
        (["pale malt"], [], "said"),
        (["millet malt", "buckwheat malt"], [], ""),
        (["millet malt", "pale malt"], [], "said"),
        ([], [("millet", 90)], ""),  # nearly all of the grist
        ([], [("millet", 89)], "beer"),
        ([], [("millet", 50), ("buckwheat", 40)], ""),
        ([], [("flaked barley", 95)], "said"),
    ],
)
def test_barley_is_taken_for_granted_unless_the_grist_is_told(
    malts: list[str], grains: list[tuple[str, float]], behind: str
) -> None:
    data: dict[str, Any] = {"name": "X", "additions": [{"what": w, "kind": "grain", "share": s} for w, s in grains]}
    if malts:
        data["recipe"] = {"fermentables": [{"what": what, "mass": 2} for what in malts]}
    assert barley_behind(Batch.model_validate(data)) == behind


@pytest.mark.parametrize(
    ("stated", "missing"),
    [
        ((), {"wheat", "milk"}),  # that there is barley goes without saying
        (("milk",), {"barley", "wheat"}),  # until something is stated
        (("gluten",), {"milk"}),  # which stands for every cereal that holds it
        (("barley", "wheat", "milk"), set()),
    ],
)
def test_what_is_not_among_the_stated(stated: tuple[str, ...], missing: set[str]) -> None:
    found = {name: (name, None) for name in ("barley", "wheat", "milk")}
    assert not_among(stated, found).keys() == missing


def test_a_style_brings_its_usual_grist() -> None:
    # usual grists, common practice: witbier of wheat, hazy ale of oats and wheat, roggenbier of rye
    assert brought(TABLE.find("witbier")) == ("wheat",)
    assert set(brought(TABLE.find("hazy ipa"))) == {"oats", "wheat"}
    assert brought(TABLE.find("hazy ipa"), "oats") == ("oats",)
    assert brought(TABLE.find("roggenbier")) == ("rye",)
    assert brought(TABLE.find("sweet stout")) == ("milk",)
    assert brought(TABLE.find("german pils")) == ()


def test_the_first_place_that_says_it_is_told() -> None:
    found = carried([("oak", 1), ("toasted hazelnuts", 2), ("hazelnut", 3)], [(TABLE.find("gose"), 4)], ("rye", 5))
    assert found == {"wheat": ("wheat", 4), "rye": ("rye", 5), "tree nuts": ("hazelnut", 2)}


def test_a_recipe_speaks_too(tmp_path: Path) -> None:
    (tmp_path / "batches").mkdir()
    malts = "recipe:\n  fermentables:\n    - {what: Vienna malt, mass: 4 kg}\n    - {what: flaked oats, mass: 400 g}\n"
    text = f"name: X\nstyle: Old Ale\nallergens: [barley]\n{malts}"
    (tmp_path / "batches" / "x.yaml").write_text(text, encoding="utf-8")
    season, problems = read_season(tmp_path)
    assert problems == []
    (finding,) = [f for f in check(season, dt.date(2027, 2, 10)) if f.rule == "allergen-not-listed"]
    assert finding.what == "the records speak of oats, and the allergens stated are barley"


def test_every_word_of_the_vocabulary_is_found_as_it_stands() -> None:
    for row in vocabulary().allergens:
        for word in row.all:
            assert row.allergen in named_in(word).allergens, word
        for phrase in row.unless:
            assert row.allergen not in named_in(phrase).allergens, phrase
    for kind, words in vocabulary().kinds.items():
        for word in words.all:
            assert kind in named_in(f"with {word}, and so on").kinds, word
    for caution in cautions().values():
        for word in caution.all:
            said = f"{word} with {caution.beside[0]}" if caution.beside else word
            assert caution.id in named_in(said).cautions, word
            assert not caution.beside or caution.id not in named_in(word).cautions, word
        for phrase in caution.unless:
            assert caution.id not in named_in(f"{phrase} {' '.join(caution.beside)}").cautions, phrase


def test_words_of_the_trade() -> None:
    assert named_in("raspberries, B. bruxellensis and bourbon").kinds == {"fruit", "culture", "spirit"}
    assert named_in("cocoa nibs").remarks == ("chocolate and cocoa may carry milk and nuts",)
    assert named_in("") == named_in("nothing of the kind")
