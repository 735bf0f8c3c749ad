"""The chances behind a ranking, against the axioms of probability, Python's normal distribution and sums by hand."""

from __future__ import annotations

import itertools
import math
from statistics import NormalDist
from typing import Any

import pytest

from entryprep import Batch, Reading, Vitals, load_styles
from entryprep.beer.fitting import LEAST_SLACK, WEIGHTS, fitted, slack
from entryprep.beer.likelihood import SPAN, additions_log_chance, share_of_gravities
from entryprep.beer.questions import likely, pulls
from entryprep.beer.ranking import Ranking, counted_vitals, explained, rank_styles
from entryprep.beer.routing import batch_facts, leaning, route, told_things
from entryprep.beer.traits import addition_chance, group_log_chance, trait_chance, trait_chances
from entryprep.brewing.alcohol import abv
from entryprep.tables.style import ADDITIONS, TRAITS, Range, Style
from entryprep.tables.things import Thing

TABLE = load_styles()


def style(name: str, **more: Any) -> Style:
    """A style of these ranges, or of carbonation alone, which no ranking counts."""
    if not more.get("specialty") and not SPAN.keys() & more.keys():
        more["co2"] = (2.2, 2.6)
    return Style(id=name, name=name.title(), note="made for the tests", family="quill", **more)


# --- traits and additions --------------------------------------------------------------------------------------------


def test_chances_of_a_traits_values_sum_to_one_for_every_style() -> None:
    for one in TABLE:
        for trait, values in TRAITS.items():
            assert sum(trait_chance(one, trait, value) for value in values) == pytest.approx(1.0), (one.id, trait)
            assert trait_chances(one, trait) == tuple(trait_chance(one, trait, value) for value in values)


def test_a_style_has_its_typical_value_rather_than_what_it_also_accepts() -> None:
    """8 of 100 are told otherwise; what is typical and what is accepted share the rest 3 to 2."""
    one = style("amber", traits={"malt": ["toasty", "caramel"]})
    assert trait_chance(one, "malt", "toasty") == pytest.approx(0.92 * 3 / 5)
    assert trait_chance(one, "malt", "caramel") == pytest.approx(0.92 * 2 / 5)
    others = [value for value in TRAITS["malt"] if value not in {"toasty", "caramel"}]
    for value in others:
        assert trait_chance(one, "malt", value) == pytest.approx(0.08 / len(others))


def test_a_step_beside_is_likelier_than_two_where_values_have_an_order() -> None:
    one = style("amber", traits={"hops": "low", "sourness": "none"})
    assert trait_chance(one, "hops", "low") == pytest.approx(0.92)
    assert trait_chance(one, "hops", "medium") == pytest.approx(0.08 * 4 / 5)
    assert trait_chance(one, "hops", "high") == pytest.approx(0.08 * 1 / 5)
    middle = style("pale", traits={"hops": "medium"})
    assert trait_chance(middle, "hops", "low") == trait_chance(middle, "hops", "high") == pytest.approx(0.04)


def test_brewers_know_their_yeast_and_smoke_is_nowhere_unless_a_style_has_it() -> None:
    one = style("amber", traits={"fermentation": "lager"})
    assert trait_chance(one, "fermentation", "lager") == pytest.approx(0.995)
    assert trait_chance(one, "fermentation", "ale") == pytest.approx(0.0025)
    assert trait_chance(one, "smoke", "none") == pytest.approx(0.92)
    assert trait_chance(style("own", specialty=True), "smoke", "none") == pytest.approx(0.5)
    assert trait_chance(one, "clarity", "hazy") == pytest.approx(1 / len(TRAITS["clarity"])), "of which nothing is said"
    every = style("any", traits={"clarity": list(TRAITS["clarity"])})
    assert sum(trait_chance(every, "clarity", value) for value in TRAITS["clarity"]) == pytest.approx(1.0)


