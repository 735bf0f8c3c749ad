"""One text looked through for one entrant: which of its words and tags are somebody's, and where they stand."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from entryprep.records.contacts import HANDLE, contacts_in, is_business_tag, tags_in
from entryprep.records.identity import Keys, Phrases, rare_words
from entryprep.records.nametext import Word, camel_words, words_of
from entryprep.tables.namewords import name_words

OTHER, OTHERS = "another entrant's name", "another entrant's brewery"
LEAST_RARE = 4  # letters of a word that is a name in lower case too
LEAST_OTHER, LEAST_JOINED = 5, 8  # letters of somebody else's name by itself, and of one written as one word
LONGEST_JOINED, MOST_PIECES = 48, 8  # letters of a joined word, words of a tag, that are looked at
_BESIDE = re.compile(r"[\s,.\-_/·'\"|]{0,3}")
_PLAIN_GAP = re.compile(r"\s?[\s\-_]?")
_ENDS = re.compile(r"[.,;:!?)\]\n]")

Place = tuple[int, int, str, bool]  # start, end, whose, whether it is sure


@dataclass
class Everybody:
    """What is looked for of all entrants of a sheet, whoever's entry it stands in."""

    words: set[str] = field(default_factory=set)
    pairs: set[tuple[str, str]] = field(default_factory=set)
    joined: set[str] = field(default_factory=set)
    phrases: Phrases = field(default_factory=Phrases)
    cjk: dict[str, str] = field(default_factory=dict)


