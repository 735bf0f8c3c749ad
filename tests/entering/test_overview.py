"""What a fit sheet advises, and the season at a glance: dangers, days, and the gas of the bottles that are packed."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from entryprep import Batch, Competition, Entry, Season
from entryprep.entering.check import check
from entryprep.entering.fitsheets import fit_sheets
from entryprep.entering.overview import Overview, overview
from entryprep.entering.plan import FitSheet
from entryprep.entering.shipping import milestones, pressures_packed
from entryprep.findings import Severity

DAY = dt.date(2027, 2, 20)
DATES = {"registration": {"closes": "2027-02-24"}, "delivery": {"opens": "2027-02-26", "closes": "2027-03-10"}}
PALE = {"measured": {"og": 1.052, "fg": 1.012}, "predicted": {"ibu": 38, "srm": 7}, "traits": {"fermentation": "ale"}}
DARK: dict[str, Any] = {
    "measured": {"og": 1.035, "fg": 1.011},
    "predicted": {"ibu": 18, "srm": 20},
    "traits": {"fermentation": "ale"},
}
READY = {"gravity_log": [{"date": "2027-01-01", "gravity": 1.012}, {"date": "2027-01-05", "gravity": 1.012}]}
ALLOWED = {"size": ["300 ml", "400 ml"]}


def season(number: str | None = "7", competition: dict[str, Any] | None = None, **batch: Any) -> Season:
    record = {"name": "Withy", "allergens": ["barley"], **PALE, **READY, **batch}
    cup = {"name": "The Cup", "categories": [{"code": "A", "name": "Ales"}], "dates": DATES, **(competition or {})}
    entry = Entry.model_validate({"batch": "withy", "competition": "cup", "category": "A", "number": number})
    return Season.build({"withy": Batch.model_validate(record)}, {"cup": Competition.model_validate(cup)}, [entry])


def sheet_of(made: Season) -> FitSheet:
    (sheet,) = fit_sheets(made, made.entered, check(made, DAY))
    return sheet


def seen_of(made: Season) -> Overview:
    findings = check(made, DAY)
    return overview(made, made.entered, fit_sheets(made, made.entered, findings), findings, DAY)


def test_a_beer_that_fits_is_entered_as_it_is_declared() -> None:
    sheet = sheet_of(season(style="American pale ale"))
    assert sheet.enter_as == "American Pale Ale"
    assert sheet.shown is sheet.fit
    assert sheet.reason == "5 of 6 vitals lie inside; not compared: carbonation."


def test_a_beer_that_is_far_more_likely_another_is_entered_as_that() -> None:
    sheet = sheet_of(season(style="mild"))  # ambiguous, and nothing of what it may mean is near
    assert sheet.enter_as == "American Pale Ale"
    assert sheet.reason.startswith("“mild” may mean 2 styles, and it is far more likely none of them. ")
    sheet = sheet_of(season(style="mild", **DARK))
    assert set(sheet.enter_as.split(" or ")) <= {"Dark Mild", "London Brown Ale"}
    assert sheet.reason.startswith("“mild” may mean 2 styles. ")
    sheet = sheet_of(season(style="ordinary bitter"))
    assert sheet.enter_as not in {"", "Ordinary Bitter"}
    assert sheet.reason.startswith("Declared as Ordinary Bitter, which it fits ")
    assert "original gravity 0.013 over" in sheet.reason
    assert sheet.shown is not sheet.fit
    assert sheet.shown is not None
    assert sheet.shown.style.name == sheet.enter_as


def test_without_a_style_the_best_is_said_and_that_none_is_declared() -> None:
    sheet = sheet_of(season())
    assert sheet.enter_as
    assert sheet.reason.startswith("No style is declared yet. ")
    assert sheet_of(season(style="an ale of no land")).reason.startswith(
        "“an ale of no land” is no style of the table."
    )


def test_the_beer_underneath_is_said_to_be_so() -> None:
    fruit = [{"what": "cherries", "kind": "fruit", "mass": "3 kg", "stage": "fermenter"}]
    sheet = sheet_of(season(style="fruit beer", base="blonde ale", volume="20 L", additions=fruit))
    assert sheet.changed
    assert sheet.reason.startswith("Of the beer underneath, ")


def test_what_bursts_keeps_its_bottles_at_home_and_stands_first() -> None:
    measured = {"og": 1.052, "fg": 1.012, "co2": 4.4}
    wild = season(style="American pale ale", bottles=[{"count": 6, "type": "longneck"}], measured=measured)
    sheet = sheet_of(wild)
    assert len(sheet.stops) == 1
    assert "4.4 volumes" in sheet.stops[0]
    seen = seen_of(wild)
    assert seen.tasks[0].danger
    assert seen.beers[0].wrong == "STOP"
    assert seen.beers[0].pressure is not None
    assert seen.beers[0].pressure.danger == "STOP"
    assert sheet_of(season(style="American pale ale", bottles=[{"count": 6}])).stops == ()


@pytest.mark.parametrize(
    ("volumes", "packed", "danger"),
    [(2.5, "longneck", ""), (3.2, "longneck", "TOO LIVELY"), (4.0, "longneck", "STOP"), (3.2, "heavy-330", "")],
)
def test_the_gas_is_that_of_the_bottles_that_are_packed(volumes: float, packed: str, danger: str) -> None:
    """The cellar holds half-litres as well; the competition takes only small ones.

    A usual 355 ml bottle is used to 3 volumes and should not hold more than 3.5: common practice, from memory.
    """
    stock = [{"count": 6, "type": "half-litre"}, {"count": 6, "type": packed}]
    measured = {"og": 1.052, "fg": 1.012, "co2": volumes}
    made = season(competition={"bottles": ALLOWED}, bottles=stock, measured=measured)
    gas = pressures_packed(made, made.entered)["withy"]
    assert (gas.danger, gas.number, gas.volumes) == (danger, "7", volumes)
    assert "500" not in gas.bottle
    assert gas.cool_bar < gas.hot_bar


def test_days_come_in_order_and_the_next_is_one_to_act_on() -> None:
    seen = seen_of(season(number=None))
    assert [day.title for day in seen.days] == [
        "Registration closes", "Not to arrive before", "Send no later than", "Last day of delivery",
    ]  # fmt: skip
    assert [day.day for day in seen.days] == sorted(day.day for day in seen.days)
    assert seen.beers[0].next_day is not None
    assert seen.beers[0].next_day.title == "Registration closes"
    registered = seen_of(season()).beers[0].next_day
    assert registered is not None
    assert registered.title == "Send no later than", "it has its number"
    assert registered.label == "send, last day"
    assert seen.coming == seen.days
    assert seen.over == ()


def test_tasks_are_errors_and_warnings_once_each_the_gravest_first() -> None:
    made = season(number=None, style="ordinary bitter", allergens=[])
    seen = seen_of(made)
    findings = [f for f in check(made, DAY) if f.severity is not Severity.NOTE]
    assert {task.finding for task in seen.tasks} == set(findings)
    ranks = [list(Severity).index(task.finding.severity) for task in seen.tasks]
    assert ranks == sorted(ranks)
    assert {task.beer for task in seen.tasks} <= {"Withy", ""}


def test_milestones_follow_the_way() -> None:
    cup = season().competitions["cup"]
    by_hand = {each.title: each.day for each in milestones(cup, "hand")}
    assert by_hand["Bring no later than"] == dt.date(2027, 3, 10)
    assert milestones(cup, "hand")[1].words == "Wed 2027-03-10"
