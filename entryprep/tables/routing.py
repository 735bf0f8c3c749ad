"""Rules on which category a beer with something special belongs to."""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import Annotated, Literal

from pydantic import Field

from entryprep.reading.fields import Id, LongText, OneOrMore, Record, Text
from entryprep.reading.words import AdditionKind
from entryprep.tables.shipped import shipped_record
from entryprep.tables.things import Thing, thing_names

Fact = Literal[
    "fruit",
    "spice",
    "smoke",
    "wood",
    "spirit",
    "sugar",
    "grain",
    "culture",
    "process",
    "sour-base",
    "other-base",
    "brett",
    "souring",
    "sour",
    "soured-clean",
    "grape",
    "unhopped",
    "autumn-spice",
    "winter-spice",
    "spontaneous",
    "named-culture",
    "mixed-styles",
    "mixed-culture",
    "concentrated",
    "blended",
    "squash",
    "gruit-herb",
    "pie-spice",
    "warming-spice",
    "season",
]
Facts = Annotated[tuple[Fact, ...], OneOrMore]


class RoutingRule(Record):
    """Where a beer goes for which all of ``all``, at least one of ``any`` and none of ``none`` hold."""

    id: Id | None = Field(None, description="A name for the rule.")
    all: Facts = Field((), description="Facts that must all hold.")
    any: Facts = Field((), description="Facts of which at least one must hold.")
    none: Facts = Field((), description="Facts that must not hold.")
    to: Annotated[tuple[Id, ...], OneOrMore, Field(min_length=1)] = Field(
        description="Ids of the styles it goes to; several are a tie."
    )
    why: Text = Field(description="The reason, in a few words.")
    source: Text | None = Field(None, description="Where the rule comes from.")

    def holds(self, facts: frozenset[str]) -> bool:
        """Whether the rule holds for these facts; a rule without conditions holds for none."""
        if not (self.all or self.any):
            return False
        return (
            facts.issuperset(self.all) and (not self.any or bool(facts & set(self.any))) and not facts & set(self.none)
        )


class Tradition(Record):
    """Styles that only a beer of their own tradition is, by a fact that it must have."""

    needs: Fact
    styles: tuple[Id, ...]
    why: Text
    source: Text


class Said(Record):
    """What words, parted by commas, say of an addition of some kinds: a fact, and what kind of thing it counts as."""

    kinds: tuple[AdditionKind, ...]
    words: LongText
    fact: Fact | None = None
    counts_as: Literal["culture", "wood", "concentrated", "mixed-styles", "nothing"] | None = Field(None, alias="as")

    @cached_property
    def names(self) -> frozenset[str]:
        """The words as they are compared."""
        return thing_names(tuple(self.words.split(",")))


class RoutingTable(Record):
    """The shipped rules."""

    said: tuple[Said, ...]
    sour_bases: tuple[Id, ...]
    traditions: list[Tradition]
    rules: list[RoutingRule]


@lru_cache(maxsize=1)
def routing_table() -> RoutingTable:
    """The shipped rules, in their order."""
    return shipped_record("templates/routing.yaml", RoutingTable)


def said_of(added: Thing) -> tuple[str, frozenset[str]]:
    """What kind of thing an addition counts as, by its words, and the facts that they say.

    The kind is that of the addition where its words say no other; ``nothing`` is brewing as usual.
    """
    rows = [row for row in routing_table().said if added.kind in row.kinds and not row.names.isdisjoint(added.names)]
    kinds = (row.counts_as for row in rows if row.counts_as)
    return next(kinds, added.kind), frozenset(row.fact for row in rows if row.fact)