def test_chances_of_all_sets_of_additions_sum_to_one() -> None:
    """Over every set of nine kinds, for styles with and without a group of which one must be there."""
    sets = [
        tuple(Thing(kind) for kind, there in zip(ADDITIONS, chosen, strict=True) if there)
        for chosen in itertools.product((False, True), repeat=len(ADDITIONS))
    ]
    for one in (
        style("plain"),
        style("fruited", specialty=True, takes=["fruit"], may_have=["spice"]),
        style("either", specialty=True, takes_any=["wood", "spirit"], takes=["fruit"]),
    ):
        assert math.fsum(math.exp(additions_log_chance(one, things)) for things in sets) == pytest.approx(1.0)


def test_what_a_style_lives_by_is_told_and_what_it_has_not_hardly_ever() -> None:
    one = style("fruited", specialty=True, takes=["fruit"], may_have=["spice"], traits={"additions": ["sugar", "wood"]})
    chances = {kind: addition_chance(one, kind) for kind in ADDITIONS}
    assert (chances["fruit"], chances["wood"], chances["sugar"]) == (0.95, 0.95, 0.5)
    assert chances["spice"] == 0.4
    assert (chances["smoke"], chances["process"]) == (0.005, 0.08)


def test_a_group_of_which_one_must_be_there() -> None:
    """95 of 100 tell at least one; among those each is told with a chance of 0.4 by itself, none is not."""
    group = ("wood", "spirit")
    assert math.exp(group_log_chance(group, ())) == pytest.approx(0.05)
    assert math.exp(group_log_chance(group, ("fruit",))) == pytest.approx(0.05)
    some = 1 - 0.6 * 0.6
    assert math.exp(group_log_chance(group, ("wood",))) == pytest.approx(0.95 * 0.4 * 0.6 / some)
    assert math.exp(group_log_chance(group, group)) == pytest.approx(0.95 * 0.16 / some)


# --- shares ----------------------------------------------------------------------------------------------------------

PALE = style("pale", og=(1.040, 1.050), ibu=(20, 40), srm=(3, 6))
DARK = style("dark", og=(1.045, 1.060), ibu=(25, 35), srm=(20, 30))
FRUITED = (Thing("fruit"),)
BEER = Vitals(og=Reading(1.047, 0.001), ibu=Reading(30, 4), srm=Reading(8, 1.5))


def density(name: str, one: Style, vitals: Vitals = BEER) -> float:
    """The chance to be inside, divided by the width; the edges are soft by a tenth of it."""
    reading, within = vitals[name], one.ranges[name]
    spread = math.hypot(vitals.error(name), 0.1 * within.width)
    normal = NormalDist(reading.value, spread)
    return (normal.cdf(within.high) - normal.cdf(within.low)) / within.width


def shares(ranking: Ranking) -> dict[str, float]:
    return {one.id: share for one, share in ranking.shares}


def test_shares_are_chances_by_widths_with_one_for_none_of_these() -> None:
    weights = {one.id: math.prod(density(name, one) for name in ("og", "ibu", "srm")) for one in (PALE, DARK)}
    none = 0.01 * 2 / math.prod(SPAN[name].width for name in ("og", "ibu", "srm"))
    total = sum(weights.values()) + none
    found = rank_styles(BEER, {}, [PALE, DARK], ())
    extra = additions_log_chance(PALE, ())
    assert extra == additions_log_chance(DARK, ())
    scaled = sum(weights.values()) * math.exp(extra) + none
    assert found.none_share == pytest.approx(none / scaled, rel=1e-6)
    for name, weight in weights.items():
        assert shares(found)[name] == pytest.approx(weight * math.exp(extra) / scaled, rel=1e-6)
    unknown = rank_styles(BEER, {}, [PALE, DARK])
    assert unknown.none_share == pytest.approx(none / total, rel=1e-6)
    assert sum(shares(unknown).values()) + unknown.none_share == pytest.approx(1.0)


