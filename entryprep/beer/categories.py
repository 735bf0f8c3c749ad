"""Which styles a competition's category takes: those it lists, else those its name leads to.

A name that equals a style, an alias or a family is certain. Anything else is compared by spelling, and the answer
says that it is not certain, with its score: it is for the caller to tell, never to take for granted.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from entryprep.records.competition import Category
from entryprep.tables.style import Style
from entryprep.tables.styles import AmbiguousStyle, StyleNameError, StyleTable
from entryprep.text import fold, singular

LEAST_SCORE = 65.0
SAME_SCORE = 3.0  # names this close to the best are taken along: two spellings of one thing
_WORDS_SHOWN = 3
_FILLERS = frozenset({"a", "and", "from", "in", "of", "or", "other", "style", "styles", "the", "with"})


@dataclass(frozen=True)
class UnclearName:
    """A style or family a category lists that leads to no single style; ``path`` is its place in the category."""

    path: tuple[str | int, ...]
    name: str
    candidates: tuple[str, ...]
    ambiguous: bool


@dataclass(frozen=True)
class CategoryMatch:
    """The styles of a category, in the table's order.

    ``score`` is 100 where ``certain``, else the likeness of the names, 0 to 100 (0: nothing is like it).
    ``words`` say in plain text how the styles were found; ``unclear`` are listed names that could not be used.
    """

    styles: tuple[Style, ...]
    certain: bool
    score: float
    words: str
    unclear: tuple[UnclearName, ...] = ()


def category_styles(category: Category, table: StyleTable) -> CategoryMatch:
    """The styles ``category`` takes. A category that lists styles or families is certain if every name is known."""
    if category.styles or category.families:
        return _listed(category, table)
    return _named(category.name, table)


def _listed(category: Category, table: StyleTable) -> CategoryMatch:
    ids: set[str] = set()
    unclear: list[UnclearName] = []
    for key, names in (("styles", category.styles), ("families", category.families)):
        for index, name in enumerate(names):
            found, problem = _one(name, key == "families", table)
            ids |= {style.id for style in found}
            if problem is not None:
                unclear.append(UnclearName((key, index), name, problem.candidates, isinstance(problem, AmbiguousStyle)))
    return CategoryMatch(_ordered(ids, table), not unclear, 100.0, "listed by the competition", tuple(unclear))


def _one(name: str, family_first: bool, table: StyleTable) -> tuple[Iterable[Style], StyleNameError | None]:
    """Styles a listed name means: a family may stand among styles and a style among families."""
    if family_first and (family := _family(fold(name), table)):
        return family, None
    try:
        return (table.find(name),), None
    except StyleNameError as error:
        if family := _family(fold(name), table):
            return family, None
        candidates = error.candidates if isinstance(error, AmbiguousStyle) else ()
        return tuple(table.styles[i] for i in candidates), error


def _family(key: str, table: StyleTable) -> tuple[Style, ...]:
    """The styles of the family whose id or name this is, or none; cheaper than asking the table style by style."""
    found = _families_by_name(tuple(table.families.items())).get(key)
    return tuple(style for style in table if style.family in found) if found else ()


@lru_cache(maxsize=8)
def _families_by_name(families: tuple[tuple[str, str], ...]) -> dict[str, set[str]]:
    """Families by their folded ids and names."""
    found: dict[str, set[str]] = {}
    for family, title in families:
        for name in (family, title):
            found.setdefault(fold(name), set()).add(family)
    return found


def _named(name: str, table: StyleTable) -> CategoryMatch:
    try:
        style = table.find(name)
    except StyleNameError as error:
        problem = error
    else:
        return CategoryMatch((style,), True, 100.0, f"{style.name}, by its name")
    key = singular(fold(name))
    for family, title in table.families.items():
        if key in {singular(fold(family)), singular(fold(title))}:
            return CategoryMatch(table.of_family(family), True, 100.0, f"all of {title}, by its name")
    for known, style_id in table.names.items():
        if singular(known) == key:
            return CategoryMatch((table.styles[style_id],), True, 100.0, f"{table.styles[style_id].name}, by its name")
    if isinstance(problem, AmbiguousStyle):
        found = tuple(table.styles[i] for i in problem.candidates)
        return CategoryMatch(found, False, 100.0, f"the name may mean {_names(s.name for s in found)}")
    return _spelt_like(key, table)


def _spelt_like(key: str, table: StyleTable) -> CategoryMatch:
    """The styles and families whose names are most like this one, word by word and whatever the order."""
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only a name that is not known needs it

    targets: dict[str, tuple[tuple[str, ...], str]] = {
        _telling(name): ((style_id,), table.styles[style_id].name) for name, style_id in table.names.items()
    }
    members: dict[str, list[str]] = {}
    for style in table:
        members.setdefault(style.family, []).append(style.id)
    for family, title in table.families.items():
        targets[_telling(fold(title))] = (tuple(members.get(family, ())), f"all of {title}")
    names = list(targets)
    scores = [0.0] * len(names)
    for scorer in (fuzz.token_sort_ratio, fuzz.token_set_ratio):
        for _, score, index in process.extract(_telling(key)[:100], names, scorer=scorer, limit=None):
            scores[index] += score / 2
    best = max(scores, default=0.0)
    if best < LEAST_SCORE:
        return CategoryMatch((), False, 0.0, "its name is like no style's")
    near = [name for name, score in zip(names, scores, strict=True) if score >= max(best - SAME_SCORE, LEAST_SCORE)]
    ids = {style_id for name in near for style_id in targets[name][0]}
    words = _names(dict.fromkeys(targets[name][1] for name in near))
    return CategoryMatch(_ordered(ids, table), False, best, f"perhaps {words}")


def _ordered(ids: set[str], table: StyleTable) -> tuple[Style, ...]:
    return tuple(style for style in table if style.id in ids)


def _names(names: Iterable[str]) -> str:
    listed = list(names)
    return ", ".join(listed[:_WORDS_SHOWN]) + (" …" if len(listed) > _WORDS_SHOWN else "")


def _telling(key: str) -> str:
    """The words of a name key that say which beer is meant."""
    return " ".join(word for word in singular(key).split() if word not in _FILLERS)
