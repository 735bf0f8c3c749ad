"""The packing list: what to take, how the boxes are filled, what to have at hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable, Spacer, Table, TableStyle

from entryprep.entering.plan import Box, PackingPlan, PackingRow
from entryprep.paper.fonts import BOLD, REGULAR
from entryprep.paper.layout import TickBox, document, error_block, heading, inner_width, ruled, section, together, words
from entryprep.paper.sheets import MM
from entryprep.paper.text import fitted

SLOT = 16 * MM
GAP = 8 * MM  # between two boxes side by side
TALLEST = 190 * MM  # of a box on the page
KG_PER_LB = 0.45359237


def packing_pdf(plan: PackingPlan, page: str, errors: Sequence[str] = ()) -> bytes:
    """The packing list of one competition, on "letter" or "a4"."""
    title = f"Packing list: {plan.competition}"
    story: list[Any] = [*heading(title), *error_block(errors, page), *section("From the cellar")]
    story.append(_rows(plan.rows, page))
    if plan.boxes:
        story += section("Boxes")
        story += _boxes(plan.boxes, page)
    if plan.materials:
        story += section("Have at hand")
        story.append(ticked(list(plan.materials), page))
    return document(story, page, title, f"entryprep, packing list, {plan.competition}")


def ticked(lines: list[str], page: str) -> Table:
    """Lines with a box to tick before each."""
    table = Table(
        [[TickBox(), words(line)] for line in lines],
        colWidths=[8 * MM, inner_width(page) - 8 * MM],
        hAlign="LEFT",
        splitInRow=1,
    )
    table.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("TOPPADDING", (0, 0), (-1, -1), 2)]))
    return table


def _rows(rows: Sequence[PackingRow], page: str) -> Table:
    body = [
        [
            TickBox(),
            words(row.number or f"({row.code})", 9),
            words(row.category_code, 9),
            words(row.batch_name, 9),
            _take(row),
            words(str(row.stock), 9),
            words(str(row.remaining), 9),
        ]
        for row in rows
    ]
    widths = [8 * MM, 24 * MM, 13 * MM, 0.0, 45 * MM, 14 * MM, 15 * MM]
    widths[3] = inner_width(page) - sum(widths)
    return ruled(("", "Entry", "Cat.", "Beer", "Take", "In stock", "Remains"), body, widths)


def _take(row: PackingRow) -> Any:
    taken = sum(take.count for take in row.takes)
    kinds = ", ".join(f"{take.count} × {take.bottle_type} ({take.size_ml:.0f} ml)" for take in row.takes)
    if taken < row.needed:
        return words(kinds or "none", 9, lead=f"{row.needed - taken} of {row.needed} MISSING:")
    return words(kinds, 9)


def _boxes(boxes: Sequence[Box], page: str) -> list[Any]:
    """The boxes, two side by side where both fit."""
    width = inner_width(page)
    story: list[Any] = []
    waiting = list(boxes)
    while waiting:
        row = [_box(waiting.pop(0), width)]
        wide = row[0][1].width
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
    pounds = box.mass_kg / KG_PER_LB
    over = "  OVER THE LIMIT" if box.mass_kg > box.limit_kg + 1e-9 else ""
    limit = f"limit {box.limit_kg:.1f} kg / {box.limit_kg / KG_PER_LB:.0f} lb"
    filled = sum(1 for slot in box.slots if slot)
    title = (
        f"Box {box.number} of {box.of}: {filled} bottles, about {box.mass_kg:.1f} kg / {pounds:.0f} lb ({limit}){over}"
    )
    return [words(title, 9.5, bold=True, after=2), _Grid(box, _slot(box, width)), Spacer(1, 4 * MM)]


class _Grid(Flowable):  # type: ignore[misc]
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
        canvas.setLineWidth(0.6)
        for place, code in enumerate(self.box.slots):
            row, column = divmod(place, self.box.columns)
            x, y = column * slot, self.height - (row + 1) * slot
            canvas.rect(x, y, slot, slot)
            if code:
                canvas.circle(x + slot / 2, y + slot / 2, slot * 0.46)
                self._entry(*code.partition(":")[::2], x + slot / 2, y + slot / 2)

    def _entry(self, number: str, short: str, x: float, y: float) -> None:
        """The entry's number or code on one line or two, its category below."""
        canvas = self.canv
        text = fitted(number, BOLD, self.slot * 0.8, 11, 8, 1)
        if text.cut:
            text = fitted(number, BOLD, self.slot * 0.8, 8, 8, 2)
        step = text.size * 1.05
        y += step * (len(text.lines) - 1) / 2 + (0 if short else -text.size * 0.35)
        canvas.setFont(BOLD, text.size)
        for line in text.lines:
            canvas.drawCentredString(x, y, line)
            y -= step
        below = fitted(short, REGULAR, self.slot * 0.7, 8, 7, 1)
        canvas.setFont(REGULAR, below.size)
        canvas.drawCentredString(x, y + step - 9.5, " ".join(below.lines))
