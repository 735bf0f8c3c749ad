"""The first line of a screen is the answer, and nothing below contradicts it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from entryprep.cli.app import app
from entryprep.cli.start import lay_out
from tests.seasons import write_season

RUNNER = CliRunner()
DAY = ("--today", "2027-02-20")
BURSTING = """name: Quick Lime
style: Belgian tripel
measured: {og: 1.080, fg: 1.011, ibu: 32, srm: 5}
traits: {fermentation: ale}
additions: []
bottles: [{count: 12}]
carbonation: {method: bottle-conditioned, priming: {sugar: table sugar, mass: 400 g, beer: 19 L, temperature: 20 °C}}
dates: {packaged: 2027-01-01}
"""
SOUND = """name: Slack Water
style: Irish stout
measured: {og: 1.042, fg: 1.010, ibu: 38, srm: 35}
traits: {fermentation: ale}
additions: []
bottles: [{count: 12}]
dates: {packaged: 2027-01-01}
"""
CUP = """name: Weir Cup
dates: {delivery: {closes: 2027-03-13}, judging: 2027-03-20}
categories:
  - {code: T, name: Tripels, styles: [Belgian tripel]}
  - {code: S, name: Stouts, families: [stout]}
"""


def run(*args: str | Path, width: int = 200) -> Result:
    return RUNNER.invoke(app, [str(a) for a in args], env={"COLUMNS": str(width), "NO_COLOR": "1"})


def as_json(*args: str | Path) -> dict[str, Any]:
    return dict(json.loads(run(*args, "--json").stdout))


def first_line(*args: str | Path) -> str:
    return next(line for line in run(*args).stdout.splitlines() if line.strip())


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("answers") / "demo"
    lay_out(folder, "templates/demo")
    return folder


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return write_season(
        tmp_path / "s",
        batches__lime=BURSTING,
        batches__slack=SOUND,
        competitions__weir=CUP,
        entries="entries: []\n",
    )


# --- check


def test_check_says_first_how_many_things_stop_you(demo: Path) -> None:
    findings = as_json("check", demo, *DAY)["findings"]
    errors = sum(f["severity"] == "error" for f in findings)
    warnings = sum(f["severity"] == "warning" for f in findings)
    line = first_line("check", demo, *DAY)
    assert line.startswith(f"{errors} errors stop you, {warnings} warnings and ")
    assert "first: Élan d’Été, more gas than the bottle should hold." in line
    shown = run("check", demo, *DAY).stdout.splitlines()
    assert shown[-1].strip().startswith("fix:"), "no second summary below"


def test_check_tells_errors_first_and_those_of_a_beer_together(demo: Path) -> None:
    shown = [line for line in run("check", demo, *DAY).stdout.splitlines() if line and not line.startswith(" ")][1:]
    marks = [line.split()[0] for line in shown if line.split()[0] in {"ERROR", "warning", "note"}]
    assert marks == sorted(marks, key=["ERROR", "warning", "note"].index)
    headings = [line for line in shown if line.split()[0] not in {"ERROR", "warning", "note"}]
    errors = headings[: next(i for i, line in enumerate(shown) if line.startswith("warning"))]
    assert headings[0] == "Élan d’Été", "what may hurt stands first"
    own = {"Élan d’Été": "elan", "Copper Lantern": "copper-lantern", "Hasselmus": "hasselmus"}
    for name, file in own.items():
        at = shown.index(name)
        assert file in shown[at + 1]
    assert errors.count("Copper Lantern") <= 2


def test_a_season_without_findings_says_that_nothing_stops_one(season: Path) -> None:
    for name in ("lime", "slack"):
        (season / "batches" / f"{name}.yaml").unlink()
    assert first_line("check", season, *DAY).startswith("Nothing stops you")


# --- plan and chart


def test_a_plan_holds_no_entry_that_check_would_call_a_danger(season: Path) -> None:
    made = as_json("plan", season, *DAY)
    assert [x["batch"] for x in made["planned"]] == ["slack"]
    out = next(x for x in made["left_out"] if x["batch"] == "lime")
    assert out["reason"] == "error"
    assert "volumes of CO2" in out["words"]
    assert "1 beer is left out for errors" in first_line("plan", season, *DAY)
    (season / "batches" / "lime.yaml").write_text(BURSTING.replace("400 g", "130 g"), encoding="utf-8")
    made = as_json("plan", season, *DAY)
    assert [x["batch"] for x in made["planned"]] == ["lime", "slack"]


def test_an_entry_that_stands_with_an_error_counts_for_nothing(season: Path) -> None:
    entries = "entries:\n  - {batch: lime, competition: weir, category: T}\n"
    (season / "entries.yaml").write_text(entries, encoding="utf-8")
    made = as_json("plan", season, *DAY)
    [entered] = made["entered"]
    assert entered["standing"] == 0
    assert "volumes of CO2" in entered["barred"]
    assert made["standing"] == pytest.approx(sum(x["standing"] for x in made["planned"]))
    shown = run("plan", season, *DAY).stdout
    assert "Of 1 entry that stands 1 counts for nothing: errors." in shown.splitlines()[0]
    assert "Quick Lime!" in shown


def test_an_entry_that_comes_too_late_counts_for_nothing_unless_it_is_registered(season: Path) -> None:
    closed = CUP.replace("dates: {", "dates: {registration: {closes: 2027-02-01}, ")
    (season / "competitions" / "weir.yaml").write_text(closed, encoding="utf-8")
    entry = "entries:\n  - {{batch: slack, competition: weir, category: S{}}}\n"
    (season / "entries.yaml").write_text(entry.format(""), encoding="utf-8")
    assert as_json("plan", season, *DAY)["entered"][0]["standing"] == 0
    (season / "entries.yaml").write_text(entry.format(", number: '7'"), encoding="utf-8")
    assert as_json("plan", season, *DAY)["entered"][0]["standing"] > 0


@pytest.mark.parametrize("command", ["plan", "chart"])
def test_the_first_line_counts_the_errors_that_check_finds(demo: Path, command: str) -> None:
    findings = as_json("check", demo, *DAY)["findings"]
    errors = sum(f["severity"] == "error" for f in findings)
    line = first_line(command, demo, *DAY)
    assert f"{errors} errors stand in the season; Élan d’Été may hurt somebody" in line
    assert as_json(command, demo, *DAY)["errors"] == errors


def test_the_chart_says_first_how_many_beers_suit_a_category(season: Path) -> None:
    assert first_line("chart", season, *DAY).startswith("1 of 2 beers suits a category"), "gas far beyond a tripel's"
    (season / "batches" / "lime.yaml").write_text(BURSTING.replace("400 g", "130 g"), encoding="utf-8")
    assert first_line("chart", season, *DAY).startswith("2 of 2 beers suit a category")


# --- one beer


def test_compare_says_first_which_candidate(demo: Path, tmp_path: Path) -> None:
    line = first_line("compare", demo / "batches" / "quay-light.yaml", "American porter", "Irish stout")
    assert line.startswith("Quay Light: of these 2 Irish Stout (share 100%, fit 92), then American Porter")
    line = first_line("compare", demo / "batches" / "quay-light.yaml", "American porter", "Sweet stout")
    assert "Among all styles: Enter as Irish Stout" in line, "what it should be entered as is not withheld"
    shutil.copy(demo / "batches" / "elan.yaml", tmp_path / "elan.yaml")
    assert first_line("compare", tmp_path / "elan.yaml").startswith("STOP: ")


def test_base_says_first_whether_it_holds(demo: Path) -> None:
    batch = demo / "batches" / "zurawina.yaml"
    assert first_line("base", batch).startswith("Żurawina nr 3: Blonde Ale (fit 75) holds as its base")
    assert "Imperial Stout (fit 0) does not hold as its base;" in first_line("base", batch, "--base", "imperial stout")
    assert "nothing was added" in first_line("base", demo / "batches" / "hasselmus.yaml")


def test_calendar_says_first_what_is_next(demo: Path) -> None:
    assert first_line("calendar", demo, *DAY).startswith("Next: Mon 2027-02-22, in 2 days: The Blind Heron: register")
