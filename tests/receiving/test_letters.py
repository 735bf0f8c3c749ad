"""Letters in the entrant's language, with the competition, the day, who signs and where answers go."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from entryprep.formats.columns import matched
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.intake import declarations
from entryprep.receiving.letters import Letters, Sender
from entryprep.tables.letterwords import LANGUAGES, language_named, questions
from entryprep.tables.styles import load_styles
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
