"""``chart``, ``compare``, ``plan`` and ``calendar`` as a person types them."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from typer.testing import CliRunner, Result

from entryprep.cli.app import app
from tests.seasons import write_season

RUNNER = CliRunner()
BEER = """name: "{name}"
measured: {{og: 1.054, fg: 1.013, ibu: 32, srm: 28}}
traits: {{fermentation: ale}}
additions: []
bottles: [{{count: {count}}}]
carbonation: {{method: bottle-conditioned}}
"""
BEER_TO_COME = """name: To Come
predicted: {og: 1.054, fg: 1.013, ibu: 32, srm: 28}
carbonation: {method: bottle-conditioned}
"""
CUP = """name: {name}
country: US
state: WA
dates:
  registration: {{closes: 2027-02-10}}
  delivery: {{opens: 2027-03-01, closes: 2027-03-13}}
  judging: 2027-03-20
fee: {{amount: 10, currency: USD}}
sending: {{way: carrier, rates: [{{up_to: 5 kg, cost: 12}}]}}
categories:
  - {{code: P, name: Porters, families: [porter]}}
  - {{code: S, name: Stouts, families: [stout]}}
  - {{code: W, name: Wood, families: [wood]}}
"""
TODAY = ("--today", "2027-01-10")


def run(*args: str | Path, width: int = 80) -> Result:
    return RUNNER.invoke(app, [str(a) for a in args], env={"COLUMNS": str(width), "NO_COLOR": "1"})


def as_json(result: Result) -> dict[str, Any]:
    assert result.exit_code == 0, result.output
    value = json.loads(result.stdout)
    assert value["format"] == 1
    return dict(value)


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return write_season(
        tmp_path / "spring",
        batches__ferry=BEER.format(name="Night Ferry", count=2),
        batches__quay=BEER.format(name="[bold]Quay[/bold]", count=6),
        competitions__harbour=CUP.format(name="Harbour Cup"),
        competitions__inland=CUP.format(name="Inland Cup"),
        entries="# mine\nentries:\n",
    )


# --- chart


@pytest.mark.parametrize("width", [40, 80, 120])
def test_the_chart_keeps_to_the_width_and_says_the_same_without_colours(season: Path, width: int) -> None:
    result = run("chart", season, width=width)
    assert result.exit_code == 0
    assert max(len(line) for line in result.stdout.splitlines()) <= width
    assert "\x1b[" not in result.stdout
    assert "[bold]Quay" in result.stdout
    row = next(line for line in result.stdout.splitlines() if line.startswith("Night Ferry"))
    assert re.search(r">[ABC]\d+", row)


def test_a_wide_competition_is_wrapped_and_loses_no_category(season: Path) -> None:
    codes = [f"K{i:02}" for i in range(30)]
    categories = "\n".join(f"  - {{code: {code}, name: Class, families: [porter]}}" for code in codes)
    text = CUP.format(name="Wide Cup").split("categories:")[0] + "categories:\n" + categories
    write_season(season, competitions__wide=text)
    result = run("chart", season)
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    heads = [word for line in result.stdout.splitlines() if line.startswith(" " * 16) for word in line.split()]
    assert [word for word in heads if word.startswith("K")] == codes


def test_the_chart_as_json_has_every_beer_in_every_category(season: Path, tmp_path: Path) -> None:
    made = as_json(run("chart", season, "--json", "--picture", tmp_path / "beers.svg"))
    assert [c["competition"] for c in made["competitions"]] == ["harbour", "inland"]
    for competition in made["competitions"]:
        assert [b["batch"] for b in competition["beers"]] == ["ferry", "quay"]
        for beer in competition["beers"]:
            assert [cell["category"] for cell in beer["cells"]] == ["P", "S", "W"]
            assert 0 <= sum(cell["share"] for cell in beer["cells"]) <= 1 + 1e-9
            assert sum(cell["best"] for cell in beer["cells"]) == 1
    assert ET.parse(tmp_path / "beers.svg").getroot().tag.endswith("svg")
    assert run("chart", season, "--picture", tmp_path / "beers.svg").exit_code == 0, "its own earlier output"
    (tmp_path / "beers.svg").write_text("mine")
    again = run("chart", season, "--picture", tmp_path / "beers.svg")
    assert again.exit_code == 2
    assert "was not made by entryprep" in again.stderr
    assert (tmp_path / "beers.svg").read_text() == "mine"


# --- compare


def test_candidates_stand_side_by_side(season: Path) -> None:
    batch = season / "batches" / "ferry.yaml"
    made = as_json(run("compare", batch, "English porter", "American porter", "--json"))
    assert [c["style"] for c in made["candidates"]] == ["english-porter", "american-porter"]
    fit = as_json(run("fit", batch, "--style", "English porter", "--json"))
    assert made["candidates"][0]["fit"]["score"] == fit["score"] if "score" in fit else True
    shown = run("compare", batch, "English porter", "American porter", "stout", "old ale", "--units", "us")
    assert shown.exit_code == 2  # "stout" may mean several
    shown = run("compare", batch, "English porter", "American porter", "Irish stout", "old ale")
    assert max(len(line) for line in shown.stdout.splitlines()) <= 80
    for name in ("English Porter", "American Porter", "Irish Stout", "Old Ale"):
        assert f"{name}:" in shown.stdout


def test_categories_are_compared_by_their_codes(season: Path) -> None:
    batch, cup = season / "batches" / "ferry.yaml", season / "competitions" / "harbour.yaml"
    made = as_json(run("compare", batch, "s", "p", "--competition", cup, "--json"))
    assert [c["label"].split()[0] for c in made["candidates"]] == ["S", "P"]
    wrong = run("compare", batch, "Q", "--competition", cup)
    assert wrong.exit_code == 2
    assert "no category Q" in wrong.stderr


# --- plan


def test_a_plan_is_shown_and_nothing_is_written_unless_asked(season: Path) -> None:
    before = (season / "entries.yaml").read_bytes()
    result = run("plan", season, *TODAY)
    assert result.exit_code == 0, result.output
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert "proven" in result.stdout
    assert "not legal advice" in " ".join(result.stdout.split())
    assert (season / "entries.yaml").read_bytes() == before


def test_the_parts_of_the_objective_add_up(season: Path) -> None:
    made = as_json(run("plan", season, *TODAY, "--json"))
    money = made["fees"] + made["sending"]
    assert made["objective"] == pytest.approx(made["standing"] - made["money_weight"] * money, abs=1e-6)
    for each in made["planned"]:
        parts = each["share"] * each["fit"] / 100 * each["freshness"] * each["score"] / 10
        assert each["standing"] == pytest.approx(parts, abs=1e-4)
    assert made["fees"] == 10 * len(made["planned"])
    pairs = {(each["batch"], each["competition"]) for each in [*made["planned"], *made["left_out"]]}
    assert pairs == {(b, c) for b in ("ferry", "quay") for c in ("harbour", "inland")}


def test_a_written_plan_is_the_next_plans_entries(season: Path) -> None:
    planned = as_json(run("plan", season, *TODAY, "--json"))["planned"]
    result = run("plan", season, *TODAY, "--write")
    assert result.exit_code == 0, result.output
    assert (season / "entries.yaml").read_text().startswith("# mine\nentries:\n  - {batch: ")
    after = as_json(run("plan", season, *TODAY, "--json", "--write"))
    assert (after["planned"], after["written"]) == ([], None)
    assert [(e["batch"], e["competition"], e["category"]) for e in after["entered"]] == sorted(
        (e["batch"], e["competition"], e["category"]) for e in planned
    ) or len(after["entered"]) == len(planned)
    checked = as_json_any(run("check", season, *TODAY, "--json"))
    assert not {f["rule"] for f in checked["findings"]} & {"bottles-too-few", "batch-twice", "category-over-limit"}


def as_json_any(result: Result) -> dict[str, Any]:
    return dict(json.loads(result.stdout))


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--budget", "much"), "no amount of money"),
        (("--budget", "-3"), "no amount of money"),
        (("--budget", "10 euros"), "no amount of money"),
        (("--rate", "EUR"), "is no rate"),
        (("--budget", "50 EUR"), "cannot be added"),
        (("--today", "soon"), "is not a date"),
    ],
)
def test_what_makes_no_plan_is_one_clear_message(season: Path, options: tuple[str, ...], words: str) -> None:
    result = run("plan", season, *options)
    assert result.exit_code == 2
    assert words in result.stderr
    assert "fix:" in result.stderr
    assert "Traceback" not in result.output


def test_the_budget_may_be_in_another_currency(season: Path) -> None:
    made = as_json(run("plan", season, *TODAY, "--budget", "25 EUR", "--rate", "USD=0.9", "--json"))
    assert made["currency"] == "EUR"
    assert 0 < made["fees"] + made["sending"] <= 25


def test_an_empty_season_says_what_is_missing(tmp_path: Path) -> None:
    write_season(tmp_path, brewer="name: A\n")
    for command in ("chart", "plan", "calendar"):
        result = run(command, tmp_path)
        assert result.exit_code == 2
        assert "no beer" in result.stderr


def test_json_is_all_that_a_plan_prints(season: Path) -> None:
    """In a process of its own: the solver's library greets on the standard output itself."""
    code = "from entryprep.cli import main; main()"
    command = [sys.executable, "-c", code, "plan", str(season), "--today", "2027-01-10", "--json"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert json.loads(done.stdout)["format"] == 1


# --- calendar


def test_the_calendar_is_shown_and_written(season: Path, tmp_path: Path) -> None:
    run("plan", season, *TODAY, "--write")
    (season / "batches" / "later.yaml").write_text(BEER_TO_COME)
    with (season / "entries.yaml").open("a") as entries:
        entries.write("  - {batch: later, competition: harbour, category: P}\n")
    ics, svg = tmp_path / "s.ics", tmp_path / "s.svg"
    result = run("calendar", season, *TODAY, "--out", ics, "--picture", svg)
    assert result.exit_code == 0, result.output
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    days = as_json(run("calendar", season, *TODAY, "--json"))["days"]
    assert ics.read_bytes().count(b"BEGIN:VEVENT") == len(days)
    assert {day["kind"] for day in days} == {"brew", "package", "conditioned", "register", "send", "deliver", "judge"}
    to_do = [day["batch"] for day in days if day["kind"] in {"brew", "package"}]
    assert to_do == ["later", "later"], "what stands in bottles, dated or not, is brewed and packaged"
    assert ET.parse(svg).getroot().tag.endswith("svg")
    before = ics.read_bytes()
    assert run("calendar", season, *TODAY, "--out", ics, "--picture", svg).exit_code == 0, "its own earlier output"
    assert ics.read_bytes() == before
    for path in (ics, svg):
        path.write_bytes(path.read_bytes().replace(b"Harbour", b"Harbor"))
    for option, path in (("--out", ics), ("--picture", svg)):
        result = run("calendar", season, *TODAY, option, path)
        assert (result.exit_code, "was changed since" in result.stderr) == (2, True)
        assert b"Harbor" in path.read_bytes()


def test_a_plan_is_in_the_calendar_before_it_is_written(season: Path) -> None:
    assert run("calendar", season, *TODAY).exit_code == 2
    days = as_json(run("calendar", season, *TODAY, "--planned", "--json"))["days"]
    assert any(day["kind"] == "send" for day in days)
    assert (season / "entries.yaml").read_text() == "# mine\nentries:\n"


@pytest.mark.parametrize(
    ("typed", "offered"),
    [("entryprep sug", "suggest"), ("entryprep suggest --li", "--limit"), ("entryprep pla", "plan")],
)
def test_a_shell_completes_commands_and_options(typed: str, offered: str) -> None:
    env = {**os.environ, "_ENTRYPREP_COMPLETE": "complete_bash", "COMP_WORDS": typed}
    env["COMP_CWORD"] = str(len(typed.split()) - 1)
    code = "import sys; sys.argv = ['entryprep']; from entryprep.cli import main; main()"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=env)
    assert done.stdout.split() == [offered]


