"""Every rule: a case that fires and a neighbour beside it that does not. All people, places and beers are invented."""

from __future__ import annotations

import copy
import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest

from entryprep.entering.check import check
from entryprep.entering.rules import FOR_BEERS, FOR_COMPETITIONS, FOR_ENTRIES, rule_ids
from entryprep.entering.season import Season, read_season
from entryprep.findings import Finding, Severity
from entryprep.tables.rules import NOT_LEGAL_ADVICE, rules
from tests.entering.caution_cases import CAUTION_CASES

TODAY = dt.date(2027, 2, 10)
Changes = dict[str, Any]

# A season with nothing to find. Its styles are its own, so that no change to the shipped table moves a test.
BASE: dict[str, Any] = {
    "brewer.yaml": {
        "name": "Solveig Ashwater",
        "co_brewers": ["Tamsin Okeke"],
        "brewery": "Thistledown Brewing",
        "email": "solveig@example.org",
        "phone": "+47 555 01 234",
        "address": ["14 Saltgrass Lane, Wrenmouth"],
        "club": "Tidepool Mashers",
        "country": "NO",
    },
    "batches/beer.yaml": {
        "name": "Copper Lantern",
        "style": "Quill Amber",
        "dates": {"brewed": "2026-12-01", "packaged": "2027-01-20"},
        "measured": {"og": 1.050, "fg": 1.012, "co2": 2.5},
        "predicted": {"ibu": 24, "srm": 11},
        "traits": {"fermentation": "lager", "malt": "toasty", "yeast": "clean"},
        "additions": [],
        "gravity_log": [{"date": "2027-01-12", "gravity": 1.012}, {"date": "2027-01-18", "gravity": 1.012}],
        "carbonation": {"method": "forced"},
        "bottles": [{"count": 12, "type": "longneck"}],
        "allergens": ["barley"],
    },
    "competitions/cup.yaml": {
        "name": "Marram Cup",
        "country": "NO",
        "dates": {
            "registration": {"opens": "2027-01-15", "closes": "2027-02-22"},
            "delivery": {"opens": "2027-02-22", "closes": "2027-03-06"},
            "judging": "2027-03-13",
        },
        "bottles": {
            "count": 2,
            "size": [300, 500],
            "glass": ["brown", "green"],
            "closures": ["crown"],
            "embossed": False,
            "printed_caps": "blacked-out",
            "diameter": 70,
            "height": 235,
        },
        "limits": {"per_brewer": 3},
        "labels": {"identity": "stub"},
        "delivery": {"ways": ["hand", "carrier", "post"]},
        "categories": [
            {"code": "A", "name": "Ambers", "styles": ["Quill Amber"]},
            {"code": "B", "name": "Everything of ours", "families": ["quill"]},
        ],
    },
    "entries.yaml": {
        "entries": [{"batch": "beer", "competition": "cup", "category": "A", "number": "17", "way": "hand"}]
    },
    "styles/quill.yaml": {
        "family": "quill",
        "name": "Beers of the quill",
        "styles": [
            {
                "id": "quill-amber",
                "name": "Quill Amber",
                "note": "Invented.",
                "og": [1.046, 1.055],
                "fg": [1.010, 1.014],
                "abv": [4.6, 5.8],
                "ibu": [18, 30],
                "srm": [8, 15],
                "co2": [2.4, 2.7],
                "traits": {"fermentation": "lager", "hops": "low", "malt": "toasty", "yeast": "clean"},
                "best_within_months": 6,
            },
            {
                "id": "quill-hops",
                "name": "Quill Hops",
                "note": "Invented.",
                "og": [1.046, 1.055],
                "traits": {"hops": "high"},
                "best_within_months": 6,
            },
            {
                "id": "quill-fruit",
                "name": "Quill Fruit",
                "note": "Invented.",
                "specialty": True,
                "takes": ["fruit"],
                "declare": ["base", "fruit"],
            },
        ],
    },
}
SHORT = {
    "brewer": "brewer.yaml",
    "beer": "batches/beer.yaml",
    "cup": "competitions/cup.yaml",
    "entry": "entries.yaml/entries/0",
}
STOUT = {"beer/measured": {"og": 1.040, "fg": 1.009}, "beer/predicted": {"ibu": 36, "srm": 34}}
FRUIT: Changes = {
    "entry/category": "B",
    "beer/style": "Quill Fruit",
    "beer/base": "Quill Amber",
    "beer/additions": [{"what": "cranberries", "kind": "fruit"}],
}
SECOND = {"batch": "beer", "competition": "cup", "category": "B", "number": "18", "way": "hand"}
OTHER_BATCH = {**BASE["batches/beer.yaml"], "name": "Grey Heron"}
BOTTLED = {"method": "bottle-conditioned", "started": "2027-01-20", "weeks_needed": 3}


