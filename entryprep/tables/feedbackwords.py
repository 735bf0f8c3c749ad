"""The words of feedback sheets in the languages of letters."""

from __future__ import annotations

from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.letterwords import Written, in_language
from entryprep.tables.shipped import shipped_record


class FeedbackWords(Record):
    """Words by what they say, names of bands and of families by their English ones, and what a vital was measured
    with by the vital, each by language."""

    words: dict[str, dict[Written, str]]
    tools: dict[str, dict[Written, Text]]
    bands: dict[str, dict[Written, Text]]
    families: dict[str, dict[Written, Text]]


@cache
def feedback_words() -> FeedbackWords:
    """The shipped words."""
    return shipped_record("templates/receiving/feedback.yaml", FeedbackWords)


@cache
def _words(language: str) -> dict[str, str]:
    return {key: in_language(each, language) for key, each in feedback_words().words.items()}


def said(key: str, language: str = "en", **values: object) -> str:
    """Words of a feedback sheet in a language, English where it is none of ours. Raises KeyError for unknown words."""
    words = _words(language)[key]
    return words.format_map(values) if values else words


def band_said(name: str, language: str = "en") -> str:
    """The name of a band of a scale in a language; one that is not of a shipped scale as it is."""
    return in_language(feedback_words().bands.get(name, {}), language, name)


def tool_said(name: str, language: str = "en") -> str:
    """What a vital is usually measured with, or ``prediction``, as it follows "the error of". Raises KeyError for
    another name."""
    return in_language(feedback_words().tools[name], language)


def family_said(name: str, language: str = "en") -> str:
    """The name of a family of styles in a language, by its English one; of another as it is."""
    return in_language(feedback_words().families.get(name, {}), language, name)
