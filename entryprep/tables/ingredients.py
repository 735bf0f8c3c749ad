"""What is usual of common fermentables and hops, for recipes that name them without figures."""

from __future__ import annotations

from functools import lru_cache

from entryprep.reading.fields import Alpha, MaltColour, Percent, Potential, Record, Text
from entryprep.reading.words import FermentableKind
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold


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
    """One variety of hops with its usual alpha acid, %."""

    name: Text
    aliases: tuple[Text, ...] = ()
    alpha: Alpha
    source: Text


class _Ingredients(Record):
    fermentables: list[KnownFermentable]
    hops: list[KnownHops]


@lru_cache(maxsize=1)
def _known() -> tuple[dict[str, KnownFermentable], dict[str, KnownHops]]:
    table = shipped_record("templates/ingredients.yaml", _Ingredients)
    malts = {fold(name): item for item in table.fermentables for name in (item.name, *item.aliases)}
    hops = {fold(name): item for item in table.hops for name in (item.name, *item.aliases)}
    return malts, hops


def known_fermentable(name: str) -> KnownFermentable | None:
    """The fermentable with this name or alias, whatever its case and accents, or None; see :func:`_keys`."""
    return next((_known()[0][key] for key in _keys(name) if key in _known()[0]), None)


def known_hops(name: str) -> KnownHops | None:
    """The hops with this name or alias, whatever its case and accents, or None; see :func:`_keys`."""
    return next((_known()[1][key] for key in _keys(name) if key in _known()[1]), None)


def ingredient_words() -> frozenset[str]:
    """Every folded word in the names of fermentables and hops."""
    return frozenset(word for known in _known() for key in known for word in key.split())


def _keys(name: str) -> list[str]:
    """What a name may be listed as: the whole, the part before brackets, the part in them."""
    outer, _, inner = name.partition("(")
    return [fold(name), fold(outer), fold(inner.partition(")")[0])]
