"""Letters in the entrant's language, with the competition, the day, who signs and where answers go."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest

import entryprep
from entryprep.formats.columns import matched
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.intake import declarations
from entryprep.receiving.letters import Letters, Sender
from entryprep.tables.letterwords import LANGUAGES, caution_told, choice, language_named, problem, problems, questions
from entryprep.tables.styles import load_styles
from entryprep.tables.vocabulary import cautions
from entryprep.vitals import VITALS
from tests.receiving.sheets import sheet

SENDER = Sender("Fen Cup", "The stewards", "stewards@example.org", dt.date(2027, 3, 1))
HEADS = {
    "en": "Entry,Brewer,Beer name,Style,Special ingredients,Language",
    "de": "Startnummer,Brauer,Biername,Bierstil,Zutaten,Sprache",
    "fr": "Numéro,Brasseur,Nom de la bière,Style de bière,Ingrédients,Langue",
    "es": "Número,Cervecero,Nombre de la cerveza,Estilo de cerveza,Ingredientes,Idioma",
}


def letters(head: str, *rows: str, sender: Sender = SENDER) -> list[str]:
    opened = sheet("\n".join((head, *rows)) + "\n")
    made = Letters(sender)
    for declared in declarations(CheckIn(Reader(opened, matched(opened, "declarations")), load_styles())):
        made.add(declared)
    return [" ".join(content.decode().split()) for content in made.files().values()]


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_letter_is_in_the_language_of_the_form(language: str) -> None:
    (letter,) = letters(HEADS[language], "1,Asta Lie,Tarn,dark lager,,")
    asked = questions(language).style["unsettled"].partition("{")[0].strip()
    assert asked in letter
    assert all(word in letter for word in ("Asta Lie", "Fen Cup", "2027-03-01", "stewards@example.org", "The stewards"))
    assert f" {questions(language).heads['or']} International Dark Lager" in letter


@pytest.mark.parametrize(("said", "language"), [("Deutsch", "de"), ("fr", "fr"), ("Español", "es"), ("Klingon", "en")])
def test_the_entrants_own_language_outranks_the_forms(said: str, language: str) -> None:
    (letter,) = letters(HEADS["en"], f"1,Asta Lie,Tarn,dark lager,,{said}")
    assert letter.startswith(questions(language).heads["dear"].format(name="Asta Lie"))
    assert (language_named(said) or "en") == language


def test_a_letter_without_a_competition_says_nothing_of_one() -> None:
    (letter,) = letters(HEADS["en"], "1,Asta Lie,Tarn,dark lager,,", sender=Sender())
    assert "Dear Asta Lie, thank you for your entry. So that" in letter
    assert "{" not in letter


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_each_language_has_every_question_with_the_same_fields(language: str) -> None:
    english, other = questions(), questions(language)
    for part in ("declare", "style", "other", "heads"):
        ours, theirs = getattr(english, part), getattr(other, part)
        assert set(ours) == set(theirs)
        for key, text in ours.items():
            assert set(re.findall(r"\{\w+\}", text)) == set(re.findall(r"\{\w+\}", theirs[key])), (part, key)
            if part != "heads":
                assert text != theirs[key]
    assert set(re.findall(r"\{\w+\}", english.letter)) == set(re.findall(r"\{\w+\}", other.letter))


@pytest.mark.parametrize("language", LANGUAGES[1:])
def test_the_reason_within_a_question_is_in_the_language_of_the_letter(language: str) -> None:
    head = HEADS[language] + ",OG,FG,ABV"
    rows = ("1,Asta Lie,Tarn,Gose,foxglove; nutmeg 5 g/l,,1.010,1.050,", "2,Asta Lie,Owl,Gose,,,abc,1.50,")
    (letter,) = letters(head, *rows)
    known = cautions()
    told = [("heart-plants", known["heart-plants"].caution), ("nutmeg-much-dose", known["nutmeg-much"].at_dose or "")]
    for key, english in told:
        assert caution_told(key, english, language) in letter
        assert english not in letter
    assert problem("fg-above-og", language) in letter
    assert problem("meant", language, guess="1.050") in letter
    assert choice(["1.052", "12.9 °P"], language) in letter
    for word in ("Did you mean", "expected", " is above ", "fermentation lowers"):
        assert word not in letter


def test_every_reason_that_may_stand_in_a_letter_is_translated() -> None:
    ours = set(LANGUAGES)
    for key, words in problems().problems.items():
        assert set(words) == ours, key
        assert len({frozenset(re.findall(r"\{\w+\}", text)) for text in words.values()}) == 1, key
    asked = {name: row.caution for name, row in cautions().items() if row.level == "error"}
    asked |= {f"{name}-dose": row.at_dose or row.caution for name, row in cautions().items() if row.dose is not None}
    assert set(problems().cautions) == set(asked), "those that an entrant is asked about, and no others"
    for key, english in asked.items():
        words = problems().cautions[key]
        assert set(words) == ours - {"en"}, key
        assert len({english, *words.values()}) == len(ours), key


def test_a_caution_without_a_translation_is_told_in_english_and_says_so() -> None:
    assert caution_told("none-such", "it kills", "de") == "auf Englisch: it kills"
    assert caution_told("none-such", "it kills", "en") == "it kills"


def test_every_problem_named_in_code_is_in_the_table() -> None:
    code = (Path(entryprep.__file__).parent / "receiving" / "checks_style.py").read_text(encoding="utf-8")
    named = set(re.findall(r'problem\("([\w-]+)"', code)) | {"not-one-beer", *VITALS, "carbonation"} - {"co2"}
    assert named == set(problems().problems)
