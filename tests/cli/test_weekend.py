"""The weekend of a head steward: the register's competition, first lines, what is told and what is not judged.

All people, beers and competitions are invented.
"""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import pytest
from typer.testing import Result

from entryprep.beer.beer import Beer
from entryprep.cli.app import app
from entryprep.receiving.declaration import row_texts
from entryprep.receiving.register.book import read_register
from entryprep.receiving.register.identity import evidence
from tests.benchmarks.receiving import declarations
from tests.cli.test_register_commands import AT, JUDGES, LATER, RUNNER, as_json, folder, printed, rows_of, run
from tests.killing import KILLED, run_killed
from tests.receiving.sheets import check_in
from tests.work import lines_run

__all__ = ["folder", "printed"]

CUP = """name: Fen Cup
organiser: {name: Berit Moss, mail: berit@cup.example, answers_by: 2027-03-10}
bottles: {count: 3}
sessions: ["Sat 09:30-12:30 x6"]
categories:
  - {code: "21B", name: Sours, styles: [Gose]}
  - {code: "7", name: Dark}
prizes:
  - {name: Ribbon, of: category, places: 2, titles: [Blue, Red]}
  - {name: Best club, of: club, places: 1}
"""
FORM = "Entry,Brewer,Email,Beer,Style,Bottles\n"
FIRST = "1,Asta Lie,asta@a.example,Fen,21B,3\n2,Eli Moe,eli@a.example,Gale,dark lager,2\n"
SECOND = "1,Una Vik,una@b.example,Skerry,21B,3\n2,Bo Dahl,bo@b.example,Drift,Schwarzbier,3\n"


def plain(result: Result) -> str:
    return " ".join(result.output.split())


