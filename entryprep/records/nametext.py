"""Text as names are looked for in it: without what cannot be seen, letters that look alike made one, in words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from entryprep.tables.namewords import name_words
from entryprep.text import fold

APOSTROPHES = "'’‘ʼʻ`´′＇ʹ"
_CJK = "\u3005\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\uac00-\ud7af\uf900-\ufaff"
_WORD = re.compile(rf"[{_CJK}]+|(?:(?![{_CJK}])[^\W_])+(?:'(?:(?![{_CJK}])[^\W_])+)*|&")
_CAMEL = re.compile(r"[A-Z]{2,}(?=[A-Z][a-z])|[A-Z]?[a-z]+|[A-Z]+")
_EXPANDED = str.maketrans(
    {"ä": "ae", "ö": "oe", "ü": "ue", "ø": "oe", "å": "aa", "æ": "ae", "œ": "oe", "ð": "dh", "þ": "th"}
)
_DIGITS = str.maketrans("013457", "oleast")  # as they are put in the place of letters
_PLAIN = str.maketrans({"ð": "d", "þ": "th", "ı": "i", "ħ": "h", "ə": "e"})
_MOST_MARKS = 8  # on one letter; more are no writing
_LONGEST = 64  # letters of a word that is remembered
_BLANK = frozenset("\u115f\u1160\u3164\uffa0\u2800")  # letters by category, and nothing to see


@dataclass(frozen=True, slots=True)
class Cleaned:
    """What can be seen of a text; ``starts`` and ``ends`` lead each character back to the text it came from."""

    text: str
    starts: Sequence[int]
    ends: Sequence[int]

    def span(self, start: int, end: int) -> tuple[int, int]:
        """The place in the text as it came of a stretch that is not empty."""
        return self.starts[start], self.ends[end - 1]


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a text: its place in the cleaned text, the keys it may be looked up by, what stands before it.

    ``owner`` are keys without a possessive's ending; ``own_s`` says that it had an apostrophe.
    """

    start: int
    end: int
    raw: str
    keys: tuple[str, ...]
    owner: tuple[str, ...]
    own_s: bool
    gap: str

    @property
    def capital(self) -> bool:
        """Whether it begins with a capital, or with a letter of a script that has none."""
        return not self.raw[0].islower() and not self.raw[0].isdigit()

    @property
    def cjk(self) -> bool:
        """Whether it is written without spaces between words."""
        return is_cjk(self.raw)

    @property
    def every(self) -> tuple[str, ...]:
        """All keys, those of the word itself first."""
        return self.keys + self.owner


def is_cjk(word: str) -> bool:
    """Whether a word begins with a Chinese, Japanese or Korean letter."""
    return (
        "\u3005" <= word[:1] <= "\ufaff" and _WORD.match(word) is not None and re.match(f"[{_CJK}]", word) is not None
    )


def cleaned(text: str) -> Cleaned:
    """A text without invisible characters, accents composed, wide and styled letters made plain."""
    if text.isascii():
        plain = text.replace("`", "'")
        return Cleaned(plain, range(len(text)), range(1, len(text) + 1))
    made: list[str] = []
    starts: list[int] = []
    ends: list[int] = []
    place, size = 0, len(text)
    while place < size:
        after = place + 1
        while after < size and _attached(text[after]):
            after += 1
        for letter in _seen(text[place : min(after, place + _MOST_MARKS)]):
            made.append(letter)
            starts.append(place)
            ends.append(after)
        place = after
    return Cleaned("".join(made), starts, ends)


@lru_cache(maxsize=4096)
def _attached(letter: str) -> bool:
    return not letter.isascii() and (unicodedata.category(letter)[0] == "M" or _invisible(letter))


def _invisible(letter: str) -> bool:
    return letter in _BLANK or unicodedata.category(letter) in {"Cf", "Cc", "Co", "Cn"}


@lru_cache(maxsize=8192)
def _seen(cluster: str) -> str:
    """One character with its marks as it is read; nothing for what cannot be seen."""
    if cluster[0] in APOSTROPHES:
        return "'"
    if cluster.isspace():
        return " "
    visible = "".join(c for c in cluster if not _invisible(c))
    composed = unicodedata.normalize("NFKC", visible)
    return "".join(c for c in composed if unicodedata.category(c)[0] != "M")


def words_of(text: str) -> list[Word]:
    """The words of a cleaned text, in order."""
    made: list[Word] = []
    before = 0
    for match in _WORD.finditer(text):
        raw = match[0]
        keys, owner, own_s = _keys(raw[:_LONGEST])
        made.append(Word(match.start(), match.end(), raw, keys, owner, own_s, text[before : match.start()]))
        before = match.end()
    return made


@lru_cache(maxsize=16384)
def _keys(raw: str) -> tuple[tuple[str, ...], tuple[str, ...], bool]:
    """Keys of a word, keys without a possessive's ending, and whether it has one with an apostrophe."""
    keys = dict.fromkeys(_spellings(raw.replace("'", "")))
    owner: dict[str, None] = {}
    own_s = False
    if "'" in raw:
        first, _, last = raw.rpartition("'")
        if last.casefold() == "s":
            own_s = True
            owner |= dict.fromkeys(_spellings(first.replace("'", "")))
        elif len(last) >= 3:
            keys |= dict.fromkeys(_spellings(last))
    if not own_s:
        owner |= {key[:-1]: None for key in keys if len(key) >= 3 and key[-1] == "s"}
    return tuple(keys), tuple(key for key in owner if key not in keys), own_s


def _spellings(word: str) -> list[str]:
    """A word folded, with umlauts written out, and as it looks in Latin letters."""
    small = word.casefold()
    made = [fold(small.translate(_PLAIN)).replace(" ", "")]
    if not small.isascii():
        made.append(fold(small.translate(_EXPANDED).translate(_PLAIN)).replace(" ", ""))
        alike = small.translate(name_words().alike)
        if alike != small:
            made += [fold(alike.translate(ways).translate(_PLAIN)).replace(" ", "") for ways in ({}, _EXPANDED)]
    if any(c.isdigit() for c in made[0]) and sum(c.isalpha() for c in made[0]) > 1:
        made.append(made[0].translate(_DIGITS))
    return [key for key in dict.fromkeys(made) if key]


def spellings(word: str) -> tuple[str, ...]:
    """The keys of one word of a name."""
    return _keys(word[:_LONGEST])[0]


def camel_words(tag: str) -> list[str]:
    """The words of a tag such as ``FirstSecond`` or ``first_second`` as keys; digits left out."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", tag) if not unicodedata.combining(c))
    pieces = _CAMEL.findall(plain) if plain.isascii() else re.findall(r"[^\W\d_]+", tag)
    return [key for piece in pieces if (key := fold(piece).replace(" ", ""))]
