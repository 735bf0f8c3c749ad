"""What to change next time: which way, of what, and how much; each amount is put back by hand into a published rule."""

from __future__ import annotations

import re
from typing import Any

import pytest

from entryprep import Batch, Beer, Vitals
from entryprep.beer.advice import next_time
from entryprep.tables.style import Style

GALLON_L, POUND_KG = 3.785412, 0.45359237  # US gallon and avoirdupois pound: NIST Handbook 44, appendix C


def style(**ranges: Any) -> Style:
    return Style(id="quill-amber", name="Quill Amber", note="made for the tests", family="quill", **ranges)


def batch(measured: dict[str, Any], recipe: dict[str, Any] | None = None, **more: Any) -> Batch:
    data: dict[str, Any] = {"name": "Whimbrel", "volume": 20, "measured": measured, **more}
    return Batch.model_validate(data | ({"recipe": recipe} if recipe else {}))


def advice(made: Batch, wanted: Style) -> dict[str, str]:
    """Each line by what it is about."""
    lines = next_time(made, Beer.from_batch(made).fit(wanted))
    return {line.partition(":")[0]: line for line in lines}


def grams(line: str) -> float:
    found = re.search(r"([\d.]+) g ", line)
    assert found, line
    return float(found[1])


def morey(units: float) -> float:
    """SRM of malt colour units (lb · °L per US gallon): 1.4922 · MCU^0.6859, D. Morey."""
    return float(1.4922 * units**0.6859)


DARK = {
    "efficiency": 72,
    "fermentables": [
        {"what": "pale malt", "mass": 4.0, "colour": "2 °L"},
        {"what": "crystal malt 60", "mass": 0.3, "colour": "60 °L"},
        {"what": "roasted barley", "mass": 0.4, "colour": "450 °L"},
    ],
}


def units(masses_kg: list[tuple[float, float]], litres: float = 20.0) -> float:
    return sum(mass / POUND_KG * lovibond for mass, lovibond in masses_kg) / (litres / GALLON_L)


@pytest.mark.parametrize(("low", "high"), [(14, 20), (10, 15), (20, 27)])
def test_a_beer_too_dark_loses_so_much_of_its_darkest_malt_that_it_comes_inside(low: float, high: float) -> None:
    srm = morey(units([(4.0, 2), (0.3, 60), (0.4, 450)]))
    made = batch({"og": 1.050, "fg": 1.012, "srm": {"value": srm, "by": "lab"}}, DARK)
    line = advice(made, style(srm=(low, high)))["Colour"]
    assert "less of roasted barley (450 °L) in 20 L" in line
    assert "add" not in line
    left = 0.4 - grams(line) / 1000
    assert left > 0
    again = morey(units([(4.0, 2), (0.3, 60), (left, 450)]))
    assert again == pytest.approx(high, abs=0.15)


def test_a_beer_too_pale_gains_so_much_black_malt_that_it_comes_inside() -> None:
    pale = {"efficiency": 72, "fermentables": [{"what": "pale malt", "mass": 4.5, "colour": "2 °L"}]}
    srm = morey(units([(4.5, 2)]))
    made = batch({"og": 1.050, "fg": 1.012, "srm": {"value": srm, "by": "lab"}}, pale)
    line = advice(made, style(srm=(14, 20)))["Colour"]
    assert "add" in line
    assert "black malt" in line
    assert morey(units([(4.5, 2), (grams(line) / 1000, 500)])) == pytest.approx(14, abs=0.15)


def test_where_the_darkest_malt_is_not_enough_or_not_known_no_amount_is_invented() -> None:
    measured = {"og": 1.050, "fg": 1.012, "srm": {"value": 40, "by": "lab"}}
    little = {
        "efficiency": 72,
        "fermentables": [{"what": "pale malt", "mass": 4}, {"what": "black malt", "mass": 0.05}],
    }
    line = advice(batch(measured, little), style(srm=(14, 20)))["Colour"]
    assert "leave out the black malt, and look for what else is dark" in line
    for recipe in (None, {"efficiency": 72, "fermentables": [{"what": "pale malt", "mass": 4}]}):
        line = advice(batch(measured, recipe), style(srm=(14, 20)))["Colour"]
        assert "leave out the darkest malt" in line
        assert not re.search(r"\d", line)


