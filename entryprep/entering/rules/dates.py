"""Rules on dates and ways: registration, delivery, conditioning, freshness, and how the bottles travel."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from entryprep.entering.rules.context import Context, Hit, Place, Rule
from entryprep.entering.season import Entered
from entryprep.quantities import DAYS_PER_MONTH
from entryprep.records.batch import Batch
from entryprep.tables.style import Style
from entryprep.text import day_words, several
from entryprep.vitals import amount

SOON_DAYS = 3
FRESH_MONTHS = 4.0  # styles at their best for no longer than this live on freshness (common practice)
HOPPY_MONTHS = 3.0  # a hoppy beer of no known style (common practice)
NONMAILABLE_ABV = 0.5  # USPS Publication 52, section 422
CARRIED = ("carrier", "post", "club")  # by others, to an address
WAY_WORDS = {
    "hand": "by hand",
    "drop-off": "by way of a drop-off point",
    "club": "with a club's delivery",
    "carrier": "by carrier",
    "post": "by post",
    "flight": "in luggage on a flight",
}


def registration(context: Context, competition_id: str) -> Iterator[Hit]:
    """Registration over, not open, or closing, while entries have no number; a number shows they are registered."""
    competition = context.season.competitions[competition_id]
    window = competition.dates.registration
    without = [e for e in context.by_competition.get(competition_id, []) if not e.entry.number]
    if window is None or not without:
        return
    values: dict[str, object] = {"competition": competition.name, "closes": day_words(window.closes)}
    values["count"] = several(len(without), "entry has", "entries have")
    left = (window.closes - context.today).days
    closes = context.at_competition(competition_id, "dates", "registration", "closes")
    if window.opens and context.today < window.opens:
        values |= {"opens": day_words(window.opens), "days": several((window.opens - context.today).days, "day")}
        place = context.at_competition(competition_id, "dates", "registration", "opens")
        yield Hit("registration-not-open", place, competition_id, values)
    elif left < 0:
        yield Hit("registration-closed", closes, competition_id, values)
    elif left <= SOON_DAYS:
        values["days"] = several(left, "day")
        yield Hit("registration-soon", closes, competition_id, values)


def delivery(context: Context, competition_id: str) -> Iterator[Hit]:
    """Delivery over, or bottles that must leave within days, or can no longer arrive the way they are to go."""
    competition = context.season.competitions[competition_id]
    entries, window = context.by_competition.get(competition_id, []), competition.dates.delivery
    if window is None or not entries:
        return
    if context.today > window.closes:
        values: dict[str, object] = {"competition": competition.name, "closes": day_words(window.closes)}
        place = context.at_competition(competition_id, "dates", "delivery", "closes")
        yield Hit("delivery-closed", place, competition_id, values)
        return
    first_by_way = {entered.entry.way: entered for entered in reversed(entries)}
    for way, entered in first_by_way.items():
        yield from _tight(context, entered, way, window.closes)


def _tight(context: Context, entered: Entered, way: str | None, closes: dt.date) -> Iterator[Hit]:
    days = context.rules.transit_days[way] if way else 0
    leave_by = closes - dt.timedelta(days=days)
    left = (leave_by - context.today).days
    if left > SOON_DAYS:
        return
    how = WAY_WORDS[way] if way else "whichever way they go"
    values: dict[str, object] = {"closes": day_words(closes), "leave_by": day_words(leave_by)}
    values["way"] = f"{how} (about {several(days, 'day')})" if days else how
    values["leave"] = "had to leave" if left < 0 else "must leave"
    quicker = "choose a quicker way that the organiser accepts, or ask whether they may come later"
    quicker += "; `--today` judges by another day"
    values["remedy"] = quicker if left < 0 else f"pack now: {several(left, 'day')} left"
    yield Hit("delivery-tight", context.at_entry(entered, "way"), entered.competition_id, values, milder=left >= 0)


def conditioning(context: Context, entered: Entered) -> Iterator[Hit]:
    """Bottle conditioning that ends after judging, or (a lesser case) after delivery closes."""
    record, dates = entered.batch.carbonation, entered.competition.dates
    if record is None or record.method != "bottle-conditioned":
        return
    started = record.started or entered.batch.dates.packaged
    if started is None:
        return
    ready = started + dt.timedelta(days=round(record.weeks_needed * 7))
    closes = dates.delivery.closes if dates.delivery else None
    if dates.judging and ready > dates.judging:
        late, milder = f"after judging on {day_words(dates.judging)}", False
    elif closes and ready > closes:
        late, milder = f"after delivery closes on {day_words(closes)}", True
    else:
        return
    values: dict[str, object] = {"started": day_words(started), "ready": day_words(ready), "late": late}
    values["weeks"] = f"{record.weeks_needed:g} week{'s' * (record.weeks_needed != 1)}"
    path = ("carbonation", "started") if record.started else ("dates", "packaged")
    yield Hit("conditioning-unfinished", context.at_batch(entered.batch_id, *path), entered.label, values, milder)


def freshness(context: Context, entered: Entered) -> Iterator[Hit]:
    """A beer older at judging than its style is at its best."""
    packaged, dates = entered.batch.dates.packaged, entered.competition.dates
    judged = dates.judging or (dates.delivery.closes if dates.delivery else None)
    style = context.beer(entered).said.style
    best = best_within(style, entered.batch)
    if packaged is None or judged is None or best is None:
        return
    fresh = best <= FRESH_MONTHS or _is_hoppy(style, entered.batch)
    age = (judged - packaged).days / DAYS_PER_MONTH
    if age > best:
        values: dict[str, object] = {"age": f"{age:.1f} months", "best": f"{best:g} months"}
        values["judging"] = day_words(judged)
        values["style"] = style.name if style else "a hoppy beer"
        place = context.at_batch(entered.batch_id, "dates", "packaged")
        yield Hit("hoppy-old" if fresh else "past-best", place, entered.label, values)


def best_within(style: Style | None, batch: Batch) -> float | None:
    """Months from packaging while the beer is at its best: its style's, or a hoppy beer's; None if not known."""
    if style is not None and style.best_within_months is not None:
        return style.best_within_months
    return HOPPY_MONTHS if _is_hoppy(style, batch) else None


def _is_hoppy(style: Style | None, batch: Batch) -> bool:
    return batch.traits.hops == "high" or (style is not None and style.traits.get("hops", ())[:1] == ("high",))


def ways(context: Context, entered: Entered) -> Iterator[Hit]:
    """Beer in the US Mail, and ways that the organiser does not accept."""
    way, rules, brewer = entered.entry.way, entered.competition.delivery, context.season.brewer
    if way is None:
        return
    vitals = context.vitals(entered.batch_id)
    reading = vitals.get("abv") if vitals else None
    usa = "US" in {entered.competition.country, brewer.country if brewer else None}
    if way == "post" and usa and (reading is None or reading.value >= NONMAILABLE_ABV):
        strength = amount("abv", reading.value) if reading else "any strength"
        yield Hit("way-post-us", context.at_entry(entered, "way"), entered.label, {"strength": strength})
    if rules.ways and way not in rules.ways:
        values: dict[str, object] = {"competition": entered.competition.name, "way": f"delivery {WAY_WORDS[way]}"}
        values["ways"] = ", ".join(WAY_WORDS[each] for each in rules.ways)
        yield Hit("way-not-accepted", context.at_entry(entered, "way"), entered.label, values)


def destination(context: Context, competition_id: str) -> Iterator[Hit]:
    """A box that others carry, and no address that it goes to or comes from."""
    competition = context.season.competitions[competition_id]
    carried = [e for e in context.by_competition.get(competition_id, []) if e.entry.way in CARRIED]
    if carried and not competition.delivery.address:
        values: dict[str, object] = {
            "competition": competition.name,
            "way": WAY_WORDS[carried[0].entry.way or "carrier"],
        }
        values["count"] = several(len(carried), "entry goes", "entries go")
        place = context.at_competition(competition_id, "delivery", "address")
        yield Hit("destination-missing", place, competition_id, values)
    brewer = context.season.brewer
    if carried and brewer is not None and not brewer.address:
        values = {"way": WAY_WORDS[carried[0].entry.way or "carrier"]}
        values["count"] = several(len(carried), "entry goes", "entries go")
        yield Hit("sender-missing", Place("brewer.yaml", ("address",)), competition_id, values)


FOR_COMPETITIONS: tuple[Rule[str], ...] = (
    Rule(("registration-closed", "registration-not-open", "registration-soon"), registration),
    Rule(("delivery-closed", "delivery-tight"), delivery),
    Rule(("destination-missing", "sender-missing"), destination),
)
FOR_ENTRIES: tuple[Rule[Entered], ...] = (
    Rule(("conditioning-unfinished",), conditioning),
    Rule(("hoppy-old", "past-best"), freshness),
    Rule(("way-post-us", "way-not-accepted"), ways),
)
