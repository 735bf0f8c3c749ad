"""Feedback in the language its brewer is written to in: every word of ours there is, and all of it in each language."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import entryprep
from entryprep.receiving.feedback import About, as_text, fit_lines, sheet_blocks
from entryprep.tables.faults import fault_in, fault_table, translated_faults
from entryprep.tables.feedbackwords import feedback_words, said
from entryprep.tables.letterwords import LANGUAGES
from entryprep.tables.scales import PARTS, load_scale
from entryprep.vitals import VITALS
from tests.receiving.sheets import check_in
from tests.receiving.test_results import score, standing

FIFTY = load_scale("fifty")
FORM = "entry,brewer,beer,style,specials,og,fg,ibu,carbonation\n1,Asta Lie,Tarn,Gose,,1.045,1.010,40,2.0\n"


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_a_sheet_holds_no_word_of_ours_in_english(language: str) -> None:
    (declared,) = check_in(FORM)
    rows = score("1", 31.0, words={"aroma": "buttery"}), score("1", 45.0, "B", points={"aroma": 8.0, "overall": 5.0})
    about = About(said("entry", language, entry="1"), "Gose", "", fit_lines(declared.fit, language), 12.0, language)
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


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_every_fault_is_told_in_every_language(language: str) -> None:
    assert set(translated_faults(language)) == {fault.id for fault in fault_table()}
    for fault in fault_table():
        other = fault_in(fault, language)
        assert (len(other.causes), len(other.remedies)) == (len(fault.causes), len(fault.remedies)), fault.id
        assert bool(other.caution) == bool(fault.caution), fault.id
        assert not set(other.causes) & set(fault.causes), fault.id
