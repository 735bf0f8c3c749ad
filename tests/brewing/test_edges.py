"""Both ends of each domain: the last number that is answered, the next one that is refused, and what is said then."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import pytest

from entryprep.brewing import (
    alcohol,
    bitterness,
    carbonation,
    colour,
    contents,
    extract,
    gravity,
    hydrometer,
    refractometer,
    swatch,
)
from entryprep.brewing.contents import Contents
from entryprep.brewing.extract import Fermentable
from entryprep.brewing.plan import Plan, check_plan
from entryprep.brewing.prediction import Doubts
from tests.vectors import case_id


class Domain(NamedTuple):
    """A formula in one of its numbers, where that ends (None: nowhere), and the refusal, {x} being the number."""

    call: Callable[[float], object]
    low: float | None
    high: float | None
    words: str


GRAVITY = "specific gravity {x} is outside 0.98 to 1.2"
EXTRACT = "{x} °P of extract is outside -20 to 70 °P"
HOPS = "hops need a mass from 0, alpha acid of 0 to 100 % and a volume above 0"
SUGAR = "masses are needed from 0, and a share of 0 to 100 %"
COLD = "{x} °C is outside 0 to 70 °C"
BASE = contents.beer(20, 1.050, 1.010)

DOMAINS = {
    "real extract, OE": Domain(lambda x: alcohol.real_extract(x, 5), -20, 70, EXTRACT),
    "real extract, AE": Domain(lambda x: alcohol.real_extract(5, x), -20, 70, EXTRACT),
    "apparent extract, OE": Domain(lambda x: alcohol.apparent_extract(x, 5), -20, 70, EXTRACT),
    "apparent extract, RE": Domain(lambda x: alcohol.apparent_extract(5, x), -20, 70, EXTRACT),
    "alcohol by extract, OE": Domain(lambda x: alcohol.abw_from_extract(x, 5), -20, 70, EXTRACT),
    "alcohol by extract, AE": Domain(lambda x: alcohol.abw_from_extract(5, x), -20, 70, EXTRACT),
    "strength, OG": Domain(lambda x: alcohol.abv(x, 1.0), 1.0, 1.2, ""),
    "strength, FG": Domain(
        lambda x: alcohol.abv(1.05, x), 0.98, 1.05, "final gravity {x} is above original gravity 1.05|" + GRAVITY
    ),
    "slopes, FG": Domain(
        lambda x: alcohol.abv_slopes(1.05, x), 0.98, 1.05, "final gravity {x} is above original gravity 1.05|" + GRAVITY
    ),
    "OG of a strength": Domain(
        lambda x: alcohol.og_from_abv(x, 1.01), 0.0, alcohol.abv(1.195, 1.01),
        "no original gravity gives {x} % at a final gravity of 1.01",
    ),
    "OG of no strength": Domain(
        lambda x: alcohol.og_from_abv(0.0, x), 0.98, 1.195,
        "no original gravity gives 0.0 % at a final gravity of {x}|" + GRAVITY,
    ),
    "FG of a strength": Domain(
        lambda x: alcohol.fg_from_abv(1.05, x), 0.0, alcohol.abv(1.05, 0.98), "a wort of 1.05 cannot reach {x} %"
    ),
    "OE of alcohol": Domain(
        lambda x: alcohol.oe_from_abw(x, 4.0), 0.0, 20.0,
        "{x} % by mass and 4.0 °P are outside 0 to 20 % and −2 to 40 °P",
    ),
    "OE of real extract": Domain(
        lambda x: alcohol.oe_from_abw(4.0, x), -2.0, 40.0,
        "4.0 % by mass and {x} °P are outside 0 to 20 % and −2 to 40 °P",
    ),
    "attenuation, OG": Domain(
        lambda x: alcohol.apparent_attenuation(x, 1.01), math.nextafter(1.0, 2), 1.2,
        "an original gravity of {x} holds no extract|" + GRAVITY,
    ),
    "attenuation, FG": Domain(lambda x: alcohol.apparent_attenuation(1.05, x), 0.98, 1.2, GRAVITY),
    "share fermented": Domain(
        lambda x: alcohol.fermented_share(12.0, x), 0.0, 1 / 0.8192,
        "an apparent attenuation of {x:.1%} is outside 0 to 122.1%",
    ),
    "share fermented of extract": Domain(lambda x: alcohol.fermented_share(x, 0.7), -20, 70, EXTRACT),
    "extract left": Domain(
        lambda x: alcohol.real_extract_left(12.0, x), 0.0, 1.0,
        "a share of {x:.1%} is outside 0 to 100 %",
    ),
    "extract left of extract": Domain(lambda x: alcohol.real_extract_left(x, 0.7), -20, 70, EXTRACT),
    "kettle gravity": Domain(bitterness.gravity_factor, 0.98, 1.2, "a kettle gravity of {x} is outside 0.980 to 1.200"),
    "minutes of boiling": Domain(
        lambda x: bitterness.tinseth_utilisation(1.05, x), 0.0, None,
        "{x} minutes are below 0",
    ),
    "grams of hops": Domain(
        lambda x: bitterness.boil_ibu(x, 5, 60, 1.05, 20), 0.0, 20000.0,
        "{x} g of hops of 5 % in 20 L: " + HOPS + "|{x} g of hops in 20 L is more than 1000 g in a litre",
    ),
    "alpha acid": Domain(
        lambda x: bitterness.boil_ibu(30, x, 60, 1.05, 20), 0.0, 100.0, "30 g of hops of {x} % in 20 L: " + HOPS
    ),
    "litres of wort": Domain(
        lambda x: bitterness.boil_ibu(0, 5, 60, 1.05, x), 5e-324, None, "0 g of hops of 5 % in {x} L: " + HOPS
    ),
    "isomerisation": Domain(bitterness.isomerisation_rate, 0.0, 105.0, "{x} °C is outside 0 to 105 °C"),
    "minutes of a stand": Domain(lambda x: bitterness.boiling_minutes(x, 80), 0.0, None, "{x} minutes are below 0"),
    "a stand's degrees": Domain(
        lambda x: bitterness.boiling_minutes(10, x), 0.0, 105.0,
        "{x} °C is outside 0 to 105 °C",
    ),
    "first wort factor": Domain(
        lambda x: bitterness.first_wort_ibu(30, 5, 60, 1.05, 20, x), 1.0, 1.1,
        "a first wort factor of {x} is outside 1.0 to 1.1",
    ),
    "bitterness": Domain(bitterness.capped_ibu, 0.0, None, "{x} IBU is below 0"),
    "volumes of gas": Domain(
        lambda x: carbonation.gauge_pressure_kpa(x, 10), 0.0, 8.0, "{x} volumes of CO2 is outside 0 to 8"
    ),
    "gauge's degrees": Domain(
        lambda x: carbonation.gauge_pressure_kpa(2.5, x), -5.0, 60.0, "{x} °C is outside −5 to 60 °C"
    ),
    "bottle's degrees": Domain(
        lambda x: carbonation.bottle_pressure_kpa(2.5, x), -5.0, 60.0, "{x} °C is outside −5 to 60 °C"
    ),
    "residual gas": Domain(carbonation.residual_volumes, -5.0, 60.0, "{x} °C is outside −5 to 60 °C"),
    "grams of sugar": Domain(
        lambda x: carbonation.primed_volumes("glucose", x, 20, 20), 0.0, None,
        "priming needs a mass from 0 and a volume above 0, not {x} g and 20 L",
    ),
    "litres primed": Domain(
        lambda x: carbonation.primed_volumes("glucose", 0, x, 20), 5e-324, None,
        "priming needs a mass from 0 and a volume above 0, not 0 g and {x} L",
    ),
    "EBC": Domain(colour.srm_from_ebc, -1e6, 1e6, "{x} EBC is outside −1e+06 to 1e+06"),
    "SRM of malt": Domain(colour.lovibond_from_srm, -1e6, 1e6, "{x} SRM is outside −1e+06 to 1e+06"),
    "°Lovibond": Domain(colour.srm_from_lovibond, -1e6, 1e6, "{x} °L is outside −1e+06 to 1e+06"),
    "malt mass": Domain(
        lambda x: colour.mcu([(1.0, 2.0), (x, 3.0)], 20), 0.0, None,
        "{x} kg of a malt of 3.0 °L: both are needed from 0"
    ),
    "malt colour": Domain(
        lambda x: colour.mcu([(1.0, 2.0), (3.0, x)], 20), 0.0, None,
        "3.0 kg of a malt of {x} °L: both are needed from 0"
    ),
    "litres of colour": Domain(lambda x: colour.mcu([], x), 5e-324, None, "a volume of {x} L is not above 0"),
    "malt colour units": Domain(colour.morey_srm, 0.0, 1e9, "{x} malt colour units are outside 0 to 1e+09"),
    "units of SRM": Domain(colour.mcu_from_srm, 0.0, 1e6, "{x} SRM is outside 0 to 1e+06"),
    "a colour's word": Domain(colour.colour_word, 0.0, None, "{x} SRM is below 0"),
    "litres of beer": Domain(lambda x: contents.beer(x, 1.05, 1.01), 5e-324, None, "a volume of {x} L is not above 0"),
    "litres of spirit": Domain(lambda x: contents.spirit(x, 40.0), 0.0, None, "{x} L of 40.0 % is no spirit"),
    "strength of spirit": Domain(lambda x: contents.spirit(1.0, x), 0.0, 97.0, "1.0 L of {x} % is no spirit"),
    "kilograms of sugar": Domain(
        lambda x: contents.sugar(x, 1, 0.5), 0.0, None,
        "{x} kg of sugar with 1 kg of water, 50.0% of it fermented: " + SUGAR,
    ),
    "water of sugar": Domain(
        lambda x: contents.sugar(1, x, 0.5), 0.0, None,
        "1 kg of sugar with {x} kg of water, 50.0% of it fermented: " + SUGAR,
    ),
    "fermented of sugar": Domain(
        lambda x: contents.sugar(1, 0, x), 0.0, 1.0,
        "1 kg of sugar with 0 kg of water, {x:.1%} of it fermented: " + SUGAR,
    ),
    "beer left of ice": Domain(
        lambda x: contents.without_ice(BASE, x), None, 20.0, "20 L of beer cannot be frozen down to {x:g} L"
    ),
    "beer without water": Domain(
        lambda x: contents.without_ice(Contents(20.0, 2.0, 10.0), x), 2.0 + 10 * 0.62, 20.0,
        "20 L of beer cannot be frozen down to {x:g} L"
    ),
    "what can be taken away": Domain(lambda x: BASE.minus(contents.water(x)), 0.0, math.nextafter(20, 0), ""),
    "potential": Domain(extract.yield_from_potential, 1.0, 1.06, "a potential of {x} is outside 1.000 to 1.060"),
    "extract in a litre": Domain(
        extract.sg_from_extract, 0.0, 0.45, "{x} kg of extract per litre is outside 0 to 0.45 kg per litre"
    ),
    "extract of a gravity": Domain(extract.extract_per_litre, 0.98, 1.2, GRAVITY),
    "mass of a fermentable": Domain(
        lambda x: extract.extract_of(Fermentable(x, 0.8), 0.7), 0.0, 1e6,
        "{x} kg of a yield of 80.0%: masses are needed from 0 to 1,000,000 kg and yields of 0 to 110%",
    ),
    "yield of a fermentable": Domain(
        lambda x: extract.extract_of(Fermentable(4.0, x), 0.7), 0.0, 1.1,
        "4.0 kg of a yield of {x:.1%}: masses are needed from 0 to 1,000,000 kg and yields of 0 to 110%",
    ),
    "efficiency": Domain(
        lambda x: extract.extract_of(Fermentable(4.0, 0.8), x), 0.0, 1.0,
        "efficiencies of {x} and 1.0 are outside 0 to 1 and 0 to 100",
    ),
    "efficiency of what dissolves": Domain(
        lambda x: extract.extract_of(Fermentable(4.0, 0.8, use="dissolved"), None, x), 0.0, 100.0,
        "efficiencies of None and {x} are outside 0 to 1 and 0 to 100",
    ),
    "°Plato of a gravity": Domain(gravity.plato_from_sg, 0.98, 1.2, GRAVITY),
    "slope": Domain(gravity.plato_slope, 0.98, 1.2, GRAVITY),
    "gravity of °Plato": Domain(
        gravity.sg_from_plato, gravity.plato_from_sg(0.98), gravity.plato_from_sg(1.2),
        "{x} °P is outside -5.26 to 43.91 °P"
    ),
    "gravity of °Brix": Domain(gravity.sg_from_brix, -5.0, 40.0, "{x} °Brix is outside −5 to 40"),
    "wort before": Domain(
        lambda x: gravity.sg_at_volume(1.0, x, 5), 5e-324, None,
        "{x} L cannot become 5 L: both are needed above 0",
    ),
    "wort after": Domain(lambda x: gravity.sg_at_volume(1.05, 5, x), None, None, ""),
    "gravity boiled down": Domain(lambda x: gravity.sg_at_volume(x, 20, 20), 0.98, 1.2, GRAVITY),
    "sample's degrees": Domain(lambda x: hydrometer.corrected_sg(1.05, x), 0.0, 70.0, COLD),
    "hydrometer's degrees": Domain(lambda x: hydrometer.corrected_sg(1.05, 20, x), 0.0, 70.0, COLD),
    "hydrometer": Domain(
        lambda x: hydrometer.corrected_sg(x, 20), 0.97, 1.2, "a hydrometer reading of {x} is outside 0.97 to 1.20"
    ),
    "refractometer": Domain(refractometer.og_from_brix, 0.0, 35.0, "{x} °Brix is outside 0 to 35"),
    "wort factor": Domain(
        lambda x: refractometer.og_from_brix(12, x), 0.95, 1.1,
        "a wort correction factor of {x} is outside 0.95 to 1.10"
    ),
    "refractometer now": Domain(
        lambda x: refractometer.fg_from_brix(12.0, x), None, 12.0,
        "{x:g} °Brix now is above 12 °Brix before fermentation|{x} °Brix is outside 0 to 35",
    ),
    "colour of a swatch": Domain(
        lambda x: swatch.transmission(x, 500, 5.0), 0.0, None,
        "{x} SRM through 5.0 cm at 500 nm is outside the model",
    ),
    "path of a swatch": Domain(
        lambda x: swatch.transmission(5.0, 500, x), 0.0, None,
        "5.0 SRM through {x} cm at 500 nm is outside the model",
    ),
    "light of a swatch": Domain(
        lambda x: swatch.transmission(5.0, x, 5.0), 380.0, 780.0,
        "5.0 SRM through 5.0 cm at {x} nm is outside the model",
    ),
    "volume of a recipe": Domain(
        lambda x: check_plan(Plan([], volume_l=x), None), 5e-324, 1e6,
        "a volume of {x} L is not above 0 and up to 1,000,000 L",
    ),
    "kettle of a recipe": Domain(
        lambda x: check_plan(Plan([], boil_volume_l=x), None), 0.0, None,
        "a volume of {x} L in the kettle is below 0",
    ),
    "boil of a recipe": Domain(
        lambda x: check_plan(Plan([], boil_minutes=x), None), 0.0, None,
        "a boil of {x} minutes is below 0",
    ),
    "efficiency of a recipe": Domain(
        lambda x: check_plan(Plan([], efficiency=x), None), 0.01, 1.0,
        "an efficiency of {x:.1%} is outside 1 to 100 %",
    ),
    "attenuation of a recipe": Domain(
        lambda x: check_plan(Plan([], attenuation=x), None), 0.0, 1.2,
        "an attenuation of {x:.1%} is outside 0 to 120%",
    ),
    "measured gravity": Domain(
        lambda x: check_plan(Plan([]), x), 0.98, 1.2,
        "an original gravity of {x} is outside 0.98 to 1.2",
    ),
    "share of a sugar": Domain(
        lambda x: check_plan(Plan([Fermentable(1, 1, fermentable=x)]), None), 0.0, 1.0,
        "{x:.1%} of the extract of a sugar cannot ferment: 0 to 100 % can",
    ),
    "uncertainty": Domain(lambda x: Doubts(alpha=x), 0.0, 1.0, "an uncertainty of {x} is outside 0 to 1"),
}  # fmt: skip


@pytest.mark.parametrize("domain", DOMAINS.values(), ids=map(case_id, DOMAINS))
def test_the_last_number_is_answered_and_the_next_refused(domain: Domain) -> None:
    if domain.low is not None:
        domain.call(domain.low)
        refused(domain, math.nextafter(domain.low, -math.inf))
    if domain.high is not None:
        domain.call(domain.high)
        refused(domain, math.nextafter(domain.high, math.inf))
    refused(domain, math.nan)


def refused(domain: Domain, number: float) -> None:
    with pytest.raises(ValueError, match=r"\w") as info:
        domain.call(number)
    words = [text.format(x=number) for text in domain.words.split("|")]
    assert str(info.value) in words or not domain.words
