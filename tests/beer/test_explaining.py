"""Steps of an explanation: which figures are put in, in which order, what is said when; their sums are redone."""

from __future__ import annotations

import itertools
import re
from typing import Any

import pytest

from entryprep import Batch, Beer
from entryprep.beer.explaining import explained_vitals, forecast_notes
from tests.beer.test_predicting import number, plain

KETTLE: list[dict[str, Any]] = [
    {"what": "pale malt", "mass": 4, "potential": 1.037, "colour": 2},
    {"what": "crystal malt 60", "mass": 0.4, "use": "steeped", "potential": 1.034, "colour": 60},
    {"what": "beet syrup", "kind": "sugar", "mass": 0.5, "potential": 1.046, "colour": 0, "fermentable": 100},
    {"what": "milk sugar", "kind": "sugar", "mass": 0.3, "potential": 1.041, "colour": 0, "fermentable": 0},
]
LATE = {"what": "heather syrup", "kind": "honey", "volume": 0.5, "potential": 1.035, "colour": 2, "stage": "fermenter"}
HOPS: list[dict[str, Any]] = [
    {"what": "One", "mass": 30, "alpha": 5, "minutes": 60},
    {"what": "Two", "mass": 20, "alpha": 4, "use": "first wort"},
    {"what": "Three", "mass": 40, "alpha": 5.8, "use": "stand", "minutes": 20},
    {"what": "Four", "mass": 50, "use": "dry"},
    {"what": "Five", "mass": 20, "alpha": 3.8, "use": "mash"},
    {"what": "Six", "mass": 20, "alpha": 3.8, "use": "stand", "minutes": 20, "temperature": 55},
]
RECIPE: dict[str, Any] = {
    "volume": 20,
    "efficiency": 70,
    "mash_efficiency": 80,
    "boil_volume": 25,
    "boil_minutes": 70,
    "fermentables": KETTLE,
    "hops": HOPS,
    "yeast": [{"what": "ale yeast", "attenuation": 76}],
}


def explained(recipe: dict[str, Any] | None = None, **more: Any) -> dict[str, list[str]]:
    data = {"name": "Sanderling", "volume": 20, **more}
    beer = Beer.from_batch(Batch.model_validate(data | ({"recipe": recipe} if recipe else {})))
    return dict(explained_vitals(beer))


def redone(lines: list[str]) -> int:
    """How many sums of the lines could be worked out again; each must come to what is printed."""
    count = 0
    for line in lines:
        for piece in line.split(": "):
            for left, right in itertools.pairwise(piece.split(" = ")):
                sum_, result = plain(left), number(right)
                if sum_ is not None and result is not None:
                    assert eval(sum_) == pytest.approx(result, rel=0.005, abs=0.006), line
                    count += 1
    return count


def test_original_gravity_of_malt_sugar_and_what_is_steeped() -> None:
    lines = explained(RECIPE)["og"]
    # 70 of 80 % leave the kettle: 87.5 % of what was dissolved; steeping draws half
    assert lines == [
        "pale malt: 4.000 kg x 37.0/46.21 yield x 70 % efficiency = 2.242 kg of extract",
        "crystal malt 60: 0.400 kg x 34.0/46.21 yield x 50% drawn by steeping x 87.5% that leaves the kettle "
        "= 0.129 kg of extract",
        "beet syrup: 0.500 kg x 46.0/46.21 yield x 87.5% that leaves the kettle = 0.436 kg of extract",
        "milk sugar: 0.300 kg x 41.0/46.21 yield x 87.5% that leaves the kettle = 0.233 kg of extract",
        "3.039 kg in 20 L = 0.15196 kg per litre",
        "0.15196 = S x 0.99821 x P/100 holds for S = 1.0585, P = 14.382 °P (ASBC polynomial)",
        "error: efficiency ± 4 points, volume ± 3%, yield of each malt ± 3%, to first order",
    ]
    assert redone(lines) >= 2


def test_nothing_is_lost_after_the_kettle_where_one_efficiency_is_given() -> None:
    one = {name: value for name, value in RECIPE.items() if name != "mash_efficiency"}
    lines = explained(one)["og"]
    assert lines[2] == "beet syrup: 0.500 kg x 46.0/46.21 yield = 0.498 kg of extract"
    assert not any("kettle" in line for line in lines)


