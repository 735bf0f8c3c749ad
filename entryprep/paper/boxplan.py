"""Boxes seen from above: the entry in each slot, every bottle as wide as it is, mass and size beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

from reportlab.platypus import Flowable, Spacer, TableStyle

from entryprep.entering.plan import Box
from entryprep.measures import both_masses, length, us
from entryprep.paper.canvas import draw_line
from entryprep.paper.flowables import Table, together, words
from entryprep.paper.fonts import BOLD, REGULAR, width_pt
from entryprep.paper.placing import MM
from entryprep.paper.slipvalues import turns
from entryprep.paper.webtext import safe
from entryprep.text import several

SLOT = 16 * MM
GAP = 8 * MM  # between two boxes side by side
TALLEST = 190 * MM  # of a box on the page
LARGEST, SMALLEST, MOST_LINES = 11.0, 8.0, 4
LEADING, CAPITALS = 1.05, 0.69  # of a line; height of this font's capitals and figures, both in sizes
USUAL_SHARE = 0.92  # of a slot that a bottle takes where its width is not known
CM_PER_IN = 2.54


def box_plans(boxes: Sequence[Box], width: float, first: Sequence[Any] = ()) -> list[Any]:
    """Flowables: the boxes, two side by side where both fit into ``width`` points; ``first`` stays with the first."""
    story: list[Any] = []
    waiting = list(boxes)
    while waiting:
        row = [_box(waiting.pop(0), width)]
        wide = row[0][-1].width
        if waiting and wide + GAP + _slot(waiting[0], width) * waiting[0].columns <= width:
            row.append(_box(waiting.pop(0), width - wide - GAP))
        drawn = row[0] if len(row) == 1 else [_beside(row, wide, width)]
        story += [together(*([] if story else first), *drawn), Spacer(1, 4 * MM)]
    return story


def _beside(row: list[list[Any]], wide: float, width: float) -> Table:
    """Two boxes side by side."""
    table = Table([row], colWidths=[wide + GAP, width - wide - GAP], hAlign="LEFT")
    bare = [(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "TOP", "BOTTOM")]
    kept = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("RIGHTPADDING", (0, 0), (-1, -1), GAP)]
    table.setStyle(TableStyle([*kept, *bare]))
    return table


def _slot(box: Box, width: float) -> float:
    """Side of a slot on paper: the usual one, smaller where the box would not fit the page."""
    return min(SLOT, width / box.columns, TALLEST / box.rows)


def _box(box: Box, width: float) -> list[Any]:
    """Title, what box it takes, and the plan."""
    over = "  OVER THE LIMIT" if box.mass_kg > box.limit_kg + 1e-9 else ""
    limit = f"limit {both_masses(box.limit_kg)}"
    filled = sum(1 for slot in box.slots if slot)
    bottles = several(filled, "bottle")
    title = f"Box {box.number} of {box.of}: {bottles}, about {both_masses(box.mass_kg)} ({limit}){over}"
    shown = [words(title, 9.5, bold=True, after=1)]
    if box.slot_mm:
        shown.append(words(_sizes(box), 8.5, after=2))
    plan = BoxPlan(box, _slot(box, width))
    return [*shown, *plan.key(width), plan]


def _sizes(box: Box) -> str:
    sides = " × ".join(f"{side:.0f}" for side in box.outer_cm)
    inches = " × ".join(f"{side / CM_PER_IN:.0f}" for side in box.outer_cm)
    outside = f"{inches} in" if us() else f"{sides} cm ({inches} in)"
    return (
        f"{box.columns} × {box.rows} slots at least {length(box.slot_mm)} wide, bottles to {length(box.tall_mm)} tall; "
        f"outside about {outside} with cushioning"
    )


class BoxPlan(Flowable):  # type: ignore[misc]
    """A box seen from above, the entry in each slot; a letter, told beside the plan, for what no circle holds."""

    def __init__(self, box: Box, slot: float, largest: float = LARGEST) -> None:
        super().__init__()
        self.box = box
        self.slot = slot
        self.width = box.columns * slot
        self.height = box.rows * slot
        self.hAlign = "LEFT"
        self.letters: dict[str, str] = {}
        self.placed: list[list[_Line]] = []
        for place, label in enumerate(box.slots):
            radius = slot / 2 * self._share(place)
            lines = _inside(label, radius, largest) if label else []
            if lines is None:
                letter = self.letters.setdefault(label, _letter(len(self.letters)))
                lines = _inside(letter, radius, largest) or []
            self.placed.append(lines)

    def as_html(self, _deeper: int) -> str:
        """The slots as a table, seen from above."""
        slots = [f"<td>{safe(_whole(label)) if label else 'empty'}</td>" for label in self.box.slots]
        wide = self.box.columns
        rows = "".join(f"<tr>{''.join(slots[start : start + wide])}</tr>" for start in range(0, len(slots), wide))
        return f"<table><caption>Slots of box {self.box.number}, seen from above</caption><tbody>{rows}</tbody></table>"

    def key(self, width: float) -> list[Any]:
        """What the letters mean, to stand above the plan."""
        said = [f"{letter} = {_whole(label)}" for label, letter in self.letters.items()]
        return [words("; ".join(said), 9, after=2)] if said and width else []

    def draw(self) -> None:
        """Draw slots, a circle for each bottle, and the entry in it."""
        canvas, slot = self.canv, self.slot
        for place, code in enumerate(self.box.slots):
            row, column = divmod(place, self.box.columns)
            x, y = column * slot, self.height - (row + 1) * slot
            canvas.setLineWidth(0.6)
            canvas.rect(x, y, slot, slot)
            if code:
                canvas.circle(x + slot / 2, y + slot / 2, slot / 2 * self._share(place))
                self._entry(self.placed[place], x + slot / 2, y + slot / 2)

    def _share(self, place: int) -> float:
        """How much of its slot's width a bottle takes."""
        if not self.box.slot_mm or place >= len(self.box.diameters_mm):
            return USUAL_SHARE
        return min(1.0, self.box.diameters_mm[place] / self.box.slot_mm)

    def _entry(self, lines: Sequence[_Line], x: float, y: float) -> None:
        for line in lines:
            wide = width_pt(line.text, line.font, line.size)
            draw_line(self.canv, x - wide / 2, y + line.up, line.text, line.font, line.size)
            if line.turns:
                self.canv.setLineWidth(0.9)
                self.canv.line(x - wide / 2, y + line.up - 2, x + wide / 2, y + line.up - 2)


