"""Fitting the fields of a zone: smaller first, then on more lines, round the corner where the QR code stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from entryprep.paper.fonts import BOLD, REGULAR, printable, width_pt
from entryprep.paper.placing import MM
from entryprep.paper.text import Fitted, fitted, wrapped
from entryprep.tables.sliplayouts import APART_PT, LINE, SlipField

RISE, LEADING = 0.8, 1.18  # first baseline below the top of a line, and from line to line, in sizes
STEPS = 5  # from largest to smallest
BESIDE = 3 * MM  # between two fields on one line


@dataclass(frozen=True)
class Room:
    """The inside of a zone in points, y down from the top of the slip, and the code's corner it flows round."""

    left: float
    right: float
    begins: float
    ends: float
    code: tuple[float, float, float] | None  # left edge, top and bottom

    def end_at(self, top: float, bottom: float) -> float:
        """The right end of a line between two heights."""
        if self.code is not None and bottom > self.code[1] and top < self.code[2]:
            return min(self.right, self.code[0])
        return self.right


Done = tuple[SlipField, Fitted, tuple[float, float, float], int]


def stacked(
    said: Sequence[tuple[SlipField, tuple[str, ...]]], step: int, most: dict[int, int], room: Room
) -> tuple[list[Done], float, list[str]]:
    """The fields one below the other at a step of sizes: text and place of each, where they end, what was cut."""
    done: list[Done] = []
    short: list[str] = []
    down = room.begins
    for index, (field, paragraphs) in enumerate(said):
        size = round((field.largest - (field.largest - field.floor) * step / (STEPS - 1)) * 2) / 2
        x = room.left
        if field.beside and done:
            last = done[-1]
            font = BOLD if last[0].bold else REGULAR
            taken = max((width_pt(line, font, last[1].size) for line in last[1].lines), default=0.0)
            x = last[2][0] + taken + BESIDE
            begins = last[2][2] + (last[1].size - size) * RISE
        else:
            begins = down
        lines = most.get(index, field.lines)
        end = room.end_at(begins, begins + size * LINE)
        kept = _kept(said, index, (end - x) / 2)
        text = _fitted(field, paragraphs, end - x - kept, size, lines)
        if end < room.right and len(text.lines) > 1:  # some of the lines may lie below the code
            text = _flowed(field, paragraphs, x, begins, size, lines, room)
        if text.cut:
            short.append(field.show or "words")
        # text that is not from the left is placed by its narrowest room
        done.append((field, text, (x, end, begins), index))
        tall = text.size * (LINE + LEADING * (max(len(text.lines), 1) - 1))
        down = max(down, begins + tall + APART_PT)
    return done, down - APART_PT, short


def _kept(said: Sequence[tuple[SlipField, tuple[str, ...]]], index: int, most: float) -> float:
    """Room a field leaves to the one beside it, which may have half of the line."""
    if index + 1 >= len(said) or not said[index + 1][0].beside:
        return 0.0
    field, paragraphs = said[index + 1]
    wanted = width_pt(printable(paragraphs[0]), BOLD if field.bold else REGULAR, field.largest) if paragraphs else 0.0
    return min(wanted + BESIDE, most)


MUCH_SMALLER = 0.6  # one line that would be set smaller than this share of two is broken


def _fitted(field: SlipField, paragraphs: tuple[str, ...], width: float, size: float, lines: int) -> Fitted:
    """On one line, shrunk if need be, where the field is one paragraph; else on as many lines as it may have."""
    font = BOLD if field.bold else REGULAR
    if len(paragraphs) == 1:
        if lines <= 2:
            one = fitted(paragraphs[0], font, width, size, field.smallest, 1)
            two = fitted(paragraphs[0], font, width, size, field.smallest, lines)
            if lines == 1 or (not one.cut and one.size > MUCH_SMALLER * two.size):
                return one
            if not two.cut:
                return two
        return fitted(paragraphs[0], font, width, size, size, lines)
    return _joined([fitted(p, font, width, size, size, lines) for p in paragraphs], size, font, width, lines)


def _joined(parts: Sequence[Fitted], size: float, font: str, width: float, lines: int) -> Fitted:
    """Several paragraphs, each on its own lines; what is too much goes on the last."""
    said = [line for part in parts for line in part.lines]
    short = any(part.cut for part in parts)
    if len(said) > lines:
        last = fitted(" ".join(said[lines - 1 :]), font, width, size, size, 1)
        return Fitted((*said[: lines - 1], *last.lines), size, True)
    return Fitted(tuple(said), size, short)


def _flowed(
    field: SlipField, paragraphs: tuple[str, ...], x: float, top: float, size: float, lines: int, room: Room
) -> Fitted:
    """Lines that are as wide as there is room at their height: narrow beside the code, wide below it."""
    font = BOLD if field.bold else REGULAR
    rest = printable(" ".join(" ".join(paragraphs).split()))
    done: list[str] = []
    narrow = room.end_at(top, top + size * LINE) - x
    while rest and len(done) < lines:
        at = top + len(done) * size * LEADING
        wide = room.end_at(at, at + size * LINE) - x
        if wide > narrow:
            below = fitted(rest, font, wide, size, size, lines - len(done))
            return Fitted((*done, *below.lines), size, below.cut)
        first = wrapped(rest, font, size, wide)[0]
        done.append(first)
        rest = rest[len(first.lstrip("\u200e\u200f")) :].lstrip()
    if rest:
        last = fitted(f"{done[-1]} {rest}", font, narrow, size, size, 1)
        return Fitted((*done[:-1], *last.lines), size, True)
    return Fitted(tuple(done), size, False)
