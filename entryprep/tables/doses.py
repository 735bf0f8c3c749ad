"""How much of an addition is usual: the shipped table, and the row that an addition belongs to."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Literal

from pydantic import Field

from entryprep.reading.fields import Percent, Record, Text
from entryprep.reading.words import AdditionKind
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold, singular

DoseUnit = Literal["g/L", "pods/L", "% of grist", "% ABV", "L/L", "days"]
MOST_DRIED_SUGAR = 65.0  # % by mass
Positive = Annotated[float, Field(gt=0)]


class Dose(Record):
    """One row: what is usual of an addition, and how much sugar it brings.

    ``low`` (``from`` in the file) is the least that is tasted, ``high`` (``to``) the most that leaves the beer under it
    its say; both in ``unit``. ``mass_low`` and ``mass_high`` are the same in g/L where things are counted.
    """

    names: Annotated[list[Text], Field(min_length=1)]
    kind: AdditionKind
    unit: DoseUnit
    low: Positive | None = Field(None, alias="from")
    high: Positive | None = Field(None, alias="to")
    mass_low: Positive | None = Field(None, alias="mass_from")
    mass_high: Positive | None = Field(None, alias="mass_to")
    days: Positive | None = None
    sugar: Percent | None = None
    sugar_source: Text | None = None
    ferments: Percent = 100.0
    flight: Literal["heat", "acid", "smoke", "spirit"] | None = None
    any: bool = False
    plain: bool = False
    dried: bool = False


class DoseTable(Record):
    """The table as a file; ``common`` is the source of every row that names none."""

    common: Text
    forms: dict[str, Positive]
    doses: list[Dose]


@lru_cache(maxsize=1)
def dose_table() -> DoseTable:
    """The shipped table."""
    return shipped_record("templates/doses.yaml", DoseTable)


@lru_cache(maxsize=1)
def _by_name() -> list[tuple[str, str, Dose]]:
    """Kind, name as padded singular words, row; the longest names first, so that they are tried first."""
    rows = [(row.kind, f" {singular(fold(name))} ", row) for row in dose_table().doses for name in row.names]
    return sorted(rows, key=lambda item: (-len(item[1]), item[1]))


@lru_cache(maxsize=16)
def names_of(kind: str) -> frozenset[str]:
    """The names of all things of a kind, folded and singular."""
    return frozenset(name.strip() for own, name, _ in _by_name() if own == kind)


@lru_cache(maxsize=2048)
def _found(kind: str, words: str) -> Dose | None:
    text = f" {singular(fold(words))} "
    for own, name, row in _by_name():
        if own == kind and name in text:
            return row
    return next((row for row in dose_table().doses if row.kind == kind and row.any), None)


def dried_sugar(row: Dose, words: str) -> float | None:
    """Sugar of a fruit, % by mass, allowing for what its words say of drying: never more than dried fruit holds.

    Dried fruit holds 38 to 65 % (dates and raisins most, prunes least), by food tables from memory; a fruit that has a
    row of its own as dried keeps that row's figure.
    """
    if row.sugar is None or row.dried:
        return row.sugar
    forms = dose_table().forms
    found = [forms[form] for form in forms if form in fold(words).split()]
    return min(row.sugar * max(found, default=1.0), MOST_DRIED_SUGAR)


def dose_row(kind: str, words: str) -> Dose | None:
    """The row for a thing by its kind and words, the most exact name first, or the row for any of its kind."""
    return _found(kind, words)