def test_a_trait_multiplies_by_its_chance_and_for_none_by_one_of_its_values() -> None:
    hazy, bright = style("hazy", traits={"clarity": "hazy"}), style("bright", traits={"clarity": "bright"})
    found = rank_styles(Vitals(), {"clarity": "hazy"}, [hazy, bright], ())
    extra = math.exp(additions_log_chance(hazy, ()))
    none = 0.01 * 2 / len(TRAITS["clarity"])
    total = (0.92 + 0.08) * extra + none
    assert shares(found) == pytest.approx({"hazy": 0.92 * extra / total, "bright": 0.08 * extra / total})
    assert found.none_share == pytest.approx(none / total)


def test_a_factor_multiplies_a_share_and_ties_stand_in_the_order_of_their_names() -> None:
    twin = style("twin", og=(1.040, 1.050), ibu=(20, 40), srm=(3, 6))
    found = rank_styles(BEER, {}, [twin, PALE], ())
    assert [one.id for one, _ in found.shares] == ["pale", "twin"]
    leant = shares(rank_styles(BEER, {}, [twin, PALE], (), factors={"twin": 0.25}))
    assert leant["twin"] == pytest.approx(leant["pale"] / 4)


ANYTHING = 1 / math.prod(SPAN[name].width for name in ("og", "ibu", "srm"))


def on_base(weights: dict[str, float], base: str | None, anything: float = ANYTHING) -> float:
    """Of special beers 85 in 100 are of the declared base, 10 of any, 5 of none that is classic."""
    any_base = sum(weights.values()) / len(weights)
    if base is None:
        return 0.95 * any_base + 0.05 * anything
    return 0.85 * weights[base] + 0.10 * any_base + 0.05 * anything


def test_a_specialty_is_as_likely_as_its_base_or_as_any() -> None:
    special = style("special", specialty=True, takes=["fruit"])
    weights = {one.id: math.prod(density(name, one) for name in ("og", "ibu", "srm")) for one in (PALE, DARK)}
    none = 0.01 * 3 / math.prod(SPAN[name].width for name in ("og", "ibu", "srm"))
    for base in (None, PALE, DARK):
        likelihood = on_base(weights, base.id if base else None)
        found = rank_styles(BEER, {}, [PALE, DARK, special], None, base)
        total = sum(weights.values()) + 0.1 * likelihood + none
        assert shares(found)["special"] == pytest.approx(0.1 * likelihood / total, rel=1e-6)
    fruited = rank_styles(BEER, {}, [PALE, DARK, special], FRUITED, PALE)
    ratio = math.exp(additions_log_chance(special, FRUITED) - additions_log_chance(PALE, FRUITED))
    ratio *= on_base(weights, "pale") / weights["pale"]
    assert shares(fruited)["special"] / shares(fruited)["pale"] == pytest.approx(ratio, rel=1e-6)


def test_the_beer_underneath_speaks_for_a_specialty_and_the_served_one_for_the_rest() -> None:
    special = style("special", specialty=True, takes=["fruit"])
    under = Vitals(og=Reading(1.050, 0.001), ibu=Reading(30, 4), srm=Reading(24, 3))
    found = shares(rank_styles(BEER, {}, [PALE, DARK, special], None, DARK, under))
    weights = {one.id: math.prod(density(name, one, under) for name in ("og", "ibu", "srm")) for one in (PALE, DARK)}
    as_served = {one.id: math.prod(density(name, one) for name in ("og", "ibu", "srm")) for one in (PALE, DARK)}
    below = (on_base(weights, "dark") + on_base(as_served, "dark")) / 2  # or the beer as served, half and half
    served = math.prod(density(name, PALE) for name in ("og", "ibu", "srm"))
    assert found["special"] / found["pale"] == pytest.approx(0.1 * below / served, rel=1e-6)


