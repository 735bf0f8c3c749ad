"""The shipping checklist: by way of sending, by country and state, by what is in the boxes, with dates worked back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from functools import lru_cache
from typing import Annotated, Literal, TypeVar, get_args

from pydantic import Field

from entryprep.entering.bottles import stock_of
from entryprep.entering.plan import CheckItem, ShippingList
from entryprep.entering.pressure import TEMPERATURES_C, pressures
from entryprep.entering.season import Entered, Season
from entryprep.quantities import QuantityError
from entryprep.reading.fields import Id, OneOrMore, Record, Text
from entryprep.reading.words import Way
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.tables.rules import rules
from entryprep.tables.shipped import shipped_record
from entryprep.text import day_words, fold
from entryprep.vitals import Reading

CLOSING = (
    "This is not legal advice. Local law and licensed practice decide; check the destination, the carrier and the "
    "competition's own rules."
)
# ISO 3166 codes of the member states
# fmt: off
EU = ("AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU",
      "IE", "IT", "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK")
# fmt: on
BY_DEPOT = ("carrier", "post")
LAST_DAY = {
    "hand": "Bring no later than",
    "drop-off": "Drop off no later than",
    "club": "Hand over no later than",
    "carrier": "Send no later than",
    "post": "Send no later than",
    "flight": "Fly no later than",
}
WITHOUT_YOU = ("club", "carrier", "post", "drop-off")


When = Literal[
    "over-carbonated",
    "chile",
    "foraged",
    "limited",
    "concentrated",
    "bottle-conditioned",
    "wild",
    "by-vehicle",
    "heat",
    "frost",
]
# months in which a van, a depot or a porch gets hot, or beer freezes, north of the equator: common practice
HOT_MONTHS, FROST_MONTHS = (5, 6, 7, 8, 9), (11, 12, 1, 2, 3)
SOUTHERN = ("AR", "AU", "BR", "CL", "NZ", "PY", "UY", "ZA")
PRESSURE_C = (20, 40)
# cautions of the rules that a list of limited or prohibited ingredients is behind
LIMITED = ("coumarin", "prussic-acid", "thujone", "prohibited-root", "quinine-caffeine", "liquorice")


class Item(Record):
    """One line of a checklist, and when it applies; ``country`` and ``state`` are those of one end of the way."""

    id: Id
    kind: Literal["do", "caution", "stop"]
    text: Text
    source: Text
    checked: Annotated[str, Field(pattern=r"^\d{4}-\d{2}(-\d{2})?$")]
    ways: Annotated[tuple[Way, ...], OneOrMore] = ()
    state: Text | None = None
    country: Text | None = None
    abroad: bool = False
    when: When | None = None


class WayRow(Record):
    """A way of sending."""

    id: Way
    name: Text
    items: list[Item]


class Ways(Record):
    """The file of ways."""

    ways: list[WayRow]


class Section(Record):
    """A titled part of the checklist."""

    title: Text
    items: list[Item]


class Sections(Record):
    """The file of what is the same for every way."""

    sections: list[Section]


class Place(Record):
    """A country's file."""

    country: Text
    name: Text
    items: list[Item]


R = TypeVar("R", bound=Record)


@lru_cache(maxsize=16)
def _data(name: str, model: type[R]) -> R:
    return shipped_record(f"templates/shipping/{name}", model)


def way_of(season: Season, competition_id: str, way: str | None = None) -> str:
    """The way of sending: as asked, else of the first entry that says one, else the first the organiser accepts.

    Raises QuantityError for a way that is not known.
    """
    known = get_args(Way)
    if way:
        if way not in known:
            raise QuantityError(f"there is no way of sending called {way}", f"use one of {', '.join(known)}")
        return way
    own = (e.entry.way for e in season.entered if e.competition_id == competition_id and e.entry.way)
    accepted: list[Way] = season.competitions[competition_id].delivery.ways
    return next(own, None) or next(iter(accepted), "carrier")


def shipping_list(season: Season, competition_id: str, way: str | None = None) -> ShippingList:
    """The checklist of one competition for one way. Raises KeyError for a competition the season does not have."""
    competition = season.competitions[competition_id]
    chosen = way_of(season, competition_id, way)
    row = next(w for w in _data("ways.yaml", Ways).ways if w.id == chosen)
    entered = [e for e in season.entered if e.competition_id == competition_id]
    applies = _test(season, competition, chosen, entered)
    law = [item for place in _places(season, competition) for item in place.items if applies(item)]
    sections = [(s.title, _lines(s.items, applies)) for s in _data("packing.yaml", Sections).sections]
    sections.insert(2, ("The law and the way", (*_lines(row.items, applies), *_lines(law, applies))))
    return ShippingList(
        competition_id=competition_id,
        competition=competition.name,
        way=chosen,
        way_name=row.name,
        address=tuple(competition.delivery.address),
        dates=_dates(competition, chosen),
        sections=tuple((title, items) for title, items in sections if items),
        closing=CLOSING,
        pressures=_pressures(season, entered),
    )


def _lines(items: Iterable[Item], applies: Callable[[Item], bool]) -> tuple[CheckItem, ...]:
    return tuple(CheckItem(i.id, i.kind, i.text, i.source, i.checked) for i in items if applies(i))


def _places(season: Season, competition: Competition) -> list[Place]:
    """Files of the countries at both ends, each once; what holds everywhere last."""
    files = {"US": "us", "CA": "ca", "GB": "gb", "AU": "au", **dict.fromkeys(EU, "eu")}
    names = dict.fromkeys(files[country] for country, _ in _ends(season, competition) if country in files)
    return [_data(f"places/{name}.yaml", Place) for name in (*names, "elsewhere")]


