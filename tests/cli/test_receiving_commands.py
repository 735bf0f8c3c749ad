"""The receiving side as a person types it: sheets in, files out, one clear message for whatever is wrong."""

from __future__ import annotations

import csv
import io
import json
import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from entryprep.cli.app import app
from tests.benchmarks.receiving import declarations

RUNNER = CliRunner()
COMMANDS = [
    "intake",
    "flights",
    "results",
]


def run(*args: str | Path, stdin: bytes | None = None) -> Result:
    env = {"COLUMNS": "80", "NO_COLOR": "1"}
    return RUNNER.invoke(app, [str(a) for a in args], env=env, input=stdin)


def as_json(result: Result) -> dict[str, Any]:
    value = json.loads(result.stdout)
    assert value["format"] == 1
    return dict(value)


def rows_of(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return declarations(tmp_path_factory.mktemp("sheet") / "entries.csv", 60)


@pytest.fixture(scope="module")
def table(sheet: Path) -> Path:
    out = sheet.parent / "table"
    assert run("intake", sheet, "--out", out, "--seed", "marsh light", "--bottles", "2").exit_code == 1
    return out


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0
    assert f"Example: entryprep {command}" in " ".join(result.stdout.split())
    assert max(len(line) for line in result.stdout.splitlines()) <= 80


def test_intake_shows_how_it_reads_and_what_it_found(sheet: Path) -> None:
    result = run("intake", sheet, "--rows", "5")
    assert result.exit_code == 1
    assert "Read by name: Entry, Brewer, " in " ".join(result.stdout.split())
    assert "more entries with something to read" in " ".join(result.stdout.split())
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    assert "\x1b" not in result.stdout


def test_intake_json_is_one_object_with_every_row(sheet: Path) -> None:
    value = as_json(run("intake", sheet, "--json"))
    assert len(value["entries"]) == value["summary"]["entries"] == 60
    assert [e["row"] for e in value["entries"]] == list(range(2, 62))
    assert value["separator"] == "comma"
    assert {c["field"] for c in value["columns"]} >= {"entry", "style", "og"}


def test_the_annotated_sheet_keeps_every_cell(sheet: Path, table: Path) -> None:
    before, after = rows_of(sheet), rows_of(table / "checked.csv")
    assert [{k: row[k] for k in before[0]} for row in after] == before
    assert any(row["found"] for row in after)


def test_only_the_key_joins_numbers_to_people(sheet: Path, table: Path) -> None:
    key = rows_of(table / "key.csv")
    private = {"key.csv", "entries.csv", "journal.jsonl"}
    assert {stat.S_IMODE((table / name).stat().st_mode) for name in private} == {0o600}
    numbers = {row["number"] for row in key}
    people = {row["brewer"] for row in key} | {row["contact"] for row in key} | {row["beer"] for row in key}
    assert len(numbers) == 60
    for path in table.rglob("*"):
        if path.is_file() and path.name not in private:
            words = path.read_text(encoding="utf-8-sig")
            cells = {cell for line in csv.reader(io.StringIO(words)) for cell in line}
            assert not (numbers & cells and any(person in words for person in people)), path.name
    judging = [row["number"] for row in rows_of(table / "judging.csv")]
    assert judging == sorted(numbers)
    assert "number" not in json.dumps(as_json(run("intake", sheet, "--json"))["entries"][0]["declared"])


def test_a_second_run_gives_the_same_and_late_arrivals_change_no_number(sheet: Path, tmp_path: Path) -> None:
    out, late = tmp_path / "t", tmp_path / "late.csv"
    text = sheet.read_text(encoding="utf-8")
    head, *rest = text.splitlines()
    late.write_text("\n".join([head, *rest[:40]]) + "\n", encoding="utf-8")
    run("intake", late, "--out", out, "--seed", "s")
    first = {row["entry"]: row["number"] for row in rows_of(out / "key.csv")}
    before = {p.name: p.read_bytes() for p in out.iterdir() if p.is_file()}
    run("intake", late, "--out", out, "--seed", "s")
    assert {p.name: p.read_bytes() for p in out.iterdir() if p.is_file()} == before
    late.write_text("\n".join([head, *reversed(rest)]) + "\n", encoding="utf-8")
    run("intake", late, "--out", out, "--seed", "s")
    second = {row["entry"]: row["number"] for row in rows_of(out / "key.csv")}
    assert first.items() <= second.items()
    assert len(second) == 60


def test_letters_ask_and_hold_no_number(table: Path) -> None:
    numbers = {row["number"] for row in rows_of(table / "key.csv")}
    letters = list((table / "letters").iterdir())
    assert letters
    for letter in letters:
        text = letter.read_text(encoding="utf-8")
        assert text.startswith("Dear ")
        assert "  - " in text
        assert max(len(line) for line in text.splitlines()) <= 76
        assert not numbers & set(text.replace("(", " ").replace(")", " ").split())


@pytest.mark.parametrize("named", [[], ["-"]])
def test_intake_reads_stdin(named: list[str], sheet: Path) -> None:
    value = as_json(run("intake", *named, "--json", stdin=sheet.read_bytes()))
    assert value["sheet"] == "stdin"
    assert len(value["entries"]) == 60


def test_formulas_and_markup_stay_text(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    path.write_text('entry,brewer,beer,style\n"=1+1","@SUM(A1)","[red]<b>x</b>","[red]-Gose\t"\n', encoding="utf-8")
    result = run("intake", path, "--out", tmp_path / "o", "--seed", "s")
    for name in ("checked.csv", "key.csv", "judging.csv"):
        for line in csv.reader(io.StringIO((tmp_path / "o" / name).read_text(encoding="utf-8-sig"))):
            assert not [cell for cell in line if cell[:1] in {"=", "+", "-", "@", "\t"}]
    assert "=1+1 (row 2)  “[red]-Gose”: may mean several" in result.stdout
    again = run("intake", path, "--out", tmp_path / "o", "--seed", "s")
    assert again.exit_code in {0, 1}, again.output


@pytest.mark.parametrize(
    ("content", "args", "said"),
    [
        (b"", [], "the file is empty"),
        (b"\x00\x01\x02" * 50, [], "binary file"),
        (b"PK\x03\x04", [], "or as CSV"),
        (b"a,b\n1,2\n", [], "no column says style"),
        (b"entry,style\n", [], "no row stands below"),
        (b"entry,style\n1,Gose\n", ["--map", "style"], "field=column"),
        (b"entry,style\n1,Gose\n", ["--map", "mood=style"], "is no field"),
        (b"entry,style\n1,Gose\n", ["--map", "base=mood"], "has no column"),
        (b"entry,style\n1,Gose\n", ["--separator", "pipe"], "use comma, semicolon, tab"),
        (b"entry,style\n1,Gose\n", ["--encoding", "klingon"], "not an encoding"),
        (b"entry,style\n1,Gose\n", ["--seed", "x"], "give --out"),
        (b"entry,style\n1,Gose\n", ["--judged", "soon"], "is not a date"),
        (None, [], "there is no such file"),
    ],
)
def test_wrong_use_of_intake_is_one_clear_message(
    content: bytes | None, args: list[str], said: str, tmp_path: Path
) -> None:
    path = tmp_path / "sheet.csv"
    if content is not None:
        path.write_bytes(content)
    result = run("intake", path, *args)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.output
    assert result.stdout == ""


def test_a_strangers_folder_is_left_alone(sheet: Path, tmp_path: Path) -> None:
    (tmp_path / "novel.txt").write_text("chapter one")
    result = run("intake", sheet, "--out", tmp_path, "--seed", "s")
    assert result.exit_code == 2
    assert os.listdir(tmp_path) == ["novel.txt"]


def test_a_long_name_and_every_script_pass(tmp_path: Path) -> None:
    path = tmp_path / "x.csv"
    path.write_text(
        f"entry,brewer,style\n1,{'Łø' * 150},dark lager\n2,Ж 🍺,stout\n3,..,stout\n4,CON,stout\n", encoding="utf-8"
    )
    assert run("intake", path, "--out", tmp_path / "o", "--seed", "s").exit_code == 1
    assert len(list((tmp_path / "o" / "letters").iterdir())) == 4


def test_intake_loads_neither_pdf_nor_more_than_it_needs() -> None:
    code = "import sys\nfrom entryprep.cli import main\nsys.argv = ['entryprep', 'intake', '--help']\n"
    code += "try:\n    main()\nexcept SystemExit:\n    pass\nprint(*sorted(sys.modules))"
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not {"reportlab", "rapidfuzz", "yaml"} & set(result.stdout.splitlines()[-1].split())


@pytest.fixture(scope="module")
def flown(table: Path) -> Path:
    out = table.parent / "flights"
    judges = table.parent / "judges.csv"
    names = [row["brewer"] for row in rows_of(table / "key.csv")[:2]]
    lines = [f"{names[0]},,x", f"{names[1]},,", "Ketil Aasen,,", "Runa Holt,,x", "Sif Moen,,", "=1+1,,"]
    judges.write_text("\n".join(["judge,own,head", *lines]) + "\n", encoding="utf-8")
    result = run("flights", table / "judging.csv", "--out", out, "--judges", judges, "--key", table / "key.csv")
    assert result.exit_code == 0, result.output
    return out


def test_flights_hold_every_entry_once(table: Path, flown: Path) -> None:
    numbers = [row["number"] for row in rows_of(flown / "flights.csv")]
    assert sorted(numbers) == sorted(row["number"] for row in rows_of(table / "judging.csv"))
    value = as_json(run("flights", table / "judging.csv", "--json"))
    assert [e["number"] for f in value["flights"] for e in f["entries"]] == numbers
    assert {"pouring-lists.pdf", "tasting-cards.pdf", "panels.csv", "scores.csv"} <= {p.name for p in flown.iterdir()}


def test_judges_stay_away_from_their_own_entries(table: Path, flown: Path) -> None:
    brewer = {row["number"]: row["brewer"] for row in rows_of(table / "key.csv")}
    panel = {row["flight"]: row["judges"].replace("'", "") for row in rows_of(flown / "panels.csv")}
    for row in rows_of(flown / "flights.csv"):
        assert brewer[row["number"]] not in panel[row["flight"]].split("; ")
    assert all(len(names.split("; ")) == 3 for names in panel.values())
    assert "=" not in {row["judges"][:1] for row in rows_of(flown / "panels.csv")}


def test_flights_again_are_the_same_and_scores_begun_are_left_alone(table: Path, flown: Path) -> None:
    before = {p.name: p.read_bytes() for p in flown.iterdir()}
    args = ("flights", table / "judging.csv", "--out", flown, "--judges", table.parent / "judges.csv")
    again = run(*args, "--key", table / "key.csv")
    assert again.exit_code == 0
    assert "was left as it is" in " ".join(again.stdout.split())
    assert {p.name: p.read_bytes() for p in flown.iterdir() if p.name != ".entryprep-made.json"} == {
        name: content for name, content in before.items() if name != ".entryprep-made.json"
    }


def test_a_misread_number_is_an_error(table: Path, tmp_path: Path) -> None:
    lines = (table / "judging.csv").read_text(encoding="utf-8-sig").splitlines()
    row = next(i for i, line in enumerate(lines) if i and line[1] != line[2])
    lines[row] = lines[row][0] + lines[row][2] + lines[row][1] + lines[row][3:]
    path = tmp_path / "j.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    result = run("flights", path, "--json")
    assert result.exit_code == 1
    assert [(f["rule"], f["line"]) for f in as_json(result)["findings"] if f["severity"] == "error"] == [
        ("number-misread", row + 1)
    ]


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--least", "9", "--most", "5"], "is more than --most"),
        (["--page", "a3"], "use letter or a4"),
        (["--scale", "thirty"], "no scale known here"),
        (["--scale", "nowhere.yaml"], "there is no such file"),
        (["--key", "key.csv"], "give --judges"),
        (["--judges", "nowhere.csv"], "there is no such file"),
    ],
)
def test_wrong_use_of_flights_is_one_clear_message(args: list[str], said: str, table: Path) -> None:
    result = run("flights", table / "judging.csv", *args)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())
    assert result.stdout == ""


