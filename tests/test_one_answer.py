"""One question, one answer: whichever door a beer comes in by."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from entryprep import Batch, Beer, UnknownStyle, Vitals, fit, load_styles, rank, read_season, suggest
from entryprep.beer import forecast as forecasting
from entryprep.brewing import prediction
from entryprep.cli.app import app
from entryprep.tables.shipped import shipped_tree
from tests.seasons import write_season

TABLE = load_styles()
BASES = ("Porter: American Porter", "american porter", "Amer. Porter", "porter", "robust poter", "")
FRUITED: dict[str, Any] = {
    "name": "Night Ferry",
    "volume": 20,
    "style": "fruit beer",
    "measured": {"og": 1.058, "fg": 1.014},
    "predicted": {"ibu": 35, "srm": 32},
    "traits": {"fermentation": "ale"},
    "additions": [{"what": "blackcurrants", "kind": "fruit", "mass": 3, "stage": "fermenter"}],
}
CUP = "name: Harbour Cup\ncategories:\n  - {code: A, name: Everything, styles: [fruit beer]}\n"
ENTRIES = "entries:\n  - {batch: ferry, competition: cup, category: A}\n"


def run(*args: str) -> Any:
    """A command's JSON; what it says on stderr is left out."""
    result = CliRunner().invoke(app, [*args, "--json"])
    assert result.exit_code in {0, 1}, result.output
    return json.loads(result.stdout)


@pytest.mark.parametrize("base", BASES)
def test_one_base_gives_the_same_shares_by_four_doors(base: str, tmp_path: Path) -> None:
    record = {**FRUITED, **({"base": base} if base else {})}
    text = json.dumps(record)  # JSON is YAML
    folder = write_season(tmp_path / "own", batches__ferry=text, competitions__cup=CUP, entries=ENTRIES)
    by_command = {s["style"]: s["share"] for s in run("suggest", str(folder / "batches/ferry.yaml"))["suggestions"]}
    season, _ = read_season(folder)
    beer = season.beer("ferry", season.entered[0])
    assert beer is not None
    by_season = {s.id: share for s, share in beer.ranking.shares}
    # the base named by the entry, not by the batch, is the same base
    elsewhere = ENTRIES.replace("category: A", f"category: A, base: {json.dumps(base)}") if base else ENTRIES
    other = write_season(
        tmp_path / "entry", batches__ferry=json.dumps(FRUITED), competitions__cup=CUP, entries=elsewhere
    )
    season, _ = read_season(other)
    entered = season.beer("ferry", season.entered[0])
    assert entered is not None
    by_entry = {s.id: share for s, share in entered.ranking.shares}
    in_python = {s.style.id: s.share for s in suggest(Batch(**record), limit=200)}
    assert {s.id: share for s, share in Beer.from_batch(Batch(**record)).ranking.shares} == by_season == in_python
    assert {s.id: share for s, share in rank(Batch(**record)).shares} == by_season
    said = run("fit", str(folder / "batches/ferry.yaml"))["fit"]
    for own in (fit(Batch(**record), "fruit beer"), beer.fit("fruit beer"), entered.fit("fruit beer")):
        assert said["base"] == (own.base.id if own.base else None)
        assert said["score"] == (None if own.score is None else pytest.approx(own.score, abs=0.005))
    for style, share in by_command.items():
        assert by_season[style] == pytest.approx(share, abs=1e-6), style
        assert in_python[style] == pytest.approx(share, abs=1e-6), style
        assert by_entry[style] == pytest.approx(share, abs=1e-6), style


@pytest.mark.parametrize("base", ["American Porter", "Porter", "american-ale"])
def test_the_fit_of_a_base_is_that_of_the_beer_on_it(base: str, tmp_path: Path) -> None:
    """A trait that speaks against the base does so whichever command is asked, and a family is its best style."""
    file = tmp_path / "ferry.yaml"
    file.write_text(json.dumps({**FRUITED, "base": base, "traits": {"fermentation": "ale", "clarity": "hazy"}}))
    on_it = run("fit", str(file))["fit"]
    held = run("base", str(file))["fits"][0]
    listed = run("suggest", str(file))["suggestions"][0]
    assert listed["style"] == on_it["style"] == "fruit-beer"
    assert on_it["score"] is not None
    assert on_it["score"] == held["score"] == listed["fit"]["score"]
    assert on_it["base"] == held["style"]


def test_the_gas_that_was_measured_is_known_of_a_special_beer_too(tmp_path: Path) -> None:
    file = tmp_path / "ferry.yaml"
    record = {**FRUITED, "base": "American porter"}
    file.write_text(json.dumps({**record, "measured": {"og": 1.058, "fg": 1.014, "co2": 3.6}}))
    told = CliRunner().invoke(app, ["fit", str(file)]).stdout
    assert "Carbonation: 1.0 volumes over" in told
    assert "not known" not in told
    assert run("base", str(file))["fits"][0]["score"] == run("fit", str(file))["fit"]["score"]