def _ends(season: Season, competition: Competition) -> tuple[tuple[str, str], tuple[str, str]]:
    """Country and state of the brewer and of the competition, "" where they are not known."""
    brewer = season.brewer
    own = (brewer.country or "", (brewer.state or "").upper()) if brewer else ("", "")
    return own, (competition.country or "", (competition.state or "").upper())


def _test(season: Season, competition: Competition, way: str, entered: list[Entered]) -> Callable[[Item], bool]:
    ends = _ends(season, competition)
    abroad = all(country for country, _ in ends) and ends[0][0] != ends[1][0]
    there = _what_is_there(season, entered, way) | _season_of_the_year(competition, way)

    def applies(item: Item) -> bool:
        return (
            (not item.ways or way in item.ways)
            and any(item.country in {None, country} and item.state in {None, state} for country, state in ends)
            and (not item.abroad or abroad)
            and (item.when is None or item.when in there)
        )

    return applies


def _what_is_there(season: Season, entered: list[Entered], way: str) -> set[str]:
    there = {"by-vehicle"} if way in WITHOUT_YOU else set()
    for batch in {e.batch_id: e for e in entered}.values():
        record = batch.batch
        there |= {"concentrated"} if record.concentrated else set()
        there |= _ingredients(record)
        there |= {"wild"} if record.traits.fermentation == "wild" else set()
        if record.carbonation and record.carbonation.method == "bottle-conditioned":
            there.add("bottle-conditioned")
        there |= {"over-carbonated"} if _too_lively(season, batch) else set()
    return there


def _season_of_the_year(competition: Competition, way: str) -> set[str]:
    """Whether bottles travel in the heat or the frost, by the month they leave in and the half of the earth."""
    if competition.dates.delivery is None or way not in WITHOUT_YOU:
        return set()
    leaves = competition.dates.delivery.closes - dt.timedelta(days=rules().transit_days[way])
    south = competition.country in SOUTHERN
    month = (leaves.month + 5) % 12 + 1 if south else leaves.month
    return {"heat"} if month in HOT_MONTHS else {"frost"} if month in FROST_MONTHS else set()


def _pressures(season: Season, entered: list[Entered]) -> tuple[tuple[str, ...], ...]:
    """For each beer with known carbonation: volumes, bar at 20 and 40 °C, and what its weakest bottle usually holds."""
    rows = []
    for each in {e.batch_id: e for e in entered}.values():
        co2 = _carbonation(season, each)
        if co2 is None:
            continue
        at = dict(zip(TEMPERATURES_C, pressures(co2.value), strict=True))
        kinds = [bottle.type for bottle in stock_of(each)]
        weakest = min(kinds, key=lambda kind: kind.warn_volumes, default=None)
        held = f"{weakest.name}: {weakest.warn_volumes:.1f}" if weakest else "not known"
        over = weakest is not None and co2.value > weakest.warn_volumes
        name = each.entry.number or each.code
        bar = [f"{at[celsius] / 100:.1f}" for celsius in PRESSURE_C]
        rows.append((name, each.batch.name, f"{co2.value:.1f}", *bar, f"{held}{': TOO LIVELY' if over else ''}"))
    return tuple(rows)


def _ingredients(batch: Batch) -> set[str]:
    """Which cautions what was added, or is declared, calls for; the words are those of the rules."""
    texts = [f"{a.what} {a.form or ''}" for a in batch.additions or ()]
    texts += [text for item, text in batch.declare.items() if item not in {"description", "base"}]
    keys = [fold(text) for text in texts]
    found = {row.id for row, search in rules().cautions if any(search.first_in(key) for key in keys)}
    return (found & {"chile", "foraged"}) | ({"limited"} if found.intersection(LIMITED) else set())


def _carbonation(season: Season, entered: Entered) -> Reading | None:
    beer = season.beer(entered.batch_id)
    return beer.vitals.co2 if beer else None


def _too_lively(season: Season, entered: Entered) -> bool:
    co2 = _carbonation(season, entered)
    return co2 is not None and any(co2.value > bottle.type.warn_volumes for bottle in stock_of(entered))


def _dates(competition: Competition, way: str) -> tuple[tuple[str, str], ...]:
    """Titled days, in order: registration, when to send, delivery, judging."""
    dates = competition.dates
    rows: list[tuple[str, str]] = []
    if dates.registration:
        rows.append(("Registration closes", day_words(dates.registration.closes)))
    if dates.delivery:
        days = rules().transit_days[way]
        last = weekday_before(dates.delivery.closes - dt.timedelta(days=days), way)
        weekends = ", weekends avoided" if way in BY_DEPOT else ""
        words = f"{day_words(last)} ({days} days on the way{weekends})" if days else day_words(last)
        rows.append((LAST_DAY[way], words))
        if dates.delivery.opens:
            rows.append(("Not to arrive before", day_words(dates.delivery.opens)))
        rows.append(("Last day of delivery", day_words(dates.delivery.closes)))
    if dates.judging:
        rows.append(("Judging", day_words(dates.judging)))
    return tuple(rows)


def weekday_before(day: dt.date, way: str) -> dt.date:
    """The same day, or for carriers and post the Wednesday or earlier weekday before: no depot over a weekend."""
    while way in BY_DEPOT and day.weekday() > 2:
        day -= dt.timedelta(days=1)
    return day
