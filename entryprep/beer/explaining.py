"""How each vital came about, with the figures put in: enough to work it out again by hand."""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.beer.beer import Beer
from entryprep.beer.forecast import Forecast
from entryprep.beer.gas import gas_of
from entryprep.brewing import alcohol, bitterness, carbonation, colour
from entryprep.brewing.extract import (
    STEEPED_SHARE,
    SUCROSE_POINTS,
    WATER_KG_PER_L,
    Fermentable,
    extract_of,
    extract_per_litre,
    sg_from_extract,
)
from entryprep.brewing.gravity import plato_from_sg
from entryprep.brewing.hydrometer import temperature_ratio
from entryprep.brewing.plan import Hops
from entryprep.brewing.prediction import Doubts
from entryprep.brewing.refractometer import beyond_domain
from entryprep.measures import (
    LB_PER_GALLON,
    OZ_PER_GALLON,
    beer_volume,
    bottle_volume,
    degrees,
    exact_mass,
    large_mass,
    rough_volume,
    us,
)
from entryprep.records.batch import Batch
from entryprep.records.vitalsrecord import MeasuredGravity
from entryprep.vitals import Reading, Vitals, amount


def explained_vitals(beer: Beer) -> list[tuple[str, list[str]]]:
    """For each known vital, in the usual order, the lines that lead to its value."""
    told = []
    for name, reading in beer.vitals.known.items():
        if reading.origin in {"reconstructed", "blended"}:
            own = beer.readings.get(name)
            first = _steps(name, own, beer.readings, beer) if own is not None and not _is_blend(beer) else []
            told.append((name, [*first, *_put_together(name, reading, beer)]))
        else:
            told.append((name, _steps(name, reading, beer.vitals, beer)))
    return told


def _is_blend(beer: Beer) -> bool:
    return beer.batch is not None and bool(beer.batch.blend)


def _steps(name: str, reading: Reading, vitals: Vitals, beer: Beer) -> list[str]:
    if reading.origin == "recipe" and beer.forecast is not None:
        return _RECIPE_STEPS[name](beer.forecast, vitals)
    if reading.origin == "derived":
        if name == "co2":
            return _priming(beer.batch)
        return [*_solved(name, vitals), *_strength(vitals)]
    return [*_read(name, reading, beer.batch)]


def _put_together(name: str, reading: Reading, beer: Beer) -> list[str]:
    """How the beer as served follows from the one underneath, or from the parts of a blend, and what was added."""
    base, under, batch = beer.base_vitals, beer.under, beer.batch
    lines = []
    if batch is not None and batch.blend:
        parts = ", ".join(f"{beer_volume(part.volume)} of {part.batch}" for part in batch.blend)
        lines.append(f"blended of {parts}: volume, alcohol and extract add up")
    below = base.get(name) if base is not None else None
    if below is None or under is None:
        return [*lines, f"together {amount(name, reading.value)}"]
    lines.append(f"the beer underneath has {amount(name, below.value)} ± {amount(name, below.error or 0.0)}")
    for step in under.steps if name in {"og", "fg", "abv"} else ():
        what = f"{rough_volume(step.contents.volume_l, 2)}, {bottle_volume(step.contents.alcohol_l * 1000)} of alcohol"
        extract = exact_mass(step.contents.extract_kg * 1000, 0)
        lines.append(f"with {what}, {extract} of extract from {step.what}, ± {step.error:.0%}")
    if batch is not None and batch.concentrated is not None:
        ice = batch.concentrated
        lines.append(f"less the ice, counted as water, from {beer_volume(ice.before)} to {beer_volume(ice.after)}")
    return [*lines, f"as served {amount(name, reading.value)}, by volume, alcohol and extract (Balling)"]


def _read(name: str, reading: Reading, batch: Batch | None) -> list[str]:
    record = (batch.measured if reading.origin == "measured" else batch.predicted) if batch else None
    item = getattr(record, name) if record else None
    if isinstance(item, MeasuredGravity) and item.temperature is not None and item.by != "refractometer":
        sample, made_for = item.temperature, item.calibrated_at
        r_sample, r_made = temperature_ratio(sample), temperature_ratio(made_for)
        warm, cool = degrees(sample, exact=True), degrees(made_for, exact=True)
        return [
            f"{item.value:.4f} read at {warm} with a hydrometer for {cool}: "
            f"{item.value:.4f} x r({warm.split()[0]})/r({cool.split()[0]}) = "
            f"{item.value:.4f} x {r_sample:.6f}/{r_made:.6f} = {reading.value:.4f}"
        ]
    if isinstance(item, MeasuredGravity) and item.brix is not None and batch is not None:
        return _refracted(name, item, batch)
    if reading.origin == "measured" and batch is None:
        return [f"{amount(name, reading.value)}, as given"]
    return [f"{amount(name, reading.value)}, as the record says"]


