"""Doses at the edges of their bands, what time does to them, blends with their errors, water, and bases that hold."""

from __future__ import annotations

import math
from typing import Any

import pytest

from entryprep import Batch, Beer, QuantityError, Vitals, load_styles, suggest
from entryprep.beer.basefit import base_fit
from entryprep.beer.dosing import verdict
from entryprep.beer.readings import batch_vitals
from entryprep.beer.underneath import underneath
from entryprep.records.batch import Addition
from entryprep.tables.doses import dose_row
from entryprep.tables.style import Style
from tests.beer.test_kettle import FRUIT

TABLE = load_styles()


def batch(*additions: dict[str, Any], **more: Any) -> Batch:
    data = {"name": "Whimbrel", "volume": 20, "measured": {"og": 1.052, "fg": 1.010}, "additions": list(additions)}
    return Batch.model_validate(data | more)


def word(addition: dict[str, Any], **more: Any) -> str:
    return verdict(Addition.model_validate(addition), batch(**more)).word


# --- doses -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("what", ["raspberry", "blueberry", "strawberry"])
def test_the_edges_of_a_band_belong_to_it(what: str) -> None:
    row = dose_row("fruit", what)
    assert row is not None
    assert row.low is not None
    assert row.high is not None
    for grams_per_litre, wanted in (
        (row.low * 0.99, "faint"),
        (row.low, "usual"),
        (row.high, "usual"),
        (row.high * 1.01, "dominant"),
    ):
        assert word({"what": what, "kind": "fruit", "mass": grams_per_litre * 20 / 1000}) == wanted


def test_wood_that_was_in_too_short_is_faint_but_never_less_than_dominant_by_its_dose() -> None:
    cubes = {"what": "oak cubes", "kind": "wood"}
    row = dose_row("wood", "oak cubes")
    assert row is not None
    assert row.days == 10
    usual, much = 0.05, 0.5
    assert word({**cubes, "mass": usual, "days": 10}) == "usual"
    assert word({**cubes, "mass": usual, "days": 9}) == "faint"
    assert word({**cubes, "mass": usual}) == "usual"
    assert word({**cubes, "mass": much, "days": 3}) == "dominant"
    told = verdict(Addition.model_validate({**cubes, "mass": usual, "days": 9}), batch())
    assert told.words == "2.5 g/L; usual is 0.8 to 6 g/L, for 10 days or more and not 9"
    longer = verdict(Addition.model_validate({**cubes, "mass": usual, "days": 10}), batch())
    assert longer.words == "2.5 g/L; usual is 0.8 to 6 g/L"


def test_what_is_tasted_is_told_beside_the_dose_where_they_differ() -> None:
    little = {"what": "raspberries", "kind": "fruit", "mass": 0.2}
    tasted = verdict(Addition.model_validate({**little, "perceived": "clear"}), batch())
    assert tasted.word == "usual"
    assert tasted.words == "10 g/L; usual is 40 to 220 g/L; you taste it clearly"
    agreed = verdict(Addition.model_validate({**little, "perceived": "faint"}), batch())
    assert agreed.words == "10 g/L; usual is 40 to 220 g/L"
    strong = verdict(Addition.model_validate({**little, "perceived": "dominant"}), batch())
    assert strong.words.endswith("; you taste it dominant")
    assert strong.follows == "it hides the beer under it: the base matters less, balance more"


def test_what_cannot_be_weighed_is_unknown_and_says_why() -> None:
    bare = verdict(Addition.model_validate({"what": "raspberries", "kind": "fruit"}), batch())
    assert (bare.word, bare.dose, bare.counts) == ("unknown", None, True)
    assert bare.words == "the amount is not known; usual is 40 to 220 g/L"
    assert bare.follows == "declare it if you taste it"
    nowhere = verdict(Addition.model_validate({"what": "raspberries", "kind": "fruit", "mass": 2}), batch(volume=None))
    assert nowhere.word == "unknown"
    odd = verdict(Addition.model_validate({"what": "moon dust", "kind": "spice", "mass": 1}), batch())
    assert odd.words == "no usual dose is known of it"
    starter = {"what": "honey", "kind": "sugar", "stage": "starter"}
    made = verdict(Addition.model_validate(starter), batch())
    assert made.word == "faint"
    assert made.words.startswith("only in the yeast starter")


