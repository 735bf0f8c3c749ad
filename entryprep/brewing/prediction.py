"""Vitals of a beer from its recipe, each with the uncertainty that follows from those of the inputs.

Extract is a mass balance: Σ mass · yield · efficiency kilograms in the volume that reaches the fermenter. Bitterness
is Tinseth's with the gravity of the kettle averaged over the boil and the volume that reaches the fermenter; colour is
Morey's; final gravity comes from the apparent attenuation of the yeast on wort, with sugars fermented wholly and
unfermentable extract left as it is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import astuple, dataclass
from typing import NamedTuple

from entryprep.brewing.alcohol import MOST_ATTENUATION, abv, apparent_extract, fermented_share, real_extract_left
from entryprep.brewing.bitterness import (
    DRY_HOP_IBU,
    boil_ibu,
    capped_ibu,
    first_wort_ibu,
    gravity_factor,
    mash_ibu,
    stand_ibu,
)
from entryprep.brewing.colour import MOREY_EXPONENT, mcu, morey_srm
from entryprep.brewing.extract import MOST_KG_PER_L, extract_of, sg_from_extract
from entryprep.brewing.gravity import plato_from_sg, sg_at_volume, sg_from_plato
from entryprep.brewing.plan import Hops, Plan, check_plan, mashes, missing_from

LEAST_FINAL_PLATO = -5.0  # no beer ends below, about 0.981


@dataclass(frozen=True)
class Doubts:
    """Standard uncertainties of the inputs, relative unless said otherwise; all common practice unless sourced."""

    efficiency: float = 0.04  # absolute: 72 % ± 4
    volume: float = 0.03
    malt_yield: float = 0.03  # each malt by itself; lists differ by 2 to 6 points for dark malts
    steeped: float = 0.3
    sugar_yield: float = 0.01
    # absolute; three strains listed at 72 to 77 % made 79 to 86 % (S. Terrill, seanterrill.com, 21 April 2017)
    attenuation: float = 0.04
    alpha: float = 0.10  # each hop by itself
    utilisation: float = 0.20
    stand: float = 0.50
    malt_colour: float = 0.10  # each malt by itself
    colour_model: float = 0.15

    def __post_init__(self) -> None:
        """Raise ValueError for what is no uncertainty: each lies between 0 and 1."""
        for doubt in astuple(self):
            if not 0 <= doubt <= 1:
                raise ValueError(f"an uncertainty of {doubt} is outside 0 to 1")


class Estimate(NamedTuple):
    """A predicted vital and its standard uncertainty."""

    value: float
    error: float


@dataclass(frozen=True)
class Prediction:
    """What a plan predicts: og, fg, abv, ibu, srm as far as it goes, and what it lacks for the rest.

    ``pitching_og`` is what a hydrometer shows before the yeast; ``og`` also counts what goes into the fermenter.
    """

    vitals: dict[str, Estimate]
    missing: tuple[str, ...] = ()
    pitching_og: Estimate | None = None
    boil_sg: float | None = None
    extract_kg: float = 0.0
    hop_ibu: tuple[float, ...] = ()
    malt_colour_units: float | None = None


@dataclass
class _Sums:
    """All that a prediction needs of the fermentables, added up once; kilograms of extract, kg · °Lovibond."""

    mashed: float = 0.0  # wort: attenuated by the yeast
    steeped: float = 0.0
    dissolved_wort: float = 0.0
    sugars: float = 0.0  # fermented wholly
    dextrins: float = 0.0  # not at all
    late: float = 0.0
    fermenter: float = 0.0
    squares: float = 0.0  # Σ extract² of malts, for their independent errors
    colour: float = 0.0
    colour_squares: float = 0.0


def _add_up(plan: Plan) -> _Sums:
    sums = _Sums()
    for item in plan.fermentables:
        extract = extract_of(item, plan.efficiency, plan.dissolved_efficiency)
        colour = item.mass_kg * item.lovibond
        sums.colour += colour
        sums.colour_squares += colour * colour
        sums.late += extract if item.stage == "late" else 0.0
        sums.fermenter += extract if item.stage == "fermenter" else 0.0
        if item.use == "mashed":
            sums.mashed += extract
        elif item.use == "steeped":
            sums.steeped += extract
        elif item.fermentable is None:
            sums.dissolved_wort += extract
        else:
            sums.sugars += extract * item.fermentable
            sums.dextrins += extract * (1 - item.fermentable)
        if item.use != "dissolved":
            sums.squares += extract * extract
    return sums


def _hop_ibu(hops: Hops, plan: Plan, boil_sg: float, volume_l: float) -> float:
    mass, alpha = hops.mass_g, hops.alpha_percent
    match hops.use:
        case "boil":
            return boil_ibu(mass, alpha, hops.minutes, boil_sg, volume_l)
        case "first wort":
            return first_wort_ibu(mass, alpha, plan.boil_minutes, boil_sg, volume_l)
        case "mash":
            return mash_ibu(mass, alpha, plan.boil_minutes, boil_sg, volume_l)
        case "stand":
            return stand_ibu(mass, alpha, hops.minutes, hops.celsius, boil_sg, volume_l)
        case "dry":
            return DRY_HOP_IBU


class _Shift(NamedTuple):
    """The inputs that act through the gravities, off their stated values: factors, and the attenuation's shift."""

    efficiency: float = 1.0
    malt: float = 1.0
    steeped: float = 1.0
    sugar: float = 1.0
    volume: float = 1.0
    attenuation: float = 0.0