def test_of_three_that_hang_together_two_are_counted() -> None:
    assert counted_vitals(Vitals(og=1.05, fg=1.01, ibu=30)) == ("og", "fg", "ibu")
    assert counted_vitals(Vitals(og=1.05, abv=5.0, srm=8)) == ("og", "abv", "srm")
    assert counted_vitals(Vitals(fg=1.01, abv=5.0, co2=2.5)) == ("fg", "abv")
    assert counted_vitals(Vitals(abv=5.0)) == ("abv",)


@pytest.mark.parametrize("limits", [(4.0, 5.0), (4.5, 5.5), (3.0, 9.0), (6.0, 7.0)])
def test_the_share_of_a_rectangle_of_gravities_is_that_of_its_points(limits: tuple[float, float]) -> None:
    """Against a grid of beers, each inside as far as soft edges of half the width let it; as normal, to a sixth."""
    og, fg, strength = Range(1.040, 1.060), Range(1.008, 1.014), Range(*limits)
    inside = 0.0
    for i, j in itertools.product(range(20), repeat=2):
        value = abv(1.040 + 0.020 * (i + 0.5) / 20, 1.008 + 0.006 * (j + 0.5) / 20)
        normal = NormalDist(value, 0.5 * strength.width)
        inside += (normal.cdf(strength.high) - normal.cdf(strength.low)) / 400
    assert math.exp(share_of_gravities(og, fg, strength)) == pytest.approx(inside, rel=0.16)


def test_strength_counts_where_both_gravities_are_known() -> None:
    """Two styles with the same gravities: the one whose strength the beer has is the likelier."""
    weak = style("weak", og=(1.040, 1.060), fg=(1.008, 1.014), abv=(4.0, 5.0))
    strong = style("strong", og=(1.040, 1.060), fg=(1.008, 1.014), abv=(5.5, 6.5))
    found = shares(rank_styles(Vitals(og=1.056, fg=1.009), {}, [weak, strong], ()))
    assert found["strong"] > 3 * found["weak"]
    one = shares(rank_styles(Vitals(og=1.056, ibu=30), {}, [weak, strong], ()))
    assert one["strong"] == pytest.approx(one["weak"])


def test_only_what_may_still_come_to_the_top_is_asked_about() -> None:
    special = style("special", specialty=True, takes=["fruit"])
    kept = likely(Ranking(((PALE, 0.6), (special, 0.3), (DARK, 0.06)), 0.04))
    assert [(one.id, round(share, 6)) for one, share in kept] == [
        ("pale", round(0.6 / 0.66, 6)),
        ("dark", round(0.06 / 0.66, 6)),
    ]
    assert [one.id for one, _ in likely(Ranking(((PALE, 0.9), (DARK, 0.9 * 0.0049)), 0.1))] == ["pale"]
    assert likely(Ranking((), 1.0)) == ()


def test_pulls_are_logs_of_ratios_and_weak_ones_are_left_out() -> None:
    found = {pull.what: pull for pull in pulls(BEER, {"hops": "low"}, PALE, DARK)}
    ratios = {name: math.log(density(name, PALE) / max(density(name, DARK), 1e-12)) for name in ("og", "ibu", "srm")}
    shown = {"og": "original gravity 1.047", "ibu": "bitterness 30 IBU", "srm": "colour 8.0 SRM"}
    strong = {name: ratio for name, ratio in ratios.items() if abs(ratio) >= 0.35}
    assert set(found) == {shown[name] for name in strong}
    for name, ratio in strong.items():
        assert found[shown[name]].towards is (PALE if ratio > 0 else DARK)
        assert found[shown[name]].strength == pytest.approx(abs(ratio), rel=1e-6)
    strengths = [pull.strength for pull in found.values()]
    assert strengths == sorted(strengths, reverse=True)


# --- fit -------------------------------------------------------------------------------------------------------------


