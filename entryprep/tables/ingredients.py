"""What is usual of common fermentables and hops, for recipes that name them without figures."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from entryprep.reading.fields import Alpha, MaltColour, Percent, Potential, Record, Text
from entryprep.reading.words import FermentableKind
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold, singular

HopOrigin = Literal["neutral", "noble", "english", "new-world"]


class KnownFermentable(Record):
    """One fermentable with its usual figures; colour in °Lovibond."""

    name: Text
    aliases: tuple[Text, ...] = ()
    kind: FermentableKind
    potential: Potential
    colour: MaltColour
    fermentable: Percent | None = None
    source: Text


class KnownHops(Record):
    """One variety of hops with its usual alpha acid, %, and what its aroma is like."""

    name: Text
    aliases: tuple[Text, ...] = ()
    alpha: Alpha
    origin: HopOrigin
    source: Text


class MaltClass(Record):
    """What a malt is taken for by words of its name: usual figures, colour with a relative error, character."""

    words: tuple[Text, ...]
    potential: Potential
    colour: MaltColour
    colour_error: float
    leads: Literal["grainy", "bready", "toasty", "caramel", "chocolate", "roasted"]
    grain: Literal["barley", "wheat", "rye", "oats", "corn-rice"] = "barley"


class _Ingredients(Record):
    fermentables: list[KnownFermentable]
    classes: list[MaltClass]
    hops: list[KnownHops]


@lru_cache(maxsize=1)
def _table() -> _Ingredients:
    return shipped_record("templates/ingredients.yaml", _Ingredients)


@lru_cache(maxsize=1)
def _known() -> tuple[dict[str, KnownFermentable], dict[str, KnownHops]]:
    table = _table()
    malts = {fold(name): item for item in table.fermentables for name in (item.name, *item.aliases)}
    hops = {fold(name): item for item in table.hops for name in (item.name, *item.aliases)}
    return malts, hops


def known_fermentable(name: str) -> KnownFermentable | None:
    """The fermentable with this name or alias, whatever its case and accents, or None; see :func:`_keys`."""
    return next((_known()[0][key] for key in _keys(name) if key in _known()[0]), None)


def potential_of(told: float | None, known: KnownFermentable | None) -> float | None:
    """The potential (gravity of 1 lb in 1 US gallon) as it is told, or as usual; None where it is neither."""
    return told if told is not None else known.potential if known else None


def colour_of(told: float | None, known: KnownFermentable | None) -> float:
    """The colour (°L) as it is told, or as usual; 0 where it is neither."""
    return told if told is not None else known.colour if known else 0.0


def known_hops(name: str) -> KnownHops | None:
    """The hops with this name or alias, whatever its case and accents, or None; see :func:`_keys`."""
    return next((_known()[1][key] for key in _keys(name) if key in _known()[1]), None)


@lru_cache(maxsize=1)
def _classes() -> list[tuple[str, MaltClass]]:
    return [(f" {singular(fold(word))} ", row) for row in _table().classes for word in row.words]


@lru_cache(maxsize=1024)
def malt_class(name: str) -> MaltClass | None:
    """What a malt of this name is taken for, the first class a word of which stands in it; None for no malt's name."""
    key = f" {singular(fold(name))} "
    return next((row for word, row in _classes() if word in key), None)


def ingredient_words() -> frozenset[str]:
    """Every folded word in the names of fermentables and hops."""
    return frozenset(word for known in _known() for key in known for word in key.split())


def _keys(name: str) -> list[str]:
    """What a name may be listed as: the whole, the part before brackets, the part in them."""
    outer, _, inner = name.partition("(")
    return [fold(name), fold(outer), fold(inner.partition(")")[0])]