class _Line(NamedTuple):
    """A line in a circle: its baseline above the middle, in points; whether it reads otherwise upside down."""

    text: str
    font: str
    size: float
    up: float
    turns: bool


def _letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    return (_letter(number // 26 - 1) if number >= 26 else "") + chr(ord("A") + number % 26)


def _whole(label: str) -> str:
    return label.replace(":", " ")


def _inside(label: str, radius: float, largest: float) -> list[_Line] | None:
    """The lines of a label as large as the circle holds them, from ``largest`` to 8 points; None where it holds none.

    Every line stays between the ends of its chord. Of an entry without a number the code stands below its category.
    """
    number, _, short = label.partition(":")
    size = largest
    while size >= SMALLEST:
        for count in range(1, MOST_LINES + 1):
            parts = _broken(number, count, size, short, radius)
            if parts is not None:
                return _set(parts, size, bool(short), turns(number) and not short)
        size -= 0.5
    return None


def _broken(number: str, count: int, size: float, short: str, radius: float) -> list[str] | None:
    """A number on ``count`` lines (and the code below) that all fit their chords, or None."""
    lines = count + bool(short)
    chords = [_chord(row, lines, size, radius) for row in range(lines)]
    rest, parts = number, []
    for chord in chords[:count]:
        length = len(rest)
        while length and width_pt(rest[:length], BOLD, size) > chord:
            length -= 1
        parts.append(rest[:length])
        rest = rest[length:]
    if rest or not all(parts) or (short and width_pt(short, REGULAR, SMALLEST) > chords[-1]):
        return None
    return [*parts, short] if short else parts


def _chord(row: int, lines: int, size: float, radius: float) -> float:
    """Room for a line of a block in the middle of a circle, at that of its edges which is farther from the middle."""
    step = size * LEADING
    top = step * (lines / 2 - row)
    far = max(abs(top), abs(top - step)) - (step - size * CAPITALS) / 2
    inside = (radius - 1) ** 2 - far**2
    return 2 * math.sqrt(inside) if inside > 0 else 0.0


def _set(parts: Sequence[str], size: float, coded: bool, turned: bool) -> list[_Line]:
    step = size * LEADING
    first = step * (len(parts) / 2 - 0.5) - size * CAPITALS / 2
    lines = [_Line(text, BOLD, size, first - step * row, turned) for row, text in enumerate(parts)]
    if coded:
        lines[-1] = lines[-1]._replace(font=REGULAR, size=SMALLEST)
    return lines
