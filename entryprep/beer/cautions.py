"""What can hurt, or cannot be true, of one beer: every command, both sides and all papers take it from here.

The words stand in ``templates/rules/``, what must not be eaten in ``templates/cautions.yaml``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from itertools import pairwise
from typing import TYPE_CHECKING

from entryprep.beer.gas import (
    ABOVE_FINAL,
    LATE,
    SAME_GRAVITY,
    STEADY_DAYS,
    VOLUMES_PER_POINT,
    Gas,
    before_bottling,
    bottled_on,
    gas_of,
    is_packaged,
    steady_since,
    sweetness,
)
from entryprep.beer.pressure import TEMPERATURES_C, pressures
from entryprep.beer.routing import iced
from entryprep.beer.steps import stated_volume
from entryprep.brewing.alcohol import apparent_extract
from entryprep.brewing.carbonation import MOST_VOLUMES
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato
from entryprep.brewing.refractometer import ATC_C, HOLDS_TO_SHARE, beyond_domain
from entryprep.records.batch import Addition, Batch, GravityReading
from entryprep.records.bottles import filled
from entryprep.records.vitalsrecord import MeasuredGravity
from entryprep.tables.bottles import bottle_types
from entryprep.tables.rules import NOT_LEGAL_ADVICE, sourced
from entryprep.tables.vocabulary import CautionRow, cautions, cautions_in, named_in, says_any
from entryprep.text import day_words, fold, listed
from entryprep.values import dataclass
from entryprep.vitals import amount

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer

KPA_PER_BAR = 100.0
STRONG_ABV = 10.0  # from which a glass of usual size is too much: common practice
SETTLED_SHARE = 0.5  # % of volume, ATF Ruling 94-3
WILD_STEADY_DAYS = 21  # that a wild culture is watched: weeks, common practice
LEAST_ATTENUATION = 0.60  # apparent, of a fermentation that ended by itself: common practice
SMALL_BEER_G = 0.250 * 0.05 * 789  # of alcohol in a quarter of a litre at 5 %
ETHANOL_G_PER_ML = 0.789
ICE_LEAVES = 0.5  # of the volume: what kitchens and breweries reach by freezing
ICE_AT_LEAST = 0.4  # below it no freezer goes
# strength, % by volume, and the temperature at which such beer freezes, °C: handbook tables, from memory
FREEZES_C = ((0.0, 0.0), (10.0, -4.0), (20.0, -9.0), (30.0, -15.0), (40.0, -23.0), (50.0, -32.0))
UNFERMENTED_SHARE = 0.97  # of a refractometer's first reading: within its error nothing has fermented
BLEND_SHARE = 0.10  # by which a stated volume may miss the parts of a blend
BOTTLED_SHARE = 1.05  # of the volume: what is in bottles may be more by an error of measuring
_KETTLE = ("mash", "boil", "whirlpool", "starter")


@dataclass(frozen=True)
class Caution:
    """A rule that holds of a beer: its id, where in the record, the values of its words; ``milder``: a lesser case."""

    rule: str
    path: tuple[str | int, ...] = ()
    values: Mapping[str, object] = field(default_factory=dict)
    milder: bool = False


def batch_cautions(batch: Batch, beer: Beer | None, today: dt.date | None = None) -> tuple[Caution, ...]:
    """All cautions of a batch; ``beer`` is None where its records contradict each other.

    What hangs on the day is told only if ``today`` is given. Linear in what the record holds.
    """
    found = [*_gas(batch), *_sugar(batch), *_fermentation(batch, beer), *_cultures(batch), *_eaten(batch)]
    found += [*_strong(beer), *_concentrated(batch, beer), *_instruments(batch), *_impossible(batch, beer)]
    found += _conditioning(batch, today) if today else ()
    return tuple(found)


def beer_cautions(beer: Beer) -> tuple[Caution, ...]:
    """All cautions of a beer that do not hang on the day; of one from numbers alone, its strength and its gas."""
    if beer.batch is not None:
        return batch_cautions(beer.batch, beer)
    found = list(_strong(beer))
    co2 = beer.vitals.co2
    if co2 is not None and co2.value > MOST_VOLUMES:
        found.append(Caution("priming-beyond-reach", ("co2",), _pressure_words(co2.value)))
    return tuple(found)


# ---- bottles


def _pressure_words(volumes: float, gas: Gas | None = None) -> dict[str, object]:
    at = dict(zip(TEMPERATURES_C, pressures(volumes), strict=True))
    cool, hot = at[20] / KPA_PER_BAR, at[40] / KPA_PER_BAR
    parts = f" ({gas.words})" if gas and gas.words else ""
    return {"volumes": f"{volumes:.1f}", "cool": f"{cool:.1f}", "hot": f"{hot:.1f}", "parts": parts}


def _gas(batch: Batch) -> Iterator[Caution]:
    """More carbonation than a kind of bottle should hold (the lesser case: than it is used to), or than any does."""
    gas = gas_of(batch)
    priming = batch.carbonation.priming if batch.carbonation else None
    if priming is not None and not 0 <= priming.temperature <= 30:
        path = ("carbonation", "priming", "temperature")
        yield Caution("priming-temperature", path, {"temperature": f"{priming.temperature:g}"})
    if gas is None:
        return
    words = _pressure_words(gas.volumes, gas)
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
            values = {**words, "bottle": held.name, "over": over, "limit": f"{limit:.1f}"}
            told = True
            yield Caution("over-carbonated", where, values, not stop)
    if gas.volumes > MOST_VOLUMES and not told:
        yield Caution("priming-beyond-reach", where, words)


def _sugar(batch: Batch) -> Iterator[Caution]:
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


# ---- fermentation


def _fermentation(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
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
    if any(a.stage not in _KETTLE and says_any(a.words, "wild_cultures") for a in own):
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


def _cultures(batch: Batch) -> Iterator[Caution]:
    """Cultures and enzymes that go on in the bottle."""
    for index, addition in enumerate(batch.additions or ()):
        path = ("additions", index)
        wild = says_any(addition.words, "wild_cultures")
        if says_any(addition.words, "enzymes") and addition.stage in LATE:
            yield Caution("enzyme-at-packaging", path, {"what": addition.what, "when": f"went in at {addition.stage}"})
        elif addition.kind != "culture" or not is_packaged(batch):
            continue
        elif addition.stage == "packaging" and (wild or not says_any(addition.words, "clean_cultures")):
            yield Caution("culture-at-packaging", path, {"what": addition.what, "when": "went in at packaging"})
        elif addition.stage == "conditioning" and wild and not _long_steady(batch):
            when = f"went in at conditioning, and no gravity was steady for {WILD_STEADY_DAYS // 7} weeks after it"
            yield Caution("culture-at-packaging", path, {"what": addition.what, "when": when})


def _long_steady(batch: Batch) -> bool:
    since, log = steady_since(batch), before_bottling(batch)
    return since is not None and (log[-1].date - since).days >= WILD_STEADY_DAYS


def _conditioning(batch: Batch, today: dt.date) -> Iterator[Caution]:
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


# ---- what is eaten


def _eaten(batch: Batch) -> Iterator[Caution]:
    litres = stated_volume(batch)
    for index, addition in enumerate(batch.additions or ()):
        dose = addition.mass * 1000 / litres if addition.mass and litres else None
        number = addition.count / litres if addition.count and litres else None
        path: tuple[str | int, ...] = ("additions", index, "what")
        named = cautions_in(addition.what, addition.form or "")
        yield from told_of(named, path, dose, addition.kind, addition.what, number=number)
    for item, text in batch.declare.items():
        if item not in {"description", "base"}:
            yield from told_of(named_in(text).cautions, ("declare", item))
    if batch.recipe is not None:
        for index, malt in enumerate(batch.recipe.fermentables):
            found = cautions_in(malt.what)
            loud = {name: word for name, word in found.items() if cautions()[name].level == "error"}
            yield from told_of(loud, ("recipe", "fermentables", index, "what"))


def told_of(
    named: Mapping[str, str],
    path: tuple[str | int, ...],
    dose: float | None = None,
    kind: str = "",
    said: str = "",
    *,
    number: float | None = None,
) -> Iterator[Caution]:
    """The cautions that are named, by id with the word that gave each away, as findings.

    ``dose`` is in g/L; ``number`` is how many go into a litre, where they are told by number and not by weight.
    ``said`` is the thing in the words of who named it. Of several poisons one is told, and a note is not told of what
    is poisonous or unsafe anyway.
    """
    rows = [(cautions()[name], word) for name, word in named.items()]
    rows = [(row, word) for row, word in rows if not row.kinds or not kind or kind in row.kinds]
    loud = {word for row, word in rows if row.level == "warning"}
    poison = any(row.level == "error" for row, _ in rows)
    told = False
    for row, word in rows:
        grams = number * row.each if dose is None and number is not None and row.each is not None else dose
        if row.dose is not None and grams is not None and grams >= row.dose and _dosed(row, word):
            values = _row_words(row, said or word, row.at_dose or row.caution)
            yield Caution("dose-unsafe", path, {**values, "dose": f"{grams:.2g}" if grams < 10 else f"{grams:.0f}"})
        elif row.level == "error" and not told:
            told = True
            yield Caution("poisonous-ingredient", path, _row_words(row, said or word, row.caution))
        elif row.level == "warning":
            yield Caution("ingredient-caution", path, _row_words(row, said or word, row.caution))
        elif row.level == "note" and not poison and word not in loud:
            yield Caution("ingredient-caution", path, _row_words(row, word, row.caution), milder=True)


def _dosed(row: CautionRow, word: str) -> bool:
    return not row.dose_words or fold(word) in {fold(each) for each in row.dose_words}


def _row_words(row: CautionRow, word: str, caution: str) -> dict[str, object]:
    closing = f". {NOT_LEGAL_ADVICE}" if row.legal else ""
    return {"what": word, "caution": caution, "source": sourced(row.source, row.checked), "closing": closing}


# ---- strong and concentrated


def _strong(beer: Beer | None) -> Iterator[Caution]:
    reading = beer.vitals.abv if beer is not None else None
    if beer is None or reading is None or reading.value < STRONG_ABV:
        return
    size = (
        next((filled(k).size_ml for k in beer.batch.bottles if k.type in bottle_types()), 330.0)
        if beer.batch
        else 330.0
    )
    yield Caution("strong-beer", strong_path(beer.batch), strong_words(reading.value, size))


def strong_path(batch: Batch | None) -> tuple[str, ...]:
    """Where the strength of a batch is written, or what it follows from."""
    if batch is None:
        return ()
    return next((("measured", name) for name in ("abv", "og", "fg") if getattr(batch.measured, name) is not None), ())


def strong_words(abv: float, bottle_ml: float = 330.0) -> dict[str, object]:
    """What is said of a strong beer: strength, alcohol in a bottle, and in how many small beers there is as much."""
    grams = bottle_ml * abv / 100 * ETHANOL_G_PER_ML
    return {
        "abv": amount("abv", abv),
        "grams": f"{grams:.0f}",
        "ml": f"{bottle_ml:.0f}",
        "drinks": f"{grams / SMALL_BEER_G:.1f}",
    }


def _concentrated(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    """Beer from which ice was taken, beyond what is settled in the USA; and more than freezing gives."""
    record = batch.concentrated
    if record is None:
        for index, what in iced(batch):
            yield Caution("concentrated-unmeasured", ("additions", index), {"what": what})
        return
    left = record.after / record.before
    if 100 * (1 - left) > SETTLED_SHARE + 1e-9:
        how = f" from {record.before:g} L to {record.after:g} L, by {100 * (1 - left):.1f} % of its volume"
        yield Caution("concentrated-beer", ("concentrated",), {"how": how})
    if left < ICE_LEAVES:
        abv = beer.vitals.abv.value if beer is not None and beer.vitals.abv is not None else None
        cold = f"; beer of {abv:.0f} % freezes near {freezes(abv):.0f} °C" if abv is not None else ""
        problem = f"freezing leaves about a half, and this is {left:.0%} of the volume{cold}"
        values: dict[str, object] = {"before": f"{record.before:g}", "after": f"{record.after:g}", "problem": problem}
        yield Caution("concentration-impossible", ("concentrated",), values, milder=left >= ICE_AT_LEAST)


def by_ice(text: str) -> bool:
    """Whether a text says that a beer was concentrated by freezing."""
    words = set(fold(text).split())
    frozen = words & {"freeze", "freezing", "frozen", "ice", "eis", "jacked", "eisbocked", "fractional"}
    more = words & {"concentrated", "concentration", "concentrate", "distilled", "distillation", "jacked", "fractional",
                    "eisbocked", "konzentriert", "ausgefroren", "removed", "eisbock"}  # fmt: skip
    return bool(frozen and more) or bool(words & {"eisbocked", "ausgefroren"})


def freezes(abv: float) -> float:
    """Where beer of a strength, % by volume, begins to freeze, °C; to 50 %, by tables of ethanol and water."""
    for (low, warm), (high, cold) in pairwise(FREEZES_C):
        if abv <= high:
            return warm + (cold - warm) * (abv - low) / (high - low)
    return FREEZES_C[-1][1]


# ---- numbers


def _instruments(batch: Batch) -> Iterator[Caution]:
    """A refractometer asked beyond its domain, or read warm."""
    for name in ("og", "fg"):
        item = getattr(batch.measured, name)
        if not isinstance(item, MeasuredGravity) or item.by != "refractometer":
            continue
        path = ("measured", name)
        if item.temperature is not None and not ATC_C[0] <= item.temperature <= ATC_C[1]:
            values: dict[str, object] = {"vital": "original gravity" if name == "og" else "final gravity"}
            yield Caution("refractometer-warm", path, {**values, "temperature": f"{item.temperature:g}"})
        og = batch.measured.og
        if name == "fg" and item.brix is not None and og is not None:
            before = plato_from_sg(og.value)
            now = item.brix / item.wort_factor
            if 0 <= before <= 35 and now <= before + 1e-9 and beyond_domain(before, min(now, before), 1.0):
                problem = f"{og.value:.3f} is above 1.080" if og.value > 1.080 else ""
                sweet = (
                    f"more than {HOLDS_TO_SHARE:.0%} of the reading is left" if now > HOLDS_TO_SHARE * before else ""
                )
                error = item.error if item.error is not None else 0.003
                values = {"fg": f"{item.value:.3f}", "og": f"{og.value:.3f}", "error": f"{error:.3f}"}
                still = now > UNFERMENTED_SHARE * before
                sweet = "the reading has not moved, so nothing fermented" if still else sweet
                values["problem"] = " and ".join(filter(None, (problem, sweet)))
                yield Caution("refractometer-beyond-domain", path, values, milder=not still)


def _impossible(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    """Amounts that no beer could hold; more in the parts or bottles of a beer than there is."""
    if beer is not None and beer.problem:
        where = "concentrated" if batch.concentrated is not None and not batch.additions else "additions"
        yield Caution("addition-impossible", (where,), {"problem": beer.problem})
    elif beer is not None:
        yield from _more_than_beer(batch)
    yield from _blended(batch, beer)
    volume = batch.concentrated.after if batch.concentrated else stated_volume(batch)
    known = [kind for kind in batch.bottles if kind.type in bottle_types()]
    bottled = sum(kind.count * filled(kind).size_ml for kind in known) / 1000
    if volume and bottled > volume * BOTTLED_SHARE:
        values: dict[str, object] = {"bottled": f"{bottled:.1f}", "volume": f"{volume:g}"}
        yield Caution("bottles-beyond-volume", ("bottles",), values)


MOST_FRUIT_KG_PER_L = 1.0  # nobody presses more fruit into a litre of beer: common practice
MOST_SPICE_G_PER_L = 150.0


def _more_than_beer(batch: Batch) -> Iterator[Caution]:
    """More of a fruit or of anything else than goes into the volume; shares of a grist that are more than a whole."""
    shares = [(addition.what, addition.share) for addition in batch.additions or () if addition.share]
    if sum(share for _, share in shares) > 100 + 1e-6:
        said = listed([f"{share:g} % of {what}" for what, share in shares], len(shares))
        problem = f"{said} are {sum(share for _, share in shares):g} % of one grist"
        yield Caution("addition-impossible", ("additions",), {"problem": problem})
    litres = stated_volume(batch)
    for index, addition in enumerate(batch.additions or ()):
        if not litres or addition.mass is None or addition.kind in {"grain", "smoke", "process"}:
            continue
        each = addition.mass / litres
        if each > MOST_FRUIT_KG_PER_L:
            problem = f"{addition.mass:g} kg of {addition.what} in {litres:g} L"
            yield Caution("addition-impossible", ("additions", index), {"problem": problem})


def _blended(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    if not batch.blend:
        return
    for index, part in enumerate(batch.blend):
        own = beer.part(part.batch) if beer is not None else None
        have = stated_volume(own.batch) if own is not None and own.batch is not None else None
        if have and part.volume > have * BOTTLED_SHARE:
            problem = f"{part.volume:g} L of {part.batch} went in, and there were {have:g} L of it"
            yield Caution("blend-volume", ("blend", index, "volume"), {"problem": problem})
    parts = sum(part.volume for part in batch.blend) + (batch.water_added or 0.0)
    added = sum(
        a.volume or (a.mass or 0.0) * 0.8 for a in batch.additions or () if a.kind in {"fruit", "sugar", "spirit"}
    )
    if batch.volume and not parts * (1 - BLEND_SHARE) <= batch.volume <= (parts + added) * (1 + BLEND_SHARE):
        said = listed([f"{part.volume:g} L of {part.batch}" for part in batch.blend], len(batch.blend))
        problem = f"the volume is given as {batch.volume:g} L, and the parts are {said}"
        yield Caution("blend-volume", ("volume",), {"problem": problem}, milder=True)
