"""Vitals of a beer from its recipe, each with the uncertainty that follows from those of the inputs.

Extract is a mass balance: Σ mass · yield · efficiency kilograms in the volume that reaches the fermenter. Bitterness
is Tinseth's with the gravity of the kettle averaged over the boil and the volume that reaches the fermenter; colour is
Morey's; final gravity comes from the apparent attenuation of the yeast on wort, with sugars fermented wholly and
unfermentable extract left as it is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from entryprep.brewing.alcohol import abv, fermented_share, real_extract_left
from entryprep.brewing.bitterness import FIRST_WORT_FACTOR, ISOMERISES_ABOVE_C, capped_ibu, isomerisation_rate
from entryprep.brewing.colour import LB_PER_GAL, MOREY_EXPONENT, morey_srm
from entryprep.brewing.extract import Fermentable, extract_of, sg_from_extract
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato

MASH_HOP_FACTOR = 0.2  # hops left in the mash tun bitter little: common practice, uncertain
STAND_CELSIUS = 90.0  # where a stand has no temperature: common practice
DEFAULT_BOIL_MINUTES = 60.0


class Hops(NamedTuple):
    """Hops: grams, alpha acid %, how used, minutes in the heat; temperature in °C for a stand."""

    mass_g: float
    alpha_percent: float
    use: Literal["boil", "first wort", "mash", "stand", "dry"] = "boil"
    minutes: float = 0.0
    celsius: float = STAND_CELSIUS


@dataclass(frozen=True)
class Plan:
    """A recipe in numbers. ``volume_l`` reaches the fermenter, ``efficiency`` is from the grain to there (0 to 1).

    ``dissolved_efficiency`` is the share of what is dissolved in the kettle that reaches the fermenter; ``hops`` None
    means nothing is known of them, empty that there are none; ``attenuation`` is apparent, 0 to 1.1.
    """

    fermentables: Sequence[Fermentable]
    hops: Sequence[Hops] | None = None
    volume_l: float | None = None
    efficiency: float | None = None
    dissolved_efficiency: float = 1.0
    boil_volume_l: float | None = None
    boil_minutes: float = DEFAULT_BOIL_MINUTES
    attenuation: float | None = None


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
    """All that a prediction needs of the ingredients, added up once; kilograms, grams · share, kg · °Lovibond."""

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
    boil_hops: list[float] = field(default_factory=list)
    stand_hops: list[float] = field(default_factory=list)
    order: list[tuple[bool, int]] = field(default_factory=list)


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
    for hops in plan.hops or ():
        stands = hops.use == "stand"
        pile = sums.stand_hops if stands else sums.boil_hops
        sums.order.append((stands, len(pile)))
        pile.append(_hop_strength(hops, plan.boil_minutes))
    return sums


def _hop_strength(hops: Hops, boil_minutes: float) -> float:
    """Milligrams of alpha acid times the part of Tinseth's equation that does not depend on the gravity."""
    minutes = {"first wort": boil_minutes, "mash": boil_minutes, "dry": 0.0}.get(hops.use, hops.minutes)
    factor = {"first wort": FIRST_WORT_FACTOR, "mash": MASH_HOP_FACTOR}.get(hops.use, 1.0)
    if hops.use == "stand":
        minutes *= isomerisation_rate(hops.celsius) if hops.celsius >= ISOMERISES_ABOVE_C else 0.0
    share = 1.65 / 4.15 * (1 - math.exp(-0.04 * minutes))
    return hops.mass_g * 10 * hops.alpha_percent * share * factor


class _Shift(NamedTuple):
    """The inputs that act through the gravities, off their stated values: factors, and the attenuation's shift."""

    efficiency: float = 1.0
    malt: float = 1.0
    steeped: float = 1.0
    sugar: float = 1.0
    volume: float = 1.0
    attenuation: float = 0.0


class _Outcome(NamedTuple):
    og: float
    fg: float
    abv: float
    ibu: float
    srm: float
    pitching: float
    boil: float


def _outcome(plan: Plan, sums: _Sums, shift: _Shift, known_og: float | None) -> _Outcome:
    volume = (plan.volume_l or 0.0) * shift.volume
    malts = (sums.mashed * shift.efficiency + sums.steeped * shift.steeped) * shift.malt
    wort = malts + sums.dissolved_wort
    total = wort + (sums.sugars + sums.dextrins) * shift.sugar
    if known_og is None:
        og = sg_from_extract(total / volume)
        pitching = sg_from_extract((total - sums.fermenter) / volume) if sums.fermenter else og
        end = sg_from_extract((total - sums.fermenter - sums.late) / volume) if sums.late else pitching
    else:
        og = pitching = end = known_og
    boil = end
    if plan.boil_volume_l is not None and plan.boil_volume_l > volume:
        boil = (end + 1 + (end - 1) * volume / plan.boil_volume_l) / 2
    fg, strength = og, 0.0
    if plan.attenuation is not None and total > 0 and known_og is None:
        oe = plato_from_sg(og)
        # what the yeast leaves of wort is a matter of the wort, not of the sugar beside it
        oe_wort = oe if wort == total else plato_from_sg(sg_from_extract(wort / volume))
        gone = wort * fermented_share(oe_wort, plan.attenuation + shift.attenuation) + sums.sugars * shift.sugar
        apparent = (real_extract_left(oe, gone / total) - 0.1808 * oe) / 0.8192
        fg = sg_from_plato(max(-5.0, apparent))
        strength = abv(og, min(fg, og))
    ibu = (sum(sums.boil_hops) + sum(sums.stand_hops)) * math.pow(0.000125, boil - 1) / volume
    return _Outcome(og, fg, strength, ibu, morey_srm(sums.colour / volume * LB_PER_GAL), pitching, boil)


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


