"""The commands as a person types them: output, exit codes, and one clear message for whatever is wrong."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from entryprep.cli.app import COMMANDS as COMMANDS_ON_THE_SHELF
from entryprep.cli.app import app
from tests.cli.test_receiving_commands import COMMANDS as RECEIVING

RUNNER = CliRunner()
DEMO = "THE-DEMO"  # stands for the folder of the demo season
BEER = ["--og", "1.049", "--fg", "1.012", "--ibu", "26", "--srm", "20", "--trait", "fermentation=ale"]


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
    "add",
    "vitals",
    "fit",
    "suggest",
    "base",
    "styles",
    *RECEIVING,
    "checkin",
    "register",
    "entry",
    "judge",
    "decide",
    "check",
    "prepare",
    "labels",
    "packing",
    "shipping",
    "schema",
    "chart",
    "compare",
    "plan",
    "calendar",
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
    names = sorted(command.__name__ for command in COMMANDS_ON_THE_SHELF)
    assert names == sorted(COMMANDS)


def test_demo_shows_and_prints_and_is_the_same_the_second_time(demo: Path) -> None:
    made = {p.relative_to(demo): p.read_bytes() for p in (demo / "out").rglob("*") if p.is_file()}
    assert {"fit-sheets.pdf", "entries.csv", "entries.json", "slips-blind-heron.pdf"} <= {path.name for path in made}
    again = run("demo", demo)
    assert again.exit_code == 0
    assert "used as it stands" in " ".join(again.output.split())
    assert {p.relative_to(demo): p.read_bytes() for p in (demo / "out").rglob("*") if p.is_file()} == made


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


def test_slips_on_a_sheet_of_ones_own(demo: Path, tmp_path: Path) -> None:
    from tests.paper.readback import opened, positions

    folder = tmp_path / "season"
    shutil.copytree(demo, folder, ignore=shutil.ignore_patterns("out"))
    (folder / "templates" / "sheets").mkdir(parents=True)
    measures = "columns: 1\nrows: 2\nwidth: 4 in\nheight: 5 in\nleft: 1 in\ntop: 0.5 in\n"
    (folder / "templates" / "sheets" / "mine.yaml").write_text(f"page: letter\n{measures}")
    common = ("labels", folder, "--today", "2027-02-20", "--despite-errors", "--sheet", "mine")
    both = run(*common, "--start-at", "2")
    assert both.exit_code == 2
    assert "name one with --competition: blind-heron, saltmarsh-open" in " ".join(both.stderr.split())
    assert run(*common, "--start-at", "2", "--competition", "blind-heron", "--nudge", "-0.5,1").exit_code == 1
    pdf = (folder / "out" / "slips-blind-heron.pdf").read_bytes()
    count = len(opened(pdf).pages)
    slips = [page for page in range(count) if "Entry no." in opened(pdf).pages[page].extract_text()]
    assert len(slips) == 7  # 12 slips, 2 to a page, from the second place on
    first = positions(pdf, slips[0])
    assert all(72 < x < 360 and 36 < y < 396 for x, y in first)


def test_adhesive_slips_are_warned_of_where_rubber_bands_are_wanted(demo: Path, tmp_path: Path) -> None:
    args = ("labels", demo, "--today", "2027-02-20", "--despite-errors", "--out", tmp_path / "o")
    found = as_json(run(*args, "--sheet", "letter-10-adhesive", "--json"))["findings"]
    assert {f["file"] for f in found if f["rule"] == "slip-sticks"} == {
        "competitions/blind-heron.yaml",
        "competitions/saltmarsh-open.yaml",
    }
    plain = as_json(run(*args, "--sheet", "letter-8", "--json"))["findings"]
    assert not [f for f in plain if f["rule"] == "slip-sticks"]


def test_other_layouts_for_bottles_and_boxes(demo: Path, tmp_path: Path) -> None:
    from tests.paper.readback import plain

    args = ("labels", demo, "--today", "2027-02-20", "--despite-errors", "--out", tmp_path / "o")
    for layout in ("neck-tag", "box", "bottle"):
        assert run(*args, "--layout", layout).exit_code == 1
    made = sorted(p.name for p in (tmp_path / "o").glob("*saltmarsh*") if p.name[:7] != "errors-")
    assert made == ["boxes-saltmarsh-open.pdf", "neck-tag-saltmarsh-open.pdf", "slips-saltmarsh-open.pdf"]
    assert "Heron Street Malt Shop" in plain((tmp_path / "o" / made[0]).read_bytes())
    found = as_json(run(*args, "--layout", "bottle", "--json"))["findings"]
    assert [f["file"] for f in found if f["rule"] == "slip-without-stub"] == ["competitions/saltmarsh-open.yaml"]


def test_a_layout_of_ones_own_and_what_is_wrong_with_it(demo: Path, tmp_path: Path) -> None:
    from tests.paper.readback import plain

    layout = tmp_path / "mine.yaml"
    fields = "[{say: Número, largest: 9}, {show: number, bold: true, largest: 40, smallest: 20}]"
    zone = f"- {{top: 3 mm, bottom: 3 mm, fields: {fields}}}"
    head = "id: big\nanonymous: true\nleast_width: 60 mm\nleast_height: 40 mm\n"
    layout.write_text(f"{head}zones:\n  {zone}\n", encoding="utf-8")
    args = ("labels", demo, "--today", "2027-02-20", "--despite-errors", "--out", tmp_path / "o", "--layout", layout)
    assert run(*args).exit_code == 1
    said = plain((tmp_path / "o" / "big-saltmarsh-open.pdf").read_bytes())
    assert "Número 1609" in said
    assert "Vienna" not in said
    layout.write_text(f"{head}zones:\n  {zone.replace('number', 'brewer')}\n", encoding="utf-8")
    broken = run(*args)
    assert broken.exit_code == 2
    assert "brewer stands on the judges' part" in " ".join(broken.stderr.split())


def test_letters_the_font_lacks_are_named_with_the_way_out(demo: Path, tmp_path: Path) -> None:
    import reportlab

    folder = tmp_path / "season"
    shutil.copytree(demo, folder, ignore=shutil.ignore_patterns("out"))
    path = folder / "batches" / "lovfall.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("name: ", "name: ≡ 🍺 ", 1), encoding="utf-8")
    args = ("packing", folder, "--today", "2027-02-20", "--despite-errors", "--json")
    (found,) = (f for f in as_json(run(*args))["findings"] if f["rule"] == "letters-missing")
    assert found["what"] == "the printing font has no ≡ (U+2261) 🍺 (U+1F37A)"
    assert "--font FILE" in found["fix"]
    assert (found["file"], found["path"]) == ("batches/lovfall.yaml", "name")
    vera = Path(reportlab.__file__).parent / "fonts" / "Vera.ttf"
    (found,) = (f for f in as_json(run(*args, "--font", vera))["findings"] if f["rule"] == "letters-missing")
    assert found["what"] == "the printing font has no 🍺 (U+1F37A)"


def test_a_sheet_too_small_for_the_slip_is_one_clear_line(demo: Path, tmp_path: Path) -> None:
    args = ("labels", demo, "--today", "2027-02-20", "--despite-errors", "--out", tmp_path / "o")
    result = run(*args, "--sheet", "letter-30-adhesive")
    assert result.exit_code == 2
    assert "with a stub for the name needs 80 × 50.8 mm" in " ".join(result.stderr.split())
    assert not (tmp_path / "o").exists()


def test_a_calibration_page_needs_no_season(tmp_path: Path) -> None:
    result = run("labels", tmp_path, "--calibrate", "--sheet", "letter-30-adhesive")
    assert result.exit_code == 0
    assert "actual size" in result.stdout
    assert (tmp_path / "out" / "calibration-letter-30-adhesive.pdf").read_bytes().startswith(b"%PDF")
    assert as_json(run("labels", tmp_path, "--calibrate", "--json"))["files"][0].endswith("calibration-a4-8.pdf")


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


def test_a_brown_ale_is_told_as_ambiguous() -> None:
    # common practice, no source: a brown ale of 20 SRM may be several styles
    value = as_json(run("suggest", *BEER, "--json"))
    assert value["placement"]["sure"] == "too close to call"
    assert "too close to call" in run("suggest", *BEER).stdout.splitlines()[0]
    assert value["placement"]["next"] in {s["style"] for s in value["suggestions"]}
    words = run("styles", "brown ale")
    assert words.exit_code == 0
    assert "may mean" in words.stdout


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["fit", "--og", "1.050", "--fg", "1.010", "--style", "brown ale"], "may mean"),
        (["fit", "--og", "1.050", "--fg", "1.010", "--style", "weisser traum"], "the nearest are"),
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
        (["labels", ".", "--calibrate", "--page", "a3"], "use letter or a4"),
        (["labels", ".", "--calibrate", "--sheet", "leter-8"], "Did you mean letter-8?"),
        (["labels", ".", "--calibrate", "--sheet", "no/such.yaml"], "there is no such file"),
        (["labels", ".", "--calibrate", "--sheet", "a4-8", "--page", "letter"], "do not go together"),
        (["labels", ".", "--calibrate", "--sheet", "a4-8", "--start-at", "9"], "its places are 1 to 8"),
        (["labels", ".", "--calibrate", "--sheet", "a4-8", "--nudge", "30,0"], "over the right edge"),
        (["labels", ".", "--calibrate", "--nudge", "0.2,0"], "in steps of 0.5"),
        (["labels", ".", "--calibrate", "--nudge", "1"], "is not two numbers"),
        (["labels", ".", "--calibrate", "--nudge", "nan,inf"], "is not two numbers"),
        (["labels", DEMO, "--layout", "nektag"], "Did you mean neck-tag?"),
        (["labels", DEMO, "--layout", "no/such.yaml"], "there is no such file"),
        (["labels", DEMO, "--layout", "box", "--sheet", "a4-8"], "Box address slip needs 100 × 80 mm"),
        (["labels", DEMO, "--font", "no-such.ttf"], "the font no-such.ttf cannot be read: No such file"),
        (["labels", DEMO, "--font", f"{DEMO}/brewer.yaml"], "it is no font"),
        (["brew"], "No such command"),
    ],
)
def test_wrong_use_is_one_clear_line(args: list[str], said: str, demo: Path) -> None:
    options = ("--despite-errors", "--today", "2027-02-20") if DEMO in args else ()
    result = run(*(arg.replace(DEMO, demo.as_posix()) for arg in args), *options)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.output
    assert result.stdout == ""


@pytest.mark.parametrize("record", ["brewer", "batch", "competition", "entries", "styles", "sheet", "slip"])
def test_schema_is_a_schema(record: str) -> None:
    from jsonschema import Draft202012Validator

    Draft202012Validator.check_schema(json.loads(run("schema", record).stdout))


def test_schema_accepts_the_demo(demo: Path) -> None:
    from jsonschema import Draft202012Validator

    from entryprep.reading.files import read_yaml

    for record, path in (("brewer", "brewer.yaml"), ("entries", "entries.yaml"), ("batch", "batches/elan.yaml")):
        data = json.loads(json.dumps(read_yaml(demo / path).data, default=str))
        Draft202012Validator(json.loads(run("schema", record).stdout)).validate(data)


def test_suggest_ranks_a_competitions_own_categories(demo: Path) -> None:
    file = demo / "competitions" / "saltmarsh-open.yaml"
    value = as_json(run("suggest", demo / "batches" / "lovfall.yaml", "--competition", file, "--json"))
    assert value["categories"][0]["category"] == "L2"
    assert value["categories"][0]["style"] == "vienna-lager"


@pytest.mark.parametrize("args", [["suggest", *BEER], ["fit", *BEER[:8], "--style", "british brown ale"], ["styles"]])
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
    # a shell's background job hands on "ignore interrupts", so the child asks for the usual handler itself
    usual = "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
    slow = "import entryprep.cli.styles as m, time\nm.run = lambda *a: (print('begun', flush=True), time.sleep(30))\n"
    code = usual + slow + "from entryprep.cli import main\nmain()"
    with subprocess.Popen(
        [sys.executable, "-c", code, "styles"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "begun\n"
        process.send_signal(signal.SIGINT)
        _, error = process.communicate(timeout=120)  # on a busy machine too
    assert process.returncode == 130
    assert "Interrupted" in error


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = f"{sys.executable} -m entryprep styles --json | head -c 10"
    result = subprocess.run(["bash", "-o", "pipefail", "-c", command], capture_output=True, text=True, check=False)
    assert "Traceback" not in result.stderr
    assert "fault" not in result.stderr


def test_an_error_in_a_batch_that_is_not_entered_does_not_stand_in_the_way(demo: Path, tmp_path: Path) -> None:
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