def _refracted(name: str, item: MeasuredGravity, batch: Batch) -> list[str]:
    extract = item.brix / item.wort_factor if item.brix is not None else 0.0
    if name == "og":
        return [f"{item.brix:g} °Brix/{item.wort_factor:g} = {extract:.3f} °P, which is {item.value:.4f}"]
    og = batch.measured.og
    before = plato_from_sg(og.value) if og is not None else 0.0
    form = "1 - 0.0044993 i + 0.011774 f + 0.00027581 i² - 0.0012717 f² - 0.00000728 i³ + 0.000063293 f³"
    name = "Terrill's cubic"
    if beyond_domain(before, extract, 1.0):
        form = "1 - 0.00085683 i + 0.0034941 f"
        name = (
            "Terrill's straight form, led over from the cubic between 19.3 and 22 °P and to OG where little fermented"
        )
    return [
        f"i = {before:.3f} °P before, f = {item.brix:g} °Brix/{item.wort_factor:g} = {extract:.3f} now",
        f"FG = {form} = {item.value:.4f} ({name})",
    ]


def _solved(name: str, vitals: Vitals) -> list[str]:
    if name == "abv":
        return []
    pair = " and ".join(
        f"{n} {amount(n, r.value)}" for n, r in vitals.known.items() if n in {"og", "fg", "abv"} and n != name
    )
    return [f"the {name} that goes with {pair} is {vitals.known[name].value:.4f}; to check it:"]


def _strength(vitals: Vitals) -> list[str]:
    og, fg = vitals.known["og"].value, vitals.known["fg"].value
    oe, ae = plato_from_sg(og), plato_from_sg(fg)
    re = alcohol.real_extract(oe, ae)
    by_mass = alcohol.abw(og, fg)
    return [
        f"OE = {oe:.3f} °P at {og:.4f}, AE = {ae:.3f} °P at {fg:.4f} (ASBC polynomial)",
        f"RE = 0.1808 x {oe:.3f} + 0.8192 x {ae:.3f} = {re:.3f} °P",
        f"ABW = ({oe:.3f} - {re:.3f})/(2.0665 - 0.010665 x {oe:.3f}) = {by_mass:.3f} % (Balling)",
        f"ABV = {by_mass:.3f} x {fg:.4f}/{alcohol.ETHANOL_DENSITY_RATIO} = {alcohol.abv(og, fg):.2f} %",
    ]


def _priming(batch: Batch | None) -> list[str]:
    gas = gas_of(batch) if batch else None
    if batch is None or gas is None:
        return []
    priming = batch.carbonation.priming if batch.carbonation else None
    lines = []
    if priming is not None and len(gas.parts) > 1:
        factor = 1 / carbonation.VOLUMES_PER_GRAM_PER_LITRE[priming.sugar]
        added = priming.mass / priming.beer / factor if priming.beer else 0.0
        mass = f"{priming.mass:g} g" if not us() else exact_mass(priming.mass)
        each, per = (f"{factor:.2f} g", "litre") if not us() else (f"{factor * OZ_PER_GALLON:.3f} oz", "gallon")
        lines = [
            f"left from fermentation at {degrees(priming.temperature, exact=True)}: {gas.parts[0].volumes:.2f} volumes",
            f"{mass} of {priming.sugar} in {beer_volume(priming.beer or 0.0)} at {each} per {per} and volume: "
            f"{mass.split()[0]}/{beer_volume(priming.beer or 0.0).split()[0]}/{each.split()[0]} = {added:.2f} volumes",
        ]
    lines += [f"{part.words}: {part.volumes:.2f} volumes" for part in gas.parts[2 if lines else 0 :]]
    sum_of = " + ".join(f"{part.volumes:.2f}" for part in gas.parts)
    return [*lines, f"{sum_of} = {gas.volumes:.2f} volumes"] if len(gas.parts) > 1 else lines


