"""Who entered a beer, and all the keys by which a text may tell it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import permutations

from entryprep.records.contacts import national
from entryprep.records.nametext import cleaned, is_cjk, spellings, words_of
from entryprep.tables.namewords import NameWords
from entryprep.text import fold

BREWER, CO_BREWER, BREWERY, CLUB = "the brewer's name", "a co-brewer's name", "the brewery's name", "the club's name"
ADDRESS, BEER = "part of the brewer's address", "the beer's name"
LONGEST_CELL = 400  # letters of one that are looked at
MOST_WORDS = 8  # of one person's name that are looked at
_APART = re.compile(r"[;/&+|\n]|\s[-–—]\s")
_INSIDE = re.compile(r"[(\[]([^()\[\]]*)[)\]]")
_NO_NAME = re.compile(r"\S+@\S+|(?:https?://|www\.)\S+|[+(]?\d[\d ().-]{5,}", re.IGNORECASE)
_ADDRESS = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+|(?:https?://|www\.)\S+", re.IGNORECASE)


@dataclass(frozen=True)
class Identity:
    """What is known of an entrant, as it was written: people (one cell may name several), and all else by kind."""

    brewers: tuple[str, ...] = ()
    co_brewers: tuple[str, ...] = ()
    breweries: tuple[str, ...] = ()
    clubs: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    beers: tuple[str, ...] = ()
    contacts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One word of somebody's name: which person's, and whether it is an article or the like within it."""

    person: int
    whose: str
    filler: bool


@dataclass
class Phrases:
    """Phrases as tuples of keys, whose each is, and all their beginnings."""

    whole: dict[tuple[str, ...], str] = field(default_factory=dict)
    begins: set[tuple[str, ...]] = field(default_factory=set)

    def add(self, phrase: tuple[str, ...], whose: str) -> None:
        """One phrase; the first to have it keeps it."""
        if phrase and phrase not in self.whole:
            self.whole[phrase] = whose
            self.begins.update(phrase[:size] for size in range(1, len(phrase) + 1))


@dataclass
class Keys:
    """Keys of one entrant: words of people's names, phrases, and what is written as one word."""

    parts: dict[str, Part] = field(default_factory=dict)
    accented: set[str] = field(default_factory=set)
    phrases: Phrases = field(default_factory=Phrases)
    joined: dict[str, str] = field(default_factory=dict)
    initials: dict[str, str] = field(default_factory=dict)
    cjk: dict[str, str] = field(default_factory=dict)
    people: list[list[str]] = field(default_factory=list)
    phones: tuple[str, ...] = ()
    hosts: frozenset[str] = frozenset()


def people_in(cell: str, words: NameWords) -> list[list[str]]:
    """The people a cell names, each as its words: ``A and B``, ``A & B``, ``Surname, Given`` is one."""
    plain = _NO_NAME.sub(" ; ", cleaned(cell[:LONGEST_CELL]).text)
    plain = _INSIDE.sub(lambda m: f" ; {m[1]} ; ", plain)
    made: list[list[str]] = []
    for piece in _APART.split(plain):
        groups: list[list[str]] = [[]]
        for token in piece.split():
            if token.casefold() in words.between and token.islower():
                groups.append([])
            else:
                groups[-1].append(token)
        made += [person for group in groups for person in _commas(" ".join(group))]
    return [person for person in made if person]


def _commas(text: str) -> list[list[str]]:
    """One person, or several that are listed; a name turned round by a comma stays one."""
    parts = [[word.raw for word in words_of(part)] for part in text.split(",")]
    parts = [part for part in parts if part]
    one = len(parts) <= 2 and any(len(part) == 1 for part in parts) and sum(map(len, parts)) <= 5
    return [[word for part in parts for word in part]] if one else parts


def keys_of(identity: Identity, words: NameWords, ordinary: frozenset[str]) -> Keys:
    """All keys of an entrant; ``ordinary`` are words that tell nobody by themselves."""
    keys = Keys()
    for whose, cells in ((BREWER, identity.brewers), (CO_BREWER, identity.co_brewers)):
        for cell in cells:
            for person in people_in(cell, words):
                _person(keys, person, whose, words)
    for whose, texts in ((BREWERY, identity.breweries), (CLUB, identity.clubs)):
        for text in (text[:LONGEST_CELL] for text in texts):
            _business(keys, text, whose, words, ordinary)
    for line in identity.places:
        for piece in line[:LONGEST_CELL].split(","):
            _business(keys, piece, ADDRESS, words, ordinary)
            for word in words_of(cleaned(piece).text):
                key = word.keys[0]
                if key not in ordinary and key not in words.business and len(key) >= 4 and not key.isdigit():
                    _phrase(keys, (word.raw,), ADDRESS)
    for text in identity.beers:
        said = [word.raw for word in words_of(cleaned(text[:LONGEST_CELL]).text)]
        if any(spellings(word)[0] not in ordinary and not word.isdigit() and len(word) > 1 for word in said):
            _phrase(keys, tuple(said), BEER)
            _join(keys, said, BEER)
    _contacts(keys, identity)
    return keys


