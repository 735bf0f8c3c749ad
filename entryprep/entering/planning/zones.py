"""The time zone of a competition's place, where country and state tell it."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated

from pydantic import Field

from entryprep.reading.fields import Record
from entryprep.records.competition import Competition
from entryprep.tables.shipped import shipped_record

Code = Annotated[str, Field(pattern=r"^[A-Z]{2}$")]


class Zones(Record):
    """The file of time zones."""

    countries: dict[Code, str] = Field(description="IANA zone of a country that has one for all its people.")
    states: dict[Code, dict[str, str]] = Field(description="IANA zone of a state, by country and state code.")


@lru_cache(maxsize=1)
def _zones() -> Zones:
    return shipped_record("templates/zones.yaml", Zones)


def zone_of(competition: Competition) -> str | None:
    """The IANA name of a competition's time zone, or None where its place does not settle it."""
    if competition.time_zone:
        return competition.time_zone
    table, country = _zones(), competition.country or ""
    return table.states.get(country, {}).get((competition.state or "").upper()) or table.countries.get(country)