def bottle(**more: Any) -> Changes:
    return {"beer/bottles": [{"count": 12, "type": "longneck", **more}]}


def two(**more: Any) -> Changes:
    """A second batch, entered too."""
    return {"batches/other.yaml": OTHER_BATCH, "entries.yaml/entries/+": {**SECOND, "batch": "other", **more}}


def recipe(malt_kg: float) -> Changes:
    malt = {"what": "pilsner malt", "mass": malt_kg, "colour": 10}
    return {"volume": 19, "efficiency": 72, "fermentables": [malt]}


def added(**more: Any) -> Changes:
    """The fruit beer with one addition of these figures in 19 L."""
    return {**FRUIT, "beer/volume": 19, "beer/additions": [{"what": "cranberries", "kind": "fruit", **more}]}


def alone(**more: Any) -> Changes:
    """A fruit beer that is entered nowhere, with one addition of these figures in 19 L."""
    beer = {"name": "X", "style": "Quill Fruit", "base": "Quill Amber", "volume": 19}
    return {"batches/x.yaml": {**beer, "additions": [{"what": "cranberries", "kind": "fruit", **more}]}}


def text(words: str) -> Changes:
    return {"beer/declaration": words}


def changed(changes: Changes) -> dict[str, Any]:
    files = copy.deepcopy(BASE)
    for short, value in changes.items():
        if short == "today":
            continue
        first, _, rest = short.partition("/")
        path = f"{SHORT[first]}/{rest}" if first in SHORT else short
        name = next((n for n in files if path == n or path.startswith(f"{n}/")), path)
        steps = path[len(name) + 1 :].split("/") if len(path) > len(name) else []
        put(files, [name, *steps], value)
    return {name: data for name, data in files.items() if data is not None}


def put(data: Any, steps: list[str], value: Any) -> None:
    for step in steps[:-1]:
        data = data[int(step)] if isinstance(data, list) else data.setdefault(step, {})
    if isinstance(data, list) and steps[-1] == "+":
        data.append(value)
    elif isinstance(data, list):
        data[int(steps[-1])] = value
    elif value is None and len(steps) > 1:
        data.pop(steps[-1], None)
    else:
        data[steps[-1]] = copy.deepcopy(value)


def season(folder: Path, changes: Changes) -> Season:
    for name, data in changed(changes).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(json.dumps(data, indent=1, ensure_ascii=False), encoding="utf-8")
    read, problems = read_season(folder)
    assert problems == []
    return read


def findings(folder: Path, changes: Changes, today: dt.date = TODAY) -> list[Finding]:
    return check(season(folder, changes), changes.get("today", today))


