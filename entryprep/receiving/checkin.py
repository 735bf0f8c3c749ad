"""Checking declarations in: each row on its own, none stops another.

CHECKS is the list of what is looked at, in order.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from entryprep.findings import Severity
from entryprep.receiving.checks_arrival import bottles, dates, entry_number
from entryprep.receiving.checks_special import base_holds, belongs, doses
from entryprep.receiving.checks_stated import anonymity, missing
from entryprep.receiving.checks_style import fits, stated_vitals, style_name
from entryprep.receiving.declaration import Declaration, Reader
from entryprep.receiving.stylename import StyleNames
from entryprep.records.table import StyleTable, name_key


@dataclass
class CheckIn:
    """Checks rows against one style table. ``bottles`` is how many are wanted (0: not checked), ``day`` the judging."""

    reader: Reader
    table: StyleTable
    bottles: int = 0
    day: dt.date | None = None
    names: StyleNames = field(init=False)
    _seen: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.names = StyleNames(self.table)

    def declarations(self) -> Iterator[Declaration]:
        """Every row, checked, in the order of the sheet."""
        for row in self.reader.sheet.rows():
            declared = self.reader.read(row)
            for check in CHECKS:
                check(self, declared)
            yield declared

    def tell(self, about: Declaration, rule: str, severity: Severity, what: str, fix: str, where: str = "") -> None:
        """A finding of this sheet."""
        self.reader.tell(about, rule, severity, what, fix, where)

    def first_row(self, entry: str, row: int) -> int:
        """The row in which an entry number stood first, 0 where this is the first."""
        first = self._seen.setdefault(name_key(entry) or entry, row)
        return 0 if first == row else first


CHECKS: tuple[Callable[[CheckIn, Declaration], None], ...] = (
    entry_number,
    style_name,
    stated_vitals,
    fits,
    missing,
    base_holds,
    belongs,
    doses,
    bottles,
    dates,
    anonymity,
)
"""What is looked at in each row, in this order."""
