"""Days worked back, time zones, and the calendar file, read back by a parser that is not the one that wrote it."""

from __future__ import annotations

import datetime as dt
import importlib.resources
import re
from collections import defaultdict
from collections.abc import Mapping
from zoneinfo import ZoneInfo

import pytest

from entryprep.entering.planning.calendar import Day, season_days
from entryprep.entering.planning.dates import deadlines, freshness
from entryprep.entering.planning.ics import ics, uid
from entryprep.entering.planning.zones import _zones, zone_of
from entryprep.entering.season import Season
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.records.entry import Entry
from entryprep.tables.styles import load_styles

TODAY = dt.date(2027, 1, 10)
CUP = {
    "name": "Harbour; Cup, „1“",
    "place": "Ebbing",
    "country": "US",
    "state": "WA",
    "dates": {
        "registration": {"opens": "2027-01-20", "closes": "2027-02-10"},
        "delivery": {"opens": "2027-03-08", "closes": "2027-03-14"},
        "judging": "2027-03-20",
    },
    "delivery": {"ways": ["carrier"]},
    "categories": [{"code": "4", "name": "Porter"}],
}


def a_season(batch: Mapping[str, object], **changes: object) -> Season:
    made = Batch.model_validate({"name": "Night Ferry", "style": "American porter", **batch})
    cup = Competition.model_validate({**CUP, **changes})
    return Season.build({"ferry": made}, {"cup": cup}, [Entry(batch="ferry", competition="cup", category="4")])


def by_kind(season: Season) -> dict[str, Day]:
    return {day.kind: day for day in season_days(season, TODAY)}


def test_every_day_is_worked_back_from_the_last_of_delivery() -> None:
    conditioned = {
        "carbonation": {"method": "bottle-conditioned", "weeks_needed": 3},
        "traits": {"fermentation": "ale"},
    }
    days = {kind: day.day for kind, day in by_kind(a_season(conditioned)).items()}
    # Sunday the 14th less five days with a carrier is Tuesday the 9th; it leaves Monday to Wednesday
    assert days["send"] == dt.date(2027, 3, 9)
    assert days["conditioned"] == dt.date(2027, 3, 9)
    assert days["package"] == dt.date(2027, 2, 16)
    assert days["brew"] == dt.date(2027, 1, 26)
    assert (days["register"], days["deliver"], days["judge"]) == (
        dt.date(2027, 2, 10),
        dt.date(2027, 3, 14),
        dt.date(2027, 3, 20),
    )


def test_a_beer_in_bottles_has_only_its_conditioning_before_it() -> None:
    own = {"carbonation": {"method": "bottle-conditioned", "started": "2027-01-03"}}
    days = by_kind(a_season(own))
    assert "package" not in days
    assert "brew" not in days
    assert days["conditioned"].day == dt.date(2027, 1, 17)


def test_what_is_past_and_not_done_is_late() -> None:
    days = by_kind(a_season({"traits": {"fermentation": "lager"}, "carbonation": {"method": "forced"}}))
    # 49 days before the 9th of March is the 19th of January, a lager's usual time (common practice, from memory)
    assert (days["brew"].day, days["brew"].late) == (dt.date(2027, 1, 19), False)
    later = season_days(a_season({"traits": {"fermentation": "lager"}}), dt.date(2027, 1, 20))
    assert next(day for day in later if day.kind == "brew").late


def test_freshness_halves_for_every_span_of_the_style_that_goes_by() -> None:
    style = load_styles().find("American IPA")
    best = style.best_within_months
    assert best
    season = a_season({})
    days = deadlines(season, "cup")

    def fresh(months: float) -> float:
        packaged = dt.date(2027, 3, 20) - dt.timedelta(days=round(months * 365.25 / 12))
        return freshness(Batch.model_validate({"name": "x", "dates": {"packaged": packaged}}), style, days)

    assert fresh(best * 0.9) == 1
    assert fresh(best * 2) == pytest.approx(0.5, abs=0.01)
    assert fresh(best * 3) == pytest.approx(0.25, abs=0.01)


# --- the file


def unfolded(content: bytes) -> list[tuple[str, dict[str, str], str]]:
    """Lines of an iCalendar file by RFC 5545, 3.1: CRLF, folded at 75 octets; name, parameters, value."""
    assert content.endswith(b"\r\n")
    lines = content[:-2].split(b"\r\n")
    assert all(len(line) <= 75 and b"\n" not in line and b"\r" not in line for line in lines)
    whole: list[bytes] = []
    for line in lines:
        if line[:1] in {b" ", b"\t"}:
            whole[-1] += line[1:]
        else:
            whole.append(line)
    found = []
    for each in whole:
        match = re.fullmatch(r'([A-Z0-9-]+)((?:;[A-Z0-9-]+=(?:"[^"]*"|[^";:,]*))*):(.*)', each.decode("utf-8"))
        assert match, each
        parameters = dict(part.split("=", 1) for part in match[2].split(";")[1:])
        found.append((match[1], parameters, match[3]))
    return found