def _by_themselves(base: _Outcome, sums: _Sums, doubts: Doubts) -> tuple[float, float]:
    """Variances of bitterness and colour from the inputs that act on them alone, in which both are linear."""
    boiled, stood = sum(sums.boil_hops), sum(sums.stand_hops)
    share = boiled / (boiled + stood) if boiled + stood else 0.0
    relative = (
        doubts.utilisation,
        doubts.alpha * _spread(sums.boil_hops) * share,
        doubts.alpha * _spread(sums.stand_hops) * (1 - share),
        doubts.stand * (1 - share) if stood else 0.0,
    )
    malts = doubts.malt_colour * math.sqrt(sums.colour_squares) / sums.colour if sums.colour else 0.0
    colour = math.hypot(doubts.colour_model, MOREY_EXPONENT * malts)
    return (base.ibu * math.hypot(*relative)) ** 2, (base.srm * colour) ** 2


_AT_STATED = _Shift()


def predict(plan: Plan, doubts: Doubts | None = None, known_og: float | None = None) -> Prediction:
    """Predict the vitals of a plan to first order: error² = Σ (∂vital/∂input · uncertainty of the input)².

    ``known_og`` is a measured original gravity, used for bitterness where the plan cannot predict one. Raises
    ValueError for a volume or efficiency that is not above 0, negative masses, or more extract than water can hold.
    """
    _check(plan)
    doubts = doubts or Doubts()
    missing = _missing(plan)
    if plan.volume_l is None:
        return Prediction({}, missing)
    sums = _add_up(plan)
    gravity = bool(plan.fermentables) and (plan.efficiency is not None or not _mashes(plan))
    fixed = None if gravity else known_og if known_og is not None else 1.0
    base = _outcome(plan, sums, _AT_STATED, fixed)
    variances = [0.0] * len(base)
    variances[3], variances[4] = _by_themselves(base, sums, doubts)
    for name, size in _through_gravity(plan, sums, doubts).items():
        if size:
            step = size / 10  # small enough for a derivative, far above rounding
            moved = _outcome(plan, sums, _AT_STATED._replace(**{name: getattr(_AT_STATED, name) + step}), fixed)
            for i, (there, here) in enumerate(zip(moved, base, strict=True)):
                variances[i] += ((there - here) * 10) ** 2
    errors = _Outcome(*(math.sqrt(v) for v in variances))
    base = base._replace(ibu=capped_ibu(base.ibu))
    wanted: list[str] = ["og"] if gravity else []
    wanted += ["fg", "abv"] if gravity and plan.attenuation is not None else []
    wanted += ["ibu"] if plan.hops is not None and (gravity or known_og is not None or not plan.hops) else []
    wanted += ["srm"] if plan.fermentables else []
    units = sums.colour / plan.volume_l * LB_PER_GAL if plan.fermentables else None
    bite = math.pow(0.000125, base.boil - 1) / plan.volume_l
    return Prediction(
        {name: Estimate(getattr(base, name), getattr(errors, name)) for name in wanted},
        missing,
        Estimate(base.pitching, errors.pitching) if gravity else None,
        base.boil if "ibu" in wanted else None,
        sums.mashed + sums.steeped + sums.dissolved_wort + sums.sugars + sums.dextrins,
        tuple((sums.stand_hops if s else sums.boil_hops)[i] * bite for s, i in sums.order) if "ibu" in wanted else (),
        units,
    )


def _mashes(plan: Plan) -> bool:
    """Whether any grain is mashed, so that the efficiency matters."""
    return any(item.use == "mashed" and item.mass_kg > 0 for item in plan.fermentables)


def _check(plan: Plan) -> None:
    if plan.volume_l is not None and plan.volume_l <= 0:
        raise ValueError(f"a volume of {plan.volume_l} L is not above 0")
    if plan.efficiency is not None and not 0 < plan.efficiency <= 1:
        raise ValueError(f"an efficiency of {plan.efficiency:.0%} is outside 1 to 100 %")
    if any(item.mass_kg < 0 or not 0 <= item.yield_share <= 1.1 for item in plan.fermentables):
        raise ValueError("fermentables need masses from 0 and yields of 0 to 110 %")
    if any(h.mass_g < 0 or not 0 <= h.alpha_percent <= 100 or h.minutes < 0 for h in plan.hops or ()):
        raise ValueError("hops need masses and minutes from 0 and alpha acid of 0 to 100 %")
    if plan.volume_l is not None:
        extract = sum(extract_of(item, plan.efficiency, plan.dissolved_efficiency) for item in plan.fermentables)
        if extract / plan.volume_l > 0.45:
            raise ValueError(f"{extract:.1f} kg of extract in {plan.volume_l:g} L is more than wort can hold")


def _missing(plan: Plan) -> tuple[str, ...]:
    lacks = []
    if plan.volume_l is None:
        lacks.append("the volume into the fermenter, without which nothing can be predicted")
    if not plan.fermentables:
        lacks.append("fermentables: original gravity, final gravity, strength and colour cannot be predicted")
    elif plan.efficiency is None and _mashes(plan):
        lacks.append("the efficiency of the mash: gravities and strength cannot be predicted")
    if plan.fermentables and plan.attenuation is None:
        lacks.append("the attenuation of the yeast: final gravity and strength cannot be predicted")
    if plan.hops is None:
        lacks.append("hops: bitterness cannot be predicted")
    return tuple(lacks)
