"""Places: codes by ISO 3166 as the IANA time zone database lists them (iso3166.tab); the rest from memory."""

from __future__ import annotations

import importlib.resources
import re

import pytest
from pydantic_core import PydanticCustomError

from entryprep.reading.yamltext import RecordError
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Category, Competition
from entryprep.tables.countries import EU, country_name, place_name, read_country, read_state, states_of

# abbreviations of the US postal service, which ISO 3166-2:US takes over, from memory
STATES = set(
    re.findall(
        "[A-Z]{2}",
        "AL AK AZ AR CA CO CT DE DC FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY NC ND OH "
        "OK OR PA RI SC SD TN TX UT VT VA WA WV WI WY",
    )
)


def iso() -> dict[str, str]:
    content = importlib.resources.files("tzdata.zoneinfo").joinpath("iso3166.tab").read_text(encoding="utf-8")
    return dict(line.split("\t") for line in content.splitlines() if line and not line.startswith("#"))


def test_every_code_of_the_standard_has_a_name_and_no_other_but_kosovo() -> None:
    known = iso()
    assert len(known) >= 249
    assert {code for code in known if country_name(code) == code} == set()
    assert read_country("XK") == "XK"
    for code in ("XX", "ZZ", "EU"):
        with pytest.raises(PydanticCustomError):
            read_country(code)


def test_names_are_those_of_the_database_but_for_short_forms() -> None:
    alike = sum(country_name(code).casefold() == name.replace("&", "and").casefold() for code, name in iso().items())
    assert alike > 200


def test_all_states_of_the_us_and_the_district() -> None:
    assert set(states_of("US")) == STATES
    assert len(STATES) == 51
    assert place_name("US", "DC") == "District of Columbia, United States"


def test_the_union_has_its_members() -> None:
    assert len(EU) == 27
    assert set(EU) <= iso().keys()


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("Deutschland", "DE"),
        ("germany", "DE"),
        ("Österreich", "AT"),
        ("Norge", "NO"),
        ("no", "NO"),
        ("UK", "GB"),
        ("Scotland", "GB"),
        ("U.S.A.", "US"),
        ("Éire", "IE"),
        ("日本", "JP"),
        ("대한민국", "KR"),
        ("Ελλάδα", "GR"),
        ("Україна", "UA"),
        ("Brasil", "BR"),
        ("Suid-Afrika", "ZA"),
        ("Aotearoa", "NZ"),
        ("Czech Republic", "CZ"),
        ("méxico", "MX"),
        ("Schweiz", "CH"),
        ("suisse", "CH"),
        ("Türkiye", "TR"),
        ("Turkey", "TR"),
    ],
)
def test_a_country_is_found_however_it_is_written(written: str, code: str) -> None:
    assert Brewer(name="Ødger Kvist", country=written).country == code
    cup = Competition(name="Cup", country=written, categories=[Category(code="A", name="Ales")])
    assert cup.country == code


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("Oregon", "OR"),
        ("or", "OR"),
        ("Québec", "QC"),
        ("Western Australia", "WA"),
        ("washington", "WA"),
        ("Oslo", "Oslo"),
    ],
)
def test_a_state_is_found_by_its_name(written: str, code: str) -> None:
    assert read_state(written) == code


def test_what_is_no_country_is_told_with_the_nearest() -> None:
    with pytest.raises(RecordError, match=r"Nrway is no country") as refused:
        Brewer(name="Ødger Kvist", country="Nrway")
    assert refused.value.findings[0].fix == "Did you mean Norway?"


def test_no_two_countries_are_written_alike() -> None:
    from entryprep.tables.countries import _table

    table = _table()
    spellings = [(code, name) for code, names in table.also.items() for name in names]
    assert set(table.also) <= table.names.keys()
    assert {(code, name) for code, name in spellings if read_country(name) != code} == set()
