"""The words of the questions and letters to entrants."""

from __future__ import annotations

from functools import cache

from entryprep.records.fields import Record, Text
from entryprep.records.shipped import shipped_document
from entryprep.records.validate import validate
from entryprep.records.yamltext import RecordError


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
    known, problems = validate(shipped_document("templates/receiving/questions.yaml"), Questions)
    if known is None:
        raise RecordError(problems)
    return known
