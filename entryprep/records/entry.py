"""Entries: which batch goes where, as what."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from entryprep.reading.fields import Id, LongText, OneOrMore, Record, Text
from entryprep.reading.words import Way


class Entry(Record):
    """One beer in one competition."""

    batch: Id = Field(description="File name of the batch, without .yaml.")
    competition: Id = Field(description="File name of the competition, without .yaml.")
    category: Text = Field(description="The competition's category code.")
    number: Annotated[Text, Field(max_length=16)] | None = Field(
        None, description="Entry number, once the competition has issued it."
    )
    style: Text | None = Field(None, description="Style declared, if not the batch's own.")
    base: Text | None = Field(None, description="Base declared, if not the batch's own.")
    declaration: LongText | None = Field(None, description="Text for the judges, if not the batch's own.")
    way: Way | None = Field(None, description="How the bottles travel.")


class EntryList(Record):
    """Which batch goes where."""

    entries: Annotated[list[Entry], OneOrMore] = Field(description="The entries, in the order you want them printed.")