def _person(keys: Keys, person: list[str], whose: str, words: NameWords) -> None:
    number = len(keys.people)
    known = [raw for raw in person if spellings(raw)][:MOST_WORDS]
    said = [raw for raw in known if spellings(raw)[0] not in words.business]
    if len(said) < 2:  # somebody is called Brewer
        said = known
    keys.people.append([spellings(raw)[0] for raw in said])
    for raw in said:
        filler = spellings(raw)[0] in words.filler and len(said) > 1 and not raw[0].isupper()
        for key in spellings(raw):
            if len(key) > 1 or is_cjk(key):
                keys.parts.setdefault(key, Part(number, whose, filler))
        if fold(raw) != raw.casefold():
            keys.accented.add(raw.casefold())
    _cjk(keys, said, whose)
    real = [raw for raw in said if not keys.parts.get(spellings(raw)[0], Part(0, "", False)).filler]
    if len(real) >= 2:
        if len(real) != len(said):
            _join(keys, said, whose)
        _join(keys, real, whose)
        _join(keys, [*real[1:], real[0]], whose)
        _join(keys, [real[0], real[-1]], whose)
        _join(keys, real[1:], whose)
        _join(keys, [real[-1], *real[:-1]], whose)
        letters = [spellings(raw)[0][0] for raw in real]
        for first, then in permutations(range(len(letters)), 2):
            keys.initials[letters[first] + letters[then]] = whose
        keys.initials["".join(letters)] = whose


def _join(keys: Keys, raws: list[str], whose: str) -> None:
    each = [spellings(raw) for raw in raws]
    for turn in range(max(map(len, each), default=0)):
        key = "".join(ways[min(turn, len(ways) - 1)] for ways in each)
        if len(key) >= 4 and len(raws) > 1:
            keys.joined.setdefault(key, whose)


def _cjk(keys: Keys, said: list[str], whose: str) -> None:
    """Names written without spaces: each word, and all of them in both orders."""
    own = [raw for raw in said if is_cjk(raw)]
    for word in (*own, *(("".join(own), "".join(reversed(own))) if len(own) > 1 else ())):
        keys.cjk.setdefault(word, whose)


def _business(keys: Keys, text: str, whose: str, words: NameWords, ordinary: frozenset[str]) -> None:
    """A name as it stands, and without what all breweries, clubs and streets have in common."""
    said = [word.raw for word in words_of(cleaned(text).text)]
    _cjk(keys, said, whose)
    usual = words.business | words.filler
    core = [raw for raw in said if spellings(raw)[0] not in usual and not raw.isdigit()]
    rare = [raw for raw in core if spellings(raw)[0] not in ordinary and len(raw) > 1]
    if len(said) > 1 and core and (rare or any(spellings(raw)[0] in words.business for raw in said)):
        _phrase(keys, tuple(said), whose)
        _join(keys, said, whose)
        if said[0].casefold() == "the" and len(said) > 2:
            _phrase(keys, tuple(said[1:]), whose)
    if rare:
        _phrase(keys, tuple(core), whose)
        _join(keys, core, whose)
        inner = [raw for raw in said if spellings(raw)[0] not in words.business]
        while inner and spellings(inner[0])[0] in words.filler:
            inner = inner[1:]
        _phrase(keys, tuple(inner), whose)


def _phrase(keys: Keys, raws: tuple[str, ...], whose: str) -> None:
    each = [spellings(raw) for raw in raws]
    if any(is_cjk(raw) for raw in raws):
        return
    for turn in range(max(map(len, each), default=0)):
        keys.phrases.add(tuple(ways[min(turn, len(ways) - 1)] for ways in each), whose)


def _contacts(keys: Keys, identity: Identity) -> None:
    cells = [cell[:LONGEST_CELL] for cell in (*identity.contacts, *identity.brewers)]
    keys.phones = tuple(dict.fromkeys(number for cell in cells for piece in re.split(r"[;,/|]", cell) if (
        number := national(_ADDRESS.sub(" ", piece)))))  # fmt: skip
    hosts = {
        word for cell in cells for found in _ADDRESS.findall(cell) for word in fold(found).split() if len(word) > 3
    }
    keys.hosts = frozenset({*hosts, *keys.joined, *keys.parts})


def rare_words(keys: Keys, ordinary: frozenset[str]) -> Iterable[tuple[str, Part]]:
    """The words of people's names that are no ordinary words."""
    return ((key, part) for key, part in keys.parts.items() if key not in ordinary and not part.filler)
