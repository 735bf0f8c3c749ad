"""Boxes seen from above: the entry in each slot, every bottle as wide as it is, mass and size beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable, Spacer, Table, TableStyle

from entryprep.entering.plan import Box
from entryprep.paper.canvas import draw_line
from entryprep.paper.flowables import together, words
from entryprep.paper.fonts import BOLD, REGULAR, width_pt
from entryprep.paper.placing import MM
from entryprep.paper.slipvalues import turns
from entryprep.paper.text import fitted
from entryprep.quantities import KG_PER_POUND
from entryprep.text import several

SLOT = 16 * MM
GAP = 8 * MM  # between two boxes side by side
TALLEST = 190 * MM  # of a box on the page
USUAL_SHARE = 0.92  # of a slot that a bottle takes where its width is not known
CM_PER_IN = 2.54


def box_plans(boxes: Sequence[Box], width: float) -> list[Any]:
    """Flowables: the boxes, two side by side where both fit into ``width`` points."""
    story: list[Any] = []
    waiting = list(boxes)
    while waiting:
        row = [_box(waiting.pop(0), width)]
        wide = row[0][-2].width
        if waiting and wide + GAP + _slot(waiting[0], width) * waiting[0].columns <= width:
            row.append(_box(waiting.pop(0), width - wide - GAP))
        if len(row) == 1:
            story.append(together(*row[0]))
            continue
        table = Table([row], colWidths=[wide + GAP, width - wide - GAP], hAlign="LEFT")
        bare = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "TOP", "BOTTOM")]
        kept = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("RIGHTPADDING", (0, 0), (-1, -1), GAP)]
        table.setStyle(TableStyle([*kept, *bare]))
        story.append(table)
    return story


def _slot(box: Box, width: float) -> float:
    """Side of a slot on paper: the usual one, smaller where the box would not fit the page."""
    return min(SLOT, width / box.columns, TALLEST / box.rows)


def _box(box: Box, width: float) -> list[Any]:
    """Title, what box it takes, and the plan."""
    pounds = box.mass_kg / KG_PER_POUND
    over = "  OVER THE LIMIT" if box.mass_kg > box.limit_kg + 1e-9 else ""
    limit = f"limit {box.limit_kg:.1f} kg / {box.limit_kg / KG_PER_POUND:.0f} lb"
    filled = sum(1 for slot in box.slots if slot)
    bottles = several(filled, "bottle")
    title = f"Box {box.number} of {box.of}: {bottles}, about {box.mass_kg:.1f} kg / {pounds:.0f} lb ({limit}){over}"
    shown = [words(title, 9.5, bold=True, after=1)]
    if box.slot_mm:
        shown.append(words(_sizes(box), 8.5, after=2))
    return [*shown, _Plan(box, _slot(box, width)), Spacer(1, 4 * MM)]


def _sizes(box: Box) -> str:
    sides = " × ".join(f"{side:.0f}" for side in box.outer_cm)
    inches = " × ".join(f"{side / CM_PER_IN:.0f}" for side in box.outer_cm)
    return (
        f"{box.columns} × {box.rows} slots at least {box.slot_mm:.0f} mm wide, bottles to {box.tall_mm:.0f} mm tall; "
        f"outside about {sides} cm ({inches} in) with cushioning"
    )


class _Plan(Flowable):  # type: ignore[misc]
    """A box seen from above, the entry in each slot."""

    def __init__(self, box: Box, slot: float) -> None:
        super().__init__()
        self.box = box
        self.slot = slot
        self.width = box.columns * slot
        self.height = box.rows * slot
        self.hAlign = "LEFT"

    def draw(self) -> None:
        """Draw slots, a circle for each bottle, and the entry in it."""
        canvas, slot = self.canv, self.slot
        for place, code in enumerate(self.box.slots):
            row, column = divmod(place, self.box.columns)
            x, y = column * slot, self.height - (row + 1) * slot
            canvas.setLineWidth(0.6)
            canvas.rect(x, y, slot, slot)
            if code:
                radius = slot / 2 * self._share(place)
                canvas.circle(x + slot / 2, y + slot / 2, radius)
                self._entry(code, x + slot / 2, y + slot / 2, 2 * radius * 0.88)

    def _share(self, place: int) -> float:
        """How much of its slot's width a bottle takes."""
        if not self.box.slot_mm or place >= len(self.box.diameters_mm):
            return USUAL_SHARE
        return min(1.0, self.box.diameters_mm[place] / self.box.slot_mm)

    def _entry(self, label: str, x: float, y: float, room: float) -> None:
        """The entry's number on as many lines as it takes; a code below its category."""
        number, short = (label, "") if ":" not in label else label.split(":", 1)
        text = fitted(number, BOLD, room, 11, 8, 1)
        if text.cut:
            text = fitted(number, BOLD, room, 8, 8, 4)
        step = text.size * 1.05
        y += step * (len(text.lines) - 1) / 2 + (0 if short else -text.size * 0.35)
        for line in text.lines:
            wide = width_pt(line, BOLD, text.size)
            draw_line(self.canv, x - wide / 2, y, line, BOLD, text.size)
            if turns(number) and not short:
                self.canv.setLineWidth(0.9)
                self.canv.line(x - wide / 2, y - 2, x + wide / 2, y - 2)
            y -= step
        below = " ".join(fitted(short, REGULAR, room, 8, 8, 1).lines)
        draw_line(self.canv, x - width_pt(below, REGULAR, 8) / 2, y + step - 9.5, below, REGULAR, 8)
