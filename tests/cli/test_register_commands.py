"""The register as a steward types it: forms in, changes, papers, one clear message for what is wrong. All invented."""

from __future__ import annotations

import csv
import io
import json
import os
import shutil
from pathlib import Path
from typing import Any

import pypdf
import pytest
from typer.testing import CliRunner, Result

from entryprep.cli.app import app
from entryprep.receiving.register.book import read_register
from tests.benchmarks.receiving import declarations
from tests.killing import KILLED, run_killed

RUNNER = CliRunner()
AT = ("--at", "2027-03-13T08:00")
LATER = ("--at", "2027-03-13T11:30", "--by", "Berit")


def run(*args: str | Path) -> Result:
    return RUNNER.invoke(app, [str(a) for a in args], env={"COLUMNS": "200", "NO_COLOR": "1"})


def as_json(result: Result) -> dict[str, Any]:
    assert result.exit_code in {0, 1}, result.output
    value = json.loads(result.stdout)
    assert value["format"] == 1
    return dict(value)


def rows_of(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


def papers(path: Path) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(path).pages)


JUDGES = "judge,own\n" + "".join(f"{name},\n" for name in ("Osei Tarn", "Lin Weir", "Vera Holm", "Bo Dahl", "Ida Moe"))


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A register with its flights printed, in ``cup`` beside the form and the judges it was made of."""
    made = tmp_path_factory.mktemp("printed")
    out = made / "cup"
    run("intake", declarations(made / "form.csv", 40), "--out", out, "--seed", "marsh light", *AT)
    (made / "judges.csv").write_text(JUDGES, encoding="utf-8")
    done = run("flights", "--out", out, "--judges", made / "judges.csv", "--beers-a-day", "0", *AT)
    assert done.exit_code in {0, 1}, done.output
    return made


@pytest.fixture
def folder(printed: Path, tmp_path: Path) -> Path:
    """A copy of the printed register."""
    shutil.copytree(printed, tmp_path, dirs_exist_ok=True)
    return tmp_path / "cup"


def test_the_same_words_at_the_same_time_give_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    run("intake", tmp_path / "form.csv", "--out", other, "--seed", "marsh light", *AT)
    run("flights", "--out", other, "--judges", tmp_path / "judges.csv", "--beers-a-day", "0", *AT)
    one = {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    assert one == {p.relative_to(other): p.read_bytes() for p in other.rglob("*") if p.is_file()}
    assert Path("printing-1/pouring-lists.pdf") in one


def test_one_withdrawn_entry_prints_one_flight_again_as_replacing_its_sheet(folder: Path) -> None:
    before = {p: p.read_bytes() for p in (folder / "printing-1").iterdir()}
    flight = next(row for row in rows_of(folder / "flights.csv") if row["place"] == "2")
    (entry,) = (row["entry"] for row in rows_of(folder / "key.csv") if row["number"] == flight["number"])
    said = run("entry", folder, entry, "withdrawn", "--why", "asked by mail", *LATER)
    assert f"entry {entry} is withdrawn." in said.stdout
    assert f"Flight {flight['flight']} is no longer as it was printed." in said.stdout
    assert flight["number"] not in (folder / "judging.csv").read_text(encoding="utf-8")
    value = as_json(run("flights", "--out", folder, "--json", *LATER))
    assert [f["flight"] for f in value["flights"] if f["left"]] == [int(flight["flight"])]
    assert sum(name.endswith("pouring-lists.pdf") for name in value["files"]) == 1
    text = papers(folder / "printing-2" / "pouring-lists.pdf")
    assert text.count("Pouring list, flight") == 1
    assert "replaces the sheet of 2027-03-13 08:00" in text
    assert flight["number"] not in text
    cards = papers(folder / "printing-2" / "tasting-cards.pdf")
    assert "replaces the card of 2027-03-13 08:00" in cards
    assert {p: p.read_bytes() for p in (folder / "printing-1").iterdir()} == before, "what is printed stays as it is"
    again = run("flights", "--out", folder, *LATER)
    assert "nothing is printed again" in again.stdout
    assert not (folder / "printing-3").exists()


def test_flights_of_a_register_without_judges(tmp_path: Path) -> None:
    out = tmp_path / "cup"
    run("intake", declarations(tmp_path / "form.csv", 12), "--out", out, "--seed", "s", *AT)
    assert run("flights", out, *AT).exit_code in {0, 1}
    assert not (out / "printing-1").exists(), "without --out nothing is printed, and nothing is frozen"
    assert run("flights", "--out", out, *AT).exit_code in {0, 1}
    assert (out / "printing-1" / "tasting-cards.pdf").exists()
    assert not (out / "panels.csv").exists()


CUP = """{note}name: Fen Cup
sessions: [{sessions}]
categories:
  - {{code: A1, name: Tart, styles: [{tart}]}}
  - {{code: A2, name: Dark, styles: [Oatmeal Stout]}}
