"""Words: names compared whatever their spelling, singular forms, the nearest known word, counts, lists, days."""

from __future__ import annotations

import datetime as dt
import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache

_SPECIAL_LETTERS = str.maketrans(
    {"ß": "ss", "ø": "o", "œ": "oe", "æ": "ae", "ł": "l", "đ": "d", "&": " and ", "’": "", "'": "", "ı": "i"}
)
_BETWEEN_WORDS = str.maketrans({chr(code): " " for code in range(128) if not chr(code).isalnum()})
_OF_ASCII = {**_BETWEEN_WORDS, **{code: to for code, to in _SPECIAL_LETTERS.items() if code < 128}}
_SHOWN = 40  # characters of somebody's text that a message repeats
_SPELT_LIKE = 70.0  # of 100: words less alike than this are not offered
MISSPELT = 86.0  # of 100: words at least so alike are one word with a slip of the finger
# what each letter and digit reads as when its label hangs upside down
_UPSIDE_DOWN = dict(zip("01689HINOSXZMW", "01986HINOSXZWM", strict=True))
_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@lru_cache(maxsize=32768)  # the same words come again and again: of styles, of a sheet's columns, of its people
def fold(name: str) -> str:
    """A name with case, accents, punctuation and spacing ignored: ``Kölsch`` and ``kolsch`` are one."""
    if name.isascii():
        text = name.lower()
        return text if text.isalpha() else " ".join(text.translate(_OF_ASCII).split())
    text = name.casefold().translate(_SPECIAL_LETTERS)
    if text.isascii():
        return " ".join(text.translate(_BETWEEN_WORDS).split())
    text = unicodedata.normalize("NFKD", text)
    plain = "".join(c if c.isalnum() else " " for c in text if not unicodedata.combining(c))
    return " ".join(plain.split())


def name_key(name: str) -> str:
    """What somebody's name is known by, whatever its spelling; one without any letter or digit is known by itself."""
    return fold(name) or name


def singular(key: str) -> str:
    """Folded words without the endings of their plurals: ``dark lagers`` and ``dark lager``, ``berries`` and ``berry``.

    Common practice of English spelling; words of three letters and those in -ss keep their s.
    """
    if "s " not in key and not key.endswith("s"):
        return key
    return " ".join(_one(word) for word in key.split())


def _one(word: str) -> str:
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("ches", "shes", "sses", "oes")):
        return word[:-2]
    return word[:-1] if word.endswith("s") and not word.endswith("ss") and len(word) > 3 else word


def nearest(word: str, known: Iterable[str], limit: int = 1, cutoff: float = _SPELT_LIKE) -> list[str]:
    """The known words spelt most like ``word``, best first, at most ``limit``; none less alike than ``cutoff`` of 100.

    For advice, never to be taken for granted.
    """
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only a misspelling needs it

    matches = process.extract(word[:100], list(known), scorer=fuzz.WRatio, score_cutoff=cutoff, limit=limit)
    return [match[0] for match in matches]


def misspelt(key: str, known: Iterable[str]) -> str | None:
    """The known folded word that ``key`` is but for a letter or so, or None; words under five letters are left."""
    if len(key) < 5:
        return None
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only a misspelling needs it

    near = process.extractOne(key, list(known), scorer=fuzz.ratio, score_cutoff=MISSPELT)
    return near[0] if near else None


def did_you_mean(word: str, known: Sequence[str], what: str, cutoff: float = _SPELT_LIKE) -> str:
    """Advice on a word that is not known: the nearest that is, or those there are; ``what`` names the kind of thing."""
    near = nearest(word.lower(), known, cutoff=cutoff)
    if near:
        return f"Did you mean {near[0]}?"
    return f"{what}: {listed(known, 12)}" if known else f"there are no {what} yet"


def several(number: int, one: str, many: str = "", none: str = "") -> str:
    """A count and its noun: ``1 day``, ``3 days``, ``2 boxes``; ``none`` is said for 0 where it is given."""
    return f"{none if none and not number else number} {one if number == 1 else many or one + 's'}"


def counted(number: int, one: str, many: str = "") -> str:
    """A count and its noun where none is worth a word: ``no errors``, ``1 error``, ``2 errors``."""
    return several(number, one, many, none="no")


def listed(names: Iterable[str], limit: int = 6) -> str:
    """Names with commas, the rest left out."""
    every = list(names)
    return ", ".join(every[:limit]) + (" …" if len(every) > limit else "")


def either(names: Sequence[str]) -> str:
    """Names as a choice: ``ale``, ``ale or lager``, ``ale, lager or wild``."""
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + f" or {names[-1]}" if names else ""


def shortened(text: str, most: int = _SHOWN) -> str:
    """Somebody's text in a message: on one line, its beginning."""
    line = " ".join(text.split())
    return line if len(line) <= most else line[: most - 1] + "…"


def shown(value: object) -> str:
    """A value in a message: a kind of thing, or its beginning."""
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list):
        return "a list"
    text = str(value)
    return text if len(text) <= _SHOWN else text[: _SHOWN - 1] + "…"


def upside_down(code: str) -> str | None:
    """What a code of digits and capital letters reads as when it hangs upside down, or None where as nothing."""
    turned = [_UPSIDE_DOWN.get(letter) for letter in reversed(code.upper())]
    return None if None in turned else "".join(letter or "" for letter in turned)


def no_date(text: str) -> str:
    """What is wrong with a text that is no date: ``2026-02-30 is not a date: February 2026 has 28 days``."""
    said = f"{shown(text)} is not a date"
    parts = text.strip().split("-")
    if len(parts) != 3 or not all(part.isascii() and part.isdigit() for part in parts):
        return said
    year, month, day = map(int, parts)
    if not 1 <= month <= 12:
        return f"{said}: there is no month {month}"
    if not 1 <= year <= dt.MAXYEAR or len(parts[0]) != 4 or not (len(parts[1]) == len(parts[2]) == 2):
        return said
    from calendar import monthrange  # noqa: PLC0415 - only a slip needs it

    last = monthrange(year, month)[1]
    return said if 1 <= day <= last else f"{said}: {_MONTHS[month - 1]} {year} has {last} days"


def day_words(day: dt.date) -> str:
    """A day as findings write it, with its weekday: ``Sat 2027-03-13``."""
    return f"{_WEEKDAYS[day.weekday()]} {day.isoformat()}"