def test_a_score_is_the_weighted_geometric_mean_and_what_is_not_known_fits_most_likely() -> None:
    one = style("amber", og=(1.040, 1.050), fg=(1.008, 1.012), ibu=(20, 30), co2=(2.2, 2.6))
    result = fitted(Vitals(og=1.0515, ibu=33, co2=2.9), one)
    parts = {part.vital: part for part in result.parts}
    assert set(parts) == {"og", "ibu", "co2"}
    weights = {"og": 1.0, "ibu": 1.0, "co2": 0.25}
    mean = math.exp(sum(w * math.log(parts[v].membership) for v, w in weights.items()) / 2.25)
    # the final gravity is not known, and counts as one that fits four times in five
    assert result.score == pytest.approx(100 * mean ** (2.25 / 3.25) * 0.8 ** (1 / 3.25))
    assert result.confidence == pytest.approx(2.25 / 3.25)
    assert parts["og"].miss == pytest.approx(0.0015)
    assert parts["ibu"].miss == pytest.approx(3.0)
    under = fitted(Vitals(og=1.0385), one).part("og")
    assert under is not None
    assert under.miss == pytest.approx(-0.0015)
    assert under.miss_in_errors == pytest.approx(-1.5)
    assert WEIGHTS["co2"] < WEIGHTS["og"]


def test_slack_is_half_the_width_but_never_less_than_a_judge_forgives() -> None:
    assert slack("ibu", Range(20, 60)) == 20
    assert slack("ibu", Range(20, 24)) == LEAST_SLACK["ibu"]


@pytest.mark.parametrize(
    ("og", "words"),
    [
        (1.045, "inside"),
        (1.0492, "inside, near the edge"),
        (1.0408, "inside, near the edge"),
        (1.0505, "0.0005 over; within the error of a hydrometer"),
        (1.0512, "0.001 over; hardly more than the error of a hydrometer"),
        (1.0515, "0.0015 over; 1.5 times the error of a hydrometer"),
        (1.053, "0.003 over; more than the error of a hydrometer"),
        (1.037, "0.003 under; more than the error of a hydrometer"),
    ],
)
def test_a_miss_is_told_with_what_it_is_worth(og: float, words: str) -> None:
    part = fitted(Vitals(og=og), style("amber", og=(1.040, 1.050))).part("og")
    assert part is not None
    assert part.words == words


def test_nothing_to_compare_is_no_score() -> None:
    result = fitted(Vitals(ibu=30), style("amber", og=(1.040, 1.050)))
    assert (result.score, result.confidence, result.parts) == (None, 0.0, ())
    assert result.base is None


def test_reasons_say_what_lies_outside_and_not_what_is_as_it_should_be() -> None:
    one = style("amber", og=(1.040, 1.050), traits={"fermentation": "lager", "hop_kind": ["noble", "neutral"]})
    result = fitted(Vitals(og=1.056), one)
    told = explained(one, 0.5, result, {"fermentation": "lager", "hop_kind": "english", "clarity": "hazy"}, None)
    assert told.reasons == (
        "original gravity 1.056: 0.006 over; more than the error of a hydrometer",
        "hop kind english: expected noble or neutral",
    )
    fine = explained(one, 0.5, fitted(Vitals(og=1.045), one), {}, ())
    assert fine.reasons == ("every known vital is inside",)


# --- where it belongs ------------------------------------------------------------------------------------------------


def batch(*additions: dict[str, Any], **more: Any) -> Batch:
    return Batch.model_validate({"name": "Whimbrel", "volume": 20, "additions": list(additions), **more})


FRUIT = {"what": "raspberries", "kind": "fruit", "mass": 2}
SPICE = {"what": "coriander", "kind": "spice", "mass": 0.02, "perceived": "clear"}


def culture(what: str) -> dict[str, Any]:
    return {"what": what, "kind": "culture"}


