"""What a judge looks for in a style, in our own words, by family."""

from __future__ import annotations

from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record
from entryprep.tables.style import Style


class Senses(Record):
    """A line for each sense."""

    appearance: Text
    aroma: Text
    flavour: Text
    mouthfeel: Text


class _LookFor(Record):
    overall: Text
    unsettled: Text
    families: dict[str, Senses]


@cache
def _words() -> _LookFor:
    return shipped_record("templates/receiving/lookfor.yaml", _LookFor)


def look_for(style: Style | None) -> dict[str, str]:
    """A text by appearance, aroma, flavour, mouthfeel and overall; a family of the user's own has only that."""
    words = _words()
    senses = words.families.get(style.family) if style is not None else None
    own = senses.model_dump() if senses is not None else {}
    return {**own, "overall": words.overall if style is not None else words.unsettled}
