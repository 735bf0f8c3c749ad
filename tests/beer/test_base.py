"""The beer underneath, doses, blends and the base that is declared."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep import load_styles
from entryprep.beer.advice import next_time
from entryprep.beer.basefit import base_fit
from entryprep.beer.beer import Beer
from entryprep.beer.dosing import verdict, verdicts
from entryprep.beer.readings import batch_vitals
from entryprep.beer.steps import addition_step, apply_steps, batch_steps, remove_steps
from entryprep.beer.underneath import underneath
from entryprep.brewing.contents import beer
from entryprep.records.batch import Addition, Batch

TABLE = load_styles()


def batch(*additions: dict[str, Any], **more: Any) -> Batch:
    data = {"name": "Whimbrel", "volume": 20, "measured": {"og": 1.052, "fg": 1.010}, "additions": list(additions)}
    return Batch.model_validate(data | more)


CURRANTS = {"what": "black currants", "kind": "fruit", "mass": 2, "stage": "fermenter"}
KINDS = [
    CURRANTS,
    {"what": "honey", "kind": "sugar", "mass": 0.6, "stage": "fermenter"},
    {"what": "lactose", "kind": "sugar", "mass": 0.4, "stage": "boil"},
    {"what": "rum", "kind": "spirit", "volume": 0.4, "strength": 40},
    {"what": "oak cubes", "kind": "wood", "mass": 0.05, "strength": 45, "days": 20},
    {"what": "cold brew coffee", "kind": "spice", "volume": 0.8, "stage": "conditioning"},
]


@settings(max_examples=60, deadline=None)
@given(st.floats(1.04, 1.09), st.floats(0.2, 0.4), st.sets(st.integers(0, 5)), st.booleans())
def test_reconstructing_undoes_applying(og: float, left: float, chosen: set[int], frozen: bool) -> None:
    """base + additions (− ice) → served, and back, for any of the kinds that matter."""
    steps, notes = batch_steps(batch(*(KINDS[i] for i in sorted(chosen))))
    assert notes == ()
    base = beer(18.0, og, 1 + (og - 1) * left, 30, 12)
    before = base.volume_l + sum(step.contents.volume_l for step in steps)
    served = apply_steps(base, steps, before - 1 if frozen else None)
    back = remove_steps(served, steps, before if frozen else None).vitals()
    assert back["og"] == pytest.approx(og, abs=1e-7)
    assert back["ibu"] == pytest.approx(30)
    assert served.alcohol_l == pytest.approx(base.alcohol_l + sum(s.contents.alcohol_l for s in steps))


@settings(max_examples=40, deadline=None)
@given(st.floats(1.04, 1.09), st.floats(0.2, 0.4), st.floats(0.2, 4))
def test_the_base_of_a_read_beer_makes_that_beer_again(og: float, left: float, kilograms: float) -> None:
    fruit = {**CURRANTS, "mass": kilograms}
    made = batch(fruit, measured={"og": og, "fg": 1 + (og - 1) * left})
    found = underneath(made)
    assert found.base.known["og"].value == pytest.approx(og, abs=1e-9)
    base = found.base.known
    litres = 20 - found.steps[0].contents.volume_l
    again = apply_steps(beer(litres, base["og"].value, base["fg"].value), found.steps)
    assert again.fg == pytest.approx(1 + (og - 1) * left, abs=1e-7)
    assert again.abv == pytest.approx(found.served.known["abv"].value, abs=1e-6)


def test_fruit_in_the_fermenter_is_not_seen_before_the_yeast() -> None:
    """2 kg of currants with 10 % of sugar (H. McGee): 200 g of sugar make 0.2/2.0665 kg of alcohol, 0.6 % of 20 L."""
    plain, fruited = underneath(batch()), underneath(batch(CURRANTS))
    gained = 100 * (0.2 / 2.0665 / 0.7926) / 20
    base, served = fruited.base.known["abv"].value, fruited.served.known["abv"].value
    litres = 20 - fruited.steps[0].contents.volume_l
    assert served == pytest.approx(base * litres / 20 + gained, abs=0.01)
    assert not plain.changed
    assert plain.base == plain.served


def test_strength_and_final_gravity_lead_to_the_base_too() -> None:
    read = underneath(batch(CURRANTS))
    served = read.served.known
    measured = {"abv": {"value": served["abv"].value, "by": "lab"}, "fg": served["fg"].value}
    again = underneath(batch(CURRANTS, measured=measured))
    assert again.base.known["og"].value == pytest.approx(read.base.known["og"].value, abs=1e-6)
    assert again.base.known["fg"].value == pytest.approx(read.base.known["fg"].value, abs=1e-6)


def test_lactose_and_honey_are_taken_out_of_the_base_and_plain_kettle_sugar_is_not() -> None:
    sweet = underneath(batch({"what": "lactose", "kind": "sugar", "mass": 0.5, "stage": "boil"}))
    assert sweet.base.known["fg"].value < 1.0050
    assert sweet.base.known["abv"].value == pytest.approx(sweet.served.known["abv"].value, abs=0.1)
    # 0.5 kg of honey with 80 % of sugar in 20 L: 20 g in a litre, 7.7 points (46 per lb and US gallon: Palmer)
    honey = underneath(batch({"what": "honey", "kind": "sugar", "mass": 0.5, "stage": "boil"}))
    assert honey.base.known["og"].value == pytest.approx(
        1.052 - 0.0077 + 0.0013, abs=0.001
    )  # in what is left without it
    dry = underneath(batch({"what": "table sugar", "kind": "sugar", "mass": 0.5, "stage": "boil"}))
    assert not dry.changed
    assert any("part of the base" in note for note in dry.notes)


def test_ice_and_water_are_undone() -> None:
    made = batch(concentrated={"before": 22, "after": 20}, measured={"og": 1.070, "fg": 1.020})
    found = underneath(made)
    assert found.served.known["abv"].value == pytest.approx(found.base.known["abv"].value * 1.1, rel=1e-6)
    thin = underneath(batch(water_added=2))
    assert thin.served.known["abv"].value == pytest.approx(thin.base.known["abv"].value * 0.9, rel=1e-6)


def test_ice_takes_a_little_beer_along_and_that_is_a_small_error() -> None:
    """Of 20 L 3 L go as ice, a twentieth of which is beer, give or take as much (from memory): 0.15 L in 17 L is 0.9 %,
    and volumes are read to a few hundredths: of 70 points some 1 to 4, and never the ten of ice that is all beer."""
    made = Batch.model_validate(
        {"name": "Knot", "measured": {"og": 1.060, "fg": 1.015}, "concentrated": {"before": 20, "after": 17}}
    )
    error = underneath(made).served["og"].error
    assert error is not None
    assert 0.001 * 20 / 17 < error < 0.005


def test_errors_grow_with_what_is_not_known_well() -> None:
    exact = {"og": {"value": 1.052, "error": 1e-9}, "fg": {"value": 1.010, "error": 1e-9}}
    little, much = (underneath(batch({**CURRANTS, "mass": m}, measured=exact)).served for m in (0.5, 6))
    assert much.error("abv") > little.error("abv")


@pytest.mark.parametrize(
    ("addition", "words"),
    [
        ({"what": "currants", "kind": "fruit"}, "no amount"),
        ({"what": "rum", "kind": "spirit", "volume": 0.4}, "strength"),
        ({"what": "rum", "kind": "spirit", "strength": 40}, "no amount"),
        ({"what": "moon syrup", "kind": "sugar", "mass": 1}, "how much sugar"),
    ],
)
def test_what_cannot_be_counted_is_named(addition: dict[str, Any], words: str) -> None:
    """Volume, alcohol and extract of a thing are needed for a balance: arithmetic."""
    found = underneath(batch(addition))
    assert not found.changed
    assert any(words in note for note in found.notes)


@pytest.mark.parametrize(
    "made",
    [
        batch(concentrated={"before": 100, "after": 3}),
        batch({**CURRANTS, "mass": 60}),
        batch(*({**CURRANTS, "mass": 11} for _ in range(2))),
        batch({"what": "rum", "kind": "spirit", "volume": 6, "strength": 90},
              measured={"abv": {"value": 5, "by": "lab"}, "fg": 1.010}),
    ],
)  # fmt: skip
def test_amounts_that_no_beer_could_hold_are_told(made: Batch) -> None:
    assert Beer.from_batch(made).problem


RECIPE = {
    "volume": 20,
    "efficiency": 72,
    "fermentables": [
        {"what": "pale ale malt", "mass": 4},
        {"what": "honey", "mass": 0.6, "stage": "fermenter"},
    ],
    "yeast": {"what": "ale", "attenuation": 75},
}


PLAIN_RECIPE = {**RECIPE, "fermentables": [{"what": "pale ale malt", "mass": 4}]}


def test_late_honey_of_a_recipe_is_counted_once_and_raises_a_measured_strength() -> None:
    alone = Batch.model_validate({"name": "x", "recipe": RECIPE})
    named = {"what": "honey", "kind": "sugar", "mass": 0.6, "stage": "fermenter"}
    both = Batch.model_validate({"name": "x", "recipe": RECIPE, "additions": [named]})
    strengths = [underneath(made).served.known["abv"].value for made in (alone, both)]
    assert strengths[0] == pytest.approx(strengths[1], abs=0.1)  # 76 % of extract against 80 % of sugar
    predicted = batch_vitals(alone).known["abv"].value
    assert strengths[0] == pytest.approx(predicted, abs=0.25)
    # 0.6 kg of honey with 80 % of sugar: 0.48 · 0.95/2.0665 kg of alcohol, 1.4 % of 20 L, seen by no reading before
    read = alone.model_copy(update={"measured": batch(measured={"og": 1.044, "fg": 1.009}).measured})
    gained = underneath(read).served.known["abv"].value - batch_vitals(read).known["abv"].value
    assert 0.7 < gained < 1.5


# --- doses -----------------------------------------------------------------------------------------------------------


@given(
    st.sampled_from(["raspberries", "coffee", "cinnamon", "oak cubes", "honey"]), st.floats(0.001, 10), st.floats(1, 5)
)
def test_a_larger_dose_never_counts_as_less(what: str, kilograms: float, times: float) -> None:
    kind = {"raspberries": "fruit", "oak cubes": "wood", "honey": "sugar"}.get(what, "spice")
    order = ("faint", "usual", "dominant")
    made = [Addition.model_validate({"what": what, "kind": kind, "mass": m}) for m in (kilograms, kilograms * times)]
    less, more = (order.index(verdict(a, batch()).word) for a in made)
    assert less <= more


def test_what_the_brewer_tastes_outranks_the_dose() -> None:
    faint = {"what": "cocoa nibs", "kind": "spice", "mass": 0.01}
    (by_dose,) = verdicts(batch(faint))
    (by_tongue,) = verdicts(batch({**faint, "perceived": "clear"}))
    assert (by_dose.word, by_tongue.word) == ("faint", "usual")
    assert "you taste it clearly" in by_tongue.words
    assert not by_dose.counts


def test_heat_and_acid_belong_late_in_a_flight() -> None:
    (chile,) = verdicts(batch({"what": "habanero", "kind": "spice", "mass": 0.01}))
    assert "late in a flight" in chile.flight


def test_dried_fruit_counts_as_more_and_smoke_by_its_share_of_the_grist() -> None:
    fresh, dried = (
        verdict(Addition.model_validate({"what": "apricots", "kind": "fruit", "mass": 1, "form": form}), batch())
        for form in ("fresh", "dried")
    )
    assert fresh.dose is not None
    assert dried.dose == pytest.approx(4 * fresh.dose)
    smoke = {"what": "beech smoked malt", "kind": "smoke", "mass": 1}
    grist = {"fermentables": [{"what": "pale malt", "mass": 3}, {"what": "beech smoked malt", "mass": 1}]}
    (found,) = verdicts(batch(smoke, recipe=grist))
    assert found.dose == pytest.approx(25)


# --- bases and blends ------------------------------------------------------------------------------------------------


def test_a_base_holds_or_better_ones_are_named() -> None:
    amber = batch(CURRANTS, predicted={"ibu": 32, "srm": 13}, traits={"fermentation": "ale"})
    holds = base_fit(Beer.from_batch(amber, base="American amber ale"))
    assert holds.holds
    assert not holds.better
    wrong = base_fit(Beer.from_batch(amber, base="imperial stout"))
    assert not wrong.holds
    assert "american-amber-ale" in {r.style.id for r in wrong.better}
    family = base_fit(Beer.from_batch(amber, base="american-ale"))
    assert family.holds
    assert len(family.declared) > 1
    refused = base_fit(Beer.from_batch(amber, base="fruit beer"))
    assert not refused.holds
    assert "specialty category" in refused.refused


def test_a_blend_is_what_its_parts_make_together() -> None:
    parts = {
        "young": batch(measured={"og": 1.060, "fg": 1.020}, predicted={"ibu": 40, "srm": 10}),
        "old": batch(measured={"og": 1.040, "fg": 1.004}, predicted={"ibu": 10}),
    }
    made = Batch.model_validate(
        {"name": "B", "blend": [{"batch": "young", "volume": 15}, {"batch": "old", "volume": 5}]}
    )
    beers = {name: Beer.from_batch(part) for name, part in parts.items()}
    got = Beer.from_batch(made, lookup=beers.get).vitals.known
    young, old = (part.vitals["abv"].value for part in beers.values())
    assert got["abv"].value == pytest.approx((15 * young + 5 * old) / 20, abs=1e-6)
    assert got["ibu"].value == pytest.approx(32.5)
    assert "srm" not in got
    assert got["og"].origin == "blended"
    own = made.model_copy(update={"measured": batch(measured={"fg": 1.014}).measured})
    assert Beer.from_batch(own, lookup=beers.get).vitals["fg"].value == 1.014


@pytest.mark.parametrize(
    ("blend", "words"),
    [("a", "circle"), ("nobody", "no batch"), ("bare", "not both known"), ("none", "0 L went in")],
)
def test_blends_that_cannot_be_are_refused(blend: str, words: str) -> None:
    volume = 0 if blend == "none" else 5
    a = Batch.model_validate({"name": "a", "blend": [{"batch": "b", "volume": 5}]})
    b = Batch.model_validate({"name": "b", "blend": [{"batch": blend, "volume": volume}]})
    batches = {"a": a, "b": b, "bare": Batch(name="bare"), "none": batch()}
    known: dict[str, Beer] = {}
    known |= {name: Beer.from_batch(made, lookup=known.get) for name, made in batches.items()}
    problem = known["a"].blend_problem
    assert problem is not None
    assert words in str(problem)
    assert problem.fix


COFFEE = {"what": "cold brew coffee", "kind": "spice", "volume": 1, "stage": "conditioning"}


def test_a_blend_of_a_beer_and_its_half_with_coffee_is_the_beer_with_half_the_coffee() -> None:
    """Blending adds volumes, alcohol and extract: a litre in ten and none in ten are half a litre in ten."""
    plain = batch(volume=10)
    half = batch(COFFEE, volume=10)
    made = Batch.model_validate(
        {"name": "B", "blend": [{"batch": "plain", "volume": 10}, {"batch": "half", "volume": 10}]}
    )
    beers: dict[str, Beer] = {}
    beers |= {n: Beer.from_batch(b, lookup=beers.get) for n, b in {"plain": plain, "half": half, "made": made}.items()}
    whole = Beer.from_batch(batch({**COFFEE, "volume": 1}, volume=20))
    assert beers["made"].vitals["abv"].value == pytest.approx(whole.vitals["abv"].value, abs=0.01)


def test_rum_in_a_blend_raises_it_and_the_base_is_the_blend() -> None:
    parts = [{"batch": "plain", "volume": 10}, {"batch": "plain", "volume": 9.6}]
    rum = {"what": "rum", "kind": "spirit", "volume": 0.4, "strength": 40}
    beers: dict[str, Beer] = {"plain": Beer.from_batch(batch())}
    made = Beer.from_batch(Batch.model_validate({"name": "B", "blend": parts, "additions": [rum]}), lookup=beers.get)
    plain = beers["plain"].vitals["abv"].value
    assert made.base_vitals is not None
    assert made.base_vitals["abv"].value == pytest.approx(plain, abs=1e-6)
    # by volume, 0.4 L of 40 % in 20 L with 19.6 L of the beer: common practice, the square of the wine and spirit trade
    assert made.vitals["abv"].value == pytest.approx((19.6 * plain + 0.4 * 40) / 20, abs=1e-6)
    assert made.verdicts[0].dose == pytest.approx(0.8, rel=0.03)


def test_what_a_recipe_makes_is_before_what_is_added_later() -> None:
    """20 L of recipe and 2 kg of fruit, 80 % of it juice, are more than 21 L: 4.6 L of 40 % make (20 a + 184)/24.6."""
    rum = {"what": "rum", "kind": "spirit", "volume": 4.6, "strength": 40}
    made = Beer.from_batch(Batch.model_validate({"name": "x", "recipe": PLAIN_RECIPE, "additions": [rum]}))
    assert made.base_vitals is not None
    alone = made.base_vitals["abv"].value
    assert made.vitals["abv"].value == pytest.approx((20 * alone + 4.6 * 40) / 24.6, abs=1e-6)


def test_dried_fruit_has_the_sugar_of_dried_fruit() -> None:
    """USDA tables, from memory: raisins 59 to 65 %, dates 63 to 66, prunes 38, dried apricots 53; fresh apricots 9."""
    for what, low, high in (("raisins", 59, 65), ("dates", 63, 66), ("prunes", 36, 40), ("dried apricots", 50, 55)):
        step = addition_step(Addition.model_validate({"what": what, "kind": "fruit", "mass": 1}))
        assert step is not None
        alcohol_kg = step.contents.alcohol_l * 0.794 * 0.99821
        assert low <= alcohol_kg * 2.0665 * 100 <= high, what
    dried = addition_step(Addition.model_validate({"what": "cherries", "kind": "fruit", "mass": 1, "form": "dried"}))
    fresh = addition_step(Addition.model_validate({"what": "cherries", "kind": "fruit", "mass": 1}))
    assert dried is not None
    assert fresh is not None
    assert 3 < dried.contents.alcohol_l / fresh.contents.alcohol_l <= 5


def test_ice_is_undone_as_it_was_read() -> None:
    """Mass balance: alcohol stays, so 20 L of 5.5 % from which 2 L of ice came are 18 L of 6.1 %, whichever is read."""
    before = {"concentrated": {"before": 20, "after": 18, "read": "before"}}
    read = underneath(batch(**before)).served.known
    plain = underneath(batch()).served.known
    assert read["abv"].value == pytest.approx(plain["abv"].value * 20 / 18, rel=1e-9)
    assert read["fg"].value > plain["fg"].value
    after = underneath(batch(concentrated={"before": 20, "after": 18, "read": "after"}, measured={
        "og": 1.052, "fg": {"value": round(read["fg"].value, 6)}}))  # fmt: skip
    assert after.served.known["abv"].value == pytest.approx(read["abv"].value, abs=0.01)
    unsaid = underneath(batch(concentrated={"before": 20, "after": 18}))
    assert any("read: before" in note for note in unsaid.notes)
    said = underneath(batch(concentrated={"before": 20, "after": 18, "read": "after"}))
    assert unsaid.served.error("abv") > said.served.error("abv") > underneath(batch()).served.error("abv")


# --- next time -------------------------------------------------------------------------------------------------------


def test_advice_brings_the_next_batch_inside() -> None:
    """Each quantity advised is put back into the equation it came from."""
    made = batch(measured={"og": 1.060, "fg": 1.018}, predicted={"ibu": 70, "srm": 3})
    style = TABLE.find("American pale ale")
    result = Beer.from_batch(made).fit(style)
    advice = {text.split(":")[0]: text for text in next_time(made, result)}
    part = result.part("ibu")
    assert part is not None
    grams = float(advice["Bitterness"].split()[2])
    assert grams == pytest.approx(
        part.miss * 20 / (10 * 5 * 0.2108), rel=0.02
    )  # U(60 min, 1.060), Palmer's table: 0.211
    assert "less" in advice["Bitterness"]
    assert "black malt" in advice["Colour"]
    assert "Strength" not in advice
    assert next_time(made, Beer.from_batch(batch()).fit(TABLE.find("imperial stout")))
    inside = batch(predicted={"ibu": 40, "srm": 7})
    assert not [t for t in next_time(inside, Beer.from_batch(inside).fit(style)) if t.startswith(("Bitter", "Colour"))]
