"""The one detector of what tells whose beer it is, for both sides: in a text for judges, of an entrant and of all others.

Ordinary words, those of styles, ingredients and places give nobody away by themselves; two of one person's words beside
each other do, in either order, joined, hyphenated, as a tag, with initials, or said of a person ("brewed by"). Common
practice of blind judging; the word lists are data (``templates/names.yaml``). Linear in text and in entrants.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from entryprep.records.contacts import HANDLE, contacts_in, is_business_tag, tags_in
from entryprep.records.identity import BREWERY, Identity, Keys, keys_of, rare_words
from entryprep.records.nametext import Cleaned, Word, camel_words, cleaned, is_cjk, words_of
from entryprep.tables.namewords import name_words
from entryprep.tables.styles import StyleTable
from entryprep.text import fold

BAR = "█"
BLACKED_OUT = BAR * 3  # one length for all, for the length of a name tells something too
OTHER = "another entrant's name"
LEAST_RARE, LEAST_OTHER, LEAST_JOINED = (
    4,
    5,
    8,
)  # letters of a word that is a name in lower case; of somebody else's; joined
LONGEST_JOINED, MOST_PIECES = 48, 8  # letters of a joined word, words of a tag, that are looked at
_BESIDE = re.compile(r"[\s,.\-_/·'\"|]{0,3}")
_PLAIN_GAP = re.compile(r"\s?[\s\-_]?")
_ENDS = re.compile(r"[.,;:!?)\]\n]")


@dataclass(frozen=True)
class Found:
    """A stretch of a text that tells whose it is, as it stands there. ``sure``: not one word that may mean something else."""

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


@dataclass
class _Everybody:
    """What is looked for of all entrants of a sheet, whoever's entry it stands in."""

    words: set[str] = field(default_factory=set)
    pairs: set[tuple[str, str]] = field(default_factory=set)
    joined: set[str] = field(default_factory=set)
    phrases: dict[tuple[str, ...], str] = field(default_factory=dict)
    prefixes: set[tuple[str, ...]] = field(default_factory=set)
    cjk: dict[str, str] = field(default_factory=dict)


class Detector:
    """Finds what tells whose a beer is; words of ``table`` tell nobody. ``everybody`` are all entrants of the sheet."""

    def __init__(self, table: StyleTable, everybody: Iterable[Identity] = ()) -> None:
        self._words = name_words()
        self._ordinary = self._words.ordinary | style_words(table) | self._words.filler
        self._usual = self._ordinary | self._words.business
        self._all = _Everybody()
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
        for phrase, whose in keys.phrases.items():
            if whose == BREWERY and len("".join(phrase)) >= LEAST_OTHER:
                everybody.phrases[phrase] = whose
                everybody.prefixes |= {phrase[:size] for size in range(1, len(phrase))}
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
        search = _Search(self, clean, self._of(own or Identity()), allowed)
        return _told(text, clean, search.places())


_Place = tuple[int, int, str, bool]


def _told(text: str, clean: Cleaned, places: Iterable[_Place]) -> tuple[Found, ...]:
    """The longest of the stretches that lie on each other, as they stand in the text."""
    kept: list[_Place] = []
    for start, end, whose, sure in sorted(places, key=lambda p: (p[0], -p[1], not p[3])):
        if kept and start < kept[-1][1]:
            first, before, his, was = kept[-1]
            if end > before:
                kept[-1] = (first, end, his, was or sure)
            continue
        kept.append((start, end, whose, sure))
    made = []
    for start, end, whose, sure in kept:
        first, last = clean.span(start, end)
        made.append(Found(first, last, text[first:last], whose, sure))
    return tuple(made)