def components(content: bytes) -> dict[str, list[dict[str, list[tuple[dict[str, str], str]]]]]:
    """Properties of every component by its kind; what begins has to end in order."""
    found = defaultdict(list)
    stack: list[tuple[str, dict[str, list[tuple[dict[str, str], str]]]]] = []
    for name, parameters, value in unfolded(content):
        if name == "BEGIN":
            stack.append((value, defaultdict(list)))
            found[value].append(stack[-1][1])
        elif name == "END":
            assert stack.pop()[0] == value
        else:
            stack[-1][1][name].append((parameters, value))
    assert not stack
    return found


def text(value: str) -> str:
    """A text value without its escapes (RFC 5545, 3.3.11); what must be escaped is."""
    assert not re.search(r"(?<!\\)(?:\\\\)*[,;]", value)
    return re.sub(r"\\([\\;,nN])", lambda m: "\n" if m[1] in "nN" else m[1], value)


def test_the_calendar_is_read_back_by_another_parser() -> None:
    season = a_season({})
    days = season_days(season, TODAY)
    found = components(ics(season, days, TODAY))
    assert [(c["VERSION"], c["PRODID"]) for c in found["VCALENDAR"]] == [
        ([({}, "2.0")], [({}, "-//entryprep//season//EN")])
    ]
    events = found["VEVENT"]
    assert [text(e["SUMMARY"][0][1]) for e in events] == [day.words for day in days]
    assert len(found["VALARM"]) == len(events)
    for event, alarm, day in zip(events, found["VALARM"], days, strict=True):
        assert event["UID"] == [({}, uid(season, day))]
        assert event["DTSTAMP"] == [({}, "20270110T000000Z")]
        parameters, start = event["DTSTART"][0]
        assert start.startswith(f"{day.day:%Y%m%d}")
        if day.kind in {"register", "deliver", "judge"}:
            assert (parameters, start[8:]) == ({"TZID": "America/Los_Angeles"}, "T000000")
        else:
            assert parameters == {"VALUE": "DATE"}
            assert event["DTEND"][0][1] == f"{day.day + dt.timedelta(days=1):%Y%m%d}"
        assert alarm["ACTION"] == [({}, "DISPLAY")]
        assert re.fullmatch(r"-?P(\d+D)?(T\d+H)?", alarm["TRIGGER"][0][1])


def test_the_zone_in_the_file_gives_the_offsets_of_the_database() -> None:
    season = a_season({})
    found = components(ics(season, season_days(season, TODAY), TODAY))
    (zone,) = found["VTIMEZONE"]
    assert zone["TZID"] == [({}, "America/Los_Angeles")]
    onsets = []
    for part in (*found["STANDARD"], *found["DAYLIGHT"]):
        times = [part["DTSTART"][0][1], *(t for _, v in part.get("RDATE", []) for t in v.split(","))]
        onsets += [(dt.datetime.strptime(t, "%Y%m%dT%H%M%S"), part["TZOFFSETTO"][0][1]) for t in times]
    for day in (dt.datetime(2027, 2, 10), dt.datetime(2027, 3, 14), dt.datetime(2027, 3, 20)):
        offset = max((when, to) for when, to in onsets if when <= day)[1]
        assert day.replace(tzinfo=ZoneInfo("America/Los_Angeles")).strftime("%z") == offset


def test_ids_stay_when_days_move_and_bytes_when_they_do_not() -> None:
    season = a_season({})
    moved = a_season({}, dates={**CUP["dates"], "judging": "2027-04-03"})  # type: ignore[dict-item]
    ids = {uid(season, day) for day in season_days(season, TODAY)}
    assert ids == {uid(moved, day) for day in season_days(moved, TODAY)}
    assert len(ids) == len(season_days(season, TODAY))
    first, second = (ics(s, season_days(s, TODAY), TODAY) for s in (season, a_season({})))
    assert first == second


def test_without_a_known_zone_every_day_is_all_day() -> None:
    season = a_season({}, state="ID")
    found = components(ics(season, season_days(season, TODAY), TODAY))
    assert "VTIMEZONE" not in found
    assert all(event["DTSTART"][0][0] == {"VALUE": "DATE"} for event in found["VEVENT"])


# --- zones, against the IANA database itself


def zone_table() -> dict[str, set[str]]:
    """Zones of each country by zone.tab of the database."""
    zones: dict[str, set[str]] = defaultdict(set)
    content = importlib.resources.files("tzdata.zoneinfo").joinpath("zone.tab").read_text(encoding="utf-8")
    for line in content.splitlines():
        if line and not line.startswith("#"):
            code, _, name = line.split("\t")[:3]
            zones[code].add(name)
    return zones


def test_zones_are_those_of_their_country_in_the_database() -> None:
    table = zone_table()
    several = {"DE", "ES", "NZ", "PT"}
    for country, zone in _zones().countries.items():
        assert zone in table[country], country
        assert len(table[country]) == 1 or country in several, country
    for country, states in _zones().states.items():
        for state, zone in states.items():
            assert zone in table[country], state


def test_a_record_may_name_the_zone_itself() -> None:
    assert zone_of(Competition.model_validate({**CUP, "time_zone": "America/Boise"})) == "America/Boise"
    assert zone_of(Competition.model_validate({**CUP, "state": "ID"})) is None
    with pytest.raises(ValueError, match="is not a time zone"):
        Competition.model_validate({**CUP, "time_zone": "Marram"})