@pytest.mark.parametrize(
    ("made", "facts"),
    [
        (batch(FRUIT), {"fruit"}),
        (batch(FRUIT, SPICE), {"fruit", "spice"}),
        (batch(SPICE, measured={"ibu": 3}), {"spice", "unhopped"}),
        (batch(SPICE, measured={"ibu": 30}), {"spice"}),
        (batch(SPICE, predicted={"ibu": 3}), {"spice", "unhopped"}),
        (batch(SPICE, recipe={"fermentables": [{"what": "pale malt", "mass": 4}], "hops": []}), {"spice", "unhopped"}),
        (batch(traits={"fermentation": "wild"}), {"culture"}),
        (batch(traits={"fermentation": "wild", "yeast": "funky"}), {"culture", "brett"}),
        (batch(traits={"fermentation": "wild", "sourness": "marked"}), {"culture", "sour", "souring"}),
        (batch(traits={"fermentation": "ale", "sourness": "light"}), {"sour"}),
        (batch(traits={"fermentation": "ale", "sourness": "none"}), set()),
        (batch(culture("Brettanomyces claussenii")), {"culture", "named-culture", "brett"}),
        (batch(culture("Lactobacillus")), {"culture", "named-culture", "souring", "soured-clean"}),
        (batch(culture("mixed house culture")), {"culture", "named-culture", "mixed-culture", "souring", "brett"}),
        (batch(concentrated={"before": 20, "after": 16}), {"concentrated"}),
        (batch(declare={"mixed-styles": "a stout and a pilsner"}), {"mixed-styles"}),
    ],
)
def test_facts_are_what_the_records_say(made: Batch, facts: set[str]) -> None:
    """What bacteria and wild yeasts do to a beer: common practice."""
    assert batch_facts(made) == facts


def kinds_told(made: Batch, base: Style | None = None) -> tuple[str, ...] | None:
    """The kinds of the things told to the ranking."""
    told = told_things(made, base)
    return None if told is None else tuple(each.kind for each in told)


def test_kinds_for_the_ranking_leave_out_what_is_faint_and_what_the_base_has() -> None:
    assert kinds_told(Batch(name="Whimbrel")) is None
    assert kinds_told(batch()) == ()
    faint = {**FRUIT, "mass": 0.1}
    assert kinds_told(batch(faint, SPICE)) == ("spice",)
    sugar = {"what": "table sugar", "kind": "sugar", "mass": 0.5}
    assert kinds_told(batch(sugar, FRUIT, FRUIT)) == ("sugar", "fruit")
    assert kinds_told(batch(traits={"fermentation": "wild"})) == ("culture",)
    assert kinds_told(batch(concentrated={"before": 20, "after": 16})) == ("process",)
    spiced = style("gruit", traits={"additions": ["spice"]})
    assert kinds_told(batch(FRUIT, SPICE), spiced) == ("fruit",)
    assert batch_facts(batch(FRUIT, SPICE), spiced) == {"fruit", "other-base"}
    special = style("own", specialty=True, traits={"additions": ["spice"]})
    assert kinds_told(batch(FRUIT, SPICE), special) == ("fruit", "spice")


def test_the_ranking_leans_away_from_what_the_rules_do_not_name() -> None:
    found = route(frozenset({"fruit"}))
    fruited = style("own-fruit", traits={"additions": ["fruit"]})
    special = style("own-special", specialty=True, takes=["wood"])
    named = TABLE.styles[found.to[0]]
    factors = leaning(found, [named, fruited, special, PALE], things=FRUITED)
    assert named.id not in factors
    assert fruited.id not in factors, "a style that knows the fruit stays as it is"
    assert 0 < factors[special.id] < 1
    assert 0 < factors[PALE.id] < 1
    declared = leaning(found, [fruited, special, PALE, DARK], PALE, FRUITED)
    assert declared[DARK.id] < declared[PALE.id] == factors[PALE.id]
    assert declared[special.id] == factors[special.id]
    assert declared[fruited.id] < 1
    on_its_name = leaning(route(frozenset()), [fruited, special, PALE], PALE, (), named_base=True)
    assert set(on_its_name) == {special.id, fruited.id}, "a base is named for what is special"
    nothing = leaning(route(frozenset()), [fruited, special, PALE], PALE)
    assert set(nothing) == {special.id}


# --- traits and cultures of a specialty ------------------------------------------------------------------------------