def test_two_judges_of_one_name_and_unknown_entries_are_told(table: Path, tmp_path: Path) -> None:
    path = tmp_path / "judges.csv"
    path.write_text("judge,own\nRuna Holt,9999\nRuna Holt,\nSif,\n\n", encoding="utf-8")
    result = run("flights", table / "judging.csv", "--judges", path, "--panel", "2")
    words = " ".join(result.stdout.split())
    assert result.exit_code == 1
    assert "named twice" in words
    assert "own 9999, which is no entry here" in words


@pytest.fixture(scope="module")
def scored(flown: Path) -> Path:
    """The sheet of scores, filled in for all but the last rows."""
    path = flown.parent / "filled.csv"
    rows = rows_of(flown / "scores.csv")
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, rows[0])
        writer.writeheader()
        for index, row in enumerate(rows):
            if index < len(rows) - 20:
                points = {
                    "aroma": 7 + index % 4,
                    "appearance": 2,
                    "flavour": 13 + index % 5,
                    "mouthfeel": 3,
                    "overall": 7,
                }
                row |= {part: str(value) for part, value in points.items()}
                row |= {"overall_words": "clean, a little astringent", "improve": "less grain", "faults": "diacetyl"}
            writer.writerow(row)
    return path


def test_results_rank_and_write_and_again_the_same(table: Path, flown: Path, scored: Path, tmp_path: Path) -> None:
    out = tmp_path / "results"
    args = ("results", scored, "--entries", table / "judging.csv", "--flights", flown / "flights.csv", "--out", out)
    result = run(*args, "--advance", "2")
    assert result.exit_code == 0, result.output
    words = " ".join(result.stdout.split())
    assert "still open" in words
    assert "To taste for Best of show" in words
    assert "Creativity" not in words, "a prize by vote is given only where there is one"
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    standings = rows_of(out / "standings.csv")
    assert len(standings) == 60
    assert {row["open"] for row in standings} == {"yes", ""}
    before = {p: p.read_bytes() for p in out.rglob("*") if p.is_file()}
    assert run(*args, "--advance", "2").exit_code == 0
    assert {p: p.read_bytes() for p in out.rglob("*") if p.is_file()} == before


