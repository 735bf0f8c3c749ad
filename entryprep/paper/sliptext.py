"""What stands where on a slip: smaller where there is much to say, then on more lines, cut only at the last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from entryprep.paper.fonts import BOLD, REGULAR, printable, width_pt
from entryprep.paper.placing import MM
from entryprep.paper.qr import QUIET, qr_side
from entryprep.paper.slipfit import LEADING, RISE, STEPS, Room, stacked
from entryprep.paper.slipvalues import Printed, turns
from entryprep.tables.sliplayouts import CodeSpot, SlipField, SlipLayout

CODE_EDGE = 1 * MM  # between the code's quiet zone and the cut
LETTERS = 9.0  # height of a code in letters below its QR code
UNDERLINE = 0.14  # below the baseline, in sizes


@dataclass(frozen=True)
class Placed:
    """Lines of text at a place: left end and first baseline from the slip's lower left corner, in points.

    ``end`` is the right end of the place, for text that differs from bottle to bottle; ``field`` what it shows.
    """

    x: float
    y: float
    font: str
    size: float
    lines: tuple[str, ...]
    field: str = ""
    end: float = 0.0
    align: str = "left"
    underlined: bool = False

    @property
    def leading(self) -> float:
        """From baseline to baseline, points."""
        return self.size * LEADING

    def left(self, line: str) -> float:
        """Where a line begins."""
        room = self.end - self.x - width_pt(line, self.font, self.size)
        return self.x + (room if self.align == "right" else room / 2 if self.align == "centre" else 0.0)


@dataclass(frozen=True)
class SlipText:
    """All text of a slip in reading order, lines to write on (x, y, length), and the fields that had to be cut."""

    texts: tuple[Placed, ...]
    rules: tuple[tuple[float, float, float], ...]
    cut: tuple[str, ...]
    stub: float
    code: tuple[float, float, float] | None


def code_side(spot: CodeSpot, code: str) -> float:
    """Side of the QR code with its quiet zone, in points."""
    return max(spot.side * MM, (qr_side(code) + 2 * QUIET) * spot.module * MM)


def slip_text(printed: Printed, layout: SlipLayout, width_mm: float, height_mm: float) -> SlipText:
    """The text of a slip, placed and fitted; the same for all bottles of an entry."""
    width, height = width_mm * MM, height_mm * MM
    named = layout.stub is not None and any(f.show in printed.values for f in layout.stub.fields)
    stub = layout.stub.height * MM if layout.stub is not None and named else 0.0
    body = height - stub
    texts: list[Placed] = []
    rules: list[tuple[float, float, float]] = []
    cut: list[str] = []
    code = _code_place(layout, printed, width, body)
    for zone in layout.zones:
        begins, ends = zone.span(body / MM)
        around = None
        if code is not None:
            below = 0.0 if printed.values.get("number") else LETTERS
            around = (code[0], body - code[1] - code[2], body - code[1] + below)
        room = Room(zone.left * MM, width - zone.right * MM, begins * MM, ends * MM, around)
        _fill(zone.fields, printed, room, height, texts, rules, cut)
    if code is not None and "number" not in printed.values:
        texts.append(_letters(printed.code, code, width, height - body))
    if stub and layout.stub is not None:
        zone = layout.stub.zone
        begins, ends = zone.span(layout.stub.height)
        room = Room(zone.left * MM, width - zone.right * MM, body + begins * MM, body + ends * MM, None)
        _fill(zone.fields, printed, room, height, texts, rules, cut)
    spot = None if code is None else (code[0], code[1] + stub, code[2])
    return SlipText(tuple(texts), tuple(rules), tuple(dict.fromkeys(cut)), stub, spot)


def _code_place(layout: SlipLayout, printed: Printed, width: float, body: float) -> tuple[float, float, float] | None:
    """Left and lower edge and side of the QR code, from the lower left corner of the judges' part."""
    if layout.code is None or not printed.code:
        return None
    side = code_side(layout.code, printed.longest)
    below = 0.0 if printed.values.get("number") else LETTERS
    top = layout.code.corner == "top-right"
    return (
        width - side - CODE_EDGE,
        body - side - CODE_EDGE if top else max(CODE_EDGE, 2 * MM * (below > 0) + below),
        side,
    )


def _letters(code: str, place: tuple[float, float, float], width: float, stub: float) -> Placed:
    """The code in letters below its QR code, for an entry that has no number yet."""
    text = printable(code)
    left = min(place[0] + (place[2] - width_pt(text, REGULAR, 8)) / 2, width - 2 * MM - width_pt(text, REGULAR, 8))
    return Placed(left, place[1] + stub - 7, REGULAR, 8, (text,), "code")


def _fill(
    fields: Sequence[SlipField],
    printed: Printed,
    room: Room,
    height: float,
    texts: list[Placed],
    rules: list[tuple[float, float, float]],
    cut: list[str],
) -> None:
    """Place the fields of a zone at the first sizes at which all is there; at the smallest, cut the longest.

    A field of one line shrinks by itself; where it does not fit at any size it makes nothing else smaller.
    """
    said = [(field, text) for field in fields if (text := field_said(field, printed)) or field.rule]
    alone = {field.show or "words" for field, _ in said if field.lines == 1}
    for step in range(STEPS):
        done, down, short = stacked(said, step, {}, room)
        if down <= room.ends + 1e-6 and alone.issuperset(short):
            break
    else:
        most: dict[int, int] = {}
        while down > room.ends + 1e-6:
            tallest = max(range(len(done)), key=lambda i: len(done[i][1].lines))
            if len(done[tallest][1].lines) <= 1:
                break
            over = int((down - room.ends) // (done[tallest][1].size * LEADING)) + 1
            most[done[tallest][3]] = max(1, len(done[tallest][1].lines) - over)
            done, down, short = stacked(said, STEPS - 1, most, room)
    for field, shown, place, _ in done:
        x, end, top = place
        y = height - top - shown.size * RISE
        if shown.lines:
            font = BOLD if field.bold else REGULAR
            under = field.show == "number" and turns(" ".join(shown.lines))
            texts.append(Placed(x, y, font, shown.size, shown.lines, field.show or "", end, field.align, under))
        elif field.rule:
            rules.append((x, y - 1, min(field.rule * MM, end - x)))
    cut += short


def field_said(field: SlipField, printed: Printed) -> tuple[str, ...]:
    """The paragraphs of a field, as the last copy has them."""
    if field.say is not None:
        return (field.say,)
    if field.show == "bottle":
        return (printed.bottle(printed.copies),) if printed.copies else ()
    paragraphs = printed.values.get(field.show or "", ())
    return (f"{field.before} {paragraphs[0]}", *paragraphs[1:]) if field.before and paragraphs else paragraphs
