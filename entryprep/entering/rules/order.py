"""Rules on days that cannot be: in the wrong order, not yet come, hardly to be believed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from entryprep.entering.rules.context import Context, DeclaredBeer, Hit, Rule
from entryprep.entering.season import Entered
from entryprep.records.batch import Batch
from entryprep.text import day_words

LONGEST_BREW = 5 * 366  # days from brewing to packaging: the longest of mixed cultures, common practice
OLDEST = 25 * 366  # days: a beer of a quarter of a century is rarer than a slip of the year


def of_a_batch(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Days of a batch against each other and against today."""
    batch, batch_id = beer.batch, beer.batch_id
    brewed = batch.dates.brewed
    days = _days(batch)
    for path, words, day in days:
        if brewed is not None and day < brewed:
            values = _ordered("brewed", brewed, words, day)
            severe = path[0] != "gravity_log"
            yield Hit("dates-disagree", context.at_batch(batch_id, *path), batch_id, values, milder=not severe)
    yield from _unlikely(context, batch, batch_id)
    full = sum(kind.count for kind in batch.bottles)
    for path, words, day in days:
        if day > context.today:
            done = bool(full) or (path[0] == "dates" and path[1] == "brewed" and _done(batch, context.today))
            values = {"what": words, "day": day_words(day), "today": day_words(context.today)}
            values["bottles"] = f", with {full} bottles of it full" if full else ""
            planned = path[-1] in {"packaged", "started", "brewed"} and not done
            if not planned:
                place = context.at_batch(batch_id, *path)
                yield Hit("date-in-future", place, batch_id, values, milder=path[0] == "gravity_log")
                return  # the days after it follow


def _days(batch: Batch) -> list[tuple[tuple[str | int, ...], str, dt.date]]:
    """The days of a batch with where they stand and what they are; brewing first."""
    found: list[tuple[tuple[str | int, ...], str, dt.date]] = []
    if batch.dates.brewed is not None:
        found.append((("dates", "brewed"), "brewed", batch.dates.brewed))
    if batch.dates.packaged is not None:
        found.append((("dates", "packaged"), "packaged", batch.dates.packaged))
    if batch.carbonation is not None and batch.carbonation.started is not None:
        found.append((("carbonation", "started"), "bottled", batch.carbonation.started))
    for index, reading in enumerate(batch.gravity_log):
        found.append((("gravity_log", index, "date"), "a gravity read on", reading.date))
    return found


def _done(batch: Batch, today: dt.date) -> bool:
    """Whether something was done already of what cannot be before brewing."""
    others = [day for path, _, day in _days(batch) if path != ("dates", "brewed")]
    return any(day <= today for day in others)


def _ordered(first: str, one: dt.date, then: str, other: dt.date) -> dict[str, object]:
    return {"first": first, "first_day": day_words(one), "then": then, "then_day": day_words(other)}


def _unlikely(context: Context, batch: Batch, batch_id: str) -> Iterator[Hit]:
    brewed, packaged = batch.dates.brewed, batch.dates.packaged
    if brewed is not None and packaged is not None and (packaged - brewed).days > LONGEST_BREW:
        years = (packaged - brewed).days / 365.25
        what = f"brewed {day_words(brewed)} and packaged {day_words(packaged)}, {years:.0f} years later"
        yield Hit("date-unlikely", context.at_batch(batch_id, "dates", "brewed"), batch_id, {"what": what})
        return
    for name, day in (("brewed", brewed), ("packaged", packaged)):
        if day is not None and (context.today - day).days > OLDEST:
            what = f"{name} {day_words(day)}, {(context.today - day).days / 365.25:.0f} years ago"
            yield Hit("date-unlikely", context.at_batch(batch_id, "dates", name), batch_id, {"what": what})
            return


def of_an_entry(context: Context, entered: Entered) -> Iterator[Hit]:
    """A beer packaged after the bottles are due."""
    packaged, window = entered.batch.dates.packaged, entered.competition.dates.delivery
    if packaged is not None and window is not None and packaged > window.closes:
        values: dict[str, object] = {"packaged": day_words(packaged), "competition": entered.competition.name}
        values["closes"] = day_words(window.closes)
        place = context.at_batch(entered.batch_id, "dates", "packaged")
        yield Hit("packaged-after-delivery", place, entered.label, values)


def of_a_competition(context: Context, competition_id: str) -> Iterator[Hit]:
    """Registration and delivery that outlast what follows them."""
    dates = context.season.competitions[competition_id].dates
    closes = {name: window.closes for name in ("registration", "delivery") if (window := getattr(dates, name))}
    pairs = [("registration", closes.get("registration"), "judging", dates.judging)]
    pairs += [("delivery", closes.get("delivery"), "judging", dates.judging)]
    pairs += [("registration", closes.get("registration"), "delivery", closes.get("delivery"))]
    told: set[str] = set()
    for first, one, then, other in pairs:
        if one is not None and other is not None and one > other and first not in told:
            told.add(first)
            closing = "the end of delivery" if then == "delivery" else "judging"
            opens = dates.delivery.opens if first == "delivery" and dates.delivery else None
            never = opens is not None and opens > other  # not one bottle is there on the day
            values = _ordered(f"the end of {first}", one, closing, other)
            if never and opens is not None:
                values = _ordered("the first day of delivery", opens, closing, other)
            place = context.at_competition(competition_id, "dates", first, "opens" if never else "closes")
            yield Hit("dates-disagree", place, competition_id, values, milder=not never)


FOR_BEERS: tuple[Rule[DeclaredBeer], ...] = (Rule(("dates-disagree", "date-in-future", "date-unlikely"), of_a_batch),)
FOR_ENTRIES: tuple[Rule[Entered], ...] = (Rule(("packaged-after-delivery",), of_an_entry),)
FOR_COMPETITIONS: tuple[Rule[str], ...] = (Rule(("dates-disagree",), of_a_competition),)