def test_final_gravity_of_wort_sugar_and_what_does_not_ferment() -> None:
    """The shares by hand: 2.371, 0.436 and 0.233 of 3.039 kg; sugar ferments wholly, milk sugar not at all."""
    lines = explained(RECIPE)["fg"]
    assert lines[0] == "extract: 78.0% wort, 14.3% sugars that ferment, 7.7% what does not"
    by_yeast = 0.6367
    assert f"= {by_yeast} of it" in lines[1]
    assert "at 76.0% apparent: ABW = 0.8192 x 0.760 x" in lines[1]
    gone = 0.780 * by_yeast + 0.143
    assert float(lines[2].rpartition(" ")[2]) == pytest.approx(gone, abs=1e-3)
    re = 100 * 14.382 * (1 - 0.6399) / (100 - 1.0665 / 2.0665 * 14.382 * 0.6399)
    assert lines[3].endswith(f"= {re:.3f} °P")
    assert lines[4] == "AE = (RE - 0.1808 x 14.382)/0.8192 = 3.462 °P, which is 1.0136"
    assert lines[5] == "error: attenuation ± 4 points, and that of the original gravity"
    assert len(lines) == 6


def test_wort_alone_is_all_of_the_extract() -> None:
    lines = explained(RECIPE | {"fermentables": KETTLE[:1]})["fg"]
    assert lines[0] == "extract: 100.0% wort"


def test_a_measured_original_gravity_takes_the_recipes_attenuation_along() -> None:
    lines = explained(RECIPE, measured={"og": 1.050})["fg"]
    assert any(line.startswith("the same share of OE left at the measured 1.0500: 1.01") for line in lines)
    assert explained(RECIPE, measured={"og": 1.050})["og"] == ["1.050, as the record says"]


def test_strength_is_worked_out_from_both_gravities() -> None:
    lines = explained(RECIPE)["abv"]
    assert [line.partition(" = ")[0] for line in lines] == ["OE", "RE", "ABW", "ABV"]
    assert redone(lines) >= 2
    assert "OE = 14.382 °P at 1.0585, AE = 3.462 °P at 1.0136" in lines[0]


def test_bitterness_of_each_addition_by_how_it_was_used() -> None:
    lines = explained(RECIPE)["ibu"]
    boil = 1.0526
    assert lines[0] == f"gravity of the boil {boil}, averaged from 25 L to 20 L; volume that of the fermenter"
    assert lines[1] == "U = 1.65 x 0.000125^0.0526 x (1 - e^(-0.04 min))/4.15 (Tinseth)"
    said = {line.partition(":")[0].partition(",")[0]: line for line in lines}
    # utilisation at 1.053 and 60 minutes is 0.225 (tomdennis.info/VikingAle, see tinseth.yaml)
    assert said["One"] == "One: 30.0 g x 5 % x U(60.0 min) 0.2253 x 1000/20 L = 16.9 IBU"
    assert "U(70.0 min)" in said["Two"], "hops of the first wort boil as long as the boil"
    assert "x 1.05 (first wort) = 9.8 IBU" in said["Two"]
    assert "U(8.3 min)" in said["Three"], "20 minutes at 0.417 of a boil's rate"
    assert "(a stand: 20 min at 90 °C count 0.417 of a boil's)" in said["Three"]
    assert said["Four"] == "Four, dry: adds no iso-alpha acid, 0 IBU; what it does to bitterness is uncertain"
    assert "U(70.0 min)" in said["Five"]
    assert "x 0.2 (mash) = 1.8 IBU" in said["Five"]
    assert "count 0.000 of a boil's) = 0.0 IBU" in said["Six"], "nothing isomerises below about 60 °C"
    assert said["sum 36.6 IBU"]
    assert redone([line for line in lines if "U(" in line]) >= 1
    assert not any("cannot hold" in line for line in lines)
    bare = explained({n: v for n, v in RECIPE.items() if n != "boil_volume"})["ibu"]
    assert bare[0].startswith("gravity of the boil 1.0585, taken as that of 20 L;"), bare[0]


def test_more_than_beer_can_hold_is_said_to_be_more() -> None:
    lines = explained(RECIPE | {"hops": [{"what": "One", "mass": 400, "alpha": 12, "minutes": 60}]})["ibu"]
    assert "beer cannot hold more than about 110, so that is what is shown" in lines


