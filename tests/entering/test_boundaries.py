"""Where each rule begins and ends: the first and the last day, the figure at the limit, which of two records counts."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest

from entryprep.entering.composing import compose
from entryprep.entering.shipping import shipping_list
from entryprep.findings import Severity
from entryprep.records.batch import Batch
from tests.entering.test_check_rules import BOTTLED, FRUIT, SECOND, Changes, findings, two
from tests.entering.test_check_rules import season as built
from tests.entering.test_shipping import season

ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
Found = dict[str, Severity]


def found(folder: Path, changes: Changes, day: str = "2027-02-10", *, prefix: str = "") -> Found:
    folder = folder / str(len(list(folder.iterdir())) if folder.exists() else 0)
    listed = findings(folder, changes, dt.date.fromisoformat(day))
    return {f.rule: f.severity for f in listed if f.rule.startswith(prefix)}


@pytest.mark.parametrize(
    ("day", "wanted"),
    [
        ("2027-01-14", {"registration-not-open": NOTE}),
        ("2027-01-15", {}),
        ("2027-02-18", {}),
        ("2027-02-19", {"registration-soon": WARNING}),
        ("2027-02-22", {"registration-soon": WARNING}),
        ("2027-02-23", {"registration-closed": ERROR}),
    ],
)
def test_registration_is_open_from_its_first_day_to_its_last(day: str, wanted: Found, tmp_path: Path) -> None:
    assert found(tmp_path, {"entry/number": None}, day, prefix="registration") == wanted
    assert found(tmp_path, {}, day, prefix="registration") == {}, "an entry that has its number is registered"


@pytest.mark.parametrize(
    ("way", "day", "wanted"),
    [
        ("carrier", "2027-02-25", {}),
        ("carrier", "2027-02-26", {"delivery-tight": WARNING}),
        ("carrier", "2027-03-01", {"delivery-tight": WARNING}),
        ("carrier", "2027-03-02", {"delivery-tight": ERROR}),
        ("carrier", "2027-03-06", {"delivery-tight": ERROR}),
        ("carrier", "2027-03-07", {"delivery-closed": ERROR}),
        ("hand", "2027-03-02", {}),
        ("hand", "2027-03-03", {"delivery-tight": WARNING}),
        ("hand", "2027-03-06", {"delivery-tight": WARNING}),
        ("hand", "2027-03-07", {"delivery-closed": ERROR}),
        (None, "2027-03-06", {"delivery-tight": WARNING}),
    ],
)
def test_bottles_may_come_up_to_the_last_day(way: str | None, day: str, wanted: Found, tmp_path: Path) -> None:
    assert found(tmp_path, {"entry/way": way}, day, prefix="delivery") == wanted


def test_each_way_of_a_competition_is_warned_of_once_at_its_first_entry(tmp_path: Path) -> None:
    changes = {**two(way="carrier"), "entry/way": "carrier"}
    late = [f for f in findings(tmp_path, changes, dt.date(2027, 2, 27)) if f.rule == "delivery-tight"]
    assert [f.path for f in late] == ["entries[1].way"]


def test_age_counts_to_the_judging_and_else_to_the_last_day_of_delivery(tmp_path: Path) -> None:
    """Quill Amber is at its best for 6 months: from 8 September to 6 March it is 5.9 months, to 13 March 6.1."""
    old = {"beer/dates/packaged": "2026-09-08", "beer/gravity_log": [], "beer/dates/brewed": "2026-08-01"}
    assert "past-best" in found(tmp_path, old) or "hoppy-old" in found(tmp_path, old)
    without = {**old, "cup/dates": {"delivery": {"closes": "2027-03-06"}}}
    assert not {"past-best", "hoppy-old"} & found(tmp_path, without).keys()
    neither: Changes = {**old, "cup/dates": {}}
    assert not {"past-best", "hoppy-old"} & found(tmp_path, neither).keys()


@pytest.mark.parametrize(("day", "old"), [("2026-12-14", False), ("2026-12-01", True)])
def test_a_hoppy_beer_of_no_style_is_at_its_best_for_three_months(day: str, old: bool, tmp_path: Path) -> None:
    """Hop aroma is lost in some three months: common practice. The judging is on 13 March."""
    hoppy: Changes = {
        "beer/style": None,
        "beer/traits/hops": "high",
        "beer/dates": {"packaged": day},
        "beer/gravity_log": [],
    }
    assert ("hoppy-old" in found(tmp_path, hoppy)) is old


@pytest.mark.parametrize(
    ("dates", "path", "words", "severity"),
    [
        (
            {"delivery": {"opens": "2027-03-14", "closes": "2027-03-20"}, "judging": "2027-03-13"},
            "dates.delivery.opens",
            "the first day of delivery",
            ERROR,
        ),
        (
            {"delivery": {"opens": "2027-03-13", "closes": "2027-03-20"}, "judging": "2027-03-13"},
            "dates.delivery.closes",
            "the end of delivery",
            WARNING,
        ),
        (
            {"registration": {"closes": "2027-03-14"}, "judging": "2027-03-13"},
            "dates.registration.closes",
            "the end of registration",
            WARNING,
        ),
        (
            {"registration": {"closes": "2027-03-07"}, "delivery": {"closes": "2027-03-06"}},
            "dates.registration.closes",
            "the end of delivery",
            WARNING,
        ),
        ({"delivery": {"closes": "2027-03-13"}, "judging": "2027-03-13"}, "", "", None),
    ],
)
def test_a_competition_is_not_judged_before_its_bottles_are_there(
    dates: Changes, path: str, words: str, severity: Severity | None, tmp_path: Path
) -> None:
    listed = [f for f in findings(tmp_path / "a", {"cup/dates": dates}) if f.rule == "dates-disagree"]
    assert [(f.path, f.severity) for f in listed] == ([(path, severity)] if severity else [])
    assert all(words in f.what for f in listed)


def test_a_strength_without_any_error_is_held_to_the_limits_of_its_category(tmp_path: Path) -> None:
    """Hulls give no extract, however much of them there is."""
    hulls = [{"what": "rice hulls", "mass": 4, "potential": 1.0, "colour": "0 °L"}]
    yeast = [{"what": "an ale yeast", "attenuation": 75}]
    water = {"volume": 20, "efficiency": 72, "fermentables": hulls, "yeast": yeast}
    changes: Changes = {"beer/recipe": water, "beer/measured": {"co2": 2.5}, "cup/categories/0/abv": [4.0, 6.0]}
    assert found(tmp_path, changes)["category-strength"] is ERROR
    assert "category-strength" not in found(tmp_path, {**changes, "cup/categories/0/abv": [0.0, 6.0]})


def test_every_listed_style_is_looked_up(tmp_path: Path) -> None:
    changes: Changes = {"cup/categories/0": {"code": "A", "name": "Ambers"}, "cup/categories/1/styles": ["umbra nova"]}
    listed = [f.path for f in findings(tmp_path, changes) if f.rule == "competition-style-unknown"]
    assert listed == ["categories[2].styles[1]"]


@pytest.mark.parametrize(("item", "omitted"), [("description", False), ("strength", True)])
def test_what_a_text_for_the_judges_must_mention(item: str, omitted: bool, tmp_path: Path) -> None:
    """A description is that text itself; a strength the style wants declared is not said by any text."""
    own: Changes = {"beer/declaration": "A tart beer", "beer/declare": {item: "session"}}
    assert ("declaration-omits" in found(tmp_path, {**own, "cup/categories/0/declare": [item]})) is omitted


@pytest.mark.parametrize(("abv", "stopped"), [(0.4, False), (0.5, True), (1.0, True)])
def test_the_us_mail_takes_nothing_from_half_a_per_cent(abv: float, stopped: bool, tmp_path: Path) -> None:
    """USPS Publication 52, section 422: beverages of 0.5 % alcohol by volume and more are nonmailable."""
    mailed: Changes = {"entry/way": "post", "cup/country": "US", "beer/measured": {"abv": abv, "co2": 2.5}}
    assert ("way-post-us" in found(tmp_path, mailed)) is stopped


@pytest.mark.parametrize(
    ("changes", "path"),
    [
        ({"entry/declaration": "A gluten free lager"}, "entries[1].declaration"),
        ({"beer/declaration": "A gluten free lager"}, "declaration"),
        ({"beer/declare": {"description": "gluten free"}}, "declare.description"),
    ],
)
def test_a_beer_of_barley_that_is_called_gluten_free_is_told_where_it_says_so(
    changes: Changes, path: str, tmp_path: Path
) -> None:
    told = [f.path for f in findings(tmp_path / "a", changes) if f.rule == "allergen-contradicts"]
    assert told == [path]


def test_every_line_of_the_starter_that_stands_is_told_where_it_stands(tmp_path: Path) -> None:
    word = "Your Name"
    changes: Changes = {"cup/name": word, "cup/place": word, "brewer/name": word, "brewer/address": [word, "x", word]}
    told = [
        (f.file, f.path, f.severity) for f in findings(tmp_path / "a", changes) if f.rule == "starter-not-filled-in"
    ]
    assert sorted(told) == [
        ("brewer.yaml", "address[1]", WARNING),
        ("brewer.yaml", "address[3]", WARNING),
        ("brewer.yaml", "name", ERROR),
        ("competitions/cup.yaml", "name", WARNING),
        ("competitions/cup.yaml", "place", WARNING),
    ]


def test_who_is_named_in_a_text_is_told(tmp_path: Path) -> None:
    named: Changes = {"beer/declaration": "Brewed by Solveig Ashwater of Thistledown Brewing"}
    said = [f.what for f in findings(tmp_path / "a", named) if f.rule == "declaration-names-someone"]
    assert [what.partition(" holds ")[2] for what in said][:1] == ["Solveig Ashwater, the brewer's name"]


def test_conditioning_runs_from_the_day_it_began_and_else_from_packaging(tmp_path: Path) -> None:
    early = {**BOTTLED, "started": "2027-01-20", "weeks_needed": 4}
    rule = "conditioning-unfinished"
    assert rule not in found(tmp_path, {"beer/carbonation": early, "beer/dates/packaged": "2027-02-20"})
    late = {**BOTTLED, "started": "2027-02-20", "weeks_needed": 4}
    assert found(tmp_path, {"beer/carbonation": late})[rule] is ERROR
    bare = {"method": "bottle-conditioned", "weeks_needed": 7}
    assert found(tmp_path, {"beer/carbonation": bare})[rule] is WARNING
    # seven weeks from 20 January are over on 10 March: after the last delivery, before the judging
    on_the_day = {**BOTTLED, "started": "2027-01-16", "weeks_needed": 7}
    assert rule not in found(tmp_path, {"beer/carbonation": on_the_day}), "ready on the last day of delivery is ready"
    judged = {**BOTTLED, "started": "2027-01-23", "weeks_needed": 7}
    assert found(tmp_path, {"beer/carbonation": judged})[rule] is WARNING, "ready on the day of the judging"
    assert rule not in found(tmp_path, {"beer/carbonation": {**late, "method": "forced"}})


def test_a_categorys_own_limit_outranks_the_competitions(tmp_path: Path) -> None:
    both = {**two(), "entries.yaml/entries/+": {**SECOND, "batch": "other", "category": "A"}}
    rule = "category-over-limit"
    assert rule in found(tmp_path, {**both, "cup/limits": {"per_category": 1}})
    generous = {**both, "cup/limits": {"per_category": 1}, "cup/categories/0/limit_per_brewer": 2}
    assert rule not in found(tmp_path, generous)
    strict = {**both, "cup/limits": {"per_category": 5}, "cup/categories/0/limit_per_brewer": 1}
    assert rule in found(tmp_path, strict)


@pytest.mark.parametrize(("count", "over"), [(1, True), (2, False), (3, False)])
def test_as_many_entries_as_are_allowed_are_allowed(count: int, over: bool, tmp_path: Path) -> None:
    rule = "entries-over-limit"
    assert (rule in found(tmp_path, {**two(), "cup/limits": {"per_brewer": count}})) == over


@pytest.mark.parametrize(
    ("limits", "wanted"),
    [
        ([5.0, 9.0], None),
        ([5.1, 9.0], WARNING),
        ([6.0, 9.0], ERROR),
        ([2.0, 5.0], None),
        ([2.0, 4.9], WARNING),
        ([2.0, 4.0], ERROR),
    ],
)
def test_too_weak_and_too_strong_are_weighed_alike(
    limits: list[float], wanted: Severity | None, tmp_path: Path
) -> None:
    measured = {"og": 1.050, "fg": 1.012, "abv": {"value": 5.0, "error": 0.2}}
    changes = {"cup/categories/0/abv": limits, "beer/measured": measured}
    assert found(tmp_path, changes).get("category-strength") is wanted


def log(*readings: tuple[str, float]) -> Changes:
    """Readings of a beer bottled on 20 January."""
    return {"beer/gravity_log": [{"date": day, "gravity": gravity} for day, gravity in readings]}


@pytest.mark.parametrize(
    ("readings", "wanted"),
    [
        ([("2027-01-18", 1.012), ("2027-01-20", 1.012)], None),  # read again on the day it was bottled
        ([("2027-01-18", 1.012), ("2027-01-19", 1.012)], WARNING),  # a day apart
        ([("2027-01-20", 1.012), ("2027-01-21", 1.012)], WARNING),  # the second one came too late
        ([("2027-01-20", 1.012), ("2027-01-18", 1.012)], None),  # written in any order
        ([("2027-01-10", 1.020), ("2027-01-18", 1.012), ("2027-01-20", 1.012)], None),
        ([("2027-01-10", 1.012), ("2027-01-18", 1.015), ("2027-01-20", 1.012)], ERROR),
        ([("2027-01-17", 1.013), ("2027-01-20", 1.012)], None),  # one point is the play of a hydrometer
        ([("2027-01-17", 1.014), ("2027-01-20", 1.012)], ERROR),
        ([("2027-01-10", 1.020), ("2027-01-18", 1.014), ("2027-01-20", 1.012)], ERROR),
        ([("2027-01-17", 1.012), ("2027-01-20", 1.014)], ERROR),
        (
            [("2027-01-17", 1.014), ("2027-01-20", 1.014)],
            None,
        ),  # two points above the final gravity, hydrometers differ
        ([("2027-01-17", 1.015), ("2027-01-20", 1.015)], WARNING),
    ],
)
def test_gravity_is_steady_when_two_readings_two_days_apart_agree_before_bottling(
    readings: list[tuple[str, float]], wanted: Severity | None, tmp_path: Path
) -> None:
    """Two equal readings two days apart; a point is the play of a hydrometer: common practice."""
    assert found(tmp_path, log(*readings)).get("fg-not-stable") is wanted


def test_each_way_a_batch_is_declared_is_checked_for_itself(tmp_path: Path) -> None:
    """Entered twice with two bases: one holds, the other cannot be a base at all."""
    entry: dict[str, Any] = {"batch": "beer", "competition": "cup", "number": "18", "way": "hand", "category": "B"}
    changes = {
        **FRUIT,
        "beer/base": None,
        "entry/base": "Quill Amber",
        "entries.yaml/entries/+": {**entry, "base": "fruit beer"},
        "cup/limits": {"same_batch_twice": True, "per_category": 5},
    }
    told = [f for f in findings(tmp_path / "x", changes) if f.rule == "base-refused"]
    assert [f.path for f in told] == ["entries[2].base"]
    swapped = {**changes, "entry/base": "fruit beer", "entries.yaml/entries/+": {**entry, "base": "Quill Amber"}}
    told = [f for f in findings(tmp_path / "y", swapped) if f.rule == "base-refused"]
    assert [f.path for f in told] == ["entries[1].base"]


def test_an_entrys_beer_has_the_entrys_base(tmp_path: Path) -> None:
    entry: dict[str, Any] = {"batch": "beer", "competition": "cup", "number": "18", "way": "hand", "category": "B"}
    changes = {**FRUIT, "entry/base": "Quill Amber", "entries.yaml/entries/+": {**entry, "base": "Quill Hops"}}
    made = built(tmp_path, changes)
    bases = []
    for entered in made.entered:
        beer = made.beer("beer", entered)
        assert beer is not None
        assert beer.style is not None
        result = beer.fit(beer.style)
        bases.append(result.base.name if result.base else None)
    assert bases == ["Quill Amber", "Quill Hops"]


# --- the text for judges, and the pressure on the way ----------------------------------------------------------------


def spiced(*additions: tuple[str, str]) -> Batch:
    items = [{"what": what, "kind": "spice", "perceived": perceived} for what, perceived in additions]
    return Batch.model_validate({"name": "Whimbrel", "additions": items})


def test_what_is_tasted_least_is_left_out_first() -> None:
    batch = spiced(("coriander", "clear"), ("star anise", "dominant"), ("bay leaves", "clear"))
    whole = compose(batch, "porter", (), 200)
    assert whole.text == "porter base; star anise, leading; coriander; bay leaves"
    assert whole.left_out == ()
    assert compose(batch, "porter", (), 46).text == "porter base; star anise; coriander; bay leaves"
    assert compose(batch, "porter", (), 45).text == "porter: star anise; coriander; bay leaves"
    shorter = compose(batch, "porter", (), 40)
    assert (shorter.text, shorter.left_out) == ("porter: star anise; coriander", ("bay leaves",))
    shortest = compose(batch, "porter", (), 20)
    assert (shortest.text, shortest.left_out) == ("porter: star anise", ("bay leaves", "coriander"))


def test_pressure_is_told_for_the_weakest_bottle_in_bar() -> None:
    """2.5 volumes at 20 °C are about 1.9 bar (carbonation charts, from memory); warm beer presses more."""
    bottles = [{"count": 1, "type": "heavy-330"}, {"count": 2, "type": "longneck"}]  # one of each is packed at least
    listed = shipping_list(season({}, {}, {"measured": {"co2": 2.5}, "bottles": bottles}), "cup", "carrier")
    (gas,) = listed.pressures
    assert (gas.beer, gas.volumes) == ("Grå Łuna", 2.5)
    assert 1.7 < gas.cool_bar < 2.1
    assert gas.cool_bar + 1 < gas.hot_bar < 4.5
    assert gas.bottle == "12 oz / 355 ml longneck"
    assert gas.danger == ""
    lively = shipping_list(season({}, {}, {"measured": {"co2": 3.3}, "bottles": bottles}), "cup", "carrier")
    assert lively.pressures[0].danger == "TOO LIVELY"
    alone = shipping_list(season({}, {}, {"measured": {"co2": 2.5}}), "cup", "carrier")
    assert alone.pressures == ()


# --- where a vital is written, and how much a miss is worth ----------------------------------------------------------


def told(folder: Path, changes: Changes, rule: str) -> list[tuple[str, str]]:
    return [(f.path, f.what) for f in findings(folder, changes) if f.rule == rule]


def test_a_miss_points_to_the_number_it_is_about_wherever_it_is_written(tmp_path: Path) -> None:
    rule = "style-out-of-range"
    bitter = told(tmp_path / "a", {"beer/predicted/ibu": 60}, rule)
    assert [path for path, _ in bitter] == ["predicted.ibu"]
    read = {"beer/predicted": {"og": 1.070, "fg": 1.012, "ibu": 24, "srm": 11}, "beer/measured": {"co2": 2.5}}
    strong = told(tmp_path / "b", read, rule)
    assert [path for path, _ in strong] == ["predicted.og", "predicted.og"], "strength stands where the gravity does"
    by_strength = {"beer/measured": {"abv": {"value": 8.0, "by": "lab"}, "fg": 1.012, "co2": 2.5}}
    derived = told(tmp_path / "c", by_strength, rule)
    assert {path for path, what in derived if what.startswith("original gravity")} == {"measured.fg"}
    priming = {"sugar": "table sugar", "mass": 190, "beer": 19, "temperature": 20}
    gas = {
        "beer/measured": {"og": 1.050, "fg": 1.012},
        "beer/carbonation": {**BOTTLED, "priming": priming},
    }
    lively = told(tmp_path / "d", gas, "over-carbonated")
    assert [path for path, _ in lively] == ["carbonation.priming.mass"]


def test_a_gravity_between_two_thousandths_is_told_as_it_was_read(tmp_path: Path) -> None:
    """Quill Amber ends at 1.009 to 1.014."""
    ((_, what), *_) = [
        pair for pair in told(tmp_path, {"beer/measured/fg": 1.0178}, "style-out-of-range") if "final" in pair[1]
    ]
    assert "final gravity 1.0178 is 0.00" in what
    high = what.partition(" to ")[2][:5]
    assert f"{1.0178 - float(high):.4f} over" in what


def test_a_miss_is_severe_only_where_it_is_far_by_errors_and_by_membership(tmp_path: Path) -> None:
    def severe(og: float) -> tuple[Severity, bool, bool]:
        listed = [f for f in findings(tmp_path / f"{og}", {"beer/measured/og": og}) if f.path == "measured.og"]
        first = next(f for f in listed if f.what.startswith("original"))
        return first.severity, "this one lies far outside" in first.why, "may be forgiven" in first.why

    assert severe(1.063) == (ERROR, True, False)
    assert severe(1.0565) == (WARNING, False, True)


@pytest.mark.parametrize(("apart", "wanted"), [(0.002, False), (0.0021, True)])
def test_two_sources_disagree_beyond_the_sum_of_their_errors(apart: float, wanted: bool, tmp_path: Path) -> None:
    """A point of error on either side: two points apart are within reach, a tenth of a point more is not."""
    changes = {
        "beer/measured/og": {"value": 1.050, "error": 0.001},
        "beer/predicted/og": {"value": 1.050 + apart, "error": 0.001},
    }
    assert ("vitals-disagree" in found(tmp_path, changes)) == wanted


@pytest.mark.parametrize(
    ("vital", "more", "words"),
    [
        ("og", 0.010, "was the volume short, or the yield of the mash better than planned?"),
        ("og", -0.010, "was the volume large, or the yield of the mash poorer than planned?"),
        ("fg", 0.010, "has it finished, and was the hydrometer at its temperature?"),
        ("fg", -0.010, "was the mash cooler or the yeast hungrier than planned?"),
    ],
)
def test_what_to_ask_depends_on_which_source_is_higher(vital: str, more: float, words: str, tmp_path: Path) -> None:
    base = {"og": 1.050, "fg": 1.020}[vital]
    measured = {"og": 1.050, "fg": 1.020, vital: {"value": round(base + more, 3), "error": 0.001}}
    changes = {"beer/measured": measured, f"beer/predicted/{vital}": {"value": base, "error": 0.001}}
    listed = [f.fix for f in findings(tmp_path, changes) if f.rule == "vitals-disagree"]
    assert [fix.startswith(words) for fix in listed] == [True]


def test_a_predicted_vital_and_the_recipe_are_compared_where_nothing_was_measured(tmp_path: Path) -> None:
    recipe = {
        "volume": 19,
        "efficiency": 72,
        "fermentables": [{"what": "pilsner malt", "mass": 3, "colour": 10}],
        "yeast": [{"what": "a", "attenuation": 75}],
    }
    changes = {"beer/recipe": recipe, "beer/measured": {"co2": 2.5}, "beer/predicted/og": 1.060}
    ((path, what),) = told(tmp_path, changes, "vitals-disagree")
    assert path == "predicted.og"
    assert what.startswith("original gravity: predicted 1.060")
    assert "the recipe says 1.03" in what


def test_a_style_that_takes_all_that_was_added_is_where_it_belongs(tmp_path: Path) -> None:
    spice = {"what": "coriander", "kind": "spice", "perceived": "clear"}
    fruit = {"what": "cranberries", "kind": "fruit", "perceived": "clear"}
    rule = "style-routed-elsewhere"
    assert rule in found(tmp_path, {**FRUIT, "beer/additions": [fruit, spice]})
    allowed = {**FRUIT, "beer/additions": [fruit, spice], "styles/quill.yaml/styles/2/may_have": ["spice"]}
    assert rule not in found(tmp_path, allowed)
    assert rule not in found(tmp_path, {**FRUIT, "beer/additions": [fruit]})
    # without the fruit it lives by, a fruit style is not where a spiced beer belongs
    spiced = {**FRUIT, "beer/additions": [spice], "styles/quill.yaml/styles/2/may_have": ["spice"]}
    assert rule in found(tmp_path, spiced)


@pytest.mark.parametrize(
    ("allergens", "traits", "wanted"),
    [
        (["barley"], {"grain": "barley"}, None),
        (["barley"], {"grain": "wheat"}, "wheat"),
        (["barley", "wheat"], {"grain": "wheat"}, None),
        (["gluten"], {"grain": "oats"}, None),
        (["barley"], {"grain": "corn-rice"}, None),
    ],
)
def test_the_grain_that_stands_out_is_an_allergen(
    allergens: list[str], traits: dict[str, str], wanted: str | None, tmp_path: Path
) -> None:
    """Wheat is, maize and rice are not: Regulation (EU) 1169/2011, annex II, from memory."""
    listed = told(tmp_path, {"beer/allergens": allergens, "beer/traits/grain": traits["grain"]}, "allergen-not-listed")
    assert [what.partition("the records speak of ")[2].partition(",")[0] for _, what in listed] == (
        [wanted] if wanted else []
    )


def test_counts_are_said_in_words_that_go_with_them(tmp_path: Path) -> None:
    third = {"batches/third.yaml": {"name": "Dunlin", "allergens": ["barley"]}}
    more = {**two(), **third, "cup/limits": {"per_brewer": 1, "per_category": 5}}
    listed = {f.rule: f for f in findings(tmp_path / "a", more)}
    assert listed["entries-over-limit"].fix == "drop 1 entry"
    unnumbered = {**two(number=None), "entry/number": None}
    late = {f.rule: f for f in findings(tmp_path / "b", unnumbered, dt.date(2027, 2, 21))}
    assert late["registration-soon"].what.endswith("in 1 day, and 2 entries have no entry number")


def test_a_competition_nobody_enters_is_checked_without_its_entries(tmp_path: Path) -> None:
    other = {
        "name": "Dune Cup",
        "limits": {"per_brewer": 1},
        "labels": {"identity": "stub"},
        "dates": {"registration": {"closes": "2027-02-01"}, "delivery": {"closes": "2027-02-05"}},
        "categories": [{"code": "A", "name": "Ambers", "styles": ["Quill Amber"]}],
    }
    assert findings(tmp_path, {"competitions/dune.yaml": other}) == []


def test_a_category_whose_styles_are_guessed_is_not_said_to_take_them(tmp_path: Path) -> None:
    guessed = {"beer/style": None, "cup/categories/0": {"code": "A", "name": "Amber from the quill"}}
    (fix,) = [f.fix for f in findings(tmp_path / "a", guessed) if f.rule == "style-missing"]
    assert "the category takes" not in fix
    (fix,) = [f.fix for f in findings(tmp_path / "b", {"beer/style": None}) if f.rule == "style-missing"]
    assert "the category takes Quill Amber" in fix
