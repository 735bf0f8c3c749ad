"""Check-in of declarations: what every check may ask, and where it tells what it found."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from entryprep.receiving.anonymity import Blind
from entryprep.receiving.codes import Codes
from entryprep.receiving.declaration import Reader
from entryprep.tables.styles import StyleTable
from entryprep.text import name_key


@dataclass
class CheckIn:
    """Checks rows against one style table. ``bottles`` is how many are wanted (0: not checked), ``day`` the judging.

    ``codes`` are those of the competition, where its file is known.
    """

    reader: Reader
    table: StyleTable
    bottles: int = 0
    day: dt.date | None = None
    codes: Codes | None = None
    blind: Blind = field(init=False)
    _seen: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.blind = Blind(self.reader, self.table)

    def first_row(self, entry: str, row: int) -> int:
        """The row in which an entry number stood first, 0 where this is the first."""
        first = self._seen.setdefault(name_key(entry), row)
        return 0 if first == row else first