# rule, severity, changes that make it fire, changes beside them that do not
ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
WHEAT = {"fermentables": [{"what": "pale malt", "mass": 4}, {"what": "wheat malt", "mass": 2}]}
CASES: list[tuple[str, Severity, Changes, Changes]] = [
    ("style-missing", ERROR, {"beer/style": None, "entry/category": "B"}, {"entry/style": "quill amber"}),
    ("style-missing", WARNING, {"beer/style": None}, {}),
    ("style-unknown", ERROR, {"beer/style": "Quill Umbra"}, {"beer/style": "QUILL ÁMBER"}),
    ("style-unknown", WARNING, {"batches/x.yaml": {"name": "X", "style": "Qill"}}, {"batches/x.yaml": {"name": "X"}}),
    ("style-not-beer", ERROR, {"beer/style": "hard seltzer"}, {"beer/style": "quill amber"}),
    ("style-not-beer", WARNING, {"batches/x.yaml": {"name": "X", "style": "cider"}}, {"batches/x.yaml": {"name": "X"}}),
    ("style-read", NOTE, {"beer/style": "Qill Amber"}, {"beer/style": "quill amber"}),
    ("base-read", NOTE, {**FRUIT, "beer/base": "Qill Amber"}, FRUIT),
    ("style-ambiguous", ERROR, {"beer/style": "dark lager"}, {"beer/style": "schwarzbier"}),
    ("style-ambiguous", ERROR, {"entry/style": "dark lager"}, {}),
    (
        "style-ambiguous",
        WARNING,
        {"batches/x.yaml": {"name": "X", "style": "dark lager"}},
        {"beer/style": "dark lager"},
    ),
    (
        "vitals-contradict",
        ERROR,
        {"beer/measured": {"og": 1.040}, "beer/predicted": {"fg": 1.050}},
        {"beer/measured": {"og": 1.050}, "beer/predicted": {"fg": 1.012}},
    ),
    ("vitals-disagree", WARNING, {"beer/predicted/og": 1.041}, {"beer/predicted/og": 1.047}),
    ("vitals-disagree", WARNING, {"beer/measured/abv": 6.2}, {"beer/measured/abv": 5.2}),
    ("vitals-disagree", WARNING, {"beer/measured/ibu": 12}, {"beer/measured/ibu": 20}),
    ("vitals-disagree", WARNING, {"beer/recipe": recipe(3.0)}, {"beer/recipe": recipe(4.2)}),
    ("recipe-impossible", WARNING, {"beer/recipe": recipe(42.0)}, {"beer/recipe": recipe(4.2)}),
    ("style-out-of-range", ERROR, {"beer/measured/og": 1.063}, {"beer/measured/og": 1.055}),
    ("style-out-of-range", WARNING, {"beer/measured/og": 1.0562}, {"beer/measured/og": 1.0556}),
    ("style-out-of-range", WARNING, {"beer/measured/co2": 3.0}, {"beer/measured/co2": 2.7}),
    ("style-near-edge", NOTE, {"beer/measured/og": 1.0556}, {"beer/measured/og": 1.055}),
    ("style-better-elsewhere", WARNING, STOUT, {**STOUT, "beer/style": "Irish stout", "entry/category": "B"}),
    ("base-unknown", WARNING, {**FRUIT, "beer/base": "Quill Umbra"}, FRUIT),
    ("base-unknown", NOTE, {**FRUIT, "beer/base": "oktoberfest"}, {**FRUIT, "beer/base": "beers of the quill"}),
    ("base-out-of-range", WARNING, {**FRUIT, "beer/measured/og": 1.070}, {**FRUIT, "beer/measured/og": 1.0555}),
    ("addition-faint", WARNING, added(mass=0.2), added(mass=2)),
    ("addition-faint", NOTE, alone(mass=0.2), alone(mass=2)),
    ("style-lacks-addition", NOTE, {**alone(), "batches/x.yaml/additions": []}, alone(mass=2)),
    ("base-refused", WARNING, {**alone(mass=2), "batches/x.yaml/base": "Fruit Beer"}, alone(mass=2)),
    (
        "style-routed-elsewhere",
        NOTE,
        {**FRUIT, "beer/additions": [*FRUIT["beer/additions"], {"what": "cinnamon", "kind": "spice"}]},
        FRUIT,
    ),
    (
        "style-routed-elsewhere",
        NOTE,
        {
            **FRUIT,
            "cup/routing": [{"all": ["fruit"], "to": "experimental-beer", "why": "theirs"}],
            "styles/quill.yaml/styles/2/takes_any": ["sugar"],
        },
        {
            **FRUIT,
            "cup/routing": [{"all": ["fruit"], "to": "quill-fruit", "why": "theirs"}],
            "styles/quill.yaml/styles/2/takes_any": ["sugar"],
        },
    ),
    ("addition-dominant", NOTE, added(mass=8, perceived="dominant"), added(mass=2)),
    ("addition-impossible", ERROR, {"beer/concentrated": {"before": 100, "after": 2}}, {}),
    ("addition-unclear", NOTE, added(), added(mass=2)),
    ("style-lacks-addition", WARNING, {**FRUIT, "beer/additions": []}, added(mass=2)),
    (
        "style-routed-elsewhere",
        WARNING,
        {"beer/volume": 19, "beer/additions": [{"what": "oak cubes", "kind": "wood", "mass": 0.05, "days": 30}]},
        {"beer/volume": 19, "beer/additions": [{"what": "oak cubes", "kind": "wood", "mass": 0.002, "days": 30}]},
    ),
    ("base-refused", ERROR, {**FRUIT, "beer/base": "Fruit Beer"}, FRUIT),
    ("base-refused", ERROR, {**FRUIT, "beer/base": "Quill Fruit"}, FRUIT),
    (
        "base-refused",
        ERROR,
        {**FRUIT, "beer/base": "Fruit Beer"},
        {**FRUIT, "beer/base": "Fruit Beer", "cup/categories/1/specialty_base": True},
    ),
    (
        "blend-unclear",
        ERROR,
        {"beer/blend": [{"batch": "other", "volume": 5}]},
        {"beer/blend": [{"batch": "other", "volume": 5}], "batches/other.yaml": OTHER_BATCH},
    ),
    ("blend-unclear", ERROR, {"beer/blend": [{"batch": "beer", "volume": 5}]}, {}),
    ("style-not-in-category", ERROR, {"beer/style": "Quill Hops"}, {"beer/style": "Quill Hops", "entry/category": "B"}),
    (
        "style-not-in-category",
        WARNING,
        {"beer/style": "Quill Hops", "cup/categories/0/styles": ["Quill Amber", "Umbra Nova"]},
        {"cup/categories/0/styles": ["Quill Amber", "Umbra Nova"]},
    ),
    (
        "category-match-uncertain",
        NOTE,
        {"cup/categories/0": {"code": "A", "name": "Amber from the quill"}},
        {"cup/categories/0": {"code": "A", "name": "quill ambers"}},
    ),
    (
        "category-match-uncertain",
        WARNING,
        {"cup/categories/0": {"code": "A", "name": "Odds and ends"}},
        {"cup/categories/0": {"code": "A", "name": "Beers of the Quill"}},
    ),
    (
        "competition-style-unknown",
        WARNING,
        {"cup/categories/1/families": ["quill", "umbra nova"]},
        {"cup/categories/1/families": ["quill", "quill amber"]},
    ),
    ("competition-style-unknown", NOTE, {"cup/categories/0/styles/+": "oktoberfest"}, {}),
    ("declaration-missing", ERROR, {**FRUIT, "beer/base": None}, FRUIT),
    (
        "declaration-missing",
        ERROR,
        {"cup/categories/0/declare": ["strength"]},
        {"beer/declare": {"strength": "session"}},
    ),
    ("declaration-omits", WARNING, {**FRUIT, **text("Tart and dry.")}, {**FRUIT, **text("Cranberry, tart and dry.")}),
    ("declaration-too-long", ERROR, text("x" * 101), text("x" * 100)),
    (
        "declaration-shortened",
        NOTE,
        {
            **FRUIT,
            "beer/volume": 19,
            "cup/declaration_length": 40,
            "beer/additions": [
                {"what": "cranberries", "kind": "fruit", "mass": 2},
                {"what": "cinnamon sticks from Ceylon", "kind": "spice", "mass": 0.005},
            ],
        },
        {**FRUIT, "beer/volume": 19, "cup/declaration_length": 40},
    ),
    ("declaration-names-someone", ERROR, text("Brewed in WRENMOUTH."), text("Brewed for the table.")),
    ("declaration-names-someone", ERROR, text("From Thistledown."), text("From thistles.")),
    ("declaration-names-someone", ERROR, text("copper lántern, dry"), text("copper in colour, dry")),
    ("declaration-names-someone", ERROR, text("Write to someone@example.org"), text("Write at home")),
    ("declaration-names-someone", ERROR, text("Call 4755501234"), text("Call 475550")),
    ("declaration-names-someone", WARNING, text("By Ashwater"), text("By ash and water")),
    ("bottles-too-few", ERROR, bottle(count=1), bottle(count=2)),
    ("bottles-too-few", ERROR, {**bottle(count=3), "entries.yaml/entries/+": SECOND}, bottle(count=3)),
    ("bottle-size", ERROR, bottle(size="207 ml"), bottle(size="330 ml")),
    ("bottle-glass", ERROR, bottle(glass="clear"), bottle(glass="green")),
    ("bottle-closure", ERROR, bottle(closure="swing-top"), bottle(closure="crown")),
    ("bottle-embossed", ERROR, bottle(embossed=True), {**bottle(embossed=True), "cup/bottles/embossed": True}),
    ("bottle-printed", ERROR, bottle(printed=True), {**bottle(printed=True), "cup/bottles/printed": True}),
    (
        "bottle-printed",
        ERROR,
        bottle(printed=True),
        {"beer/bottles": [{"count": 9, "printed": True}, {"count": 2, "type": "longneck"}]},
    ),
    ("bottle-too-wide", ERROR, bottle(diameter="74 mm"), bottle(diameter="70 mm")),
    ("bottle-too-tall", ERROR, bottle(height="260 mm"), bottle(height="235 mm")),
    ("bottle-caps", ERROR, {**bottle(caps="printed"), "cup/bottles/printed_caps": "refused"}, bottle(caps="plain")),
    ("bottle-caps", WARNING, bottle(caps="printed"), bottle(caps="blacked-out")),
    ("entries-over-limit", ERROR, {"cup/limits/per_brewer": 1, **two()}, {"cup/limits/per_brewer": 2, **two()}),
    ("category-over-limit", ERROR, {"cup/limits/per_category": 1, **two(category="A")}, two(category="B")),
    ("category-over-limit", WARNING, two(category="A"), {"cup/categories/0/limit_per_brewer": 2, **two(category="A")}),
    ("batch-twice", ERROR, {"entries.yaml/entries/+": SECOND}, two()),
    (
        "batch-twice",
        ERROR,
        {"entries.yaml/entries/+": SECOND},
        {"entries.yaml/entries/+": SECOND, "cup/limits/same_batch_twice": True},
    ),
    ("category-strength", ERROR, {"cup/categories/0/abv": [6.0, 9.0]}, {"cup/categories/0/abv": [4.0, 6.0]}),
    ("category-strength", WARNING, {"cup/categories/0/abv": [5.1, 9.0]}, {"cup/categories/0/abv": [4.9, 9.0]}),
    ("number-twice", ERROR, two(number="17"), two(number="18")),
    ("entry-number-missing", NOTE, {"entry/number": None}, {"entry/number": "9"}),
    ("brewer-missing", ERROR, {"brewer.yaml": None}, {"brewer.yaml": None, "cup/labels/identity": "absent"}),
    (
        "registration-closed",
        ERROR,
        {"entry/number": None, "today": dt.date(2027, 2, 23)},
        {"entry/number": "9", "today": dt.date(2027, 2, 23)},
    ),
    (
        "registration-not-open",
        NOTE,
        {"entry/number": None, "today": dt.date(2027, 1, 14)},
        {"entry/number": None, "today": dt.date(2027, 1, 15)},
    ),
    (
        "registration-soon",
        WARNING,
        {"entry/number": None, "today": dt.date(2027, 2, 19)},
        {"entry/number": None, "today": dt.date(2027, 2, 18)},
    ),
    ("delivery-closed", ERROR, {"today": dt.date(2027, 3, 7)}, {"today": dt.date(2027, 3, 6)}),
    (
        "delivery-tight",
        ERROR,
        {"entry/way": "carrier", "today": dt.date(2027, 3, 2)},
        {"entry/way": "carrier", "today": dt.date(2027, 2, 25)},
    ),
    (
        "delivery-tight",
        WARNING,
        {"entry/way": "carrier", "today": dt.date(2027, 3, 1)},
        {"entry/way": "hand", "today": dt.date(2027, 3, 1)},
    ),
    ("delivery-tight", WARNING, {"entry/way": None, "today": dt.date(2027, 3, 3)}, {"today": dt.date(2027, 3, 2)}),
    (
        "conditioning-unfinished",
        ERROR,
        {"beer/carbonation": {**BOTTLED, "weeks_needed": 8}},
        {"beer/carbonation": BOTTLED},
    ),
    (
        "conditioning-unfinished",
        WARNING,
        {"beer/carbonation": {**BOTTLED, "weeks_needed": 7}},
        {"beer/carbonation": {**BOTTLED, "weeks_needed": 6}},
    ),
    (
        "hoppy-old",
        WARNING,
        {"beer/dates/packaged": "2026-09-01", "beer/traits/hops": "high"},
        {"beer/dates/packaged": "2026-10-01", "beer/traits/hops": "high"},
    ),
    (
        "hoppy-old",
        WARNING,
        {"beer/dates/packaged": "2026-09-01", "beer/style": "Quill Hops", "entry/category": "B"},
        {"beer/dates/packaged": "2026-09-01"},
    ),
    ("past-best", NOTE, {"beer/dates/packaged": "2026-09-01"}, {"beer/dates/packaged": "2026-10-01"}),
    ("way-post-us", ERROR, {"entry/way": "post", "cup/country": "US"}, {"entry/way": "carrier", "cup/country": "US"}),
    ("way-post-us", ERROR, {"entry/way": "post", "brewer/country": "US"}, {"entry/way": "post"}),
    ("way-not-accepted", ERROR, {"entry/way": "flight"}, {"entry/way": "flight", "cup/delivery/ways": []}),
    ("over-carbonated", ERROR, {"beer/measured/co2": 3.6}, {**bottle(type="heavy-330"), "beer/measured/co2": 3.6}),
    ("over-carbonated", WARNING, {"beer/measured/co2": 3.2}, {"beer/measured/co2": 3.0}),
    (
        "fg-not-stable",
        ERROR,
        {"beer/gravity_log/0/gravity": 1.014},
        {"beer/gravity_log/0/gravity": 1.013},
    ),
    ("fg-not-stable", WARNING, {"beer/gravity_log/0/date": "2027-01-17"}, {"beer/gravity_log/0/date": "2027-01-16"}),
    (
        "fg-not-stable",
        WARNING,
        {"beer/gravity_log/1/date": "2027-01-22"},
        {"beer/gravity_log/+": {"date": "2027-01-22", "gravity": 1.012}},
    ),
    ("fg-not-stable", WARNING, {"beer/measured/fg": 1.009}, {"beer/measured/fg": 1.010}),
    (
        "fg-not-logged",
        NOTE,
        {"beer/gravity_log": []},
        {"batches/x.yaml": {"name": "X", "allergens": ["barley"], "style": "quill amber"}},
    ),
    ("allergens-not-stated", NOTE, {"beer/allergens": []}, {"beer/allergens": ["barley"]}),
    (
        "allergens-not-stated",
        WARNING,
        {"beer/allergens": [], "beer/additions": [{"what": "milk sugar", "kind": "sugar"}]},
        {"beer/allergens": ["milk"], "beer/additions": [{"what": "milk sugar", "kind": "sugar"}]},
    ),
    ("allergens-not-stated", WARNING, {"beer/allergens": [], "beer/traits/grain": "wheat"}, {}),
    ("allergens-not-stated", WARNING, {"beer/allergens": [], "beer/recipe": WHEAT}, {"beer/recipe": WHEAT}),
    (
        "allergen-not-listed",
        WARNING,
        {"beer/allergens": ["none known"], "beer/additions": [{"what": "toasted hazelnuts", "kind": "spice"}]},
        {"beer/allergens": ["none known"], "beer/additions": [{"what": "nutmeg, coconutless", "kind": "spice"}]},
    ),
    (
        "allergen-not-listed",
        WARNING,
        {"beer/traits/grain": "rye"},
        {"beer/traits/grain": "rye", "beer/allergens": "gluten"},
    ),
    (
        "concentrated-beer",
        NOTE,
        {"beer/concentrated": {"before": "10 L", "after": "8 L"}},
        {"beer/concentrated": {"before": "10 L", "after": "9.95 L"}},
    ),
    (
        "concentrated-unmeasured",
        NOTE,
        {"beer/additions": [{"what": "freeze-concentrated", "kind": "process"}]},
        {"beer/additions": [{"what": "decoction", "kind": "process"}]},
    ),
    (
        "ingredient-caution",
        NOTE,
        {"beer/additions": [{"what": "Chipotle chiles", "kind": "spice"}]},
        {"beer/additions": [{"what": "chillproof finings", "kind": "process"}]},
    ),
    *CAUTION_CASES,
]


