"""The shipping checklist: by way of sending, by country and state, by what is in the boxes, with dates worked back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Annotated, Literal, NamedTuple, TypeVar, get_args

from pydantic import Field

from entryprep.beer.pressure import TEMPERATURES_C, pressures
from entryprep.beer.routing import is_concentrated
from entryprep.entering.bottles import allocate, stock_of
from entryprep.entering.plan import CheckItem, Milestone, Pressure, ShippingList, Take
from entryprep.entering.season import Entered, Season
from entryprep.measures import both_masses, in_units
from entryprep.quantities import QuantityError
from entryprep.reading.fields import Id, OneOrMore, Record, Text
from entryprep.reading.words import Way
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.tables.bottles import bottle_types
from entryprep.tables.countries import EU, country_name, place_name, states_of
from entryprep.tables.rules import rules
from entryprep.tables.shipped import shipped_record
from entryprep.tables.vocabulary import named_in
from entryprep.text import several
from entryprep.vitals import Reading

CLOSING = (
    "This is not legal advice. Local law and licensed practice decide; check the destination, the carrier and the "
    "competition's own rules."
)
FILES = {"US": "us", "CA": "ca", "GB": "gb", "AU": "au", **dict.fromkeys(EU, "eu")}  # of places, by country
BY_STATE = ("US", "CA", "AU")  # countries whose states or provinces have laws of their own on it
CARRIED = ("carrier", "post")  # over a border by others, with a customs form
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
SOUTHERN = ("AR", "AU", "BO", "BR", "BW", "CL", "LS", "MG", "MZ", "NA", "NZ", "PE", "PY", "SZ", "UY", "ZA", "ZM", "ZW")
PRESSURE_C = (20, 40)
# cautions of the rules that a list of limited or prohibited ingredients is behind
LIMITED = ("coumarin", "prussic-acid", "thujone", "prohibited-root", "quinine-caffeine", "liquorice")


class Item(Record):
    """One line of a checklist, and when it applies; ``country`` and ``state`` are those of one end of the way.

    ``into``: only where the country is that of the competition. A ``danger`` stands before anything is packed.
    """

    id: Id
    kind: Literal["do", "caution", "stop"]
    text: Text
    source: Text
    checked: Annotated[str, Field(pattern=r"^\d{4}-\d{2}(-\d{2})?$")] | None = None
    ways: Annotated[tuple[Way, ...], OneOrMore] = ()
    state: Text | None = None
    country: Text | None = None
    abroad: bool = False
    into: bool = False
    when: When | None = None
    danger: bool = False


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
    """A country's file. ``look_up`` and ``customs`` are of what holds everywhere: rows with named fields in braces."""

    country: Text
    name: Text
    items: list[Item]
    look_up: dict[Literal["country", "state"], Item] = Field({})
    customs: list[Item] = Field([])


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
    packed = pressures_packed(season, entered)
    applies = _test(season, competition, chosen, entered, {name for name, each in packed.items() if each.danger})
    law = [item for place in _places(season, competition) for item in place.items if applies(item)]
    law = [*law, *_unknown(season, competition)]
    sections = [(s.title, _lines(s.items, applies, own=True)) for s in _data("packing.yaml", Sections).sections]
    sections.insert(2, ("The law and the way", (*_lines(row.items, applies), *_lines(law, lambda _: True))))
    customs = _customs(season, competition, chosen, entered)
    if customs:
        sections.insert(2, ("For the customs", customs))
    days = milestones(competition, chosen)
    return ShippingList(
        competition_id=competition_id,
        competition=competition.name,
        way=chosen,
        way_name=row.name,
        address=tuple(competition.delivery.address),
        dates=tuple((each.title, each.words) for each in days),
        sections=tuple((title, items) for title, items in sections if items),
        closing=CLOSING,
        pressures=tuple(packed.values()),
        timeline=days,
    )


def _lines(items: Iterable[Item], applies: Callable[[Item], bool], own: bool = False) -> tuple[CheckItem, ...]:
    """The items that apply. Those of a law or a carrier keep its figures; ``own`` words are in the units spoken."""
    said = in_units if own else str
    return tuple(
        CheckItem(i.id, i.kind, said(i.text), said(i.source), i.checked or "", i.danger) for i in items if applies(i)
    )


