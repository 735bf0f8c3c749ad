"""The receiving side in detail: who gets which letter, how a sheet is read, who may judge what, what is cut short."""

from __future__ import annotations

import csv
import io
import sys
from pathlib import Path

import pytest

from entryprep.cli.app import app
from entryprep.receiving.numbers import drawn
from tests.cli.test_receiving_commands import as_json, rows_of, run


def sheet(folder: Path, name: str, header: str, *rows: str) -> Path:
    path = folder / name
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return path


def words(*args: str | Path, code: int = 0) -> str:
    result = run(*args)
    assert result.exit_code == code, result.output
    assert "Traceback" not in result.output
    return " ".join(result.stdout.split())


# --- letters ---------------------------------------------------------------------------------------------------------

ENTRANTS = "entry,brewer,email,beer,style"


def letters(folder: Path) -> dict[str, str]:
    """The letters by the name of their file, white space made plain."""
    return {p.name: " ".join(p.read_text(encoding="utf-8").split()) for p in (folder / "letters").iterdir()}


def test_namesakes_get_a_letter_each_with_nothing_of_the_other(tmp_path: Path) -> None:
    path = sheet(
        tmp_path,
        "e.csv",
        ENTRANTS,
        "101,Idun Tveiten,idun@example.org,Night Ferry,dark lager",
        "102,Idun Tveiten,tveiten@example.net,Bell Buoy,stout",
        "103,IDUN TVEITEN,Idun@example.org,Tide Table,amber",
    )
    run("intake", path, "--out", tmp_path / "o")
    found = letters(tmp_path / "o")
    assert len(found) == 2
    first = next(text for text in found.values() if "Night Ferry" in text)
    second = next(text for text in found.values() if "Bell Buoy" in text)
    assert first != second
    assert "Tide Table" in first, "one person who writes name and address in other letters is one person"
    assert "102" not in first
    assert "101" not in second
    assert "Tide Table" not in second


def test_entries_without_a_name_have_a_letter_each(tmp_path: Path) -> None:
    path = sheet(tmp_path, "e.csv", ENTRANTS, "101,,,Night Ferry,dark lager", "102,,,Bell Buoy,dark lager")
    run("intake", path, "--out", tmp_path / "o")
    found = letters(tmp_path / "o")
    assert len(found) == 2
    assert all(text.startswith("Dear entrant,") for text in found.values())
    assert sum("Night Ferry" in text for text in found.values()) == 1


def test_a_letter_that_is_answered_is_taken_away(tmp_path: Path) -> None:
    path = sheet(
        tmp_path, "e.csv", ENTRANTS, "101,Idun,i@example.org,A,dark lager", "102,Liv,l@example.org,B,dark lager"
    )
    text = words("intake", path, "--out", tmp_path / "o", code=1)
    assert "(2 letters)" in text
    assert "No blind numbers were drawn" in text
    assert not (tmp_path / "o" / "key.csv").exists()
    sheet(tmp_path, "e.csv", ENTRANTS, "101,Idun,i@example.org,A,Munich dunkel", "102,Liv,l@example.org,B,dark lager")
    assert "(1 letter)" in words("intake", path, "--out", tmp_path / "o", code=1)
    assert list(letters(tmp_path / "o")) == ["to-liv.txt"]
    sheet(tmp_path, "e.csv", ENTRANTS, "101,Idun,i@example.org,A,Munich dunkel")
    assert "letters" not in words("intake", path, "--out", tmp_path / "o")


# --- what a sheet is read as -----------------------------------------------------------------------------------------