def test_the_version_is_told() -> None:
    result = run("--version")
    assert (result.exit_code, result.stdout.split()[0]) == (0, "entryprep")


def test_what_keeps_every_beer_out_is_told_once_and_a_long_name_is_cut(tmp_path: Path) -> None:
    long = "Żółw Łódź Øl Жигулёвское Winter Warmer of the Seventeen Bridges and a Half Mile"
    closed = CUP.format(name="Past").replace("2027", "2026")
    write_season(
        tmp_path,
        batches__a=BEER.format(name=long, count=6),
        batches__b=BEER.format(name="Second", count=0),
        competitions__open=CUP.format(name="Open"),
        competitions__past=closed,
    )
    (tmp_path / "entries.yaml").write_text("entries: []\n", encoding="utf-8")
    told = run("plan", tmp_path, *TODAY, width=60).stdout
    head, _, rest = told.partition(" expected standing")
    why = rest.partition("Why not")[2]
    assert "Every beer: past: registration closed on 2026-02-10" in " ".join(why.split())
    assert why.count("past") == 1
    assert "Second: open: S (" in why
    assert "no bottles left, 2 wanted" in " ".join(why.split())
    assert "Żółw" in head
    assert "…" in head
    assert "Bridges" not in head
    assert max(map(len, told.splitlines())) <= 60
    assert long in " ".join(run("plan", tmp_path, *TODAY, width=200).stdout.split())


def test_a_plan_without_entries_says_why_and_no_sums(tmp_path: Path) -> None:
    closed = CUP.format(name="Past").replace("2027", "2026").replace("fee: {amount: 10, currency: USD}\n", "")
    closed = closed.replace("sending: {way: carrier, rates: [{up_to: 5 kg, cost: 12}]}\n", "")
    write_season(tmp_path, batches__a=BEER.format(name="First", count=6), competitions__past=closed)
    (tmp_path / "entries.yaml").write_text("entries: []\n", encoding="utf-8")
    told = run("plan", tmp_path, *TODAY, "--budget", "10").stdout
    assert told.startswith("The plan: no new entries; the reasons stand below.")
    assert "registration closed on 2026-02-10" in told
    assert "0.00 = 0.00" not in told
    refused = run("plan", tmp_path, *TODAY, "--budget", "10,5")
    assert refused.exit_code == 2
    assert "a point, not a comma" in refused.output
