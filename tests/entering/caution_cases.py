"""What can hurt or cannot be true: a case that fires each rule, and a neighbour beside it. All of it is invented."""

from __future__ import annotations

import datetime as dt
from typing import Any

from entryprep.findings import Severity

Changes = dict[str, Any]
ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE


def holds(*additions: Changes, **more: Any) -> Changes:
    """The beer of 19 L with these additions."""
    return {"beer/volume": 19, "beer/additions": list(additions), **more}


def spiced(what: str, grams: float = 20, **more: Any) -> Changes:
    return holds({"what": what, "kind": "spice", "mass": grams / 1000, "stage": "boil", **more})


def primed(mass: float, celsius: float = 19, **more: Any) -> Changes:
    priming = {"sugar": "corn sugar", "mass": mass, "beer": 18, "temperature": celsius}
    record = {"method": "bottle-conditioned", "started": "2027-01-20", "weeks_needed": 2, "priming": priming, **more}
    return {"beer/carbonation": record, "beer/measured/co2": None}


def culture(what: str, stage: str = "packaging") -> Changes:
    return holds({"what": what, "kind": "culture", "stage": stage})


def blended(first: float, second: float, **more: Any) -> Changes:
    part = {"name": "Part", "style": "Quill Amber", "volume": 19, "measured": {"og": 1.050, "fg": 1.012}}
    parts = {"batches/one.yaml": part, "batches/two.yaml": {**part, "name": "Other part"}}
    mixed = [{"batch": "one", "volume": first}, {"batch": "two", "volume": second}]
    return {**parts, "beer/blend": mixed, "beer/measured": {"co2": 2.5}, **more}


NO_BOTTLES: Changes = {"entries.yaml/entries": [], "beer/bottles": []}
BY_GLASS: Changes = {"og": {"brix": 12.9}, "fg": {"brix": 6.5}, "co2": 2.5}
NO_LOG: Changes = {"beer/gravity_log": []}
ROW = tuple[str, Severity, Changes, Changes]