def test_the_malt_that_colours_most_is_the_one_to_take_away() -> None:
    recipe: dict[str, Any] = {
        "efficiency": 72,
        "fermentables": [
            {"what": "pale malt", "mass": 4},
            {"what": "black malt", "mass": 0.1},
            {"what": "crystal malt 80", "mass": 0.9},
        ],
    }
    line = advice(batch({"og": 1.05, "fg": 1.012, "srm": {"value": 24, "by": "lab"}}, recipe), style(srm=(14, 20)))[
        "Colour"
    ]
    assert "less of crystal malt 80 (80 °L)" in line, "0.9 kg of 80 °L colour more than 0.1 kg of 500 °L"
    recipe["fermentables"][1] = {"what": "black malt", "mass": 0.4, "colour": "550 °L"}
    line = advice(batch({"og": 1.05, "fg": 1.012, "srm": {"value": 40, "by": "lab"}}, recipe), style(srm=(14, 20)))[
        "Colour"
    ]
    assert "of black malt (550 °L)" in line, "0.4 kg of 550 °L colour more than 0.9 kg of 80 °L"


@pytest.mark.parametrize(("og", "verb", "less"), [(1.068, "take", "less"), (1.040, "use", "more")])
def test_gravity_is_mended_by_base_malt_in_points_per_pound_and_gallon(og: float, verb: str, less: str) -> None:
    """Points = pounds · 37 · efficiency / gallons (37 points of a pound of pale malt: Palmer, How to Brew, ch. 12)."""
    recipe = {
        "efficiency": 75,
        "fermentables": [
            {"what": "pale malt", "mass": 5, "potential": 1.037},
            {"what": "crystal malt 60", "mass": 0.4, "potential": 1.034},
        ],
    }
    made = batch({"og": og, "fg": 1.012}, recipe)
    line = advice(made, style(og=(1.048, 1.060)))["Original gravity"]
    found = re.search(r"(take|use) ([\d.]+) kg (less|more) of pale malt in 20 L \(8 points at 75% efficiency\)", line)
    assert found, line
    assert (found[1], found[3]) == (verb, less)
    pounds = 8 * (20 / GALLON_L) / (37 * 0.75)
    assert float(found[2]) == pytest.approx(pounds * POUND_KG, rel=0.05)
    assert ("make more of it" in line) == (less == "less")


def test_without_a_recipe_the_usual_efficiency_and_volume_are_said() -> None:
    made = Batch.model_validate({"name": "Whimbrel", "measured": {"og": 1.040, "fg": 1.010}})
    line = advice(made, style(og=(1.050, 1.060)))["Original gravity"]
    assert "of base malt in 19 L (10 points at 72% efficiency)" in line


@pytest.mark.parametrize(
    ("fg", "side", "more"), [(1.016, "cooler", "attenuates more"), (1.008, "warmer", "attenuates less")]
)
def test_body_is_mended_in_the_mash_by_points_of_attenuation(fg: float, side: str, more: str) -> None:
    """Apparent attenuation is (OG - FG)/(OG - 1): 2 points of gravity of 50 are 4 points of attenuation."""
    line = advice(batch({"og": 1.050, "fg": fg}), style(fg=(1.010, 1.014)))["Final gravity"]
    assert f"about 4 points of attenuation: mash 3 to 4 °C {side}" in line
    assert more in line
    assert ("replace some malt by sugar" in line) == (side == "cooler")
    assert ("should end drier" in line) == (side == "cooler")
    assert ("keep more body" in line) == (side == "warmer")


def test_a_mash_is_never_moved_by_more_than_five_degrees() -> None:
    line = advice(batch({"og": 1.050, "fg": 1.024}), style(fg=(1.008, 1.010)))["Final gravity"]
    assert "mash 4 to 5 °C cooler" in line


@pytest.mark.parametrize(("co2", "side"), [(3.0, "less"), (2.0, "more")])
def test_gas_is_mended_at_bottling(co2: float, side: str) -> None:
    """About 4 g of sucrose in a litre for each volume of CO2 (common practice): half a volume is 2 g."""
    line = advice(batch({"og": 1.050, "fg": 1.012, "co2": co2}), style(co2=(2.5, 2.5001)))["Carbonation"]
    assert f"2.0 g of sugar {side} per litre at bottling, or a {'lower' if side == 'less' else 'higher'}" in line


