"""Rules on what can hurt someone, or cannot be true of a beer; and on allergens."""

from __future__ import annotations

from collections.abc import Iterator

from entryprep.beer.allergens import barley_behind, carried, in_words, not_among
from entryprep.beer.cautions import batch_cautions
from entryprep.entering.rules.context import Context, DeclaredBeer, Hit, Place, Rule
from entryprep.tables.vocabulary import says_gluten_free

NONE_KNOWN = "none known"
# what `entryprep.beer.cautions` may tell
OF_ONE_BEER = (
    "over-carbonated",
    "priming-beyond-reach",
    "priming-temperature",
    "sugar-unfermented",
    "fg-not-stable",
    "fg-not-logged",
    "fg-not-measured",
    "fg-above-expected",
    "fg-below-possible",
    "culture-at-packaging",
    "enzyme-at-packaging",
    "poisonous-ingredient",
    "dose-unsafe",
    "ingredient-caution",
    "strong-beer",
    "fermentation-gas",
    "concentrated-beer",
    "concentrated-unmeasured",
    "concentration-impossible",
    "refractometer-beyond-domain",
    "refractometer-warm",
    "addition-impossible",
    "blend-volume",
    "bottles-beyond-volume",
)


def one_beer(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """What can hurt, or cannot be true, of the beer itself, at its place in the batch."""
    for told in batch_cautions(beer.batch, beer.beer, context.today):
        yield Hit(told.rule, context.at_batch(beer.batch_id, *told.path), beer.batch_id, told.values, told.milder)


def allergens(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Allergens not stated at all, or not all of those that the records speak of."""
    found = _allergens_found(context, beer)
    stated = list(beer.batch.allergens)
    barley = barley_behind(beer.batch)
    absent = not_among(stated, found)
    said = in_words(absent)
    if not stated:
        values: dict[str, object] = {"found": f", and the records speak of {said}" if said else ""}
        own = ("barley",) if barley else ()
        values["example"] = ", ".join(dict.fromkeys((*own, *absent))) or NONE_KNOWN
        usual = "nearly every beer holds barley, and that is a source of gluten"
        values["usual"] = (
            usual if barley else "what is told of its grist holds no barley; traces may be in it all the same"
        )
        place = next(iter(absent.values()))[1] if absent else context.at_batch(beer.batch_id)
        yield Hit("allergens-not-stated", place, beer.batch_id, values, milder=not absent)
    elif absent:
        values = {"found": f"the records speak of {said}", "stated": ", ".join(stated), "missing": ", ".join(absent)}
        yield Hit("allergen-not-listed", context.at_batch(beer.batch_id, "allergens"), beer.batch_id, values)
    elif NONE_KNOWN in stated and (barley or len(stated) > 1):
        missing = ", ".join(name for name in stated if name != NONE_KNOWN) or "barley"
        holds = "nearly every beer is brewed of barley" if barley == "beer" else f"it holds {missing}"
        values = {"stated": NONE_KNOWN, "missing": missing, "found": holds}
        yield Hit("allergen-contradicts", context.at_batch(beer.batch_id, "allergens"), beer.batch_id, values)


def gluten_free(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A text for the judges that says a beer of barley holds no gluten."""
    barley = barley_behind(beer.batch)
    if not barley:
        return
    own = [e for e in context.entries if e.batch_id == beer.batch_id and e.entry.declaration]
    texts = [(beer.batch.declaration or "", context.at_batch(beer.batch_id, "declaration"))]
    texts += [(each.entry.declaration or "", context.at_entry(each, "declaration")) for each in own]
    texts += [(text, context.at_batch(beer.batch_id, "declare", item)) for item, text in beer.batch.declare.items()]
    for text, place in texts:
        said = says_gluten_free(text)
        if said:
            holds = "nearly every beer is brewed of barley" if barley == "beer" else "it holds barley"
            values: dict[str, object] = {"stated": said, "missing": "barley", "found": holds}
            yield Hit("allergen-contradicts", place, beer.batch_id, values)


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


FOR_BEERS: tuple[Rule[DeclaredBeer], ...] = (
    Rule(OF_ONE_BEER, one_beer),
    Rule(("allergens-not-stated", "allergen-not-listed", "allergen-contradicts"), allergens),
    Rule(("allergen-contradicts",), gluten_free),
)