def test_the_season_all_cases_start_from_has_nothing_to_find(tmp_path: Path) -> None:
    assert findings(tmp_path, {}) == []


@pytest.mark.parametrize(("rule", "severity", "fires", "quiet"), CASES, ids=[f"{c[0]}-{c[1]}" for c in CASES])
def test_a_rule_fires_and_its_neighbour_does_not(
    rule: str, severity: Severity, fires: Changes, quiet: Changes, tmp_path: Path
) -> None:
    found = [f for f in findings(tmp_path / "fires", fires) if f.rule == rule]
    assert [f.severity for f in found] == [severity] * len(found)
    assert found
    for finding in found:
        assert finding.what
        assert finding.why
        assert finding.fix
        assert finding.about
        assert finding.file
        assert "{" not in finding.what + finding.why, "a field was left unfilled"
    beside = [f for f in findings(tmp_path / "quiet", quiet) if f.rule == rule and f.severity is severity]
    assert beside == []


def test_every_rule_has_a_row_a_function_and_a_case() -> None:
    assert set(rule_ids()) <= set(rules().rows)
    assert sorted({case[0] for case in CASES}) == list(rule_ids())


def test_every_severity_a_rule_may_have_has_a_case() -> None:
    shown = {(rule, severity) for rule, severity, _, _ in CASES}
    for row in map(rules().rows.__getitem__, rule_ids()):
        assert (row.id, row.severity) in shown, row.id
        if row.milder is not None:
            assert (row.id, row.milder) in shown, row.id


def test_no_function_stands_in_the_registry_twice() -> None:
    functions = [rule.find for group in (FOR_BEERS, FOR_ENTRIES, FOR_COMPETITIONS) for rule in group]
    assert len(set(functions)) == len(functions)


def test_what_the_law_says_is_no_legal_advice(tmp_path: Path) -> None:
    changes = {
        "entry/way": "post",
        "cup/country": "US",
        "beer/concentrated": {"before": "10 L", "after": "8 L"},
        "beer/additions": [{"what": "tonka beans", "kind": "spice"}],
    }
    for finding in findings(tmp_path, changes):
        if finding.rule in {"way-post-us", "concentrated-beer", "ingredient-caution"}:
            assert finding.fix.endswith(NOT_LEGAL_ADVICE)
            assert "checked 20" in finding.why