class _Search:
    """One text looked through for one entrant."""

    def __init__(self, detector: Detector, clean: Cleaned, own: Keys, allowed: frozenset[str]) -> None:
        self.text = clean.text
        self.lists = detector._words
        self.all = detector._all
        self.own = own
        self.ordinary = detector._ordinary
        self.usual = detector._usual
        self.allowed = allowed
        self.words = words_of(clean.text)
        capitals = sum(word.capital and not word.cjk for word in self.words)
        self.sentence_case = 2 * capitals <= len(self.words) + 1

    def places(self) -> Iterator[_Place]:
        """Every stretch that tells something, some of them more than once."""
        taken: list[tuple[int, int]] = []
        for start, end, kind in contacts_in(self.text, self.own.phones, self.own.hosts):
            taken.append((start, end))
            yield start, end, kind, True
        for start, end, tag in tags_in(self.text):
            if whose := self._tag(tag):
                yield start, end, whose, True
            taken.append((start, end))
        if taken:
            covered = bytearray(len(self.text))
            for start, end in taken:
                covered[start:end] = b"\1" * (end - start)
            self.words = [word for word in self.words if not covered[word.start] and not covered[word.end - 1]]
        self._mask_phrases()
        for index, word in enumerate(self.words):
            yield from self._one_word(index, word)
            yield from self._phrases(index)
            yield from self._initials(index)
        yield from self._beside()

    def _mask_phrases(self) -> None:
        """Take phrases of the trade that hold a name out of the words."""
        phrases, first = self.lists.phrases, {phrase[0] for phrase in self.lists.phrases}
        masked: set[int] = set()
        for index, word in enumerate(self.words):
            if word.keys and (word.keys[0] in first or any(key in first for key in word.owner)):
                said: list[str] = []
                for size, later in enumerate(self.words[index : index + 4], 1):
                    said += [later.owner[0], "s"] if later.own_s and later.owner else [later.keys[0]]
                    if (
                        tuple(said) in phrases
                        or ("".join(said[-2:])
                        and tuple([*said[:-2], "".join(said[-2:])]) in phrases)
                    ):
                        masked |= set(range(index, index + size))
        if masked:
            self.words = [word for index, word in enumerate(self.words) if index not in masked]

    def _rare(self, key: str) -> bool:
        return key not in self.usual and key not in self.allowed

    def _one_word(self, index: int, word: Word) -> Iterator[_Place]:
        if word.cjk:
            yield from self._cjk(word)
            return
        for key in word.every:
            part = self.own.parts.get(key)
            if part is not None and not part.filler:
                if key in word.owner and not word.own_s and word.keys[0] in self.usual and not self._accented(word):
                    continue  # a word of its own that ends in s
                if self._is_own(index, word, key):
                    yield word.start, word.end, part.whose, False
                    return
            whose = self.own.joined.get(key) or (OTHER if key in self.all.joined else "")
            if whose and (len(key) > LEAST_RARE or (word.capital and self._rare(key))):
                yield word.start, word.end, whose, True
                return
        for key in word.keys:
            if LONGEST_JOINED > len(key) > 6 and (whose := self._with_suffix(key)):
                yield word.start, word.end, whose, True
                return
        if word.capital and any(
            key in self.all.words and key not in self.allowed and len(key) >= LEAST_OTHER
            for key in self._names_of(word)
        ):
            yield word.start, word.end, OTHER, False

    def _names_of(self, word: Word) -> Sequence[str]:
        """The keys under which a word may be somebody's: with a possessive's ending only where that is no word itself."""
        if word.own_s:
            return word.every
        return word.keys if word.keys and word.keys[0] in self.usual else word.every

    def _is_own(self, index: int, word: Word, key: str) -> bool:
        """Whether a word of the entrant's own name is one here."""
        if key in self.allowed:
            return False
        if self._rare(key):
            return len(key) >= LEAST_RARE or word.capital
        if self._accented(word):
            return word.capital or len(key) >= LEAST_RARE
        if not word.capital:
            return False
        before = self._said_before(index)
        if before and self._ends(index):
            return True
        if word.own_s and index + 1 < len(self.words) and self.words[index + 1].keys[0] in self.lists.owned:
            return True
        middle = index > 0 and not re.search(r"[.!?:;\n]", word.gap)
        return len(key) <= 3 and self.sentence_case and (middle or "(" in word.gap or "[" in word.gap)

    def _accented(self, word: Word) -> bool:
        """Whether a word has the accents of the entrant's name, without which it would be an ordinary one."""
        raw = word.raw.casefold()
        return any(form in self.own.accented for form in (raw, raw.removesuffix("'s"), raw.removesuffix("s")))

    def _said_before(self, index: int) -> bool:
        """Whether words stand before that a person's name follows, such as "brewed by"."""
        if not re.fullmatch(r"\s*:?\s*", self.words[index].gap):
            return False
        keys = tuple(word.keys[0] for word in self.words[max(0, index - 3) : index])
        return any(keys[-size:] in self.lists.before_names for size in range(1, len(keys) + 1))

    def _ends(self, index: int) -> bool:
        """Whether nothing follows that a word would belong to."""
        if index + 1 >= len(self.words):
            return True
        following = self.words[index + 1]
        joins = self.lists.between | self.lists.filler | {"for", "about", "from", "to", "it", "this", "who", "made"}
        return bool(_ENDS.search(following.gap)) or following.keys[0] in joins

    def _with_suffix(self, key: str) -> str:
        """Whose name stands before or behind a word of the trade, written as one word: ``jensenbrews``."""
        for cut in range(2, len(key) - 2):
            first, then = key[:cut], key[cut:]
            for name, rest in ((first, then), (then, first)):
                part = self.own.parts.get(name)
                if part is None or part.filler or len(name) < 3:
                    continue
                trade = rest in self.lists.business and len(rest) > 3
                other = self.own.parts.get(rest)
                same = other is not None and other.person == part.person and len(rest) > 2
                if (trade and (self._rare(name) or len(name) > 4)) or (same and (self._rare(name) or self._rare(rest))):
                    return part.whose
        return ""

    def _cjk(self, word: Word) -> Iterator[_Place]:
        run = word.raw
        for size in (5, 4, 3, 2, 1):
            for start in range(len(run) - size + 1):
                piece = run[start : start + size]
                whose = self.own.cjk.get(piece) or self.all.cjk.get(piece)
                if whose and (size > 1 or len(run) == 1):
                    yield word.start + start, word.start + start + size, whose, size > 1

    def _phrases(self, index: int) -> Iterator[_Place]:
        """Names of breweries, clubs, places and beers that begin at a word."""
        for phrases, prefixes, owned in (
            (self.own.phrases, None, True),
            (self.all.phrases, self.all.prefixes, False),
        ):
            if not phrases:
                continue
            begun: list[tuple[str, ...]] = [()]
            longest = max(map(len, phrases)) if owned else 8
            for later in range(index, min(len(self.words), index + longest)):
                word = self.words[later]
                if later > index and not _BESIDE.fullmatch(word.gap):
                    break
                begun = [(*before, key) for before in begun for key in word.every]
                for phrase in begun:
                    if phrase in phrases and self._phrase_means(phrase, index, owned):
                        yield (
                            self.words[index].start,
                            word.end,
                            phrases[phrase] if owned else "another entrant's brewery",
                            True,
                        )
                if prefixes is not None:
                    begun = [phrase for phrase in begun if phrase in prefixes]
                elif later > index + 1:
                    begun = [phrase for phrase in begun if any(known[: len(phrase)] == phrase for known in phrases)]
                if not begun:
                    break

    def _phrase_means(self, phrase: tuple[str, ...], index: int, owned: bool) -> bool:
        if set(phrase) <= self.allowed:
            return False
        if len(phrase) > 1:
            return owned or self.words[index].capital or any(self._rare(key) for key in phrase)
        word = self.words[index]
        return self._rare(phrase[0]) and (len(phrase[0]) >= LEAST_RARE or word.capital) and (owned or word.capital)

    def _initials(self, index: int) -> Iterator[_Place]:
        """``B. J.``, ``B.J.``, ``B. Jensen``, ``Jensen B.``, and ``BJ`` after "brewed by"."""
        word = self.words[index]
        letter = word.keys[0][: 1 if len(word.raw) == 1 else None]
        if not word.capital or len(letter) > 3 or not self.own.initials:
            return
        if len(letter) == 1:
            run, last = letter, index
            while last + 1 < len(self.words) and len(self.words[last + 1].raw) == 1 and self.words[last + 1].capital:
                if not re.fullmatch(r"\.?[ -]?", self.words[last + 1].gap) or "." not in self.words[last + 1].gap:
                    break
                last += 1
                run += self.words[last].keys[0][:1]
            clock = run in {"am", "pm"} and re.search(r"\d\s?$", self.text[max(0, word.start - 3) : word.start])
            if last > index and run in self.own.initials and run not in self.lists.abbreviations and not clock:
                end = self.words[last].end
                yield word.start, end + (self.text[end : end + 1] == "."), self.own.initials[run], True
            yield from self._letter_and_name(index, letter)
        elif letter in self.own.initials and word.raw.isupper() and letter not in self.usual | self.lists.abbreviations:
            if self._said_before(index) and self._ends(index):
                yield word.start, word.end, self.own.initials[letter], False

    def _letter_and_name(self, index: int, letter: str) -> Iterator[_Place]:
        word = self.words[index]
        for other, first in ((index + 1, True), (index - 1, False)):
            if not 0 <= other < len(self.words):
                continue
            name = self.words[other]
            gap = name.gap if first else word.gap
            if not name.capital or not re.fullmatch(r"\.?\s?" if first else r",?\s", gap):
                continue
            for key in name.every:
                part = self.own.parts.get(key)
                if (
                    part is None
                    or part.filler
                    or not any(known[0] == letter for known in self.own.people[part.person] if known != key)
                ):
                    continue
                dotted = "." in gap or self.text[word.end : word.end + 1] == "."
                if dotted or self._rare(key):
                    yield (
                        (word.start, name.end, part.whose, True) if first else (name.start, word.end, part.whose, True)
                    )

    def _beside(self) -> Iterator[_Place]:
        """Words of one person beside each other: of the entrant in any order, of all others as they are written."""
        run: tuple[int, int] | None = None  # the person whose words stand one after the other, and where they begin
        sure = False
        for index, (one, two) in enumerate(pairwise(self.words)):
            joined = False
            if _BESIDE.fullmatch(two.gap):
                for a in one.every:
                    for b in two.every:
                        if a == b:
                            continue
                        if (a, b) in self.all.pairs and (one.capital or two.capital or len(a + b) > 6):
                            yield one.start, two.end, OTHER, True
                        first, then = self.own.parts.get(a), self.own.parts.get(b)
                        if first and then and first.person == then.person:
                            run = run if run and run[0] == first.person else (first.person, one.start)
                            joined = True
                            sure = sure or self._full(index, a, b)
                            if sure:
                                yield run[1], two.end, first.whose, True
            if not joined:
                run, sure = None, False

    def _full(self, index: int, a: str, b: str) -> bool:
        """Whether two words of one person mean the person: always where one is no ordinary word."""
        one, two = self.words[index : index + 2]
        person = self.own.parts[a]
        if {a, b} <= self.allowed or (person.filler and self.own.parts[b].filler):
            return False
        if self._rare(a) or self._rare(b):
            return True
        if not _PLAIN_GAP.fullmatch(two.gap):
            return one.capital and two.capital and (self.sentence_case or one.raw.isupper() or len(self.words) <= 2)
        return len(a + b) > 6 or (one.capital and two.capital)

    def _tag(self, tag: str) -> str:
        """Whose tag it is, or that it is one of a person or a brewery; empty where it is neither."""
        pieces = camel_words(tag[1:])[:MOST_PIECES]
        whole = "".join(pieces)
        every = [key for word in words_of(tag[1:]) for key in word.every] + [whole, whole.removesuffix("s")]
        for key in every:
            if whose := self.own.joined.get(key) or (OTHER if key in self.all.joined else "") or self._with_suffix(key):
                return whose
        for index, piece in enumerate(pieces):
            part = self.own.parts.get(piece)
            beside = {*pieces[:index], *pieces[index + 1 :]}
            if part and not part.filler and (self._rare(piece) or beside & (self.lists.business | set(self.own.parts))):
                return part.whose
        for piece in (*pieces, whole):
            for name, part in rare_words(self.own, self.usual):
                if len(name) >= LEAST_RARE and (piece.startswith(name) or piece.endswith(name)):
                    return part.whose
        joined = (*(tuple(pieces[i:j]) for i in range(len(pieces)) for j in range(i + 1, len(pieces) + 1)), (whole,))
        for phrase in joined:
            if (phrase in self.own.phrases or phrase in self.all.phrases) and any(map(self._rare, phrase)):
                return self.own.phrases.get(phrase) or OTHER
        if any(piece in self.all.words for piece in pieces):
            return OTHER
        return HANDLE if is_business_tag(tag, self.ordinary) else ""
