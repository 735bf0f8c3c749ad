"""Places: countries by ISO 3166-1 code, states and provinces by ISO 3166-2, and how people write them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Annotated, Any

from pydantic import BeforeValidator

from entryprep.reading.fields import Record, Text, refuse
from entryprep.tables.shipped import shipped_record
from entryprep.text import name_key, nearest, shown

# ISO 3166 codes of the member states of the European Union
# fmt: off
EU = ("AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU",
      "IE", "IT", "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK")
# fmt: on


class Countries(Record):
    """The file of places: names by code, other spellings by code, and the same of states by country."""

    names: dict[str, Text]
    also: dict[str, list[Text]]
    states: dict[str, dict[str, Text]]
    states_also: dict[str, dict[str, list[Text]]]


@lru_cache(maxsize=1)
def _table() -> Countries:
    return shipped_record("templates/countries.yaml", Countries)


def country_name(code: str) -> str:
    """A country's name in everyday English; a code that is not in the table as it stands.

    >>> country_name("NO"), country_name("XX")
    ('Norway', 'XX')
    """
    return _table().names.get(code, code)


def state_name(country: str, state: str) -> str:
    """A state's or province's name; a code that is not in the table as it stands.

    >>> state_name("US", "OR"), state_name("NO", "03")
    ('Oregon', '03')
    """
    return _table().states.get(country, {}).get(state, state)


def states_of(country: str) -> Mapping[str, str]:
    """Names of the states or provinces of a country by their codes; empty where the table has none."""
    return _table().states.get(country, {})


def place_name(country: str, state: str = "") -> str:
    """A place in words: ``Oregon, United States``; the country alone where no state is known."""
    return f"{state_name(country, state)}, {country_name(country)}" if state else country_name(country)


@lru_cache(maxsize=1)
def _countries() -> Mapping[str, str]:
    """Codes by every way to write a country, folded."""
    table = _table()
    found = {name_key(name): code for code, names in table.also.items() for name in names}
    return {**found, **{name_key(name): code for code, name in table.names.items()}}


@lru_cache(maxsize=1)
def _states() -> Mapping[str, str]:
    """Codes by every name of a state, folded; no two of the table have one name."""
    table = _table()
    found = {name_key(name): code for states in table.states.values() for code, name in states.items()}
    for states in table.states_also.values():
        found |= {name_key(name): code for code, names in states.items() for name in names}
    return found


def read_country(value: Any) -> Any:
    """The ISO 3166-1 code of a country, by its code or its name in English, its own or a neighbour's language.

    Raises PydanticCustomError for a text that is none of them, with the nearest name.
    """
    if not isinstance(value, str):
        return value
    text = value.strip()
    if text.upper() in _table().names:
        return text.upper()
    code = _countries().get(name_key(text))
    if code is None:
        near = nearest(name_key(text), list(_countries()))
        hint = f"Did you mean {country_name(_countries()[near[0]])}?" if near else ""
        by_code = "write its name or its ISO 3166-1 code, such as Norway or NO"
        raise refuse(f"{shown(text)} is no country", hint or by_code)
    return code


def read_state(value: Any) -> Any:
    """The code of a state or province, by its name where the table has it; any other text in capitals as it stands."""
    if not isinstance(value, str):
        return value
    text = value.strip()
    return _states().get(name_key(text), text.upper() if len(text) <= 3 else text)


Country = Annotated[str, BeforeValidator(read_country)]
State = Annotated[Text, BeforeValidator(read_state)]
