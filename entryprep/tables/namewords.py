"""Words by which names are told from what a declaration is for: ``templates/names.yaml``."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from entryprep.reading.fields import Record, Text
from entryprep.tables.ingredients import ingredient_words
from entryprep.tables.shipped import shipped_record
from entryprep.tables.vocabulary import vocabulary_words
from entryprep.text import fold

Kind = Literal["brewers", "given", "surname", "co_brewers", "breweries", "clubs", "places", "contacts", "beers"]


class _Lists(Record):
    ordinary: list[Text]
    places: list[Text]
    business: list[Text]
    filler: list[Text]
    between: list[Text]
    before_names: list[Text]
    phrases: list[Text]
    owned: list[Text]
    abbreviations: list[Text]
    web_ends: list[Text]
    web_ends_words: list[Text]
    telephone: list[Text]
    alike: dict[str, Text]
    columns: dict[Kind, list[Text]]


@dataclass(frozen=True)
class NameWords:
    """The lists, folded. ``ordinary`` holds those of ingredients and places too; phrases are tuples of words."""

    ordinary: frozenset[str]
    business: frozenset[str]
    filler: frozenset[str]
    between: frozenset[str]
    before_names: frozenset[tuple[str, ...]]
    phrases: frozenset[tuple[str, ...]]
    phrase_starts: frozenset[str]
    longest_phrase: int
    owned: frozenset[str]
    abbreviations: frozenset[str]
    web_ends: frozenset[str]
    web_ends_words: frozenset[str]
    telephone: frozenset[str]
    alike: dict[int, str]
    columns: dict[str, str]


@lru_cache(maxsize=1)
def name_words() -> NameWords:
    """The shipped lists. Raises RecordError if the shipped file is broken."""
    lists = shipped_record("templates/names.yaml", _Lists)
    told = _keys([*lists.ordinary, *lists.places]) | ingredient_words() | vocabulary_words()
    phrases = _phrases(lists.phrases)
    return NameWords(
        told | {f"{word}s" for word in told if len(word) > 2} | {f"{word}es" for word in told if len(word) > 3},
        _keys(lists.business),
        _keys(lists.filler),
        frozenset(lists.between),
        _phrases(lists.before_names),
        phrases,
        frozenset(phrase[0] for phrase in phrases),
        max(map(len, phrases)),
        _keys(lists.owned),
        _keys(lists.abbreviations),
        frozenset(lists.web_ends),
        frozenset(lists.web_ends_words),
        _keys(lists.telephone),
        {ord(letter): like for letter, like in lists.alike.items()},
        {fold(name): kind for kind, names in lists.columns.items() for name in names},
    )


def _keys(words: list[str]) -> frozenset[str]:
    return frozenset(key for word in words for key in fold(word).split())


def _phrases(texts: list[str]) -> frozenset[tuple[str, ...]]:
    return frozenset(tuple(fold(text).split()) for text in texts)
