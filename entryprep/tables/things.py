"""A thing that was added to a beer, and the words by which a style knows it for its own."""

from __future__ import annotations

from typing import NamedTuple

from entryprep.text import fold, singular

LONGEST = 4  # words of the longest name of a thing
ANY = "any"
ICE_REMOVED = "ice removed"  # what every word for it is called by
# what a grain that leads a style by definition is called
LEADING_GRAIN = {"wheat": {"wheat"}, "rye": {"rye"}, "oats": {"oat"}, "corn-rice": {"corn", "maize", "rice"}}


class Thing(NamedTuple):
    """A kind of addition, and every run of words of its name, folded and singular; none where only the kind is said."""

    kind: str
    names: frozenset[str] = frozenset()


def thing(kind: str, words: str, plain: bool = True) -> Thing:
    """A thing by its kind and name; ``plain``: brewing sugar, which alone is known by the bare word."""
    parts = singular(fold(words)).split()
    names = {" ".join(parts[i : i + n]) for n in range(1, LONGEST + 1) for i in range(len(parts) - n + 1)}
    return Thing(kind, frozenset(names - ({"sugar"} if kind == "sugar" and not plain else set())))


def thing_names(names: tuple[str, ...]) -> frozenset[str]:
    """The names of things as they are compared."""
    return frozenset(singular(fold(name)) for name in names)
