"""What cannot be true of one beer, or went beyond what can be read: amounts, volumes, parts, a refractometer."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from entryprep.beer.caution import Caution
from entryprep.beer.routing import iced
from entryprep.beer.volumes import stated_volume
from entryprep.brewing.gravity import plato_from_sg
from entryprep.brewing.refractometer import ATC_C, HOLDS_TO_SHARE, beyond_domain
from entryprep.measures import beer_volume, degrees, rough_volume, stated_mass
from entryprep.records.batch import Batch
from entryprep.records.bottles import filled
from entryprep.records.vitalsrecord import MeasuredGravity
from entryprep.tables.bottles import bottle_types
from entryprep.text import fold, listed

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer

SETTLED_SHARE = 0.5  # % of volume, ATF Ruling 94-3
ICE_LEAVES = 0.5  # of the volume: what kitchens and breweries reach by freezing
ICE_AT_LEAST = 0.4  # below it no freezer goes
# strength, % by volume, and the temperature at which such beer freezes, °C: handbook tables, from memory
FREEZES_C = ((0.0, 0.0), (10.0, -4.0), (20.0, -9.0), (30.0, -15.0), (40.0, -23.0), (50.0, -32.0))
UNFERMENTED_SHARE = 0.97  # of a refractometer's first reading: within its error nothing has fermented
BLEND_SHARE = 0.10  # by which a stated volume may miss the parts of a blend
BOTTLED_SHARE = 1.05  # of the volume: what is in bottles may be more by an error of measuring
MOST_FRUIT_KG_PER_L = 1.0  # nobody presses more fruit into a litre of beer: common practice


def of_ice(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    """Beer from which ice was taken, beyond what is settled in the USA; and more than freezing gives."""
    record = batch.concentrated
    if record is None:
        for index, what in iced(batch):
            yield Caution("concentrated-unmeasured", ("additions", index), {"what": what})
        return
    left = record.after / record.before
    if 100 * (1 - left) > SETTLED_SHARE + 1e-9:
        volumes = f" from {beer_volume(record.before)} to {beer_volume(record.after)}"
        how = f"{volumes}, by {100 * (1 - left):.1f} % of its volume"
        yield Caution("concentrated-beer", ("concentrated",), {"how": how})
    if left < ICE_LEAVES:
        abv = beer.vitals.abv.value if beer is not None and beer.vitals.abv is not None else None
        cold = f"; beer of {abv:.0f} % freezes near {degrees(freezes(abv))}" if abv is not None else ""
        problem = f"freezing leaves about a half, and this is {left:.0%} of the volume{cold}"
        values: dict[str, object] = {"before": beer_volume(record.before), "after": beer_volume(record.after)}
        values["problem"] = problem
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


def of_instruments(batch: Batch) -> Iterator[Caution]:
    """A refractometer asked beyond its domain, or read warm."""
    for name in ("og", "fg"):
        item = getattr(batch.measured, name)
        if not isinstance(item, MeasuredGravity) or item.by != "refractometer":
            continue
        path = ("measured", name)
        if item.temperature is not None and not ATC_C[0] <= item.temperature <= ATC_C[1]:
            values: dict[str, object] = {"vital": "original gravity" if name == "og" else "final gravity"}
            yield Caution("refractometer-warm", path, {**values, "temperature": degrees(item.temperature, exact=True)})
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


def of_amounts(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    """Amounts that no beer could hold; more in the parts or bottles of a beer than there is."""
    if beer is not None and beer.problem:
        where = "concentrated" if batch.concentrated is not None and not batch.additions else "additions"
        yield Caution("addition-impossible", (where,), {"problem": beer.problem})
    elif beer is not None:
        yield from _more_than_beer(batch)
    yield from _blended(batch, beer)
    volume = stated_volume(batch)
    known = [kind for kind in batch.bottles if kind.type in bottle_types()]
    bottled = sum(kind.count * filled(kind).size_ml for kind in known) / 1000
    if volume and bottled > volume * BOTTLED_SHARE:
        values: dict[str, object] = {"bottled": rough_volume(bottled), "volume": beer_volume(volume)}
        yield Caution("bottles-beyond-volume", ("bottles",), values)


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
            problem = f"{stated_mass(addition.mass)} of {addition.what} in {beer_volume(litres)}"
            yield Caution("addition-impossible", ("additions", index), {"problem": problem})


def _blended(batch: Batch, beer: Beer | None) -> Iterator[Caution]:
    if not batch.blend:
        return
    for index, part in enumerate(batch.blend):
        own = beer.part(part.batch) if beer is not None else None
        have = stated_volume(own.batch) if own is not None and own.batch is not None else None
        if have and part.volume > have * BOTTLED_SHARE:
            problem = f"{beer_volume(part.volume)} of {part.batch} went in, and there were {beer_volume(have)} of it"
            yield Caution("blend-volume", ("blend", index, "volume"), {"problem": problem})
    parts = sum(part.volume for part in batch.blend) + (batch.water_added or 0.0)
    added = sum(
        a.volume or (a.mass or 0.0) * 0.8 for a in batch.additions or () if a.kind in {"fruit", "sugar", "spirit"}
    )
    if batch.volume and not parts * (1 - BLEND_SHARE) <= batch.volume <= (parts + added) * (1 + BLEND_SHARE):
        said = listed([f"{beer_volume(part.volume)} of {part.batch}" for part in batch.blend], len(batch.blend))
        problem = f"the volume is given as {beer_volume(batch.volume)}, and the parts are {said}"
        yield Caution("blend-volume", ("volume",), {"problem": problem}, milder=True)
