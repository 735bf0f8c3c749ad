"""What words say is in a beer: kinds of addition, allergens, what may carry one, what to be careful with.

One vocabulary for both sides: ``templates/vocabulary.yaml``, and ``templates/cautions.yaml`` for what can hurt.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache
from typing import Annotated, Literal, NamedTuple

from pydantic import BeforeValidator, Field

from entryprep.reading.fields import Id, OneOrMore, Record, Text
from entryprep.reading.words import AdditionKind, Allergen
from entryprep.tables.rules import Month
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold, singular

Language = Literal["de", "fr", "es", "it", "nl", "da", "no", "sv", "pl"]
Kind = AdditionKind | Literal["smoky", "chile", "sour"]
GLUTEN = "gluten"
# a phrase does not run on over these; a point ends one only after a word, not in "B. bruxellensis" or "1.5 kg"
_BREAK = re.compile(r"[,;:/|()\[\]{}\n!?+•·–—]|(?<=\w\w)\.(?=\s|$)")


def _comma_list(value: object) -> object:
    return tuple(word.strip() for word in value.split(",")) if isinstance(value, str) else value


CommaList = Annotated[tuple[str, ...], BeforeValidator(_comma_list)]
"""Words with commas between them: one text is read many times as fast as a list of a thousand words."""


class _Words(Record):
    words: CommaList
    unless: CommaList = Field((), description="Phrases that hold one of the words and mean something else.")
    abroad: dict[Language, CommaList] = Field({}, description="Words of other languages.")

    @property
    def all(self) -> tuple[str, ...]:
        """The words of all languages."""
        return (*self.words, *(word for words in self.abroad.values() for word in words))


class AllergenRow(_Words):
    """Words that give an allergen away."""

    allergen: Allergen
    source: Text


class CarrierRow(_Words):
    """What may carry an allergen."""

    says: Text
    source: Text


class CautionRow(_Words):
    """Something that can hurt those who drink it, and what is said of it."""

    id: Id
    level: Literal["error", "warning", "note", "silent"] = Field(description="Silent: only its dose is told.")
    caution: Text
    beside: CommaList = Field((), description="It counts only where one of these is said of the same thing.")
    kinds: Annotated[tuple[AdditionKind, ...], OneOrMore] = Field((), description="Only of additions of these kinds.")
    dose: float | None = Field(None, gt=0, description="Grams in a litre from which `at_dose` is told.")
    dose_words: CommaList = Field((), description="Which of its words the dose holds for; left out, all.")
    each: float | None = Field(None, gt=0, description="Grams that one of them weighs, where they are told by number.")
    at_dose: Text | None = None
    source: Text
    checked: Month | None = None
    legal: bool = False


class CautionWords(Record):
    """Words that cautions ask for, as they are written."""

    enzymes: CommaList
    clean_cultures: CommaList
    wild_cultures: CommaList
    no_allergens: CommaList
    no_gluten: CommaList
    barley: CommaList
    without_gluten: CommaList


class _Cautions(Record):
    words: CautionWords
    cautions: list[CautionRow]


class _Negations(Record):
    before: CommaList
    after: CommaList
    between: CommaList


class Vocabulary(Record):
    """The file of words."""

    negations: _Negations
    kinds: dict[Kind, _Words]
    allergens: list[AllergenRow]
    may_carry: list[CarrierRow]
    style_allergens: dict[Allergen, list[Id]]


@dataclass(frozen=True)
class Named:
    """What a text names, in the order of the vocabulary.

    ``allergens`` and ``cautions`` (by the id of their row) come with the word that gave them away, as a name key.
    """

    kinds: frozenset[str] = frozenset()
    allergens: Mapping[str, str] = field(default_factory=dict)
    remarks: tuple[str, ...] = ()
    cautions: Mapping[str, str] = field(default_factory=dict)


class _Sense(NamedTuple):
    """What a phrase means: ``group`` is kind, allergen, remark or caution; ``word`` its spelling as a name key."""

    group: str
    name: str
    word: str
    meant: bool  # False: the phrase keeps the words in it from meaning that


class _Index(NamedTuple):
    senses: Mapping[str, tuple[_Sense, ...]]
    longest: Mapping[str, int]  # by the first word of phrases: how many words the longest has
    before: frozenset[str]
    after: frozenset[str]
    between: frozenset[str]
    order: Mapping[str, tuple[str, ...]]


@cache
def vocabulary() -> Vocabulary:
    """The shipped words. Raises RecordError if the file is broken."""
    return shipped_record("templates/vocabulary.yaml", Vocabulary)


@cache
def _index() -> _Index:
    known = vocabulary()
    groups: list[tuple[str, str, _Words]] = [("kind", kind, words) for kind, words in known.kinds.items()]
    groups += [("allergen", row.allergen, row) for row in known.allergens]
    groups += [("remark", row.says, row) for row in known.may_carry]
    groups += [("caution", row.id, row) for row in cautions().values()]
    senses: dict[str, dict[_Sense, None]] = {}
    longest: dict[str, int] = {}
    said_as: list[tuple[_Sense, str]] = []
    for group, name, words in groups:
        own = [name] if group == "allergen" else []
        for meant, spelt in ((True, [*own, *words.all]), (False, words.unless)):
            said_as += [(_Sense(group, name, word, meant), word) for word in map(fold, spelt)]
    beside = [(row.id, word) for row in cautions().values() for word in map(fold, row.beside)]
    said_as += [(_Sense("beside", name, word, True), word) for name, word in beside]
    for sense, word in said_as:
        key = singular(word)
        senses.setdefault(key, {})[sense] = None
        first, size = key.split()[0], len(key.split())
        longest[first] = max(size, longest.get(first, 0))
    order: dict[str, tuple[str, ...]] = {}
    for group, name, _ in groups:
        order[group] = (*order.get(group, ()), name)
    order["beside"] = order["caution"]
    said = known.negations
    before, after, between = (frozenset(map(fold, words)) for words in (said.before, said.after, said.between))
    return _Index({key: tuple(found) for key, found in senses.items()}, longest, before, after, between, order)


def named_in(*texts: str) -> Named:
    """What is named anywhere in the texts; ``no lactose`` and ``lactose-free`` name none. Linear in their length."""
    said = [named for named in map(_named, texts) if named is not _NOTHING]
    if len(said) <= 1:
        return said[0] if said else _NOTHING
    return Named(
        frozenset().union(*(named.kinds for named in said)),
        _in_order("allergen", (pair for named in said for pair in named.allergens.items())),
        tuple(_in_order("remark", ((remark, "") for named in said for remark in named.remarks))),
        _in_order("caution", (pair for named in said for pair in named.cautions.items())),
    )


_NOTHING = Named()


@lru_cache(maxsize=4096)
def _named(text: str, of_one: bool = False) -> Named:
    found: dict[str, dict[str, str]] = {}
    for piece in _BREAK.split(text) if text else ():
        own: dict[str, dict[str, str]] = {}
        for sense in _senses(fold(piece).split()):
            own.setdefault(sense.group, {}).setdefault(sense.name, sense.word)
        for group, named in (own if of_one else _held_together(own)).items():
            found[group] = {**named, **found.get(group, {})}
    found = _held_together(found) if of_one else found
    if not any(found.values()):
        return _NOTHING
    kinds, remarks = frozenset(found.get("kind", ())), found.get("remark", {}).items()
    allergens, cautions = found.get("allergen", {}).items(), found.get("caution", {}).items()
    return Named(
        kinds, _in_order("allergen", allergens), tuple(_in_order("remark", remarks)), _in_order("caution", cautions)
    )


def _held_together(found: dict[str, dict[str, str]]) -> dict[str, dict[str, str]]:
    """The same without cautions whose words need others beside them that are not there."""
    if "caution" not in found:
        return found
    beside, rows = found.get("beside", {}), cautions()
    kept = {name: word for name, word in found["caution"].items() if not rows[name].beside or name in beside}
    return {**found, "caution": kept}


def cautions_in(what: str, form: str = "") -> Mapping[str, str]:
    """The cautions that one thing calls for, by id, with the word that gave each away: what it is, and its form."""
    return _named(f"{what}, {form}", True).cautions


def _in_order(group: str, pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Names of a group with the first word given for each, in the order of the vocabulary."""
    first: dict[str, str] = {}
    for name, word in pairs:
        first.setdefault(name, word)
    return {name: first[name] for name in _index().order[group] if name in first} if len(first) > 1 else first


