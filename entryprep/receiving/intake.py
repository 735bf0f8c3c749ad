"""Checking declarations in: each row on its own, none stops another.

CHECKS is the list of what is looked at, in order.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.checks_arrival import bottles, dates, entry_number
from entryprep.receiving.checks_cautions import eaten, free_of, strong
from entryprep.receiving.checks_special import base_holds, belongs, doses
from entryprep.receiving.checks_stated import anonymity, missing
from entryprep.receiving.checks_style import fits, fitted, made, stated_vitals, style_name
from entryprep.receiving.declaration import Declaration

Check = Callable[[CheckIn, Declaration], None]
CHECKS: tuple[Check, ...] = (
    entry_number,
    style_name,
    stated_vitals,
    made,
    fits,
    missing,
    base_holds,
    belongs,
    doses,
    eaten,
    strong,
    free_of,
    bottles,
    dates,
    anonymity,
)
"""What is looked at in each row, in this order."""
FIT_ALONE: tuple[Check, ...] = (style_name, stated_vitals, made, fitted)
"""What makes the fit of an entry, for those who tell nothing of what is found on the way."""


def declarations(checkin: CheckIn, checks: tuple[Check, ...] = CHECKS) -> Iterator[Declaration]:
    """Every row of the sheet, checked, in the order of the sheet."""
    checkin.blind.look()
    for row in checkin.reader.sheet.rows():
        declared = checkin.reader.read(row)
        for check in checks:
            check(checkin, declared)
        yield declared
