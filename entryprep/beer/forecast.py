"""From a recipe to predicted vitals: what the recipe leaves out is taken from the table of ingredients, and said."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.brewing.extract import Fermentable, yield_from_potential
from entryprep.brewing.plan import STAND_CELSIUS, Hops, Plan
from entryprep.brewing.prediction import Prediction, predict
from entryprep.measures import degrees, density_words, refusal
from entryprep.records.batch import Batch
from entryprep.records.recipe import Recipe, RecipeFermentable, RecipeHops
from entryprep.records.vitalsrecord import recorded
from entryprep.tables.ingredients import colour_of, known_fermentable, known_hops, potential_of

# kilograms per litre of what is measured by volume: common practice
DENSITY = {"honey": 1.42, "extract": 1.40, "juice": 1.05, "fruit": 1.0}
# what ferments of the extract where nothing is said: wort by the yeast's attenuation (None), all else nearly wholly
FERMENTS = {"sugar": 1.0, "honey": 0.95, "fruit": 0.95, "juice": 0.95}


@dataclass(frozen=True)
class Forecast:
    """A recipe as a plan, what it predicts, and what was assumed or could not be used on the way."""

    plan: Plan
    prediction: Prediction
    names: tuple[str, ...]
    hop_names: tuple[str, ...]
    assumed: tuple[str, ...]
    problem: str = ""


def forecast(batch: Batch) -> Forecast | None:
    """Predict the vitals of a batch from its recipe, or None if it has no recipe that was read.

    An original gravity that was measured, or predicted otherwise, serves for bitterness where the recipe alone gives
    none. A recipe of impossible numbers yields a forecast without vitals whose ``problem`` says why.
    """
    recipe = batch.recipe
    if recipe is None or recipe.file is not None:
        return None
    assumed: list[str] = []
    malts = [(item, _fermentable(item, assumed)) for item in recipe.fermentables]
    hops = None if recipe.hops is None else [(item, _hops(item, assumed)) for item in recipe.hops]
    known = [(item.what, f) for item, f in malts if f is not None]
    known_hop = [(item.what, h) for item, h in hops if h is not None] if hops is not None else None
    complete = len(known) == len(malts)
    whole = known_hop is not None and hops is not None and len(known_hop) == len(hops)
    plan = Plan(
        [f for _, f in known] if complete else [],
        [h for _, h in known_hop] if known_hop is not None and whole else None,
        recipe.volume or batch.volume,
        recipe.efficiency / 100 if recipe.efficiency else None,
        recipe.efficiency / recipe.mash_efficiency if recipe.efficiency and recipe.mash_efficiency else 1.0,
        recipe.boil_volume,
        recipe.boil_minutes,
        _attenuation(recipe),
    )
    names = tuple(name for name, _ in known) if complete else ()
    try:
        prediction = predict(plan, known_og=_stated_og(batch))
    except ValueError as error:
        return Forecast(plan, Prediction({}), names, (), tuple(assumed), refusal(error))
    hop_names = tuple(name for name, _ in known_hop or ())
    return Forecast(plan, prediction, names, hop_names, tuple(assumed))


def _stated_og(batch: Batch) -> float | None:
    """The original gravity of the records, corrected for the temperature it was read at."""
    for record, origin in ((batch.measured, "measured"), (batch.predicted, "predicted")):
        reading = recorded(record, "og", origin)
        if reading is not None:
            return reading.value
    return None


def _fermentable(item: RecipeFermentable, assumed: list[str]) -> Fermentable | None:
    known = known_fermentable(item.what)
    kind = item.kind or (known.kind if known else "grain")
    potential = potential_of(item.potential, known)
    if potential is None:
        assumed.append(f"{item.what} is not in the table and has no potential, so nothing follows from the grist")
        return None
    colour = colour_of(item.colour, known)
    usual = [f"potential {potential:.3f}"] if item.potential is None else []
    usual += [f"{colour:g} °L"] if item.colour is None and known else []
    if usual and known:
        assumed.append(f"{item.what}: {' and '.join(usual)} ({known.source})")
    elif item.colour is None:
        assumed.append(f"{item.what}: nothing is known of its colour, taken as none")
    mass = item.mass
    if mass is None:
        density = DENSITY.get(kind, 1.0)
        mass = (item.volume or 0.0) * density
        assumed.append(f"{item.what}: {density_words(density)}")
    share = item.fermentable if item.fermentable is not None else known.fermentable if known else None
    ferments = share / 100 if share is not None else FERMENTS.get(kind)
    use = item.use or ("mashed" if kind == "grain" else "dissolved")
    return Fermentable(mass, yield_from_potential(potential), colour, use, ferments, item.stage)


def _hops(item: RecipeHops, assumed: list[str]) -> Hops | None:
    known = known_hops(item.what)
    alpha = item.alpha if item.alpha is not None else known.alpha if known else None
    if alpha is None and item.use != "dry":
        assumed.append(f"{item.what} has no alpha acid and is not in the table, so bitterness cannot be predicted")
        return None
    if item.alpha is None and known and item.use != "dry":
        assumed.append(f"{item.what}: {alpha:g} % alpha acid ({known.source})")
    if item.use == "stand" and item.temperature is None:
        assumed.append(f"{item.what}: a stand at {degrees(STAND_CELSIUS)}")
    celsius = STAND_CELSIUS if item.temperature is None else min(max(item.temperature, 0.0), 105.0)
    return Hops(item.mass, alpha or 0.0, item.use, item.minutes, celsius)


def _attenuation(recipe: Recipe) -> float | None:
    """The highest attenuation among the cultures: the hungriest decides how far the beer goes."""
    known = [yeast.attenuation for yeast in recipe.yeast if yeast.attenuation is not None]
    return max(known) / 100 if known else None
