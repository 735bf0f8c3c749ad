"""Places and prizes: one panel's word, never a mean across panels; ties are asked; names are of those who sat."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from entryprep.cli.app import app
from entryprep.formats.columns import matched
from entryprep.formats.workbook import open_workbook
from entryprep.paper.placingsheet import placing_sheets_pdf
from entryprep.paper.winners import winners_pdf
from entryprep.receiving.declaration import Reader
from entryprep.receiving.judgenames import PanelNames, matched_name
from entryprep.receiving.placing import Placed, Placing, read_places, usual_prizes
from entryprep.receiving.scores import ScoreSheet
from entryprep.receiving.standings import Standing, Votes, ranked
from entryprep.records.competition import Prize
from entryprep.tables.scales import load_scale
from tests.paper.readback import plain
from tests.receiving.sheets import sheet

PANEL = ("Asta Lie", "Jorun Vik", "Eli Moe", "Eli Dahl", "Osei Tarn")


@pytest.mark.parametrize(
    ("typed", "name", "how"),
    [
        ("Asta Lie", "Asta Lie", "named"),
        ("ASTA  LIE", "Asta Lie", "named"),
        ("Lie, Asta", "Asta Lie", "read"),
        ("A. Lie", "Asta Lie", "read"),
        ("Asta L", "Asta Lie", "read"),
        ("AL", "Asta Lie", "read"),
        ("Jorun", "Jorun Vik", "read"),
        ("vik", "Jorun Vik", "read"),
        ("Jorn Vik", "Jorun Vik", "read"),
        ("Oseï Tarn", "Osei Tarn", "named"),
        ("Eli", "", "several"),
        ("E. Moe", "Eli Moe", "read"),
        ("Bjarne", "", "stranger"),
        ("A", "", "stranger"),
        ("", "", "stranger"),
    ],
)
def test_a_name_is_matched_to_the_panel(typed: str, name: str, how: str) -> None:
    assert matched_name(typed, PANEL) == (name, how)


@given(st.text(max_size=20), st.lists(st.text(max_size=12), max_size=5))
def test_any_name_means_one_of_the_panel_or_nobody(typed: str, names: list[str]) -> None:
    found, how = matched_name(typed, names)
    assert (found in names and how in {"named", "read"}) or (found == "" and how in {"several", "stranger"})


def test_strangers_and_own_beers_are_refused_and_three_spellings_are_one() -> None:
    rows = "1,Asta Lie,38\n2,A. Lie,30\n3,Lie Asta,31\n1,Jorun,36\n2,Bjarne,50\n3,Jorun Vik,50\n2,Vik,29\n"
    opened = sheet(f"number,judge,total\n{rows}", "scores")
    names = PanelNames({1: PANEL}, dict.fromkeys("123", 1))
    reader = ScoreSheet(
        Reader(opened, matched(opened, "scores")), load_scale("fifty"), None, names, {"jorun vik": {"3"}}
    )
    scores = list(reader.scores())
    assert [(s.number, s.judge) for s in scores] == [
        ("1", "Asta Lie"), ("2", "Asta Lie"), ("3", "Asta Lie"), ("1", "Jorun Vik"), ("2", "Jorun Vik"),
    ]  # fmt: skip
    assert [(f.rule, f.line) for f in reader.findings if f.severity.value == "error"] == [
        ("score-stranger", 6),
        ("score-own", 7),
    ]


def standing(number: str, group: str, flight: int, score: float | None, place: int = 0) -> Standing:
    return Standing(number, group, flight, score, True, 0.0, (), score is None, place=place)


def given_(standings: list[Standing], places: dict[tuple[str, str], int] | None = None) -> Placed:
    return Placing(ranked(standings), places or {}).given(usual_prizes())


def placed(made: Placed, prize: str) -> list[tuple[str, int, str]]:
    return [(a.group, a.place, a.number) for a in made.awards if a.prize == prize]


def test_a_category_of_one_panel_is_placed_by_its_scores() -> None:
    made = given_([standing("1", "Bocks", 1, 40), standing("2", "Bocks", 1, 42), standing("3", "Bocks", 1, 30)])
    assert placed(made, "Place") == [("Bocks", 1, "2"), ("Bocks", 2, "1"), ("Bocks", 3, "3")]


def test_the_place_the_panel_wrote_outranks_its_scores() -> None:
    made = given_([standing("1", "Bocks", 1, 40, 1), standing("2", "Bocks", 1, 42, 2), standing("3", "Bocks", 1, 30)])
    assert placed(made, "Place")[:2] == [("Bocks", 1, "1"), ("Bocks", 2, "2")]


def test_ties_are_asked_and_given_to_nobody() -> None:
    made = given_([standing("1", "Bocks", 1, 40), standing("2", "Bocks", 1, 40), standing("3", "Bocks", 1, 30)])
    assert placed(made, "Place") == [("Bocks", 3, "3")]
    assert "medal-tie" in {f.rule for f in made.findings}


TWO = [standing(str(n), "Ales", 1 + n % 2, 30.0 + n) for n in range(8)]


def test_two_panels_are_never_compared_and_the_mini_round_decides() -> None:
    made = given_(TWO)
    assert placed(made, "Place") == []
    (mini,) = [each for each in made.rounds if each.kind == "category"]
    assert set(mini.numbers) == {"6", "4", "2", "7", "5", "3"}
    assert "medal-open" in {f.rule for f in made.findings}
    done = given_(TWO, places={("ales", "3"): 1, ("ales", "6"): 2, ("ales", "0"): 3})
    assert placed(done, "Place") == [("Ales", 1, "3"), ("Ales", 2, "6")], "the lower score won; 0 was not in the round"


FLIGHTS, POINTS = st.sampled_from([1, 2, 3]), st.sampled_from([20.0, 30.0, 40.0])
SCORES = st.lists(
    st.builds(standing, st.just("x"), st.sampled_from("ab"), FLIGHTS, POINTS), min_size=1, max_size=20
).map(lambda those: [replace(s, number=str(n)) for n, s in enumerate(those)])


@given(SCORES)
@settings(max_examples=60, deadline=None)
def test_no_medal_comes_from_scores_of_two_panels_and_none_is_given_twice(standings: list[Standing]) -> None:
    made = given_(standings)
    flights = {g: {s.flight for s in standings if s.group == g} for g in "ab"}
    assert not [a for a in made.awards if a.group and len(flights[a.group]) > 1]
    assert len({(a.prize, a.group, a.place) for a in made.awards}) == len(made.awards)
    by_number = {s.number: s for s in standings}
    for award in made.awards:
        if award.group:
            better = [
                s for s in standings if s.group == award.group and (s.score or 0) > (by_number[award.number].score or 0)
            ]
            assert award.place == len(better) + 1


def test_best_of_show_is_among_the_first_and_placed_by_its_own_sheet() -> None:
    standings = [standing("1", "Bocks", 1, 40), standing("2", "Bocks", 1, 30), standing("3", "Sours", 2, 25)]
    made = given_(standings)
    assert [each.numbers for each in made.rounds] == [("1", "3")]
    assert placed(made, "Best of show") == []
    done = given_(standings, places={("best of show", "3"): 1, ("best of show", "2"): 2})
    assert placed(done, "Best of show") == [("", 1, "3")]


def test_a_place_given_to_two_beers_is_given_to_neither() -> None:
    opened = sheet(
        "round,number,style,place\nAles,1,,1\nAles,2,,1st\nAles,3,,2.\nBocks,4,,1\nBocks,9,,2\nBocks,5,,second\n",
        "places",
    )
    found, findings = read_places(Reader(opened, matched(opened, "places")), {"1", "2", "3", "4", "5"})
    assert found == {("ales", "3"): 2, ("bocks", "4"): 1}
    assert sorted((f.rule, f.line) for f in findings) == [("place-twice", 2), ("place-unread", 6), ("place-unread", 7)]


def test_prizes_as_the_competition_names_them() -> None:
    standings = [standing("1", "Bocks", 1, 40), standing("2", "Bocks", 1, 35), standing("3", "Sours", 2, 25)]
    medals = Prize(name="Medal", of="category", places=2, titles=["gold", "silver"], least=30)
    club = Prize(name="Club", of="club", places=1, points=[5, 2])
    lager = Prize(name="Lager cup", of="round", places=1, categories=["7"])
    vote = Prize(name="Public", of="vote", places=1)
    placing = Placing(ranked(standings), {("lager cup", "1"): 1}, {"1": "Tarn BC", "2": "tarn bc", "3": "Fen"},
                      {"7": "Bocks"}, Votes((("3", 9), ("1", 2))))  # fmt: skip
    made = placing.given([club, lager, vote, medals])
    assert [(a.group, a.title, a.number) for a in made.awards if a.prize == "Medal"] == [
        ("Bocks", "gold", "1"), ("Bocks", "silver", "2"),
    ]  # fmt: skip
    assert [(a.club, a.points) for a in made.awards if a.prize == "Club"] == [("Tarn BC", 7.0)]
    assert [a.number for a in made.awards if a.prize == "Lager cup"] == ["1"]
    assert [a.number for a in made.awards if a.prize == "Public"] == ["3"]
    assert not [a for a in given_(standings).awards if a.prize == "Public"]


def test_papers_of_rounds_and_winners_say_who_and_where() -> None:
    beers = [("3018", "Gose", "with ██████ and salt"), ("3034", "Berliner Weisse", "")]
    for page in ("a4", "letter"):
        pdf = placing_sheets_pdf([("Sours", beers)], "Mini round", page)
        text = plain(pdf)
        assert all(word in text for word in ("Mini round: Sours", "3018", "3034", "place", "with"))
        assert "▯" not in text
        assert pdf == placing_sheets_pdf([("Sours", beers)], "Mini round", page)
    rows = [
        ("Medal", "Bocks", 1, "gold", "Asta Lie", "Tarn", "7", "Fen", ""),
        ("Club", "", 1, "", "", "", "", "Fen", "7"),
    ]
    text = plain(winners_pdf(rows, "a4"))
    assert all(word in text for word in ("Winners", "Bocks: Medal", "Gold", "Asta Lie", "Tarn", "7 points"))


def test_the_whole_weekend_from_declarations_to_winners(tmp_path: Path) -> None:
    """A score sheet as a workbook, filled in by two people, a mini round, best of show, winners on paper."""

    def run(*args: object) -> str:
        result = CliRunner().invoke(app, list(map(str, args)), env={"COLUMNS": "80", "NO_COLOR": "1"})
        assert result.exit_code in {0, 1}, result.output
        return result.stdout

    rows = "".join(f"{n},Asta Lie {n},x{n}@example.org,Beer {n},{'Ales' if n % 3 else 'Stouts'},"
                   f"{'Blonde Ale' if n % 3 else 'Irish Stout'}\n" for n in range(1, 37))  # fmt: skip
    (tmp_path / "d.csv").write_text(f"Entry,Brewer,Email,Beer,Category,Style\n{rows}", encoding="utf-8")
    (tmp_path / "j.csv").write_text(
        "judge\n" + "\n".join(["Jorun Vik", "Eli Moe", "Osei Tarn", "Una Dal"]), encoding="utf-8"
    )
    table, flown, out = tmp_path / "table", tmp_path / "flights", tmp_path / "results"
    run("intake", tmp_path / "d.csv", "--out", table, "--seed", "fen light")
    run("flights", table / "judging.csv", "--judges", tmp_path / "j.csv", "--panel", "2", "--out", flown)
    with (flown / "scores.xlsx").open("rb") as stream:
        book = open_workbook(stream, "scores.xlsx")
    parts = [name for name in book.header if name in {"aroma", "appearance", "flavour", "mouthfeel", "overall"}]
    assert parts == ["appearance", "aroma", "flavour", "mouthfeel", "overall"], "in the order of the card"
    lines = [row.cells for row in book.rows()]
    halves = (lines[: len(lines) // 2], lines[len(lines) // 2 :])
    for turn, half in enumerate(halves):
        typed = ["number,judge,aroma,appearance,flavour,mouthfeel,overall"]
        for index, cells in enumerate(half):
            judge = cells[1].upper() if turn else f"{cells[1].split()[0][0]}. {cells[1].split()[1]}"
            typed.append(f"{cells[0]},{judge},{5 + index % 7},2,{10 + index % 9},3,{4 + turn}")
        (tmp_path / f"s{turn}.csv").write_text("\n".join(typed) + "\n", encoding="utf-8")
    args = ("results", tmp_path / "s0.csv", "--also", tmp_path / "s1.csv", "--entries", table / "judging.csv", "--key",
            table / "key.csv", "--flights", flown / "flights.csv", "--out", out)  # fmt: skip
    first = run(*args)
    assert "read as" in first
    assert {"mini-rounds.csv", "mini-rounds.pdf"} <= {p.name for p in out.iterdir()}
    mini = (out / "mini-rounds.csv").read_text(encoding="utf-8-sig").splitlines()
    given: dict[str, int] = {}
    filled = [mini[0]]
    for line in mini[1:]:
        name = line.split(",")[0]
        given[name] = given.get(name, 0) + 1
        filled.append(line.rsplit(",", 1)[0] + f",{given[name]}")
    (tmp_path / "mini.csv").write_text("\n".join(filled) + "\n", encoding="utf-8")
    run(*args, "--places", tmp_path / "mini.csv")
    best = (out / "best-of-show.csv").read_text(encoding="utf-8-sig").splitlines()
    filled = [best[0], *(line.rsplit(",", 1)[0] + f",{n}" for n, line in enumerate(best[1:], 1))]
    (tmp_path / "best.csv").write_text("\n".join(filled) + "\n", encoding="utf-8")
    run(*args, "--places", tmp_path / "mini.csv", "--places", tmp_path / "best.csv")
    text = plain((out / "winners.pdf").read_bytes())
    assert "Ales 1" in text.replace("\n", " ")
    assert "Best of show" in text
    assert "Asta Lie" in text


def test_a_register_keeps_scores_half_entered_and_journals_a_change(tmp_path: Path) -> None:
    def run(*args: object) -> dict[str, Any]:
        result = CliRunner().invoke(app, [*map(str, args), "--json"], env={"COLUMNS": "80", "NO_COLOR": "1"})
        assert result.exit_code in {0, 1}, result.output
        return dict(json.loads(result.stdout))

    rows = "".join(f"{n},Asta Lie {n},x{n}@example.org,Beer {n},Ales,Blonde Ale\n" for n in range(1, 9))
    (tmp_path / "d.csv").write_text(f"Entry,Brewer,Email,Beer,Category,Style\n{rows}", encoding="utf-8")
    (tmp_path / "j.csv").write_text("judge\nJorun Vik\nEli Moe\n", encoding="utf-8")
    table = tmp_path / "table"
    run("intake", tmp_path / "d.csv", "--out", table, "--seed", "fen light")
    run("flights", table, "--judges", tmp_path / "j.csv", "--panel", "2", "--out", table)
    numbers = [line.split(",")[0] for line in (table / "key.csv").read_text(encoding="utf-8-sig").splitlines()[1:]]

    def typed(*lines: str) -> dict[str, Any]:
        (tmp_path / "s.csv").write_text("number,judge,total\n" + "\n".join(lines) + "\n", encoding="utf-8")
        return run("results", tmp_path / "s.csv", "--register", table, "--scale", "fifty", "--at", "2027-03-13T10:00")

    def scored(value: dict[str, Any]) -> dict[str, float | None]:
        return {s["number"]: s["score"] for s in value["standings"] if s["score"] is not None}

    first = typed(f"{numbers[0]},Jorun,38", f"{numbers[1]},Vik,30", f"{numbers[0]},Bjarne,50")
    assert scored(first) == {numbers[0]: 38, numbers[1]: 30}
    assert "score-stranger" in {f["rule"] for f in first["findings"]}
    second = typed(f"{numbers[2]},E. Moe,41")
    assert scored(second) == {numbers[0]: 38, numbers[1]: 30, numbers[2]: 41}, "half entered, and continued"
    third = typed(f"{numbers[0]},Jorun Vik,36", f"{numbers[2]},Eli Moe,41", f"{numbers[1]},Jorun Vik,")
    assert scored(third) == {numbers[0]: 36, numbers[1]: 30, numbers[2]: 41}
    (told,) = [f for f in third["findings"] if f["rule"] == "score-changed"]
    assert "was 38 and is 36" in told["what"]
    journal = [json.loads(line) for line in (table / "journal.jsonl").read_text(encoding="utf-8").splitlines()]
    kept = [(c["number"], c["total"]) for c in journal if c["what"] == "scored"]
    assert kept == [(numbers[0], 38.0), (numbers[1], 30.0), (numbers[2], 41.0), (numbers[0], 36.0)]
