"""A batch's own bottles, with the figures of their type filled in where the record gives none."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.reading.words import Closure, Glass
from entryprep.records.batch import Bottles
from entryprep.tables.bottles import BottleType, bottle_types

CROWN_CAP_G = 2.3  # common practice, from memory
BEER_G_PER_ML = 1.010


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