def _fermentable_line(name: str, item: Fermentable, expected: Forecast) -> str:
    plan = expected.plan
    extract = extract_of(item, plan.efficiency, plan.dissolved_efficiency)
    points = item.yield_share * SUCROSE_POINTS
    factors = f"{large_mass(item.mass_kg, 3)} x {points:.1f}/{SUCROSE_POINTS:g} yield"
    if item.use == "mashed":
        factors += f" x {(plan.efficiency or 0) * 100:g} % efficiency"
    elif item.use == "steeped":
        factors += f" x {STEEPED_SHARE:.0%} drawn by steeping"
    if item.use != "mashed" and item.stage != "fermenter" and plan.dissolved_efficiency < 1:
        factors += f" x {plan.dissolved_efficiency:.1%} that leaves the kettle"
    return f"{name}: {factors} = {large_mass(extract, 3)} of extract"


def _original(expected: Forecast, _vitals: Vitals) -> list[str]:
    plan, prediction = expected.plan, expected.prediction
    lines = [_fermentable_line(n, f, expected) for n, f in zip(expected.names, plan.fermentables, strict=True)]
    og = prediction.vitals["og"].value
    dense = extract_per_litre(og)
    volume = plan.volume_l or 0.0
    factor, per = (LB_PER_GALLON, "lb per gallon") if us() else (1.0, "kg per litre")
    shown, water = dense * factor, f"{WATER_KG_PER_L * factor:.5g}"
    lines.append(f"{large_mass(prediction.extract_kg, 3)} in {beer_volume(volume)} = {shown:.5f} {per}")
    lines.append(
        f"{shown:.5f} = S x {water} x P/100 holds for S = {og:.4f}, P = {plato_from_sg(og):.3f} °P (ASBC polynomial)"
    )
    if prediction.pitching_og and prediction.pitching_og.value < og - 1e-6:
        lines.append(
            f"before the yeast a hydrometer shows {prediction.pitching_og.value:.4f}: the rest goes into the fermenter"
        )
    doubts = Doubts()
    lines.append(
        f"error: efficiency ± {doubts.efficiency * 100:g} points, volume ± {doubts.volume:.0%}, "
        f"yield of each malt ± {doubts.malt_yield:.0%}, to first order"
    )
    return lines


def _final(expected: Forecast, vitals: Vitals) -> list[str]:
    plan, prediction = expected.plan, expected.prediction
    shares: dict[str, float] = {"wort": 0.0, "sugars that ferment": 0.0, "what does not": 0.0}
    for item in plan.fermentables:
        extract = extract_of(item, plan.efficiency, plan.dissolved_efficiency) / (prediction.extract_kg or 1.0)
        if item.fermentable is None or item.use != "dissolved":
            shares["wort"] += extract
        else:
            shares["sugars that ferment"] += extract * item.fermentable
            shares["what does not"] += extract * (1 - item.fermentable)
    attenuation = plan.attenuation or 0.0
    og = vitals.known["og"].value
    oe = plato_from_sg(prediction.vitals["og"].value)
    wort_oe = plato_from_sg(sg_from_extract(shares["wort"] * prediction.extract_kg / (plan.volume_l or 1.0)))
    by_yeast = alcohol.fermented_share(wort_oe, attenuation)
    by_mass = alcohol.abw_from_extract(wort_oe, wort_oe * (1 - attenuation))
    gone = shares["wort"] * by_yeast + shares["sugars that ferment"]
    re = alcohol.real_extract_left(oe, gone)
    lines = [
        "extract: " + ", ".join(f"{share:.1%} {name}" for name, share in shares.items() if share > 1e-9),
        f"wort of {wort_oe:.3f} °P at {attenuation:.1%} apparent: "
        f"ABW = 0.8192 x {attenuation:.3f} x {wort_oe:.3f}/(2.0665 - 0.010665 x {wort_oe:.3f}) = {by_mass:.3f} %, "
        f"fermented 2.0665 x {by_mass:.3f}/(1 + 0.010665 x {by_mass:.3f})/{wort_oe:.3f} = {by_yeast:.4f} of it",
        f"fermented of all the extract: {gone:.4f}",
        f"RE = 100 x {oe:.3f} x (1 - {gone:.4f})/(100 - 1.0665/2.0665 x {oe:.3f} x {gone:.4f}) = {re:.3f} °P",
        f"AE = (RE - 0.1808 x {oe:.3f})/0.8192 = {plato_from_sg(prediction.vitals['fg'].value):.3f} °P, "
        f"which is {prediction.vitals['fg'].value:.4f}",
    ]
    if abs(og - prediction.vitals["og"].value) > 1e-6:
        lines.append(f"the same share of OE left at the measured {og:.4f}: {vitals.known['fg'].value:.4f}")
    lines.append(f"error: attenuation ± {Doubts().attenuation * 100:g} points, and that of the original gravity")
    return lines


