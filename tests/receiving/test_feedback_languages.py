"""Feedback in the language its brewer is written to in: every word of ours there is, and all of it in each language."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import entryprep
from entryprep.beer.fitting import Fit, fitted
from entryprep.receiving.feedback import About, as_text, fit_lines, sheet_blocks
from entryprep.receiving.flights import NO_GROUP
from entryprep.receiving.standings import gathered, ranked
from entryprep.tables.faults import fault_in, fault_table, translated_faults
from entryprep.tables.feedbackwords import family_said, feedback_words, said, tool_said
from entryprep.tables.letterwords import LANGUAGES
from entryprep.tables.scales import PARTS, load_scale
from entryprep.tables.styles import load_styles
from entryprep.vitals import KINDS_OF_VITAL, VITALS, Reading, Vitals
from tests.receiving.sheets import check_in
from tests.receiving.test_results import score, standing

FIFTY = load_scale("fifty")
FORM = "entry,brewer,beer,style,specials,og,fg,ibu,carbonation\n1,Asta Lie,Tarn,Gose,,1.045,1.010,40,2.0\n"


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_a_sheet_holds_no_word_of_ours_in_english(language: str) -> None:
    (declared,) = check_in(FORM)
    rows = score("1", 31.0, words={"aroma": "buttery"}), score("1", 45.0, "B", points={"aroma": 8.0, "overall": 5.0})
    group, lines = family_said("Stouts", language), fit_lines(declared.fit, language)
    about = About(said("entry", language, entry="1"), "Gose", "", group, "", lines, 12.0, language)
    text = " ".join(as_text(sheet_blocks(standing(*rows), about, FIFTY, {("Stouts", 0): 2}, ["P"])).split())
    for key, words in feedback_words().words.items():
        plain = [piece.strip() for piece in re.split(r"\{\w+\}", words["en"]) if len(piece.strip()) > 3]
        theirs = said(key, language, **dict.fromkeys(re.findall(r"\{(\w+)\}", words["en"]), ""))
        assert not any(re.search(rf"\b{re.escape(p)}\b", text) and p not in theirs for p in plain), (key, text)
    assert said("declared", language) in text
    assert "volumes" not in text or language == "fr"


def test_every_word_is_there_in_every_language_with_the_same_fields() -> None:
    for key, words in feedback_words().words.items():
        assert set(words) == set(LANGUAGES), key
        assert len({frozenset(re.findall(r"\{\w+\}", text)) for text in words.values()}) == 1, key
    bands = {band.name for name in ("fifty", "hundred", "twenty") for band in load_scale(name).bands}
    assert set(feedback_words().bands) == bands
    assert all(set(words) == set(LANGUAGES[1:]) for words in feedback_words().bands.values())


def test_every_word_that_code_asks_for_is_there_and_no_other() -> None:
    asked: set[str] = {*PARTS, *VITALS}
    for room, name in (("receiving", "feedback.py"), ("cli", "results.py"), ("cli", "resultfiles.py")):
        tree = ast.parse((Path(entryprep.__file__).parent / room / name).read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "said":
                asked |= {c.value for c in ast.walk(node.args[0]) if isinstance(c, ast.Constant)}  # type: ignore[misc]
    assert {key for key in asked if key in feedback_words().words} == set(feedback_words().words)


def measured_at(errors: float, vital: str = "og", origin: str = "measured") -> Fit:
    """A fit of one vital that lies so many of its errors above a range."""
    style = load_styles().find("German pils")
    top, error = style.ranges[vital].high, 0.001
    return fitted(Vitals(**{vital: Reading(top + errors * error, error, origin)}), style)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize(
    ("errors", "key"),
    [
        (0.9, "within"),
        (1.01, "hardly"),
        (1.24, "hardly"),
        (1.26, "times"),
        (1.9, "times"),
        (2.01, "more"),
        (9.0, "more"),
    ],
)
def test_all_languages_say_the_same_of_the_same_miss(language: str, errors: float, key: str) -> None:
    (line,) = fit_lines(measured_at(errors), language)
    figure = f"{errors:.1f}" if language == "en" else f"{errors:.1f}".replace(".", ",")
    keys = ("within", "hardly", "times", "more")
    said_as = {each: f"; {said(each, language, times=figure, tool=tool_said('og', language))}" for each in keys}
    assert [each for each in keys if line.endswith(said_as[each])] == [key]


@pytest.mark.parametrize("errors", [-3.0, 0.0, 0.5, 1.1, 1.5, 4.0])
@pytest.mark.parametrize("vital", ["og", "fg"])
@pytest.mark.parametrize("origin", ["measured", "recipe"])
def test_feedback_says_in_english_what_the_fit_says(errors: float, vital: str, origin: str) -> None:
    fit = measured_at(errors, vital, origin)
    (line,) = fit_lines(fit)
    assert line.endswith(f": {fit.parts[0].words}")


def test_tools_and_families_are_there_in_every_language() -> None:
    words = feedback_words()
    assert set(words.tools) == {*VITALS, "prediction"}
    assert all(set(each) == set(LANGUAGES) for each in words.tools.values())
    assert {v: tool_said(v) for v in VITALS} == {v: KINDS_OF_VITAL[v].instrument for v in VITALS}
    assert set(words.families) == set(load_styles().families.values())
    assert all(set(each) == set(LANGUAGES[1:]) for each in words.families.values())


def test_what_is_a_word_of_ours_is_translated_and_names_of_styles_and_competitions_stay() -> None:
    row = score("1", 31.0)
    ours = About("Bier 1", "Fruit beer", "Witbier", family_said("Stouts", "de"), language="de")
    text = as_text(sheet_blocks(standing(row), ours, FIFTY, {("Stouts", 0): 2}))
    assert "Eingereicht als Fruit beer, Grundbier Witbier" in text
    assert family_said("Pale lagers", "de") == "Helle Lagerbiere"
    assert family_said("Club's dark beers", "de") == "Club's dark beers"
    open_style = gathered([row], {"1": NO_GROUP}, {}, FIFTY, "s")[0]
    text = " ".join(as_text(sheet_blocks(ranked(open_style)[0], ours, FIFTY, {(NO_GROUP, 0): 2})).split())
    assert "unter den Bieren mit ungeklärtem Stil" in text
    assert NO_GROUP not in text


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_fault_is_told_in_every_language(language: str) -> None:
    assert set(translated_faults(language)) == {fault.id for fault in fault_table()}
    for fault in fault_table():
        other = fault_in(fault, language)
        assert (len(other.causes), len(other.remedies)) == (len(fault.causes), len(fault.remedies)), fault.id
        assert bool(other.caution) == bool(fault.caution), fault.id
        assert not set(other.causes) & set(fault.causes), fault.id