def test_a_dose_is_counted_in_the_beer_there_is_in_the_end() -> None:
    """2 kg in 20 L are 100 g/L; in the 16 L that ice left of them 125 g/L."""
    fruit = Addition.model_validate({"what": "raspberries", "kind": "fruit", "mass": 2})
    assert verdict(fruit, batch()).dose == pytest.approx(100)
    assert verdict(fruit, batch(concentrated={"before": 20, "after": 16})).dose == pytest.approx(125)
    recipe = {"volume": 25, "fermentables": [{"what": "pale malt", "mass": 4}]}
    assert verdict(fruit, batch(volume=None, recipe=recipe)).dose == pytest.approx(80)


def test_juice_by_volume_is_a_kilogram_a_litre_and_spirit_by_what_it_adds() -> None:
    juice = Addition.model_validate({"what": "raspberry juice", "kind": "fruit", "volume": 2})
    assert verdict(juice, batch()).dose == pytest.approx(100)
    rum = Addition.model_validate({"what": "rum", "kind": "spirit", "volume": 0.5, "strength": 40})
    found = verdict(rum, batch())
    assert found.unit == "% ABV"
    assert found.dose == pytest.approx(1.0)  # 0.5 L of 40 % in 20 L
    unknown = verdict(Addition.model_validate({"what": "rum", "kind": "spirit", "volume": 0.5}), batch())
    assert unknown.dose is None


def test_smoke_without_a_recipe_is_measured_against_a_usual_grist() -> None:
    """220 g of malt in a litre of beer (common practice): 1.1 kg in 20 L are a quarter of 4.4 kg."""
    smoke = Addition.model_validate({"what": "beech smoked malt", "kind": "smoke", "mass": 1.1})
    assert verdict(smoke, batch()).dose == pytest.approx(25)
    grist = {"fermentables": [{"what": "pale malt", "mass": 3}, {"what": "beech smoked malt", "mass": 2}]}
    known = Addition.model_validate({"what": "beech smoked malt", "kind": "smoke", "mass": 2})
    assert verdict(known, batch(recipe=grist)).dose == pytest.approx(40), "2 of 5 kg"
    told = Addition.model_validate({"what": "beech smoked malt", "kind": "smoke", "mass": 1.1, "share": 60})
    assert verdict(told, batch()).dose == pytest.approx(60)


def test_plain_sugar_is_never_worth_a_word_unless_it_is_tasted() -> None:
    plain = verdict(Addition.model_validate({"what": "table sugar", "kind": "sugar", "mass": 0.5}), batch())
    assert not plain.counts
    assert plain.words == "brewing sugar"
    assert plain.told == (
        "table sugar: a sugar that leaves no taste of its own: part of the recipe, not a special ingredient"
    )


# --- the beer underneath ---------------------------------------------------------------------------------------------


def vital(found: Vitals, name: str) -> float:
    return found[name].value


def test_water_that_was_added_later_is_not_in_the_gravity_that_was_read() -> None:
    """18 L of 1.060 and 2 L of water: nine tenths of the points, within the play of the scale."""
    found = underneath(batch(water_added=2, measured={"og": 1.060, "fg": 1.012}))
    assert vital(found.base, "og") == pytest.approx(1.060, abs=1e-6)
    assert vital(found.served, "og") == pytest.approx(1.054, abs=0.0005)
    assert vital(found.served, "fg") == pytest.approx(1.012, abs=1e-6)


def test_strength_that_was_measured_is_of_the_served_beer() -> None:
    """0.5 L of rum of 40 % in 20 L: of 6 % of 20 L 0.2 L came with it, and 1.0 L are left in 19.5 L: 5.13 %."""
    rum = {"what": "rum", "kind": "spirit", "volume": 0.5, "strength": 40}
    measured = {"abv": {"value": 6.0, "by": "lab"}, "fg": 1.010, "ibu": 30, "srm": 12}
    found = underneath(batch(rum, measured=measured))
    assert vital(found.served, "abv") == pytest.approx(6.0, abs=1e-6)
    assert vital(found.served, "fg") == pytest.approx(1.010, abs=1e-6)
    assert vital(found.base, "abv") == pytest.approx(100 * (1.2 - 0.2) / 19.5, abs=0.005)
    assert vital(found.base, "ibu") == pytest.approx(30 * 20 / 19.5, rel=1e-6), "what was measured was diluted"
    assert vital(found.base, "srm") == pytest.approx(12 * 20 / 19.5, rel=1e-6)
    assert vital(found.served, "ibu") == pytest.approx(30)
    without = {"abv": measured["abv"], "fg": 1.010}
    predicted = underneath(batch(rum, measured=without, predicted={"ibu": 30, "srm": 12}))
    assert vital(predicted.base, "ibu") == pytest.approx(30), "what was predicted is of the wort"
    assert vital(predicted.base, "srm") == pytest.approx(12)