class Search:
    """One text looked through for one entrant."""

    def __init__(
        self, text: str, own: Keys, everybody: Everybody, usual: frozenset[str], allowed: frozenset[str]
    ) -> None:
        """``text`` is cleaned; ``usual`` are words that tell nobody by themselves, ``allowed`` those of this beer."""
        self.text = text
        self.lists = name_words()
        self.all = everybody
        self.own = own
        self.usual = usual
        self.allowed = allowed
        self.words = words_of(text)
        capitals = sum(word.capital and not word.cjk for word in self.words)
        self.sentence_case = 2 * capitals <= len(self.words) + 1

    def places(self) -> Iterator[Place]:
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
        yield from self._spaced()

    def _mask_phrases(self) -> None:
        """Take phrases of the trade that hold a name out of the words."""
        phrases, longest = self.lists.phrases, self.lists.longest_phrase
        masked: set[int] = set()
        for index, word in enumerate(self.words):
            if not self.lists.phrase_starts.isdisjoint(word.every):
                said: list[str] = []
                for later in range(index, min(len(self.words), index + longest)):
                    said += _spoken(self.words[later])
                    if tuple(said) in phrases or (*said[:-2], "".join(said[-2:])) in phrases:
                        masked |= set(range(index, later + 1))
        if masked:
            self.words = [word for index, word in enumerate(self.words) if index not in masked]

    def _rare(self, key: str) -> bool:
        return key not in self.usual and key not in self.allowed

    def _one_word(self, index: int, word: Word) -> Iterator[Place]:
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
        """Keys under which a word may be somebody's: without its last s only where it is no word itself."""
        if word.own_s:
            return word.every
        return word.keys if word.keys and word.keys[0] in self.usual else word.every

    def _is_own(self, index: int, word: Word, key: str) -> bool:
        """Whether a word of the entrant's own name is one here."""
        if key in self.allowed:
            return False
        if self._rare(key) or self._accented(word):
            return len(key) >= LEAST_RARE or word.capital
        if not word.capital:
            return False
        following = self.words[index + 1].keys[0] if index + 1 < len(self.words) else ""
        said_of = (self._said_before(index) and self._ends(index)) or (word.own_s and following in self.lists.owned)
        begins = index == 0 or re.search(r"[.!?:;\n]", word.gap) is not None
        short = len(key) <= 3 and self.sentence_case and (not begins or "(" in word.gap or "[" in word.gap)
        return said_of or short

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

    def _cjk(self, word: Word) -> Iterator[Place]:
        run = word.raw
        for size in (5, 4, 3, 2, 1):
            for start in range(len(run) - size + 1):
                piece = run[start : start + size]
                whose = self.own.cjk.get(piece) or self.all.cjk.get(piece)
                if whose and (size > 1 or len(run) == 1):
                    yield word.start + start, word.start + start + size, whose, size > 1

    def _phrases(self, index: int) -> Iterator[Place]:
        """Names of breweries, clubs, places and beers that begin at a word."""
        for known, owned in ((self.own.phrases, True), (self.all.phrases, False)):
            begun: list[tuple[str, ...]] = [()]
            for later in range(index, len(self.words)):
                word = self.words[later]
                if later > index and not _BESIDE.fullmatch(word.gap):
                    break
                begun = [(*before, key) for before in begun for key in word.every if (*before, key) in known.begins]
                if not begun:
                    break
                for phrase in begun:
                    if phrase in known.whole and self._phrase_means(phrase, index, owned):
                        yield self.words[index].start, word.end, known.whole[phrase] if owned else OTHERS, True

    def _others(self, phrase: tuple[str, ...]) -> str:
        return OTHERS if phrase in self.all.phrases.whole else ""

    def _phrase_means(self, phrase: tuple[str, ...], index: int, owned: bool) -> bool:
        if set(phrase) <= self.allowed:
            return False
        if len(phrase) > 1:
            return owned or self.words[index].capital or any(self._rare(key) for key in phrase)
        word = self.words[index]
        return self._rare(phrase[0]) and (len(phrase[0]) >= LEAST_RARE or word.capital) and (owned or word.capital)

    def _initials(self, index: int) -> Iterator[Place]:
        """``B. J.``, ``B.J.``, ``B. Jensen``, ``Jensen B.``, and ``BJ`` after "brewed by"."""
        word = self.words[index]
        letter = word.keys[0][: 1 if len(word.raw) == 1 else None]
        if len(letter) > 3 or not self.own.initials:
            return
        if len(letter) == 1:
            yield from self._letter_and_name(index, letter)
        if len(letter) == 1 and word.capital:
            run, last = letter, index
            most = min(len(self.words), index + MOST_PIECES)
            while last + 1 < most and len(self.words[last + 1].raw) == 1 and self.words[last + 1].capital:
                if not re.fullmatch(r"\.?[ -]?", self.words[last + 1].gap) or "." not in self.words[last + 1].gap:
                    break
                last += 1
                run += self.words[last].keys[0][:1]
            clock = run in {"am", "pm"} and re.search(r"\d\s?$", self.text[max(0, word.start - 3) : word.start])
            if last > index and run in self.own.initials and run not in self.lists.abbreviations and not clock:
                end = self.words[last].end
                yield word.start, end + (self.text[end : end + 1] == "."), self.own.initials[run], True
        elif (
            letter in self.own.initials
            and word.raw.isupper()
            and letter not in self.lists.abbreviations
            and self._rare(letter)
            and self._said_before(index)
            and self._ends(index)
        ):
            yield word.start, word.end, self.own.initials[letter], False

    def _spaced(self) -> Iterator[Place]:
        """A name of the entrant written with something between all its letters."""
        begun = 0
        for index in range(len(self.words) + 1):
            if index < len(self.words) and len(self.words[index].raw) == 1:
                continue
            run = "".join(word.keys[0][:1] for word in self.words[begun:index])
            for name, part in rare_words(self.own, self.usual) if len(run) >= LEAST_RARE else ():
                place = run.find(name) if len(name) >= LEAST_RARE else -1
                if place >= 0:
                    last = self.words[begun + place + len(name) - 1]
                    yield self.words[begun + place].start, last.end, part.whose, True
            begun = index + 1

    def _letter_and_name(self, index: int, letter: str) -> Iterator[Place]:
        word = self.words[index]
        for other, first in ((index + 1, True), (index - 1, False)):
            if not 0 <= other < len(self.words):
                continue
            name = self.words[other]
            gap = name.gap if first else word.gap
            if not re.fullmatch(r"\.?\s?" if first else r",?\s", gap):
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
                if (dotted and self._rare(key)) or (word.capital and name.capital and (dotted or self._rare(key))):
                    yield (
                        (word.start, name.end, part.whose, True) if first else (name.start, word.end, part.whose, True)
                    )

    def _beside(self) -> Iterator[Place]:
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
            told = self.sentence_case or one.raw.isupper() or len(self.words) <= 2 or self._said_before(index)
            return one.capital and two.capital and told
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
            if any(map(self._rare, phrase)) and (whose := self.own.phrases.whole.get(phrase) or self._others(phrase)):
                return whose
        if any(piece in self.all.words for piece in pieces):
            return OTHER
        return HANDLE if is_business_tag(tag, self.usual) else ""


def _spoken(word: Word) -> list[str]:
    """A word as the phrases of the trade have it: a possessive's ending as a word of its own."""
    return [word.owner[0], "s"] if word.own_s and word.owner else [word.keys[0]]
