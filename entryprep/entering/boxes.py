"""Filling boxes: a slot for every bottle, a limit on the mass.

Masses of packing, from memory: a divided, lined and cushioned box adds 0.8 to 1.5 kg for 12 bottles and 1.5 to
2.5 kg for 24; the middle is taken, and half of the 12 for 6. A full bottle is glass, contents at 1.010 g/ml and a cap.
A 25 lb (11.3 kg) box, a usual request of organisers, holds 16 longnecks by this estimate.

Sizes: competitions' case slots of 2.75 in for longnecks of 61 mm leave 9 mm for the wrapping; a slot takes the widest
bottle of its box and as much. Carriers' packing guides want 2 in (5 cm) of cushioning on all sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from entryprep.entering.plan import Box, PackingRow, Take

GRIDS = ((3, 2), (4, 3), (6, 4))  # columns × rows of the usual divided boxes
WRAP_MM = 9.0  # what a wrapped bottle needs beyond its own width and, half of it, its height
CUSHION_CM = 5.08
PACKING_KG = {6: 0.6, 12: 1.2, 24: 2.0}


@dataclass
class _Open:
    """A box being filled: codes, sizes and mass of its bottles."""

    codes: list[str]
    bottles_kg: float
    takes: list[Take] = field(default_factory=list)


def slot_label(row: PackingRow) -> str:
    """How an entry is written on its slots: its number, or its category and the beginning of its code."""
    return row.number or f"{row.category_code}:{row.code[:4]}"


def boxes(competition_id: str, rows: Sequence[PackingRow], limit_kg: float) -> tuple[Box, ...]:
    """Boxes for the bottles of one competition, at most ``limit_kg`` each where a single bottle allows it.

    Entries stay whole where they fit into one box; bottles follow in the order of the rows. Linear in bottles.
    """
    filled = [_Open([], 0.0)]
    for row in rows:
        bottles = [take for take in row.takes for _ in range(take.count)]
        whole_kg = sum(take.full_g / 1000 for take in bottles)
        if filled[-1].codes and not _fits(filled[-1], len(bottles), whole_kg, limit_kg):
            filled.append(_Open([], 0.0))
        for take in bottles:
            mass = take.full_g / 1000
            if filled[-1].codes and not _fits(filled[-1], 1, mass, limit_kg):
                filled.append(_Open([], 0.0))
            filled[-1].codes.append(slot_label(row))
            filled[-1].bottles_kg += mass
            filled[-1].takes.append(take)
    full = [box for box in filled if box.codes]
    return tuple(_closed(competition_id, i, len(full), box, limit_kg) for i, box in enumerate(full, 1))


def _fits(box: _Open, count: int, mass_kg: float, limit_kg: float) -> bool:
    total = len(box.codes) + count
    slots = _slots(total)
    return slots > 0 and box.bottles_kg + mass_kg + PACKING_KG[slots] <= limit_kg + 1e-9


def _slots(count: int) -> int:
    """Slots of the smallest usual box for so many bottles, 0 if there is none."""
    return next((columns * rows for columns, rows in GRIDS if columns * rows >= count), 0)


def _closed(competition_id: str, number: int, of: int, box: _Open, limit_kg: float) -> Box:
    slots = _slots(len(box.codes))
    columns, rows = next(grid for grid in GRIDS if grid[0] * grid[1] == slots)
    codes = (*box.codes, *[""] * (slots - len(box.codes)))
    mass = math.ceil(round((box.bottles_kg + PACKING_KG[slots]) * 10, 6)) / 10  # what a float adds is no 100 g
    widths = tuple(take.diameter_mm for take in box.takes)
    slot, tall = max(widths) + WRAP_MM, max(take.height_mm for take in box.takes)
    inner = (columns * slot, rows * slot, tall + WRAP_MM / 2)
    outer = tuple(math.ceil(round(side / 10 + 2 * CUSHION_CM, 6)) for side in inner)
    return Box(
        competition_id,
        number,
        of,
        columns,
        rows,
        codes,
        mass,
        limit_kg,
        diameters_mm=(*widths, *[0.0] * (slots - len(widths))),
        slot_mm=slot,
        tall_mm=tall,
        outer_cm=(outer[0], outer[1], outer[2]),
    )
