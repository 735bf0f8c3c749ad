"""What is usual of common fermentables and hops, for recipes that name them without figures."""

from __future__ import annotations

from functools import lru_cache

from entryprep.records.fields import Alpha, MaltColour, Percent, Potential, Record, Text
from entryprep.records.recipe import FermentableKind
from entryprep.records.shipped import shipped_document
from entryprep.records.table import name_key
from entryprep.records.validate import validate


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
    table, problems = validate(shipped_document("templates/ingredients.yaml"), _Ingredients)
    if table is None:
        raise ValueError(problems[0].text)
    malts = {name_key(name): item for item in table.fermentables for name in (item.name, *item.aliases)}
    hops = {name_key(name): item for item in table.hops for name in (item.name, *item.aliases)}
    return malts, hops


def known_fermentable(name: str) -> KnownFermentable | None:
    """The fermentable with this name or alias, whatever its case and accents, or None."""
    return _known()[0].get(name_key(name))


def known_hops(name: str) -> KnownHops | None:
    """The hops with this name or alias, whatever its case and accents, or None."""
    return _known()[1].get(name_key(name))