def test_infusions_count_as_water_where_the_gravity_did_not_see_them() -> None:
    coffee = {"what": "cold brew coffee", "kind": "spice", "volume": 1, "stage": "conditioning"}
    found = underneath(batch(coffee))
    assert vital(found.served, "abv") == pytest.approx(vital(found.base, "abv") * 19 / 20, rel=1e-6)
    assert not underneath(batch({**coffee, "stage": "boil"})).changed
    assert not underneath(batch({"what": "coriander", "kind": "spice", "mass": 0.02})).changed


def test_wood_brings_the_spirit_it_soaked_up() -> None:
    """Half a litre in a kilogram of oak (from memory): 0.2 kg bring 0.1 L of 60 %, 0.06 L of alcohol in 20 L."""
    oak = {"what": "oak cubes", "kind": "wood", "mass": 0.2, "strength": 60}
    found = underneath(batch(oak))
    base = vital(found.base, "abv") * (20 - 0.1) / 20
    assert vital(found.served, "abv") == pytest.approx(base + 0.3, abs=0.002)
    stated = underneath(batch({**oak, "volume": 0.5}))
    base = vital(stated.base, "abv") * (20 - 0.5) / 20
    assert vital(stated.served, "abv") == pytest.approx(base + 1.5, abs=0.002)


def test_too_little_to_work_with_leaves_the_beer_as_it_is_and_says_so() -> None:
    rum = {"what": "rum", "kind": "spirit", "volume": 0.5, "strength": 40}
    for changes, note in (
        ({"volume": None}, "the volume of the batch is not known"),
        ({"measured": {"og": 1.050}}, "two of og, fg and abv are needed"),
    ):
        found = underneath(batch(rum, **changes))
        assert not found.changed
        assert found.base == found.served
        assert note in found.notes


# --- blends ----------------------------------------------------------------------------------------------------------


def blended(parts: dict[str, Batch], **more: Any) -> Vitals:
    blend = [{"batch": "young", "volume": 15}, {"batch": "old", "volume": 5}]
    made = Batch.model_validate({"name": "Ferry", "blend": blend, **more})
    beers = {name: Beer.from_batch(part) for name, part in parts.items()}
    return Beer.from_batch(made, lookup=beers.get).vitals


PARTS = {
    "young": batch(measured={"og": {"value": 1.060, "error": 0.001}, "fg": {"value": 1.020, "error": 0.002}}),
    "old": batch(measured={"og": {"value": 1.040, "error": 0.004}, "fg": {"value": 1.004, "error": 0.001}}),
}


def test_errors_of_a_blend_are_weighed_by_its_volumes() -> None:
    """Independent errors in quadrature: √((15 · 1)² + (5 · 4)²)/20 = 1.25 points of original gravity."""
    found = blended(PARTS)
    assert found.error("og") == pytest.approx(0.00125, abs=1e-6)
    assert found.error("fg") == pytest.approx(math.hypot(15 * 0.002, 5 * 0.001) / 20, abs=1e-6)


def test_what_was_measured_of_a_blend_outranks_its_parts() -> None:
    two = blended(PARTS, measured={"og": 1.056, "fg": 1.015})
    assert (vital(two, "og"), vital(two, "fg")) == (1.056, 1.015)
    assert two["abv"].origin == "derived"
    one = blended(PARTS, measured={"fg": 1.015})
    assert vital(one, "fg") == 1.015
    assert one["og"].origin == "blended"
    assert one["abv"].origin == "derived"
    gas = blended(PARTS, measured={"co2": 2.4})
    assert vital(gas, "co2") == 2.4


# --- does a base hold? -----------------------------------------------------------------------------------------------


def amber(base: str | None) -> Beer:
    made = batch(measured={"og": 1.052, "fg": 1.012}, predicted={"ibu": 32, "srm": 13}, traits={"fermentation": "ale"})
    return Beer.from_batch(made, base=base)