@pytest.fixture
def cup(tmp_path: Path) -> Path:
    """A register made with its competition named once."""
    for name, text in (("cup.yaml", CUP), ("a.csv", FORM + FIRST), ("b.csv", FORM + SECOND)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    out = tmp_path / "cup"
    first = ("--seed", "marsh light", "--competition", tmp_path / "cup.yaml", "--club", "Alder")
    done = run("intake", tmp_path / "a.csv", "--out", out, *first, *AT)
    assert done.exit_code == 1, done.output
    return out


def test_the_competition_is_named_once_and_holds_for_every_command(cup: Path, tmp_path: Path) -> None:
    assert (cup / "competition.yaml").read_text(encoding="utf-8") == CUP
    run("intake", tmp_path / "b.csv", "--out", cup, "--club", "Tarn", *LATER)
    assert {row["style"] for row in rows_of(cup / "judging.csv")} == {"Gose", "dark lager", "Schwarzbier"}
    letter = next((cup / "letters").glob("*eli*")).read_text(encoding="utf-8")
    assert "2 of the 3 bottles wanted" in " ".join(letter.split())
    assert "berit@cup.example" in " ".join(letter.split())
    (tmp_path / "judges.csv").write_text("judge\nOsei Tarn\n", encoding="utf-8")
    seats = ("--judges", tmp_path / "judges.csv", "--panel", "1", "--least", "1")
    value = as_json(run("flights", "--out", cup, *seats, "--json", *LATER))
    assert {flight["session"] for flight in value["flights"]} == {"Sat 09:30-12:30 x6"}
    scores = cup / "printing-1" / "scores.csv"
    (tmp_path / "scores.csv").write_text(scores.read_text(encoding="utf-8-sig"), encoding="utf-8")
    typed = rows_of(tmp_path / "scores.csv")
    total = "number,judge,total\n" + "".join(f"{r['number']},Osei Tarn,{30 + i}\n" for i, r in enumerate(typed))
    (tmp_path / "scores.csv").write_text(total, encoding="utf-8")
    run("results", tmp_path / "scores.csv", "--scale", "hundred", "--out", cup, *LATER)
    winners = rows_of(cup / "results" / "winners.csv")
    assert {row["title"] for row in winners if row["prize"] == "Ribbon"} == {"Blue", "Red"}
    assert [row["club"] for row in winners if row["prize"] == "Best club"], "a club is known by its form"
    assert as_json(run("register", cup, "--json"))["competition"] == "Fen Cup"
    assert "12 labels" in run("checkin", cup).output, "3 bottles of each of 4 entries"


def test_another_competition_is_asked_about_and_not_taken(cup: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    other.write_text(CUP.replace("count: 3", "count: 1"), encoding="utf-8")
    named = ("--competition", other)
    said = run("intake", tmp_path / "a.csv", "--out", cup, "--club", "Alder", *named, *LATER)
    assert said.exit_code == 1
    assert "is not the competition of this register: they differ in bottles" in plain(said)
    assert (cup / "competition.yaml").read_text(encoding="utf-8") == CUP
    again = run("flights", "--out", cup, *named, *LATER)
    assert again.exit_code == 2, "nothing is printed while that is open"
    assert len(as_json(run("register", cup, "--json"))["questions"]) == 1, "asked once"
    assert "question 1 is decided: take" in run("decide", cup, "1", "take", *LATER).output
    assert (cup / "competition.yaml").read_text(encoding="utf-8") == other.read_text(encoding="utf-8")
    back = run("flights", cup, "--competition", tmp_path / "cup.yaml")
    assert back.exit_code == 2
    assert "they differ in bottles" in plain(back)
    run("register", cup, "--competition", tmp_path / "cup.yaml", *LATER)
    run("decide", cup, "2", "keep", *LATER)
    kept = run("register", cup, "--competition", tmp_path / "cup.yaml", *LATER)
    assert "it was decided (question 2)" in plain(kept)


def test_the_question_of_a_run_that_printed_nothing_can_be_decided(cup: Path, tmp_path: Path) -> None:
    (tmp_path / "other.yaml").write_text(CUP.replace("Fen Cup", "Moor Cup"), encoding="utf-8")
    assert run("flights", "--out", cup, "--competition", tmp_path / "other.yaml", *LATER).exit_code == 2
    assert run("decide", cup, "1", "keep", *LATER).exit_code == 0


def test_the_owner_may_edit_the_competition_in_its_folder(cup: Path) -> None:
    path = cup / "competition.yaml"
    path.write_text(CUP.replace("styles: [Gose]", "styles: [Berliner Weisse]"), encoding="utf-8")
    assert "was changed since it was last used" in plain(run("register", cup, "--competition", path, *LATER))
    assert "Berliner Weisse" in (cup / "judging.csv").read_text(encoding="utf-8")
    path.unlink()
    run("register", cup, "--competition", path.with_name("entries.csv"), *LATER)
    assert "Berliner Weisse" in path.read_text(encoding="utf-8"), "the journal keeps it"


def judged(folder: Path, tmp_path: Path) -> tuple[str, str, list[str]]:
    """An entry whose category is judged at one flight, its number, and scores typed: 49 for it, 30 for others."""
    rows = rows_of(folder / "printing-1" / "scores.csv")
    tables: dict[str, set[str]] = {}
    for row in rows_of(folder / "flights.csv"):
        tables.setdefault(row["group"], set()).add(row["flight"])
    best = next(r["number"] for r in rows_of(folder / "flights.csv") if len(tables[r["group"]]) == 1)
    (entry,) = (row["entry"] for row in rows_of(folder / "key.csv") if row["number"] == best)
    typed = [f"{r['number']},{r['judge']},{49 if r['number'] == best else 30}" for r in rows]
    (tmp_path / "typed.csv").write_text("\n".join(["number,judge,total", *typed]) + "\n", encoding="utf-8")
    return entry, best, typed


TYPED = ("--scale", "hundred", "--out")


def test_an_entry_withdrawn_since_the_flights_were_printed_is_not_ranked_and_wins_nothing(
    folder: Path, tmp_path: Path
) -> None:
    entry, best, _ = judged(folder, tmp_path)
    run("entry", folder, entry, "withdrawn", *LATER)
    said = run("results", tmp_path / "typed.csv", *TYPED, folder, *LATER)
    assert f"{best} is entry {entry}, which is withdrawn: nothing of the row is used" in plain(said)
    for name in ("standings.csv", "winners.csv", "best-of-show.csv"):
        text = (folder / "results" / name).read_text(encoding="utf-8-sig")
        assert best not in text
        assert not any(row.get("entry") == entry for row in rows_of(folder / "results" / name))


def test_an_entry_withdrawn_after_it_was_scored_is_not_ranked_and_its_scores_are_kept(
    folder: Path, tmp_path: Path
) -> None:
    entry, best, _ = judged(folder, tmp_path)
    value = as_json(run("results", tmp_path / "typed.csv", *TYPED, folder, "--json", *LATER))
    assert best in [award["number"] for award in value["awards"]]
    run("entry", folder, entry, "withdrawn", *LATER)
    value = as_json(run("results", *TYPED, folder, "--json", *LATER))
    assert best not in json.dumps([value["awards"], value["standings"], value["rounds"], value["best_of_show"]])
    (told,) = (f for f in value["findings"] if f["rule"] == "entry-not-ranked")
    assert entry in told["what"]
    assert told["severity"] == "warning"
    run("entry", folder, entry, "reentered", *LATER)
    value = as_json(run("results", *TYPED, folder, "--json", *LATER))
    assert best in [award["number"] for award in value["awards"]], "nothing that was scored is lost"


def test_a_judge_taken_out_of_the_sheet_is_gone_and_told(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "judges.csv").write_text(JUDGES.replace("Vera Holm,\n", ""), encoding="utf-8")
    sheet = ("--judges", tmp_path / "judges.csv")
    said = run("flights", "--out", folder, *sheet, *LATER)
    assert "Vera Holm is no longer in the sheet of judges, and is taken as gone" in plain(said)
    assert "Vera Holm" not in (folder / "panels.csv").read_text(encoding="utf-8")
    again = run("flights", "--out", folder, *sheet, *LATER)
    assert "Vera Holm" not in again.output, "told once"
    (tmp_path / "judges.csv").write_text(JUDGES, encoding="utf-8")
    back = run("flights", "--out", folder, *sheet, *LATER)
    assert "Vera Holm stands in the sheet of judges again, and is back" in plain(back)


def test_a_judge_who_arrived_by_a_command_is_not_missed_in_the_sheet(folder: Path, tmp_path: Path) -> None:
    run("judge", folder, "Eva Roos", "arrived", *LATER)
    run("judge", folder, "Osei Tarn", "gone", "--after", "1", *LATER)
    said = run("flights", "--out", folder, "--judges", tmp_path / "judges.csv", *LATER)
    assert "sheet of judges" not in said.output
    judges = {j["judge"]: j["gone_after"] for j in as_json(run("register", folder, "--json"))["judges"]}
    assert judges["Eva Roos"] is None
    assert judges["Osei Tarn"] == 1, "a sheet that still names who left brings nobody back"


def test_places_typed_into_the_sheets_of_the_register_count_without_being_named(folder: Path, tmp_path: Path) -> None:
    judged(folder, tmp_path)
    run("results", tmp_path / "typed.csv", *TYPED, folder, *LATER)
    sheet = folder / "results" / "best-of-show.csv"
    first, *rest = sheet.read_text(encoding="utf-8-sig").splitlines()[1:]
    sheet.write_text("\n".join(["round,number,style,declared,place", first + "1", *rest]) + "\n", encoding="utf-8")
    run("results", *TYPED, folder, *LATER)
    assert [row["place"] for row in rows_of(folder / "results" / "winners.csv") if row["prize"] == "Best of show"] == [
        "1"
    ]
    assert sheet.read_text(encoding="utf-8").count("1\n"), "what was typed stays"


@pytest.fixture
def harmful(tmp_path: Path) -> Path:
    """A register with an entry that names a poison, which has been dosed with foxglove by what it says."""
    rows = "".join(f"{n},Asta Lie,Fen {n},Gose,\n" for n in range(1, 7))
    form = "Entry,Brewer,Beer,Style,Special ingredients\n" + rows + "7,Eli Moe,Moth,Spice Beer,foxglove leaves\n"
    (tmp_path / "form.csv").write_text(form, encoding="utf-8")
    out = tmp_path / "cup"
    said = run("intake", tmp_path / "form.csv", "--out", out, "--seed", "marsh light", *AT)
    assert said.exit_code == 1
    return out


def test_what_is_told_dangerous_to_drink_is_in_no_flight_until_a_steward_decides(harmful: Path) -> None:
    letter = next((harmful / "letters").glob("*eli*")).read_text(encoding="utf-8")
    assert "we do not pour it" in " ".join(letter.split())
    assert {row["entry"] for row in rows_of(harmful / "key.csv")} == {str(n) for n in range(1, 7)}
    said = run("flights", "--out", harmful, *LATER)
    assert said.exit_code == 2, "nothing is printed while that is open"
    assert "It is held back: it gets no number and comes into no flight" in plain(said)
    value = as_json(run("flights", "--out", harmful, "--despite-questions", "--json", *LATER))
    assert sorted(e["entry"] for f in value["flights"] for e in f["entries"]) == [str(n) for n in range(1, 7)]
    assert run("decide", harmful, "1", "pour", "--why", "a hop called so", *LATER).exit_code == 0
    value = as_json(run("flights", "--out", harmful, "--json", *LATER))
    assert "7" in [e["entry"] for f in value["flights"] for e in f["entries"]]
    assert value["findings"] == [] or "foxglove" not in json.dumps(value["findings"])


def test_harm_that_is_told_later_holds_an_entry_back_and_a_corrected_one_is_let_go(harmful: Path) -> None:
    run("entry", harmful, "7", "moved", "--specials", "ginger", *LATER)
    value = as_json(run("register", harmful, "--json"))
    assert value["questions"] == []
    assert all(entry["number"] for entry in value["entries"])
    said = run("entry", harmful, "3", "moved", "--specials", "thorn apple", *LATER)
    assert said.exit_code == 1
    assert "thorn apple" in said.output
    (entry,) = (e for e in as_json(run("register", harmful, "--json"))["entries"] if e["entry"] == "3")
    assert entry["held"]
    assert entry["number"] not in (harmful / "judging.csv").read_text(encoding="utf-8")
    run("entry", harmful, "3", "withdrawn", *LATER)
    assert as_json(run("register", harmful, "--json"))["questions"] == []
    run("entry", harmful, "3", "reentered", *LATER)
    assert len(as_json(run("register", harmful, "--json"))["questions"]) == 1, "it is asked again"


def test_a_plain_sheet_is_put_into_flights_without_what_is_dangerous(tmp_path: Path) -> None:
    sheet = tmp_path / "judging.csv"
    sheet.write_text("number,style,declaration\n11,Gose,\n12,Spice Beer,foxglove\n13,Gose,\n", encoding="utf-8")
    value = as_json(run("flights", sheet, "--json"))
    assert [e["number"] for f in value["flights"] for e in f["entries"]] == ["11", "13"]
    (told,) = (f for f in value["findings"] if f["rule"] == "poisonous-ingredient")
    assert told["severity"] == "error"
    assert "put into no flight" in told["fix"]


def test_ones_own_name_is_not_told_as_another_entrants() -> None:
    head = "entry,brewer,beer,style,specials\n"
    for rows in (
        "1,Jorun Haug,Fen,Gose,by Jorun Haug\n2,Jorun Haug,Gale,Gose,\n",
        "1,Jorun Haug,Fen,Gose,by Jorun Haug\n",
    ):
        (named,) = (f for d in check_in(head + rows) for f in d.findings if f.rule == "brewer-named")
        assert "the brewer's name" in named.what


def lines(*args: str | Path) -> list[str]:
    """What a command says, none of its lines broken."""
    wide = {"COLUMNS": "900", "NO_COLOR": "1"}
    return RUNNER.invoke(app, [str(a) for a in args], env=wide).output.splitlines()


def test_the_first_line_of_intake_says_how_many_need_an_answer_and_the_second_what_to_do(tmp_path: Path) -> None:
    form, out = tmp_path / "form.csv", tmp_path / "cup"
    rows = "1,Asta Lie,Fen,Gose,\n2,Eli Moe,Gale,dark lager,\n3,Una Vik,Moth,Spice Beer,thorn apple\n4,Bo Dahl,Sloe,,\n"
    form.write_text("Entry,Brewer,Beer,Style,Special ingredients\n" + rows, encoding="utf-8")
    said = lines("intake", form)
    assert said[0] == "4 entries: 3 need an answer before judging."
    assert said[1].startswith(f"Next: entryprep intake {form} --out FOLDER --seed")
    heads = [line for line in said if line[:1].isdigit() and "(row " in line]
    assert [line.split()[0] for line in heads] == ["3", "2", "4"], "what may hurt, then errors"
    assert not any(line.strip().startswith(("ERROR row", "warning row", "note row")) for line in said)
    said = lines("intake", form, "--out", out, "--seed", "marsh light", *AT)
    assert said[1] == f"Next: send the 3 letters in {out}/letters; then entryprep decide {out} 1 pour or out"
    first = next(line for line in said if line.startswith(("ERROR", "warning", "note")))
    assert "thorn apple" in first, "what may hurt somebody is told before all else"
    said = lines("decide", out, "1", "out", *LATER)
    assert lines("register", out)[1] == f"Next: entryprep flights --out {out} --judges judges.csv"


def test_the_first_lines_lead_from_flights_to_results(folder: Path, tmp_path: Path) -> None:
    scores = folder / "printing-1" / "scores.csv"
    said = lines("flights", "--out", folder, *LATER)
    assert said[0].startswith("40 entries in ")
    assert said[1] == f"Next: judge, type the scores into {scores}; then entryprep results {scores} --out {folder}"
    judged(folder, tmp_path)
    said = lines("results", tmp_path / "typed.csv", *TYPED, folder, *LATER)
    assert said[0].startswith("40 of 40 entries scored on ")
    assert said[1].startswith("Next: taste ")
    assert f"then entryprep results --out {folder}" in said[1]
    run("entry", folder, "1004", "withdrawn", *LATER)
    assert lines("register", folder)[0].endswith("no questions are open.")


def test_the_register_lists_its_questions_and_what_was_read_in_doubt(cup: Path, tmp_path: Path) -> None:
    doubled = FIRST + "1,Ida Moe,ida@c.example,Owl,Schwarzbeer,3\n"
    (tmp_path / "a.csv").write_text(FORM + doubled, encoding="utf-8")
    run("intake", tmp_path / "a.csv", "--out", cup, "--club", "Alder", *LATER)
    (tmp_path / "c.csv").write_text(
        "Entry,Who brewed this beer?,Style\n7,Sif Aas,Grandma\u2019s best\n8,Sif Aas,Schwarzbeer\n", encoding="utf-8"
    )
    run("intake", tmp_path / "c.csv", "--out", cup, "--club", "Cove", *LATER)
    text = plain(run("register", cup))
    assert lines("register", cup)[1] == f"Next: entryprep decide {cup} 1 apart or out"
    assert "Doubtful readings: 2 styles are not settled." in text
    assert "Alder/2 “dark lager” may mean Munich Dunkel" in text
    assert "“Schwarzbeer” is read as Schwarzbier" in text
    assert "the column “Who brewed this beer?” is read as brewer" in text
    assert len(as_json(run("register", cup, "--json"))["doubtful"]) == 4


def test_a_flight_of_one_and_a_setting_that_comes_too_late_are_told(folder: Path) -> None:
    said = run("flights", "--out", folder, "--least", "9", "--beers-a-day", "30", *LATER)
    assert "--least 9, --beers-a-day 30: what is printed stays as it was printed" in plain(said)
    assert "--least" not in run("flights", "--out", folder, *LATER).output.split("flight  entries")[0], "told once"


def test_one_entry_alone_in_a_flight_is_told(tmp_path: Path) -> None:
    form = tmp_path / "form.csv"
    rows = "".join(f"{n},Brew {n},Beer {n},Munich Helles\n" for n in range(1, 7)) + "7,Una Vik,Moth,Lambic\n"
    form.write_text("Entry,Brewer,Beer,Style\n" + rows, encoding="utf-8")
    run("intake", form, "--out", tmp_path / "cup", "--seed", "marsh light", *AT)
    value = as_json(run("flights", "--out", tmp_path / "cup", "--json", *AT))
    assert 1 in [len(flight["entries"]) for flight in value["flights"]]
    (told,) = (f for f in value["findings"] if f["rule"] == "flight-small")
    assert "one entry alone" in told["what"]
    assert told["severity"] == "warning"


def test_ties_are_explained_only_where_there_are_any(tmp_path: Path) -> None:
    sheet = tmp_path / "scores.csv"
    for two, tied in ((31, False), (30, True)):
        sheet.write_text(f"number,judge,total\n11,Runa,30\n12,Runa,{two}\n", encoding="utf-8")
        assert ("= marks ties" in run("results", sheet, "--scale", "hundred").output) is tied


def test_feedback_is_in_the_language_of_the_form(tmp_path: Path) -> None:
    form, out = tmp_path / "form.csv", tmp_path / "cup"
    rows = "1,Asta Lie,Fen,Gose,12 °P,3 °P\n2,Eli Moe,Gale,Gose,11 °P,3 °P\n"
    form.write_text("Startnummer,Brauer,Biername,Bierstil,Stammwürze,Restextrakt\n" + rows, encoding="utf-8")
    run("intake", form, "--out", out, "--seed", "marsh light", *AT)
    assert {row["language"] for row in rows_of(out / "key.csv")} == {"de"}
    run("flights", "--out", out, *AT)
    head = "number,judge,total,aroma words\n"
    numbers = [row["number"] for row in rows_of(out / "key.csv")]
    (tmp_path / "t.csv").write_text(head + "".join(f"{n},Runa,{30 + i},buttery\n" for i, n in enumerate(numbers)))
    run("results", tmp_path / "t.csv", *TYPED, out, *AT)
    text = " ".join((out / "results" / "feedback" / "entry-1.txt").read_text(encoding="utf-8").split())
    assert text.startswith("Bier 1, Fen Eingereicht als Gose Ergebnis:")
    assert "Zu „Diacetyl“" in text
    assert "zwei oder drei Tage warm stehen lassen" in text
    assert "Stammwürze 1,048, Bereich" in text


def test_a_row_is_tidied_once_however_often_its_form_is_read(tmp_path: Path) -> None:
    form = declarations(tmp_path / "form.csv", 60)
    before = row_texts.cache_info().misses, evidence.cache_info().misses
    run("intake", form, "--out", tmp_path / "cup", "--seed", "marsh light", *AT)
    assert row_texts.cache_info().misses - before[0] <= 60
    assert evidence.cache_info().misses - before[1] <= 60


def test_a_beer_is_fitted_to_a_style_once() -> None:
    beer = Beer(og=1.048, fg=1.010, ibu=20, srm=4, style="German pils")
    assert beer.fit("German pils") is beer.fit("German pils")
    assert beer.fit("Munich Helles") is not beer.fit("German pils")


def test_twice_the_entries_are_twice_the_work(tmp_path: Path) -> None:
    forms = [declarations(tmp_path / f"{count}.csv", count) for count in (60, 120)]
    for place, form in enumerate(forms):  # whatever is loaded once
        run("intake", form, "--out", tmp_path / f"warm{place}", "--seed", "marsh light", *AT)
    counts = []
    for form in forms:
        args = ("intake", form, "--out", tmp_path / f"o{form.stem}", "--seed", "marsh light", *AT)
        counts.append(lines_run(partial(run, *args)))
    few, many = counts
    assert many < 2.2 * few


def test_entries_of_no_settled_style_are_no_category_and_get_no_medal(tmp_path: Path) -> None:
    form, out = tmp_path / "form.csv", tmp_path / "cup"
    rows = "1,Asta Lie,Fen,Gose\n2,Eli Moe,Gale,Grandma's best\n3,Una Vik,Moth,whatever\n"
    form.write_text("Entry,Brewer,Beer,Style\n" + rows, encoding="utf-8")
    run("intake", form, "--out", out, "--seed", "marsh light", *AT)
    run("flights", "--out", out, *AT)
    key = {row["number"]: row["entry"] for row in rows_of(out / "key.csv")}
    typed = "number,judge,total\n" + "".join(f"{n},Runa,{40 + int(e)}\n" for n, e in key.items())
    (tmp_path / "t.csv").write_text(typed, encoding="utf-8")
    value = as_json(run("results", tmp_path / "t.csv", *TYPED, out, "--json", *AT))
    assert {key[award["number"]] for award in value["awards"] if award["number"]} == {"1"}
    (told,) = (f for f in value["findings"] if f["rule"] == "medal-unsettled")
    assert told["what"].startswith("2 entries are of no settled style")
    run("entry", out, "2", "moved", "--style", "Schwarzbier", *AT)
    value = as_json(run("results", *TYPED, out, "--json", *AT))
    assert "2" in {key[award["number"]] for award in value["awards"] if award["number"]}


@pytest.mark.parametrize("at", range(1, 16))
def test_a_run_killed_while_it_puts_the_competition_in_can_be_said_again(tmp_path: Path, at: int) -> None:
    for name, text in (("cup.yaml", CUP), ("a.csv", FORM + FIRST), ("other.yaml", CUP.replace("Fen Cup", "Moor Cup"))):
        (tmp_path / name).write_text(text, encoding="utf-8")
    out = tmp_path / "cup"
    args = ("intake", tmp_path / "a.csv", "--out", out, "--seed", "marsh light", *AT)
    assert run_killed(lambda: run(*args, "--competition", tmp_path / "cup.yaml"), at) in {KILLED, 0}
    done = run(*args, "--competition", tmp_path / "cup.yaml")
    assert done.exit_code == 1, done.output
    assert (out / "competition.yaml").read_text(encoding="utf-8") == CUP
    assert read_register(out).state.competition["name"] == "Fen Cup"
    assert not read_register(out).state.open_questions()
    run("register", out, "--competition", tmp_path / "other.yaml", *LATER)
    run_killed(lambda: run("decide", out, "1", "take", *LATER), at)
    run("decide", out, "1", "take", *LATER)
    assert "Moor Cup" in (out / "competition.yaml").read_text(encoding="utf-8")
    assert as_json(run("register", out, "--json"))["competition"] == "Moor Cup"