def test_columns_are_told_by_how_they_were_read_and_what_is_not_read_is_named(tmp_path: Path) -> None:
    path = sheet(tmp_path, "e.csv", "entry,Beer stile,Bed,Shoe size", "1,German pils,x,44")
    text = words("intake", path, "--map", "brewer=Bed")
    assert "2 Beer stile style its spelling" in text
    assert "3 Bed brewer --map" in text
    assert "Not read, but kept: Shoe size." in text
    value = as_json(run("intake", path, "--map", "brewer=3", "--json"))
    assert {(c["header"], c["field"], c["how"]) for c in value["columns"]} == {
        ("entry", "entry", "name"),
        ("Beer stile", "style", "spelling"),
        ("Bed", "brewer", "told"),
    }
    assert value["columns_not_read"] == ["Shoe size"]
    plain = words("intake", sheet(tmp_path, "p.csv", "entry,style", "1,German pils"))
    assert "because of" not in plain
    assert "Not read" not in plain
    spelt = words("intake", sheet(tmp_path, "q.csv", "Beer stile", "German pils"))
    assert "Read by name" not in spelt


@pytest.mark.parametrize(
    ("option", "said"),
    [
        ("style", "has not the form field=column"),
        ("=x", "has not the form"),
        ("sort=Bed", "sort"),
        ("brewer=Bad", "Bad"),
    ],
)
def test_a_mapping_that_leads_nowhere_is_one_clear_message(option: str, said: str, tmp_path: Path) -> None:
    path = sheet(tmp_path, "e.csv", "entry,style,Bed", "1,German pils,x")
    result = run("intake", path, "--map", option)
    assert result.exit_code == 2
    assert said in " ".join(result.stderr.split())
    assert result.stdout == ""


def test_what_is_no_plain_file_is_told(tmp_path: Path) -> None:
    for target, said in ((tmp_path, "this is not a plain file"), (tmp_path / "no.csv", "there is no such file")):
        result = run("intake", target)
        assert result.exit_code == 2
        assert said in " ".join(result.stderr.split())


