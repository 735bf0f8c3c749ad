"""The packing list: what to take, how the boxes are filled, what to have at hand; and a copy for inside each box."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from reportlab.platypus import PageBreak, TableStyle

from entryprep.entering.boxes import slot_label
from entryprep.entering.plan import Box, PackingPlan, PackingRow
from entryprep.measures import bottle_volume
from entryprep.paper.boxplan import BoxPlan, box_plans
from entryprep.paper.flowables import Table, TickBox, heading, ruled, section, together, words
from entryprep.paper.layout import Written, caution_block, error_block, inner_width
from entryprep.paper.placing import MM
from entryprep.text import several

LARGE_SLOT, LARGE_PLAN = 24 * MM, 110 * MM  # of the plan on the copy inside a box: a slot's side, the plan's height


def packing_paper(plan: PackingPlan, page: str, errors: Sequence[str] = (), cautions: Sequence[str] = ()) -> Written:
    """The packing list of one competition, on "letter" or "a4"."""
    title = f"Packing list: {plan.competition}"
    story: list[Any] = [heading(title), *error_block(errors, page), *caution_block(cautions, page)]
    story.append(section("From the cellar"))
    story.append(_rows(plan.rows, page))
    if plan.boxes:
        story += box_plans(plan.boxes, inner_width(page), first=[section("Boxes")])
    if plan.materials:
        story.append(together(section("Have at hand"), ticked(list(plan.materials), page)))
    for box in plan.boxes:
        story += [PageBreak(), *_inside(box, plan, page)]
    return Written(story, page, title, f"entryprep, packing list, {plan.competition}")


def ticked(lines: list[str], page: str) -> Table:
    """Lines with a box to tick before each, in two columns, read down the first and then down the second."""
    half = (len(lines) + 1) // 2
    pairs = [(lines[i], lines[half + i] if half + i < len(lines) else "") for i in range(half)]
    table = Table(
        [[cell for line in pair for cell in ((TickBox(), words(line, 9.5)) if line else ("", ""))] for pair in pairs],
        colWidths=[8 * MM, inner_width(page) / 2 - 8 * MM] * 2,
        hAlign="LEFT",
        splitInRow=1,
    )
    shape = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("TOPPADDING", (0, 0), (-1, -1), 1)]
    table.setStyle(TableStyle([*shape, ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5)]))
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
    kinds = ", ".join(f"{take.count} × {take.bottle_type} ({bottle_volume(take.size_ml)})" for take in row.takes)
    if taken < row.needed:
        return words(kinds or "none", 9, lead=f"{row.needed - taken} of {row.needed} MISSING:")
    return words(kinds, 9)


def _inside(box: Box, plan: PackingPlan, page: str) -> list[Any]:
    """A copy to lie in the box, to tick off; it names the brewer only where the competition wants that."""
    entries = {slot_label(row): row for row in plan.rows}
    counts = Counter(slot for slot in box.slots if slot)
    rows = []
    for label, count in counts.items():
        row = entries.get(label)
        number = label if row is None else row.number or f"({row.code})"
        category = row.category_code if row else ""
        rows.append([TickBox(), words(number, 11, bold=True), words(category, 11), words(str(count), 11)])
    story: list[Any] = [heading(f"Inside box {box.number} of {box.of}: {plan.competition}", level=2)]
    story.append(words("Put this page into the box. Whoever opens it ticks what has arrived whole.", 10, after=4))
    story += [words(line, 10, after=4 if line is plan.brewer[-1] else 0) for line in plan.brewer]
    widths = (10 * MM, 60 * MM, 30 * MM, inner_width(page) - 100 * MM)
    story.append(ruled(("", "Entry", "Cat.", "Bottles"), rows, widths))
    total = counts.total()
    story.append(words(f"{several(total, 'bottle')} in this box", 11, bold=True, before=6, after=6))
    wide = inner_width(page)
    drawn = BoxPlan(box, min(LARGE_SLOT, wide / box.columns, LARGE_PLAN / box.rows), 18)
    return [*story, together(words("Seen from above:", 10, after=2), *drawn.key(wide), drawn)]
