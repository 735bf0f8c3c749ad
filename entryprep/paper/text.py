"""Fitting text into a box: first smaller, then on more lines, then cut at a word."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from entryprep.paper.bidi import led
from entryprep.paper.fonts import BAR, advance, forgotten, has_extra, printable, width_pt

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


def first_line(text: str, font: str, size: float, width: float) -> tuple[str, str]:
    """The words that fit on a line of ``width`` points, which may be none, and the rest."""
    words = text.split()
    plain = not has_extra() and BAR not in text
    point, space, used, count = 0.001 * size, advance(" ", font), 0.0, 0
    while count < len(words):
        used += advance(words[count], font) + (space if count else 0.0) if plain else 0.0
        wide = point * used if plain else width_pt(" ".join(words[: count + 1]), font, size)
        if wide > width:
            break
        count += 1
    return " ".join(words[:count]), " ".join(words[count:])


def _broken_lines(text: str, font: str, size: float, width: float) -> list[str]:
    if has_extra() or BAR in text:
        return _measured_lines(text, font, size, width)
    lines: list[str] = []
    line: list[str] = []
    point, space, used = 0.001 * size, advance(" ", font), 0.0
    for word in text.split():
        own = advance(word, font)
        longer = used + space + own if line else own
        if point * longer <= width:
            line.append(word)
            used = longer
        elif point * own <= width:
            lines.append(" ".join(line))
            line, used = [word], own
        else:
            *full, last = _broken(" ".join([*line, word]), font, size, width)
            lines += full
            line, used = [last] if last else [], advance(last, font)
    return [*lines, " ".join(line)] if line else lines


def _measured_lines(text: str, font: str, size: float, width: float) -> list[str]:
    """The same with whole lines measured: letters of a second font may join."""
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
