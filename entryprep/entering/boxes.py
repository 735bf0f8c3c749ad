"""Filling boxes: a slot for every bottle, a limit on the mass; fewest boxes, then least empty slots, then even loads.

Masses of packing, from memory: a divided, lined and cushioned box adds 0.8 to 1.5 kg for 12 bottles and 1.5 to
2.5 kg for 24; the middle is taken, and half of the 12 for 6. A full bottle is glass, contents at 1.010 g/ml and a cap.
A 25 lb (11.3 kg) box, a usual request of organisers, holds 16 longnecks by this estimate.

Sizes: competitions' case slots of 2.75 in for longnecks of 61 mm leave 9 mm for the wrapping; a slot takes the widest
bottle of its box and as much. Carriers' packing guides want 2 in (5 cm) of cushioning on all sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from entryprep.entering.plan import Box, PackingRow, Take

GRIDS = ((3, 2), (4, 3), (6, 4))  # columns × rows of the usual divided boxes
WRAP_MM = 9.0  # what a wrapped bottle needs beyond its own width and, half of it, its height
CUSHION_CM = 5.08
PACKING_KG = {6: 0.6, 12: 1.2, 24: 2.0}


MOST = max(columns * rows for columns, rows in GRIDS)
LOOK_BACK = 32  # boxes still open when heavy entries are dealt out first: enough for any season, and no more work


@dataclass(frozen=True)
class _Unit:
    """What stays in one box: the bottles of an entry, or one bottle of an entry too large for a box."""

    label: str
    takes: tuple[Take, ...]

    @cached_property
    def count(self) -> int:
        """Its bottles."""
        return len(self.takes)

    @cached_property
    def kg(self) -> float:
        """Mass of its bottles, full."""
        return sum(take.full_g for take in self.takes) / 1000


def slot_label(row: PackingRow) -> str:
    """How an entry is written on its slots: its number, or its category and the beginning of its code."""
    return row.number or f"{row.category_code}:{row.code[:4]}"


def boxes(competition_id: str, rows: Sequence[PackingRow], limit_kg: float) -> tuple[Box, ...]:
    """Boxes for the bottles of one competition, at most ``limit_kg`` each where a single bottle allows it.

    Entries stay whole where they fit into one box. They follow in the order of the rows, unless another order saves a
    box. Linear in bottles.
    """
    units = [unit for row in rows for unit in _units(row, limit_kg)]
    filled = _parted(units, limit_kg)
    if len(filled) > _least(units, limit_kg):
        heavy = _parted(_dealt(units, limit_kg), limit_kg)
        filled = heavy if len(heavy) < len(filled) else filled
    return tuple(_closed(competition_id, i, len(filled), box, limit_kg) for i, box in enumerate(filled, 1))


def _units(row: PackingRow, limit_kg: float) -> list[_Unit]:
    label = slot_label(row)
    whole = _Unit(label, tuple(take for take in row.takes for _ in range(take.count)))
    if not whole.count:
        return []
    if _fits(whole.count, whole.kg, limit_kg):
        return [whole]
    return [_Unit(label, (take,)) for take in whole.takes]


def _parted(units: Sequence[_Unit], limit_kg: float) -> list[Sequence[_Unit]]:
    """Units in their order, parted into boxes at the least cost: boxes, then empty slots, then the loads squared.

    The best parting of all units up to one follows from those before it, for no box holds more than 24 bottles.
    """
    best: list[tuple[int, int, float]] = [(0, 0, 0.0)]
    begins = [0]
    for end in range(1, len(units) + 1):
        count, kg, start, found = 0, 0.0, end, None
        while start > 0:
            unit = units[start - 1]
            count, kg = count + unit.count, kg + unit.kg
            alone = start == end
            if count > MOST or not (_fits(count, kg, limit_kg) or (alone and unit.count == 1)):
                break
            start -= 1
            boxes_before, empty_before, load_before = best[start]
            load = round(load_before + kg * kg, 9)
            cost = (boxes_before + 1, empty_before + _slots(count) - count, load)
            if found is None or cost < found[0]:
                found = (cost, start)
        assert found is not None  # a unit fits a box of its own
        best.append(found[0])
        begins.append(found[1])
    parts, end = [], len(units)
    while end:
        parts.append(units[begins[end] : end])
        end = begins[end]
    return parts[::-1]


def _dealt(units: Sequence[_Unit], limit_kg: float) -> list[_Unit]:
    """Units in an order that saves boxes where sizes differ: the heaviest first, each into the first box with room."""
    dealt: list[list[_Unit]] = []
    loads: list[tuple[int, float]] = []
    for unit in sorted(units, key=lambda unit: -unit.kg):
        for place in range(max(0, len(dealt) - LOOK_BACK), len(dealt)):
            count, kg = loads[place][0] + unit.count, loads[place][1] + unit.kg
            if _fits(count, kg, limit_kg):
                dealt[place].append(unit)
                loads[place] = (count, kg)
                break
        else:
            dealt.append([unit])
            loads.append((unit.count, unit.kg))
    return [unit for box in dealt for unit in box]


def _least(units: Sequence[_Unit], limit_kg: float) -> int:
    """A number of boxes below which it cannot be done, by slots and by mass."""
    by_slots = math.ceil(sum(unit.count for unit in units) / MOST)
    lightest = min(PACKING_KG.values())
    room = limit_kg - lightest
    return max(by_slots, math.ceil(sum(unit.kg for unit in units) / room - 1e-9) if room > 0 else 0)


def _fits(count: int, bottles_kg: float, limit_kg: float) -> bool:
    slots = _slots(count)
    return slots > 0 and bottles_kg + PACKING_KG[slots] <= limit_kg + 1e-9


def _slots(count: int) -> int:
    """Slots of the smallest usual box for so many bottles, 0 if there is none."""
    return _SLOTS[count] if count <= MOST else 0


# slots of the smallest usual box, by the number of bottles
_SLOTS = [next(c * r for c, r in GRIDS if c * r >= count) for count in range(MOST + 1)]


def _closed(competition_id: str, number: int, of: int, box: Sequence[_Unit], limit_kg: float) -> Box:
    takes = [take for unit in box for take in unit.takes]
    slots = _slots(len(takes))
    columns, rows = next(grid for grid in GRIDS if grid[0] * grid[1] == slots)
    codes = (*(unit.label for unit in box for _ in unit.takes), *[""] * (slots - len(takes)))
    mass = math.ceil(round((sum(unit.kg for unit in box) + PACKING_KG[slots]) * 10, 6)) / 10  # a float adds no 100 g
    widths = tuple(take.diameter_mm for take in takes)
    slot, tall = max(widths) + WRAP_MM, max(take.height_mm for take in takes)
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