def test_colour_of_what_has_colour() -> None:
    lines = explained(RECIPE)["srm"]
    assert lines[0] == "MCU = (4.000 kg pale malt x 2 °L + 0.400 kg crystal malt 60 x 60 °L) x 8.3454/20 L = 13.35"
    # by hand: (8 + 24) · 8.3454/20
    assert lines[1] == "SRM = 1.4922 x 13.35^0.6859 = 8.8 (Morey)"
    assert len(lines) == 3
    black = explained(RECIPE | {"fermentables": [KETTLE[0], {"what": "black malt", "mass": 1}]})["srm"]
    assert "above 50 SRM the formula is stretched beyond what it was made for; such beer is black anyway" in black


def test_what_goes_into_the_fermenter_is_explained_down_to_the_served_beer() -> None:
    """Vitals that were worked out from the recipe's are told with the recipe's steps, then what was made of them."""
    found = explained(RECIPE | {"fermentables": [*KETTLE, LATE]})
    assert "heather syrup: 0.710 kg x 35.0/46.21 yield = 0.538 kg of extract" in found["og"]
    assert any("before the yeast a hydrometer shows 1.0585" in line for line in found["og"])
    for vital in ("og", "fg", "abv", "ibu", "srm"):
        assert found[vital][-1].startswith("as served ")
        assert found[vital][-1].endswith(", by volume, alcohol and extract (Balling)")
        assert any(line.startswith("the beer underneath has ") for line in found[vital][1:-1])
        assert len(found[vital]) > 2
        assert not any("as the record says" in line for line in found[vital])


def test_what_was_read_of_a_beer_with_fruit_is_told_before_what_was_made_of_it() -> None:
    fruit = {"what": "rosehips", "kind": "fruit", "mass": 2, "sugar": 20, "stage": "fermenter"}
    found = explained(measured={"og": 1.050, "fg": 1.010}, additions=[fruit])
    assert found["og"][0] == "1.050, as the record says"
    assert found["og"][1] == "the beer underneath has 1.050 ± 0.001"
    assert " g of extract from rosehips, ± " in found["og"][2]
    assert found["og"][-1].startswith("as served 1.05")
    assert found["og"][-1].endswith(", by volume, alcohol and extract (Balling)")


def test_a_blend_says_that_it_is_one() -> None:
    parts = {
        name: Beer.from_batch(Batch.model_validate({"name": name, "measured": {"og": og, "fg": fg}}))
        for name, og, fg in (("young", 1.060, 1.020), ("old", 1.040, 1.004))
    }
    blend = [{"batch": "young", "volume": 15}, {"batch": "old", "volume": 5}]
    made = Batch.model_validate({"name": "Ferry", "blend": blend})
    beer = Beer.from_batch(made, lookup=parts.get)
    found = dict(explained_vitals(beer))
    assert found["fg"] == [
        "blended of 15 L of young, 5 L of old: volume, alcohol and extract add up",
        "together 1.016",
    ]


def test_priming_is_a_sum_of_what_was_left_and_what_was_added() -> None:
    priming = {"sugar": "table sugar", "mass": 120, "beer": 19, "temperature": 20}
    found = explained(carbonation={"method": "bottle-conditioned", "priming": priming})["co2"]
    assert found == [
        "left from fermentation at 20 °C: 0.86 volumes",  # 0.86 at 68 °F: any priming chart, from memory
        "120 g of table sugar in 19 L at 3.82 g per litre and volume: 120/19/3.82 = 1.65 volumes",
        "0.86 + 1.65 = 2.51 volumes",
    ]
    assert redone(found) == 2


def test_readings_are_told_by_where_they_come_from() -> None:
    warm = explained(
        measured={"og": {"value": 1.049, "temperature": 27}, "fg": 1.010, "ibu": 30}, predicted={"srm": 10}
    )
    assert warm["og"] == [
        "1.0490 read at 27 °C with a hydrometer for 20 °C: 1.0490 x r(27)/r(20) = 1.0490 x 1.002482/1.000846 = 1.0507"
    ]
    assert warm["ibu"] == ["30 IBU, as the record says"]
    assert warm["srm"] == ["10.0 SRM, as the record says"]
    brix = explained(measured={"og": {"brix": 12.5}, "fg": {"brix": 6.2}})
    assert brix["og"] == ["12.5 °Brix/1.04 = 12.019 °P, which is 1.0485"]
    assert brix["fg"][0] == "i = 12.019 °P before, f = 6.2 °Brix/1.04 = 5.962 now"
    for before, now, name in [(12.5, 6.2, "Terrill's cubic"), (27.0, 11.5, "Terrill's straight form")]:
        inputs, formula = explained(measured={"og": {"brix": before}, "fg": {"brix": now}})["fg"]
        shown = formula.removeprefix("FG = ").partition(" (")
        sum_, _, result = shown[0].rpartition(" = ")
        for letter in "if":
            value = inputs.partition(f"{letter} = ")[2].split()[0] if letter == "i" else inputs.split()[-2]
            sum_ = re.sub(rf" {letter}([²³]?)", rf" * {value}\1", sum_)
        assert eval(sum_.replace("²", "**2").replace("³", "**3")) == pytest.approx(float(result), abs=2e-4)
        assert shown[2].startswith(name)
    given = Beer(abv=5.2, fg=1.010)
    lines = dict(explained_vitals(given))
    assert lines["fg"] == ["1.010, as given"]
    assert lines["og"][0] == "the og that goes with fg 1.010 and abv 5.2 % is 1.0493; to check it:"
    assert len(lines["og"]) == 5