GRAINY = style("grainy", og=(1.040, 1.050), ibu=(20, 40), srm=(3, 6), traits={"malt": "grainy", "clarity": "bright"})
ROASTED = style("roasted", og=(1.045, 1.060), ibu=(25, 35), srm=(20, 30), traits={"malt": "roasted"})


def test_a_specialty_has_the_traits_of_its_base_but_for_those_of_its_own() -> None:
    plain = style("special", specialty=True, takes=["fruit"])
    own = style("own", specialty=True, takes=["fruit"], traits={"malt": "caramel"})
    for base in (GRAINY, ROASTED):
        found = shares(rank_styles(BEER, {"malt": "roasted"}, [GRAINY, ROASTED, plain, own], None, base))
        vitals = {one.id: math.prod(density(name, one) for name in ("og", "ibu", "srm")) for one in (GRAINY, ROASTED)}
        roasted = {one.id: vitals[one.id] * trait_chance(one, "malt", "roasted") for one in (GRAINY, ROASTED)}
        of_base = on_base(roasted, base.id, ANYTHING / len(TRAITS["malt"]))
        grainy = roasted["grainy"]
        assert found["special"] / found["grainy"] == pytest.approx(0.1 * of_base / grainy, rel=1e-6)
        of_own = on_base(vitals, base.id) * trait_chance(own, "malt", "roasted")
        assert found["own"] / found["grainy"] == pytest.approx(0.1 * of_own / grainy, rel=1e-6)


def test_a_wild_specialty_is_half_as_its_base_and_half_as_any() -> None:
    """How far it fermented is the culture's doing: the base speaks for gravity, bitterness and colour only."""
    wild = style("wild", specialty=True, takes=["culture"])
    beer = Vitals(og=Reading(1.047, 0.001), fg=Reading(1.002, 0.001), ibu=Reading(30, 4), srm=Reading(8, 1.5))
    widths = {name: SPAN[name].width for name in ("og", "fg", "ibu", "srm")}

    def chance(trait: str, value: str, *bases: Style) -> float:
        like = [
            math.prod(density(name, one) for name in ("og", "ibu", "srm"))
            * (1.0 if trait == "clarity" else trait_chance(one, trait, value))
            for one in bases
        ]
        as_base = sum(like) / len(like) / widths["fg"]
        as_any = 1 / math.prod(widths.values()) / (1 if trait == "clarity" else len(TRAITS[trait]))
        own = trait_chance(wild, trait, value) if trait == "clarity" else 1.0
        return own * (as_base + as_any) / 2

    fermented = Range(SPAN["fg"].low, SPAN["fg"].high)
    spread = math.hypot(0.001, 0.1 * fermented.width)
    normal = NormalDist(1.002, spread)
    inside = (normal.cdf(fermented.high) - normal.cdf(fermented.low)) / fermented.width
    for base, bases in ((ROASTED, (ROASTED,)), (None, (GRAINY, ROASTED))):
        found = shares(rank_styles(beer, {"malt": "roasted"}, [GRAINY, ROASTED, wild], None, base))
        grainy = math.prod(density(name, GRAINY) for name in ("og", "ibu", "srm")) * inside
        grainy *= trait_chance(GRAINY, "malt", "roasted")
        wanted = 0.1 * chance("malt", "roasted", *bases) / grainy
        assert found["wild"] / found["grainy"] == pytest.approx(wanted, rel=1e-6)


def test_a_route_names_its_rule_and_nothing_has_none() -> None:
    from entryprep.tables.routing import RoutingRule

    own = RoutingRule.model_validate({"all": ["fruit"], "to": "experimental-beer", "why": "theirs"})
    found = route(frozenset({"fruit"}), [own])
    assert (found.rule, found.why) == ("the competition's own", "theirs")
    named = RoutingRule.model_validate({"id": "r-1", "all": ["fruit"], "to": "experimental-beer", "why": "theirs"})
    assert route(frozenset({"fruit"}), [named]).rule == "r-1"
    shipped = route(frozenset({"fruit"}))
    assert shipped.rule
    assert shipped.rule != "the competition's own"
    nothing = route(frozenset())
    assert (nothing.to, nothing.why, nothing.rule) == ((), "", "")


