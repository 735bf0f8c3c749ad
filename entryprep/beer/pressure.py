"""Pressure in the bottle from the cellar to a hot van, beside what the kind of bottle should hold."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.brewing.carbonation import BEYOND_ALL, bottle_pressure_kpa
from entryprep.records.batch import Batch
from entryprep.records.bottles import filled
from entryprep.tables.bottles import bottle_types

TEMPERATURES_C = (4, 20, 30, 40)


@dataclass(frozen=True)
class PressureRow:
    """Gauge pressures, kPa, at :data:`TEMPERATURES_C`, of ``volumes`` of CO2; what the row stands for."""

    words: str
    volumes: float
    kpa: tuple[float, ...]
    limit: bool = False


def pressures(volumes: float) -> tuple[float, ...]:
    """Gauge pressure, kPa, of beer with ``volumes`` of CO2 at 4, 20, 30 and 40 °C; volumes above 60 count as 60."""
    return tuple(bottle_pressure_kpa(min(volumes, BEYOND_ALL), celsius) for celsius in TEMPERATURES_C)


def pressure_rows(batch: Batch, volumes: float) -> list[PressureRow]:
    """The beer itself, then each of its kinds of bottle at its usual and at its utmost carbonation.

    The limits are common practice, not a maker's rating, and assume sound glass.
    """
    rows = [PressureRow("this beer", volumes, pressures(volumes))]
    seen: set[str] = set()
    for kind in batch.bottles:
        if not kind.count or kind.type not in bottle_types() or kind.type in seen:
            continue
        seen.add(kind.type)
        held = filled(kind).type
        for words, limit in (("usual limit", held.warn_volumes), ("most", held.stop_volumes)):
            rows.append(PressureRow(f"{held.called}, {words}", limit, pressures(limit), limit=True))
    return rows
