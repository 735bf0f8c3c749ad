"""What would bring the next batch inside: for each real miss, in the brewer's own quantities. All common practice."""

from __future__ import annotations

from entryprep.beer.cautions_fermentation import is_wild
from entryprep.beer.fitting import Fit, Part
from entryprep.beer.gas import still_fermenting
from entryprep.beer.volumes import stated_volume
from entryprep.brewing.alcohol import HIGHEST_OG, abv, apparent_attenuation
from entryprep.brewing.bitterness import boil_ibu
from entryprep.brewing.colour import mcu, mcu_from_srm
from entryprep.brewing.extract import extract_per_litre, yield_from_potential
from entryprep.brewing.gravity import PLATO_MIN, plato_from_sg, sg_from_plato
from entryprep.measures import beer_volume, degrees_apart, large_mass, per_volume, small_mass, speaking, spoken
from entryprep.records.batch import Batch
from entryprep.records.recipe import RecipeFermentable
from entryprep.tables.ingredients import colour_of, known_fermentable, potential_of

USUAL_ALPHA, USUAL_EFFICIENCY, USUAL_LITRES, USUAL_YIELD = 5.0, 0.72, 19.0, 0.80
# what gives less is nothing to mend a gravity or a bitterness with, or a slip of the pen: common practice
LEAST_EFFICIENCY, LEAST_YIELD, LEAST_ALPHA = 0.1, 0.3, 1.0
DARK_MALT_LOVIBOND = 500.0
POINTS_PER_DEGREE = (
    1.2  # apparent attenuation, in points of per cent, for a mash 1 °C cooler, from 64 to 70 °C: from memory
)
USUAL_LEFT = 0.25  # of the extract, apparent: 75 % attenuation
HALVINGS = 30
REAL_MISS = 1.0  # standard uncertainties
SOURCE = "common practice"


def next_time(batch: Batch, result: Fit, units: str | None = None) -> tuple[str, ...]:
    """Advice for each vital that lies outside by more than its error; bitterness, colour, body, strength, gas.

    Amounts are for the batch's own volume, efficiency and hops where it says them, else for 19 L and usual figures.
    ``units`` is metric or us; None: those that are spoken.
    """
    with speaking(units or spoken()):
        return _next_time(batch, result)


def _next_time(batch: Batch, result: Fit) -> tuple[str, ...]:
    if still_fermenting(batch):
        return (STILL_FERMENTING,)
    wild, sour = is_wild(batch), batch.traits.sourness in {"light", "marked"}
    advice = []
    for part in result.parts:
        if part.miss and abs(part.miss_in_errors) >= REAL_MISS and part.vital in _ADVICE:
            own = _by_route(part, wild, sour)
            advice.append(_ADVICE[part.vital](batch, part) if own is None else own)
    if any(text.startswith("Original gravity") for text in advice):
        # strength follows the gravities, and so does the final gravity if the attenuation is right
        follows = ("Strength", "Final gravity") if _follows(result) else ("Strength",)
        advice = [text for text in advice if not text.startswith(follows)]
    return tuple(advice)


STILL_FERMENTING = (
    "It was still fermenting when it was last read: wait for two equal gravities, then look again; nothing follows for "
    "the recipe yet"
)


def _by_route(part: Part, wild: bool, sour: bool) -> str | None:
    """What holds for a beer soured or fermented by wild cultures, where the usual advice would work against them."""
    if part.vital == "ibu" and part.miss < 0 and (sour or wild):
        return "Bitterness: leave it low; hops hold back the bacteria that sour it. Else blend in a bitter beer"
    if part.vital == "fg" and part.miss < 0 and wild:
        return (
            "Final gravity: wild cultures eat what the mash leaves, so a warmer mash brings no body back; package it "
            "earlier only where heat or cold stops them, or blend with a fuller beer"
        )
    if part.vital == "fg" and part.miss > 0 and wild:
        return "Final gravity: give it months, not another mash: wild cultures go on; bottle it once it is steady"
    return None


def _follows(result: Fit) -> bool:
    """Whether the final gravity falls into its range once the original one does, at the attenuation there was."""
    og, fg = result.part("og"), result.part("fg")
    if og is None or fg is None:
        return False
    target = og.range.high if og.miss > 0 else og.range.low
    left = plato_from_sg(fg.reading.value) / plato_from_sg(og.reading.value)
    return plato_from_sg(fg.range.low) <= left * plato_from_sg(target) <= plato_from_sg(fg.range.high)


def _litres(batch: Batch) -> float:
    return stated_volume(batch) or USUAL_LITRES


def _bitterness(batch: Batch, part: Part) -> str:
    hops = [h for h in (batch.recipe.hops or ()) if h.use == "boil" and h.minutes >= 30] if batch.recipe else []
    main = max(hops, key=lambda h: h.mass * (h.alpha or USUAL_ALPHA), default=None)
    alpha = main.alpha if main and main.alpha and main.alpha >= LEAST_ALPHA else USUAL_ALPHA
    minutes = main.minutes if main else 60.0
    og = batch.measured.og.value if batch.measured.og else 1.050
    grams = abs(part.miss) * _litres(batch) / boil_ibu(1.0, alpha, minutes, og, 1.0)
    what = main.what if main else f"hops of {alpha:g} % alpha acid"
    verb = "take" if part.miss > 0 else "give"
    less = "less" if part.miss > 0 else "more"
    return (
        f"Bitterness: {verb} {small_mass(grams)} {less} of {what} at {minutes:.0f} minutes "
        f"({abs(part.miss):.0f} IBU in {beer_volume(_litres(batch))}, by Tinseth)"
    )