def _places(season: Season, competition: Competition) -> list[Place]:
    """Files of the countries at both ends, each once; what holds everywhere last."""
    names = dict.fromkeys(FILES[country] for country, _ in _ends(season, competition) if country in FILES)
    return [_data(f"places/{name}.yaml", Place) for name in (*names, "elsewhere")]


def _unknown(season: Season, competition: Competition) -> Iterator[Item]:
    """For each end of the way, that its law is to be looked up, where nothing is known here of country or state."""
    rows = _data("places/elsewhere.yaml", Place).look_up
    for country, state in dict.fromkeys(_ends(season, competition)):
        if country and country not in FILES:
            row, place = rows["country"], country_name(country)
        elif country in BY_STATE and state in states_of(country) and not _known(country, state):
            row, place = rows["state"], place_name(country, state)
        else:
            continue
        told = {"id": f"{row.id}-{country}-{state}".lower().rstrip("-"), "text": row.text.format(place=place)}
        yield row.model_copy(update=told)


def _known(country: str, state: str) -> bool:
    return any(item.state == state for item in _data(f"places/{FILES[country]}.yaml", Place).items)


def _customs(season: Season, competition: Competition, way: str, entered: Sequence[Entered]) -> tuple[CheckItem, ...]:
    """What the customs are told of boxes that others carry over a border: in words that can be copied."""
    (home, _), (there, _) = _ends(season, competition)
    if way not in CARRIED or not home or not there or home == there or (home in EU and there in EU):
        return ()
    takes = allocate(season)
    bottles = sum(take.count for e in entered for take in takes[e.index])
    kilograms = sum(take.count * take.full_g for e in entered for take in takes[e.index]) / 1000
    known = (season.beer(e.batch_id) for e in entered)
    strengths = sorted(beer.vitals.abv.value for beer in known if beer is not None and beer.vitals.abv is not None)
    values = {"bottles": several(bottles, "bottle"), "mass": both_masses(kilograms), "home": country_name(home)}
    values["strength"] = _strengths(strengths)
    rows = _data("places/elsewhere.yaml", Place).customs
    return tuple(CheckItem(i.id, i.kind, i.text.format_map(values), i.source, i.checked or "") for i in rows)


def _strengths(known: Sequence[float]) -> str:
    """Alcohol as it stands on a form: one figure, or the least and the most."""
    if not known:
        return "alcohol: measure it and say it"
    low, high = f"{known[0]:.1f}", f"{known[-1]:.1f}"
    return f"{low if low == high else f'{low} to {high}'} % alcohol by volume"


def _ends(season: Season, competition: Competition) -> tuple[tuple[str, str], tuple[str, str]]:
    """Country and state of the brewer and of the competition, "" where they are not known."""
    brewer = season.brewer
    own = (brewer.country or "", (brewer.state or "").upper()) if brewer else ("", "")
    return own, (competition.country or "", (competition.state or "").upper())


def _test(
    season: Season, competition: Competition, way: str, entered: list[Entered], lively: set[str]
) -> Callable[[Item], bool]:
    ends = _ends(season, competition)
    abroad = all(country for country, _ in ends) and ends[0][0] != ends[1][0]
    there = _what_is_there(entered, way, lively) | _season_of_the_year(competition, way)

    def applies(item: Item) -> bool:
        return (
            (not item.ways or way in item.ways)
            and any(item.country in {None, country} and item.state in {None, state} for country, state in ends)
            and (not item.abroad or abroad)
            and (not item.into or item.country == ends[1][0])
            and (item.when is None or item.when in there)
        )

    return applies


def _what_is_there(entered: list[Entered], way: str, lively: set[str]) -> set[str]:
    there = {"by-vehicle"} if way in WITHOUT_YOU else set()
    for batch in {e.batch_id: e for e in entered}.values():
        record = batch.batch
        there |= {"concentrated"} if is_concentrated(record) else set()
        there |= _ingredients(record)
        there |= {"wild"} if record.traits.fermentation == "wild" else set()
        if record.carbonation and record.carbonation.method == "bottle-conditioned":
            there.add("bottle-conditioned")
        there |= {"over-carbonated"} if batch.batch_id in lively else set()
    return there