def test_a_base_that_fits_well_has_no_better_ones_and_one_that_does_not_has() -> None:
    good = base_fit(amber("American amber ale"))
    assert good.holds
    assert good.better == ()
    bad = base_fit(amber("imperial stout"))
    assert not bad.holds
    assert bad.declared[0].style.id == "imperial-stout"
    assert len(bad.better) == 3
    least = bad.declared[0].score or 0.0
    assert all((result.score or 0.0) >= least + 10 for result in bad.better)
    assert all(not result.style.specialty for result in bad.better)


def test_without_a_declared_base_the_likely_ones_are_named_and_none_holds() -> None:
    found = base_fit(amber(None))
    assert found.declared == ()
    assert not found.holds
    assert found.refused == ""
    assert 1 <= len(found.better) <= 3
    scores = [result.score or 0.0 for result in found.better]
    assert scores == sorted(scores, reverse=True)  # what is shown beside each is its fit
    unknown = base_fit(amber("zzzz"))
    assert unknown.declared == ()


def test_a_middling_base_names_only_what_fits_clearly_better() -> None:
    """Each alternative fits by ten of a hundred more than the declared base, which is not told again."""
    for name in ("American pale ale", "altbier", "Irish red ale", "American brown ale", "Scottish export"):
        found = base_fit(amber(name))
        (declared, *_) = found.declared
        least = declared.score or 0.0
        assert declared.style.id not in {result.style.id for result in found.better}
        assert all((result.score or 0.0) >= least + 10 for result in found.better)
        if least >= 90:
            assert found.better == ()


def test_a_name_that_is_no_style_is_not_taken_for_those_spelt_like_it() -> None:
    found = base_fit(amber("Porterhouse"))
    assert found.declared == ()
    assert {result.style.id for result in found.better} == {r.style.id for r in base_fit(amber(None)).better}


def test_a_base_that_cannot_be_one_is_refused_by_its_name() -> None:
    assert base_fit(amber("fruit beer")).refused.startswith("fruit beer is a specialty category itself")


def test_the_likely_bases_have_the_traits_of_the_beer_but_smoke_and_clarity_are_of_what_was_added() -> None:
    def likely(**traits: str) -> set[str]:
        numbers = {"measured": {"og": 1.052, "fg": 1.012}, "predicted": {"ibu": 26, "srm": 11}}
        return {r.style.id for r in base_fit(Beer.from_batch(batch(**numbers, traits=traits))).better}

    assert likely(fermentation="lager") != likely(fermentation="ale")
    lagers = [beer for beer in likely(fermentation="lager") if "lager" in style_of(beer).traits["fermentation"]]
    assert len(lagers) == len(likely(fermentation="lager"))
    assert likely(fermentation="ale", smoke="present", clarity="hazy") == likely(fermentation="ale")


def style_of(style_id: str) -> Style:
    return load_styles().styles[style_id]


def test_a_family_is_held_by_its_best_member() -> None:
    found = base_fit(amber("american-ale"))
    scores = [result.score or 0.0 for result in found.declared]
    assert scores == sorted(scores, reverse=True)
    assert len(scores) <= 3
    assert found.holds == (scores[0] >= 50)


# --- readings --------------------------------------------------------------------------------------------------------


def test_carbonation_follows_from_priming_where_none_is_given_and_can_be_worked_out() -> None:
    """About 4 g of table sugar in a litre for a volume, and 0.86 left at 20 °C (priming charts, from memory)."""

    def co2(**priming: Any) -> float | None:
        record = {"sugar": "table sugar", "mass": 120, "beer": 19, "temperature": 20, **priming}
        made = batch(carbonation={"method": "bottle-conditioned", "priming": record})
        reading = batch_vitals(made).co2
        return reading.value if reading else None

    assert co2() == pytest.approx(0.86 + 120 / 19 / 4, abs=0.15)
    assert 0.5 < (co2(temperature=31) or 0) - 120 / 19 / 4 < 0.8, "warm beer keeps less, and is reckoned with"
    assert (co2(mass=2000) or 0) > 20, "that is a mistake, and the worse it is the louder it must be told"
    given = batch(
        measured={"og": 1.05, "fg": 1.01, "co2": 2.2},
        carbonation={
            "method": "bottle-conditioned",
            "priming": {"sugar": "table sugar", "mass": 120, "beer": 19, "temperature": 20},
        },
    )
    reading = batch_vitals(given).co2
    assert reading is not None
    assert reading.value == 2.2


# --- a beer, and what is changed of it -------------------------------------------------------------------------------