def test_a_sheet_begun_is_continued_and_loses_nothing(table: Path, scored: Path, tmp_path: Path) -> None:
    lines = scored.read_text(encoding="utf-8").splitlines()
    half, out = tmp_path / "half.csv", tmp_path / "o"
    half.write_text("\n".join(lines[:40]) + "\n", encoding="utf-8")
    args = ("results", half, "--entries", table / "judging.csv", "--out", out)
    assert run(*args).exit_code == 0
    first = {p.name for p in (out / "feedback").iterdir()}
    half.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert run(*args).exit_code == 0
    assert first < {p.name for p in (out / "feedback").iterdir()}
    assert as_json(run("results", half, "--entries", table / "judging.csv", "--json"))["standings"]


def test_feedback_with_the_key_is_by_entry_and_holds_no_number(table: Path, scored: Path, tmp_path: Path) -> None:
    out = tmp_path / "o"
    args = ("results", scored, "--entries", table / "judging.csv", "--key", table / "key.csv", "--out", out)
    run(*args)
    key = {row["entry"]: row for row in rows_of(table / "key.csv")}
    numbers = {row["number"] for row in key.values()}
    sheets = list((out / "feedback").iterdir())
    assert sheets
    for path in sheets:
        assert path.stem.removeprefix("entry-") in key
        assert not numbers & set(path.read_text(encoding="utf-8").replace(",", " ").split())
    winners = rows_of(out / "winners.csv")
    assert all(row["brewer"] for row in winners)
    assert not numbers & {cell for row in winners for cell in row.values()}
    assert {row["prize"] for row in winners} == {"Place"}