def _senses(words: list[str]) -> Iterator[_Sense]:
    """The senses of all phrases of folded words; longer phrases first, so that they give their name."""
    index = _index()
    keys = [singular(word) for word in words]
    hits: list[tuple[int, int, _Sense]] = []
    for start, key in enumerate(keys):
        for size in range(min(index.longest.get(key, 0), len(keys) - start), 0, -1):
            for sense in index.senses.get(" ".join(keys[start : start + size]), ()):
                hits.append((start, start + size, sense))
    guards = [(start, end, sense) for start, end, sense in hits if not sense.meant]
    for start, end, sense in hits:
        if not sense.meant or any(
            own.group == sense.group and own.name == sense.name and first <= start and end <= last
            for first, last, own in guards
        ):
            continue
        if not _negated(index, words, start, end):
            yield sense


def _negated(index: _Index, words: list[str], start: int, end: int) -> bool:
    """Whether a phrase stands after "no", "without any" or "free of", or before "free"."""
    if end < len(words) and words[end] in index.after:
        return True
    before = start - 1
    while before >= 0 and words[before] in index.between:
        before -= 1
    if before < 0:
        return False
    return words[before] in index.before or (before < start - 1 and words[before] in index.after)


def vocabulary_words() -> frozenset[str]:
    """Every folded word in the names of ingredients."""
    return frozenset(word for key in _index().senses for word in key.split())