def test_new_numbers_replace_old_ones_and_what_followed_from_them() -> None:
    beer = Beer(og=1.050, fg=1.010, ibu=30)
    other = beer.changed(vitals={"fg": 1.020})
    assert vital(other.vitals, "fg") == 1.020
    assert vital(other.vitals, "og") == 1.050
    assert vital(other.vitals, "ibu") == 30
    assert vital(other.vitals, "abv") < vital(beer.vitals, "abv") - 1
    assert vital(beer.vitals, "fg") == 1.010, "the beer itself stays what it was"
    recorded = Beer.from_batch(batch()).changed(vitals={"og": 1.060})
    assert vital(recorded.vitals, "og") == 1.060
    assert vital(recorded.vitals, "fg") == 1.010
    with pytest.raises(QuantityError):
        beer.changed(vitals={"fg": 1.090})


def test_advice_needs_a_style_and_takes_its_name() -> None:
    beer = Beer(og=1.070, fg=1.012, ibu=30)
    assert beer.advice() == ()
    assert beer.advice("German pils")
    assert Beer(og=1.070, fg=1.012, style="German pils").advice() == Beer(og=1.070, fg=1.012).advice("German pils")
    with pytest.raises(Exception, match="may mean"):
        beer.advice("dark lager")


def test_reasons_for_and_against_name_additions_that_are_there_or_lacking() -> None:
    def reasons(style: str, *kinds: str) -> tuple[str, ...]:
        listed = suggest(Vitals(og=1.052, fg=1.010, ibu=20, srm=6), limit=200, additions=kinds)
        return next(s.reasons for s in listed if s.style.id == style)

    assert "fruit: belongs here" in reasons("fruit-beer", "fruit")
    assert "fruit: not part of this style" in reasons("german-pils", "fruit")
    assert "fruit: wanted here, none declared" in reasons("fruit-beer")
    one_of = next(style for style in TABLE if style.takes_any)
    wanted = f"{' or '.join(one_of.takes_any)}: wanted here, none declared"
    assert wanted in reasons(one_of.id)
    assert wanted not in reasons(one_of.id, one_of.takes_any[0])


# --- errors, and what is at the edges --------------------------------------------------------------------------------

EXACT = {"og": {"value": 1.050, "error": 1e-9}, "fg": {"value": 1.010, "error": 1e-9}}
HIPS: dict[str, Any] = {**FRUIT, "stage": "fermenter"}


def test_fruit_is_as_unsure_as_a_fifth_more_of_it_would_make_the_beer() -> None:
    """Common practice: 5 % of the amount and 20 % of its sugar, in quadrature 20.6 %; to first order."""
    found = underneath(batch(HIPS, measured=EXACT))
    more = underneath(batch({**HIPS, "mass": 2 * (1 + math.hypot(0.05, 0.20))}, measured=EXACT))
    for side in ("served", "base"):
        one, other = getattr(found, side), getattr(more, side)
        assert one.error("abv") == pytest.approx(abs(vital(other, "abv") - vital(one, "abv")), rel=0.05)
    assert found.served.error("abv") > 0.05
    assert found.base.error("og") == pytest.approx(0.0, abs=1e-8)


def test_errors_of_bitterness_and_colour_dilute_as_they_do() -> None:
    rum = {"what": "rum", "kind": "spirit", "volume": 1, "strength": 40}
    measured = {"abv": {"value": 6.0, "error": 0.1}, "fg": 1.010, "ibu": {"value": 30, "error": 3}}
    found = underneath(batch(rum, measured=measured))
    assert found.served.error("ibu") == pytest.approx(3.0, rel=0.02)
    assert found.base.error("ibu") == pytest.approx(3.0 * 20 / 19, rel=0.02)
    assert found.served.error("abv") == pytest.approx(0.1, rel=0.02), "what was measured is as sure as it was measured"


def test_errors_of_the_readings_are_carried_to_both_beers() -> None:
    measured = {"og": {"value": 1.050, "error": 0.002}, "fg": {"value": 1.010, "error": 0.001}}
    found = underneath(batch(HIPS, measured=measured))
    assert found.base.error("og") == pytest.approx(0.002, rel=0.02)
    assert found.served.error("fg") == pytest.approx(0.001, rel=0.02)
    unsure = underneath(batch(HIPS, measured={**measured, "og": {"value": 1.050, "error": 0.004}}))
    assert unsure.served.error("abv") > found.served.error("abv")


