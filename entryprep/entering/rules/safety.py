"""Rules on what can hurt someone: pressure, unfinished fermentation, allergens, ingredients, concentration."""

from __future__ import annotations

from collections.abc import Iterator

from entryprep.beer.allergens import CEREALS, carried
from entryprep.beer.routing import iced
from entryprep.entering.pressure import TEMPERATURES_C, pressures
from entryprep.entering.rules.context import Context, DeclaredBeer, Hit, Place, Rule
from entryprep.records.batch import Batch, GravityReading
from entryprep.records.bottles import filled
from entryprep.tables.bottles import bottle_types
from entryprep.tables.rules import NOT_LEGAL_ADVICE, sourced
from entryprep.tables.vocabulary import cautions, named_in
from entryprep.text import day_words

KPA_PER_BAR = 100.0
SAME_GRAVITY = 0.0011  # 0.001, and what a sum of decimals may lack
ABOVE_FINAL = 0.0021  # two readings of a hydrometer may differ by this much
STEADY_DAYS = 2
SETTLED_SHARE = 0.5  # % of volume, ATF Ruling 94-3


def pressure(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """More carbonation than a kind of bottle should hold (the lesser case: than it is used to)."""
    vitals = beer.vitals
    reading = vitals.get("co2") if vitals else None
    if reading is None:
        return
    at = dict(zip(TEMPERATURES_C, pressures(reading.value), strict=True))
    cool, hot = at[20] / KPA_PER_BAR, at[40] / KPA_PER_BAR
    for kind in beer.batch.bottles:
        if not kind.count or kind.type not in bottle_types():
            continue
        held = filled(kind).type
        if reading.value > held.warn_volumes:
            stop = reading.value > held.stop_volumes
            limit = held.stop_volumes if stop else held.warn_volumes
            over = "above the most it should ever hold," if stop else "above what is usual for it,"
            values: dict[str, object] = {"volumes": f"{reading.value:.1f}", "bottle": held.name, "over": over}
            values |= {"limit": f"{limit:.1f}", "cool": f"{cool:.1f}", "hot": f"{hot:.1f}"}
            yield Hit("over-carbonated", context.vital_place(beer.batch_id, "co2"), beer.batch_id, values, not stop)


def steady(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Bottled beer whose gravity was not shown to be steady."""
    batch = beer.batch
    bottled = batch.dates.packaged or (batch.carbonation.started if batch.carbonation else None)
    if bottled is None and not any(kind.count for kind in batch.bottles):
        return
    if not batch.gravity_log:
        yield Hit("fg-not-logged", context.at_batch(beer.batch_id), beer.batch_id)
        return
    log = sorted(enumerate(batch.gravity_log), key=lambda item: item[1].date)
    before = [(i, r) for i, r in log if bottled is None or r.date <= bottled]
    index = before[-1][0] if before else log[-1][0]
    problem, severe = _unsteady(batch, [reading for _, reading in before])
    if problem:
        place = context.at_batch(beer.batch_id, "gravity_log", index, "gravity")
        yield Hit("fg-not-stable", place, beer.batch_id, {"problem": problem}, not severe)


def _unsteady(batch: Batch, before: list[GravityReading]) -> tuple[str, bool]:
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
    if final is not None and b.gravity > final.value + ABOVE_FINAL:
        return f"the last reading before bottling, {b.gravity:.3f}, is above the final gravity {final.value:.3f}", False
    return "", False


def allergens(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Allergens not stated at all, or not all of those that the records speak of."""
    found = _allergens_found(context, beer)
    stated = list(beer.batch.allergens)
    # that there is barley goes without saying until something is stated
    covered = {*stated, *(CEREALS if "gluten" in stated else () if stated else ("barley",))}
    absent = {name: hint for name, hint in found.items() if name not in covered}
    said = ", ".join(f"{word} ({name})" if word != name else name for name, (word, _) in absent.items())
    if not stated:
        values: dict[str, object] = {"found": f", and the records speak of {said}" if said else ""}
        values["example"] = ", ".join(dict.fromkeys(("barley", *absent)))
        place = next(iter(absent.values()))[1] if absent else context.at_batch(beer.batch_id)
        yield Hit("allergens-not-stated", place, beer.batch_id, values, milder=not absent)
    elif absent:
        values = {"found": f"the records speak of {said}", "stated": ", ".join(stated), "missing": ", ".join(absent)}
        yield Hit("allergen-not-listed", context.at_batch(beer.batch_id, "allergens"), beer.batch_id, values)


def _allergens_found(context: Context, beer: DeclaredBeer) -> dict[str, tuple[str, Place]]:
    """Allergens that words, styles or the grain give away: the word, and where it stands."""
    said, recipe, grain = beer.said, beer.batch.recipe, beer.batch.traits.grain
    texts = list(_texts(context, beer))
    for index, malt in enumerate(recipe.fermentables if recipe else ()):
        texts.append((malt.what, context.at_batch(beer.batch_id, "recipe", "fermentables", index, "what")))
    texts += [(said.style_named.text, beer.style_place), (said.base_named.text, beer.base_place)]
    styles = [(style, at) for style, at in ((said.style, beer.style_place), (said.base, beer.base_place)) if style]
    leads = (grain, context.at_batch(beer.batch_id, "traits", "grain")) if grain else None
    return carried(texts, styles, leads)


def _texts(context: Context, beer: DeclaredBeer) -> Iterator[tuple[str, Place]]:
    """The words that say what is in a beer: its additions, and what is declared of it."""
    for index, addition in enumerate(beer.batch.additions or ()):
        yield f"{addition.what}, {addition.form or ''}", context.at_batch(beer.batch_id, "additions", index, "what")
    for item, text in beer.batch.declare.items():
        if item not in {"description", "base"}:
            yield text, context.at_batch(beer.batch_id, "declare", item)


def ingredients(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Ingredients that are to be handled, declared or sent with care."""
    for text, place in _texts(context, beer):
        for name, word in named_in(text).cautions.items():
            row = cautions()[name]
            values: dict[str, object] = {"what": word, "caution": row.caution}
            values["source"] = sourced(row.source, row.checked)
            values["closing"] = f". {NOT_LEGAL_ADVICE}" if row.legal else ""
            yield Hit("ingredient-caution", place, beer.batch_id, values)


def concentrated(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Beer from which ice was taken, beyond what is settled in the USA."""
    record = beer.batch.concentrated
    if record is None:
        for index, what in iced(beer.batch):
            place = context.at_batch(beer.batch_id, "additions", index)
            yield Hit("concentrated-unmeasured", place, beer.batch_id, {"what": what})
        return
    share = 100 * (1 - record.after / record.before)
    if share > SETTLED_SHARE + 1e-9:
        values: dict[str, object] = {"before": f"{record.before:g}", "after": f"{record.after:g}"}
        place = context.at_batch(beer.batch_id, "concentrated")
        yield Hit("concentrated-beer", place, beer.batch_id, {**values, "share": f"{share:.1f}"})


FOR_BEERS: tuple[Rule[DeclaredBeer], ...] = (
    Rule(("over-carbonated",), pressure),
    Rule(("fg-not-stable", "fg-not-logged"), steady),
    Rule(("allergens-not-stated", "allergen-not-listed"), allergens),
    Rule(("ingredient-caution",), ingredients),
    Rule(("concentrated-beer", "concentrated-unmeasured"), concentrated),
)
