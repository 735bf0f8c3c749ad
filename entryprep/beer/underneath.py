"""The beer underneath: vitals without what was added, from the beer as it is and what was done to it; and back.

A gravity read before the yeast has seen what went into the mash and the kettle, and nothing that came later. So where
the original gravity was read, the base's final gravity is sought that makes, with all that was added, the beer that was
read; where only strength and final gravity are known, what was added is taken away from it. Alcohol and extract are
conserved.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from entryprep.beer.dosing import finished_volume
from entryprep.beer.forecast import forecast
from entryprep.beer.readings import batch_vitals
from entryprep.brewing.contents import Parcel, beer, spirit, sugar, water, without_ice
from entryprep.brewing.extract import Fermentable
from entryprep.errors import EntryprepError
from entryprep.records.batch import Addition, Batch
from entryprep.tables.doses import dose_row
from entryprep.vitals import Reading, Vitals

JUICE_SHARE = 0.80  # of fruit by mass becomes beer, the rest stays in the vat: common practice
SOAKED_L_PER_KG = 0.5  # of spirit that soaked oak carries in, from memory
SEEN = {"starter", "mash", "boil", "whirlpool"}  # before a gravity is read
USUAL_STAGE = {"sugar": "boil", "smoke": "mash", "grain": "mash"}
# standard uncertainties of what was added, relative; common practice
AMOUNT_ERROR, SUGAR_ERROR, VOLUME_ERROR = 0.05, 0.20, 0.03
WORT_FERMENTS = 0.62  # of wort of malt added late: about 75 % apparent attenuation, common practice
LEAST_FG = 0.985
_SECANTS, _CLOSE_ENOUGH = 12, 1e-9


class UnknownAddition(EntryprepError, ValueError):
    """Something was added whose effect cannot be worked out; ``fix`` says what to give."""


@dataclass(frozen=True)
class Step:
    """One thing done to the base: what it adds to the beer, and whether a gravity before the yeast has seen it.

    ``grist``: sugar of the kettle that ferments; it is part of the base as much as the malt.
    """

    what: str
    parcel: Parcel
    seen: bool
    grist: bool = False


@dataclass(frozen=True)
class Underneath:
    """The base beer and the beer as served, both as vitals with errors; what was counted, and what was assumed."""

    base: Vitals
    served: Vitals
    steps: tuple[Step, ...]
    notes: tuple[str, ...]
    changed: bool


def apply_steps(base: Parcel, steps: Sequence[Step], ice_after_l: float | None = None) -> Parcel:
    """The beer as served: the base with all that was added, then concentrated to ``ice_after_l`` litres if given.

    Raises ValueError where more ice is taken out than there is water.
    """
    served = base
    for step in steps:
        served = served.plus(step.parcel)
    return served if ice_after_l is None else without_ice(served, ice_after_l)


def remove_steps(served: Parcel, steps: Sequence[Step], ice_before_l: float | None = None) -> Parcel:
    """The base of a beer as served; undoes :func:`apply_steps`. ``ice_before_l`` is the volume before concentrating.

    Raises ValueError where more was added than the beer holds.
    """
    base = served if ice_before_l is None else served.plus(water(ice_before_l - served.volume_l))
    for step in reversed(steps):
        base = base.minus(step.parcel)
    return base


def addition_step(addition: Addition, litres: float | None = None) -> Step | None:
    """What an addition does to alcohol, extract and volume, or None if it does nothing that matters (spices, wood).

    Raises UnknownAddition for fruit, sugar or spirit without an amount, and spirit without a strength; ValueError for
    more of it than the ``litres`` of beer.
    """
    stage = addition.stage or USUAL_STAGE.get(addition.kind, "fermenter")
    seen = stage in SEEN
    parcel: Parcel | None = None
    if addition.kind in {"fruit", "sugar"}:
        parcel = _sweet(addition)
    elif addition.kind == "spirit":
        parcel = _spirit(addition)
    elif addition.kind == "wood" and addition.strength is not None:
        carried = addition.volume if addition.volume is not None else SOAKED_L_PER_KG * (addition.mass or 0.0)
        parcel = spirit(carried, addition.strength)
    elif addition.kind == "spice" and addition.volume is not None and not seen:
        parcel = water(addition.volume)  # coffee, tea and other infusions
    if parcel is None:
        return None
    if litres is not None and parcel.volume_l >= litres:
        raise ValueError(f"{addition.what} alone fills {parcel.volume_l:.1f} L of {litres:g} L of beer")
    return Step(addition.what, parcel, seen, addition.kind == "sugar" and seen and parcel.alcohol_l > 0)


def _sweet(addition: Addition) -> Parcel:
    row = dose_row(addition.kind, addition.words)
    mass = addition.mass if addition.mass is not None else addition.volume  # a litre of juice is about a kilogram
    if mass is None:
        raise UnknownAddition(f"{addition.what} has no amount", "add `mass:` or `volume:`")
    share = addition.sugar if addition.sugar is not None else row.sugar if row else None
    if share is None:
        raise UnknownAddition(f"it is not known how much sugar {addition.what} holds", "add `sugar: 10 %`")
    ferments = addition.fermented if addition.fermented is not None else row.ferments if row else 100.0
    sweet = mass * share / 100
    liquid = mass * _juice(addition) if addition.kind == "fruit" else mass
    return sugar(sweet, max(0.0, liquid - sweet), ferments / 100)


def _juice(addition: Addition) -> float:
    if addition.juice_yield is not None:
        return addition.juice_yield / 100
    form = f"{addition.form or ''} {addition.what}".lower()
    return 1.0 if any(word in form for word in ("juice", "puree", "purée", "must")) else JUICE_SHARE


def _spirit(addition: Addition) -> Parcel:
    amount = addition.volume if addition.volume is not None else addition.mass
    if amount is None:
        raise UnknownAddition(f"{addition.what} has no amount", "add `volume:`")
    if addition.strength is None:
        raise UnknownAddition(f"the strength of {addition.what} is not known", "add `strength: 40 %`")
    return spirit(amount, addition.strength, amount * (addition.sugar or 0.0) / 100)


def batch_steps(batch: Batch) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """The steps of a batch, and notes on what could not be counted. Raises ValueError as :func:`addition_step`."""
    steps: list[Step] = []
    notes: list[str] = []
    litres = finished_volume(batch)
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
    steps += _late_fermentables(batch)
    if batch.water_added:
        steps.append(Step("water", water(batch.water_added), False))
    return tuple(steps), tuple(notes)


def _late_fermentables(batch: Batch) -> list[Step]:
    """What the recipe gives to the fermenter and the additions do not name: no gravity before the yeast saw it."""
    named = {addition.what for addition in batch.additions or ()}
    expected = forecast(batch) if batch.recipe is not None else None
    if expected is None:
        return []
    pairs = zip(expected.names, expected.plan.fermentables, strict=True)
    late = [(name, item) for name, item in pairs if item.stage == "fermenter" and name not in named]
    return [Step(name, _fermented(item), False) for name, item in late]


def _fermented(item: Fermentable) -> Parcel:
    extract = min(item.mass_kg * item.yield_share, item.mass_kg)
    share = WORT_FERMENTS if item.fermentable is None else item.fermentable
    return sugar(extract, item.mass_kg - extract, share)


_Values = dict[str, float]


def underneath(batch: Batch) -> Underneath:
    """The base beer of a batch, and the beer as served, with errors carried through to first order.

    Where nothing was added that matters, or too little is known, the base is the beer itself. Raises QuantityError
    as ``batch_vitals``, ValueError for amounts that no beer could hold.
    """
    vitals = batch_vitals(batch)
    steps, notes = batch_steps(batch)
    litres = finished_volume(batch)
    if not steps and batch.concentrated is None:
        return Underneath(vitals, vitals, steps, notes, False)
    if litres is None:
        return Underneath(vitals, vitals, steps, (*notes, "the volume of the batch is not known"), False)
    known = {name: reading for name, reading in vitals.known.items() if name != "co2"}
    way = _way(known)
    if way is None:
        return Underneath(vitals, vitals, steps, (*notes, "two of og, fg and abv are needed"), False)
    ice = (batch.concentrated.before, batch.concentrated.after) if batch.concentrated else None
    problem = _Problem(way, steps, litres, ice, {n: r.origin for n, r in known.items()})
    inputs = {name: reading.value for name, reading in known.items()}
    if known.get("og", Reading(0)).origin == "recipe":
        inputs["og"] = _before_the_yeast(batch, inputs["og"])
    errors = {name: vitals.error(name) for name in known}
    base, served = _carried(problem, inputs, errors)
    told = "read before the yeast" if way == "read" else "the beer as it is"
    notes = (*notes, f"og taken as {told}") if way == "read" else notes
    co2 = vitals.get("co2")
    extra = {"co2": co2} if co2 else {}
    return Underneath(Vitals(**base), Vitals(**{**served, **extra}), steps, notes, True)


def _before_the_yeast(batch: Batch, og: float) -> float:
    """What a hydrometer would have shown of a recipe before the yeast, without what goes into the fermenter."""
    expected = forecast(batch)
    pitching = expected.prediction.pitching_og if expected else None
    return pitching.value if pitching else og


def _way(known: dict[str, Reading]) -> str | None:
    """How the beer can be worked out: from the gravity read before the yeast, or from what the served beer is."""
    given = {name for name in ("og", "fg", "abv") if name in known and known[name].origin != "derived"}
    if {"fg", "abv"} <= given and (known["abv"].origin == "measured" or "og" not in given):
        return "served"
    return "read" if {"og", "fg"} <= given else None


@dataclass(frozen=True)
class _Problem:
    way: str
    steps: tuple[Step, ...]
    litres: float
    ice: tuple[float, float] | None
    origins: dict[str, str]

    def solve(self, given: _Values, steps: Sequence[Step], start: float | None = None) -> tuple[_Values, _Values]:
        """Vitals of the base and of the beer as served, for these readings and steps; ``start``: a base fg to try."""
        if self.way == "served":
            return self._from_served(given, steps)
        unseen = [step for step in steps if not step.seen]
        after = self.ice[1] if self.ice else None
        before = self.ice[0] if self.ice else self.litres
        fermenter = before - sum(step.parcel.volume_l for step in unseen)
        if fermenter <= 0:
            raise ValueError(f"what was added fills more than the {before:g} L of beer")

        def made(fg: float) -> Parcel:
            pitched = beer(fermenter, given["og"], fg, given.get("ibu", 0.0), given.get("srm", 0.0))
            return apply_steps(pitched, unseen, after)

        fg = _base_fg(lambda x: made(x).fg - given["fg"], start or given["fg"], given["og"])
        served = made(fg)
        pitched = beer(fermenter, given["og"], fg, given.get("ibu", 0.0), given.get("srm", 0.0))
        seen = [step for step in steps if step.seen]
        if seen:
            return remove_steps(pitched, seen).vitals(), served.vitals()
        of_wort = {"og": given["og"], "fg": fg, "abv": pitched.abv}
        return {**of_wort, "ibu": given.get("ibu", 0.0), "srm": given.get("srm", 0.0)}, served.vitals()

    def _from_served(self, given: _Values, steps: Sequence[Step]) -> tuple[_Values, _Values]:
        served = beer_of_strength(self.litres, given["abv"], given["fg"], given.get("ibu", 0.0), given.get("srm", 0.0))
        base = remove_steps(served, steps, self.ice[0] if self.ice else None)
        vitals = base.vitals()
        for name in ("ibu", "srm"):
            if self.origins.get(name) in {"predicted", "recipe"}:  # of the wort, before anything diluted it
                vitals[name] = given[name]
        return vitals, served.vitals()


def beer_of_strength(litres: float, abv: float, fg: float, ibu: float = 0.0, srm: float = 0.0) -> Parcel:
    """The contents of a beer of which strength and final gravity are known. Raises ValueError for no such beer."""
    from entryprep.brewing.alcohol import og_from_abv  # noqa: PLC0415 - kept beside its only use

    return beer(litres, og_from_abv(abv, fg), fg, ibu, srm)


def _base_fg(off: Callable[[float], float], start: float, og: float) -> float:
    """The base's final gravity at which ``off``, nearly a straight line, is 0; by the secant method.

    Raises ValueError where no gravity from 0.985 to ``og`` does.
    """
    one, other = start, min(start + 0.004, og)
    at_one, at_other = off(one), off(other)
    for _ in range(_SECANTS):
        if abs(at_other) < _CLOSE_ENOUGH:
            return other
        slope = (at_other - at_one) / (other - one) if other != one else 0.0
        if slope <= 0:
            break
        one, at_one = other, at_other
        other = min(max(other - at_other / slope, LEAST_FG), og)
        at_other = off(other)
    raise ValueError("no base beer makes this final gravity with what was added: check the readings and amounts")


def _joined(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The same things done, what a gravity has seen poured together, and what it has not: parcels add up."""
    sums: dict[bool, Parcel] = {}
    for step in steps:
        sums[step.seen] = sums[step.seen].plus(step.parcel) if step.seen in sums else step.parcel
    return tuple(Step("", parcel, seen) for seen, parcel in sums.items())


