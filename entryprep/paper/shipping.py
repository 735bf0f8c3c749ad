"""The shipping checklist: dates, lines to tick, cautions and stops that stand out without colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Spacer, Table, TableStyle

from entryprep.entering.plan import CheckItem, ShippingList
from entryprep.paper.layout import TickBox, document, error_block, framed, heading, inner_width, section, words
from entryprep.paper.sheets import MM

MARKS = {"caution": "CAUTION", "stop": "STOP"}


def shipping_pdf(listed: ShippingList, page: str, errors: Sequence[str] = ()) -> bytes:
    """The checklist of one competition and way of sending, on "letter" or "a4"."""
    title = f"Shipping checklist: {listed.competition}"
    story: list[Any] = [heading(title), words(f"Way: {listed.way_name}.", 10.5, after=3), *error_block(errors, page)]
    if listed.dates:
        story.append(_dates(listed.dates, page))
    if listed.address:
        story.append(words("To: " + "; ".join(listed.address), 10, before=3, after=2))
    for name, items in listed.sections:
        story.append(section(name))
        story += [_item(item, page) for item in items]
    story += [Spacer(1, 4 * MM), framed(listed.closing, (), inner_width(page))]
    return document(story, page, title, f"entryprep, shipping checklist, {listed.competition}")


def _dates(dates: Sequence[tuple[str, str]], page: str) -> Table:
    rows = [[words(name, 10), words(day, 10, bold=True)] for name, day in dates]
    table = Table(rows, colWidths=[48 * MM, inner_width(page) - 48 * MM], hAlign="LEFT")
    table.setStyle(
        TableStyle([("BOX", (0, 0), (-1, -1), 0.6, "black"), ("INNERGRID", (0, 0), (-1, -1), 0.25, "black")])
    )
    return table


def _item(item: CheckItem, page: str) -> Table:
    mark = MARKS.get(item.kind)
    text = [words(f"{mark}: {item.text}" if mark else item.text, 9.5, bold=item.kind == "stop")]
    text.append(words(f"{item.source}; checked {item.checked}", 7.5))
    table = Table([[TickBox(), text]], colWidths=[8 * MM, inner_width(page) - 8 * MM], hAlign="LEFT")
    commands: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]
    if item.kind == "stop":
        commands.append(("BOX", (0, 0), (-1, -1), 1.6, "black"))
    elif item.kind == "caution":
        commands.append(("LINEBEFORE", (0, 0), (0, -1), 2.4, "black"))
    table.setStyle(TableStyle(commands))
    return table
