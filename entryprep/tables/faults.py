"""Faults judges name, with the usual causes and remedies: a table, and how it is found in their words."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Annotated

from pydantic import Field

from entryprep.reading.fields import Id, Record, Text
from entryprep.tables.letterwords import LANGUAGES
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold, misspelt

_NEGATIONS = {"no", "not", "without", "never", "free", "isnt", "wasnt", "hardly", "nor"}
_BACK = 3  # words before a fault in which a negation takes it away
_BETWEEN = re.compile(r"\s*[,;/|]\s*")
_AND = re.compile(r"\s+(?:and|with|&)\s+")
_CLAUSE = re.compile(r"[.;:!?\n]|\bbut\b|\bhowever\b")


class Fault(Record):
    """One fault: its name, the words judges use, causes, remedies, a caution where it can hurt, the source."""

    id: Id
    name: Text
    also: Annotated[tuple[Text, ...], Field(min_length=1)]
    causes: Annotated[tuple[Text, ...], Field(min_length=1)]
    remedies: Annotated[tuple[Text, ...], Field(min_length=1)]
    caution: Text | None = None
    source: Text


class _Faults(Record):
    faults: list[Fault]


class FaultWords(Record):
    """What is said of a fault in another language."""

    name: Text
    causes: Annotated[tuple[Text, ...], Field(min_length=1)]
    remedies: Annotated[tuple[Text, ...], Field(min_length=1)]
    caution: Text | None = None


class _Translated(Record):
    faults: dict[Id, FaultWords]


@dataclass(frozen=True)
class _Index:
    faults: dict[str, Fault]
    names: dict[str, str]
    longest: int
    begins: frozenset[str]  # the first words of all names


@cache
def _index() -> _Index:
    known = shipped_record("templates/receiving/faults.yaml", _Faults)
    names = {fold(word): fault.id for fault in known.faults for word in (fault.name, *fault.also)}
    longest = max(len(name.split()) for name in names)
    begins = frozenset(name.partition(" ")[0] for name in names)
    return _Index({f.id: f for f in known.faults}, names, longest, begins)


def fault_table() -> tuple[Fault, ...]:
    """All faults, in the order of the table."""
    return tuple(_index().faults.values())


@cache
def translated_faults(language: str) -> dict[str, FaultWords]:
    """What is said of faults in a language of letters other than English, by id. Raises RecordError for a broken
    file."""
    return dict(shipped_record(f"templates/receiving/faults-{language}.yaml", _Translated).faults)


def fault_in(fault: Fault, language: str) -> Fault:
    """A fault with what is said of it in a language; the same one where it is not translated."""
    words = translated_faults(language).get(fault.id) if language in LANGUAGES[1:] else None
    return fault if words is None else fault.model_copy(update=dict(words))


def named_faults(text: str) -> tuple[tuple[Fault, ...], tuple[str, ...]]:
    """Faults of a list such as ``astringent, butter``, each once; and the words that name none we have."""
    index = _index()
    found: dict[str, Fault] = {}
    unknown: list[str] = []
    for piece in _BETWEEN.split(text):
        for word in [piece] if fold(piece) in index.names else _AND.split(piece):
            key = fold(word)
            if not key:
                continue
            if key not in index.names:
                key = misspelt(key, index.names) or key
            if key in index.names:
                fault = index.faults[index.names[key]]
                found[fault.id] = fault
            else:
                unknown.append(word.strip())
    return tuple(found.values()), tuple(unknown)


def faults_in_words(text: str) -> tuple[Fault, ...]:
    """Faults named in free words, in the order of the table; what a negation stands before is not named."""
    index = _index()
    if index.begins.isdisjoint(fold(text).split()):  # most praise and name nothing
        return ()
    found: set[str] = set()
    for clause in _CLAUSE.split(text.lower()):
        denied = False  # "no butter, corn or apple": a denial goes on through a list of faults
        for piece in clause.split(","):
            denied = _of_piece(fold(piece).split(), denied, index, found)
    return tuple(fault for fault in index.faults.values() if fault.id in found)


def _of_piece(words: list[str], denied: bool, index: _Index, found: set[str]) -> bool:
    """Add the faults of a few words to ``found``; whether the last of them was denied."""
    last = False
    for start in range(len(words)):
        for size in range(min(index.longest, len(words) - start), 0, -1):
            name = " ".join(words[start : start + size])
            if name in index.names and (size > 1 or name not in _TOO_PLAIN):
                before = words[max(0, start - _BACK) : start]
                goes_on = (denied and start < _BACK) or (last and before[-1:] in (["or"], ["nor"]))
                last = goes_on or any(word in _NEGATIONS for word in before)
                if not last:
                    found.add(index.names[name])
                break
    return last


# words that praise as often as they blame: they count in the column of faults, not in free words
_TOO_PLAIN = {
    "dry",
    "thin",
    "flat",
    "hot",
    "hay",
    "grass",
    "hazy",
    "cloudy",
    "haze",
    "sour",
    "metal",
    "iron",
    "harsh",
    "burnt",
}
_TOO_PLAIN |= {"plastic", "smoky", "phenol", "phenols", "phenolic", "butter", "infection", "slick", "burning", "estery"}
_TOO_PLAIN |= {"yeasty", "boozy", "coins", "sulphur", "sulfur", "acetic", "vinegar", "tannic", "worty", "vegetal"}