def _carried(problem: _Problem, given: _Values, errors: _Values) -> tuple[dict[str, Reading], dict[str, Reading]]:
    """Both beers with first-order errors from the readings, the amounts and the sugar of what was added."""
    base, served = problem.solve(given, problem.steps)
    spread: list[dict[str, float]] = [dict.fromkeys(base, 0.0), dict.fromkeys(served, 0.0)]

    def moved(values: _Values, steps: Sequence[Step]) -> None:
        try:
            pair = problem.solve(values, steps, base["fg"])
        except ValueError:  # at the edge of what can be: the other errors still speak
            return
        for total, there, here in zip(spread, pair, (base, served), strict=True):
            for name in total:
                total[name] += ((there[name] - here[name]) * 4) ** 2

    for name in ("ibu", "srm"):  # both dilute in proportion
        for total, values in zip(spread, (base, served), strict=True):
            if given.get(name) and errors.get(name):
                total[name] += (errors[name] * values[name] / given[name]) ** 2
    for name in ("og", "fg") if problem.way == "read" else ("abv", "fg"):
        if errors.get(name):
            moved({**given, name: given[name] + errors[name] / 4}, problem.steps)
    joined = _joined(problem.steps)
    for step in problem.steps:
        size = (
            math.hypot(AMOUNT_ERROR, SUGAR_ERROR) if step.parcel.alcohol_l or step.parcel.extract_kg else AMOUNT_ERROR
        )
        moved(given, (*joined, Step(step.what, step.parcel.times(size / 4), step.seen)))

    def readings(values: _Values, total: _Values) -> dict[str, Reading]:
        known = {"og", "fg", "abv"} | ({"ibu", "srm"} & given.keys())
        return {n: Reading(v, math.sqrt(total[n]), "reconstructed") for n, v in values.items() if n in known}

    return readings(base, spread[0]), readings(served, spread[1])
