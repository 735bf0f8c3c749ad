"""Bottle types, and a batch's own bottles with the type's figures filled in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from entryprep.records.batch import Bottles
from entryprep.records.fields import Id, Record, Text, VolumeMl
from entryprep.records.validate import shipped_record
from entryprep.records.words import Closure, Glass

CROWN_CAP_G = 2.3  # common practice, from memory
BEER_G_PER_ML = 1.010


class BottleType(Record):
    """One row of the table of bottles."""

    id: Id
    name: Text
    size: VolumeMl
    glass: Glass
    closure: Closure
    empty_g: Annotated[float, Field(gt=0)]
    diameter_mm: Annotated[float, Field(gt=0)]
    height_mm: Annotated[float, Field(gt=0)]
    warn_volumes: Annotated[float, Field(gt=0)]
    stop_volumes: Annotated[float, Field(gt=0)]
    source: Text


class BottleTable(Record):
    """The table of bottles as a file."""

    bottles: list[BottleType]


@dataclass(frozen=True)
class Bottle:
    """Bottles of one kind with every figure known: contents in ml, masses in g, sizes in mm."""

    type: BottleType
    count: int
    size_ml: float
    glass: Glass
    closure: Closure
    embossed: bool
    printed: bool
    caps: str
    empty_g: float
    diameter_mm: float
    height_mm: float

    @property
    def full_g(self) -> float:
        """Estimated mass when full, g: glass, contents at 1.010 g/ml, a crown cap."""
        return self.empty_g + self.size_ml * BEER_G_PER_ML + CROWN_CAP_G


@lru_cache(maxsize=1)
def bottle_types() -> Mapping[str, BottleType]:
    """The shipped bottle types by id."""
    table = shipped_record("templates/bottles.yaml", BottleTable)
    return MappingProxyType({row.id: row for row in table.bottles})


def filled(bottles: Bottles) -> Bottle:
    """A batch's bottles with the type's figures where the record gives none.

    Raises KeyError for a type that is not in the table (reading a season reports it as a finding).
    """
    row = bottle_types()[bottles.type]
    return Bottle(
        type=row,
        count=bottles.count,
        size_ml=bottles.size if bottles.size is not None else row.size,
        glass=bottles.glass or row.glass,
        closure=bottles.closure or row.closure,
        embossed=bottles.embossed,
        printed=bottles.printed,
        caps=bottles.caps,
        empty_g=bottles.empty_mass if bottles.empty_mass is not None else row.empty_g,
        diameter_mm=bottles.diameter if bottles.diameter is not None else row.diameter_mm,
        height_mm=bottles.height if bottles.height is not None else row.height_mm,
    )
