"""What can hurt by the gas in a bottle: too much of it, sugar that did not ferment, conditioning that goes on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from entryprep.beer.caution import Caution
from entryprep.beer.gas import (
    LATE,
    STEADY_DAYS,
    Gas,
    before_bottling,
    bottled_on,
    gas_of,
    is_packaged,
    steady_since,
    sweetness,
)
from entryprep.beer.pressure import TEMPERATURES_C, pressures
from entryprep.brewing.carbonation import MOST_VOLUMES
from entryprep.measures import degrees, pressure, pressure_unit
from entryprep.records.batch import Addition, Batch
from entryprep.records.bottles import filled
from entryprep.tables.bottles import bottle_types
from entryprep.text import day_words


def pressure_words(volumes: float, gas: Gas | None = None) -> dict[str, object]:
    """What is said of so many volumes of CO2: the pressure in a cellar and in a hot van, bar, and its sources."""
    at = dict(zip(TEMPERATURES_C, pressures(volumes), strict=True))
    cool, hot = (f"{pressure(at[celsius])} {pressure_unit()}" for celsius in (20, 40))
    parts = f" ({gas.words})" if gas and gas.words else ""
    return {"volumes": f"{volumes:.1f}", "cool": cool, "hot": hot, "parts": parts}


def of_gas(batch: Batch) -> Iterator[Caution]:
    """More carbonation than a kind of bottle should hold (the lesser case: than it is used to), or than any does."""
    gas = gas_of(batch)
    priming = batch.carbonation.priming if batch.carbonation else None
    if priming is not None and not 0 <= priming.temperature <= 30:
        path = ("carbonation", "priming", "temperature")
        yield Caution("priming-temperature", path, {"temperature": degrees(priming.temperature, exact=True)})
    if gas is None:
        return
    words = pressure_words(gas.volumes, gas)
    where = gas.path
    told = False
    for kind in batch.bottles:
        if not kind.count or kind.type not in bottle_types():
            continue
        held = filled(kind).type
        if gas.volumes > held.warn_volumes:
            stop = gas.volumes > held.stop_volumes
            limit = held.stop_volumes if stop else held.warn_volumes
            over = "above the most it should ever hold," if stop else "above what is usual for it,"
            values = {**words, "bottle": held.called, "over": over, "limit": f"{limit:.1f}"}
            told = True
            yield Caution("over-carbonated", where, values, not stop)
    if gas.volumes > MOST_VOLUMES and not told:
        yield Caution("priming-beyond-reach", where, words)


def of_sugar(batch: Batch) -> Iterator[Caution]:
    """Sugar that went in late and was not shown to have fermented, or of which it is not known how much there is."""
    if not is_packaged(batch):
        return
    for index, addition in enumerate(batch.additions or ()):
        if addition.stage not in LATE or addition.kind not in {"fruit", "sugar", "spirit"}:
            continue
        volumes = sweetness(batch, addition)
        values: dict[str, object] = {"what": addition.what, "stage": addition.stage}
        if volumes is None:
            told = {
                **values,
                "problem": "its amount or the volume of the beer is not known",
                "volumes": "nobody knows how many",
            }
            if addition.stage == "packaging":
                yield Caution("sugar-unfermented", ("additions", index), told)
        elif addition.stage == "conditioning" and volumes >= 0.5 and not _watched(batch, addition):
            problem = "no two equal gravities after it show that it fermented"
            told = {**values, "problem": problem, "volumes": f"up to {volumes:.1f}"}
            yield Caution("sugar-unfermented", ("additions", index), told, milder=True)


def _watched(batch: Batch, addition: Addition) -> bool:
    """Whether the gravity was shown to be steady after an addition went in, as far as days are told."""
    since, day = steady_since(batch), bottled_on(batch)
    log = before_bottling(batch)
    if since is None or (log[-1].date - since).days < STEADY_DAYS:
        return False
    if addition.days is None or day is None:
        return True
    return log[-1].date >= day - dt.timedelta(days=addition.days)


def still_conditioning(batch: Batch, today: dt.date) -> Iterator[Caution]:
    """Bottles that are still conditioning on a day, or in which a wild culture goes on."""
    record = batch.carbonation
    started = bottled_on(batch)
    if record is None or record.method != "bottle-conditioned" or started is None or started > today:
        return
    ready = started + dt.timedelta(days=round(record.weeks_needed * 7))
    if ready > today:
        path = ("carbonation", "started") if record.started else ("dates", "packaged")
        what = f"bottled on {day_words(started)}, they condition until {day_words(ready)}"
        yield Caution("fermentation-gas", path, {"what": what})
