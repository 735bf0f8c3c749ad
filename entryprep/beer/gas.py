"""The gas in a packaged beer: what fermentation left, priming, and all else that goes on fermenting in the bottle."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

from entryprep.beer.volumes import stated_volume
from entryprep.brewing.carbonation import (
    BEYOND_ALL,
    COLDEST_C,
    VOLUMES_PER_GRAM_PER_LITRE,
    WARMEST_C,
    primed_volumes,
    residual_volumes,
)
from entryprep.brewing.contents import ETHANOL_KG_PER_L, EXTRACT_PER_ALCOHOL
from entryprep.records.batch import Addition, Batch, GravityReading, Priming
from entryprep.vitals import CO2_ERROR

VOLUMES_PER_POINT = 0.5  # for each 0.001 that ferments: 2.1 g/L of real extract, half of it gas (Balling)
USUAL_CELLAR_C = 20.0  # of beer of which no temperature is known
ROUGH_SUGAR = 0.20  # of malt extract and honey as priming: they vary from lot to lot
UNMEASURED_FG = 0.003  # by which a predicted final gravity usually errs, common practice
SAME_GRAVITY = 0.0011  # 0.001, and what a sum of decimals may lack
ABOVE_FINAL = 0.0021  # two readings of a hydrometer may differ by this much
STEADY_DAYS = 2
LATE = ("conditioning", "packaging")


@dataclass(frozen=True)
class Part:
    """One source of gas: in words, how many volumes it brings, and where the record says so."""

    words: str
    volumes: float
    path: tuple[str | int, ...] = ()


@dataclass(frozen=True)
class Gas:
    """All the gas a packaged beer will hold, volumes, with its standard uncertainty and its sources."""

    parts: tuple[Part, ...]
    error: float

    @property
    def volumes(self) -> float:
        """The sum of the parts, at most what can be reckoned with."""
        return min(BEYOND_ALL, sum(part.volumes for part in self.parts))

    @property
    def path(self) -> tuple[str | int, ...]:
        """Where the part that brings most is written."""
        return max(self.parts, key=lambda part: part.volumes).path

    @property
    def words(self) -> str:
        """The parts, where there are several."""
        if len(self.parts) < 2:
            return ""
        return ", ".join(f"{part.volumes:.1f} {part.words}" for part in self.parts)


def gas_of(batch: Batch) -> Gas | None:
    """The gas of a batch, or None where nothing is said that it could follow from.

    What was measured of a beer carbonated from a bottle or by a spunding valve had not seen sugar that went in at
    packaging; of bottle-conditioned beer it had, and the higher of both figures counts.
    """
    measured = batch.measured.co2 or batch.predicted.co2
    record = batch.carbonation
    conditioned = record is None or record.method in {"bottle-conditioned", "cask"}
    late = _late(batch)
    after = _after_bottling(batch)
    if measured is not None:
        own = Part("as stated", measured.value, ("measured" if batch.measured.co2 else "predicted", "co2"))
        error = measured.error or CO2_ERROR
        if not late:
            return Gas((own,), error)
        if not conditioned:
            return Gas((own, *late), math.hypot(error, *(ROUGH_SUGAR * part.volumes for part in late)))
        worked = _primed(batch, late, after)
        return worked if worked.volumes > measured.value else Gas((own,), error)
    if record is not None and record.priming is not None:
        return _primed(batch, late, after)
    return _primed(batch, late, after) if late or (after and conditioned) else None


def _primed(batch: Batch, late: Sequence[Part], after: Sequence[Part]) -> Gas:
    priming = batch.carbonation.priming if batch.carbonation else None
    celsius = USUAL_CELLAR_C if priming is None else min(max(priming.temperature, COLDEST_C), WARMEST_C)
    path = ("carbonation", "priming", "temperature") if priming else ("additions",)
    parts = [Part("left from fermentation", residual_volumes(celsius), path)]
    errors = [CO2_ERROR]
    if priming is not None and priming.beer > 0:
        added = _added(priming, celsius)
        parts.append(Part(f"of {priming.sugar}", min(added, BEYOND_ALL), ("carbonation", "priming", "mass")))
        if priming.sugar in {"dry malt extract", "honey"}:
            errors.append(ROUGH_SUGAR * added)
    errors += [ROUGH_SUGAR * part.volumes for part in late]
    errors += [CO2_ERROR for _ in after]
    if batch.measured.fg is None and not batch.gravity_log:
        errors.append(UNMEASURED_FG * 1000 * VOLUMES_PER_POINT)
    return Gas((*parts, *late, *after), math.hypot(*(min(error, BEYOND_ALL) for error in errors)))


def _added(priming: Priming, celsius: float) -> float:
    """Volumes that the priming sugar brings; all that can be reckoned with where it is more."""
    try:
        return primed_volumes(priming.sugar, priming.mass, priming.beer, celsius) - residual_volumes(celsius)
    except ValueError:
        return BEYOND_ALL


def _late(batch: Batch) -> list[Part]:
    """Sugar that went in at packaging."""
    return [
        Part(f"of {addition.what}", volumes, ("additions", index))
        for index, addition in enumerate(batch.additions or ())
        if addition.stage == "packaging" and (volumes := sweetness(batch, addition))
    ]


def sweetness(batch: Batch, addition: Addition) -> float | None:
    """Volumes of CO2 that what an addition can still ferment would give; None where its amount is not known."""
    if addition.kind not in {"fruit", "sugar", "spirit"}:
        return 0.0
    litres = stated_volume(batch)
    if addition.kind == "spirit":
        amount = addition.volume if addition.volume is not None else addition.mass
        grams = 1000 * (amount or 0.0) * (addition.sugar or 0.0) / 100
        return VOLUMES_PER_GRAM_PER_LITRE["table sugar"] * grams / litres if litres else None
    from entryprep.beer.steps import UnknownAddition, addition_step  # noqa: PLC0415 - few beers have such an addition

    try:
        step = addition_step(addition.model_copy(update={"fermented": None, "stage": "packaging"}))
    except UnknownAddition:
        return None
    if step is None or not litres:
        return None
    grams = step.contents.alcohol_l * ETHANOL_KG_PER_L * 1000 * EXTRACT_PER_ALCOHOL
    per_gram = VOLUMES_PER_GRAM_PER_LITRE["glucose" if addition.kind == "fruit" else "table sugar"]
    return min(BEYOND_ALL, per_gram * grams / litres)


def bottled_on(batch: Batch) -> dt.date | None:
    """The day of packaging."""
    return batch.dates.packaged or (batch.carbonation.started if batch.carbonation else None)


def is_packaged(batch: Batch) -> bool:
    """Whether there are bottles of it, or a day of packaging."""
    return bottled_on(batch) is not None or any(kind.count for kind in batch.bottles)


def still_fermenting(batch: Batch) -> bool:
    """Whether it is not packaged, and its last readings fall."""
    log = sorted(batch.gravity_log, key=lambda reading: reading.date)
    return not is_packaged(batch) and len(log) >= 2 and log[-2].gravity - log[-1].gravity > SAME_GRAVITY


def before_bottling(batch: Batch) -> list[GravityReading]:
    """The gravities read until packaging, in order of days; all of them where no day of packaging is known."""
    day = bottled_on(batch)
    return [r for r in sorted(batch.gravity_log, key=lambda r: r.date) if day is None or r.date <= day]


def steady_since(batch: Batch) -> dt.date | None:
    """The day from which the readings before packaging say the same, if two or more do; else None."""
    log = before_bottling(batch)
    if len(log) < 2 or abs(log[-1].gravity - log[-2].gravity) > SAME_GRAVITY:
        return None
    same = [r for r in log if abs(r.gravity - log[-1].gravity) <= SAME_GRAVITY]
    first = log[-1].date
    for reading in reversed(log):
        if reading not in same:
            break
        first = reading.date
    return first


def _after_bottling(batch: Batch) -> list[Part]:
    """What fermented between the last reading before packaging and the final gravity, which was read later."""
    log, final = before_bottling(batch), batch.measured.fg
    if not log or final is None or bottled_on(batch) is None or log[-1].gravity <= final.value + ABOVE_FINAL:
        return []
    points = 1000 * (log[-1].gravity - final.value)
    words = f"as it fell from {log[-1].gravity:.3f} to {final.value:.3f} in the bottle"
    index = max(i for i, reading in enumerate(batch.gravity_log) if reading == log[-1])
    return [Part(words, points * VOLUMES_PER_POINT, ("gravity_log", index, "gravity"))]
