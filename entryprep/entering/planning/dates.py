"""Dates worked back from a competition, and forward from a batch: when to send, when it is conditioned, how fresh."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from entryprep.entering.rules.dates import best_within
from entryprep.entering.season import Season
from entryprep.entering.shipping import way_of, weekday_before
from entryprep.quantities import DAYS_PER_MONTH
from entryprep.records.batch import Batch
from entryprep.tables.rules import rules
from entryprep.tables.style import Style

# Days from brew day to packaging where a batch says neither (common practice, from memory): a clean ale is fermented
# and clear in three weeks, a lager in seven with its cold rest, a wild beer in half a year.
BREWING_DAYS = {"ale": 21, "lager": 49, "wild": 182}
USUAL_BREWING_DAYS = BREWING_DAYS["ale"]


@dataclass(frozen=True)
class Deadlines:
    """The days of one competition; any may be unknown. ``send_by`` allows for the days on the way."""

    way: str
    transit_days: int
    register_from: dt.date | None
    register_by: dt.date | None
    send_by: dt.date | None
    deliver_from: dt.date | None
    deliver_by: dt.date | None
    judged: dt.date | None

    @property
    def tasted(self) -> dt.date | None:
        """The day freshness is judged by: the judging, or else the last day of delivery."""
        return self.judged or self.deliver_by


def way_to(season: Season, competition_id: str) -> str:
    """How bottles travel to a competition: as its record says under ``sending``, else as entries and organiser say."""
    sending = season.competitions[competition_id].sending
    return sending.way if sending is not None and sending.way else way_of(season, competition_id)


def deadlines(season: Season, competition_id: str) -> Deadlines:
    """The days of a competition by the way its bottles travel. Raises KeyError for one the season does not have.

    Days on the way are those of the rules (common practice); with carriers and post the box leaves by a Wednesday.
    """
    dates, way = season.competitions[competition_id].dates, way_to(season, competition_id)
    transit = rules().transit_days[way]
    closes = dates.delivery.closes if dates.delivery else None
    # where no delivery is stated, bottles have to be there when judging begins
    there = closes or dates.judging
    return Deadlines(
        way,
        transit,
        dates.registration.opens if dates.registration else None,
        dates.registration.closes if dates.registration else None,
        weekday_before(there - dt.timedelta(days=transit), way) if there else None,
        dates.delivery.opens if dates.delivery else None,
        closes,
        dates.judging,
    )


def conditioning_days(batch: Batch) -> int:
    """Days a bottle-conditioned beer needs warm, from its record (2 weeks are usual); 0 for every other beer."""
    record = batch.carbonation
    return round(record.weeks_needed * 7) if record is not None and record.method == "bottle-conditioned" else 0


def bottled_on(batch: Batch) -> dt.date | None:
    """The day the beer went, or is to go, into bottles; None where no record says."""
    started = batch.carbonation.started if batch.carbonation else None
    return started or batch.dates.packaged


def is_packaged(batch: Batch, today: dt.date) -> bool:
    """Whether the beer is in bottles: it has some, or was to be bottled by today."""
    bottled = bottled_on(batch)
    return bottled <= today if bottled is not None else any(kind.count for kind in batch.bottles)


def is_brewed(batch: Batch, today: dt.date) -> bool:
    """Whether there is such a beer: it is in bottles, has been measured, or was to be brewed by today."""
    if is_packaged(batch, today) or (batch.dates.brewed is not None and batch.dates.brewed <= today):
        return True
    return bool(batch.gravity_log) or any(getattr(batch.measured, name) is not None for name in ("og", "fg", "co2"))


def conditioned_on(batch: Batch) -> dt.date | None:
    """The day its conditioning ends: the day of packaging where there is none, None where that is not known."""
    bottled = bottled_on(batch)
    return bottled + dt.timedelta(days=conditioning_days(batch)) if bottled else None


def package_by(batch: Batch, days: Deadlines) -> dt.date | None:
    """The last day to package so that the beer is conditioned when it is sent; None without a day to send."""
    return days.send_by - dt.timedelta(days=conditioning_days(batch)) if days.send_by else None


def brewing_days(batch: Batch) -> int:
    """Days from brew day to packaging: as the batch says, else what is usual for its kind of fermentation."""
    brewed, packaged = batch.dates.brewed, bottled_on(batch)
    if brewed and packaged and packaged >= brewed:
        return (packaged - brewed).days
    return BREWING_DAYS.get(batch.traits.fermentation or "", USUAL_BREWING_DAYS)


def freshness(batch: Batch, style: Style | None, days: Deadlines) -> float:
    """How fresh the beer is when it is tasted, 0 to 1.

    1 while the style is at its best, then halved with every such span of time that goes by (our own scale: no
    published one is known to us). 1 where packaging, tasting or style leave it open.
    """
    best, bottled = best_within(style, batch), batch.dates.packaged or bottled_on(batch)
    if best is None or bottled is None or days.tasted is None:
        return 1.0
    age = (days.tasted - bottled).days / DAYS_PER_MONTH
    return 1.0 if age <= best else 0.5 ** ((age - best) / best)


def too_late(batch: Batch, days: Deadlines, today: dt.date) -> str:
    """Why a beer cannot be there in time any more, in words; empty if it can."""
    on_the_way = f": {days.transit_days} days on the way" if days.transit_days else ""
    over = (
        (days.register_by, "registration closed on {}"),
        (days.deliver_by, "delivery closed on {}"),
        (days.judged, "it was judged on {}"),
        (days.send_by, f"it had to leave by {{}}{on_the_way}"),
    )
    for day, words in over:
        if day and today > day:
            return words.format(day)
    bottled, ready = bottled_on(batch), conditioned_on(batch)
    if bottled and days.send_by and bottled > days.send_by:
        return f"it is packaged on {bottled} and has to leave by {days.send_by}"
    if ready and days.judged and ready > days.judged:
        return f"conditioned on {ready}, after judging on {days.judged}"
    return ""
