"""Fitting text into a box: first smaller, then on more lines, then cut at a word."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from entryprep.paper.bidi import led
from entryprep.paper.fonts import forgotten, has_extra, printable, width_pt

STEP_PT = 0.5
ELLIPSIS = "…"


@dataclass(frozen=True)
class Fitted:
    """Lines at a size in points; ``cut`` if not all of the text is there."""

    lines: tuple[str, ...]
    size: float
    cut: bool


@forgotten
@lru_cache(maxsize=16384)
def fitted(text: str, font: str, width: float, largest: float, smallest: float, most_lines: int) -> Fitted:
    """Text in at most ``most_lines`` lines of ``width`` points, as large as it can be.

    Sizes go down from ``largest`` to ``smallest`` in half points; what does not fit even then ends in an ellipsis.
    """
    clean = printable(" ".join(text.split()))
    size = largest
    while True:
        lines = wrapped(clean, font, size, width)
        if len(lines) <= most_lines:
            return Fitted(tuple(lines), size, False)
        if size - STEP_PT < smallest - 1e-9:
            return Fitted(_cut(lines, font, size, width, most_lines), size, True)
        size -= STEP_PT


def wrapped(text: str, font: str, size: float, width: float) -> list[str]:
    """Lines of at most ``width`` points, broken between words; a word longer than a line is broken inside."""
    if has_extra():
        return led(_broken_lines(text, font, size, width), text)
    return _broken_lines(text, font, size, width)


def _broken_lines(text: str, font: str, size: float, width: float) -> list[str]:
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if width_pt(longer, font, size) <= width:
            line = longer
        elif width_pt(word, font, size) <= width:
            lines.append(line)
            line = word
        else:
            *full, line = _broken(longer, font, size, width)
            lines += full
    return [*lines, line] if line else lines


def _broken(text: str, font: str, size: float, width: float) -> list[str]:
    """Text that ends in a word longer than a line, broken between letters; a line holds one letter at least."""
    pieces, piece = [], ""
    for letter in text:
        if piece and width_pt(piece + letter, font, size) > width:
            pieces.append(piece.rstrip())
            piece = ""
        piece += letter
    return [*pieces, piece]


def _cut(lines: list[str], font: str, size: float, width: float, most_lines: int) -> tuple[str, ...]:
    kept = lines[:most_lines]
    if not kept:
        return ()
    last = kept[-1]
    while last and width_pt(f"{last} {ELLIPSIS}", font, size) > width:
        whole_words = last.rpartition(" ")[0]
        last = whole_words if len(whole_words) > len(last) / 2 else last[:-1].rstrip()
    return (*kept[:-1], f"{last} {ELLIPSIS}".strip())
