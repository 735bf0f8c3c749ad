"""Reading a recipe from BeerXML 1.0; its units are fixed: kg, litres, minutes, °C, °Lovibond, per cent."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from entryprep.brewing.extract import SUCROSE_POINTS
from entryprep.formats.draft import MAX_ITEMS, Draft, ReadRecipe, chosen, fermented_by, refused
from entryprep.formats.xmltree import Element, parse_xml
from entryprep.reading.yamltext import Path_

FIELDS = {
    "what": "NAME",
    "kind": "TYPE",
    "mass": "AMOUNT",
    "volume": "AMOUNT",
    "potential": "YIELD",
    "colour": "COLOR",
    "alpha": "ALPHA",
    "minutes": "TIME",
    "use": "USE",
    "stage": "USE",
    "attenuation": "ATTENUATION",
    "form": "FORM",
    "name": "NAME",
    "style": "STYLE",
    "efficiency": "EFFICIENCY",
    "boil_minutes": "BOIL_TIME",
    "boil_volume": "BOIL_SIZE",
    "og": "OG",
    "fg": "FG",
    "co2": "CARBONATION",
}
REQUIRED = ("NAME", "TYPE", "STYLE", "BREWER", "BATCH_SIZE", "BOIL_SIZE", "BOIL_TIME", "HOPS", "FERMENTABLES", "MISCS",
            "YEASTS")  # fmt: skip
_RECIPE = {*REQUIRED, "VERSION", "EFFICIENCY", "OG", "FG", "CARBONATION"}
_FERMENTABLE = {"NAME", "VERSION", "TYPE", "AMOUNT", "YIELD", "COLOR", "ADD_AFTER_BOIL"}
_HOP = {"NAME", "VERSION", "ALPHA", "AMOUNT", "USE", "TIME", "FORM"}
_YEAST = {"NAME", "VERSION", "TYPE", "FORM", "AMOUNT", "AMOUNT_IS_WEIGHT", "ATTENUATION"}
_MISC = {"NAME", "VERSION", "TYPE", "USE", "TIME", "AMOUNT", "AMOUNT_IS_WEIGHT"}
KINDS = {"grain": "grain", "adjunct": "grain", "sugar": "sugar", "extract": "extract", "dry extract": "dry extract"}
HOP_USES = {"boil": "boil", "dry hop": "dry", "mash": "mash", "first wort": "first wort", "aroma": "stand"}
# BeerXML has no word for souring cultures: a wheat yeast is an ale yeast
CULTURES = {"ale": "ale", "lager": "lager", "wheat": "ale", "wine": "wine", "champagne": "champagne"}
SPICED = {"spice": "spice", "herb": "spice", "flavor": "spice"}
STAGES = {
    "boil": "boil",
    "mash": "mash",
    "primary": "fermenter",
    "secondary": "conditioning",
    "bottling": "packaging",
}


def read_beerxml(content: bytes, file: str, wanted: str | None = None) -> ReadRecipe:
    """Read one recipe of a BeerXML text as a batch.

    Raises RecordError, each problem at its line and column, for text that is not BeerXML, for no or several recipes
    where ``wanted`` names none, for numbers that are none and for impossible values.
    """
    root = parse_xml(content, file)
    found = [root] if root.tag == "RECIPE" else [e for e in root.inside if e.tag == "RECIPE"]
    if not found and root.tag != "RECIPES":
        raise refused(
            file, "this is XML, but no BeerXML recipe", "it holds <RECIPES> with <RECIPE> inside", root.line, 1
        )
    recipe = found[chosen([" ".join(e.said("NAME").split()) for e in found], wanted, file)]
    draft = Draft(file)
    draft.sources[()] = recipe
    _read(draft, recipe)

    def place(source: Any, name: str | None) -> tuple[int, int]:
        element: Element = source or recipe
        below = element.child(name) if name else None
        return ((below or element).line, (below or element).column)

    return draft.finish(place, FIELDS)


def _read(draft: Draft, recipe: Element) -> None:
    _leave(draft, "", recipe, _RECIPE)
    missing = [tag for tag in REQUIRED if recipe.child(tag) is None]
    if missing:
        draft.assume(f"the recipe has no {', '.join(missing)}, which the standard requires")
    data = draft.data
    made: dict[str, Any] = {}
    data["name"] = recipe.said("NAME") or "recipe"
    data["recipe"] = made
    style = recipe.child("STYLE")
    if style is not None and style.said("NAME"):
        data["style"] = style.said("NAME")
    for ours, tag in (
        ("volume", "BATCH_SIZE"),
        ("boil_volume", "BOIL_SIZE"),
        ("boil_minutes", "BOIL_TIME"),
        ("efficiency", "EFFICIENCY"),
    ):
        number = _number(draft, recipe, tag)
        if number is not None:
            made[ours] = number
    _stated(draft, recipe)
    extra: list[tuple[dict[str, Any], Element]] = []
    made["fermentables"] = _each(draft, recipe, "FERMENTABLES", "fermentables", lambda e: _fermentable(draft, e, extra))
    made["hops"] = _each(draft, recipe, "HOPS", "hops", lambda e: _hops(draft, e))
    made["yeast"] = _each(draft, recipe, "YEASTS", "yeast", lambda e: _yeast(draft, e))
    data["additions"] = _each(draft, recipe, "MISCS", "additions", lambda e: _misc(draft, e))
    for addition, element in extra:
        draft.sources[("additions", len(data["additions"]))] = element
        data["additions"].append(addition)
    fermentation = fermented_by(str(y["kind"]) for y in made["yeast"])
    if fermentation:
        data["traits"] = {"fermentation": fermentation}


def _each(
    draft: Draft, recipe: Element, tag: str, ours: str, read: Callable[[Element], dict[str, Any] | None]
) -> list[dict[str, Any]]:
    holder = recipe.child(tag)
    made: list[dict[str, Any]] = []
    for element in holder.inside[:MAX_ITEMS] if holder else ():
        done = read(element)
        if done is not None:
            path: Path_ = ("additions", len(made)) if ours == "additions" else ("recipe", ours, len(made))
            draft.sources[path] = element
            made.append(done)
    return made


def _leave(draft: Draft, where: str, element: Element, known: set[str]) -> None:
    left = {e.tag for e in element.inside if e.tag not in known and (e.text.strip() or e.inside)}
    draft.leave(where, sorted(left))


def _number(draft: Draft, element: Element, tag: str) -> float | None:
    """The number in a child element, or None if it is not there or empty; a problem is noted if it is no number."""
    text = element.said(tag)
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        child = element.child(tag)
        fix = "BeerXML wants a plain number there" + (", with a decimal point" if "," in text else ", without a unit")
        draft.complain(child, tag, f"{text[:40]} is not a number", fix)
        return None


def _stated(draft: Draft, recipe: Element) -> None:
    """Vitals that the file states: usually worked out by whatever wrote it, so they count as predicted."""
    said: dict[str, float] = {}
    for ours, tag in (("og", "OG"), ("fg", "FG")):
        number = _number(draft, recipe, tag)
        if number is None or number == 0:
            continue
        if 0.98 <= number <= 1.2:
            said[ours] = number
        else:
            draft.assume(f"{tag} {recipe.said(tag)[:20]} is not a specific gravity, so it is not used")
    number = _number(draft, recipe, "CARBONATION")
    if number:
        said["co2"] = number
    if said:
        draft.data["predicted"] = said
        draft.sources[("predicted",)] = recipe


def _fermentable(draft: Draft, element: Element, extra: list[tuple[dict[str, Any], Element]]) -> dict[str, Any]:
    _leave(draft, "fermentables", element, _FERMENTABLE)
    said = element.said("TYPE").lower()
    made: dict[str, Any] = {"what": element.said("NAME"), "kind": KINDS.get(said, said)}
    made["mass"] = _number(draft, element, "AMOUNT")
    share = _number(draft, element, "YIELD")
    if share is not None:
        made["potential"] = 1 + share * SUCROSE_POINTS / 1e5
    made["colour"] = _number(draft, element, "COLOR")
    if element.said("ADD_AFTER_BOIL").upper() == "TRUE":
        made["stage"] = "late"
    if "honey" in made["what"].lower():
        made["kind"] = "honey"
        extra.append(({"what": made["what"], "kind": "sugar", "mass": made["mass"], "stage": "boil"}, element))
    return made


def _hops(draft: Draft, element: Element) -> dict[str, Any]:
    _leave(draft, "hops", element, _HOP)
    mass = _number(draft, element, "AMOUNT")
    made: dict[str, Any] = {"what": element.said("NAME"), "mass": None if mass is None else mass * 1000}
    made["alpha"] = _number(draft, element, "ALPHA")
    said = element.said("USE").lower()
    made["use"] = HOP_USES.get(said, said or "boil")
    if made["use"] in {"boil", "stand"}:
        made["minutes"] = _number(draft, element, "TIME") or 0.0
    form = element.said("FORM").lower()
    if form:
        made["form"] = form
    return made


def _amount(draft: Draft, element: Element) -> dict[str, float]:
    number = _number(draft, element, "AMOUNT")
    if number is None or number <= 0:
        return {}
    return {"mass" if element.said("AMOUNT_IS_WEIGHT").upper() == "TRUE" else "volume": number}


def _yeast(draft: Draft, element: Element) -> dict[str, Any]:
    _leave(draft, "yeast", element, _YEAST)
    said = element.said("TYPE").lower()
    made: dict[str, Any] = {"what": element.said("NAME"), "kind": CULTURES.get(said, said or "ale")}
    made["attenuation"] = _number(draft, element, "ATTENUATION")
    form = element.said("FORM").lower()
    if form:
        made["form"] = form
    amount = _amount(draft, element)
    return made | ({"mass": amount["mass"] * 1000} if "mass" in amount else amount)


def _misc(draft: Draft, element: Element) -> dict[str, Any] | None:
    _leave(draft, "additions", element, _MISC)
    said = element.said("TYPE").lower()
    if said not in SPICED:
        draft.leave("additions", [f"{element.said('NAME')} ({said or 'of no type'})"])
        return None
    made: dict[str, Any] = {"what": element.said("NAME"), "kind": SPICED[said], **_amount(draft, element)}
    stage = STAGES.get(element.said("USE").lower())
    return made | ({"stage": stage} if stage else {})
