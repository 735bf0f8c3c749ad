"""Reading a style name that is not spelt as in the table: one style, several, or none; never a silent guess.

Names are tried in turn: as written; without a leading category code, or with only what stands before or in
parentheses; in words of the style table for short forms and other languages; then letter by letter. A word may miss
by one letter from five on and by two from eight on (transposed letters count one, common practice of typing), short
words not at all.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from typing import Annotated

from pydantic import BeforeValidator

from entryprep.reading.fields import Record, Text
from entryprep.records.stylenames import Named
from entryprep.tables.shipped import shipped_record
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable, nearest_names
from entryprep.text import fold

LONGEST = 120  # letters of a declaration that are looked at as a name
_CODE = re.compile(r"^\s*(?:\d{1,2}\s*[-.]?\s*[A-Za-z]?\d?|[A-Z]\d{1,2})\s*[.:)\-–,]*\s+(?=\S)")
_DOTTED = re.compile(r"\b(?:\w\.){2,}", re.UNICODE)
_BRACKETS = re.compile(r"[(\[]([^()\[\]]+)[)\]]")
_DOUBLED = re.compile(r"(.)\1+")
_EITHER = re.compile(r"\s+(?:or|oder|ou|o)\s+|\s*[/|]\s*", re.IGNORECASE)


class _Shorthand(Record):
    words: dict[str, list[Text]]
    filler: Annotated[tuple[Text, ...], BeforeValidator(tuple)]


@cache
def _shorthand() -> tuple[dict[str, tuple[str, ...]], frozenset[str]]:
    known = shipped_record("templates/receiving/shorthand.yaml", _Shorthand)
    words: dict[str, list[str]] = {}
    for word, shorts in known.words.items():
        for short in shorts:
            words.setdefault(fold(short), []).append(word)
    return {short: tuple(meant) for short, meant in words.items()}, frozenset(known.filler)


class StyleNames:
    """Reads style names against one table; what was read once is remembered, up to 20,000 names."""

    def __init__(self, table: StyleTable) -> None:
        self.table = table
        self._seen: dict[str, Named] = {}
        self._targets: dict[str, tuple[str, ...]] = {**table.ambiguous}
        self._targets |= {name: (style,) for name, style in table.names.items()}
        self._words = {name: tuple(name.split()) for name in self._targets}
        _, filler = _shorthand()
        self.vocabulary = frozenset(word for words in self._words.values() for word in words)
        self._joined = {name.replace(" ", ""): name for name in reversed(self._targets)}
        self._of_style = {style.id: _vocabulary(style, filler) for style in table}
        self._bare: dict[tuple[str, ...], set[str]] = {}
        for name, words in self._words.items():
            self._bare.setdefault(tuple(sorted(w for w in words if w not in filler)), set()).add(name)

    def read(self, text: str) -> Named:
        """The style meant by ``text``."""
        plain = " ".join(text.split())[:LONGEST]
        if plain not in self._seen:
            if len(self._seen) >= 20_000:
                self._seen.clear()
            self._seen[plain] = self._read(plain)
        return self._seen[plain]

    def _read(self, text: str) -> Named:
        if not fold(text):
            return Named(text, "missing" if not text.strip(" ?-.") else "unknown")
        exact = self._exact(text)
        if exact and len(exact) == 1:
            return Named(text, "named", self.table.styles[exact[0]], exact)
        found = exact or self._loosely(text)
        if len(found) == 1:
            return Named(text, "read", self.table.styles[found[0]], found)
        if found:
            return Named(text, "unsettled", None, found)
        return Named(text, "unknown", None, nearest_names(text, self.table))

    def _exact(self, text: str) -> tuple[str, ...]:
        for part in (text, text.partition(":")[2]):
            if (key := fold(part)) in self._targets:
                inner = _BRACKETS.search(text)
                return self._targets[key] if not inner or len(self._targets[key]) == 1 else ()
        return ()

    def _loosely(self, text: str) -> tuple[str, ...]:
        text = _DOTTED.sub(lambda m: m[0].replace(".", "") + " ", text)
        text = _CODE.sub("", text, count=1)
        whole = self._of_phrase(text)
        if len(whole) == 1:
            return whole
        inner = _BRACKETS.findall(text)
        if inner:
            outer = self._of_phrase(_BRACKETS.sub(" ", text))
            inside = [found for part in inner if (found := self._of_phrase(part))]
            return _together(whole or outer, *inside)
        if not whole:
            parts = [part for part in _EITHER.split(text) if fold(part)]
            if len(parts) > 1:
                each = [self._of_phrase(part) for part in parts]
                return _either(each) if all(each) else ()
        return whole

    def _of_phrase(self, text: str) -> tuple[str, ...]:
        key = fold(text)
        if key in self._targets:
            return self._targets[key]
        cut = frozenset(fold(w) for w in text.split() if w.endswith(".") and len(fold(w)) > 1)
        words = tuple(key.split())
        if not words or len(words) > 10:
            return ()
        for way in _ways(words):
            if (found := self._spelt(way, cut)) is not None:
                return found
        return ()

    def _spelt(self, words: tuple[str, ...], cut: frozenset[str]) -> tuple[str, ...] | None:
        key, _filler = " ".join(words), _shorthand()[1]
        if key in self._targets:
            return self._targets[key]
        if len(key) >= 5 and (joined := self._joined.get(key.replace(" ", ""))):
            return self._targets[joined]
        bare = tuple(sorted(w for w in words if w not in _filler))
        if bare and (same := self._bare.get(bare)):
            return self._one(same, words)
        return self._near(words, cut) or self._contained(set(bare)) or self._begun(key)

    def _contained(self, words: set[str]) -> tuple[str, ...] | None:
        """The one style of which a name stands among the words, and whose names have every other word as well."""
        found = {}
        for style, (names, vocabulary) in self._of_style.items():
            if words <= vocabulary:
                longest = max((len(name) for name in names if name <= words), default=0)
                if longest:
                    found[style] = longest
        best = max(found.values(), default=0)
        return tuple(style for style, longest in found.items() if longest == best) or None

    def _begun(self, key: str) -> tuple[str, ...] | None:
        """The one style of which names begin with all of two words or more: a name whose end is left out."""
        if " " not in key:
            return None
        found = {self._targets[name] for name in self._targets if name.startswith(f"{key} ")}
        return found.pop() if len(found) == 1 else None

    def _one(self, names: set[str], words: tuple[str, ...]) -> tuple[str, ...]:
        """Of names that differ in filler words only, those with most words in common."""
        shared = {name: (len(set(words) & set(self._words[name])), -len(self._words[name])) for name in names}
        best = max(shared.values())
        return _either([self._targets[name] for name in sorted(names) if shared[name] == best])

    def _near(self, words: tuple[str, ...], cut: frozenset[str]) -> tuple[str, ...] | None:
        from rapidfuzz import fuzz, process  # noqa: PLC0415 - only a misspelling needs it

        key = " ".join(words)
        close = process.extract(key, list(self._words), scorer=fuzz.token_sort_ratio, score_cutoff=55, limit=40)
        if len(key) >= 8:
            close += process.extract(key, list(self._words), scorer=fuzz.ratio, score_cutoff=80, limit=10)
        costs: dict[str, float] = {}
        for name, _, _ in close:
            cost = _cost(words, self._words[name], cut)
            if cost is not None:
                costs[name] = min(cost, costs.get(name, cost))
        if not costs:
            return None
        best = min(costs.values())
        return _either([self._targets[name] for name in sorted(costs) if costs[name] <= best + 0.25])


def _vocabulary(style: Style, filler: frozenset[str]) -> tuple[list[frozenset[str]], frozenset[str]]:
    """The words of each name of a style that has two words or more, or is long; and all words of its names."""
    names = [frozenset(fold(n).split()) - filler for n in (style.name, *style.aliases)]
    return [n for n in names if len(n) > 1 or len("".join(n)) >= 5], frozenset().union(*names)


def _either(found: list[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(style for each in found for style in each))


def _together(first: tuple[str, ...], *more: tuple[str, ...]) -> tuple[str, ...]:
    """What all parts allow; where they contradict each other, all of it."""
    parts = [part for part in (first, *more) if part]
    common = [style for style in (parts[0] if parts else ()) if all(style in part for part in parts)]
    return tuple(common) or _either(parts)


def _ways(words: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """The words as written, then in the words of the table for each short form."""
    yield words
    short, _ = _shorthand()
    pairs = tuple(" ".join(words[i : i + 2]) for i in range(len(words) - 1))
    for i, pair in enumerate(pairs):
        for meant in short.get(pair, ()):
            yield from _ways((*words[:i], meant, *words[i + 2 :]))
    choices = [(word, *short.get(word, ())) for word in words]
    if any(len(choice) > 1 for choice in choices):
        for turn in (1, 2):
            yield tuple(" ".join(choice[min(turn, len(choice) - 1)] for choice in choices).split())


def _cost(words: tuple[str, ...], name: tuple[str, ...], cut: frozenset[str]) -> float | None:
    """Letters wrong between two phrases, word by word in any order, a filler word more or less counting half."""
    _, filler = _shorthand()
    left, total = list(name), 0.0
    rest: list[str] = []
    for word in words:
        if word in left:
            left.remove(word)
        else:
            rest.append(word)
    for word in rest:
        choices = [(_letters(word, other, cut), i) for i, other in enumerate(left)]
        wrong, i = min(choices, default=(99.0, 0))
        if wrong < 99:
            total += wrong
            del left[i]
        elif word in filler:
            total += 0.5
        else:
            joined = "".join(words), "".join(name)
            whole = _letters(*joined, frozenset()) if len(joined[1]) >= 8 else 99.0
            return whole if whole < 99 else None
    if any(other not in filler for other in left):
        return None
    return total + 0.5 * len(left)


def _letters(word: str, other: str, cut: frozenset[str]) -> float:
    """Letters wrong in one word, 99 where it is another word; one cut off with a point costs nothing much."""
    from rapidfuzz.distance import OSA  # noqa: PLC0415 - only a misspelling needs it

    if word in cut and other.startswith(word):
        return 0.25
    if 1 < len(word) == len(other) - 1 and other.startswith(word):
        return 1.0
    if _DOUBLED.sub(r"\1", word) == _DOUBLED.sub(r"\1", other) and len(other) >= 4:
        return 1.0
    shorter = min(len(word), len(other))
    allowed = 0 if shorter < 5 and len(other) < 5 else 1 if len(other) < 8 else 2
    wrong = OSA.distance(word, other, score_cutoff=allowed)
    return float(wrong) if wrong <= allowed else 99.0
