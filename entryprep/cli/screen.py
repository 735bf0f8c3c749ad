"""A terminal, with its width and colours."""

from __future__ import annotations

import re
from typing import Any, TextIO, cast

from rich.console import Console
from rich.padding import Padding
from rich.table import Table as RichTable
from rich.text import Text

from entryprep.cli.plain import GAP, Line, Table

_PADDING = re.compile(r" +(?=\n)")


def terminal(stream: TextIO) -> Console:
    """The console of a stream, as wide as it or ``COLUMNS`` says; no markup, so that users' text is only ever text."""
    unpadded = cast(TextIO, _Unpadded(stream))
    return Console(file=unpadded, highlight=False, markup=False, emoji=False, soft_wrap=False)


class Screen:
    """A terminal that wraps what does not fit."""

    def __init__(self, stream: TextIO) -> None:
        self.console = terminal(stream)

    @property
    def width(self) -> int:
        """Columns there are."""
        return self.console.width

    def print(self, shown: Line | Table | None = None, *, crop: bool = False) -> None:
        """Show one thing, or an empty line; ``crop``: what does not fit the width is cut off rather than wrapped."""
        if shown is None:
            self.console.print()
        elif isinstance(shown, Table):
            self.console.print(_table(shown))
        else:
            text = Text.assemble(*shown.pieces)
            indented = Padding(text, (0, 0, 0, shown.indent), expand=False) if shown.indent and text else text
            self.console.print(indented, no_wrap=crop, overflow="crop" if crop else None)


def _table(table: Table) -> RichTable:
    shown = RichTable(box=None, pad_edge=False, padding=(0, len(GAP), 0, 0), show_header=any(table.headers))
    for index, header in enumerate(table.headers):
        right = index in table.right
        shown.add_column(
            header.lstrip("|"),
            justify="right" if right else "left",
            no_wrap=header.startswith("|") or right,
            header_style="bold",
            overflow="fold",
        )
    for row in table.rows:
        shown.add_row(*map(Text, row))
    return shown


class _Unpadded:
    """A stream whose lines do not end in the spaces that fill up the columns of tables."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        self._stream.write(_PADDING.sub("", text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)
