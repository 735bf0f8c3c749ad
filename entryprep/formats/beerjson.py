"""Reading a recipe from BeerJSON 1.0 (JSON Schema of the standard, npm package @beerjson/beerjson)."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from entryprep.formats.beerjson_parts import Parts
from entryprep.formats.draft import MAX_ITEMS, NOT_STATED, Draft, ReadRecipe, chosen, fermented_by, refused
from entryprep.formats.jsonplace import json_place
from entryprep.reading.yamltext import Path_

# the standard's word for a field of ours, to point at it
FIELDS = {
    "what": "name",
    "kind": "type",
    "mass": "amount",
    "volume": "amount",
    "count": "amount",
    "potential": "yield",
    "colour": "color",
    "alpha": "alpha_acid",
    "minutes": "timing",
    "use": "timing",
    "stage": "timing",
    "temperature": "timing",
    "attenuation": "attenuation",
    "form": "form",
    "name": "name",
    "style": "style",
    "efficiency": "efficiency",
    "boil_minutes": "boil",
    "boil_volume": "boil",
    "og": "original_gravity",
    "fg": "final_gravity",
    "abv": "alcohol_by_volume",
    "ibu": "ibu_estimate",
    "srm": "color_estimate",
    "co2": "carbonation",
}
_LISTS = {"fermentable_additions", "hop_additions", "culture_additions", "miscellaneous_additions"}
_RECIPE = {
    "name", "type", "batch_size", "efficiency", "style", "ingredients", "boil", "original_gravity", "final_gravity",
    "alcohol_by_volume", "color_estimate", "carbonation", "ibu_estimate",
}  # fmt: skip


def read_beerjson(content: bytes, file: str, wanted: str | None = None) -> ReadRecipe:
    """Read one recipe of a BeerJSON text as a batch.

    Raises RecordError, each problem at its line and column, for text that is not BeerJSON, for no or several recipes
    where ``wanted`` names none, for unknown units and for impossible values.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise refused(file, "the text is not UTF-8", "save the file as UTF-8", line, 1) from None
    root = _parsed(text, file)
    body = root.get("beerjson") if isinstance(root, dict) else None
    if not isinstance(body, dict):
        raise refused(file, "this is JSON, but not BeerJSON", 'it starts with {"beerjson": {"version": …', 1, 1)
    recipes = body.get("recipes")
    recipes = recipes if isinstance(recipes, list) else []
    names = [str(r.get("name", "")) if isinstance(r, dict) else "" for r in recipes]
    index = chosen(names, wanted, file)
    at: Path_ = ("beerjson", "recipes", index)
    if not isinstance(recipes[index], dict):
        raise refused(file, "a recipe is an object in braces", "check the file", *json_place(text, at))
    draft = Draft(file)
    draft.leave("", sorted(body.keys() - {"version", "recipes"}))
    _Recipe(draft, recipes[index], at).read()

    def place(source: Any, name: str | None) -> tuple[int, int]:
        path = source or at
        return json_place(text, (*path, name) if name else path)

    return draft.finish(place, FIELDS)


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number that can be used")


def _parsed(text: str, file: str) -> Any:
    try:
        return json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        raise refused(
            file, f"this is not JSON: {error.msg}", "check the text there", error.lineno, error.colno
        ) from None
    except RecursionError:
        raise refused(file, "lists or objects are nested too deeply", "check the file", 1, 1) from None
    except ValueError as error:
        raise refused(file, f"this is not JSON: {error}", "check the file", 1, 1) from None


