"""Which allergens a beer must name: what its words say, what its styles bring, what its grain is, what was stated.

A beer is never said to be free of one.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import TypeVar

from entryprep.records.batch import Batch
from entryprep.tables.style import Style
from entryprep.tables.vocabulary import GLUTEN, named_in, only_allergens, says_any, says_none, vocabulary
from entryprep.text import fold, name_key

CEREALS = ("barley", "wheat", "rye", "oats")
"""The cereals of the trade that hold gluten; spelt and the like are wheats."""
Where = TypeVar("Where")
Hint = TypeVar("Hint")
_BETWEEN = re.compile(r"[,;|\n]|\s/\s")
_SAYS_NONE = {"", "no", "none", "none known", "nil", "nothing", "no allergens", "n a", "na", "unknown", "not known",
              "keine", "aucun", "ninguno", "nessuno", "geen", "ingen", "inga", "brak"}  # fmt: skip


def carried(
    texts: Iterable[tuple[str, Where]],
    styles: Sequence[tuple[Style, Where]] = (),
    grain: tuple[str, Where] | None = None,
) -> dict[str, tuple[str, Where]]:
    """The allergens a beer holds by what is said of it, but for the gluten that every beer has, in a fixed order.

    ``texts`` say what was added or declared, ``styles`` are those it is declared as or based on, ``grain`` is the
    cereal that leads its grist; each comes with where it stands. The answer gives the word, and where it stands.
    """
    found: dict[str, tuple[str, Where]] = {}
    for text, where in texts:
        for allergen, word in named_in(text).allergens.items():
            found.setdefault(allergen, (word, where))
    if grain is not None and grain[0] in CEREALS and grain[0] != "barley":
        found.setdefault(grain[0], grain)
    for style, where in styles:
        for allergen in brought(style, grain[0] if grain else None):
            found.setdefault(allergen, (allergen, where))
    order = [row.allergen for row in vocabulary().allergens]
    return {allergen: found[allergen] for allergen in order if allergen in found}


def not_among(stated: Collection[str], found: Mapping[str, Hint]) -> dict[str, Hint]:
    """Of the allergens ``found`` those that are not ``stated``; gluten stands for every cereal that holds it.

    That there is barley goes without saying until something is stated.
    """
    covered = {*stated, *(CEREALS if "gluten" in stated else () if stated else ("barley",))}
    return {name: hint for name, hint in found.items() if name not in covered}


def in_words(found: Mapping[str, tuple[str, object]]) -> str:
    """Allergens with the words that gave them away: "dulce de leche (milk), wheat"."""
    return ", ".join(f"{word} ({name})" if word != name else name for name, (word, _) in found.items())


def brought(style: Style, grain: str | None = None) -> tuple[str, ...]:
    """The allergens a style brings by its usual grist; where several cereals may lead it, ``grain`` settles which."""
    usual = style.traits.get("grain", ())
    cereals = () if usual[:1] == ("barley",) else tuple(g for g in usual if g in CEREALS and g != "barley")
    if grain in usual:
        cereals = tuple(g for g in cereals if g == grain)
    return (*cereals, *(a for a, ids in vocabulary().style_allergens.items() if style.id in ids))


def to_name(
    stated: str, texts: Iterable[str], styles: Iterable[Style | None], grain: str | None = None
) -> tuple[str, ...]:
    """All allergens to name of a beer: gluten, what it carries, and what was stated, word for word.

    What is stated in the plain name of an allergen is not said twice.
    """
    said = [(text, None) for text in (stated, *texts)]
    known = [(style, None) for style in styles if style is not None]
    own = [piece for piece in stated_words(stated) if not only_allergens(piece)]
    return (GLUTEN, *carried(said, known, (grain, None) if grain else None), *own)


def told_at_table(names: Iterable[str], stated: str) -> tuple[str, ...]:
    """Of all allergens to name those that are told with each glass: gluten, which all beers have, only where stated."""
    return tuple(name for name in names if name != GLUTEN or _names_gluten(stated))


def named_by(stated: str) -> tuple[str, ...]:
    """The allergens that an entrant's list names, gluten among them; nothing of what it says the beer is free of."""
    return (*named_in(*stated_words(stated)).allergens, *((GLUTEN,) if _names_gluten(stated) else ()))


def _names_gluten(stated: str) -> bool:
    return any(GLUTEN in fold(piece).split() and not says_none(piece) for piece in stated_words(stated))


def stated_words(text: str) -> tuple[str, ...]:
    """The pieces of a list of allergens as it was written, each once, without those that say there is none."""
    pieces = (piece.strip(" \t.") for piece in _BETWEEN.split(text))
    kept = {name_key(piece): piece for piece in pieces if piece.strip("-–—?* ")}
    return tuple(piece for key, piece in kept.items() if key not in _SAYS_NONE)


NOT_BARLEY = 90.0  # % of a grist that is told: where so much of it is of other grains, no barley is taken for granted


def barley_behind(batch: Batch) -> str:
    """Whether barley must be taken to be in a beer: "said" where its records name it, "beer" as in nearly every beer.

    Empty where the grist that is told is nearly all of grains without gluten.
    """
    malts = [item.what for item in batch.recipe.fermentables] if batch.recipe else []
    grains = [addition for addition in batch.additions or () if addition.kind == "grain"]
    said = [*malts, *(addition.what for addition in grains)]
    if any(says_any(text, "barley") and not says_any(text, "without_gluten") for text in said):
        return "said"
    if sum(addition.share or 0.0 for addition in grains) >= NOT_BARLEY:
        return ""
    return "" if malts and all(says_any(text, "without_gluten") for text in said) else "beer"


def says_free(stated: str) -> str:
    """What in a list of allergens says that there are none, or no gluten; empty where nothing does."""
    return next((piece.strip() for piece in _BETWEEN.split(stated) if says_none(piece)), "")
