"""The packing list: what to take, how the boxes are filled, what to have at hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable, Spacer, Table, TableStyle

from entryprep.entering.plan import Box, PackingPlan, PackingRow
from entryprep.paper.fonts import BOLD, REGULAR, printable
from entryprep.paper.layout import TickBox, document, error_block, heading, inner_width, section, together, words
from entryprep.paper.sheets import MM
from entryprep.paper.text import fitted

SLOT = 16 * MM
KG_PER_LB = 0.45359237


def packing_pdf(plan: PackingPlan, page: str, errors: Sequence[str] = ()) -> bytes:
    """The packing list of one competition, on "letter" or "a4"."""
    title = f"Packing list: {plan.competition}"
    story: list[Any] = [heading(title), *error_block(errors, page), section("From the cellar"), _rows(plan.rows, page)]
    if plan.boxes:
        story.append(section("Boxes"))
        story += [_box(box) for box in plan.boxes]
    if plan.materials:
        story.append(section("Have at hand"))
        story.append(ticked(list(plan.materials), page))
    return document(story, page, title, f"entryprep, packing list, {plan.competition}")


def ticked(lines: list[str], page: str) -> Table:
    """Lines with a box to tick before each."""
    table = Table(
        [[TickBox(), words(line)] for line in lines], colWidths=[8 * MM, inner_width(page) - 8 * MM], hAlign="LEFT"
    )
    table.setStyle(TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("TOPPADDING", (0, 0), (-1, -1), 2)]))
    return table


def _rows(rows: Sequence[PackingRow], page: str) -> Table:
    head = [words(t, 8.5, bold=True) for t in ("", "Entry", "Cat.", "Beer", "Take", "In stock", "Remains")]
    body = [
        [
            TickBox(),
            words(row.number or f"({row.code})", 9),
            words(row.category_code, 9),
            words(row.batch_name, 9),
            words(_take(row), 9),
            words(str(row.stock), 9),
            words(str(row.remaining), 9),
        ]
        for row in rows
    ]
    width = inner_width(page)
    fixed = [8 * MM, 24 * MM, 13 * MM, 0.0, 45 * MM, 14 * MM, 15 * MM]
    fixed[3] = width - sum(fixed)
    table = Table([head, *body], colWidths=fixed, repeatRows=1, hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LINEBELOW", (0, 0), (-1, 0), 0.8, "black"),
                ("LINEBELOW", (0, 1), (-1, -1), 0.25, "black"),
                ("LEFTPADDING", (0, 0), (-1, -1), 2),
                ("RIGHTPADDING", (0, 0), (-1, -1), 2),
                ("TOPPADDING", (0, 0), (-1, -1), 3),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
            ]
        )
    )
    return table


def _take(row: PackingRow) -> str:
    taken = sum(take.count for take in row.takes)
    kinds = ", ".join(f"{take.count} × {take.bottle_type} ({take.size_ml:.0f} ml)" for take in row.takes)
    if taken < row.needed:
        return f"{kinds or 'none'}: {row.needed - taken} MISSING of {row.needed}"
    return kinds


def _box(box: Box) -> Any:
    pounds = box.mass_kg / KG_PER_LB
    over = "  OVER THE LIMIT" if box.mass_kg > box.limit_kg + 1e-9 else ""
    limit = f"limit {box.limit_kg:.1f} kg / {box.limit_kg / KG_PER_LB:.0f} lb"
    filled = sum(1 for slot in box.slots if slot)
    title = (
        f"Box {box.number} of {box.of}: {filled} bottles, about {box.mass_kg:.1f} kg / {pounds:.0f} lb ({limit}){over}"
    )
    return together(words(title, 9.5, bold=True, after=2), _Grid(box), Spacer(1, 4 * MM))


class _Grid(Flowable):  # type: ignore[misc]
    """A box seen from above, the entry in each slot."""

    def __init__(self, box: Box) -> None:
        super().__init__()
        self.box = box
        self.width = box.columns * SLOT
        self.height = box.rows * SLOT
        self.hAlign = "LEFT"

    def draw(self) -> None:
        """Draw slots, a circle for each bottle, and the entry in it."""
        canvas = self.canv
        for place, code in enumerate(self.box.slots):
            row, column = divmod(place, self.box.columns)
            x, y = column * SLOT, self.height - (row + 1) * SLOT
            canvas.setLineWidth(0.6)
            canvas.rect(x, y, SLOT, SLOT)
            if not code:
                continue
            canvas.circle(x + SLOT / 2, y + SLOT / 2, SLOT * 0.44)
            number, _, short = code.partition(":")
            text = fitted(number, BOLD, SLOT * 0.76, 11, 8, 1)
            canvas.setFont(BOLD, text.size)
            canvas.drawCentredString(x + SLOT / 2, y + SLOT / 2 - (1 if short else 4), text.lines[0])
            if short:
                canvas.setFont(REGULAR, 8)
                canvas.drawCentredString(x + SLOT / 2, y + SLOT / 2 - 11, printable(short))