@cache
def _cautions() -> _Cautions:
    return shipped_record("templates/cautions.yaml", _Cautions)


@cache
def cautions() -> Mapping[str, CautionRow]:
    """What can hurt, by id. Raises RecordError if the file is broken."""
    return {row.id: row for row in _cautions().cautions}


def says_any(
    text: str, words: Literal["enzymes", "clean_cultures", "wild_cultures", "barley", "without_gluten"]
) -> bool:
    """Whether a text says any word or phrase of a list of cautions, singular or plural; linear in both."""
    said = f" {singular(fold(text))} "
    return any(f" {word} " in said for word in _singulars(words))


@cache
def _singulars(name: str) -> tuple[str, ...]:
    return tuple(map(singular, _spelt(name)))


@cache
def _spelt(name: str) -> tuple[str, ...]:
    words: CommaList = getattr(_cautions().words, name)
    return tuple(map(fold, words))


def says_gluten_free(text: str) -> str:
    """The words of a text that say it holds no gluten, where no "not" stands before them; else empty."""
    said = f" {fold(text)} "
    for word in _spelt("no_gluten"):
        before, found, _ = said.partition(f" {word} ")
        if found and before.split()[-1:] not in (["not"], ["nicht"], ["never"]):
            return word
    return ""


def says_none(text: str) -> bool:
    """Whether a piece of a list of allergens says that there are none, or no gluten."""
    said = fold(text)
    return said in _spelt("no_allergens") or any(word in said for word in _spelt("no_gluten"))


@cache
def _printed_names() -> tuple[str, ...]:
    """Allergens as they are printed, as name keys, the longest first."""
    names = {singular(fold(row.allergen)) for row in vocabulary().allergens} | {GLUTEN}
    return tuple(sorted(names, key=lambda name: (-len(name), name)))


def only_allergens(text: str) -> bool:
    """Whether a text is made of nothing but names of allergens as they are printed, and words such as "contains"."""
    rest = f" {singular(fold(text))} "
    for name in _printed_names():
        rest = rest.replace(f" {name} ", "  ")
    return not set(rest.split()) - _AROUND


_AROUND = {
    "contain",
    "contains",
    "may",
    "trace",
    "of",
    "and",
    "plus",
    "allergen",
    "und",
    "et",
    "y",
    "e",
    "en",
    "og",
    "och",
}