def test_gas_is_mended_the_way_it_got_in() -> None:
    def line(method: str) -> str:
        made = batch({"og": 1.050, "fg": 1.012, "co2": 3.0}, carbonation={"method": method})
        return advice(made, style(co2=(2.5, 2.5001)))["Carbonation"]

    assert line("bottle-conditioned").endswith("2.0 g of sugar less per litre at bottling")
    assert line("forced").endswith("a lower pressure in the keg or tank")
    assert "sugar" not in line("spunded")


@pytest.mark.parametrize("litres", [20, 50])
@pytest.mark.parametrize(("ibu", "verb", "less"), [(60, "take", "less"), (15, "give", "more")])
def test_bitterness_is_mended_by_the_hops_that_carry_most_of_it(ibu: int, verb: str, less: str, litres: int) -> None:
    """Utilisation of 60 minutes at 1.050 is 0.231 (Palmer's table): IBU = 0.231 · alpha · g · 10 / L."""
    recipe = {
        "fermentables": [{"what": "pale malt", "mass": 4}],
        "hops": [
            {"what": "Bittering", "mass": 30, "alpha": 12, "minutes": 60},
            {"what": "Late", "mass": 60, "alpha": 8, "minutes": 5},
            {"what": "Other", "mass": 20, "alpha": 4, "minutes": 60},
        ],
    }
    made = batch({"og": 1.050, "fg": 1.012, "ibu": {"value": ibu, "by": "lab"}}, recipe, volume=litres)
    line = advice(made, style(ibu=(25, 40)))["Bitterness"]
    assert f"{verb} {grams(line):g} g {less} of Bittering at 60 minutes" in line
    miss = ibu - 40 if less == "less" else 25 - ibu
    assert grams(line) == pytest.approx(miss * litres / (0.231 * 12 * 10), rel=0.02, abs=0.5)
    assert f"({miss} IBU in {litres} L, by Tinseth)" in line


def test_strength_is_told_in_points_unless_the_gravity_says_it_already() -> None:
    """At the same attenuation both gravities move. Common practice: about 131 % of the difference of gravities is the
    strength, and 1.060 to 1.010 is 83 % attenuation by points, so 1 % takes 7.6/0.83 = 9.1 points of the original."""
    made = batch({"og": 1.060, "fg": 1.010})
    abv = Beer.from_batch(made).vitals["abv"].value
    high, low = style(abv=(3.0, abv - 1.0)), style(abv=(abv + 1.0, 12.0))
    assert "lower the original gravity by about 9 points" in advice(made, high)["Strength"]
    assert "raise the original gravity by about 9 points" in advice(made, low)["Strength"]
    both = advice(made, style(og=(1.040, 1.050), abv=(3.0, abv - 1.0)))
    assert list(both) == ["Original gravity"]


@pytest.mark.parametrize(("og", "fg", "change"), [(1.050, 1.0125, 1.5), (1.080, 1.024, 2.0), (1.036, 1.009, -0.7)])
def test_the_points_of_strength_bring_it_there_at_the_same_attenuation(og: float, fg: float, change: float) -> None:
    made = batch({"og": og, "fg": fg})
    abv = Beer.from_batch(made).vitals["abv"].value
    bounds = (abv + change, 25.0) if change > 0 else (0.5, abv + change)
    line = advice(made, style(abv=bounds))["Strength"]
    found = re.search(r"(lower|raise) the original gravity by about (\d+) points", line)
    assert found is not None
    side = 1 if found[1] == "raise" else -1
    new_og = og + side * int(found[2]) / 1000
    new_fg = 1 + (new_og - 1) * (fg - 1) / (og - 1)  # the same attenuation, by points
    assert Vitals(og=new_og, fg=new_fg).known["abv"].value == pytest.approx(abv + change, abs=0.12)


def test_without_gravities_strength_moves_at_the_usual_attenuation() -> None:
    """Common practice: 131 % of the difference, of which 75 % ferments: 1 % takes 10.2 points of the original."""
    made = batch({"abv": 6.0})
    assert "lower the original gravity by about 10 points" in advice(made, style(abv=(3.0, 5.0)))["Strength"]


def test_a_final_gravity_that_follows_is_not_told_twice_but_one_that_does_not_is() -> None:
    """At 75 % of attenuation (apparent) 1.080 ends at 1.020 and 1.060 at 1.015."""
    made = batch({"og": 1.080, "fg": 1.020})
    follows = advice(made, style(og=(1.050, 1.060), fg=(1.010, 1.017)))
    assert list(follows) == ["Original gravity"]
    too_sweet = advice(made, style(og=(1.050, 1.060), fg=(1.006, 1.010)))
    assert list(too_sweet) == ["Original gravity", "Final gravity"]