def test_feedback_apart_is_a_pdf_for_each(table: Path, scored: Path, tmp_path: Path) -> None:
    run("results", scored, "--entries", table / "judging.csv", "--apart", "--out", tmp_path / "o")
    made = [p.suffix for p in (tmp_path / "o" / "feedback").iterdir()]
    assert made.count(".pdf") == made.count(".txt") > 50
    assert not (tmp_path / "o" / "feedback.pdf").exists()


def test_results_tell_every_bad_row_and_keep_the_rest(table: Path, tmp_path: Path) -> None:
    numbers = [row["number"] for row in rows_of(table / "judging.csv")]
    path, votes = tmp_path / "s.csv", tmp_path / "v.csv"
    path.write_text(
        "number,judge,aroma,appearance,flavour,mouthfeel,overall,total\n"
        f"{numbers[0]},Ane,9,3,15,4,8,39\n{numbers[0]},Bo,6,1,8,2,4\n{numbers[1]},Ane,99,3,15,4,8\n"
        f"12345,Ane,9,3,15,4,8\n{numbers[0]},ane,9,3,15,4,8\n{numbers[2]},=1+1,9,3,15,4,8,1\n",
        encoding="utf-8",
    )
    votes.write_text(f"voter,entry\nAne,{numbers[0]}\nAne,{numbers[1]}\nBo,nothing\n", encoding="utf-8")
    result = run("results", path, "--entries", table / "judging.csv", "--votes", votes, "--json")
    assert result.exit_code == 1
    value = as_json(result)
    rules = {(f["rule"], f["line"]) for f in value["findings"]}
    assert {("score-range", 4), ("score-number", 5), ("score-twice", 6), ("score-sum", 7)} <= rules
    assert ("score-spread", 0) in rules
    assert {("vote-void", 3), ("vote-void", 4)} <= rules
    scores = {s["number"]: s["score"] for s in value["standings"] if s["score"] is not None}
    assert scores == {numbers[0]: 30, numbers[2]: 39}
    assert value["votes"] == [{"number": numbers[0], "votes": 1}]


