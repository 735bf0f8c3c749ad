"""Words in the place of numbers: colours, counts and months, in the languages of entry forms."""

from __future__ import annotations

from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold


class _Words(Record):
    colours: dict[str, tuple[float, float]]
    colour_words: dict[str, tuple[Text, ...]]
    counts: dict[str, tuple[Text, ...]]
    months: dict[str, tuple[Text, ...]]


@cache
def _words() -> _Words:
    return shipped_record("templates/receiving/cellwords.yaml", _Words)


@cache
def _by_word(which: str) -> dict[str, str]:
    return {fold(word): key for key, words in getattr(_words(), which).items() for word in words}


def colour_named(text: str) -> tuple[float, float] | None:
    """The range of SRM that a colour word means, or None where the text is no such word."""
    key = fold(text[:60])
    for filler in ("colour", "color", "in colour", "farbe"):
        key = key.removesuffix(f" {filler}")
    name = _by_word("colour_words").get(key)
    if name is not None:
        return _words().colours[name]
    ends = [_by_word("colour_words").get(word) for word in key.split(" to ")] if " to " in key else []
    if len(ends) == 2 and ends[0] and ends[1]:
        first, last = _words().colours[ends[0]], _words().colours[ends[1]]
        return min(first[0], last[0]), max(first[1], last[1])
    return None


def count_named(text: str) -> int | None:
    """The number that a word means, from none to twelve, or None where the text is no such word."""
    key = fold(text[:40])
    for filler in (
        "bottles",
        "bottle",
        "cans",
        "flaschen",
        "bouteilles",
        "botellas",
        "bottiglie",
        "flessen",
        "garrafas",
    ):
        key = key.removesuffix(f" {filler}")
    name = _by_word("counts").get(key)
    return int(name) if name is not None else None


@cache
def month_named(word: str) -> int | None:
    """The month, 1 to 12, of which a word is the name or its beginning (three letters or more); None if not one."""
    key = fold(word)
    if len(key) < 3:
        return None
    names = _by_word("months")
    if key in names:
        return int(names[key])
    found = {month for name, month in names.items() if name.startswith(key)}
    return int(found.pop()) if len(found) == 1 else None