class _Recipe:
    """One recipe on its way into a draft; ``at`` is its path in the file."""

    def __init__(self, draft: Draft, recipe: dict[str, Any], at: Path_) -> None:
        self.draft, self.recipe, self.at = draft, recipe, at
        self.parts = Parts(draft, at)

    def read(self) -> None:
        draft, recipe = self.draft, self.recipe
        silent = {"author"} if recipe.get("author") == NOT_STATED else set()
        draft.leave("", sorted(recipe.keys() - _RECIPE - silent))
        for key in ("name", "efficiency", "batch_size", "ingredients"):
            if key not in recipe:
                draft.assume(f"the recipe has no {key}, which the standard requires")
        made: dict[str, Any] = {}
        data = draft.data
        data["name"] = recipe.get("name", "recipe")
        data["recipe"] = made
        draft.sources[()] = self.at
        style = recipe.get("style")
        if isinstance(style, dict) and style.get("name"):
            data["style"] = style["name"]
        if "batch_size" in recipe:
            made["volume"] = self.parts.number(self.at, recipe, "batch_size", "volume")
        self.efficiency(made)
        self.boil(made)
        self.stated(data)
        parts = recipe.get("ingredients")
        parts = parts if isinstance(parts, dict) else {}
        draft.leave("ingredients", sorted(parts.keys() - _LISTS))
        read = self.parts
        made["fermentables"] = self.each("fermentable_additions", "fermentables", read.fermentable)
        made["hops"] = self.each("hop_additions", "hops", read.hops)
        made["yeast"] = self.each("culture_additions", "yeast", read.culture)
        misc = self.each("miscellaneous_additions", "additions", read.misc)
        data["additions"] = misc + [item for item, _ in read.extra]
        for index, (_, source) in enumerate(read.extra, len(misc)):
            draft.sources[("additions", index)] = source
        fermentation = fermented_by(str(y.get("kind")) for y in made["yeast"])
        if fermentation:
            data["traits"] = {"fermentation": fermentation}

    def each(
        self, key: str, ours: str, read: Callable[[dict[str, Any], Path_], dict[str, Any] | None]
    ) -> list[dict[str, Any]]:
        """Read every item of one list of ingredients."""
        parts = self.recipe.get("ingredients")
        items = parts.get(key) if isinstance(parts, dict) else None
        at: Path_ = (*self.at, "ingredients", key)
        if items is None:
            return []
        if not isinstance(items, list) or len(items) > MAX_ITEMS:
            self.draft.complain(at, key, f"expected a list of at most {MAX_ITEMS}", "check the file")
            return []
        made: list[dict[str, Any]] = []
        for index, item in enumerate(items):
            here = (*at, index)
            if not isinstance(item, dict):
                self.draft.complain(here, key, "an ingredient is an object in braces", "check the file")
                continue
            done = read(item, here)
            if done is not None:
                path: Path_ = ("additions", len(made)) if ours == "additions" else ("recipe", ours, len(made))
                self.draft.sources[path] = here
                made.append(done)
        return made

    def efficiency(self, made: dict[str, Any]) -> None:
        held = self.recipe.get("efficiency")
        at = (*self.at, "efficiency")
        if not isinstance(held, dict):
            return
        if "brewhouse" in held:
            made["efficiency"] = self.parts.number(at, held, "brewhouse", "percent")
        if "mash" in held and made.get("efficiency"):
            mash = self.parts.number(at, held, "mash", "percent")
            if mash and mash >= made["efficiency"]:
                made["mash_efficiency"] = mash
            elif mash:
                self.draft.assume(f"a mash efficiency of {mash:g} % is below the brewhouse's, so it is not used")

    def boil(self, made: dict[str, Any]) -> None:
        held = self.recipe.get("boil")
        at = (*self.at, "boil")
        if not isinstance(held, dict):
            return
        if "boil_time" in held:
            made["boil_minutes"] = self.parts.number(at, held, "boil_time", "time")
            self.parts.boil_minutes = made["boil_minutes"] or 60.0
        if "pre_boil_size" in held:
            made["boil_volume"] = self.parts.number(at, held, "pre_boil_size", "volume")
        steps = held.get("boil_steps")
        self.parts.steps = steps if isinstance(steps, list) else []

    def stated(self, data: dict[str, Any]) -> None:
        """Vitals that the file states: whoever wrote it worked them out, so they count as predicted."""
        kinds = {
            "og": ("original_gravity", "gravity"),
            "fg": ("final_gravity", "gravity"),
            "abv": ("alcohol_by_volume", "percent"),
            "srm": ("color_estimate", "color"),
        }
        said: dict[str, Any] = {}
        for ours, (key, kind) in kinds.items():
            if key in self.recipe:
                said[ours] = self.parts.number(self.at, self.recipe, key, kind)
        if isinstance(self.recipe.get("carbonation"), (int, float)):
            said["co2"] = self.recipe["carbonation"]
        said = {name: value for name, value in said.items() if value is not None}
        if said:
            data["predicted"] = said
            self.draft.sources[("predicted",)] = self.at
        if isinstance(self.recipe.get("ibu_estimate"), dict):
            self.draft.leave("", ["ibu_estimate"])  # it names a method, no number
