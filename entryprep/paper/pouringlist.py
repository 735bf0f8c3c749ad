"""Pouring lists: what the stewards pour for a flight, and in which order. No entrant's name is on them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from entryprep.measures import degrees_between
from entryprep.paper.canvas import bookmark, draw_line, new_canvas, saved
from entryprep.paper.fonts import BOLD, REGULAR, printable
from entryprep.paper.placing import MM, PAGES_PT
from entryprep.paper.text import Fitted, fitted, wrapped
from entryprep.receiving.flights import Flight
from entryprep.receiving.tasting import ORDER_RULE, Tasted
from entryprep.tables.styles import StyleTable
from entryprep.text import counted

EDGE = 14 * MM
NUMBER, STYLE, TICKS = 28 * MM, 42 * MM, 52 * MM
LINE = 11.5
HANDS = 84 * MM  # what the table and the judges take beside the title
REPLACES = "replaces the sheet of"
TITLE, NONE = "Pouring lists", "There is no flight."
LABELS = ("poured", "back", "score", "place")
BOXES = (50 * MM, 37 * MM, 25 * MM, 10 * MM)  # poured, back, the agreed score and place: from the right edge
HEAD, FOOT = 130.0, 30 * MM  # what the longest head takes, and what its foot keeps free
SHORT = 1 / 3  # of the page: a list that needs less shares one
LONGEST = 46  # lines of a declaration that fit on a page


@dataclass(frozen=True)
class Head:
    """What the head of a list says of its flight: when, who judges, which sheet it takes the place of."""

    when: str
    judges: tuple[str, ...]
    old: str

    def how_many(self, flight: Flight) -> str:
        """How many entries, and when."""
        entries = counted(len(flight.entries), "entry", "entries")
        return f"{entries}, {self.when}" if self.when else entries


def pouring_list_pdf(
    flights: Iterable[Flight],
    table: StyleTable,
    page: str,
    rounds: Mapping[int, int] | None = None,
    replaces: Mapping[int, str] | None = None,
    seats: Mapping[int, tuple[str, Sequence[str]]] | None = None,
) -> bytes:
    """The pouring list of each flight, on "letter" or "a4"; ``rounds`` says in which round it is judged, ``replaces``
    when the sheet was printed that this one takes the place of, ``seats`` the session and the judges, leader first.

    A list goes to its own table, so each has a page; but one that would leave most of its page empty shares it with
    another, to be cut apart. Those stand last.
    """
    size = PAGES_PT[page]
    canvas, stream = new_canvas(page, TITLE)
    lists = list(with_heads(flights, rounds, replaces, seats))
    pairs = _pairs([(_needed(flight, size[0]), flight.number) for flight, _ in lists], size[1])
    by_number = {each[0].number: each for each in lists}
    shared = {number for pair in pairs for number in pair}
    for flight, said in (each for each in lists if each[0].number not in shared):
        bookmark(canvas, f"Flight {flight.number}")
        _flight(canvas, flight, table, size, said)
        canvas.showPage()
    for one, other in pairs:
        _two(canvas, (by_number[one], by_number[other]), table, size)
    if not lists:
        canvas.setFont(REGULAR, 11)
        canvas.drawString(EDGE, size[1] - EDGE - 12, NONE)
        canvas.showPage()
    return saved(canvas, stream)


def _pairs(needed: Sequence[tuple[float, int]], page: float) -> list[tuple[int, int]]:
    """Flights that share a page: short ones two by two, one that is left with the next that fits a half."""
    short = [number for high, number in needed if high < page * SHORT]
    pairs = list(zip(short[::2], short[1::2], strict=False))
    if len(short) % 2:
        left = short[-1]
        fits = [n for high, n in needed if high <= page / 2 and n not in short]
        if fits:
            beside = min(fits, key=lambda number: (abs(number - left), number))
            pairs.append((min(left, beside), max(left, beside)))
    return pairs


def with_heads(
    flights: Iterable[Flight],
    rounds: Mapping[int, int] | None,
    replaces: Mapping[int, str] | None,
    seats: Mapping[int, tuple[str, Sequence[str]]] | None,
) -> Iterator[tuple[Flight, Head]]:
    """Each flight with what the head of its list says."""
    for flight in flights:
        old = (replaces or {}).get(flight.number, "")
        turn, (session, judges) = (rounds or {}).get(flight.number, 0), (seats or {}).get(flight.number, ("", ()))
        when = ", ".join(each for each in (f"round {turn}" if turn else "", session) if each)
        yield flight, Head(when, tuple(judges), old)


def _two(canvas: Any, lists: Sequence[tuple[Flight, Head]], table: StyleTable, size: tuple[float, float]) -> None:
    """Two short lists on one page, each whole on its half."""
    half = size[1] / 2
    for (flight, said), below in zip(lists, (half, 0.0), strict=True):
        bookmark(canvas, f"Flight {flight.number}")
        canvas.saveState()
        canvas.translate(0, below)
        _flight(canvas, flight, table, (size[0], half), said)
        canvas.restoreState()
    canvas.saveState()
    canvas.setLineWidth(0.6)
    canvas.setDash(4, 3)
    canvas.line(0, half, size[0], half)
    canvas.restoreState()
    canvas.setFont(REGULAR, 8)
    canvas.drawString(EDGE, half - 9, "cut here: each half goes with its flight")
    canvas.showPage()


def _needed(flight: Flight, width: float) -> float:
    """About how high a list is with its head and foot, in points."""
    rows = ((entry, *_lines(entry, width)) for entry in flight.entries)
    return HEAD + FOOT + sum(_height(*row) for row in rows)


def _flight(canvas: Any, flight: Flight, table: StyleTable, size: tuple[float, float], said: Head) -> None:
    """A list on as many pages as it needs, the last left open."""
    y = _head(canvas, flight, table, size, said)
    rows = [(place, entry, *_lines(entry, size[0])) for place, entry in enumerate(flight.entries, 1)]
    for place, entry, style, declared in rows:
        height = _height(entry, style, declared)
        if y - height < FOOT:
            _foot(canvas, size)
            canvas.showPage()
            y = _head(canvas, flight, table, size, said, " (continued)")
        _row(canvas, size, y, (place, entry, style, declared))
        y -= height
    _foot(canvas, size)


def _head(
    canvas: Any, flight: Flight, table: StyleTable, size: tuple[float, float], said: Head, more: str = ""
) -> float:
    width, height = size
    top = height - EDGE
    name = fitted(f"Pouring list, flight {flight.number}{more}", BOLD, width - 2 * EDGE - HANDS, 22, 12, 1)
    canvas.setFont(BOLD, name.size)
    canvas.drawString(EDGE, top - 20, " ".join(name.lines))
    canvas.setFont(REGULAR, 10)
    canvas.drawRightString(width - EDGE, top - 9, said.how_many(flight))
    blank = "" if said.judges else "   judges ____________________________"
    canvas.drawRightString(width - EDGE, top - 22, f"table ______{blank}")
    if said.old:
        canvas.setFont(BOLD, 9)
        canvas.drawRightString(width - EDGE, top + 2, f"{REPLACES} {said.old}")
    title = fitted(flight.title, BOLD, width - 2 * EDGE, 12, 8, 2)
    canvas.setFont(BOLD, title.size)
    y = top - 38
    for line in title.lines:
        draw_line(canvas, EDGE, y, line, BOLD, title.size)
        y -= title.size * 1.2
    if said.judges:
        names = fitted(f"Judges: {', '.join(said.judges)}", REGULAR, width - 2 * EDGE, 10, 8, 2)
        for each in names.lines:
            draw_line(canvas, EDGE, y, each, REGULAR, names.size)
            y -= names.size * 1.25
    canvas.setFont(REGULAR, 9)
    canvas.drawString(EDGE, y, serving(flight, table))
    y -= 15
    canvas.setFont(BOLD, 8.5)
    x = EDGE
    for label, wide in (("blind number", NUMBER), ("style", STYLE), ("declared; allergens named", 0)):
        canvas.drawString(x, y, label)
        x += wide
    for x, label in zip(BOXES, LABELS, strict=True):
        canvas.drawString(width - EDGE - x, y, label)
    canvas.setLineWidth(1.2)
    canvas.line(EDGE, y - 4, width - EDGE, y - 4)
    return y - 4


def serving(flight: Flight, table: StyleTable) -> str:
    """How the beers of a flight are poured and served, in a sentence."""
    warm = [
        s.serve_c for e in flight.entries if (s := table.styles.get(e.style) or table.styles.get(e.base)) and s.serve_c
    ]
    if not warm:
        return "Pour in this order, each from its own bottle."
    low, high = min(w[0] for w in warm), max(w[1] for w in warm)
    between = degrees_between(low, high, " and ")
    return f"Pour in this order, each from its own bottle; serve between {between} as the cards say."


Line = tuple[str, str]
"""A font and a text."""


def _lines(entry: Tasted, width: float) -> tuple[list[Line], list[Line]]:
    style = wrapped(printable(entry.named or "not declared"), BOLD, 9.5, STYLE - 4 * MM)[:LONGEST]
    room = width - 2 * EDGE - NUMBER - STYLE - TICKS
    said = [(REGULAR, line) for line in wrapped(printable(entry.words), REGULAR, 9, room)]
    if len(said) > LONGEST:
        said = [*said[: LONGEST - 1], (REGULAR, "… (cut here; the sheet of entries has all of it)")]
    if entry.allergens:
        said += [(BOLD, line) for line in wrapped(printable(f"Allergens: {entry.allergens}"), BOLD, 9, room)]
    for care in entry.care:
        said += [(BOLD, line) for line in wrapped(printable(f"Take care: {care}"), BOLD, 9, room)]
    return [(BOLD, line) for line in style], said


def _number(entry: Tasted) -> Fitted:
    """The blind number, on more lines before it would be smaller than 8 points."""
    return fitted(entry.number, BOLD, NUMBER - 9 * MM, 15, 8, 4)


def _height(entry: Tasted, style: Sequence[Line], said: Sequence[Line]) -> float:
    return max(len(style), len(said), len(_number(entry).lines) + 0.5, 2) * LINE + 7


def _row(
    canvas: Any, size: tuple[float, float], y: float, row: tuple[int, Tasted, Sequence[Line], Sequence[Line]]
) -> None:
    place, entry, style, said = row
    width = size[0]
    canvas.setFont(REGULAR, 8.5)
    canvas.drawString(EDGE, y - 14, f"{place}")
    number = _number(entry)
    canvas.setFont(BOLD, number.size)
    for index, line in enumerate(number.lines):
        canvas.drawString(EDGE + 7 * MM, y - 16 - index * LINE, line)
    for x, size_pt, lines in ((EDGE + NUMBER, 9.5, style), (EDGE + NUMBER + STYLE, 9.0, said)):
        for index, (font, line) in enumerate(lines):
            draw_line(canvas, x, y - 12 - index * LINE, line, font, size_pt)
    canvas.setLineWidth(0.8)
    for x, wide in zip(BOXES, (4.5, 4.5, 12.0, 9.0), strict=True):
        canvas.rect(width - EDGE - x, y - 17, wide * MM, 4.8 * MM if wide < 5 else 5.4 * MM)
    height = _height(entry, style, said)
    canvas.setLineWidth(0.25)
    canvas.line(EDGE, y - height, width - EDGE, y - height)


def _foot(canvas: Any, size: tuple[float, float]) -> None:
    canvas.setFont(REGULAR, 8)
    lines = wrapped(f"{ORDER_RULE} {CAUTION}", REGULAR, 8, size[0] - 2 * EDGE)
    for index, line in enumerate(lines):
        canvas.drawString(EDGE, 9 * MM + 10 * (len(lines) - 1 - index), line)


CAUTION = (
    "Allergens are those named on the declaration or usual in the style: a beer without any may hold some all the "
    "same. Water, plain bread and a bucket belong on the table; nobody who judged drives."
)