@pytest.mark.parametrize(
    ("kind", "facts"),
    [
        ("brett", {"brett", "culture"}),
        ("lacto", {"souring", "culture"}),
        ("pedio", {"souring", "culture"}),
        ("mixed-culture", {"souring", "culture", "brett"}),
        ("spontaneous", {"souring", "culture", "brett"}),
        ("ale", set()),
    ],
)
def test_a_recipes_cultures_are_facts_too(kind: str, facts: set[str]) -> None:
    """Lactobacillus and Pediococcus sour, Brettanomyces does not by itself: common practice."""
    recipe = {"fermentables": [{"what": "pale malt", "mass": 4}], "yeast": [{"what": "x", "kind": kind}]}
    assert batch_facts(batch(recipe=recipe)) == facts


def test_spontaneous_fermentation_is_wild_in_every_way() -> None:
    found = batch_facts(batch(culture("spontaneous, from the coolship")))
    assert found == {"culture", "named-culture", "spontaneous", "souring", "brett"}


# --- numbers without an error, and answers that are not known --------------------------------------------------------


def test_a_number_without_error_is_inside_or_outside() -> None:
    from entryprep.beer.membership import chance_inside

    assert [chance_inside(x, 0.0, 1.0, 2.0) for x in (0.9, 1.0, 1.5, 2.0, 2.1)] == [0.0, 1.0, 1.0, 1.0, 0.0]
    one = style("amber", og=(1.040, 1.050))
    for og, errors in ((1.060, math.inf), (1.030, -math.inf), (1.045, 0.0)):
        part = fitted(Vitals(og=Reading(og, 0.0)), one).part("og")
        assert part is not None
        assert part.miss_in_errors == errors


def test_a_specialty_on_a_base_says_which_even_where_nothing_can_be_compared() -> None:
    special = style("special", specialty=True, takes=["fruit"])
    nothing = fitted(Vitals(), special, PALE)
    assert (nothing.score, nothing.base) == (None, PALE)
    known = fitted(BEER, special, PALE)
    assert known.base is PALE
    assert fitted(BEER, DARK, PALE).base is None, "a style with ranges of its own needs no base"


def test_what_is_not_a_trait_or_a_value_is_refused_with_those_that_are() -> None:
    from entryprep import QuantityError
    from entryprep.beer.ranking import checked_kinds, checked_traits

    with pytest.raises(QuantityError) as error:
        checked_traits({"clarity": "grey"})
    assert error.value.fix == "values known: bright, hazy"
    with pytest.raises(QuantityError) as error:
        checked_traits({"mood": "good"})
    assert error.value.fix == f"traits known: {', '.join(TRAITS)}"
    with pytest.raises(QuantityError) as error:
        checked_kinds(["love"])
    assert error.value.fix == f"kinds known: {', '.join(ADDITIONS)}"
    assert checked_kinds(["fruit", "spice", "fruit"]) == ("fruit", "spice")
    assert checked_kinds(None) is None


def test_the_width_of_the_final_gravities_counts_too() -> None:
    narrow = share_of_gravities(Range(1.048, 1.050), Range(1.010, 1.011), Range(5.0, 5.2))
    wide = share_of_gravities(Range(1.048, 1.050), Range(1.000, 1.021), Range(5.0, 5.2))
    assert math.exp(narrow) > 2 * math.exp(wide)


def test_an_addition_of_tradition_belongs_to_its_style() -> None:
    gose = style("salted", og=(1.040, 1.050), traits={"additions": ["spice"]})
    told = explained(gose, 0.5, fitted(Vitals(og=1.045), gose), {}, (Thing("spice"),))
    assert "spice: belongs here" in told.reasons