def test_without_a_file_on_a_terminal_nobody_is_kept_waiting(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(sys, "stdin", Terminal())
    with pytest.raises(SystemExit) as stop:
        app(["intake"], standalone_mode=False)
    assert stop.value.code == 2
    assert "name a CSV file" in capsys.readouterr().err


def test_findings_of_the_whole_sheet_are_told(tmp_path: Path) -> None:
    path = tmp_path / "e.csv"
    path.write_bytes("entry,style,beer\n1,German pils,Blå Øye\n".encode("cp1252"))
    text = words("intake", path)
    assert "windows-1252" in text
    value = as_json(run("intake", path, "--json"))
    assert value["encoding"] == "windows-1252"
    assert value["entries"][0]["declared"]["beer"] == "Blå Øye"


def test_age_is_judged_on_the_day_of_the_judging(tmp_path: Path) -> None:
    path = sheet(tmp_path, "e.csv", "entry,style,packaged,received", "1,American IPA,2026-11-01,2026-11-20")

    def past(*options: str) -> bool:
        found = as_json(run("intake", path, "--json", *options))["entries"][0]["findings"]
        return "past-best" in {f["rule"] for f in found}

    assert not past()
    assert not past("--judged", "2026-12-01")
    assert past("--judged", "2027-11-01")
    refused = run("intake", path, "--judged", "soon")
    assert refused.exit_code == 2
    assert "--judged soon is not a date" in refused.stderr


def test_as_many_bottles_as_wanted_are_enough(tmp_path: Path) -> None:
    path = sheet(tmp_path, "e.csv", "entry,style,bottles", "1,German pils,2", "2,German pils,1", "3,German pils,0")
    listed = as_json(run("intake", path, "--bottles", "2", "--json"))["entries"]
    found = [{f["rule"]: f["severity"] for f in e["findings"]}.get("bottles-too-few") for e in listed]
    assert found == [None, "warning", "error"]


def test_no_more_entries_are_shown_than_are_asked_for(tmp_path: Path) -> None:
    path = sheet(tmp_path, "e.csv", "entry,style", *(f"{n},dark lager" for n in range(7)))
    text = words("intake", path, "--rows", "3", code=1)
    assert "... and 4 more entries with something to read; --rows 7 shows all." in text
    assert "more entries" not in words("intake", path, "--rows", "7", code=1)


# --- flights ---------------------------------------------------------------------------------------------------------

STYLES = ("German pils", "American porter", "American IPA", "Irish stout", "dubbel", "saison")
JUDGED = "number,category,style"


def numbered(count: int) -> list[str]:
    """So many blind numbers that are valid."""
    return sorted(drawn([f"e{n}" for n in range(count)], "words for the tests").values())


@pytest.fixture
def judging(tmp_path: Path) -> Path:
    numbers = numbered(12)
    rows = [
        f"{n},{'Pale' if i < 6 else 'Dark'},{'German pils' if i < 6 else 'American porter'}"
        for i, n in enumerate(numbers)
    ]
    return sheet(tmp_path, "judging.csv", JUDGED, *rows)


def test_a_panel_that_is_short_is_an_error_with_the_reason(judging: Path, tmp_path: Path) -> None:
    judges = sheet(tmp_path, "judges.csv", "judge,own", "Runa,", "Sif,")
    text = words("flights", judging, "--judges", judges, code=1)
    assert "flight 1 has 2 of 3 judges" in text
    assert "others have entries" not in text
    assert "ERROR" in text
    first = rows_of(judging)[0]["number"]
    judges = sheet(tmp_path, "judges.csv", "judge,own", f"Runa,{first}", "Sif,", "Liv,")
    text = words("flights", judging, "--judges", judges, code=1)
    assert "has 2 of 3 judges: the others have entries in it" in text
    assert "2 rounds" in text
    assert "3 judges" in text


def test_a_judge_who_entered_the_category_is_told_and_one_who_did_not_is_not(tmp_path: Path) -> None:
    numbers = numbered(12)
    path = sheet(tmp_path, "j.csv", JUDGED, *(f"{n},Pale,German pils" for n in numbers))
    judges = sheet(tmp_path, "judges.csv", "judge,own", f"Runa,{numbers[0]}", "Sif,")
    value = as_json(run("flights", path, "--judges", judges, "--panel", "2", "--most", "6", "--json"))
    near = [f["what"] for f in value["findings"] if f["rule"] == "panel-near"]
    (where,) = [f["flight"] for f in value["flights"] if numbers[0] not in {e["number"] for e in f["entries"]}]
    assert near == [f"flight {where}: Runa entered this category, though nothing in this flight"]
    for flight in value["flights"]:
        if numbers[0] in {e["number"] for e in flight["entries"]}:
            assert "Runa" not in flight["judges"]


def test_what_was_found_in_the_sheet_is_told_milder_and_small_flights_are_named(tmp_path: Path) -> None:
    path = sheet(
        tmp_path, "j.csv", JUDGED, *(f"{n},,{style}" for n, style in zip(numbered(2), ("dark lager", "x"), strict=True))
    )
    value = as_json(run("flights", path, "--json"))
    severities = {f["rule"]: f["severity"] for f in value["findings"]}
    assert set(severities.values()) <= {"warning", "note"}
    assert severities["flight-small"] == "note"
    assert "flight-small" not in {
        f["rule"] for f in as_json(run("flights", path, "--least", "1", "--json"))["findings"]
    }


def test_flights_without_judges_have_no_panels_and_are_written(judging: Path, tmp_path: Path) -> None:
    text = words("flights", judging, "--out", tmp_path / "o")
    assert "flight entries groups 1 6 " in text, "and no columns of rounds and judges"
    assert not (tmp_path / "o" / "panels.csv").exists()
    rows = rows_of(tmp_path / "o" / "scores.csv")
    assert [row["judge"] for row in rows] == [""] * 12
    assert "12 entries in 2 flights of 6." in text
    assert "nothing was written yet" in words("flights", judging)


def test_only_so_many_flights_are_shown(tmp_path: Path) -> None:
    numbers = numbered(130)
    path = sheet(tmp_path, "j.csv", JUDGED, *(f"{n},Group {n},{STYLES[i % 6]}" for i, n in enumerate(numbers)))
    text = words("flights", path, "--least", "1")
    assert "... and 10 more flights; --json gives all." in text
    assert len(as_json(run("flights", path, "--least", "1", "--json"))["flights"]) == 130


def test_many_cards_and_sheets_come_in_several_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from entryprep.cli import flightfiles, resultfiles
    from tests.paper.readback import plain

    numbers = numbered(4)
    rows = [f"{n},{'Pale' if i < 2 else 'Dark'},{STYLES[i // 2]}" for i, n in enumerate(numbers)]
    monkeypatch.setattr(flightfiles, "MOST_CARDS", 3)
    monkeypatch.setattr(flightfiles, "MOST_POURED", 1)
    out = tmp_path / "o"
    run("flights", sheet(tmp_path, "j.csv", JUDGED, *rows), "--out", out, "--least", "2")
    names = sorted(p.name for p in out.iterdir() if p.suffix == ".pdf")
    assert names == [f"{kind}-00{n}.pdf" for kind in ("pouring-lists", "tasting-cards") for n in (1, 2)]
    cards = " ".join(plain((out / name).read_bytes()) for name in names if "cards" in name)
    assert [n for n in numbers if cards.count(n) == 0] == []
    monkeypatch.setattr(resultfiles, "MOST_SHEETS", 3)
    scores = sheet(tmp_path, "s.csv", "number,judge,total", *(f"{n},Sif,{30 + i}" for i, n in enumerate(numbers)))
    run("results", scores, "--scale", "hundred", "--out", tmp_path / "r", "--page", "letter")
    made = sorted(p.name for p in (tmp_path / "r").rglob("feedback*.pdf"))
    assert len(made) == 2
    said = " ".join(plain(p.read_bytes()) for p in sorted((tmp_path / "r").rglob("*.pdf")))
    assert [n for n in numbers if f"Entry {n}" not in said] == []


# --- results ---------------------------------------------------------------------------------------------------------


def test_scores_alone_are_ranked_with_a_sheet_for_each(tmp_path: Path) -> None:
    numbers = numbered(3)
    scores = sheet(
        tmp_path, "s.csv", "number,judge,total,creative",
        f"{numbers[0]},Sif,71,x", f"{numbers[1]},Sif,80,", f"{numbers[2]},Sif,60,",
    )  # fmt: skip
    votes = sheet(tmp_path, "v.csv", "voter,entry", f"Sif,{numbers[0]}", f"Liv,{numbers[1]}")
    text = words("results", scores, "--scale", "hundred", "--votes", votes, "--out", tmp_path / "o")
    assert "3 of 3 entries scored" in text
    assert f"To taste for Best of show: {numbers[1]}." in text
    assert f"Place, place 1: {numbers[1]}" in text
    # a judge's mark and a visitor's vote are two, though both are called Sif
    assert f"Votes: {numbers[0]} (2 votes), {numbers[1]} (1 vote)." in text
    assert f"Creativity, place 1: {numbers[0]}" in text
    assert {p.name for p in (tmp_path / "o" / "feedback").glob("*.txt")} == {f"{n}.txt" for n in numbers}


def test_nothing_scored_yet_is_no_fault(tmp_path: Path) -> None:
    scores = sheet(tmp_path, "s.csv", "number,judge,total", *(f"{n},," for n in numbered(2)))
    text = words("results", scores, "--scale", "hundred")
    assert "0 of 2 entries scored" in text
    assert "best of show" not in text
    assert "Votes" not in text
    assert " rank " not in text


def test_a_tie_of_votes_is_told(tmp_path: Path) -> None:
    one, two = numbered(2)
    scores = sheet(tmp_path, "s.csv", "number,judge,total,creative", f"{one},Sif,70,x", f"{two},Liv,71,x")
    assert "There is a tie for the first." in words("results", scores, "--scale", "hundred")


def test_only_so_many_places_are_shown(tmp_path: Path) -> None:
    from entryprep.cli.results import MOST_SHOWN

    numbers = numbered(MOST_SHOWN + 5)
    scores = sheet(tmp_path, "s.csv", "number,judge,total", *(f"{n},Sif,{50 + i % 9}" for i, n in enumerate(numbers)))
    assert "... and 5 more; --json and standings.csv give all." in words("results", scores, "--scale", "hundred")


def test_a_decimal_comma_is_a_decimal(tmp_path: Path) -> None:
    (number,) = numbered(1)
    path = tmp_path / "s.csv"
    path.write_text(f"number;judge;total\n{number};Sif;70,5\n", encoding="utf-8")
    value = as_json(run("results", path, "--scale", "hundred", "--json"))
    assert value["standings"][0]["judges"] == [{"judge": "Sif", "total": 70.5}]


def test_flights_say_who_advances_and_what_is_no_list_of_flights_is_told(judging: Path, tmp_path: Path) -> None:
    run("flights", judging, "--out", tmp_path / "f")
    listed = rows_of(tmp_path / "f" / "flights.csv")
    scores = sheet(
        tmp_path, "s.csv", "number,judge,total", *(f"{r['number']},Sif,{60 + i}" for i, r in enumerate(listed))
    )
    args = ("results", scores, "--scale", "hundred", "--advance", "2")
    value = as_json(run(*args, "--flights", tmp_path / "f" / "flights.csv", "--json"))
    advancing = {s["number"] for s in value["standings"] if s["advances"]}
    best = {r["number"] for flight in ("1", "2") for r in [row for row in listed if row["flight"] == flight][-2:]}
    assert advancing == best
    assert {s["group"] for s in value["standings"]} == {"Pale", "Dark"}
    text = words(*args, "--flights", tmp_path / "f" / "flights.csv")
    assert "4 advance, 2 of each category at each flight." in text
    wrong = run(*args, "--flights", judging)
    assert wrong.exit_code == 2
    assert "name the flights.csv that flights wrote" in " ".join(wrong.stderr.split())


def test_a_row_of_the_list_without_a_flight_is_left_out(judging: Path, tmp_path: Path) -> None:
    rows = rows_of(judging)
    flights = sheet(tmp_path, "f.csv", "flight,number", f"1,{rows[0]['number']}", f"spare,{rows[1]['number']}")
    scores = sheet(tmp_path, "s.csv", "number,judge,total", *(f"{r['number']},Sif,70" for r in rows[:2]))
    value = as_json(run("results", scores, "--scale", "hundred", "--flights", flights, "--json"))
    assert {s["number"]: s["flight"] for s in value["standings"]} == {rows[0]["number"]: 1, rows[1]["number"]: None}


def test_many_findings_are_cut_short_and_all_stand_in_the_json(tmp_path: Path) -> None:
    numbers = numbered(40)
    scores = sheet(tmp_path, "s.csv", "number,judge,total", *(f"{n},Sif,900" for n in numbers))
    text = words("results", scores, "--scale", "hundred", code=1)
    assert "more; --json gives all." in text
    listed = as_json(run("results", scores, "--scale", "hundred", "--json"))["findings"]
    assert sum(f["rule"] == "score-range" for f in listed) == 40
    assert text.count("is no number from 0 to 100") < 40


def test_what_goes_back_is_one_line_a_file(tmp_path: Path) -> None:
    (number,) = numbered(1)
    scores = sheet(tmp_path, "s.csv", "number,judge,total", f"{number},Sif,70")
    text = words("results", scores, "--scale", "hundred", "--apart", "--out", tmp_path / "o")
    assert "feedback(2files)" in "".join(text.split())
    rows = list(csv.reader(io.StringIO((tmp_path / "o" / "standings.csv").read_text(encoding="utf-8-sig"))))
    assert rows[1].count(number) == 1


# --- people and groups -----------------------------------------------------------------------------------------------


def test_judges_share_the_work_and_nobody_sits_twice_at_once(tmp_path: Path) -> None:
    numbers = numbered(20)
    rows = [f"{n},Group {i // 4},{STYLES[i // 4]}" for i, n in enumerate(numbers)]
    judges = sheet(tmp_path, "judges.csv", "judge", *"ABCDE")
    args = ("--judges", judges, "--panel", "2", "--least", "4", "--most", "4", "--json")
    flights = as_json(run("flights", sheet(tmp_path, "j.csv", JUDGED, *rows), *args))["flights"]
    assert len(flights) == 5
    seats = [name for flight in flights for name in flight["judges"]]
    assert sorted(seats) == sorted("ABCDE" * 2), "ten seats, five judges: two each"
    for turn in {flight["round"] for flight in flights}:
        there = [name for flight in flights if flight["round"] == turn for name in flight["judges"]]
        assert len(there) == len(set(there))


@pytest.mark.parametrize("brewers", ["Sif Moen and Ola Lie", "Ola Lie & Sif Moen", "Ola Lie; Sif Moen", "SIF MOEN"])
def test_each_of_several_brewers_is_kept_from_the_common_beer(brewers: str, tmp_path: Path) -> None:
    number, *others = numbered(6)
    path = sheet(tmp_path, "j.csv", JUDGED, *(f"{n},Pale,German pils" for n in (number, *others)))
    key = sheet(tmp_path, "key.csv", "number,entry,brewer,contact,beer", f"{number},1,{brewers},,A")
    judges = sheet(tmp_path, "judges.csv", "judge", "Sif Moen", "Liv Berg")
    value = as_json(run("flights", path, "--judges", judges, "--key", key, "--panel", "2", "--json"))
    assert [flight["judges"] for flight in value["flights"]] == [["Liv Berg"]]


def test_the_category_decides_with_whom_a_beer_is_tasted_and_else_its_family(tmp_path: Path) -> None:
    numbers = numbered(3)
    rows = [f"{numbers[0]},Cellar,German pils", f"{numbers[1]},Cellar,Irish stout", f"{numbers[2]},,Irish stout"]
    value = as_json(run("flights", sheet(tmp_path, "j.csv", JUDGED, *rows), "--least", "1", "--json"))
    groups = {e["number"]: flight["groups"] for flight in value["flights"] for e in flight["entries"]}
    assert groups[numbers[0]] == groups[numbers[1]] == ["Cellar"]
    assert groups[numbers[2]] != ["Cellar"]
    assert "tout" in groups[numbers[2]][0]


def test_a_special_beer_stands_where_its_base_does(tmp_path: Path) -> None:
    """Without numbers of its own a fruit beer is as strong, bitter and dark as its base: light ones come first."""
    one, other = numbered(2)
    header = "number,category,style,base"
    for bases, order in (
        (("English barley wine", "German pils"), [other, one]),
        (("German pils", "doppelbock"), [one, other]),
    ):
        rows = [f"{n},Fruit,fruit beer,{base}" for n, base in zip((one, other), bases, strict=True)]
        value = as_json(run("flights", sheet(tmp_path, "j.csv", header, *rows), "--least", "1", "--json"))
        assert [e["number"] for e in value["flights"][0]["entries"]] == order


def test_rows_of_one_entry_number_have_judging_numbers_of_their_own(tmp_path: Path) -> None:
    path = sheet(tmp_path, "e.csv", ENTRANTS, "7,Idun,,A,German pils", "7,Liv,,B,German pils", "8,Ola,,C,German pils")
    run("intake", path, "--out", tmp_path / "o", "--seed", "marsh light")
    assert len(rows_of(tmp_path / "o" / "key.csv")) == 2, "whether the second is an entry of its own is asked"
    run("decide", tmp_path / "o", "1", "apart")
    rows = rows_of(tmp_path / "o" / "key.csv")
    assert len({row["number"] for row in rows}) == 3
    assert {row["beer"]: row["entry"] for row in rows} == {"A": "7", "B": "7 (2)", "C": "8"}


def scored(folder: Path, *rows: str) -> tuple[Path, Path]:
    """Scores on the scale of a hundred, and the entries in two groups."""
    numbers = numbered(4)
    entries = sheet(
        folder, "j.csv", JUDGED, *(f"{n},{'Pale' if i < 2 else 'Dark'},saison" for i, n in enumerate(numbers))
    )
    lines = [row.format(*numbers) for row in rows]
    return sheet(folder, "s.csv", "number,judge,total", *lines), entries


def test_a_place_is_one_among_the_group(tmp_path: Path) -> None:
    scores, entries = scored(tmp_path, "{0},Sif,70", "{1},Sif,80", "{2},Sif,60", "{3},Sif,60")
    out = tmp_path / "o"
    text = words("results", scores, "--entries", entries, "--scale", "hundred", "--out", out)
    numbers = numbered(4)
    assert f"To taste for Best of show: {numbers[1]}." in text
    assert f"Dark: {numbers[2]}, {numbers[3]} tie for place 1; it is given to none of them" in text
    said = [" ".join((out / "feedback" / f"{n}.txt").read_text(encoding="utf-8").split()) for n in numbers]
    assert "place 2 of 2 in Pale." in said[0]
    assert "place 1 of 2 in Pale." in said[1]
    assert "place 1 (shared) of 2 in Dark." in said[2]
    assert "advances" not in said[1]


def test_who_advances_is_told_and_a_tie_that_lets_more_through(tmp_path: Path) -> None:
    scores, entries = scored(tmp_path, "{0},Sif,70", "{1},Sif,80", "{2},Sif,60", "{3},Sif,60")
    args = ("results", scores, "--entries", entries, "--scale", "hundred", "--advance", "1", "--json")
    value = as_json(run(*args))
    numbers = numbered(4)
    assert {s["number"] for s in value["standings"] if s["advances"]} == {numbers[1], *numbers[2:]}
    assert [f["what"] for f in value["findings"] if f["rule"] == "advance-tie"] == [
        "Dark: 2 advance instead of 1, for they tie"
    ]


def test_judges_who_lie_as_far_apart_as_is_allowed_need_not_agree(tmp_path: Path) -> None:
    from entryprep.tables.scales import load_scale

    limit = load_scale("hundred").spread
    for far, told in ((limit, False), (limit + 1, True)):
        scores, _ = scored(tmp_path, "{0},Sif,50", f"{{0}},Liv,{50 + far:g}")
        listed = as_json(run("results", scores, "--scale", "hundred", "--json"))
        assert any(f["rule"] == "score-spread" for f in listed["findings"]) == told
        assert listed["standings"][0]["score"] == pytest.approx(50 + far / 2)


def test_letters_that_the_font_lacks_are_told_wherever_papers_are_printed(tmp_path: Path) -> None:
    rows = "1,Una Vik,\u05d1\u05d9\u05e8\u05d4,Gose,\u05e4 and plum\n2,Bo Dahl,Fen,Gose,\n"
    (tmp_path / "d.csv").write_text(f"entry,brewer,beer,style,specials\n{rows}", encoding="utf-8")
    out = tmp_path / "cup"

    def told(*args: object) -> list[str]:
        value = as_json(run(*map(str, args), "--json"))
        return [f["what"] for f in value["findings"] if f["rule"] == "letters-missing"]

    told("intake", tmp_path / "d.csv", "--out", out, "--seed", "s")
    assert told("flights", "--out", out) == ["the printing font has no \u05e4 (U+05E4)"], "judges see no name"
    assert told("flights", "--out", out) == [], "nothing was printed"
    (beer,) = told("checkin", out)
    assert all(f"U+{ord(c):04X}" in beer for c in "\u05d1\u05d9\u05e8\u05d4")
    number = (out / "judging.csv").read_text(encoding="utf-8-sig").splitlines()[1].split(",")[0]
    (tmp_path / "s.csv").write_text(f"number,judge,total\n{number},Sif,30\n", encoding="utf-8")
    (feedback,) = told("results", tmp_path / "s.csv", "--out", out)
    assert "U+05" in feedback