def _hop_line(name: str, hops: Hops, ibu: float, expected: Forecast) -> str:
    plan, boil = expected.plan, expected.prediction.boil_sg or 1.0
    volume = plan.volume_l or 1.0
    if hops.use == "dry":
        return f"{name}, dry: adds no iso-alpha acid, 0 IBU; what it does to bitterness is uncertain"
    minutes, extra = hops.minutes, ""
    if hops.use in {"first wort", "mash"}:
        factor = bitterness.FIRST_WORT_FACTOR if hops.use == "first wort" else bitterness.MASH_FACTOR
        minutes, extra = plan.boil_minutes, f" x {factor:g} ({hops.use})"
    if hops.use == "stand":
        minutes = bitterness.boiling_minutes(hops.minutes, hops.celsius)
        rate = bitterness.boiling_minutes(1.0, hops.celsius)
        extra = f" (a stand: {hops.minutes:g} min at {degrees(hops.celsius, exact=True)} count {rate:.3f} of a boil's)"
    use = bitterness.tinseth_utilisation(boil, minutes)
    milligrams = f"{1000 / OZ_PER_GALLON:.0f}" if us() else "1000"  # in a litre, of a gram or an ounce in its volume
    return (
        f"{name}: {exact_mass(hops.mass_g)} x {hops.alpha_percent:g} % x U({minutes:.1f} min) {use:.4f} x {milligrams}/"
        f"{beer_volume(volume)}{extra} = {ibu:.1f} IBU"
    )


def _bitter(expected: Forecast, _vitals: Vitals) -> list[str]:
    plan, prediction = expected.plan, expected.prediction
    boil = prediction.boil_sg or 1.0
    where = f"averaged from {beer_volume(plan.boil_volume_l)} to" if plan.boil_volume_l else "taken as that of"
    lines = [
        f"gravity of the boil {boil:.4f}, {where} {beer_volume(plan.volume_l or 0.0)}; volume that of the fermenter",
        f"U = 1.65 x 0.000125^{boil - 1:.4f} x (1 - e^(-0.04 min))/4.15 (Tinseth)",
    ]
    pairs = zip(expected.hop_names, plan.hops or (), prediction.hop_ibu, strict=True)
    lines += [_hop_line(name, hops, ibu, expected) for name, hops, ibu in pairs]
    total = sum(prediction.hop_ibu)
    lines.append(f"sum {total:.1f} IBU")
    if total > bitterness.CEILING_IBU:
        lines.append(f"beer cannot hold more than about {bitterness.CEILING_IBU:g}, so that is what is shown")
    doubts = Doubts()
    lines.append(
        f"error: utilisation ± {doubts.utilisation:.0%}, alpha acid of each ± {doubts.alpha:.0%}, "
        f"stands ± {doubts.stand:.0%}, volume and gravity"
    )
    return lines


def _coloured(expected: Forecast, _vitals: Vitals) -> list[str]:
    plan, units = expected.plan, expected.prediction.malt_colour_units or 0.0
    parts = [
        f"{large_mass(item.mass_kg, 3)} {name} x {item.lovibond:g} °L"
        for name, item in zip(expected.names, plan.fermentables, strict=True)
        if item.lovibond and item.mass_kg
    ]
    srm = expected.prediction.vitals["srm"].value
    factor = "1" if us() else f"{colour.LB_PER_GAL:.4f}"
    lines = [f"MCU = ({' + '.join(parts) or '0'}) x {factor}/{beer_volume(plan.volume_l or 0.0)} = {units:.2f}"]
    lines.append(f"SRM = 1.4922 x {units:.2f}^0.6859 = {srm:.1f} (Morey)")
    if srm > colour.MOREY_VALID_SRM:
        lines.append("above 50 SRM the formula is stretched beyond what it was made for; such beer is black anyway")
    doubts = Doubts()
    lines.append(f"error: the formula ± {doubts.colour_model:.0%}, colour of each malt ± {doubts.malt_colour:.0%}")
    return lines


def _strong(_expected: Forecast, vitals: Vitals) -> list[str]:
    return _strength(vitals) if {"og", "fg"} <= vitals.known.keys() else []


_RECIPE_STEPS = {"og": _original, "fg": _final, "abv": _strong, "ibu": _bitter, "srm": _coloured}


def forecast_notes(expected: Forecast | None) -> Sequence[str]:
    """What a recipe lacks or what was assumed for it, in sentences without a full stop."""
    if expected is None:
        return ()
    notes = [expected.problem] if expected.problem else []
    return [*notes, *expected.assumed, *(f"not given: {text}" for text in expected.prediction.missing)]
