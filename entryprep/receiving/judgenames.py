"""Judges' names as they are typed beside scores, matched to those who sat at the table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from entryprep.text import fold, misspelt

NAMED, READ, STRANGER, SEVERAL = "named", "read", "stranger", "several"


@dataclass
class PanelNames:
    """The judges of each flight by name, and the flight of each entry: who may have scored what."""

    panels: Mapping[int, Sequence[str]]
    flights: Mapping[str, int]
    _known: dict[tuple[int, str], tuple[str, str]] = field(default_factory=dict)

    def meant(self, typed: str, number: str) -> tuple[str, str]:
        """The judge a typed name means for an entry, and how it was found; empty where nobody, or several."""
        flight = self.flights.get(number, 0)
        if flight not in self.panels:
            return typed, NAMED
        key = flight, typed
        if key not in self._known:
            self._known[key] = matched_name(typed, self.panels[flight])
        return self._known[key]

    def elsewhere(self, typed: str) -> int:
        """The first flight at which somebody of a typed name sits, 0 where nobody."""
        return next((flight for flight, names in self.panels.items() if matched_name(typed, names)[0]), 0)


def matched_name(typed: str, names: Iterable[str]) -> tuple[str, str]:
    """The one of some names that a typed name means, and how; ("", several) where it may be more than one.

    It may be in other order, a part of the name, with initials, or misspelt by a letter or so.
    """
    every = list(names)
    key = fold(typed)
    for name in every:
        if fold(name) == key:
            return name, NAMED
    words = key.split()
    for way in (_same_words, _part_of, _near_to):
        found = [name for name in every if words and way(words, fold(name).split())]
        if found:
            return (found[0], READ) if len(found) == 1 else ("", SEVERAL)
    return "", STRANGER


def _same_words(words: Sequence[str], name: Sequence[str]) -> bool:
    return sorted(words) == sorted(name)


def _part_of(words: Sequence[str], name: Sequence[str]) -> bool:
    """Words of the name, or their initials; two letters may be both initials."""
    if len(words) == 1 and len(words[0]) == len(name) > 1 and words[0] == "".join(word[0] for word in name):
        return True
    left = list(name)
    for word in sorted(words, key=len, reverse=True):
        match = next((other for other in left if other == word or (len(word) == 1 and other[0] == word)), None)
        if match is None:
            return False
        left.remove(match)
    return any(len(word) > 1 for word in words)


def _near_to(words: Sequence[str], name: Sequence[str]) -> bool:
    if misspelt(" ".join(words), [" ".join(name)]) or misspelt(" ".join(reversed(words)), [" ".join(name)]):
        return True
    return len(words) == 1 and misspelt(words[0], [word for word in name if len(word) >= 5]) is not None
