"""Bottle types: contents, masses, sizes, and the carbonation each should hold."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from entryprep.measures import in_units
from entryprep.quantities import QuantityError
from entryprep.reading.fields import Id, Record, Text, VolumeMl
from entryprep.reading.words import Closure, Glass
from entryprep.tables.shipped import shipped_record
from entryprep.text import did_you_mean


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

    @property
    def called(self) -> str:
        """Its name, in the units that are spoken."""
        return in_units(self.name)


class BottleTable(Record):
    """The table of bottles as a file."""

    bottles: list[BottleType]


@lru_cache(maxsize=1)
def bottle_types() -> Mapping[str, BottleType]:
    """The shipped bottle types by id."""
    table = shipped_record("templates/bottles.yaml", BottleTable)
    return MappingProxyType({row.id: row for row in table.bottles})


@lru_cache(maxsize=1)
def strongest_bottle() -> float:
    """Volumes of CO2 that no bottle of the table should ever hold more than."""
    return max(row.stop_volumes for row in bottle_types().values())


def known_type(name: str) -> BottleType:
    """The kind of bottle of an id. Raises QuantityError, naming the nearest, for one that is not in the table."""
    found = bottle_types().get(name)
    if found is None:
        raise QuantityError(f"there is no bottle type {name}", did_you_mean(name, list(bottle_types()), "bottle types"))
    return found
