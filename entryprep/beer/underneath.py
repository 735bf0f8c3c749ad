"""The beer underneath: vitals without what was added, from the beer as it is and what was done to it; and back.

A gravity read before the yeast has seen what went into the mash and the kettle, and nothing that came later. So where
the original gravity was read, the base's final gravity is sought that makes, with all that was added, the beer that was
read; where only strength and final gravity are known, what was added is taken away from it. Of a blend the base is what
its parts make together. Alcohol and extract are conserved.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from entryprep.beer.forecast import Forecast, forecast
from entryprep.beer.readings import batch_vitals
from entryprep.beer.steps import VOLUME_ERROR, Step, apply_steps, batch_steps, finished_volume, remove_steps
from entryprep.brewing.alcohol import og_from_abv
from entryprep.brewing.contents import Contents, beer
from entryprep.measures import beer_volume
from entryprep.quantities import QuantityError
from entryprep.records.batch import Batch, Concentration
from entryprep.vitals import Reading, Vitals, usual_error

LEAST_FG = 0.985
ICE_HOLDS = 0.05  # of what is taken out as ice is beer all the same, give or take as much: from memory
_SECANTS, _CLOSE_ENOUGH = 12, 1e-9


@dataclass(frozen=True)
class Underneath:
    """The base beer and the beer as served, both as vitals with errors; what was counted, and what was assumed."""

    base: Vitals
    served: Vitals
    steps: tuple[Step, ...]
    notes: tuple[str, ...]
    changed: bool


_Values = dict[str, float]


def underneath(batch: Batch, expected: Forecast | None = None, stated: Vitals | None = None) -> Underneath:
    """The base beer of a batch, and the beer as served, with errors carried through to first order.

    ``expected`` is the forecast of its recipe, if it was made already; ``stated`` are vitals in place of its own. Where
    nothing was added that matters, or too little is known, the base is the beer itself. Raises QuantityError as
    ``batch_vitals``, ValueError for amounts that no beer could hold.
    """
    expected = expected or forecast(batch)
    vitals = batch_vitals(batch, expected) if stated is None else stated
    steps, notes = batch_steps(batch, expected)
    if not steps and batch.concentrated is None:
        return Underneath(vitals, vitals, steps, notes, False)
    litres = finished_volume(batch, steps)
    if litres is None:
        return Underneath(vitals, vitals, steps, (*notes, "the volume of the batch is not known"), False)
    known = {name: reading for name, reading in vitals.known.items() if name != "co2"}
    way = _way(known)
    if way is None:
        return Underneath(vitals, vitals, steps, (*notes, "two of og, fg and abv are needed"), False)
    if known.get("og", Reading(0)).origin == "recipe":
        og = _before_the_yeast(expected, known["og"].value)
        known["og"] = Reading(og, known["og"].error, "recipe")
    return _worked_out(batch, vitals, known, way, litres, steps, (*notes, *_taken_as(batch, way)))


def underneath_blend(batch: Batch, readings: Vitals, blend: Mapping[str, Reading]) -> Underneath:
    """What the parts of a blend make together, and the beer as served once things were added to it.

    ``readings`` are the blend's own vitals as read, which outrank what follows from its parts. Raises ValueError for
    amounts that no beer could hold.
    """
    steps, notes = batch_steps(batch)
    parts_l = sum(part.volume for part in batch.blend)
    own = {n: r for n, r in readings.known.items() if r.origin not in {"derived", "recipe"} or n == "co2"}
    if not steps and batch.concentrated is None:
        made = _outranked(dict(blend), own)
        return Underneath(made, made, steps, notes, False)
    found = _worked_out(batch, readings, dict(blend), "blend", parts_l, steps, notes)
    return Underneath(found.base, _outranked(dict(found.served.known), own), steps, found.notes, True)


def _outranked(found: dict[str, Reading], own: Mapping[str, Reading]) -> Vitals:
    """Vitals that were worked out, with those that were read in their place; strength follows what was read."""
    settled = {"og", "fg", "abv"} & own.keys()
    drop = {"og", "fg", "abv"} if len(settled) >= 2 else {"abv"} if settled else set()
    return Vitals(**{**{n: r for n, r in found.items() if n not in drop}, **own})


def _taken_as(batch: Batch, way: str) -> tuple[str, ...]:
    """What the readings were taken for, where the records leave it open."""
    said = ["og taken as read before the yeast"] if way == "read" else []
    if batch.concentrated is not None and batch.concentrated.read is None:
        what = "final gravity" if way == "read" else "final gravity and strength"
        said.append(f"{what} taken as read after the ice was out: say `read: before` under `concentrated` if not")
    return tuple(said)


def _worked_out(
    batch: Batch,
    vitals: Vitals,
    known: dict[str, Reading],
    way: str,
    litres: float,
    steps: tuple[Step, ...],
    notes: tuple[str, ...],
) -> Underneath:
    problem = _Problem(way, steps, litres, batch.concentrated, {n: r.origin for n, r in known.items()})
    inputs = {name: reading.value for name, reading in known.items()}
    errors = {n: usual_error(n, r.value) if r.error is None else r.error for n, r in known.items()}
    base, served = _carried(problem, inputs, errors)
    co2 = vitals.get("co2")
    extra = {"co2": co2} if co2 else {}
    return Underneath(Vitals(**base), Vitals(**{**served, **extra}), steps, notes, True)


def _before_the_yeast(expected: Forecast | None, og: float) -> float:
    """What a hydrometer would have shown of a recipe before the yeast, without what goes into the fermenter."""
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
    """``way``: "read" (a gravity before the yeast), "served" (strength and final gravity) or "blend" (the base itself).

    ``litres`` is the finished beer before ice was taken out; of a blend, the parts together.
    """

    way: str
    steps: tuple[Step, ...]
    litres: float
    ice: Concentration | None
    origins: dict[str, str]

    @property
    def _after(self) -> float | None:
        return self.ice.after if self.ice else None

    def solve(self, given: _Values, steps: Sequence[Step], start: float | None = None) -> tuple[_Values, _Values]:
        """Vitals of the base and of the beer as served, for these readings and steps; ``start``: a base fg to try."""
        if self.way == "served":
            return self._from_served(given, steps)
        if self.way == "blend":
            base = beer(self.litres, given["og"], given["fg"], given.get("ibu", 0.0), given.get("srm", 0.0))
            return base.vitals(), apply_steps(base, steps, self._after).vitals()
        unseen = [step for step in steps if not step.seen]
        fermenter = self.litres - sum(step.contents.volume_l for step in unseen)
        if fermenter <= 0:
            raise QuantityError(f"what was added fills more than the {beer_volume(self.litres)} of beer")
        read_after = None if self.ice and self.ice.read == "before" else self._after

        def made(fg: float, after: float | None) -> Contents:
            pitched = beer(fermenter, given["og"], fg, given.get("ibu", 0.0), given.get("srm", 0.0))
            return apply_steps(pitched, unseen, after)

        fg = _base_fg(lambda x: made(x, read_after).fg - given["fg"], start or given["fg"], given["og"])
        served = made(fg, self._after)
        pitched = beer(fermenter, given["og"], fg, given.get("ibu", 0.0), given.get("srm", 0.0))
        seen = [step for step in steps if step.seen]
        if seen:
            return remove_steps(pitched, seen).vitals(), served.vitals()
        of_wort = {"og": given["og"], "fg": fg, "abv": pitched.abv}
        return {**of_wort, "ibu": given.get("ibu", 0.0), "srm": given.get("srm", 0.0)}, served.vitals()

    def _from_served(self, given: _Values, steps: Sequence[Step]) -> tuple[_Values, _Values]:
        carried = (given["abv"], given["fg"], given.get("ibu", 0.0), given.get("srm", 0.0))
        if self.ice is not None and self.ice.read == "before":
            whole = beer_of_strength(self.litres, *carried)
            base, served = remove_steps(whole, steps), apply_steps(whole, (), self.ice.after)
        else:
            served = beer_of_strength(self._after or self.litres, *carried)
            base = remove_steps(served, steps, self.litres if self.ice else None)
        vitals = base.vitals()
        for name in ("ibu", "srm"):
            if self.origins.get(name) in {"predicted", "recipe"}:  # of the wort, before anything diluted it
                vitals[name] = given[name]
        return vitals, served.vitals()


def beer_of_strength(litres: float, abv: float, fg: float, ibu: float = 0.0, srm: float = 0.0) -> Contents:
    """The contents of a beer of which strength and final gravity are known. Raises ValueError for no such beer."""
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
    """The same things done, what a gravity has seen poured together, and what it has not: contents add up."""
    sums: dict[bool, Contents] = {}
    for step in steps:
        sums[step.seen] = sums[step.seen].plus(step.contents) if step.seen in sums else step.contents
    return tuple(Step("", contents, seen) for seen, contents in sums.items())


def _carried(problem: _Problem, given: _Values, errors: _Values) -> tuple[dict[str, Reading], dict[str, Reading]]:
    """Both beers with first-order errors from the readings, the volumes, and what was added and how much sugar it held.

    Each input is moved by a quarter of its error; what a record leaves open counts with half the difference it makes.
    """
    base, served = problem.solve(given, problem.steps)
    spread: list[dict[str, float]] = [dict.fromkeys(base, 0.0), dict.fromkeys(served, 0.0)]

    def moved(values: _Values, steps: Sequence[Step], other: _Problem = problem, times: float = 4.0) -> None:
        try:
            pair = other.solve(values, steps, base["fg"])
        except ValueError:  # at the edge of what can be: the other errors still speak
            return
        for total, there, here in zip(spread, pair, (base, served), strict=True):
            for name in total:
                total[name] += ((there[name] - here[name]) * times) ** 2

    for name in ("ibu", "srm"):  # both dilute in proportion
        for total, values in zip(spread, (base, served), strict=True):
            if given.get(name) and errors.get(name):
                total[name] += (errors[name] * values[name] / given[name]) ** 2
    for name in ("abv", "fg") if problem.way == "served" else ("og", "fg"):
        if errors.get(name):
            moved({**given, name: given[name] + errors[name] / 4}, problem.steps)
    joined = _joined(problem.steps)
    for step in problem.steps:
        moved(given, (*joined, step.times(step.error / 4)))
    moved(given, joined, replace(problem, litres=problem.litres * (1 + VOLUME_ERROR / 4)))
    if problem.ice is not None:
        for other in _with_other_ice(problem, problem.ice):
            moved(given, joined, other)
        if problem.ice.read is None and problem.way != "blend":
            before = problem.ice.model_copy(update={"read": "before"})
            moved(given, joined, replace(problem, ice=before), times=0.5)

    def readings(values: _Values, total: _Values) -> dict[str, Reading]:
        known = {"og", "fg", "abv"} | ({"ibu", "srm"} & given.keys())
        origin = "blended" if problem.way == "blend" else "reconstructed"
        return {n: Reading(v, math.sqrt(total[n]), origin) for n, v in values.items() if n in known}

    return readings(base, spread[0]), readings(served, spread[1])


def _with_other_ice(problem: _Problem, ice: Concentration) -> list[_Problem]:
    """The same with a quarter of its error on the volume that is left, and on the beer that goes out with the ice."""
    taken = problem.litres - ice.after
    sizes = (ice.after * VOLUME_ERROR, taken * ICE_HOLDS)
    return [replace(problem, ice=ice.model_copy(update={"after": ice.after + size / 4})) for size in sizes]
