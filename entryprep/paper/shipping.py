"""The shipping checklist: dates, lines to tick, cautions and stops that stand out without colour."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Spacer, Table, TableStyle

from entryprep.entering.plan import CheckItem, ShippingList
from entryprep.paper.flowables import TickBox, framed, heading, ruled, section, words
from entryprep.paper.layout import document, error_block, inner_width
from entryprep.paper.placing import MM

PRESSURE_NOTE = (
    "Over air pressure, from each beer's own carbonation; above 27 °C good to about 10 %. What a bottle usually holds "
    "is common practice for sound glass; a maker's own rating outranks it."
)
MARKS = {"caution": "CAUTION", "stop": "STOP"}


def shipping_pdf(listed: ShippingList, page: str, errors: Sequence[str] = ()) -> bytes:
    """The checklist of one competition and way of sending, on "letter" or "a4"."""
    title = f"Shipping checklist: {listed.competition}"
    story: list[Any] = [heading(title), words(f"Way: {listed.way_name}.", 10.5, after=3), *error_block(errors, page)]
    if listed.dates or listed.address:
        story.append(_dates(listed, page))
    if listed.pressures:
        story += [section("Pressure on the way"), _pressures(listed, page), words(PRESSURE_NOTE, 8, before=2)]
    for name, items in listed.sections:
        story.append(section(name))
        story += [_item(item, page) for item in items]
    story += [Spacer(1, 4 * MM), framed(listed.closing, (), inner_width(page))]
    return document(story, page, title, f"entryprep, shipping checklist, {listed.competition}")


def _pressures(listed: ShippingList, page: str) -> Table:
    """Each beer's carbonation and the pressure in its bottles, cool and in a hot van."""
    titles = ("Entry", "Beer", "Volumes", "bar at 20 °C", "bar at 40 °C", "Bottle, and the volumes it usually holds")
    rows = [[words(cell, 9) for cell in row] for row in listed.pressures]
    widths = [18 * MM, 42 * MM, 17 * MM, 22 * MM, 22 * MM]
    return ruled(titles, rows, (*widths, inner_width(page) - sum(widths)))


def _dates(listed: ShippingList, page: str) -> Table:
    """The dates on the left, the address on the right, line by line as on a parcel."""
    wide = inner_width(page)
    dates = Table(
        [[words(name, 10), words(day, 10, bold=True)] for name, day in listed.dates] or [["", ""]],
        colWidths=[44 * MM, 58 * MM],
        style=[
            ("LEFTPADDING", (0, 0), (0, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ],
    )
    address = [words("To", 10), *(words(line, 10, bold=True) for line in listed.address)] if listed.address else ""
    table = Table([[dates, address]], colWidths=[104 * MM, wide - 104 * MM], hAlign="LEFT")
    table.setStyle(
        TableStyle(
            [
                ("BOX", (0, 0), (-1, -1), 0.6, "black"),
                ("LINEAFTER", (0, 0), (0, 0), 0.25, "black"),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ]
        )
    )
    return table


def _item(item: CheckItem, page: str) -> Table:
    mark = MARKS.get(item.kind, "")
    text = [words(item.text, 9.5, bold=item.kind == "stop", lead=f"{mark}:" if mark else "")]
    text.append(words(f"{item.source}; checked {item.checked}", 8))
    table = Table(
        [[TickBox(), text]], colWidths=[8 * MM, inner_width(page) - 8 * MM], hAlign="LEFT", spaceBefore=1, spaceAfter=1
    )
    commands: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("TOPPADDING", (0, 0), (0, -1), 4),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]
    if item.kind == "stop":
        commands.append(("BOX", (0, 0), (-1, -1), 1.6, "black"))
    elif item.kind == "caution":
        commands.append(("LINEBEFORE", (0, 0), (0, -1), 2.4, "black"))
    table.setStyle(TableStyle(commands))
    return table