def test_notes_say_what_was_assumed_and_what_is_missing() -> None:
    """Figures that were taken from the table, or for want of any, are named with their source."""

    def notes(**more: Any) -> tuple[str, ...]:
        made = Batch.model_validate({"name": "Sanderling", "recipe": {"volume": 20, "efficiency": 70, **more}})
        return tuple(forecast_notes(Beer.from_batch(made).forecast))

    (known, *_) = notes(fermentables=[{"what": "crystal malt 60", "mass": 1}])
    assert known == "crystal malt 60: potential 1.034 and 60 °L (Palmer 74 %)"
    (own, *_) = notes(fermentables=[{"what": "crystal malt 60", "mass": 1, "potential": 1.033}])
    assert own == "crystal malt 60: 60 °L (Palmer 74 %)"
    (colour, *_) = notes(fermentables=[{"what": "crystal malt 60", "mass": 1, "colour": 55}])
    assert colour == "crystal malt 60: potential 1.034 (Palmer 74 %)"
    (none, *_) = notes(fermentables=[{"what": "moon dust", "mass": 1, "potential": 1.030}])
    assert none == "moon dust: nothing is known of its colour, taken as none"
    (lost, *_) = notes(fermentables=[{"what": "moon dust", "mass": 1}])
    assert lost == "moon dust is not in the table and has no potential, so nothing follows from the grist"
    malt = {"what": "pale malt", "mass": 4, "potential": 1.037, "colour": 2}
    hops = notes(fermentables=[malt], hops=[{"what": "Nobody's", "mass": 30, "minutes": 60}])
    assert "Nobody's has no alpha acid and is not in the table, so bitterness cannot be predicted" in hops
    hops = notes(fermentables=[malt], hops=[{"what": "Cascade", "mass": 30, "use": "stand", "minutes": 20}])
    assert any(note.startswith("Cascade: 5.8 % alpha acid (") for note in hops)
    assert "Cascade: a stand at 90 °C" in hops
    told = [{"what": "Cascade", "mass": 30, "alpha": 6, "use": "stand", "minutes": 20, "temperature": 80}]
    assert not any("Cascade" in note for note in notes(fermentables=[malt], hops=told))
    dry = notes(fermentables=[malt], hops=[{"what": "Cascade", "mass": 30, "use": "dry"}])
    assert not any("Cascade" in note for note in dry)
    volume = notes(fermentables=[{"what": "clover honey", "volume": 1, "potential": 1.035, "colour": 2}])
    assert "clover honey: 1.42 kg per litre" in volume  # common practice
    assert any(note.startswith("not given: ") for note in volume)
    assert forecast_notes(None) == ()
    broken = notes(fermentables=[{**malt, "mass": 40}])
    assert "more than wort can hold" in broken[0]


def test_a_colour_that_no_beer_has_is_no_reason_to_refuse_the_beer() -> None:
    """Malts of unknown colour add up to none, and a grist of black malt to more than the scale goes."""
    for malt, srm in (
        ({"what": "moon dust", "mass": 4, "potential": 1.030}, None),
        ({"what": "black malt", "mass": 5}, 120),
    ):
        recipe = {"volume": 20, "efficiency": 70, "fermentables": [malt], "yeast": [{"what": "a", "attenuation": 75}]}
        made = Beer.from_batch(Batch.model_validate({"name": "Sanderling", "recipe": recipe}))
        assert {"og", "fg", "abv"} <= made.vitals.known.keys()
        assert (made.vitals.srm.value if made.vitals.srm else None) == srm
