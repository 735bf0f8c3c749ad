"""What was done to a beer, addition by addition: what each brings of alcohol, extract and volume, and how surely."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from entryprep.beer.forecast import Forecast, forecast
from entryprep.beer.volumes import stated_volume
from entryprep.brewing.contents import Contents, spirit, sugar, water, without_ice
from entryprep.brewing.extract import Fermentable
from entryprep.errors import EntryprepError
from entryprep.measures import beer_volume, rough_volume
from entryprep.quantities import QuantityError
from entryprep.records.batch import Addition, Batch
from entryprep.tables.doses import dose_row, dried_sugar

JUICE_SHARE = 0.80  # of fruit by mass becomes beer, the rest stays in the vat: common practice
JUICE_ERROR = 0.10  # of that share, where it is not stated: 0.7 to 0.9 is usual
SOAKED_L_PER_KG = 0.5  # of spirit that soaked oak carries in, from memory
SEEN = {"starter", "mash", "boil", "whirlpool"}  # before a gravity is read
USUAL_STAGE = {"sugar": "boil", "smoke": "mash", "grain": "mash"}
# standard uncertainties of what was added, relative; common practice
AMOUNT_ERROR, SUGAR_ERROR, VOLUME_ERROR = 0.05, 0.20, 0.03
WORT_FERMENTS = 0.62  # of wort of malt added late: about 75 % apparent attenuation, common practice


class UnknownAddition(EntryprepError, ValueError):
    """Something was added whose effect cannot be worked out; ``fix`` says what to give."""


@dataclass(frozen=True)
class Step:
    """One thing done to the base: what it adds to the beer, and whether a gravity before the yeast has seen it.

    ``error`` is the relative standard uncertainty of what it adds. ``grist``: plain sugar of the kettle that ferments;
    it is part of the base as much as the malt.
    """

    what: str
    contents: Contents
    seen: bool
    error: float = AMOUNT_ERROR
    grist: bool = False

    def times(self, factor: float) -> Step:
        """The same thing in another amount."""
        return replace(self, contents=self.contents.times(factor))


def apply_steps(base: Contents, steps: Sequence[Step], ice_after_l: float | None = None) -> Contents:
    """The beer as served: the base with all that was added, then concentrated to ``ice_after_l`` litres if given.

    Raises ValueError where more ice is taken out than there is water.
    """
    served = base
    for step in steps:
        served = served.plus(step.contents)
    return served if ice_after_l is None else without_ice(served, ice_after_l)


def remove_steps(served: Contents, steps: Sequence[Step], ice_before_l: float | None = None) -> Contents:
    """The base of a beer as served; undoes :func:`apply_steps`. ``ice_before_l`` is the volume before concentrating.

    Raises ValueError where more was added than the beer holds.
    """
    base = served if ice_before_l is None else served.plus(water(ice_before_l - served.volume_l))
    for step in reversed(steps):
        base = base.minus(step.contents)
    return base


def addition_step(addition: Addition, litres: float | None = None) -> Step | None:
    """What an addition does to alcohol, extract and volume, or None if it does nothing that matters (spices, wood).

    Raises UnknownAddition for fruit, sugar or spirit without an amount, and spirit without a strength; ValueError for
    more of it than the ``litres`` of beer.
    """
    stage = addition.stage or USUAL_STAGE.get(addition.kind, "fermenter")
    seen = stage in SEEN
    contents: Contents | None = None
    error = AMOUNT_ERROR
    if addition.kind in {"fruit", "sugar"}:
        contents, error = _sweet(addition)
    elif addition.kind == "spirit":
        contents = _spirit(addition)
    elif addition.kind == "wood" and addition.strength is not None:
        carried = addition.volume if addition.volume is not None else SOAKED_L_PER_KG * (addition.mass or 0.0)
        contents = spirit(carried, addition.strength)
        error = AMOUNT_ERROR if addition.volume is not None else 0.5  # how much wood holds is a guess
    elif addition.kind == "spice" and addition.volume is not None and not seen:
        contents = water(addition.volume)  # coffee, tea and other infusions
    if contents is None:
        return None
    if litres is not None and contents.volume_l >= litres:
        filled = f"{rough_volume(contents.volume_l)} of {beer_volume(litres)}"
        raise QuantityError(f"{addition.what} alone fills {filled} of beer")
    row = dose_row(addition.kind, addition.words)
    plain = addition.kind == "sugar" and (row is None or row.plain)
    return Step(addition.what, contents, seen, error, plain and seen and contents.alcohol_l > 0)


def _sweet(addition: Addition) -> tuple[Contents, float]:
    """Fruit or sugar, and the relative error of what it brings."""
    row = dose_row(addition.kind, addition.words)
    mass = addition.mass if addition.mass is not None else addition.volume  # a litre of juice is about a kilogram
    if mass is None:
        raise UnknownAddition(f"{addition.what} has no amount", "add `mass:` or `volume:`")
    share = addition.sugar if addition.sugar is not None else row.sugar if row else None
    if addition.sugar is None and addition.kind == "fruit" and row is not None:
        share = dried_sugar(row, addition.words)
    if share is None:
        raise UnknownAddition(f"it is not known how much sugar {addition.what} holds", "add `sugar: 10 %`")
    ferments = addition.fermented if addition.fermented is not None else row.ferments if row else 100.0
    sweet = mass * share / 100
    liquid = mass * _juice(addition) if addition.kind == "fruit" else mass
    sugar_error = 0.0 if row is not None and row.plain else SUGAR_ERROR
    juice_error = JUICE_ERROR / JUICE_SHARE if addition.kind == "fruit" and _presses(addition) else 0.0
    error = math.hypot(AMOUNT_ERROR, sugar_error, juice_error)
    return sugar(sweet, max(0.0, liquid - sweet), ferments / 100), error


def _presses(addition: Addition) -> bool:
    """Whether how much of a fruit becomes beer is a guess: not stated, and no juice or purée."""
    form = f"{addition.form or ''} {addition.what}".lower()
    return addition.juice_yield is None and not any(word in form for word in ("juice", "puree", "purée", "must"))


def _juice(addition: Addition) -> float:
    if addition.juice_yield is not None:
        return addition.juice_yield / 100
    return JUICE_SHARE if _presses(addition) else 1.0


def _spirit(addition: Addition) -> Contents:
    amount = addition.volume if addition.volume is not None else addition.mass
    if amount is None:
        raise UnknownAddition(f"{addition.what} has no amount", "add `volume:`")
    if addition.strength is None:
        raise UnknownAddition(f"the strength of {addition.what} is not known", "add `strength: 40 %`")
    return spirit(amount, addition.strength, amount * (addition.sugar or 0.0) / 100)


def batch_steps(batch: Batch, expected: Forecast | None = None) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """The steps of a batch, and notes on what could not be counted. Raises ValueError as :func:`addition_step`."""
    steps: list[Step] = []
    notes: list[str] = []
    litres = stated_volume(batch)
    for addition in batch.additions or ():
        try:
            step = addition_step(addition, litres)
        except UnknownAddition as error:
            notes.append(f"{error}: {error.fix}")
            continue
        if step is not None and step.grist:
            notes.append(f"{step.what} went into the kettle and ferments: it is counted as part of the base")
        elif step is not None:
            steps.append(step)
    steps += _late_fermentables(batch, expected or forecast(batch))
    if batch.water_added:
        steps.append(Step("water", water(batch.water_added), False))
    return tuple(steps), tuple(notes)


def finished_volume(batch: Batch, steps: Sequence[Step]) -> float | None:
    """Litres of finished beer, with all that was added and before any ice is taken out.

    ``volume`` of a batch is that; what a recipe or the parts of a blend say is before anything is added later.
    """
    if batch.concentrated is not None:
        return batch.concentrated.before
    if batch.volume:
        return batch.volume
    before = stated_volume(batch)
    return None if before is None else before + sum(step.contents.volume_l for step in steps if not step.seen)


def _late_fermentables(batch: Batch, expected: Forecast | None) -> list[Step]:
    """What the recipe gives to the fermenter and the additions do not name: no gravity before the yeast saw it."""
    named = {addition.what for addition in batch.additions or ()}
    if expected is None:
        return []
    pairs = zip(expected.names, expected.plan.fermentables, strict=True)
    late = [(name, item) for name, item in pairs if item.stage == "fermenter" and name not in named]
    return [Step(name, _fermented(item), False, math.hypot(AMOUNT_ERROR, SUGAR_ERROR)) for name, item in late]


def _fermented(item: Fermentable) -> Contents:
    extract = min(item.mass_kg * item.yield_share, item.mass_kg)
    share = WORT_FERMENTS if item.fermentable is None else item.fermentable
    return sugar(extract, item.mass_kg - extract, share)