def test_a_share_that_would_read_as_none_takes_no_row(tmp_path: Path) -> None:
    file = tmp_path / "ferry.yaml"
    file.write_text(json.dumps({**FRUITED, "base": "American porter"}))
    told = CliRunner().invoke(app, ["suggest", str(file), "--limit", "40"]).stdout
    assert "Likeliest first." in told
    rows = told.split("reasons")[1].split("Likeliest first.")[0]
    assert "Fruit Beer" in rows
    assert " 0%" not in rows
    assert len(run("suggest", str(file), "--limit", "40")["suggestions"]) == 40


def test_a_beer_has_one_fit_to_a_style_wherever_it_is_shown(tmp_path: Path) -> None:
    record = {**FRUITED, "base": "American porter"}
    folder = write_season(tmp_path, batches__ferry=json.dumps(record), competitions__cup=CUP, entries=ENTRIES)
    file = str(folder / "batches/ferry.yaml")
    fit = run("fit", file)["fit"]["score"]
    listed = {s["style"]: s["fit"]["score"] for s in run("suggest", file, "--limit", "200")["suggestions"]}
    season, _ = read_season(folder)
    beer = season.beer("ferry", season.entered[0])
    assert beer is not None
    runners_up = {s.style.id: s.fit.score for s in beer.suggestions(200)}
    assert listed["fruit-beer"] == fit
    assert runners_up == pytest.approx({n: s for n, s in listed.items() if s is not None}, abs=0.01)


@pytest.mark.parametrize("command", ["prepare", "check", "chart", "plan"])
def test_each_recipe_is_forecast_once(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls: list[str] = []
    predict = prediction.predict

    def counted(*args: Any, **more: Any) -> Any:
        calls.append("")
        return predict(*args, **more)

    folder = tmp_path / "season"
    names = [n for n in shipped_tree("templates/demo") if n.startswith("batches/")]
    run("demo", str(folder), "--page", "a4")
    season, _ = read_season(folder)
    with_recipe = sum(batch.recipe is not None for batch in season.batches.values())
    assert 1 <= with_recipe <= len(names)
    monkeypatch.setattr(forecasting, "predict", counted)
    more = {"prepare": ["--despite-errors"]}.get(command, [])
    more += [] if command == "chart" else ["--today", "2027-02-20"]
    run(command, str(folder), *more)
    assert len(calls) == with_recipe


def test_a_number_said_beside_a_file_moves_what_follows_from_it(tmp_path: Path) -> None:
    folder = write_season(tmp_path, batches__ferry=json.dumps(FRUITED))
    file = str(folder / "batches/ferry.yaml")
    plain, other = (run("vitals", file, *more)["vitals"] for more in ((), ("--og", "1.070")))
    assert other["og"]["value"] > plain["og"]["value"] + 0.010  # what is served is a little thinner for its fruit
    assert other["abv"]["value"] > plain["abv"]["value"] + 1


def test_every_door_answers_by_the_table_it_is_given() -> None:
    few = {name: TABLE.styles[name] for name in ("german-pils", "irish-stout")}
    names = {name: style for name, style in TABLE.names.items() if style in few}
    table = replace(TABLE, styles=few, names=names, ambiguous={})
    vitals = Vitals(og=1.048, fg=1.010, ibu=35, srm=4)
    batch = Batch(name="Dunlin", measured={"og": 1.048, "fg": 1.010}, predicted={"ibu": 35, "srm": 4})
    for beer in (vitals, batch):
        assert {answer.style.id for answer in suggest(beer, table=table)} <= few.keys()
        assert {style.id for style, _ in rank(beer, styles=table).shares} == few.keys()
        assert {style.id for style, _ in rank(beer, styles=few.values()).shares} == few.keys()
        with pytest.raises(UnknownStyle):
            fit(beer, "Vienna lager", table=table)


def test_a_beer_in_python_answers_by_name_and_by_attribute() -> None:
    beer = Beer(og=1.052, fg="1.012", ibu=32, srm=28, traits={"fermentation": "ale"}, additions=["fruit"])
    assert beer.vitals.og is beer.vitals["og"]
    assert beer.vitals.co2 is None
    assert "abv" in beer.vitals
    with pytest.raises(KeyError):
        beer.vitals["co2"]
    assert list(beer.vitals) == ["og", "fg", "abv", "ibu", "srm"]
    assert beer.fit("amer. porter").score == beer.fit(TABLE.find("American porter")).score
    assert beer.kinds == ("fruit",)
    assert Beer.of_vitals(Vitals(og=1.052, fg=1.012), additions=[]).kinds == ()
    assert Beer(og=1.052).kinds is None
