"""What can hurt by a fermentation that was not over: gravities that fell, or stand where they cannot, and cultures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal

from entryprep.beer.caution import Caution
from entryprep.beer.gas import (
    ABOVE_FINAL,
    LATE,
    SAME_GRAVITY,
    STEADY_DAYS,
    VOLUMES_PER_POINT,
    before_bottling,
    bottled_on,
    gas_of,
    is_packaged,
    steady_since,
)
from entryprep.beer.volumes import stated_volume
from entryprep.brewing.alcohol import apparent_extract
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato
from entryprep.records.batch import Addition, Batch, GravityReading
from entryprep.text import day_words, fold

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer

WILD_STEADY_DAYS = 21  # that a wild culture is watched: weeks, common practice
LEAST_ATTENUATION = 0.60  # apparent, of a fermentation that ended by itself: common practice
_KETTLE = ("mash", "boil", "whirlpool", "starter")


def of_fermentation(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    """Bottled beer whose gravity was not shown to be steady, nobody measured, or stands above what it should reach."""
    yield from _low(batch)
    if not is_packaged(batch):
        return
    yield from _high(batch, beer)
    if not batch.gravity_log:
        if batch.measured.fg is None:
            primed = batch.carbonation is not None and batch.carbonation.method == "bottle-conditioned"
            gas = gas_of(batch) if primed else None
            error = f"; its carbonation is good to {gas.error:.1f} volumes at best" if gas else ""
            path = ("measured",) if batch.measured.model_fields_set else ()
            yield Caution("fg-not-measured", path, {"packaged": "bottled", "error": error})
        else:
            yield Caution("fg-not-logged")
        return
    log = sorted(enumerate(batch.gravity_log), key=lambda item: item[1].date)
    day = bottled_on(batch)
    before = [(i, r) for i, r in log if day is None or r.date <= day]
    index = before[-1][0] if before else log[-1][0]
    problem, severe = _unsteady(batch, [reading for _, reading in before])
    if problem:
        yield Caution("fg-not-stable", ("gravity_log", index, "gravity"), {"problem": problem}, not severe)


def _unsteady(batch: Batch, before: Sequence[GravityReading]) -> tuple[str, bool]:
    """What is wrong with the readings before bottling, and whether the gravity was seen to fall."""
    if len(before) < 2:
        number = "no reading was" if not before else "only one reading was"
        return f"{number} taken before bottling: two are needed to show that gravity is steady", False
    (a, b), final = before[-2:], batch.measured.fg
    said = f"{a.gravity:.3f} on {day_words(a.date)}, {b.gravity:.3f} on {day_words(b.date)}"
    if abs(a.gravity - b.gravity) > SAME_GRAVITY:
        return f"the last two readings before bottling differ: {said}", True
    if (b.date - a.date).days < STEADY_DAYS:
        return f"the last two readings before bottling are less than {STEADY_DAYS} days apart: {said}", False
    since = steady_since(batch) or a.date
    if is_wild(batch) and (b.date - since).days < WILD_STEADY_DAYS:
        weeks = f"{WILD_STEADY_DAYS // 7} weeks"
        return f"a wild beer was seen steady for less than {weeks} before bottling: {said}", False
    if final is not None and b.gravity > final.value + ABOVE_FINAL:
        return f"the last reading before bottling, {b.gravity:.3f}, is above the final gravity {final.value:.3f}", False
    return "", False


def is_wild(batch: Batch) -> bool:
    """Whether something lives in the beer that ferments for months: cultures that did not go through the boil."""
    own = [a for a in batch.additions or () if a.kind == "culture"]
    if any(a.stage not in _KETTLE and _says(a, "wild_cultures") for a in own):
        return True
    boiled = (
        any(a.stage in _KETTLE for a in own)
        or "kettle" in fold(" ".join(a.words for a in batch.additions or ())).split()
    )
    return batch.traits.fermentation == "wild" and not boiled


def _high(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    """A final gravity above what the recipe or a fermentation that ended by itself leads to."""
    fg, og = batch.measured.fg, batch.measured.og
    if fg is None or beer is None or batch.concentrated is not None:
        return
    final = beer.readings.fg
    first = og.value if og is not None else beer.readings.og.value if beer.readings.og else None
    if final is None or first is None or first <= 1.0:
        return
    expected = first - LEAST_ATTENUATION * (first - 1)
    source = f"an apparent attenuation of {LEAST_ATTENUATION:.0%}, as little as usual fermentations leave,"
    style = beer.base or beer.style
    ranges = style.ranges.get("fg") if style is not None else None
    if style is not None and ranges is not None and ranges.high > expected:
        expected, source = ranges.high, style.name
    forecast = beer.forecast
    if forecast is not None and "fg" in forecast.prediction.vitals and "og" in forecast.prediction.vitals:
        value, error = forecast.prediction.vitals["fg"]
        scale = (first - 1) / max(forecast.prediction.vitals["og"][0] - 1, 0.001)
        by_recipe = 1 + (value - 1) * min(max(scale, 0.5), 2.0) + 2 * error
        if by_recipe > expected or error < 0.01:
            expected, source = by_recipe, "the recipe"
    expected += _unfermentable(batch, beer)
    over = final.value - expected - (final.error or 0.0)
    if over <= 0:
        return
    points = 1000 * (final.value - expected)
    values = {"fg": f"{final.value:.3f}", "expected": f"{expected:.3f}", "source": source}
    values |= {"points": f"{points:.0f}", "volumes": f"{points * VOLUMES_PER_POINT:.1f}"}
    yield Caution("fg-above-expected", ("measured", "fg"), values)


def _unfermentable(batch: Batch, beer: Beer) -> float:
    """Points of gravity that additions which do not ferment bring, as SG; lactose and the like."""
    litres = stated_volume(batch)
    if beer.under is None or not litres:
        return 0.0
    return sum(max(0.0, step.contents.extract_kg) for step in beer.under.steps) / litres * 0.386


def _low(batch: Batch) -> Iterator[Caution]:
    """A final gravity below that of the same beer without any extract."""
    og, fg = batch.measured.og, batch.measured.fg
    if og is None or fg is None or og.value <= 1.0:
        return
    least = sg_from_plato(max(apparent_extract(plato_from_sg(min(og.value, 1.1)), 0.0), -5.0))
    below = least - fg.value
    if below > 0:
        spirit = any(a.kind == "spirit" or a.strength for a in batch.additions or ()) or batch.concentrated is not None
        values = {"fg": f"{fg.value:.3f}", "og": f"{og.value:.3f}", "least": f"{least:.3f}"}
        error = fg.error if fg.error is not None else 0.001
        yield Caution("fg-below-possible", ("measured", "fg"), values, milder=spirit or below <= 2 * error)


def _says(addition: Addition, words: Literal["enzymes", "clean_cultures", "wild_cultures"]) -> bool:
    from entryprep.tables.vocabulary import says_any  # noqa: PLC0415 - a plain beer needs no words

    return says_any(addition.words, words)


def of_cultures(batch: Batch) -> Iterator[Caution]:
    """Cultures and enzymes that go on in the bottle."""
    for index, addition in enumerate(batch.additions or ()):
        path = ("additions", index)
        wild = _says(addition, "wild_cultures")
        if _says(addition, "enzymes") and addition.stage in LATE:
            yield Caution("enzyme-at-packaging", path, {"what": addition.what, "when": f"went in at {addition.stage}"})
        elif addition.kind != "culture" or not is_packaged(batch):
            continue
        elif addition.stage == "packaging" and (wild or not _says(addition, "clean_cultures")):
            yield Caution("culture-at-packaging", path, {"what": addition.what, "when": "went in at packaging"})
        elif addition.stage == "conditioning" and wild and not _long_steady(batch):
            when = f"went in at conditioning, and no gravity was steady for {WILD_STEADY_DAYS // 7} weeks after it"
            yield Caution("culture-at-packaging", path, {"what": addition.what, "when": when})


def _long_steady(batch: Batch) -> bool:
    since, log = steady_since(batch), before_bottling(batch)
    return since is not None and (log[-1].date - since).days >= WILD_STEADY_DAYS