def test_what_fills_the_whole_vat_leaves_no_beer() -> None:
    """Two additions that are each less than the batch and together all of it."""
    water = {"what": "cold tea", "kind": "spice", "volume": 12, "stage": "conditioning"}
    beer = Beer.from_batch(batch(water, {**water, "what": "cold coffee"}))
    assert "what was added fills more than the 20 L of beer" in beer.problem


@pytest.mark.parametrize(("kind", "changed"), [("fruit", True), ("sugar", False), ("spirit", True)])
def test_what_is_not_said_goes_where_it_usually_does(kind: str, changed: bool) -> None:
    """Sugar into the kettle, where it is grist; fruit and spirit into the fermenter (common practice)."""
    amounts: dict[str, dict[str, float]] = {
        "fruit": {"mass": 2, "sugar": 10, "fermented": 100},
        "sugar": {"mass": 0.5, "sugar": 100, "fermented": 100},
        "spirit": {"volume": 0.3, "strength": 40},
    }
    found = underneath(batch({"what": "beet", "kind": kind, **amounts[kind]}))
    assert found.changed == changed
    if changed:
        assert vital(found.base, "og") == pytest.approx(1.052, abs=1e-6)


def test_vanilla_is_counted_in_pods_and_else_weighed() -> None:
    """Ten pods in 20 L are half a pod in a litre; 4 g are 0.2 g in a litre."""
    counted = verdict(Addition.model_validate({"what": "vanilla pods", "kind": "spice", "count": 10}), batch())
    assert (counted.unit, counted.word) == ("pods/L", "dominant")
    assert counted.dose == pytest.approx(0.5)
    weighed = verdict(Addition.model_validate({"what": "vanilla pods", "kind": "spice", "mass": 0.004}), batch())
    assert (weighed.unit, weighed.word) == ("g/L", "usual")
    assert weighed.dose == pytest.approx(0.2)


def test_two_readings_beside_a_recipe_leave_it_no_gravity_to_say() -> None:
    recipe = {
        "volume": 20,
        "efficiency": 72,
        "fermentables": [{"what": "pale malt", "mass": 4}],
        "yeast": [{"what": "a", "attenuation": 75}],
    }
    read = batch_vitals(batch(recipe=recipe, measured={"abv": 5.0, "fg": 1.012}))
    assert read["og"].origin == "derived"
    one = batch_vitals(batch(recipe=recipe, measured={"fg": 1.012}))
    assert one["og"].origin == "recipe"
    assert one["fg"].value == 1.012


def test_plain_sugar_that_is_tasted_counts() -> None:
    def said(perceived: str) -> str:
        sugar = {"what": "table sugar", "kind": "sugar", "mass": 0.5, "perceived": perceived}
        return verdict(Addition.model_validate(sugar), batch()).follows

    assert said("not at all").startswith("a sugar that leaves no taste of its own")
    assert said("clear") == "declare it"


def test_a_category_that_lists_its_styles_is_certain_to_the_full() -> None:
    from entryprep import Category
    from entryprep.beer.categories import category_styles

    found = category_styles(Category(code="A", name="Odds", styles=["German pils"]), TABLE)
    assert (found.certain, found.score, found.words) == (True, 100.0, "listed by the competition")
    assert [style.id for style in found.styles] == ["german-pils"]
    named = category_styles(Category(code="A", name="German pils"), TABLE)
    assert (named.certain, named.score, named.words) == (True, 100.0, "German Pils, by its name")


def test_a_recipe_file_is_read_with_the_table_it_is_given(tmp_path: Any) -> None:
    path = tmp_path / "r.json"
    recipe = '{"name": "Knot", "type": "all grain", "author": "x", "batch_size": {"unit": "l", "value": 20},'
    recipe += '"efficiency": {"brewhouse": {"unit": "%", "value": 70}}, "ingredients": {"fermentable_additions": []}}'
    path.write_text(f'{{"beerjson": {{"version": 1.0, "recipes": [{recipe}]}}}}', encoding="utf-8")
    beer = Beer.from_recipe(path, table=TABLE)
    assert beer.name == "Knot"
    assert beer.table is TABLE
    both = ", ".join([recipe, recipe.replace("Knot", "Dunlin")])
    path.write_text(f'{{"beerjson": {{"version": 1.0, "recipes": [{both}]}}}}', encoding="utf-8")
    assert Beer.from_recipe(path, "Dunlin").name == "Dunlin"
