"""What can hurt or cannot be true, against figures from outside the project."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from scipy.constants import gas_constant

from entryprep.beer.beer import Beer
from entryprep.beer.cautions import batch_cautions
from entryprep.beer.cautions_amounts import by_ice, freezes
from entryprep.beer.cautions_fermentation import is_wild
from entryprep.beer.gas import gas_of
from entryprep.beer.pressure import pressure_rows, pressures
from entryprep.brewing.refractometer import beyond_domain, fg_error_from_brix, fg_from_brix
from entryprep.measures import speaking
from entryprep.records.batch import Batch
from entryprep.tables.rules import rules
from entryprep.tables.shipped import shipped_file, shipped_tree
from entryprep.text import fold


def batch(**more: Any) -> Batch:
    return Batch.model_validate({"name": "Invented", "volume": 20, **more})


def rules_of(**more: Any) -> set[str]:
    return {told.rule for told in Beer.from_batch(batch(**more)).cautions}


def test_sugar_at_packaging_gives_the_gas_of_its_mass() -> None:
    # sucrose 342.3 g/mol gives 4 CO2; a volume is a litre of gas at 0 °C and 1 atm (atomic weights: IUPAC, from memory)
    per_volume = gas_constant * 273.15 / 101325 * 1000  # litres of gas in a mole
    expected = 200 / 342.3 * 4 * per_volume / 20
    sugar = [{"what": "table sugar", "kind": "sugar", "mass": 0.2, "stage": "packaging"}]
    found = gas_of(batch(additions=sugar))
    assert found is not None
    assert found.volumes - found.parts[0].volumes == pytest.approx(expected, rel=0.06)
    unfermented = [{**sugar[0], "fermented": 0}]
    again = gas_of(batch(additions=unfermented))
    assert again is not None
    assert again.volumes == pytest.approx(found.volumes), "what is said not to have fermented still may"
    assert Beer.from_batch(batch(additions=sugar)).vitals["co2"].value == found.volumes
    later = [{**sugar[0], "stage": "conditioning"}]
    assert Beer.from_batch(batch(additions=later)).vitals.get("co2") is None


def test_juice_at_packaging_bursts_bottles() -> None:
    # apple juice: 100 to 110 g of sugar in a litre (food tables, from memory); half of it becomes CO2, 1.964 g a volume
    juice = [{"what": "apple juice", "kind": "fruit", "volume": 3, "form": "juice", "stage": "packaging"}]
    found = gas_of(batch(additions=juice))
    assert found is not None
    low, high = (3 * grams * 0.489 / 1.964 / 20 for grams in (90, 125))
    assert low <= found.parts[1].volumes <= high


def test_gas_that_was_stated_is_found_where_it_was_written() -> None:
    for part in ("measured", "predicted"):
        found = gas_of(batch(**{part: {"co2": 2.7}}))
        assert found is not None
        assert found.path == (part, "co2")
        assert found.volumes == 2.7


def test_milk_sugar_at_packaging_gives_none() -> None:
    lactose = [{"what": "lactose", "kind": "sugar", "mass": 0.5, "stage": "packaging"}]
    assert gas_of(batch(additions=lactose)) is None


def test_a_point_is_half_a_volume() -> None:
    # 1 point of gravity is about 2.6 g/L of apparent and 2.1 g/L of real extract; 0.463 g CO2 a gram (Balling)
    log = [{"date": "2027-01-01", "gravity": 1.020}, {"date": "2027-01-04", "gravity": 1.020}]
    made = {"measured": {"og": 1.05, "fg": 1.012}, "gravity_log": log, "dates": {"packaged": "2027-01-05"}}
    found = gas_of(batch(**made, carbonation={"method": "bottle-conditioned"}))
    assert found is not None
    assert found.parts[-1].volumes == pytest.approx(8 * 2.1 * 0.463 / 1.964, rel=0.05)
    assert found.parts[-1].path == found.path == ("gravity_log", 1, "gravity")
    assert found.parts[-1].words == "as it fell from 1.020 to 1.012 in the bottle"
    assert found.volumes == pytest.approx(sum(part.volumes for part in found.parts))
    fell = [{"date": "2027-01-01", "gravity": 1.030}, {"date": "2027-01-04", "gravity": 1.020}]
    later = gas_of(batch(**{**made, "gravity_log": fell}, carbonation={"method": "bottle-conditioned"}))
    assert later is not None
    assert later.parts[-1] == found.parts[-1], "what fermented before the last reading is not in the bottle"
    two = gas_of(batch(**{**made, "measured": {"og": 1.05, "fg": 1.0179}}))
    assert two is None or len(two.parts) == 1, "two points are the play of two hydrometers"


def test_late_sugar_adds_to_gas_that_came_from_elsewhere() -> None:
    """Gas from a bottle or a spunding valve had not seen the sugar; bottle-conditioned beer was read with it in."""
    cocoa = {"what": "cocoa nibs", "kind": "spice", "stage": "packaging"}
    sugar = {"what": "table sugar", "kind": "sugar", "mass": 0.12, "stage": "packaging"}
    late = {"additions": [cocoa, sugar], "measured": {"co2": {"value": 2.4, "error": 0.1}}}
    forced = gas_of(batch(**late, carbonation={"method": "forced"}))
    read = gas_of(batch(**{**late, "measured": {"co2": 4.0}}, carbonation={"method": "bottle-conditioned"}))
    assert forced is not None
    assert read is not None
    own, more = forced.parts
    assert (own.volumes, own.path, more.path) == (2.4, ("measured", "co2"), ("additions", 1))
    # 4 g of sucrose in a litre for each volume (common practice)
    assert more.volumes == pytest.approx(6 / 4, rel=0.06)
    assert forced.error == pytest.approx((0.1**2 + (0.2 * more.volumes) ** 2) ** 0.5)
    assert forced.words == f"2.4 as stated, {more.volumes:.1f} of table sugar"
    assert (read.volumes, read.words) == (4.0, "")
    worked = gas_of(batch(**late, carbonation={"method": "bottle-conditioned"}))
    assert worked is not None
    assert worked.volumes == pytest.approx(worked.parts[0].volumes + more.volumes)
    assert worked.volumes > 2.4, "the higher of both figures counts"


def test_each_kind_of_bottle_is_held_against_the_gas() -> None:
    kinds = [{"count": 0, "type": "german-500"}, {"count": 6, "type": "longneck"}, {"count": 6, "type": "german-500"}]
    told = Beer.from_batch(batch(measured={"co2": 5.5}, bottles=kinds)).cautions
    assert len([each for each in told if each.rule == "over-carbonated"]) == 2


@pytest.mark.parametrize(("mass", "celsius"), [(566, 20), (3400, 20), (4000, 20), (320, 34), (3400, 45)])
def test_the_worse_the_priming_the_louder(mass: float, celsius: float) -> None:
    priming = {"sugar": "corn sugar", "mass": mass, "beer": 18, "temperature": celsius}
    record = {"method": "bottle-conditioned", "priming": priming}
    told = [t for t in Beer.from_batch(batch(carbonation=record, bottles=[{"count": 9}])).cautions if not t.milder]
    assert "over-carbonated" in {t.rule for t in told}


def test_an_unmeasured_final_gravity_widens_the_error() -> None:
    priming = {"sugar": "corn sugar", "mass": 95, "beer": 18, "temperature": 20}
    record = {"carbonation": {"method": "bottle-conditioned", "priming": priming}}
    sure = gas_of(batch(measured={"og": 1.05, "fg": 1.012}, **record))
    unsure = gas_of(batch(measured={"og": 1.05}, **record))
    assert sure is not None
    assert unsure is not None
    assert unsure.error > sure.error + 1


def test_every_culture_that_goes_on_in_the_bottle_is_told() -> None:
    packaged = {"dates": {"packaged": "2027-01-20"}}
    cocoa = {"what": "cocoa nibs", "kind": "spice", "stage": "conditioning"}
    brett = {"what": "Brettanomyces", "kind": "culture", "stage": "packaging"}
    assert "culture-at-packaging" in rules_of(additions=[cocoa, brett], **packaged)
    assert "culture-at-packaging" not in rules_of(additions=[cocoa], **packaged)
    assert "culture-at-packaging" not in rules_of(additions=[brett]), "nothing is bottled yet"
    enzyme = {"what": "glucoamylase", "kind": "process", "stage": "packaging"}
    assert "enzyme-at-packaging" in rules_of(additions=[cocoa, enzyme], **packaged)


def test_priming_of_an_uneven_sugar_widens_the_error() -> None:
    # common practice: malt extract and honey vary from lot to lot by about a fifth
    def primed(sugar: str) -> Any:
        priming = {"sugar": sugar, "mass": 150, "beer": 20, "temperature": 20}
        return gas_of(batch(measured={"fg": 1.010}, carbonation={"method": "bottle-conditioned", "priming": priming}))

    even, rough = primed("table sugar"), primed("honey")
    assert rough.error == pytest.approx((even.error**2 + (0.2 * rough.parts[1].volumes) ** 2) ** 0.5)
    assert even.path == ("carbonation", "priming", "mass")


@pytest.mark.parametrize(
    ("text", "iced"),
    [
        ("freeze distilled", True),
        ("fractional freezing", True),
        ("concentration by freezing", True),
        ("ice distillation", True),
        ("frozen, and the ice removed", True),
        ("jacked", True),
        ("eisbocked", True),
        ("ausgefroren", True),
        ("Eis, konzentriert", True),
        ("ice cold", False),
        ("juice concentrate", False),
        ("Eisbock", False),  # a style
    ],
)
def test_a_beer_of_which_ice_was_taken_is_told_by_its_words(text: str, iced: bool) -> None:
    # what brewers call it: common practice
    assert by_ice(text) is iced


@pytest.mark.parametrize(("bottles", "beyond"), [(40, False), (42, False), (43, True)])
def test_no_more_is_bottled_than_there_is_but_for_an_error_of_measuring(bottles: int, beyond: bool) -> None:
    # 20 L in bottles of half a litre: a twentieth more is how well volumes are read (common practice)
    made = {"bottles": [{"count": bottles, "type": "german-500"}]}
    assert ("bottles-beyond-volume" in rules_of(**made)) is beyond


def test_pressures_stand_beside_what_each_kind_of_bottle_holds() -> None:
    made = batch(
        bottles=[{"count": n, "type": kind} for n, kind in ((3, "longneck"), (0, "german-500"), (2, "longneck"))]
    )
    beer, usual, most = pressure_rows(made, 2.5)
    assert beer.kpa == pressures(2.5) < usual.kpa < most.kpa
    assert usual.words.removesuffix("usual limit") == most.words.removesuffix("most")
    assert [row.limit for row in (beer, usual, most)] == [False, True, True]


@pytest.mark.parametrize(
    ("measured", "path"),
    [
        ({"og": 1.110, "fg": 1.020, "abv": 12}, ("measured", "abv")),
        ({"og": 1.110, "fg": 1.020}, ("measured", "og")),
        ({"fg": 1.020}, ("measured", "fg")),
        ({}, ()),
    ],
)
def test_a_strong_beer_is_told_where_its_strength_is_written(measured: dict[str, float], path: tuple[str, ...]) -> None:
    made = batch(measured=measured, predicted={} if "og" in measured else {"og": 1.110, "fg": 1.020})
    (told,) = [each for each in Beer.from_batch(made).cautions if each.rule == "strong-beer"]
    assert told.path == path


def test_ice_that_nobody_measured_is_told_where_it_is_named() -> None:
    cocoa, iced = {"what": "cocoa nibs", "kind": "spice"}, {"what": "freeze-concentrated", "kind": "process"}
    told = Beer.from_batch(batch(additions=[cocoa, iced])).cautions
    assert [each.path for each in told if each.rule == "concentrated-unmeasured"] == [("additions", 1)]


def test_a_strong_beer_is_told_by_its_bottle_and_else_by_a_usual_one() -> None:
    # at 12 % by volume 330 ml hold 39.6 ml of alcohol, 31.3 g at 0.789 g/ml (20 °C, any handbook)
    def told(beer: Beer) -> Any:
        (found,) = [each for each in beer.cautions if each.rule == "strong-beer"]
        return found.values["bottle"], found.values["grams"]

    strong: dict[str, Any] = {"og": 1.110, "fg": 1.020, "abv": 12}
    assert told(Beer(**strong)) == told(Beer.from_batch(batch(measured=strong))) == ("330 ml", "31 g")
    halves = Beer.from_batch(batch(measured=strong, bottles=[{"count": 3, "type": "german-500"}]))
    assert told(halves) in {("500 ml", "47 g"), ("500 ml", "48 g")}  # 47.3 to 47.5, by the table


def test_each_thing_that_went_in_late_is_watched_for_itself() -> None:
    cocoa = {"what": "cocoa nibs", "kind": "spice", "stage": "conditioning"}
    vague = {"what": "plums", "kind": "fruit", "stage": "packaging"}
    packaged = {"dates": {"packaged": "2027-01-20"}}
    assert "sugar-unfermented" in rules_of(additions=[cocoa, vague], **packaged)
    assert "sugar-unfermented" not in rules_of(additions=[cocoa], **packaged)


def test_what_hangs_on_the_day_is_told_on_a_day_alone() -> None:
    started = {"method": "bottle-conditioned", "started": "2027-01-20", "weeks_needed": 4}
    made = batch(carbonation=started, bottles=[{"count": 3, "type": "longneck"}])

    def told(day: dt.date | None) -> set[str]:
        return {each.rule for each in batch_cautions(made, None, day)}

    assert told(dt.date(2027, 2, 16)) - told(None) == {"fermentation-gas"}
    assert told(dt.date(2027, 2, 17)) == told(None), "four weeks are over"


def test_a_kettle_sour_is_not_wild() -> None:
    lacto = {"what": "lactobacillus", "kind": "culture"}
    assert not is_wild(batch(traits={"fermentation": "wild"}, additions=[{**lacto, "stage": "boil"}]))
    assert is_wild(batch(traits={"fermentation": "wild"}, additions=[{**lacto, "stage": "fermenter"}]))
    assert is_wild(batch(traits={"fermentation": "wild"}))
    assert not is_wild(batch(traits={"fermentation": "ale"}))


def test_sweet_by_lactose_is_no_stuck_fermentation() -> None:
    bottled = {"bottles": [{"count": 9}], "gravity_log": []}
    readings = {"measured": {"og": 1.060, "fg": 1.026}}
    lactose = [{"what": "lactose", "kind": "sugar", "mass": 0.5, "stage": "boil"}]
    assert "fg-above-expected" in rules_of(**bottled, **readings)
    assert "fg-above-expected" not in rules_of(**bottled, **readings, additions=lactose)


def test_the_words_of_the_starter_stand_in_the_starter() -> None:
    said = fold(" ".join(shipped_file(f"templates/start/{name}").decode() for name in shipped_tree("templates/start")))
    for words in rules().starter_words:
        assert words in said, words


def test_advice_follows_the_beers_own_route() -> None:
    wild = {"traits": {"fermentation": "wild", "sourness": "marked"}, "predicted": {"ibu": 1, "srm": 4}}
    told = Beer.from_batch(batch(measured={"og": 1.048, "fg": 1.002}, **wild), style="German pils").advice()
    about = {line.partition(":")[0]: line for line in told}
    assert "leave it low" in about["Bitterness"]
    assert "warmer mash brings no body back" in about["Final gravity"]
    falling = [{"date": "2027-01-01", "gravity": 1.030}, {"date": "2027-01-04", "gravity": 1.020}]
    young = Beer.from_batch(batch(measured={"og": 1.090, "fg": 1.020}, gravity_log=falling), style="German pils")
    assert young.advice()[0].startswith("It was still fermenting")
    assert len(young.advice()) == 1


@pytest.mark.parametrize(
    ("traits", "left"),
    [
        ({"sourness": "light"}, True),
        ({"sourness": "marked"}, True),
        ({"fermentation": "wild"}, True),
        ({"sourness": "none"}, False),
        ({}, False),
    ],
)
def test_sour_and_wild_beers_are_not_told_to_take_more_hops(traits: dict[str, str], left: bool) -> None:
    # hops hold back the bacteria that sour a beer: common practice
    made = batch(measured={"og": 1.048, "fg": 1.011}, predicted={"ibu": 4, "srm": 4}, traits=traits)
    told = Beer.from_batch(made, style="German pils").advice()
    (line,) = [line for line in told if line.startswith("Bitterness")]
    assert ("leave it low" in line) is left


def test_shares_of_one_grist_are_no_more_than_a_whole() -> None:
    grains = [{"what": what, "kind": "grain", "share": share} for what, share in (("rye malt", 60), ("oats", 50))]
    made = Beer.from_batch(batch(additions=grains))
    (told,) = [each for each in made.cautions if each.rule == "addition-impossible"]
    assert told.values["problem"] == "60 % of rye malt, 50 % of oats are 110 % of one grist"
    grains[1]["share"] = 40
    assert "addition-impossible" not in rules_of(additions=grains)


@pytest.mark.parametrize(
    ("addition", "impossible"),
    [
        ({"what": "plums", "kind": "fruit", "mass": 21}, True),
        ({"what": "plums", "kind": "fruit", "mass": 19}, False),
        ({"what": "cocoa nibs", "kind": "spice", "mass": 21}, True),
        ({"what": "smoked malt", "kind": "smoke", "mass": 21}, False),  # of the grist
    ],
)
def test_no_more_than_a_kilogram_of_anything_goes_into_a_litre(addition: dict[str, Any], impossible: bool) -> None:
    # common practice; the second of two additions, so that the first is passed by
    told = Beer.from_batch(batch(additions=[{"what": "coriander", "kind": "spice"}, addition])).cautions
    paths = [each.path for each in told if each.rule == "addition-impossible"]
    assert all(path[0] == "additions" for path in paths)
    assert bool(paths) is impossible


@pytest.mark.parametrize(
    ("kind", "what", "told"),
    [
        ("wood", "staves of an old pallet", True),  # treated or painted wood (rules on treated wood, from memory)
        ("spice", "cocoa from a pallet", False),  # only of wood and smoke
        ("spice", "yew berries", True),
    ],
)
def test_a_poison_is_told_of_the_kinds_of_thing_it_is_in(kind: str, what: str, told: bool) -> None:
    additions = [{"what": what, "kind": kind}]
    assert ("poisonous-ingredient" in rules_of(additions=additions)) is told


def test_a_poison_in_a_malt_is_told_where_it_is_written() -> None:
    malts = [{"what": "pale malt", "mass": 4}, {"what": "malt smoked over yew", "mass": 1}]
    made = Beer.from_batch(batch(recipe={"fermentables": malts}))
    paths = [each.path for each in made.cautions if each.rule == "poisonous-ingredient"]
    assert paths == [("recipe", "fermentables", 1, "what")]


def test_a_reading_below_all_beer_stops_no_advice() -> None:
    told = Beer.from_batch(batch(measured={"og": 1.048, "fg": 0.984}), style="barleywine")
    assert told.advice("American barleywine")
    assert "fg-below-possible" in {each.rule for each in told.cautions}


@pytest.mark.parametrize("abv", [5.0, 10.0, 20.0])
def test_beer_freezes_where_its_alcohol_lets_it(abv: float) -> None:
    # Blagden's law: 1.86 °C for each mole of ethanol (46.07 g) in a kilogram of water; real mixtures lie a little below
    grams = abv / 100 * 789
    ideal = -1.86 * grams / 46.07 / (1 - abv / 100)
    assert 1.25 * ideal <= freezes(abv) <= 0.9 * ideal


@pytest.mark.parametrize(("before", "now", "low", "high"), [(26, 11.1, 1.0155, 1.0163), (35, 35, 1.145, 1.156)])
def test_a_strong_or_unfermented_beer_by_refractometer(before: float, now: float, low: float, high: float) -> None:
    # by Terrill's straight form, FG = 1 - 0.00085683 i + 0.0034941 f, worked out by hand: 1.0159; and where nothing has
    # fermented the final gravity is the original one (33.7 °P: 1.148 by the ASBC tables, from memory)
    assert low <= fg_from_brix(before, now) <= high
    assert fg_error_from_brix(before, now, 0.003) > 0.008
    assert beyond_domain(before, now)
    assert not beyond_domain(12.5, 6.2)
    assert fg_error_from_brix(12.5, 6.2, 0.003) == 0.003


# ---- sugar that went in late: whether it was watched until it had fermented

PLUMS = {"what": "plums", "kind": "fruit", "mass": 4, "stage": "conditioning"}


@pytest.mark.parametrize(
    ("days", "read", "watched"),
    [
        (None, ("2027-01-10", "2027-01-12"), True),  # the same for two days
        (None, ("2027-01-11", "2027-01-12"), False),
        (8, ("2027-01-08", "2027-01-12"), True),  # last read on the day they went in
        (7, ("2027-01-08", "2027-01-12"), False),  # and on the day before
        (20, ("2027-01-02", "2027-01-08", "2027-01-12"), True),
        (10, ("2027-01-02", "2027-01-08", "2027-01-12"), True),
    ],
)
def test_late_fruit_is_watched_by_two_equal_gravities_after_it(
    days: int | None, read: tuple[str, ...], watched: bool
) -> None:
    log = [{"date": day, "gravity": 1.012} for day in read]
    found = rules_of(
        dates={"packaged": "2027-01-20"},
        measured={"og": 1.052, "fg": 1.012},
        gravity_log=log,
        additions=[{**PLUMS, "days": days}],
    )
    assert ("sugar-unfermented" in found) is not watched


# ---- what is eaten: dose, source, and where the law is meant


def told(what: str, **more: Any) -> Any:
    kept = Beer.from_batch(batch(additions=[{"what": what, "kind": "spice", "stage": "boil", **more}])).cautions
    (only,) = (each for each in kept if each.rule in {"dose-unsafe", "ingredient-caution"} and not each.milder)
    return only


def test_a_harmful_dose_is_told_in_the_units_of_the_run_with_its_source() -> None:
    little, much = told("tonka bean", mass=0.02), told("tonka bean", mass=0.4)
    assert (little.rule, little.values["dose"], much.values["dose"]) == (
        "dose-unsafe",
        "1 g in a litre",
        "20 g in a litre",
    )
    assert little.values["id"] == "coumarin"
    assert little.values["what"] == "tonka bean"
    assert little.values["caution"]
    assert "None" not in str(little.values["source"])
    with speaking("us"):
        assert told("tonka bean", mass=0.4).values["dose"] == "2.7 oz in a gallon"


def test_words_about_the_law_close_only_what_the_law_speaks_of() -> None:
    assert str(told("apricot kernel", mass=0.01).values["closing"]).startswith(". This is not legal advice")
    assert told("mad honey", mass=0.4).values["closing"] == ""
