"""Vitals of a beer: value, standard uncertainty and origin of each; strength derived from the gravities."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from entryprep.brewing.gravity import plato_from_sg, sg_from_plato
from entryprep.quantities import KINDS
from entryprep.records.batch import Batch
from entryprep.records.vitalsrecord import recorded
from entryprep.vitals import KINDS_OF_VITAL, VITALS, Reading, Vitals

if TYPE_CHECKING:
    from entryprep.beer.forecast import Forecast


def batch_vitals(batch: Batch, expected: Forecast | None = None) -> Vitals:
    """Vitals of a batch: a measurement beats a stated prediction, and that beats the recipe.

    ``expected`` is the forecast of its recipe, if it was made already. Carbonation follows from priming and other sugar
    in the bottle where none is given, or where what was read had not seen it (``beer.gas``). Raises QuantityError where
    measured and predicted gravities contradict each other.
    """
    values: dict[str, Reading] = {}
    for name in VITALS:
        for record, origin in ((batch.measured, "measured"), (batch.predicted, "predicted")):
            reading = recorded(record, name, origin)
            if reading is not None and name not in values:
                values[name] = reading
    if batch.recipe is not None:
        from entryprep.beer.forecast import forecast  # noqa: PLC0415 - only a recipe predicts

        values |= _from_recipe(expected or forecast(batch), values)
    if batch.carbonation is not None or any(addition.stage == "packaging" for addition in batch.additions or ()):
        from entryprep.beer.gas import gas_of  # noqa: PLC0415 - of few beers more than a reading is known

        gas = gas_of(batch)
        if gas is not None and ("co2" not in values or len(gas.parts) > 1):
            values["co2"] = Reading(gas.volumes, gas.error, "derived")
    return Vitals(**values)


def _from_recipe(expected: Forecast | None, given: Mapping[str, Reading]) -> dict[str, Reading]:
    """The vitals that only the recipe tells. Of og, fg and abv two settle the third, so it fills in at most to two."""
    og = given.get("og")
    if expected is None:
        return {}
    vitals = {n: r for n, r in _plausible(expected).items() if n not in given}
    settled = {"og", "fg", "abv"} & given.keys()
    if settled and "abv" in vitals:
        del vitals["abv"]
    if len(settled) >= 2 or "abv" in settled:
        vitals.pop("fg", None)
    if len(settled) >= 2:
        vitals.pop("og", None)
    if og is not None and "fg" in vitals:
        # what the recipe says of the attenuation holds for the gravity that was measured
        there = plato_from_sg(expected.prediction.vitals["og"].value)
        left = plato_from_sg(vitals["fg"].value) / there if there > 0 else 1.0
        vitals["fg"] = Reading(sg_from_plato(plato_from_sg(og.value) * left), vitals["fg"].error, "recipe")
    if "fg" in given and "og" in vitals and vitals["og"].value < given["fg"].value:
        del vitals["og"]
    return vitals


def _plausible(expected: Forecast) -> dict[str, Reading]:
    """What is predicted, but values no beer has, such as a beer without any colour: then something is not known.

    A colour darker than beer can be is as dark as beer can be.
    """
    return {
        name: Reading(min(value, kind.high) if name == "srm" else value, error, "recipe")
        for name, (value, error) in expected.prediction.vitals.items()
        for kind in (KINDS[KINDS_OF_VITAL[name].kind],)
        if kind.low <= value and (value <= kind.high or name == "srm") and math.isfinite(error)
    }


def recipe_vitals(expected: Forecast | None) -> dict[str, Reading]:
    """What a recipe alone predicts, og as a hydrometer shows it before the yeast; empty without a forecast."""
    if expected is None:
        return {}
    vitals = {name: Reading(v, e, "recipe") for name, (v, e) in expected.prediction.vitals.items()}
    if expected.prediction.pitching_og is not None:
        vitals["og"] = Reading(*expected.prediction.pitching_og, "recipe")
    return vitals
