"""Drinks that are no beer, by the words they are declared with."""

from __future__ import annotations

from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold, singular


class _Row(Record):
    drinks: dict[str, tuple[Text, ...]]


@cache
def _words() -> dict[str, str]:
    known = shipped_record("templates/receiving/notbeer.yaml", _Row)
    return {singular(fold(word)): drink for drink, words in known.drinks.items() for word in words}


def other_drink(text: str) -> str:
    """The drink, other than beer, that a style name no beer has names; empty where it names none."""
    key = singular(fold(text[:120]))
    if key in _words():
        return _words()[key]
    return next((_words()[word] for word in key.split() if word in _words()), "")
