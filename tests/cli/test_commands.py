"""The commands as a person types them: output, exit codes, and one clear message for whatever is wrong."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from entryprep.cli.app import app
from tests.cli.test_receiving_commands import COMMANDS as RECEIVING

RUNNER = CliRunner()
BEER = ["--og", "1.050", "--fg", "1.012", "--ibu", "24", "--srm", "24", "--trait", "fermentation=lager"]


def run(*args: str | Path) -> Result:
    return RUNNER.invoke(app, [str(a) for a in args], env={"COLUMNS": "80", "NO_COLOR": "1"})


def as_json(result: Result) -> dict[str, Any]:
    value = json.loads(result.stdout)
    assert value["format"] == 1
    return dict(value)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "season"
    result = run("demo", folder)
    assert result.exit_code == 0, result.output
    return folder


COMMANDS = [
    "demo",
    "start",
    "vitals",
    "fit",
    "suggest",
    "styles",
    "check",
    "prepare",
    "labels",
    "packing",
    "shipping",
    "schema",
]


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example_and_stands_in_the_readme(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0
    assert f"Example: entryprep {command}" in result.stdout
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    assert f"`{command}" in readme


def test_no_command_is_without_test() -> None:
    names = sorted(command.name or command.callback.__name__ for command in app.registered_commands if command.callback)
    assert names == sorted((*COMMANDS, *RECEIVING))


def test_demo_shows_and_prints_and_is_the_same_the_second_time(demo: Path) -> None:
    made = {p.name: p.read_bytes() for p in (demo / "out").iterdir()}
    assert {"fit-sheets.pdf", "entries.csv", "entries.json", "slips-blind-heron.pdf"} <= set(made)
    again = run("demo", demo)
    assert again.exit_code == 0
    assert "used as it stands" in " ".join(again.output.split())
    assert {p.name: p.read_bytes() for p in (demo / "out").iterdir()} == made


def test_demo_exercises_what_it_should(demo: Path) -> None:
    findings = as_json(run("check", demo, "--json", "--today", "2027-02-20"))["findings"]
    rules = {f["rule"] for f in findings}
    assert {"style-ambiguous", "style-out-of-range", "style-near-edge", "over-carbonated"} <= rules
    assert all(f["what"] and f["fix"] for f in findings)
    near = next(f for f in findings if f["rule"] == "style-near-edge")
    assert near["file"] == "batches/quay-light.yaml"
    clean = [f for f in findings if "lovfall" in f["file"] and f["severity"] != "note"]
    assert clean == []


def test_check_exit_codes(demo: Path, tmp_path: Path) -> None:
    assert run("check", demo, "--today", "2027-02-20").exit_code == 1
    assert run("check", tmp_path / "nowhere").exit_code == 2
    assert run("check", tmp_path).exit_code == 2
    assert run("check", demo, "--today", "tomorrow").exit_code == 2
    assert run("check", demo, "--competition", "nope").exit_code == 2


def test_prepare_refuses_while_errors_stand(demo: Path, tmp_path: Path) -> None:
    result = run("prepare", demo, "--out", tmp_path / "o", "--today", "2027-02-20")
    assert result.exit_code == 1
    assert "Nothing was printed" in result.output
    assert not (tmp_path / "o").exists()
    forced = run("prepare", demo, "--out", tmp_path / "o", "--today", "2027-02-20", "--despite-errors", "--json")
    assert forced.exit_code == 1
    assert len(as_json(forced)["files"]) >= 6


@pytest.mark.parametrize("command", ["labels", "packing", "shipping"])
def test_single_papers(command: str, demo: Path, tmp_path: Path) -> None:
    args = (command, demo, "--out", tmp_path / "o", "--today", "2027-02-20", "--despite-errors", "--page", "a4")
    assert run(*args).exit_code == 1
    assert [p for p in (tmp_path / "o").iterdir() if p.suffix == ".pdf"]


def test_prepare_leaves_a_strangers_folder_alone(demo: Path, tmp_path: Path) -> None:
    (tmp_path / "novel.txt").write_text("chapter one")
    result = run("prepare", demo, "--out", tmp_path, "--despite-errors", "--today", "2027-02-20")
    assert result.exit_code == 2
    assert "did not make" in result.stderr
    assert os.listdir(tmp_path) == ["novel.txt"]


def test_start_lays_out_a_season_that_checks(tmp_path: Path) -> None:
    assert run("start", tmp_path / "s").exit_code == 0
    again = run("start", tmp_path / "s")
    assert again.exit_code == 2
    assert "not empty" in again.stderr
    assert run("check", tmp_path / "s", "--today", "2027-01-01").exit_code in {0, 1}


def test_suggest_from_two_numbers() -> None:
    value = as_json(run("suggest", "--og", "1.048", "--fg", "1.010", "--json"))
    shares = [s["share"] for s in value["suggestions"]]
    assert len(shares) == 5
    assert shares == sorted(shares, reverse=True)
    assert 0 < sum(shares) + value["none_of_these"] < 1


def test_one_number_is_too_little() -> None:
    result = run("suggest", "--og", "1.048")
    assert result.exit_code == 2
    assert "at least two vitals" in result.stderr


def test_a_dark_lager_is_told_as_ambiguous() -> None:
    # common practice, no source: a dark lager of 24 SRM may be several styles
    value = as_json(run("suggest", *BEER, "--json"))
    assert len(value["close"]) >= 2
    assert "Too close to call between" in " ".join(run("suggest", *BEER).stdout.split())
    words = run("styles", "dark lager")
    assert words.exit_code == 0
    assert "may mean" in words.stdout


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["fit", "--og", "1.050", "--fg", "1.010", "--style", "dark lager"], "may mean"),
        (["fit", "--og", "1.050", "--fg", "1.010", "--style", "munchner hels"], "the nearest are"),
        (["fit", "--og", "1.050", "--fg", "1.010", "--style", "qqqqqq"], "no style is called"),
        (["fit", "--og", "1.050", "--fg", "1.010"], "no style was named"),
        (["vitals"], "no beer was named"),
        (["vitals", "--og", "1052"], "Did you mean 1.052?"),
        (["vitals", "--og", "1.010", "--fg", "1.050"], "above og"),
        (["vitals", "--og", "12,5"], "decimal comma"),
        (["vitals", "--ibu", "nan"], "not a number"),
        (["vitals", "--og", "1.05", "--units", "imperial"], "use metric or us"),
        (["suggest", "--og", "1.05", "--fg", "1.01", "--trait", "mood=gay"], "is not a trait"),
        (["suggest", "--og", "1.05", "--fg", "1.01", "--trait", "clarity"], "name=value"),
        (["suggest", "--og", "1.05", "--fg", "1.01", "--trait", "clarity=grey"], "bright, hazy"),
        (["suggest", "--og", "1.05", "--fg", "1.01", "--addition", "love"], "not a kind of addition"),
        (["styles", "zzzz"], "no style is called"),
        (["schema", "beer"], "use one of brewer"),
        (["vitals", "nowhere.yaml"], "there is no such file"),
        (["prepare", ".", "--page", "a3"], "use letter or a4"),
        (["brew"], "No such command"),
    ],
)
def test_wrong_use_is_one_clear_line(args: list[str], said: str) -> None:
    result = run(*args)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.output
    assert result.stdout == ""


@pytest.mark.parametrize("record", ["brewer", "batch", "competition", "entries", "styles", "sheet"])
def test_schema_is_a_schema(record: str) -> None:
    from jsonschema import Draft202012Validator

    Draft202012Validator.check_schema(json.loads(run("schema", record).stdout))


def test_schema_accepts_the_demo(demo: Path) -> None:
    from jsonschema import Draft202012Validator

    from entryprep.records.files import read_yaml

    for record, path in (("brewer", "brewer.yaml"), ("entries", "entries.yaml"), ("batch", "batches/elan.yaml")):
        data = json.loads(json.dumps(read_yaml(demo / path).data, default=str))
        Draft202012Validator(json.loads(run("schema", record).stdout)).validate(data)


def test_suggest_ranks_a_competitions_own_categories(demo: Path) -> None:
    file = demo / "competitions" / "saltmarsh-open.yaml"
    value = as_json(run("suggest", demo / "batches" / "lovfall.yaml", "--competition", file, "--json"))
    assert value["categories"][0]["category"] == "L2"
    assert value["categories"][0]["style"] == "vienna-lager"


@pytest.mark.parametrize("args", [["suggest", *BEER], ["fit", *BEER[:8], "--style", "schwarzbier"], ["styles"]])
def test_plain_terminal_output_is_narrow_and_uncoloured(args: list[str]) -> None:
    shown = run(*args).stdout
    assert "\x1b" not in shown
    assert max(len(line) for line in shown.splitlines()) <= 80


def test_users_text_cannot_steer_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_text("name: '[red]<b>=SUM(A1)'\nmeasured: {og: 1.050, fg: 1.010}\n")
    assert "[red]<b>=SUM(A1)" in run("vitals", path).stdout


def test_a_fault_of_ours_is_told_without_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    import entryprep.cli.styles as module

    def broken(*_args: object) -> None:
        raise ZeroDivisionError("boom")

    monkeypatch.setattr(module, "run", broken)
    result = run("styles")
    assert result.exit_code == 3
    assert "fault of entryprep" in result.stderr
    assert "Traceback" not in result.output


def test_interrupt_exits_130() -> None:
    slow = "import entryprep.cli.styles as m, time\nm.run = lambda *a: time.sleep(30)\n"
    code = slow + "from entryprep.cli import main\nmain()"
    process = subprocess.Popen([sys.executable, "-c", code, "styles"], stderr=subprocess.PIPE, text=True)
    time.sleep(2.0)
    process.send_signal(signal.SIGINT)
    _, error = process.communicate(timeout=20)
    assert process.returncode == 130
    assert "Interrupted" in error


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = f"{sys.executable} -m entryprep styles --json | head -c 10"
    result = subprocess.run(["bash", "-o", "pipefail", "-c", command], capture_output=True, text=True, check=False)
    assert "Traceback" not in result.stderr
    assert "fault" not in result.stderr


def test_an_error_in_a_batch_that_is_not_entered_does_not_stand_in_the_way(demo: Path, tmp_path: Path) -> None:
    import shutil

    season = tmp_path / "season"
    shutil.copytree(demo, season, ignore=shutil.ignore_patterns("out"))
    entry = "entries:\n  - {batch: lovfall, competition: saltmarsh-open, category: L2, number: '1609', way: drop-off}\n"
    (season / "entries.yaml").write_text(entry)
    result = run("prepare", season, "--today", "2027-02-20")
    assert "ERROR batches/elan.yaml" in result.stdout
    assert result.exit_code == 0
    assert (season / "out" / "slips-saltmarsh-open.pdf").exists()


def test_only_the_word_is_coloured(demo: Path) -> None:
    result = subprocess.run(
        [sys.executable, "-m", "entryprep", "check", str(demo), "--today", "2027-02-20"],
        env={**os.environ, "FORCE_COLOR": "1", "COLUMNS": "80"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert "\x1b[1;31mERROR\x1b[0m" in result.stdout
