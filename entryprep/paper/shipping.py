"""The shipping checklist: what forbids sending first, then the days, what to do with a box to tick, what to know."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from reportlab.platypus import Spacer, TableStyle

from entryprep.entering.plan import CheckItem, Pressure, ShippingList
from entryprep.measures import degrees, pressure, pressure_unit
from entryprep.paper.fithead import StopBar
from entryprep.paper.flowables import Table, TickBox, framed, heading, ruled, section, words
from entryprep.paper.layout import Written, caution_block, error_block, inner_width
from entryprep.paper.placing import MM
from entryprep.paper.small import Gauge
from entryprep.paper.timeline import Timeline
from entryprep.quantities import KPA_PER_BAR

PRESSURE_NOTE = (
    "Of the bottles that are packed, over air pressure, from each beer's own carbonation; above {warm} good to about "
    "10 %. Grey: more than the weakest of them usually holds; dark: more than it should ever hold. Common practice for "
    "sound glass; a maker's own rating outranks it."
)


def shipping_paper(
    listed: ShippingList, page: str, errors: Sequence[str] = (), cautions: Sequence[str] = ()
) -> Written:
    """The checklist of one competition and way of sending, on "letter" or "a4"."""
    title, wide = f"Shipping checklist: {listed.competition}", inner_width(page)
    notes = _Notes()
    story: list[Any] = [heading(title), words(f"Way: {listed.way_name}.", 10.5, after=3)]
    stops = [f"{_gas(each)}" for each in listed.pressures if each.danger == "STOP"]
    stops += [f"{item.text} [{notes.number(item)}]" for item in _of(listed, "stop")]
    if stops:
        story += [StopBar(stops, wide), Spacer(1, 2 * MM)]
    story += [*error_block(errors, page), *caution_block(cautions, page)]
    dangers = [item for item in _of(listed, "caution") if item.danger]
    story += [_fact(item, notes, wide, lead="CAUTION:") for item in dangers]
    if listed.timeline:
        story += [Spacer(1, 2 * MM), Timeline(listed.timeline, wide, named=False)]
    elif listed.dates:
        story += [words(day, 10, lead=f"{name}:") for name, day in listed.dates]
    if listed.address:
        story.append(words(", ".join(listed.address), 11, bold=True, before=6, after=2, lead="To:"))
    if listed.pressures:
        story += [
            section("Pressure on the way"),
            _pressures(listed, wide),
            words(PRESSURE_NOTE.format(warm=degrees(27)), 8, before=2),
        ]
    for name, items in listed.sections:
        own = [item for item in items if item.kind == "do"]
        if own:
            story += [section(name), *[_todo(item, notes, wide) for item in own]]
    facts = [item for item in _of(listed, "caution") if not item.danger]
    if facts:
        story += [section("To know"), *[_fact(item, notes, wide) for item in facts]]
    story += [section("Notes"), _columns(notes.listed(), wide)]
    story += [Spacer(1, 3 * MM), framed(listed.closing, (), wide)]
    return Written(story, page, title, f"entryprep, shipping checklist, {listed.competition}")


class _Notes:
    """Sources by number, in the order they are first met; the same source has one number."""

    def __init__(self) -> None:
        self.numbers: dict[str, int] = {}

    def number(self, item: CheckItem) -> int:
        """The number of an item's source."""
        looked_up = f"; checked {item.checked}" if item.checked else ""
        return self.numbers.setdefault(f"{item.source}{looked_up}", len(self.numbers) + 1)

    def listed(self) -> list[tuple[int, str]]:
        """Numbers and sources, in order."""
        return [(number, text) for text, number in self.numbers.items()]


def _of(listed: ShippingList, kind: str) -> list[CheckItem]:
    return [item for _, items in listed.sections for item in items if item.kind == kind]


def _gas(each: Pressure) -> str:
    return (
        f"{each.number} {each.beer}: {each.volumes:.1f} volumes of CO2 in a {each.bottle}, which should never hold "
        f"more than {each.most:.1f}. These bottles stay at home."
    )


def _pressures(listed: ShippingList, wide: float) -> Table:
    """Each beer's carbonation beside its bottle, and the pressure in it, cool and in a hot van."""
    unit = pressure_unit()
    cool, hot = (f"{unit} at {degrees(celsius)}" for celsius in (20, 40))
    titles = ("Entry", "Beer", "Volumes, of what it holds", cool, hot, "Weakest bottle packed")
    rows = []
    for each in listed.pressures:
        bar = [words(pressure(value * KPA_PER_BAR), 9) for value in (each.cool_bar, each.hot_bar)]
        bottle = words(each.bottle, 9, lead=f"{each.danger}:" if each.danger else "")
        rows.append([words(each.number, 9), words(each.beer, 9), Gauge(each, 36 * MM), *bar, bottle])
    widths = [18 * MM, 38 * MM, 40 * MM, 18 * MM, 18 * MM]
    return ruled(titles, rows, (*widths, wide - sum(widths)))


def _todo(item: CheckItem, notes: _Notes, wide: float) -> Table:
    """Something to do, with a box to tick."""
    cells = [[TickBox(), words(f"{item.text} [{notes.number(item)}]", 9.5)]]
    return _shaped(cells, [8 * MM, wide - 8 * MM])


def _fact(item: CheckItem, notes: _Notes, wide: float, lead: str = "") -> Table:
    """Something to know, with a line beside it; nothing to tick."""
    heavy = [("LINEBEFORE", (0, 0), (0, -1), 2.4 if lead else 0.8, "black")]
    return _shaped([[words(f"{item.text} [{notes.number(item)}]", 9.5, lead=lead)]], [wide], heavy)


def _columns(listed: Sequence[tuple[int, str]], wide: float) -> Table:
    """Notes in two columns, read down the first and then down the second."""
    half = (len(listed) + 1) // 2
    notes: list[Any] = [words(text, 8, lead=f"[{number}]") for number, text in listed]
    rows = [[notes[i], notes[half + i] if half + i < len(notes) else ""] for i in range(half)]
    flush = [(f"{edge}PADDING", (0, 0), (-1, -1), 0) for edge in ("LEFT", "TOP", "BOTTOM")]
    return Table(rows or [["", ""]], colWidths=[wide / 2] * 2, style=[*flush, ("VALIGN", (0, 0), (-1, -1), "TOP")])


def _shaped(cells: list[list[Any]], widths: list[float], more: Iterable[Any] = ()) -> Table:
    table = Table(cells, colWidths=widths, hAlign="LEFT", spaceBefore=1, spaceAfter=1, splitInRow=1)
    shape: list[Any] = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("TOPPADDING", (0, 0), (-1, -1), 1.5)]
    table.setStyle(TableStyle([*shape, ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5), *more]))
    return table
