"""Which words would give a brewer away to a judge."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.records.brewer import Brewer
from entryprep.tables.rules import Rules
from entryprep.text import fold

LEAST_LETTERS = 4


@dataclass(frozen=True)
class Name:
    """Words, as a name key, that give somebody away; ``part``: one word out of a longer name."""

    key: str
    whose: str
    part: bool = False


@dataclass(frozen=True)
class Telling:
    """Tells names from words that beers have use for: those of style names, and those listed as ordinary."""

    rules: Rules
    style_words: frozenset[str]

    def brewer_names(self, brewer: Brewer | None) -> tuple[Name, ...]:
        """What of a brewer must not stand in a text for judges, each once: names, brewery, club, address."""
        if brewer is None:
            return ()
        names = self._person("the brewer's name", brewer.name)
        for other in brewer.co_brewers:
            names += self._person("a co-brewer's name", other)
        names += self._business("the brewery's name", brewer.brewery)
        names += self._business("the club's name", brewer.club)
        for piece in (piece for line in brewer.address for piece in line.split(",")):
            names += self._business("part of the brewer's address", piece)
            names += self._parts("part of the brewer's address", piece)
        first: dict[str, Name] = {}
        for name in names:
            first.setdefault(name.key, name)
        return tuple(first.values())

    def beer_name(self, name: str) -> tuple[Name, ...]:
        """The name of a beer, unless it is made of ordinary words alone: a beer called Porter tells nobody."""
        words = fold(name).split()
        return (Name(" ".join(words), "the beer's name"),) if any(map(self._rare, words)) else ()

    def _person(self, whose: str, text: str) -> list[Name]:
        words = fold(text).split()
        whole = [Name(" ".join(words), whose)] if len(words) > 1 or any(map(self._rare, words)) else []
        return whole + self._parts(whose, text)

    def _parts(self, whose: str, text: str) -> list[Name]:
        """The rarer words of a longer name, such as a surname."""
        words = fold(text).split()
        return [Name(word, whose, part=True) for word in words if len(words) > 1 and self._rare(word)]

    def _business(self, whose: str, text: str | None) -> list[Name]:
        """A name as it stands, and without what all breweries, clubs and streets have in common."""
        words = fold(text or "").split()
        core = [w for w in words if w not in self.rules.business_words | self.rules.filler_words and not w.isdigit()]
        names = []
        if len(words) > 1 and core and (any(map(self._rare, core)) or set(words) & self.rules.business_words):
            names.append(Name(" ".join(words), whose))
        if any(map(self._rare, core)):
            names.append(Name(" ".join(core), whose))
        return names

    def _rare(self, word: str) -> bool:
        usual = (self.style_words, self.rules.ordinary_words, self.rules.business_words, self.rules.filler_words)
        return len(word) >= LEAST_LETTERS and not word.isdigit() and not any(word in words for words in usual)
