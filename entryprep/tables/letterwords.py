"""The words of the questions and letters to entrants."""

from __future__ import annotations

from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record


class Questions(Record):
    """The words of questions and letters."""

    declare: dict[str, Text]
    style: dict[str, Text]
    other: dict[str, Text]
    letter: str
    letter_end: str


@cache
def questions() -> Questions:
    """The shipped words of questions."""
    return shipped_record("templates/receiving/questions.yaml", Questions)