CAUTION_CASES: list[ROW] = [
    ("priming-beyond-reach", ERROR, {**NO_BOTTLES, **primed(3400)}, {**NO_BOTTLES, **primed(110)}),
    ("over-carbonated", ERROR, primed(3400), primed(95)),
    ("over-carbonated", ERROR, primed(320, 34), primed(90, 34)),
    ("priming-temperature", WARNING, primed(95, 36), primed(95, 30)),
    (
        "over-carbonated",
        ERROR,
        holds({"what": "maple syrup", "kind": "sugar", "mass": 0.5, "stage": "packaging"}),
        holds({"what": "maple syrup", "kind": "sugar", "mass": 0.5, "stage": "fermenter"}),
    ),
    (
        "over-carbonated",
        ERROR,
        {**primed(95), "beer/gravity_log/0/gravity": 1.020, "beer/gravity_log/1/gravity": 1.020},
        {**primed(95), "beer/gravity_log/0/gravity": 1.013, "beer/gravity_log/1/gravity": 1.013},
    ),
    (
        "sugar-unfermented",
        ERROR,
        holds({"what": "apple juice", "kind": "fruit", "stage": "packaging"}),
        holds({"what": "apple juice", "kind": "fruit", "stage": "fermenter"}),
    ),
    (
        "sugar-unfermented",
        WARNING,
        {**holds({"what": "honey", "kind": "sugar", "mass": 0.4, "stage": "conditioning"}), **NO_LOG},
        holds({"what": "honey", "kind": "sugar", "mass": 0.4, "stage": "conditioning"}),
    ),
    (
        "sugar-unfermented",
        WARNING,
        holds({"what": "honey", "kind": "sugar", "mass": 0.4, "stage": "conditioning", "days": 1}),
        holds({"what": "honey", "kind": "sugar", "mass": 0.4, "stage": "conditioning", "days": 9}),
    ),
    (
        "fg-not-measured",
        WARNING,
        {"beer/measured/fg": None, **NO_LOG},
        {"beer/measured/fg": None},
    ),
    (
        "fg-above-expected",
        WARNING,
        {"beer/measured/fg": 1.024, "beer/gravity_log/0/gravity": 1.024, "beer/gravity_log/1/gravity": 1.024},
        {"beer/measured/fg": 1.019, "beer/gravity_log/0/gravity": 1.019, "beer/gravity_log/1/gravity": 1.019},
    ),
    (
        "fg-below-possible",
        ERROR,
        {"beer/measured/fg": 0.984, **NO_LOG},
        {"beer/measured/fg": 0.992, **NO_LOG},
    ),
    ("fg-below-possible", WARNING, {"beer/measured/fg": 0.9885, **NO_LOG}, {"beer/measured/fg": 0.991, **NO_LOG}),
    ("fg-not-stable", WARNING, culture("Brettanomyces", "fermenter"), culture("lager yeast", "fermenter")),
    ("culture-at-packaging", WARNING, culture("Brettanomyces"), culture("champagne yeast")),
    (
        "culture-at-packaging",
        WARNING,
        culture("diastatic saison yeast"),
        culture("diastatic saison yeast", "fermenter"),
    ),
    (
        "enzyme-at-packaging",
        WARNING,
        holds({"what": "glucoamylase", "kind": "process", "stage": "packaging"}),
        holds({"what": "glucoamylase", "kind": "process", "stage": "mash"}),
    ),
    ("poisonous-ingredient", ERROR, spiced("dried henbane"), spiced("dried heather")),
    ("poisonous-ingredient", ERROR, spiced("leaves of rhubarb"), spiced("stalks of rhubarb")),
    (
        "poisonous-ingredient",
        ERROR,
        holds({"what": "pressure-treated oak boards", "kind": "wood", "mass": 0.05}),
        holds({"what": "heat-treated oak boards", "kind": "wood", "mass": 0.05}),
    ),
    ("dose-unsafe", WARNING, spiced("nutmeg", 60), spiced("nutmeg", 2)),
    ("dose-unsafe", WARNING, spiced("tonka beans", 60), spiced("tonka beans", 3)),
    (
        "dose-unsafe",
        WARNING,
        holds({"what": "whole nutmeg", "kind": "spice", "count": 12, "stage": "boil"}),
        holds({"what": "whole nutmeg", "kind": "spice", "count": 1, "stage": "boil"}),
    ),
    ("ingredient-caution", WARNING, spiced("wormwood"), spiced("cardamom")),
    ("ingredient-caution", WARNING, spiced("raw elderberries"), spiced("elderberries", form="boiled, no stems")),
    (
        "strong-beer",
        NOTE,
        {"beer/measured": {"og": 1.110, "fg": 1.022, "co2": 2.5}, **NO_LOG},
        {"beer/measured": {"og": 1.090, "fg": 1.020, "co2": 2.5}, **NO_LOG},
    ),
    ("fermentation-gas", NOTE, primed(95, weeks_needed=4), primed(95)),
    (
        "concentration-impossible",
        ERROR,
        {"beer/concentrated": {"before": "20 L", "after": "5 L"}, "beer/volume": 20},
        {"beer/concentrated": {"before": "20 L", "after": "15 L"}, "beer/volume": 20},
    ),
    (
        "concentration-impossible",
        WARNING,
        {"beer/concentrated": {"before": "20 L", "after": "9 L"}, "beer/volume": 20},
        {"beer/concentrated": {"before": "20 L", "after": "11 L"}, "beer/volume": 20},
    ),
    (
        "concentrated-unmeasured",
        NOTE,
        holds({"what": "freeze concentrated", "kind": "process"}),
        holds({"what": "frozen cranberries", "kind": "fruit", "mass": 1}),
    ),
    (
        "refractometer-beyond-domain",
        WARNING,
        {"beer/measured": {"og": {"brix": 26}, "fg": {"brix": 11.1}}, **NO_LOG},
        {"beer/measured": BY_GLASS, **NO_LOG},
    ),
    (
        "refractometer-beyond-domain",
        ERROR,
        {"beer/measured": {"og": {"brix": 34}, "fg": {"brix": 34}}, **NO_LOG},
        {"beer/measured": {"og": {"brix": 34}, "fg": {"brix": 16}}, **NO_LOG},
    ),
    (
        "vitals-disagree",
        WARNING,
        blended(12, 6, **{"beer/measured": {"og": 1.07, "co2": 2.5}}),
        blended(12, 6, **{"beer/measured": {"og": 1.051, "co2": 2.5}}),
    ),
    (
        "addition-impossible",
        ERROR,
        holds(
            {"what": "smoked malt", "kind": "smoke", "share": 80}, {"what": "buckwheat", "kind": "grain", "share": 60}
        ),
        holds(
            {"what": "smoked malt", "kind": "smoke", "share": 40}, {"what": "buckwheat", "kind": "grain", "share": 60}
        ),
    ),
    (
        "dates-disagree",
        ERROR,
        {"cup/dates/judging": "2027-02-21", "cup/dates/registration/closes": "2027-02-20"},
        {"cup/dates/judging": "2027-02-22", "cup/dates/registration/closes": "2027-02-20"},
    ),
    (
        "allergen-contradicts",
        WARNING,
        {"beer/declaration": "Amber, toasty and gluten-free."},
        {"beer/declaration": "Amber, toasty and not gluten-free."},
    ),
    (
        "sender-missing",
        WARNING,
        {"entry/way": "carrier", "brewer/address": []},
        {"entry/way": "hand", "brewer/address": []},
    ),
    (
        "refractometer-warm",
        WARNING,
        {"beer/measured": {**BY_GLASS, "og": {"brix": 12.9, "temperature": 38}}, **NO_LOG},
        {"beer/measured": {**BY_GLASS, "og": {"brix": 12.9, "temperature": 24}}, **NO_LOG},
    ),
    ("blend-volume", ERROR, blended(25, 6), blended(12, 6)),
    ("blend-volume", WARNING, blended(12, 6, **{"beer/volume": 30}), blended(12, 6, **{"beer/volume": 18})),
    ("bottles-beyond-volume", WARNING, {"beer/volume": 4}, {"beer/volume": 4.2}),
    (
        "allergen-contradicts",
        WARNING,
        {"beer/allergens": ["none known"]},
        {
            "beer/allergens": ["none known"],
            "beer/additions": [{"what": "malted millet", "kind": "grain", "share": 100}],
        },
    ),
    (
        "dates-disagree",
        ERROR,
        {"beer/dates/brewed": "2027-01-21", **NO_LOG},
        {"beer/dates/brewed": "2027-01-20", **NO_LOG},
    ),
    ("dates-disagree", WARNING, {"beer/gravity_log/0/date": "2026-11-30"}, {"beer/gravity_log/0/date": "2026-12-01"}),
    ("dates-disagree", WARNING, {"cup/dates/registration/closes": "2027-03-14"}, {"cup/dates/judging": "2027-03-06"}),
    (
        "date-in-future",
        ERROR,
        {"beer/dates": {"brewed": "2027-02-11"}, **NO_LOG},
        {"beer/dates": {"brewed": "2027-02-10"}, **NO_LOG},
    ),
    ("date-in-future", WARNING, {"beer/gravity_log/1/date": "2027-02-11"}, {"beer/gravity_log/1/date": "2027-02-10"}),
    ("date-unlikely", WARNING, {"beer/dates/brewed": "1926-12-01"}, {"beer/dates/brewed": "2023-12-01"}),
    (
        "packaged-after-delivery",
        ERROR,
        {"beer/dates/packaged": "2027-03-07", "beer/bottles": []},
        {"beer/dates/packaged": "2027-03-06", "beer/bottles": []},
    ),
    ("starter-not-filled-in", ERROR, {"brewer/name": "Your Name"}, {"brewer/name": "Yourim Nameth"}),
    ("starter-not-filled-in", WARNING, {"beer/name": "First Beer"}, {"beer/name": "First Ferry"}),
    (
        "starter-not-filled-in",
        WARNING,
        {"entry/declaration": "What the judges should know."},
        {"entry/declaration": "Amber."},
    ),
    (
        "destination-missing",
        WARNING,
        {"entry/way": "carrier", "today": dt.date(2027, 2, 10)},
        {"entry/way": "carrier", "cup/delivery/address": ["3 Wharf Lane, Wrenmouth"]},
    ),
]
