"""The brewer: who enters."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from entryprep.reading.fields import OneOrMore, Record, Text
from entryprep.tables.countries import Country, State


class Brewer(Record):
    """Who enters. Printed only where a competition wants it."""

    name: Text = Field(description="The brewer's name, as the competition registers it.")
    co_brewers: Annotated[list[Text], OneOrMore] = Field([], description="Others who brewed these beers.")
    brewery: Text | None = Field(None, description="What you call your brewery; must never reach a judge.")
    email: Text | None = Field(None, description="For the organiser.")
    phone: Text | None = Field(None, description="For the organiser.")
    address: Annotated[list[Text], OneOrMore] = Field([], description="Postal address, a line each.")
    club: Text | None = Field(None, description="Home-brew club.")
    country: Country | None = Field(None, description="By name or ISO 3166 code, such as Norway or NO.")
    state: State | None = Field(None, description="State or province, by name or code; for the shipping checklist.")