"""


def test_a_competition_changed_after_printing_prints_again_what_would_read_otherwise(tmp_path: Path) -> None:
    people = ("Una Vik", "Sif Aas", "Bo Dahl", "Ida Moe", "Eli Horn", "Runa Tveit", "Liv Strand")
    rows = "".join(f"{n},{people[n % 7]},Moth {n},A{1 + n % 2}\n" for n in range(1, 15))
    (tmp_path / "form.csv").write_text(f"entry,brewer,beer,style\n{rows}", encoding="utf-8")
    (tmp_path / "judges.csv").write_text("judge\nOsei Tarn\nLin Weir\n", encoding="utf-8")
    cup, out = tmp_path / "cup.yaml", tmp_path / "cup"
    usual = {"sessions": "Sat 09:00-12:00", "tart": "Gose", "note": ""}
    cup.write_text(CUP.format(**usual), encoding="utf-8")
    run("intake", tmp_path / "form.csv", "--out", out, "--seed", "s", "--competition", cup, *AT)
    done = run("flights", "--out", out, "--judges", tmp_path / "judges.csv", "--panel", "1", *AT)
    assert done.exit_code in {0, 1}, done.output
    both = {int(row["flight"]) for row in rows_of(out / "panels.csv")}
    assert len(both) == 2

    def changed(**said: str) -> list[int]:
        (out / "competition.yaml").write_text(CUP.format(**usual | said), encoding="utf-8")
        told = run("register", out, *LATER).stdout
        assert "prints what has changed" in " ".join(told.split()), told
        value = as_json(run("flights", "--out", out, "--json", *LATER))
        again = "".join(run("register", out, *LATER).stdout.split())
        assert "printswhathaschanged" not in again, "it was looked at, and is asked no more"
        journal = (out / "journal.jsonl").read_bytes()
        run("flights", "--out", out, *LATER)
        assert (out / "journal.jsonl").read_bytes() == journal
        return sorted(flight["flight"] for flight in value["flights"] if flight["to_print"])

    assert changed(note="# the hall opens at 8\n") == [], "a note to oneself changes no sheet"
    (tart,) = {int(row["flight"]) for row in rows_of(out / "flights.csv") if row["style"] == "Gose"}
    assert changed(tart="Berliner Weisse") == [tart], "a code that means another style is on the sheets of its flight"
    assert "Berliner Weisse" in papers(out / "printing-2" / "pouring-lists.pdf")
    assert set(changed(sessions="Sat 10:00-13:00", tart="Berliner Weisse")) == both, "all are judged at another hour"
    assert "10:00" in papers(out / "printing-3" / "pouring-lists.pdf")
    assert changed(sessions="", tart="Berliner Weisse") == sorted(both), "and at none that is said"


def test_a_judge_who_left_is_replaced_where_somebody_is_free(folder: Path) -> None:
    panels = rows_of(folder / "panels.csv")
    name = panels[0]["judges"].split("; ")[0]
    said = run("judge", folder, name, "gone", "--after", "1", *LATER)
    assert f"{name} is gone after flight 1." in said.stdout
    run("flights", "--out", folder, *LATER)
    after = {row["flight"]: row["judges"] for row in rows_of(folder / "panels.csv")}
    assert name in after["1"]
    first = next(row for row in panels if row["flight"] == "1")
    later = [row for row in panels if int(row["round"]) > int(first["round"])]
    assert later
    assert not any(name in after[row["flight"]] for row in later)


def test_history_of_one_entry(folder: Path) -> None:
    run("entry", folder, "1007", "moved", "--style", "Gose", "--why", "the entrant wrote", *LATER)
    value = as_json(run("entry", folder, "1007", "--json"))
    assert [change["what"] for change in value["journal"]][:2] == ["entered", "numbered"]
    assert {k: value["journal"][-1][k] for k in ("what", "who", "why", "at")} == {
        "what": "moved",
        "who": "Berit",
        "why": "the entrant wrote",
        "at": "2027-03-13T11:30:00",
    }
    assert value["entry"]["declared"]["style"] == "Gose"
    shown = run("entry", folder, "1007").stdout
    assert "the entrant wrote" in shown
    assert "moved" in run("register", folder, "--journal").stdout


def test_an_edited_list_is_read_back_and_written_anew(folder: Path) -> None:
    path = folder / "entries.csv"
    text = path.read_text(encoding="utf-8-sig")
    path.write_text(text.replace("1003,entered", "1003,broken", 1), encoding="utf-8")
    said = run("entry", folder, "1004", "withdrawn", *LATER)
    assert "was edited since it was written" in " ".join(said.output.split())
    assert "1003,broken" in path.read_text(encoding="utf-8"), "an edited list is left as it is until it is read back"
    said = run("register", folder, "--sheet", path, *LATER)
    assert "1 entry changed by the list." in said.stdout
    standing = {row["entry"]: row["standing"] for row in rows_of(path)}
    assert (standing["1003"], standing["1004"]) == ("broken", "withdrawn")


def test_a_second_clubs_form_has_files_of_its_own_and_its_numbers_beside_the_first(
    folder: Path, tmp_path: Path
) -> None:
    before = {row["number"]: row["entry"] for row in rows_of(folder / "key.csv")}
    sheet = declarations(tmp_path / "tarn.csv", 12, seed=5)
    sheet.write_text(sheet.read_text(encoding="utf-8").replace("Brew ", "Tarn ").replace("b", "t"), encoding="utf-8")
    done = run("intake", sheet, "--out", folder, "--club", "Tarn Brewers", *LATER)
    assert done.exit_code in {0, 1}, done.output
    after = {row["number"]: row["entry"] for row in rows_of(folder / "key.csv")}
    assert before.items() <= after.items()
    assert sum(entry.startswith("Tarn Brewers/") for entry in after.values()) == 12
    assert len(rows_of(folder / "judging.csv")) == 52
    assert (folder / "checked.csv").exists()
    assert (folder / "checked-Tarn-Brewers-tarn.csv").exists()


def test_nothing_is_printed_while_rows_wait_for_an_answer(folder: Path, tmp_path: Path) -> None:
    form = tmp_path / "form.csv"
    form.write_text(
        form.read_text(encoding="utf-8") + "1007,Zoe Kahn,z@example.org,Drip,Gose" + "," * 12 + "\n", "utf-8"
    )
    run("intake", form, "--out", folder, *LATER)
    run("entry", folder, "1001", "withdrawn", *LATER)
    stopped = run("flights", "--out", folder, *LATER)
    assert stopped.exit_code == 2
    assert "nothing was printed" in stopped.stderr
    assert "entryprep decide" in stopped.output
    assert not (folder / "printing-2").exists()
    (question,) = as_json(run("register", folder, "--json"))["questions"]
    assert run("decide", folder, str(question["question"]), "out", *LATER).exit_code == 0
    run("flights", "--out", folder, *LATER)
    assert (folder / "printing-2").exists()


def scored(folder: Path, name: str, rows: list[tuple[str, str, float]]) -> Path:
    path = folder.parent / name
    path.write_text("number,judge,total\n" + "".join(f"{n},{j},{t:g}\n" for n, j, t in rows), encoding="utf-8")
    return path


def test_scores_are_kept_sheet_by_sheet_and_a_change_is_told(folder: Path) -> None:
    panel = rows_of(folder / "panels.csv")[0]
    numbers = [row["number"] for row in rows_of(folder / "flights.csv") if row["flight"] == panel["flight"]]
    one, two, three = panel["judges"].split("; ")
    first = scored(folder, "one.csv", [(number, one, 30) for number in numbers])
    second = scored(folder, "two.csv", [(number, two, 34) for number in numbers])
    run("results", first, "--out", folder, *LATER)
    value = as_json(run("results", second, "--out", folder, "--json", *LATER))
    ranked = {s["number"]: s["score"] for s in value["standings"] if s["score"] is not None}
    assert ranked == dict.fromkeys(numbers, 32.0), "what was typed in another sheet counts as well"
    assert (folder / "results" / "standings.csv").exists()
    before = (folder / "journal.jsonl").read_bytes()
    run("results", second, "--out", folder, *LATER)
    assert (folder / "journal.jsonl").read_bytes() == before, "the same sheet again changes nothing"
    third = scored(folder, "three.csv", [(numbers[0], one, 40), (numbers[0], three, 36)])
    value = as_json(run("results", third, "--out", folder, "--json", *LATER))
    (told,) = [f for f in value["findings"] if f["rule"] == "score-changed"]
    assert told["what"] == f"{one}'s score of {numbers[0]} was 30 and is 40 now; the journal keeps both"
    standing = next(s for s in value["standings"] if s["number"] == numbers[0])
    assert {j["judge"]: j["total"] for j in standing["judges"]} == {one: 40, two: 34, three: 36}
    entry = next(row["entry"] for row in rows_of(folder / "key.csv") if row["number"] == numbers[0])
    history = as_json(run("entry", folder, entry, "--json"))["journal"]
    changed = [change for change in history if change["what"] == "scored"]
    assert [change["total"] for change in changed] == [30, 34, 40, 36]
    assert changed[2]["who"] == "Berit"


def test_rows_left_empty_for_who_is_gone_are_no_errors_and_filled_ones_are(folder: Path) -> None:
    sheet, rows = folder / "printing-1" / "scores.csv", rows_of(folder / "printing-1" / "scores.csv")
    gone = rows_of(folder / "flights.csv")[0]["number"]
    entry = next(one.id for one in read_register(folder).state.entries.values() if one.number == gone)
    run("entry", folder, entry, "withdrawn", *LATER)
    run("judge", folder, rows[-1]["judge"], "gone", *LATER)
    run("flights", "--out", folder, *LATER)
    assert {gone, rows[-1]["number"]} <= {row["number"] for row in rows}
    done = run("results", sheet, "--out", folder, *LATER)
    assert done.exit_code == 0, done.output
    assert "ERROR" not in done.output
    misread = gone[:-1] + ("1" if gone[-1] == "0" else "0")  # another check character, so no number at all
    # what was written for them is not lost without a word, and a number that nobody was given is told even so
    withdrawn = next(row for row in rows if row["number"] == gone)
    for changes, wrong in (
        (
            dict.fromkeys(("appearance", "aroma", "flavour", "mouthfeel", "overall"), "3"),
            f"{gone} is entry {entry}, which is withdrawn",
        ),
        ({"improve": "colder"}, f"{gone} is entry {entry}, which is withdrawn"),
        ({"number": misread}, misread),
    ):
        text = io.StringIO()
        writer = csv.DictWriter(text, list(rows[0]))
        writer.writeheader()
        writer.writerows([row | changes if row is withdrawn else row for row in rows])
        sheet.write_text(text.getvalue(), encoding="utf-8")
        told = run("results", sheet, "--out", folder, *LATER)
        assert told.exit_code == 1
        assert wrong in told.output


def test_a_flight_printed_again_and_typed_into_both_sheets_is_told_once_and_the_later_sheet_counts(
    folder: Path,
) -> None:
    """The trade's usual slip: the old sheet goes on being filled in though a new one replaces it (common practice)."""
    run("entry", folder, "1003", "withdrawn", *LATER)
    run("flights", "--out", folder, *LATER)
    old, new = folder / "printing-1" / "scores.csv", folder / "printing-2" / "scores.csv"
    again = {(row["number"], row["judge"]) for row in rows_of(new)}
    assert again & {(row["number"], row["judge"]) for row in rows_of(old)}

    def fill(sheet: Path, aroma: str) -> list[int]:
        """Type the same points into every row of the flight that was printed again; their rows."""
        rows, typed = rows_of(sheet), []
        for at, row in enumerate(rows, 2):
            if (row["number"], row["judge"]) in again:
                row.update(dict.fromkeys(("appearance", "flavour", "mouthfeel", "overall"), "3"), aroma=aroma)
                typed.append(at)
        text = io.StringIO()
        writer = csv.DictWriter(text, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
        sheet.write_text(text.getvalue(), encoding="utf-8")
        return typed

    def told(*sheets: Path) -> tuple[list[dict[str, Any]], set[float]]:
        also = [word for sheet in sheets[1:] for word in ("--also", sheet)]
        value = as_json(run("results", sheets[0], *also, "--out", folder, "--json", *LATER))
        found = [f for f in value["findings"] if f["rule"].startswith("score-")]
        return found, {s["score"] for s in value["standings"] if s["score"] is not None}

    fill(new, "3")
    rows = fill(old, "3")
    assert told(old, new) == ([], {15.0}), "the same in both is nothing to tell"
    fill(old, "5")
    for sheets in ((old, new), (new, old)):
        (found,), scores = told(*sheets)
        assert (found["rule"], found["severity"]) == ("score-superseded", "error")
        assert found["file"] == old.as_posix()
        assert f"rows {', '.join(map(str, rows[:12]))}" in found["what"]
        assert new.as_posix() in found["what"]
        assert scores == {15.0}, "the sheet printed later counts, whichever is named first"
    (found,), scores = told(old)
    assert "typed into the sheet printed later" in found["what"]
    assert scores == {15.0}, "also when the earlier sheet is read by itself, after it"
    assert told(new) == ([], {15.0})


def test_what_was_typed_first_into_the_sheet_printed_before_is_kept_in_the_journal(folder: Path) -> None:
    run("entry", folder, "1003", "withdrawn", *LATER)
    run("flights", "--out", folder, *LATER)
    sheets = [folder / f"printing-{number}" / "scores.csv" for number in (1, 2)]
    number, judge = next((row["number"], row["judge"]) for row in rows_of(sheets[1]))
    for sheet, points in zip(sheets, (30, 34), strict=True):
        sheet.write_text(f"number,judge,total\n{number},{judge},{points}\n", encoding="utf-8")
        value = as_json(run("results", sheet, "--out", folder, "--json", *LATER))
    (found,) = [f for f in value["findings"] if f["rule"].startswith("score-")]
    assert (found["rule"], found["severity"]) == ("score-superseded", "warning")
    assert "this sheet counts now, and the journal keeps both" in found["what"]
    journal = [json.loads(line) for line in (folder / "journal.jsonl").read_text(encoding="utf-8").splitlines()]
    kept = [(each["total"], each["printing"]) for each in journal if each["what"] == "scored"]
    assert kept == [(30.0, 1), (34.0, 2)]


def test_scores_need_printed_flights(tmp_path: Path) -> None:
    run("intake", declarations(tmp_path / "form.csv", 8), "--out", tmp_path / "cup", "--seed", "s", *AT)
    said = run("results", scored(tmp_path / "cup", "s.csv", [("1", "Bo", 30)]), "--out", tmp_path / "cup")
    assert said.exit_code == 2
    assert "no flights of this register are printed" in said.stderr


def test_what_to_do_next_is_the_same_by_every_command(folder: Path) -> None:
    run("entry", folder, "1003", "withdrawn", *LATER)
    told = [run(*args, *LATER).stdout for args in (("flights", "--out", folder), ("flights", "--out", folder))]
    told.append(run("register", folder).stdout)
    following = {"".join(said.partition("Next: ")[2].partition("; then")[0].split()) for said in told}
    (scores,) = following
    assert [name for name in ("printing-1/scores.csv", "printing-2/scores.csv") if name in scores] == [
        "printing-1/scores.csv",
        "printing-2/scores.csv",
    ]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
@pytest.mark.parametrize("at", [3, 9, 14, 17, 20, 24, 28, 33])
def test_a_run_of_papers_that_is_killed_is_told_and_done_again(folder: Path, at: int) -> None:
    run("entry", folder, "1003", "withdrawn", *LATER)
    state = read_register(folder).state
    flight = next(n for n, f in state.flights.items() if "1003" in f["entries"])
    ended = run_killed(lambda: run("flights", "--out", folder, *LATER), at)
    assert ended in {KILLED, 0}
    known = read_register(folder).state
    assert known.owners == state.owners
    assert {n: f for n, f in known.flights.items() if n != flight} == {
        n: f for n, f in state.flights.items() if n != flight
    }
    done = run("flights", "--out", folder, *LATER)
    assert done.exit_code in {0, 1}, done.output
    after = read_register(folder).state
    assert "1003" not in after.flights[flight]["entries"]
    printing = after.flights[flight]["printing"]
    assert "replaces the sheet of" in papers(folder / f"printing-{printing}" / "pouring-lists.pdf")
    assert not list(folder.glob(".entryprep-run*"))


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("entry", "{}", "1003", "lost"), "is no change of an entry"),
        (("entry", "{}", "1003", "moved"), "moved needs what the entry is to be"),
        (("entry", "{}", "1003", "withdrawn", "--style", "Gose"), "goes with moved"),
        (("entry", "{}", "nobody"), "there is no entry nobody"),
        (("entry", "{}", "77", "--blind"), "no entry has the blind number 77"),
        (("entry", "{}", "1003", "renumbered", "--number", "12"), "is no blind number"),
        (("entry", "{}", "1003", "broken", "--at", "soon"), "is not a time"),
        (("entry", "nowhere", "1003"), "there is no register"),
        (("judge", "{}", "Osei Tarm", "gone"), "there is no judge Osei Tarm"),
        (("judge", "{}", "Osei Tarn", "late"), "is no change of a judge"),
        (("decide", "{}", "4", "apart"), "question 4 is not asked here"),
        (("register", "nowhere"), "there is no register"),
        (("register", "{}", "--sheet", "nowhere.csv"), "there is no such file"),
        (("flights", "{}", "--out", "elsewhere"), "are printed into its own folder"),
        (("flights", "{}", "--key", "key.csv"), "knows its entries by itself"),
        (("flights", "{}", "--least", "11"), "is more than --most"),
        (("flights", "nowhere.csv", "--out", "{}"), "is a register"),
        (("intake", "{}/checked.csv", "--out", "{}", "--seed", "others"), "is not the one the numbers"),
    ],
)
def test_wrong_use_is_one_clear_message_and_changes_nothing(folder: Path, args: tuple[str, ...], said: str) -> None:
    before = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    result = run(*(arg.format(folder) for arg in args))
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.stderr.split())
    assert "fix:" in result.stderr
    assert "Traceback" not in result.output
    assert {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()} == before


@pytest.mark.parametrize("command", ["register", "entry", "judge", "decide", "flights", "intake"])
def test_help_has_an_example(command: str) -> None:
    result = RUNNER.invoke(app, [command, "--help"], env={"COLUMNS": "80", "NO_COLOR": "1"})
    assert f"Example: entryprep {command}" in " ".join(result.stdout.split())
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
