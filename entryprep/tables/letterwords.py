"""The words of the questions and letters to entrants."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Literal

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold

Written = Literal["en", "de", "fr", "es"]


class Questions(Record):
    """The words of questions and letters."""

    declare: dict[str, Text]
    style: dict[str, Text]
    other: dict[str, Text]
    heads: dict[str, str]
    letter: str
    letter_end: str


def in_language(words: Mapping[Written, str], language: str, otherwise: str | None = None) -> str:
    """Of words by language those in one; else ``otherwise``, and without that the English ones."""
    own = next((text for name, text in words.items() if name == language), otherwise)
    return words["en"] if own is None else own


class Problems(Record):
    """Reasons that stand within questions, by language; those of cautions by the caution's id."""

    problems: dict[str, dict[Written, Text]]
    cautions: dict[str, dict[Written, Text]]


LANGUAGES = ("en", "de", "fr", "es")


@cache
def questions(language: str = "en") -> Questions:
    """The shipped words of questions in a language, English where it is none of ours."""
    ending = f"-{language}" if language in LANGUAGES[1:] else ""
    return shipped_record(f"templates/receiving/questions{ending}.yaml", Questions)


@cache
def problems() -> Problems:
    """The shipped reasons."""
    return shipped_record("templates/receiving/problems.yaml", Problems)


def problem(key: str, language: str = "en", **values: object) -> str:
    """A reason in a language, English where it has none there. Raises KeyError for a reason that is not there."""
    return in_language(problems().problems[key], language).format_map(values)


def caution_told(key: str, english: str, language: str = "en") -> str:
    """The words of a caution in a language; where they are not translated the English ones, and that they are."""
    if language not in LANGUAGES[1:]:
        return english
    words = in_language(problems().cautions.get(key, {}), language, "")
    return words or questions(language).heads["english"].format(text=english)


_NAMED = {
    "en": ("en", "eng", "english", "englisch", "anglais", "ingles"),
    "de": ("de", "ger", "german", "deutsch", "allemand", "aleman"),
    "fr": ("fr", "fra", "french", "franzosisch", "francais", "frances"),
    "es": ("es", "spa", "spanish", "spanisch", "espagnol", "espanol", "castellano"),
}
_WORDS = {
    "en": "the of your what which brewer beer style ingredients bottles colour color category entry gravity name",
    "de": "der die das dein ihr ihre wie welche welcher brauer bier bierstil biername stammwurze farbe zutaten "
    "flaschen kategorie startnummer alkohol abgefullt nummer des wird wurde",
    "fr": "le la les de des du votre quel quelle quels brasseur biere densite couleur ingredients bouteilles "
    "categorie numero nom amertume alcool est",
    "es": "el la los las de del su que cual cuantas cervecero cerveza estilo densidad color ingredientes botellas "
    "categoria numero nombre amargor graduacion es",
}


def choice(names: Sequence[str], language: str = "en") -> str:
    """Names as a choice, in the language: ``ale, lager oder wild``."""
    word = questions(language).heads["or"]
    return f"{', '.join(names[:-1])} {word} {names[-1]}" if len(names) > 1 else "".join(names)


def language_named(text: str) -> str:
    """The language of ours that a cell names (``Deutsch``, ``fr``), or nothing."""
    first = fold(text[:40]).partition(" ")[0]
    return next((language for language, names in _NAMED.items() if first in names), "")


@cache
def language_of(header: tuple[str, ...]) -> str:
    """The language most of a form's column names are in; English where none has more of its words."""
    words = [word for name in header for word in fold(name[:200]).split()]
    counts = {language: sum(word in each.split() for word in words) for language, each in _WORDS.items()}
    best = max(counts, key=lambda language: counts[language])
    return best if counts[best] > counts["en"] else "en"