def _colour(batch: Batch, part: Part) -> str:
    litres = _litres(batch)
    target = part.range.high if part.miss > 0 else part.range.low
    change = abs(mcu_from_srm(part.reading.value) - mcu_from_srm(target)) * litres / mcu([(1.0, 1.0)], 1.0)  # kg · °L
    if part.miss < 0:
        grams = 1000 * change / DARK_MALT_LOVIBOND
        malt = f"{small_mass(grams)} of a black malt (about 500 °L)"
        return f"Colour: add {malt} in {beer_volume(litres)}, late in the mash"
    dark = _darkest(batch)
    if dark is None:
        return "Colour: leave out the darkest malt, or replace it by a paler one of its kind"
    name, lovibond, mass = dark
    grams = 1000 * change / lovibond
    if grams >= mass * 1000:
        return f"Colour: leave out the {name}, and look for what else is dark"
    return f"Colour: take {small_mass(grams)} less of {name} ({lovibond:g} °L) in {beer_volume(litres)}"


def _darkest(batch: Batch) -> tuple[str, float, float] | None:
    found = []
    for item in batch.recipe.fermentables if batch.recipe else ():
        lovibond = colour_of(item.colour, known_fermentable(item.what))
        if lovibond >= 20 and item.mass:
            found.append((item.what, lovibond, item.mass))
    return max(found, key=lambda f: f[1] * f[2], default=None)


def _body(batch: Batch, part: Part) -> str:
    og = batch.measured.og.value if batch.measured.og else None
    target = part.range.high if part.miss > 0 else part.range.low
    drier = part.miss > 0
    said = "Final gravity: " + ("it should end drier" if drier else "it should keep more body")
    if og is not None and og > max(target, 1.0):
        points = abs(apparent_attenuation(og, part.reading.value) - apparent_attenuation(og, target))
        degrees = min(points / POINTS_PER_DEGREE, 4.0)
        side = "cooler" if drier else "warmer"
        said += (
            f", by about {points:.0f} points of attenuation: mash {degrees_apart(degrees, degrees + 1)} {side}, "
            f"or choose a yeast that attenuates {'more' if drier else 'less'}"
        )
        if drier:
            said += ", or replace some malt by sugar"
    return said


def _gravity(batch: Batch, part: Part) -> str:
    litres = _litres(batch)
    target = part.range.high if part.miss > 0 else part.range.low
    extract = abs(extract_per_litre(part.reading.value) - extract_per_litre(target)) * litres
    recipe = batch.recipe
    told = recipe.efficiency / 100 if recipe and recipe.efficiency else 0.0
    efficiency = told if told >= LEAST_EFFICIENCY else USUAL_EFFICIENCY
    malts = [(f.mass, _yield_of(f), f.what) for f in recipe.fermentables if f.mass] if recipe else []
    rich = [malt for malt in malts if malt[1] >= LEAST_YIELD]
    _, share, name = max(rich, key=lambda malt: malt[0]) if rich else (0.0, USUAL_YIELD, "base malt")
    kilograms = extract / (share * efficiency)
    verb, less = ("take", "less") if part.miss > 0 else ("use", "more")
    points = abs(part.miss) * 1000
    otherwise = "make more of it" if part.miss > 0 else "boil it down further"
    return (
        f"Original gravity: {verb} {large_mass(kilograms)} {less} of {name} in {beer_volume(litres)} "
        f"({points:.0f} points at {efficiency:.0%} efficiency), or {otherwise}"
    )


def _yield_of(malt: RecipeFermentable) -> float:
    """The extract a fermentable gives, as a share of its mass: as told, or as usual for it."""
    potential = potential_of(malt.potential, known_fermentable(malt.what))
    return yield_from_potential(potential) if potential is not None else USUAL_YIELD


def _strength(batch: Batch, part: Part) -> str:
    og, fg = batch.measured.og, batch.measured.fg
    left = plato_from_sg(fg.value) / plato_from_sg(og.value) if og and fg and og.value > 1 else USUAL_LEFT
    target = part.range.high if part.miss > 0 else part.range.low
    points = 1000 * abs(_og_of(part.reading.value, left) - _og_of(target, left))
    verb = "lower" if part.miss > 0 else "raise"
    return f"Strength: {verb} the original gravity by about {points:.0f} points, at the same attenuation"


def _og_of(strength: float, left: float) -> float:
    """The original gravity of a beer of this strength of which the share ``left`` of apparent extract did not ferment.

    By halving between water and the heaviest wort, since strength rises with gravity.
    """
    low, high = 1.0, HIGHEST_OG
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        final = sg_from_plato(max(left * plato_from_sg(middle), PLATO_MIN))  # a reading below all beer goes no further
        enough = abv(middle, final) >= strength
        low, high = (low, middle) if enough else (middle, high)
    return high


def _gas(batch: Batch, part: Part) -> str:
    """By the way the beer was carbonated; both ways where that is not known."""
    side, pressure = ("less", "lower") if part.miss > 0 else ("more", "higher")
    mass, per = per_volume(abs(part.miss) * 4.0)
    primed, forced = f"{mass} of sugar {side} per {per} at bottling", f"a {pressure} pressure in the keg or tank"
    method = batch.carbonation.method if batch.carbonation else ""
    if method in {"bottle-conditioned", "cask"}:
        return f"Carbonation: {primed}"
    return f"Carbonation: {forced if method else f'{primed}, or {forced}'}"


_ADVICE = {"og": _gravity, "fg": _body, "abv": _strength, "ibu": _bitterness, "srm": _colour, "co2": _gas}