def _season_of_the_year(competition: Competition, way: str) -> set[str]:
    """Whether bottles travel in the heat or the frost, by the month they leave in and the half of the earth."""
    if competition.dates.delivery is None or way not in WITHOUT_YOU:
        return set()
    leaves = competition.dates.delivery.closes - dt.timedelta(days=rules().transit_days[way])
    south = competition.country in SOUTHERN
    month = (leaves.month + 5) % 12 + 1 if south else leaves.month
    return {"heat"} if month in HOT_MONTHS else {"frost"} if month in FROST_MONTHS else set()


def pressures_packed(season: Season, entered: Iterable[Entered]) -> dict[str, Pressure]:
    """By batch, for beers of known carbonation: the gas in the bottles that are packed, and what the weakest holds."""
    takes, own = allocate(season), dict[str, list[Entered]]()
    for each in entered:
        own.setdefault(each.batch_id, []).append(each)
    found = {}
    for batch_id, entries in own.items():
        kinds = _packed(entries, takes)
        co2 = _carbonation(season, entries[0])
        if co2 is None or not kinds:
            continue
        at = dict(zip(TEMPERATURES_C, pressures(co2.value), strict=True))
        cool, hot = (at[celsius] / 100 for celsius in PRESSURE_C)
        weak = min(kinds, key=lambda kind: (kind.most, kind.usual))
        name, beer = entries[0].entry.number or entries[0].code, entries[0].batch.name
        found[batch_id] = Pressure(name, beer, co2.value, cool, hot, weak.name, weak.usual, weak.most)
    return found


class _Kind(NamedTuple):
    """A kind of bottle that is packed, and the volumes it usually and at most holds."""

    name: str
    usual: float
    most: float


def _packed(entries: Sequence[Entered], takes: Mapping[int, tuple[Take, ...]]) -> list[_Kind]:
    """The kinds of bottle that entries of one beer take, or that lie in the cellar where they can take none."""
    known = bottle_types()
    types = [known[take.bottle_type] for entered in entries for take in takes[entered.index]]
    types = types or [bottle.type for bottle in stock_of(entries[0])]
    return [_Kind(kind.called, kind.warn_volumes, kind.stop_volumes) for kind in types]


def _ingredients(batch: Batch) -> set[str]:
    """Which cautions what was added, or is declared, calls for."""
    texts = [f"{a.what}, {a.form or ''}" for a in batch.additions or ()]
    texts += [text for item, text in batch.declare.items() if item not in {"description", "base"}]
    found = set(named_in(*texts).cautions)
    return (found & {"chile", "foraged"}) | ({"limited"} if found.intersection(LIMITED) else set())


def _carbonation(season: Season, entered: Entered) -> Reading | None:
    beer = season.beer(entered.batch_id)
    return beer.vitals.co2 if beer else None


def milestones(competition: Competition, way: str) -> tuple[Milestone, ...]:
    """The days of a competition in order: registration, when to send, delivery, judging."""
    dates, name = competition.dates, competition.name
    found: list[Milestone] = []
    if dates.registration:
        found.append(Milestone("Registration closes", dates.registration.closes, name))
    if dates.delivery:
        days = rules().transit_days[way]
        last = weekday_before(dates.delivery.closes - dt.timedelta(days=days), way)
        weekends = ", weekends avoided" if way in BY_DEPOT else ""
        found.append(Milestone(LAST_DAY[way], last, name, f"{days} days on the way{weekends}" if days else ""))
        if dates.delivery.opens:
            found.append(Milestone("Not to arrive before", dates.delivery.opens, name))
        found.append(Milestone("Last day of delivery", dates.delivery.closes, name))
    if dates.judging:
        found.append(Milestone("Judging", dates.judging, name))
    return tuple(found)


def weekday_before(day: dt.date, way: str) -> dt.date:
    """The same day, or for carriers and post the Wednesday or earlier weekday before: no depot over a weekend."""
    while way in BY_DEPOT and day.weekday() > 2:
        day -= dt.timedelta(days=1)
    return day
