"""Names of countries for an address, by ISO 3166-1 code."""

from __future__ import annotations

from functools import lru_cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record


class Countries(Record):
    """The file of names."""

    names: dict[str, Text]


@lru_cache(maxsize=1)
def _names() -> dict[str, str]:
    return dict(shipped_record("templates/countries.yaml", Countries).names)


def country_name(code: str) -> str:
    """A country's name in everyday English; a code that is not in the table as it stands.

    >>> country_name("NO"), country_name("XK")
    ('Norway', 'XK')
    """
    return _names().get(code, code)
