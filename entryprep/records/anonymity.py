"""The one detector of what tells whose a beer is, for both sides: of the entrant and of all others of a sheet.

Ordinary words, those of styles, ingredients and places give nobody away by themselves; two of one person's words beside
each other do, in either order, joined, hyphenated, as a tag, with initials, or said of a person ("brewed by"). Common
practice of blind judging; the word lists are data (``templates/names.yaml``). Linear in text and in entrants.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from entryprep.records.identity import BREWERY, Identity, Keys, keys_of, rare_words
from entryprep.records.namesearch import LEAST_JOINED, LEAST_OTHER, OTHER, OTHERS, Everybody, Place, Search
from entryprep.records.nametext import Cleaned, cleaned, is_cjk
from entryprep.tables.namewords import name_words
from entryprep.tables.styles import StyleTable
from entryprep.text import fold

_OTHERS = frozenset({OTHER, OTHERS})
BAR = "█"
BLACKED_OUT = BAR * 3  # one length for all, for the length of a name tells something too


@dataclass(frozen=True)
class Found:
    """A stretch of a text that tells whose it is, as it stands there.

    ``sure`` is false where it is one word of a name, which may mean something else.
    """

    start: int
    end: int
    shown: str
    whose: str
    sure: bool = True


def style_words(table: StyleTable) -> frozenset[str]:
    """Every word that occurs in the name of a style or a family."""
    titles = (fold(title) for title in table.families.values())
    return frozenset(word for key in (*table.names, *table.ambiguous, *titles) for word in key.split())


def blacked_out(text: str, found: Iterable[Found]) -> str:
    """The text with a bar of one length in place of all that was found."""
    made, after = [], 0
    for each in sorted(found, key=lambda f: f.start):
        if each.end <= after:
            continue
        if each.start >= after:
            made += [text[after : each.start], BLACKED_OUT]
        after = each.end
    return "".join((*made, text[after:]))


class Detector:
    """Finds what tells whose a beer is; words of ``table`` tell nobody. ``everybody`` are all entrants of the sheet."""

    def __init__(self, table: StyleTable, everybody: Iterable[Identity] = ()) -> None:
        self._words = name_words()
        self._ordinary = self._words.ordinary | style_words(table) | self._words.filler
        self._usual = self._ordinary | self._words.business
        self._all = Everybody()
        self._keys: dict[Identity, Keys] = {}
        for identity in everybody:
            self._add(identity)

    def _add(self, identity: Identity) -> None:
        keys = self._of(identity)
        everybody = self._all
        everybody.words |= {key for key, _ in rare_words(keys, self._usual) if len(key) >= LEAST_OTHER}
        for person in keys.people:
            rare = {key for key in person if key not in self._usual}
            said = [key for key in person if key not in self._words.filler or key in rare]
            beside = [*pairwise(person), *((b, a) for a, b in pairwise(person))]
            beside += [(said[0], said[-1]), (said[-1], said[0])] if len(said) > 1 else []
            everybody.pairs |= {
                (a, b)
                for a, b in beside
                if a != b and (len(a + b) > 3 or is_cjk(a) or is_cjk(b)) and (a in rare or b in rare)
            }
        everybody.joined |= {key for key, whose in keys.joined.items() if len(key) >= LEAST_JOINED}
        for phrase, whose in keys.phrases.whole.items():
            if whose == BREWERY and len("".join(phrase)) >= LEAST_OTHER:
                everybody.phrases.add(phrase, OTHERS)
        everybody.cjk |= {word: OTHER for word in keys.cjk if len(word) > 2}

    def _of(self, identity: Identity) -> Keys:
        if identity not in self._keys:
            if len(self._keys) >= 20_000:
                self._keys.clear()
            self._keys[identity] = keys_of(identity, self._words, self._ordinary)
        return self._keys[identity]

    def find(self, text: str, own: Identity | None = None, allowed: frozenset[str] = frozenset()) -> tuple[Found, ...]:
        """All that tells whose it is, each stretch once, in the order of the text.

        ``own`` is the entrant whose text it is; ``allowed`` are folded words that mean something else in it.
        """
        if not text or text.isspace():
            return ()
        clean = cleaned(text)
        search = Search(clean.text, self._of(own or Identity()), self._all, self._usual, allowed)
        return _told(text, clean, search.places())


def _told(text: str, clean: Cleaned, places: Iterable[Place]) -> tuple[Found, ...]:
    """The longest of the stretches that lie on each other, as they stand in the text."""
    seen = [(*clean.span(start, end), whose, sure) for start, end, whose, sure in places]
    kept: list[Place] = []
    # a name that is the entrant's and somebody else's too is the entrant's
    for start, end, whose, sure in sorted(seen, key=lambda p: (p[0], -p[1], not p[3], p[2] in _OTHERS)):
        if kept and start < kept[-1][1]:
            first, before, his, was = kept[-1]
            if end > before:
                kept[-1] = (first, end, his, was or sure)
            continue
        kept.append((start, end, whose, sure))
    return tuple(Found(start, end, text[start:end], whose, sure) for start, end, whose, sure in kept)
