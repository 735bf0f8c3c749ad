"""What is shown, line by line: text with its styles, and tables; printed as it is into files and pipes.

A terminal, which has a width and colours, shows the same by :mod:`entryprep.cli.screen`, and only there is what draws
on one loaded.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Protocol, TextIO

UNBROKEN = 4096  # columns where no terminal says how many: a file or a pipe gets each thing on one line
GAP = "  "


@dataclass
class Line:
    """Text in pieces, each with a style such as ``bold`` or ``dim yellow``; ``indent`` stands before all its lines."""

    pieces: list[tuple[str, str]] = field(default_factory=list)
    indent: int = 0

    @classmethod
    def of(cls, text: str, style: str = "", indent: int = 0) -> Line:
        """A line of one piece."""
        return cls([(text, style)], indent)

    def append(self, text: str, style: str = "") -> Line:
        """Add a piece; the line itself."""
        self.pieces.append((text, style))
        return self

    @property
    def plain(self) -> str:
        """The text without its styles."""
        return "".join(text for text, _ in self.pieces)

    def lines(self) -> Iterator[str]:
        """Its lines without styles."""
        return (" " * self.indent + line for line in self.plain.split("\n"))


@dataclass(frozen=True)
class Table:
    """A borderless table; columns in ``right`` are aligned right, one whose header begins with | is never broken."""

    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()

    def lines(self) -> Iterator[str]:
        """Its lines, each column as wide as its widest cell."""
        heads = (tuple(header.lstrip("|") for header in self.headers),) if any(self.headers) else ()
        cells = [[cell.split("\n") for cell in row] for row in (*heads, *self.rows)]
        wide = (
            [max(columns(line) for row in cells for line in row[i]) for i in range(len(self.headers))] if cells else []
        )
        for row in cells:
            for step in range(max(len(cell) for cell in row)):
                parts = (cell[step] if step < len(cell) else "" for cell in row)
                yield GAP.join(self._filled(i, part, wide[i]) for i, part in enumerate(parts))

    def _filled(self, column: int, text: str, width: int) -> str:
        right = column in self.right
        text = text.rstrip() if right else text
        space = " " * (width - columns(text))
        return space + text if right else text + space


def columns(text: str) -> int:
    """How many columns of a terminal a text takes: East Asian wide letters two, marks over letters none."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in {"W", "F"} else 1 for c in text
    )


class Console(Protocol):
    """Where things are shown."""

    @property
    def width(self) -> int:
        """Columns there are."""

    def print(self, shown: Line | Table | None = None, *, crop: bool = False) -> None:
        """Show one thing, or an empty line; ``crop``: what does not fit the width is cut off rather than wrapped."""


class Plain:
    """A file or a pipe: nothing is wrapped, and no line ends in spaces."""

    width = UNBROKEN

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream

    def print(self, shown: Line | Table | None = None, *, crop: bool = False) -> None:  # noqa: ARG002 - all fits
        """Show one thing, or an empty line."""
        lines: Sequence[str] = list(shown.lines()) if shown is not None else [""]
        self.stream.write("".join(f"{line.rstrip(' ')}\n" for line in lines))