def test_what_lies_within_the_error_of_an_instrument_is_no_reason_to_change_anything() -> None:
    wanted = style(og=(1.040, 1.050), ibu=(20, 30))
    assert advice(batch({"og": 1.0505, "fg": 1.012, "ibu": 31}), wanted) == {}
    assert set(advice(batch({"og": 1.056, "fg": 1.012, "ibu": 60}), wanted)) == {"Original gravity", "Bitterness"}
    assert advice(batch({"og": 1.045, "fg": 1.012, "ibu": 25}), wanted) == {}


def test_without_a_recipe_usual_hops_and_a_usual_boil_are_said() -> None:
    made = Batch.model_validate({"name": "Whimbrel", "measured": {"og": 1.050, "ibu": {"value": 60, "by": "lab"}}})
    line = advice(made, style(ibu=(25, 40)))["Bitterness"]
    assert "less of hops of 5 % alpha acid at 60 minutes (20 IBU in 19 L, by Tinseth)" in line
    # 0.231 of 60 minutes at 1.050 (Palmer's table)
    assert grams(line) == pytest.approx(20 * 19 / (0.231 * 5 * 10), rel=0.02)


def test_hops_of_unknown_alpha_acid_count_as_usual_ones() -> None:
    hops = [
        {"what": "Known", "mass": 30, "alpha": 4, "minutes": 60},
        {"what": "Nobody's", "mass": 30, "minutes": 60},
        {"what": "Stand", "mass": 200, "alpha": 14, "use": "stand", "minutes": 60},
    ]
    recipe = {"fermentables": [{"what": "pale malt", "mass": 4}], "hops": hops}
    made = batch({"og": 1.050, "fg": 1.012, "ibu": {"value": 60, "by": "lab"}}, recipe)
    assert "less of Nobody's at 60 minutes" in advice(made, style(ibu=(25, 40)))["Bitterness"]


@pytest.mark.parametrize(("minutes", "carries"), [(29, False), (30, True)])
def test_hops_of_half_an_hour_and_more_carry_the_bitterness(minutes: int, carries: bool) -> None:
    """What boils for less is there for its aroma: common practice."""
    hops = [{"what": "Early", "mass": 30, "alpha": 12, "minutes": minutes}]
    recipe = {"fermentables": [{"what": "pale malt", "mass": 4}], "hops": hops}
    made = batch({"og": 1.050, "fg": 1.012, "ibu": {"value": 60, "by": "lab"}}, recipe)
    line = advice(made, style(ibu=(25, 40)))["Bitterness"]
    assert (f"of Early at {minutes} minutes" in line) is carries


def test_a_named_style_outranks_the_declared_one() -> None:
    beer = Beer(og=1.070, fg=1.012, style="German pils")
    assert beer.advice("imperial stout") != beer.advice()
    assert any("use" in line and "more" in line for line in beer.advice("imperial stout"))


@pytest.mark.parametrize(
    "slip", [{"potential": "0 %"}, {"potential": "0.001 %"}, {"what": "pumpkin purée", "potential": "5 %"}]
)
def test_what_gives_no_extract_mends_no_gravity(slip: dict[str, Any]) -> None:
    recipe = {"efficiency": 72, "fermentables": [{"what": "pale malt", "mass": 4.5, **slip}], "hops": []}
    line = advice(batch({"og": 1.040, "fg": 1.010}, recipe), style(og=(1.050, 1.056)))["Original gravity"]
    # 9.99 and 12.39 °P (Plato's table), 104 and 130 g/L: 0.52 kg of extract in 20 L, of malt of 80 % at 72 %
    assert line.startswith("Original gravity: use 0.91 kg more of base malt in 20 L "), line


def test_hops_that_hold_hardly_any_acid_count_as_usual_ones() -> None:
    hops = [{"what": "old cones", "mass": "30 g", "alpha": "0.0001 %", "minutes": 60}]
    recipe = {"fermentables": [], "hops": hops}
    made = batch({"og": 1.050, "fg": 1.012, "ibu": {"value": 10, "by": "lab"}}, recipe)
    assert 0 < grams(advice(made, style(ibu=(20, 30)))["Bitterness"]) < 60