class _Gravities(NamedTuple):
    og: float
    fg: float
    abv: float
    pitching: float
    boil: float


_VITALS = (*_Gravities._fields, "ibu", "srm")  # in the order in which they are carried below
_Outcome = tuple[float, ...]


def _gravities(plan: Plan, volume: float, sums: _Sums, shift: _Shift, known_og: float | None) -> _Gravities:
    malts = (sums.mashed * shift.efficiency + sums.steeped * shift.steeped) * shift.malt
    wort = malts + sums.dissolved_wort
    total = wort + (sums.sugars + sums.dextrins) * shift.sugar
    if known_og is None:
        og = sg_from_extract(total / volume)
        # rounding may leave a hair less than nothing, or a hair more of a part than of the whole
        before = max(0.0, total - sums.fermenter)
        pitching = min(sg_from_extract(before / volume), og) if sums.fermenter else og
        end = min(sg_from_extract(max(0.0, before - sums.late) / volume), pitching) if sums.late else pitching
    else:
        og = pitching = end = known_og
    boil = end
    if plan.boil_volume_l is not None and plan.boil_volume_l > volume:
        boil = (end + sg_at_volume(end, volume, plan.boil_volume_l)) / 2
    fg, strength = og, 0.0
    if plan.attenuation is not None and total > 0 and known_og is None:
        oe = plato_from_sg(og)
        # what the yeast leaves of wort is a matter of the wort, not of the sugar beside it
        oe_wort = oe if wort == total else plato_from_sg(sg_from_extract(wort / volume))
        attenuation = min(plan.attenuation + shift.attenuation, MOST_ATTENUATION)
        gone = wort * fermented_share(oe_wort, attenuation) + sums.sugars * shift.sugar
        left = real_extract_left(oe, min(gone / total, 1.0))
        fg = sg_from_plato(max(LEAST_FINAL_PLATO, apparent_extract(oe, left)))
        strength = max(0.0, abv(og, min(fg, og)))  # rounding may leave a hair less than none
    return _Gravities(og, fg, strength, pitching, boil)


def _spread(parts: Sequence[float]) -> float:
    """By how much independent relative errors of the parts shrink in their sum: sqrt(Σ p²)/Σ p."""
    total = sum(parts)
    return math.sqrt(sum(p * p for p in parts)) / total if total else 0.0


def _through_gravity(plan: Plan, sums: _Sums, doubts: Doubts) -> dict[str, float]:
    """Standard uncertainties of the inputs that :class:`_Shift` names."""
    malts = sums.mashed + sums.steeped
    return {
        "efficiency": doubts.efficiency / plan.efficiency if plan.efficiency else 0.0,
        "malt": doubts.malt_yield * math.sqrt(sums.squares) / malts if malts else 0.0,
        "steeped": doubts.steeped if sums.steeped else 0.0,
        "sugar": doubts.sugar_yield if sums.sugars + sums.dextrins else 0.0,
        "volume": doubts.volume,
        "attenuation": doubts.attenuation if plan.attenuation is not None else 0.0,
    }


