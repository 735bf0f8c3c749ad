"""Vitals of a beer: value, standard uncertainty and origin of each; strength derived from the gravities."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from entryprep.brewing.alcohol import abv, abv_slopes, fg_from_abv, og_from_abv
from entryprep.brewing.carbonation import primed_volumes
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato
from entryprep.brewing.hydrometer import corrected_sg
from entryprep.matching.predicting import forecast
from entryprep.quantities import QuantityError, parse
from entryprep.records.batch import Batch
from entryprep.records.fields import VITAL_KINDS
from entryprep.records.style import VITALS
from entryprep.records.vitalsrecord import MeasuredGravity, VitalsRecord

GRAVITY_ERROR = {
    "hydrometer": 0.001,  # common practice: half a division of a 0.002 scale
    "refractometer": 0.003,  # final gravity behind alcohol: several points (S. Terrill, ten beers)
    "refractometer before": 0.0015,  # unfermented wort: 0.2 °Brix and 2 % of the wort factor, common practice
    "lab": 0.0002,  # common practice
    "meter": 0.0005,  # common practice: a floating or bench density meter
    "label": 0.001,
    "estimate": 0.003,
}
ABV_ERROR = 0.3  # US label tolerance, 27 CFR 7.65(c)
CO2_ERROR = 0.2  # common practice: a priming or regulator estimate
IBU_SHARE, IBU_LEAST = 0.20, 1.0  # prediction against laboratory, common practice
SRM_SHARE, SRM_LEAST = 0.15, 0.5  # prediction against laboratory, common practice
LAB_SHARE = 0.05


@dataclass(frozen=True)
class Reading:
    """One vital: value, standard uncertainty in the same unit (None: the usual one is taken), origin."""

    value: float
    error: float | None = None
    origin: str = "measured"


def usual_error(vital: str, value: float, by: str = "hydrometer") -> float:
    """Standard uncertainty of a vital in its own unit, by how it was found. Raises KeyError for an unknown vital."""
    if VITAL_KINDS[vital] == "gravity":
        unfermented = vital == "og" and by == "refractometer"
        return GRAVITY_ERROR.get("refractometer before" if unfermented else by, 0.001)
    if vital == "abv":
        return 0.1 if by == "lab" else ABV_ERROR
    if vital == "co2":
        return 0.05 if by == "lab" else CO2_ERROR
    share, least = (IBU_SHARE, IBU_LEAST) if vital == "ibu" else (SRM_SHARE, SRM_LEAST)
    return max(least, value * (LAB_SHARE if by == "lab" else share))


class Vitals:
    """Vitals og, fg, abv, ibu, srm, co2, each a number, a text with a unit or a Reading; any may be missing.

    Of og, fg and abv any two give the third, with the uncertainty that follows. Raises QuantityError for a
    value that is not plausible, a negative error, or a final gravity above the original.
    """

    def __init__(
        self,
        og: float | str | Reading | None = None,
        fg: float | str | Reading | None = None,
        abv: float | str | Reading | None = None,
        ibu: float | str | Reading | None = None,
        srm: float | str | Reading | None = None,
        co2: float | str | Reading | None = None,
    ) -> None:
        given = {"og": og, "fg": fg, "abv": abv, "ibu": ibu, "srm": srm, "co2": co2}
        self._known = {name: _reading(name, value) for name, value in given.items() if value is not None}
        self._derive()

    def _derive(self) -> None:
        known = self._known
        if "og" in known and "fg" in known and known["fg"].value > known["og"].value:
            raise QuantityError(
                f"fg {known['fg'].value:.3f} is above og {known['og'].value:.3f}", "fermentation lowers gravity"
            )
        present = [name for name in ("og", "fg", "abv") if name in known]
        if len(present) == 2:
            (missing,) = {"og", "fg", "abv"} - set(present)
            try:
                derived = _derived(missing, {name: known[name] for name in present})
            except ValueError as error:
                raise QuantityError(str(error), "check both numbers") from None
            if 0.980 <= derived.value <= 1.200 or missing == "abv":
                known[missing] = derived
        self._known = {name: known[name] for name in VITALS if name in known}

    @property
    def known(self) -> Mapping[str, Reading]:
        """The vitals that are known, in the order og, fg, abv, ibu, srm, co2; every error is filled in."""
        return self._known

    def get(self, vital: str) -> Reading | None:
        """One vital, or None."""
        return self._known.get(vital)

    def error(self, vital: str) -> float:
        """Standard uncertainty of a known vital. Raises KeyError if it is not known."""
        reading = self._known[vital]
        return reading.error if reading.error is not None else usual_error(vital, reading.value)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Vitals) and self._known == other._known

    def __hash__(self) -> int:
        return hash(tuple(self._known.items()))

    def __repr__(self) -> str:
        return f"Vitals({', '.join(f'{name}={reading.value:g}' for name, reading in self._known.items())})"


def _reading(name: str, value: float | str | Reading) -> Reading:
    reading = value if isinstance(value, Reading) else Reading(parse(value, VITAL_KINDS[name]))
    number = parse(reading.value, VITAL_KINDS[name])
    if reading.error is not None and not (math.isfinite(reading.error) and reading.error >= 0):
        raise QuantityError(f"{reading.error} is not an error of {name}", "give a number from 0")
    error = usual_error(name, number) if reading.error is None else reading.error
    return Reading(number, error, reading.origin)


def _derived(missing: str, pair: dict[str, Reading]) -> Reading:
    errors = {name: reading.error or 0.0 for name, reading in pair.items()}
    if missing == "abv":
        og, fg = pair["og"].value, pair["fg"].value
        by_og, by_fg = abv_slopes(og, fg)
        return Reading(abv(og, fg), math.hypot(by_og * errors["og"], by_fg * errors["fg"]), "derived")
    if missing == "og":
        fg, strength = pair["fg"].value, pair["abv"].value
        og = og_from_abv(strength, fg)
        by_og, by_fg = abv_slopes(og, fg)
        return Reading(og, math.hypot(errors["abv"] / by_og, errors["fg"] * by_fg / by_og), "derived")
    og, strength = pair["og"].value, pair["abv"].value
    fg = fg_from_abv(og, strength)
    by_og, by_fg = abv_slopes(og, fg)
    return Reading(fg, math.hypot(errors["abv"] / by_fg, errors["og"] * by_og / by_fg), "derived")


def batch_vitals(batch: Batch) -> Vitals:
    """Vitals of a batch: a measurement beats a stated prediction, and that beats the recipe.

    Carbonation follows from priming where none is given. Raises QuantityError where measured and predicted gravities
    contradict each other.
    """
    values: dict[str, Reading] = {}
    for name in VITALS:
        for record, origin in ((batch.measured, "measured"), (batch.predicted, "predicted")):
            reading = recorded(record, name, origin)
            if reading is not None and name not in values:
                values[name] = reading
    if batch.recipe is not None:
        values |= _from_recipe(batch, values)
    priming = batch.carbonation.priming if batch.carbonation else None
    if "co2" not in values and priming and priming.beer > 0 and 0 <= priming.temperature <= 30:
        volumes = primed_volumes(priming.sugar, priming.mass, priming.beer, priming.temperature)
        if volumes <= 8:
            values["co2"] = Reading(volumes, None, "derived")
    return Vitals(**values)


def _from_recipe(batch: Batch, given: Mapping[str, Reading]) -> dict[str, Reading]:
    """The vitals that only the recipe tells. Of og, fg and abv two settle the third, so it fills in at most to two."""
    og = given.get("og")
    expected = forecast(batch, og.value if og else None)
    if expected is None:
        return {}
    vitals = {n: Reading(v, e, "recipe") for n, (v, e) in expected.prediction.vitals.items() if n not in given}
    settled = {"og", "fg", "abv"} & given.keys()
    if settled and "abv" in vitals:
        del vitals["abv"]
    if len(settled) >= 2 or "abv" in settled:
        vitals.pop("fg", None)
    if len(settled) >= 2:
        vitals.pop("og", None)
    if og is not None and "fg" in vitals:
        # what the recipe says of the attenuation holds for the gravity that was measured
        there = expected.prediction.vitals["og"].value
        left = plato_from_sg(vitals["fg"].value) / plato_from_sg(there)
        vitals["fg"] = Reading(sg_from_plato(plato_from_sg(og.value) * left), vitals["fg"].error, "recipe")
    if "fg" in given and "og" in vitals and vitals["og"].value < given["fg"].value:
        del vitals["og"]
    return vitals


def recipe_vitals(batch: Batch) -> dict[str, Reading]:
    """What the recipe of a batch alone predicts, og as a hydrometer shows it before the yeast; empty without one."""
    expected = forecast(batch) if batch.recipe is not None else None
    if expected is None:
        return {}
    vitals = {name: Reading(v, e, "recipe") for name, (v, e) in expected.prediction.vitals.items()}
    if expected.prediction.pitching_og is not None:
        vitals["og"] = Reading(*expected.prediction.pitching_og, "recipe")
    return vitals


def recorded(record: VitalsRecord, name: str, origin: str) -> Reading | None:
    """One vital of a record with its error filled in and its temperature corrected for, or None."""
    item = getattr(record, name)
    if item is None:
        return None
    by = item.by or ("estimate" if origin == "predicted" else "hydrometer")
    value = item.value
    if isinstance(item, MeasuredGravity) and item.temperature is not None:
        value = corrected_sg(value, item.temperature, item.calibrated_at)
    error = item.error if item.error is not None else usual_error(name, value, by)
    return Reading(value, error, origin)
