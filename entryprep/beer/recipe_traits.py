"""What a recipe says of how its beer tastes: for each trait, how much each of its values is spoken for.

Likelihoods, not certainties: each is spread over the values of its trait and sums to 1, and the ranking weighs them as
such. Limits are common practice, from memory: what brewers call lightly or heavily hopped, roasted, made with wheat.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from entryprep.measures import per_beer
from entryprep.records.recipe import Recipe, RecipeFermentable, RecipeHops
from entryprep.tables.ingredients import known_fermentable, known_hops, malt_class
from entryprep.tables.style import TRAITS
from entryprep.text import fold

LATE_MINUTES = 20.0  # hops boiled for no longer keep aroma
LIGHT_HOPS, HEAVY_HOPS = 0.7, 3.0  # grams of late and dry hops per litre: below low, above high
SURE = 0.95
WILD = {"brett", "lacto", "pedio", "bacteria", "mixed-culture", "spontaneous"}
SOURING = {"lacto", "pedio", "bacteria", "mixed-culture", "spontaneous"}
SPICY_WORDS = {
    "saison",
    "farmhouse",
    "belgian",
    "abbey",
    "abbaye",
    "trappist",
    "wit",
    "witbier",
    "weizen",
    "hefeweizen",
}
SPICY_WORDS |= {"weissbier", "weihenstephan", "bavarian", "ardennes", "french", "wheat"}
# least share of the grist, by mass, that lends a beer a character (common practice)
ROAST_SHARE, CARAMEL_SHARE, TOAST_SHARE, BREAD_SHARE = 0.035, 0.06, 0.05, 0.25
GRAIN_SHARES = {"wheat": 0.25, "rye": 0.08, "oats": 0.07, "corn-rice": 0.10}


@dataclass(frozen=True)
class Inferred:
    """One trait as a recipe has it: how much each value is spoken for, in the order of TRAITS, and why."""

    trait: str
    chances: tuple[float, ...]
    why: str

    @property
    def likeliest(self) -> str:
        """The value most spoken for."""
        return max(zip(self.chances, TRAITS[self.trait], strict=True), key=lambda pair: pair[0])[1]


def recipe_traits(recipe: Recipe | None, litres: float | None) -> tuple[Inferred, ...]:
    """What follows from a recipe for ``litres`` of beer, in the order of TRAITS; nothing where it says nothing."""
    if recipe is None or recipe.file is not None:
        return ()
    found = [
        _fermentation(recipe),
        *_hops(recipe, recipe.volume or litres),
        _malt(recipe),
        _yeast(recipe),
        _sourness(recipe),
        _grain(recipe),
        _smoke(recipe),
    ]
    return tuple(each for each in found if each is not None)


def _told(trait: str, weights: Mapping[str, float], why: str) -> Inferred:
    values = [max(weights.get(value, 0.0), 0.0) for value in TRAITS[trait]]
    floor = 0.02  # a recipe is not the beer: nothing is ruled out
    total = sum(values) or 1.0
    spread = [value / total + floor for value in values]
    return Inferred(trait, tuple(value / sum(spread) for value in spread), why)


def _fermentation(recipe: Recipe) -> Inferred | None:
    kinds = [yeast.kind for yeast in recipe.yeast if "kind" in yeast.model_fields_set]
    if not kinds:
        return None
    if set(kinds) & WILD:
        return _told("fermentation", {"wild": SURE, "ale": 0.05}, "its cultures")
    lager = any(kind == "lager" for kind in kinds)
    return _told("fermentation", {"lager": SURE, "ale": 0.05} if lager else {"ale": SURE, "lager": 0.05}, "its yeast")


def _is_late(hops: RecipeHops) -> bool:
    return hops.use in {"stand", "dry"} or (hops.use == "boil" and hops.minutes <= LATE_MINUTES)


def _hops(recipe: Recipe, litres: float | None) -> list[Inferred]:
    if recipe.hops is None or not litres:
        return []
    late = sum(h.mass * (1.5 if h.use == "dry" else 1.0) for h in recipe.hops if _is_late(h)) / litres
    shown, unit = per_beer(late, "g/L")
    low = 1 / (1 + math.exp(3.0 * math.log(max(late, 1e-3) / LIGHT_HOPS)))
    high = 1 / (1 + math.exp(-3.0 * math.log(max(late, 1e-3) / HEAVY_HOPS)))
    found = [
        _told("hops", {"low": low, "high": high, "medium": max(0.0, 1 - low - high)}, f"{shown:.1f} {unit} late or dry")
    ]
    origins: dict[str, float] = {}
    for hops in recipe.hops:
        known = known_hops(hops.what)
        if known is not None:
            # what is boiled for an hour bitters and lends little aroma
            weight = hops.mass if _is_late(hops) else 0.2 * hops.mass
            origins[known.origin] = origins.get(known.origin, 0.0) + weight
    if origins:
        found.append(_told("hop_kind", origins, "its varieties of hops"))
    return found


def _masses(recipe: Recipe) -> list[tuple[RecipeFermentable, float]]:
    return [(item, item.mass or 0.0) for item in recipe.fermentables if item.mass]


def _shares(recipe: Recipe, what: str) -> dict[str, float]:
    """Share of the grist by the character or the grain of each malt; sugars and the like count for the whole only."""
    total = sum(mass for _, mass in _masses(recipe))
    shares: dict[str, float] = {}
    for item, mass in _masses(recipe):
        row = malt_class(item.what)
        known = known_fermentable(item.what)
        if row is None or (known is not None and known.kind not in {"grain", "extract", "dry extract"}):
            continue
        name = str(getattr(row, what))
        shares[name] = shares.get(name, 0.0) + mass / total
    return shares


def _malt(recipe: Recipe) -> Inferred | None:
    shares = _shares(recipe, "leads")
    if not shares:
        return None
    weights = {
        "roasted": shares.get("roasted", 0.0) / ROAST_SHARE,
        "chocolate": shares.get("chocolate", 0.0) / ROAST_SHARE,
        "caramel": shares.get("caramel", 0.0) / CARAMEL_SHARE,
        "toasty": shares.get("toasty", 0.0) / TOAST_SHARE,
        "bready": shares.get("bready", 0.0) / BREAD_SHARE,
        "grainy": 0.5,
    }
    squared = {name: weight * weight for name, weight in weights.items()}
    return _told("malt", squared, "its malts")


def _grain(recipe: Recipe) -> Inferred | None:
    shares = _shares(recipe, "grain")
    if not shares:
        return None
    weights = {name: (shares.get(name, 0.0) / least) ** 2 for name, least in GRAIN_SHARES.items()}
    return _told("grain", {**weights, "barley": 0.6}, "its grist")


def _yeast(recipe: Recipe) -> Inferred | None:
    if not recipe.yeast:
        return None
    if any(yeast.kind == "brett" for yeast in recipe.yeast):
        return _told("yeast", {"funky": 0.8, "fruity": 0.2}, "its cultures")
    if any(yeast.kind == "lager" for yeast in recipe.yeast):
        return _told("yeast", {"clean": SURE, "fruity": 0.05}, "its yeast")
    words = {word for yeast in recipe.yeast for word in fold(yeast.what).split()}
    if words & SPICY_WORDS:
        return _told("yeast", {"spicy": 0.6, "fruity": 0.35, "clean": 0.05}, "its yeast")
    return _told("yeast", {"clean": 0.55, "fruity": 0.4, "spicy": 0.05}, "its yeast")


def _sourness(recipe: Recipe) -> Inferred | None:
    if not recipe.yeast:
        return None
    if any(yeast.kind in SOURING for yeast in recipe.yeast):
        return _told("sourness", {"marked": 0.6, "light": 0.35, "none": 0.05}, "its cultures")
    return _told("sourness", {"none": SURE, "light": 0.05}, "its yeast")


def _smoke(recipe: Recipe) -> Inferred | None:
    if not recipe.fermentables:
        return None
    words = [set(fold(item.what).split()) for item in recipe.fermentables]
    smoked = any(found & {"smoked", "rauch", "rauchmalt", "peated", "smoke"} for found in words)
    return _told("smoke", {"present": 0.9, "none": 0.1} if smoked else {"none": SURE, "present": 0.02}, "its malts")