def _hops_alone(plan: Plan, hop_ibu: Sequence[float], doubts: Doubts) -> float:
    """Relative error of bitterness from the inputs that act on it alone, in which it is linear."""
    piles: dict[bool, list[float]] = {True: [], False: []}
    for hops, ibu in zip(plan.hops or (), hop_ibu, strict=True):
        piles[hops.use == "stand"].append(ibu)
    boiled, stood = sum(piles[False]), sum(piles[True])
    share = boiled / (boiled + stood) if boiled + stood else 0.0
    return math.hypot(
        doubts.utilisation,
        doubts.alpha * _spread(piles[False]) * share,
        doubts.alpha * _spread(piles[True]) * (1 - share),
        doubts.stand * (1 - share) if stood else 0.0,
    )


def _colour_alone(sums: _Sums, doubts: Doubts) -> float:
    """Relative error of colour from the inputs that act on it alone."""
    malts = doubts.malt_colour * math.sqrt(sums.colour_squares) / sums.colour if sums.colour else 0.0
    return math.hypot(doubts.colour_model, MOREY_EXPONENT * malts)


def _errors(
    outcome: Callable[[_Shift], _Outcome], base: _Outcome, sizes: Mapping[str, float], ibu: float, srm: float
) -> list[float]:
    """Errors of an outcome: of each input in ``sizes`` that is moved, and those of bitterness and colour alone."""
    variances = [0.0] * (len(base) - 2) + [ibu**2, srm**2]
    for name, size in sizes.items():
        if size:
            step = size / 10  # small enough for a derivative, far above rounding
            moved = outcome(_AT_STATED._replace(**{name: getattr(_AT_STATED, name) + step}))
            for i, (there, here) in enumerate(zip(moved, base, strict=True)):
                variances[i] += ((there - here) * 10) ** 2
    return [math.sqrt(variance) for variance in variances]


_AT_STATED = _Shift()
_USUAL = Doubts()


def predict(plan: Plan, doubts: Doubts = _USUAL, known_og: float | None = None) -> Prediction:
    """Predict the vitals of a plan to first order: error² = Σ (∂vital/∂input · uncertainty of the input)².

    ``known_og`` is a measured original gravity, used for bitterness where the plan cannot predict one. Raises
    ValueError as :func:`entryprep.brewing.plan.check_plan` and the formulas, and for more extract than wort can hold.
    """
    check_plan(plan, known_og)
    volume, missing = plan.volume_l, missing_from(plan)
    if volume is None:
        return Prediction({}, missing)
    sums = _add_up(plan)
    extract = sums.mashed + sums.steeped + sums.dissolved_wort + sums.sugars + sums.dextrins
    if extract / volume > MOST_KG_PER_L:
        raise ValueError(f"{extract:.1f} kg of extract in {volume:g} L is more than wort can hold")
    gravity = bool(plan.fermentables) and (plan.efficiency is not None or not mashes(plan))
    fixed = None if gravity else known_og if known_og is not None else 1.0
    stated = _gravities(plan, volume, sums, _AT_STATED, fixed)
    hop_ibu = tuple(_hop_ibu(hops, plan, stated.boil, volume) for hops in plan.hops or ())
    bitter, per_gravity = sum(hop_ibu), gravity_factor(stated.boil)
    units = mcu([(item.mass_kg, item.lovibond) for item in plan.fermentables], volume)

    def outcome(shift: _Shift) -> _Outcome:
        there = _gravities(plan, volume * shift.volume, sums, shift, fixed)
        ibu = bitter * gravity_factor(there.boil) / per_gravity / shift.volume
        return (*there, ibu, morey_srm(units / shift.volume))

    srm = morey_srm(units)
    alone = bitter * _hops_alone(plan, hop_ibu, doubts), srm * _colour_alone(sums, doubts)
    errors = _errors(outcome, (*stated, bitter, srm), _through_gravity(plan, sums, doubts), *alone)
    found = dict(zip(_VITALS, map(Estimate, (*stated, capped_ibu(bitter), srm), errors), strict=True))
    wanted: list[str] = ["og"] if gravity else []
    wanted += ["fg", "abv"] if gravity and plan.attenuation is not None else []
    wanted += ["ibu"] if plan.hops is not None and (gravity or known_og is not None or not plan.hops) else []
    wanted += ["srm"] if plan.fermentables else []
    return Prediction(
        {name: found[name] for name in wanted},
        missing,
        found["pitching"] if gravity else None,
        stated.boil if "ibu" in wanted else None,
        extract,
        hop_ibu if "ibu" in wanted else (),
        units if plan.fermentables else None,
    )
