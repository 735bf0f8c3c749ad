"""Tasting cards: a page for each judge and entry with the style's ranges, what to look for, faults to tick, and room.

What is the same on every card, or on every card of a style, is drawn once and used again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from entryprep.measures import degrees
from entryprep.paper.canvas import bookmark, draw_line, new_canvas, saved
from entryprep.paper.fonts import BOLD, REGULAR, printable
from entryprep.paper.placing import MM, PAGES_PT
from entryprep.paper.text import Fitted, fitted, wrapped
from entryprep.receiving.flights import Flight
from entryprep.receiving.tasting import Tasted
from entryprep.tables.lookfor import look_for, ticks
from entryprep.tables.scales import Scale
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable

EDGE = 14 * MM
LEFT = 62 * MM  # the column of what to look for
# heights of the rows, shares of what the page leaves
ROWS = {"appearance": 0.15, "aroma": 0.22, "flavour": 0.26, "mouthfeel": 0.16, "overall": 0.21}
TOP, FOOT = 80 * MM, 36 * MM  # above the rows, below them
LINE = 8 * MM
LEAST = 8.0  # points: nothing is printed smaller
MOST_CANDIDATES = 5  # styles of an unsettled name, each on a line
MOST_ALLERGENS = 4  # lines of allergens
CUT = 46 * MM  # what the words take that say where the rest of a declaration stands
STRIP = {"og": ("OG", "{:.3f}"), "fg": ("FG", "{:.3f}"), "abv": ("ABV %", "{:.1f}"), "ibu": ("IBU", "{:.0f}")}
STRIP |= {"srm": ("SRM", "{:g}"), "co2": ("CO2 vol", "{:.1f}")}


@dataclass(frozen=True)
class _Page:
    width: float
    height: float

    def rows(self) -> list[tuple[str, float, float]]:
        """Each part with the top and the height of its row."""
        room = self.height - TOP - FOOT
        top, found = self.height - TOP, []
        for part, share in ROWS.items():
            found.append((part, top, room * share))
            top -= room * share
        return found


def cards_pdf(
    flights: Iterable[Flight],
    table: StyleTable,
    scale: Scale,
    page: str,
    replaces: Mapping[int, str] | None = None,
    judges: Mapping[int, Sequence[str]] | None = None,
) -> bytes:
    """A card for each judge and entry, flight by flight, on "letter" or "a4"; the same input gives the same bytes.

    ``judges`` are those of each flight, leader first; without them there is one card for each entry, for any judge.
    ``replaces`` says by flight when the cards were printed that these take the place of.
    """
    size = _Page(*PAGES_PT[page])
    canvas, stream = new_canvas(page, "Tasting cards")
    _form(canvas, "frame", lambda: _frame(canvas, size, scale))
    drawn: set[str] = set()
    for flight in flights:
        bookmark(canvas, f"Flight {flight.number}")
        for judge in (judges or {}).get(flight.number) or ("",):
            for place, entry in enumerate(flight.entries, 1):
                name = f"style-{entry.style}-{entry.base}"
                if name not in drawn:
                    drawn.add(name)
                    style, base = table.styles.get(entry.style), table.styles.get(entry.base)
                    _form(canvas, name, lambda s=style, b=base: _style(canvas, size, s, b))
                canvas.doForm("frame")
                canvas.doForm(name)
                _entry(canvas, size, entry, f"flight {flight.number}, {place} of {len(flight.entries)}")
                _candidates(canvas, size, entry, table)
                if judge:
                    who = fitted(judge, BOLD, 60 * MM, 11, LEAST, 1)
                    draw_line(canvas, EDGE + LEFT + 13 * MM, 10 * MM, " ".join(who.lines), BOLD, who.size)
                if old := (replaces or {}).get(flight.number, ""):
                    top = size.height - EDGE + 2 * MM
                    canvas.setFont(BOLD, 9)
                    canvas.drawRightString(size.width - EDGE, top, f"replaces the card of {old}")
                canvas.showPage()
    return saved(canvas, stream)


def _form(canvas: Any, name: str, draw: Any) -> None:
    canvas.beginForm(name)
    draw()
    canvas.endForm()


def _frame(canvas: Any, page: _Page, scale: Scale) -> None:
    """Lines, headings and points: what all cards share."""
    right = page.width - EDGE
    canvas.setLineWidth(1.6)
    canvas.roundRect(EDGE, page.height - EDGE - 18 * MM, 50 * MM, 18 * MM, 3 * MM)
    canvas.setLineWidth(0.8)
    for part, top, height in page.rows():
        canvas.line(EDGE, top, right, top)
        canvas.setFont(BOLD, 11)
        canvas.drawString(EDGE, top - 5 * MM, part.capitalize())
        if part in scale.parts:
            canvas.setFont(REGULAR, 9)
            canvas.drawRightString(EDGE + LEFT - 4 * MM, top - 5 * MM, f"points ____ of {scale.parts[part]:g}")
        used = _ticks(canvas, EDGE + LEFT, right, top - 5 * MM, ticks().get(part, ()))
        _lines(canvas, EDGE + LEFT, right, top - LINE - used, top - height)
    bottom = FOOT
    canvas.setLineWidth(1.6)
    canvas.line(EDGE, bottom, right, bottom)
    canvas.setFont(BOLD, 11)
    canvas.drawString(EDGE, bottom - 6 * MM, "One thing to improve")
    for row in (1, 2):
        _lines(canvas, EDGE + LEFT, right, bottom - row * LINE, bottom - row * LINE - 1)
    canvas.setFont(REGULAR, 9)
    y = 10 * MM
    canvas.drawString(EDGE, y, f"sum ______ of {scale.top:g}")
    canvas.drawString(EDGE + LEFT, y, "judge ______________________")


def _ticks(canvas: Any, left: float, right: float, y: float, faults: Sequence[str]) -> float:
    """Boxes for faults, in lines from the top; how much they take beyond the first line."""
    x, first = left, y
    canvas.setLineWidth(0.5)
    for fault in faults:
        wide = canvas.stringWidth(fault, REGULAR, LEAST) + 7.5 * MM
        if x + wide > right:
            x, y = left, y - 4.5 * MM
        canvas.rect(x, y - 0.4 * MM, 2.8 * MM, 2.8 * MM)
        canvas.setFont(REGULAR, LEAST)
        canvas.drawString(x + 3.8 * MM, y, fault)
        x += wide
    return first - y


def _candidates(canvas: Any, page: _Page, entry: Tasted, table: StyleTable) -> None:
    """Of a name that may mean several styles: each with its ranges, and a box to tick which it was judged as."""
    y = page.height - EDGE - 23.5 * MM
    for style in [table.styles[each] for each in entry.candidates if each in table.styles][:MOST_CANDIDATES]:
        ranges = ", ".join(
            f"{STRIP[v][0]} {STRIP[v][1].format(r.low)}–{STRIP[v][1].format(r.high)}"
            for v, r in style.ranges.items()
            if v in {"og", "abv", "ibu", "srm"}
        )
        canvas.setLineWidth(0.6)
        canvas.rect(EDGE, y - 0.4 * MM, 3 * MM, 3 * MM)
        said = fitted(f"judged as {style.name}: {ranges}", REGULAR, page.width - 2 * EDGE - 6 * MM, 9, LEAST, 1)
        draw_line(canvas, EDGE + 5 * MM, y, " ".join(said.lines), REGULAR, said.size)
        y -= 4.2 * MM


def _lines(canvas: Any, left: float, right: float, top: float, bottom: float) -> None:
    canvas.saveState()
    canvas.setLineWidth(0.3)
    canvas.setStrokeGray(0.55)
    while top > bottom + 1.5 * MM or top == bottom + 1:
        canvas.line(left, top, right, top)
        top -= LINE
    canvas.restoreState()


def _style(canvas: Any, page: _Page, style: Style | None, base: Style | None) -> None:
    """What a style brings: its line, its ranges, what to look for."""
    right = page.width - EDGE
    y = page.height - EDGE - 26 * MM
    if style is not None:
        note = fitted(style.note, REGULAR, right - EDGE, 10, 8, 2)
        canvas.setFont(REGULAR, note.size)
        for line in note.lines:
            canvas.drawString(EDGE, y, line)
            y -= note.size * 1.25
        _strip(canvas, page, style, base)
    said = look_for(style)
    for part, top, height in page.rows():
        if part in said:
            lines = wrapped(printable(said[part]), REGULAR, 9, LEFT - 5 * MM)
            canvas.setFont(REGULAR, 9)
            for row, line in enumerate(lines[: int((height - 7 * MM) // 11)]):
                canvas.drawString(EDGE, top - 10 * MM - 11 * row, line)


def _strip(canvas: Any, page: _Page, style: Style, base: Style | None) -> None:
    """The ranges in a row of boxes; a special beer has those of its base."""
    source = base if style.follows_base and base is not None else style
    cells = [
        (f"{STRIP[v][0]}", "–".join(STRIP[v][1].format(e) for e in (r.low, r.high))) for v, r in source.ranges.items()
    ]
    serve = style.serve_c or (base.serve_c if base else None)
    cells += [(f"serve {degrees(0).split()[1]}", "–".join(degrees(c).split()[0] for c in serve))] if serve else []
    if not cells:
        return
    y, wide = page.height - EDGE - 40 * MM, (page.width - 2 * EDGE) / 7
    for index, (label, text) in enumerate(cells):
        x = EDGE + index * wide
        canvas.setFont(REGULAR, 8)
        canvas.drawString(x, y + 4.6 * MM, label if source is style or label.startswith("serve") else f"{label}, base")
        shown = fitted(text, BOLD, wide - 2 * MM, 10, 8, 1)
        canvas.setFont(BOLD, shown.size)
        canvas.drawString(x, y, " ".join(shown.lines))


def _entry(canvas: Any, page: _Page, entry: Tasted, where: str) -> None:
    right = page.width - EDGE
    top = page.height - EDGE
    number = fitted(entry.number, BOLD, 46 * MM, 30, 9, 1)
    canvas.setFont(BOLD, number.size)
    canvas.drawCentredString(EDGE + 25 * MM, top - 9 * MM - number.size * 0.35, " ".join(number.lines))
    canvas.setFont(REGULAR, 9)
    canvas.drawRightString(right, top - 3 * MM, where)
    name = fitted(entry.named or "style not declared", BOLD, right - EDGE - 56 * MM, 16, 9, 2)
    for row, line in enumerate(name.lines):
        draw_line(canvas, EDGE + 56 * MM, top - 10 * MM - row * name.size * 1.15, line, BOLD, name.size)
    said = f"Declared: {entry.words}" if entry.words else "Nothing else is declared."
    minded = [f"Allergens named: {entry.allergens}."] if entry.allergens else []
    minded += [f"Take care: {care}." for care in entry.care]
    box = page.height - EDGE - 44 * MM
    # allergens come first and are never cut for want of room: what is declared gives way; the pouring list has all
    room = Fitted((), LEAST, True)
    for wide in (right - EDGE, right - EDGE - CUT):  # beside the words that it is cut, where it is
        bold = fitted(" ".join(minded), BOLD, wide, 9.5, LEAST, MOST_ALLERGENS)
        room = fitted(said, REGULAR, right - EDGE, 10, LEAST, 5 - len(bold.lines))
        if not room.cut:
            break
    for row, line in enumerate(room.lines):
        draw_line(canvas, EDGE, box - row * room.size * 1.22 - 2 * MM, line, REGULAR, room.size)
    if room.cut:
        canvas.setFont(REGULAR, LEAST)
        canvas.drawRightString(right, page.height - TOP + 2 * MM, "cut: the pouring list has all of it")
    if minded:
        for row, line in enumerate(reversed(bold.lines)):
            draw_line(canvas, EDGE, page.height - TOP + 2 * MM + row * bold.size * 1.18, line, BOLD, bold.size)
