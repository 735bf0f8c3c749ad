"""A batch as a BeerJSON 1.0 recipe.

Carried, and read back alike: name, style name, volume, efficiencies, boil, fermentables (name, kind, amount,
potential, colour, mashed or steeped or dissolved, stage), hops (name, amount, alpha acid, use, minutes, temperature,
form), cultures (name, kind, attenuation, form, amount), spices and wood (name, amount, stage), and the vitals but
bitterness, for which the standard has no number. Minutes are whole in the standard. What the standard requires and
nobody said is written as "not stated".
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from entryprep.errors import EntryprepError
from entryprep.formats.draft import NOT_STATED
from entryprep.records.batch import Addition, Batch
from entryprep.records.recipe import Recipe, RecipeFermentable, RecipeHops, RecipeYeast
from entryprep.tables.ingredients import colour_of, known_fermentable, known_hops, potential_of

LATE_MINUTES = 10  # what is added late in the boil
_USES = {"mash": "add_to_mash", "boil": "add_to_boil", "whirlpool": "add_to_boil", "packaging": "add_to_package"}
_MISC = {"spice": "spice", "wood": "wood"}


class UnwritableRecipe(EntryprepError, ValueError):
    """A recipe lacks what BeerJSON requires and nothing can stand for; ``fix`` says what to give."""


def beerjson_text(batch: Batch, vitals: Mapping[str, float]) -> str:
    """The recipe of a batch, vitals filled in, as BeerJSON text that ends with a line break.

    ``vitals`` holds inner values by name (og, fg, abv, srm, co2). Raises UnwritableRecipe where volume, efficiency, an
    ingredient's potential or an alpha acid is neither given nor known.
    """
    recipe = batch.recipe
    if recipe is None:
        raise UnwritableRecipe(f"{batch.name} has no recipe", "add a `recipe:` to the batch")
    volume = recipe.volume or batch.volume
    if volume is None:
        raise UnwritableRecipe("the recipe has no volume", "give the volume into the fermenter")
    if recipe.efficiency is None:
        raise UnwritableRecipe("the recipe has no efficiency", "give it, such as `efficiency: 72 %`")
    steps = _boil_steps(recipe)
    ingredients: dict[str, Any] = {"fermentable_additions": [_fermentable(item) for item in recipe.fermentables]}
    if recipe.hops is not None:
        ingredients["hop_additions"] = [_hops(item, steps) for item in recipe.hops]
    misc = _misc(batch, recipe)
    if misc:
        ingredients["miscellaneous_additions"] = misc
    if recipe.yeast:
        ingredients["culture_additions"] = [_culture(item) for item in recipe.yeast]
    efficiency = {"brewhouse": _of("%", recipe.efficiency)}
    if recipe.mash_efficiency is not None:
        efficiency["mash"] = _of("%", recipe.mash_efficiency)
    made: dict[str, Any] = {
        "name": batch.name,
        "type": _type(recipe),
        "author": NOT_STATED,
        "batch_size": _of("l", volume),
        "efficiency": efficiency,
        "ingredients": ingredients,
        "boil": _boil(recipe, steps),
    }
    if batch.style:
        words = {"category": NOT_STATED, "style_guide": NOT_STATED, "type": "beer"}
        made["style"] = {"name": batch.style, **words}
    made |= _vitals(vitals)
    return json.dumps({"beerjson": {"version": 1.0, "recipes": [made]}}, ensure_ascii=False, indent=2) + "\n"


def _of(unit: str, value: float) -> dict[str, Any]:
    return {"unit": unit, "value": round(value, 9)}


def _minutes(value: float) -> dict[str, Any]:
    return {"unit": "min", "value": round(value)}  # the standard wants a whole number


def _type(recipe: Recipe) -> str:
    uses = {
        item.use or ("mashed" if (item.kind or "grain") == "grain" else "dissolved") for item in recipe.fermentables
    }
    extract = any(item.kind in {"extract", "dry extract"} for item in recipe.fermentables)
    return "extract" if "mashed" not in uses else "partial mash" if extract else "all grain"


def _amount(item: RecipeFermentable | RecipeYeast | Addition, mass_unit: str) -> dict[str, Any]:
    if item.mass is not None:
        return _of(mass_unit, item.mass)
    if item.volume is not None:
        return _of("l", item.volume)
    return _of("pkg", getattr(item, "count", None) or 1)


def _fermentable(item: RecipeFermentable) -> dict[str, Any]:
    known = known_fermentable(item.what)
    potential = potential_of(item.potential, known)
    if potential is None:
        raise UnwritableRecipe(f"{item.what} has no potential", "give it, such as `potential: 80 %`")
    kind = item.kind or (known.kind if known else "grain")
    colour = colour_of(item.colour, known)
    made: dict[str, Any] = {
        "name": item.what,
        "type": kind,
        "yield": {"potential": _of("sg", potential)},
        "color": _of("Lovi", colour),
        "amount": _amount(item, "kg"),
    }
    use = item.use or ("mashed" if kind == "grain" else "dissolved")
    if item.stage == "fermenter":
        made["timing"] = {"use": "add_to_fermentation"}
    elif item.stage == "late":
        made["timing"] = {"use": "add_to_boil", "duration": _minutes(LATE_MINUTES)}
    else:
        made["timing"] = {"use": "add_to_mash" if use == "mashed" else "add_to_boil"}
    return made


def _boil_steps(recipe: Recipe) -> list[tuple[str, float | None]]:
    """Name and temperature of the steps of the boil; none for a plain boil."""
    hops = recipe.hops or []
    stands = sorted(
        {h.temperature if h.temperature is not None else 90.0 for h in hops if h.use == "stand"}, reverse=True
    )
    first: list[tuple[str, float | None]] = [("first wort", None)] if any(h.use == "first wort" for h in hops) else []
    if not first and not stands:
        return []
    return [*first, ("boil", 100.0), *((f"stand at {celsius:g} °C", celsius) for celsius in stands)]


def _boil(recipe: Recipe, steps: list[tuple[str, float | None]]) -> dict[str, Any]:
    made: dict[str, Any] = {"boil_time": _minutes(recipe.boil_minutes)}
    if recipe.boil_volume is not None:
        made["pre_boil_size"] = _of("l", recipe.boil_volume)
    if steps:
        made["boil_steps"] = [
            {"name": name} | ({} if c is None else {"start_temperature": _of("C", c), "end_temperature": _of("C", c)})
            for name, c in steps
        ]
    return made


def _hops(item: RecipeHops, steps: list[tuple[str, float | None]]) -> dict[str, Any]:
    known = known_hops(item.what)
    alpha = item.alpha if item.alpha is not None else known.alpha if known else None
    if alpha is None:
        raise UnwritableRecipe(f"{item.what} has no alpha acid", "give it, such as `alpha: 5.5 %`")
    timing: dict[str, Any] = {"use": {"mash": "add_to_mash", "dry": "add_to_fermentation"}.get(item.use, "add_to_boil")}
    if item.use in {"boil", "stand"}:
        timing["duration"] = _minutes(item.minutes)
    if item.use == "first wort":
        timing["step"] = 1
    if item.use == "stand":
        heat = item.temperature if item.temperature is not None else 90.0
        timing["step"] = 1 + [celsius for _, celsius in steps].index(heat)
    made: dict[str, Any] = {"name": item.what, "alpha_acid": _of("%", alpha), "amount": _of("g", item.mass)}
    if item.form:
        made["form"] = item.form
    return made | {"timing": timing}


def _culture(item: RecipeYeast) -> dict[str, Any]:
    made = {"name": item.what, "type": item.kind, "form": item.form or "culture", "amount": _amount(item, "g")}
    return made | ({} if item.attenuation is None else {"attenuation": _of("%", item.attenuation)})


def _misc(batch: Batch, recipe: Recipe) -> list[dict[str, Any]]:
    """Additions but those that stand among the fermentables already."""
    there = {item.what for item in recipe.fermentables}
    return [
        {
            "name": item.what,
            "type": _MISC.get(item.kind, "other"),
            "amount": _amount(item, "kg"),
            "timing": _stage(item.stage),
        }
        for item in batch.additions or []
        if item.what not in there
    ]


def _stage(stage: str | None) -> dict[str, Any]:
    if stage is None:
        return {}
    use = _USES.get(stage, "add_to_fermentation")
    return {"use": use} | ({"step": 2} if stage == "conditioning" else {})


def _vitals(vitals: Mapping[str, float]) -> dict[str, Any]:
    places = {
        "og": ("original_gravity", "sg"),
        "fg": ("final_gravity", "sg"),
        "abv": ("alcohol_by_volume", "%"),
        "srm": ("color_estimate", "SRM"),
    }
    made: dict[str, Any] = {key: _of(unit, vitals[n]) for n, (key, unit) in places.items() if n in vitals}
    if "co2" in vitals:
        made["carbonation"] = round(vitals["co2"], 9)
    return made