def test_a_judge_who_scored_an_own_entry_is_told(table: Path, tmp_path: Path) -> None:
    row = rows_of(table / "key.csv")[0]
    path = tmp_path / "s.csv"
    path.write_text(f"number,judge,total\n{row['number']},{row['brewer'].upper()},18\n", encoding="utf-8")
    result = run("results", path, "--key", table / "key.csv", "--scale", "twenty", "--json")
    assert result.exit_code == 1
    assert [f["rule"] for f in as_json(result)["findings"]] == ["score-own"]


@pytest.mark.parametrize(
    ("content", "args", "said"),
    [
        ("number,judge,shoes\n1,A,30\n", [], "no column says aroma"),
        ("number,aroma\n1,3\n", ["--scale", "twenty"], "no column says judge"),
        ("number,judge,total\n1,A,30\n", ["--scale", "thirty"], "no scale known here"),
        ("number,judge,total\n1,A,30\n", ["--scale", "hundred", "--key", "nowhere.csv"], "cannot be read"),
        ("number,judge,total\n1,A,30\n", ["--scale", "hundred", "--entries", "nowhere.csv"], "there is no such file"),
        ("number,judge,total\n1,A,30\n", ["--scale", "hundred", "--votes", "nowhere.csv"], "there is no such file"),
        ("number,judge,total\n1,A,30\n", ["--scale", "hundred", "--page", "a5"], "use letter or a4"),
    ],
)
def test_wrong_use_of_results_is_one_clear_message(content: str, args: list[str], said: str, tmp_path: Path) -> None:
    path = tmp_path / "s.csv"
    path.write_text(content)
    result = run("results", path, *args)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.output
    assert result.stdout == ""


@pytest.mark.parametrize("command", COMMANDS)
def test_whatever_bytes_come_in_no_fault_of_ours_comes_out(command: str, tmp_path: Path) -> None:
    import random

    chance = random.Random(7)
    path = tmp_path / "x.csv"
    heads = (b"entry,style,og,judge,total,specials\n", b"", b"number;judge;aroma\n")
    for turn in range(25):
        body = bytes(chance.choice(b"0123456789,;\t\"'\n=+-abcKGosetout.\xc3\xb6\xff\x00") for _ in range(120))
        path.write_bytes(heads[turn % 3] + body)
        result = run(command, path, *(["--scale", "hundred"] if command == "results" else []))
        assert result.exit_code in {0, 1, 2}, (path.read_bytes(), result.output)
