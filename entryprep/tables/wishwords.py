"""Words of judges' wishes: what says never, only, until, with, and what says nothing."""

from __future__ import annotations

from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record

Words = tuple[Text, ...]


class _Row(Record):
    only: Words
    away: Words
    until: Words
    from_: Words
    leaves: Words
    comes: Words
    with_: Words
    morning: Words
    afternoon: Words
    evening: Words
    noon: Words
    likes: Words
    most: Words
    filler: Words
    allergy: Words
    common: dict[str, Words]


@cache
def wish_words(kind: str) -> frozenset[str]:
    """The words of a kind, such as ``only`` or ``away``. Raises AttributeError for no such kind."""
    return frozenset(getattr(_rows(), _FIELDS.get(kind, kind)))


_FIELDS = {"from": "from_", "with": "with_"}


@cache
def common_words() -> dict[str, str]:
    """Words for what many styles have in common, such as ``sauer`` for ``sour``."""
    return {word: name for name, words in _rows().common.items() for word in words}


@cache
def _rows() -> _Row:
    return shipped_record("templates/receiving/wishwords.yaml", _Row)
