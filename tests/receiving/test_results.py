"""Scores, standings, votes and feedback: checked row by row, ranked as scipy ranks, nothing lost."""

from __future__ import annotations

import random
import textwrap

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import rankdata

from entryprep.findings import Severity
from entryprep.formats.columns import matched
from entryprep.reading.yamltext import RecordError
from entryprep.receiving.declaration import Reader
from entryprep.receiving.feedback import WIDTH, About, _wrapped, as_text, faults_named, sheet_blocks
from entryprep.receiving.scores import Score, ScoreSheet
from entryprep.receiving.standings import Standing, counted_votes, crowded, gathered, ranked
from entryprep.receiving.voting import ballots_of
from entryprep.tables.faults import fault_table, faults_in_words, named_faults
from entryprep.tables.scales import PARTS, Scale, load_scale
from tests.receiving.sheets import sheet

FIFTY = load_scale("fifty")
HEADER = "number,judge,aroma,appearance,flavour,mouthfeel,overall,total,agreed,overall words,improve,faults,creative\n"


def read(rows: str, scale: Scale = FIFTY, known: frozenset[str] | None = None, header: str = HEADER) -> ScoreSheet:
    opened = sheet(header + rows, "scores")
    return ScoreSheet(Reader(opened, matched(opened, "scores")), scale, known)


def score(
    number: str,
    total: float | None,
    judge: str = "A",
    points: dict[str, float] | None = None,
    words: dict[str, str] | None = None,
    **more: object,
) -> Score:
    marks = tuple((points or {}).get(part) for part in PARTS)
    said = tuple((words or {}).get(part, "") for part in PARTS)
    given: dict[str, object] = {"agreed": None, "improve": "", "faults": "", "creative": False, "row": 2, **more}
    return Score(number, judge, marks=marks, total=total, said=said, **given)  # type: ignore[arg-type]


def told(rows: str, scale: Scale = FIFTY, known: frozenset[str] | None = None) -> list[tuple[str, int]]:
    reader = read(rows, scale, known)
    list(reader.scores())
    return [(f.rule, f.line) for f in reader.findings]


def test_the_trades_scale() -> None:
    # aroma 12, appearance 3, flavour 20, mouthfeel 5, overall 10 = 50: docslib.org/doc/9792853 (beer score sheet)
    assert FIFTY.parts == {"aroma": 12, "appearance": 3, "flavour": 20, "mouthfeel": 5, "overall": 10}
    assert FIFTY.top == 50
    # within 7 points, 13 the customary floor: judge procedures manual, yumpu.com/en/document/view/33862726
    assert (FIFTY.spread, FIFTY.floor) == (7, 13)


@pytest.mark.parametrize(
    ("low", "high", "name"),
    [
        # bands of the common fifty-point scale; from memory
        (45, 50, "outstanding"),
        (38, 44, "excellent"),
        (30, 37, "very good"),
        (21, 29, "good"),
        (14, 20, "fair"),
        (0, 13, "problematic"),
    ],
)
def test_bands(low: int, high: int, name: str) -> None:
    assert {FIFTY.band(value) for value in range(low, high + 1)} == {name}


def test_a_row_is_read() -> None:
    reader = read("40213,Runa,9,3,15,4,8,,,good beer,more hops,diacetyl,x\n")
    (found,) = reader.scores()
    assert found.total == 39
    assert found.points == {"aroma": 9, "appearance": 3, "flavour": 15, "mouthfeel": 4, "overall": 8}
    assert found.words == {"overall": "good beer"}
    assert found.creative
    assert reader.findings == []


@pytest.mark.parametrize(
    ("row", "rule"),
    [
        ("1,A,13,3,15,4,8,,,,,,", "score-range"),
        ("1,A,-1,3,15,4,8,,,,,,", "score-range"),
        ("1,A,nine,3,15,4,8,,,,,,", "score-range"),
        ("1,A,nan,3,15,4,8,,,,,,", "score-range"),
        ("1,A,1e1,3,15,4,8,,,,,,", None),
        ("1,A,9,3,15,4,8,40,,,,,", "score-sum"),
        ('1,A,"9,5",3,15,4,8,,,,,,', "score-step"),
        ("1,A,1,1,5,1,1,,,,,,", "score-floor"),
        ("1,,9,3,15,4,8,,,,,,", "score-judge"),
        ("1,A,9,3,15,,8,,,,,,", "score-open"),
        ("1,A,9,3,15,4,8,,,,,strange thing,", "fault-unknown"),
        ("1,A,,,,,,,,,,,", None),
    ],
)
def test_what_is_wrong_with_a_row_is_told(row: str, rule: str | None) -> None:
    rules = {name for name, line in told(row + "\n") if line == 2}
    assert (rule in rules) if rule else not rules


def test_numbers_that_are_no_entry_and_judges_twice() -> None:
    known = frozenset({"07940", "40213"})
    rows = "07940,A,9,3,15,4,8,,,,,,\n07941,A,9,3,15,4,8,,,,,,\n40221,A,,,,,,,,,,,\n"
    rows += ",A,9,3,15,4,8,,,,,,\n0794 0,a,1,1,1,1,1,,,,,,\n"
    wrong = [pair for pair in told(rows, known=known) if pair[0] != "score-floor"]
    assert wrong == [("score-number", 3), ("score-number", 4), ("score-number", 5), ("score-twice", 6)]
    reader = read(rows, known=known)
    assert [(s.number, s.total) for s in reader.scores()] == [("07940", 39)]
    assert any("check digit" in f.what for f in reader.findings)


def test_a_sum_alone_is_a_score() -> None:
    assert [s.total for s in read("1,A,,,,,,38,,,,,\n").scores()] == [38]
    hundred = load_scale("hundred")
    assert [s.total for s in read("1,A,88\n", hundred, header="number,judge,score\n").scores()] == [88]
    twenty = load_scale("twenty")
    assert [s.total for s in read("1,A,17.5\n", twenty, header="number,judge,score\n").scores()] == [17.5]


def test_names_with_formulas_are_only_names() -> None:
    (found,) = read('1,"=HYPERLINK(""http://x"")",9,3,15,4,8,,,@SUM(A1),+1,,\n').scores()
    assert found.judge.startswith("=HYPERLINK")
    assert found.words["overall"] == "@SUM(A1)"


TOTALS = st.lists(st.tuples(st.sampled_from("xyz"), st.integers(13, 50)), min_size=1, max_size=40)


@given(TOTALS)
@settings(max_examples=60, deadline=None)
def test_ranks_are_those_of_scipy(totals: list[tuple[str, int]]) -> None:
    # oracle: scipy.stats.rankdata, method "min", on the negated scores of each group
    groups = {f"{i:03d}": group for i, (group, _) in enumerate(totals)}
    scores = [score(f"{i:03d}", float(total)) for i, (_, total) in enumerate(totals)]
    random.Random(1).shuffle(scores)
    standings = ranked(gathered(scores, groups, {}, FIFTY, "s")[0])
    for group in set(groups.values()):
        inside = [s for s in standings if s.group == group]
        values = [s.score or 0.0 for s in inside]
        assert [s.rank for s in inside] == list(rankdata([-v for v in values], method="min").astype(int))
        assert [s.tied for s in inside] == [values.count(v) > 1 for v in values]
    assert len(standings) == len(totals)


@given(TOTALS, st.integers(0, 5))
@settings(max_examples=60, deadline=None)
def test_the_best_of_each_group_advance_and_all_that_tie(totals: list[tuple[str, int]], advance: int) -> None:
    groups = {f"{i:03d}": group for i, (group, _) in enumerate(totals)}
    scores = [score(f"{i:03d}", float(total)) for i, (_, total) in enumerate(totals)]
    standings = ranked(gathered(scores, groups, {}, FIFTY, "s")[0], advance)
    for group in set(groups.values()):
        inside = [s for s in standings if s.group == group]
        going = [s for s in inside if s.advances]
        assert len(going) >= min(advance, len(inside))
        assert [s.advances for s in inside] == [bool(advance) and s.rank <= advance for s in inside]
        too_many = len(going) > advance
        assert any(f.what.startswith(group) for f in crowded(standings, advance, "s")) == (too_many and bool(going))


def test_mean_agreed_spread_and_open() -> None:
    scores = [
        score("1", 30.0),
        score("1", 38.0, "B"),
        score("2", 40.0),
        score("2", None, "B"),
        score("3", 20.0, agreed=33.0),
    ]
    standings, findings = gathered(scores, {"1": "x", "2": "x", "3": "x", "4": "x"}, {}, FIFTY, "s.csv")
    by_number = {s.number: s for s in standings}
    assert (by_number["1"].score, by_number["1"].spread, by_number["1"].open) == (34.0, 8.0, False)
    assert (by_number["2"].score, by_number["2"].open) == (40.0, True)
    assert (by_number["3"].score, by_number["3"].agreed) == (33.0, True)
    assert (by_number["4"].score, by_number["4"].open) == (None, True)
    assert [(f.rule, f.severity) for f in findings] == [("score-spread", Severity.WARNING)]
    assert "A 30, B 38" in findings[0].what
    _, two = gathered([score("1", 30.0, agreed=31.0), score("1", 31.0, "B", agreed=32.0)], {"1": ""}, {}, FIFTY, "s")
    assert [f.rule for f in two] == ["score-agreed"]


def test_flights_advance_apart() -> None:
    scores = [score(str(n), float(t)) for n, t in ((1, 30), (2, 31), (3, 45), (4, 46))]
    groups = dict.fromkeys("1234", "x")
    standings = ranked(gathered(scores, groups, {"1": 1, "2": 1, "3": 2, "4": 2}, FIFTY, "s")[0], 1)
    assert {s.number for s in standings if s.advances} == {"2", "4"}


def test_votes_and_ballots() -> None:
    marked = [
        score("1", 30.0, creative=True),
        score("2", 30.0, "B", creative=True),
        score("2", 20.0, "C", creative=True),
    ]
    votes = counted_votes(marked, [("Ane", "1"), ("Bo", "3")])
    assert votes.counts == (("1", 2), ("2", 2), ("3", 1))
    assert votes.first == ("1", "2")
    opened = sheet("voter,entry\nAne,1\nane,2\nBo,9\n,1\nCai,2,extra\n", "votes")
    ballots, findings = ballots_of(Reader(opened, matched(opened, "votes")), {"1", "2"})
    assert ballots == [("Ane", "1"), ("Cai", "2")]
    assert [(f.rule, f.line) for f in findings] == [
        ("vote-void", 3),
        ("vote-void", 4),
        ("vote-void", 5),
        ("sheet-ragged", 6),
    ]


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        # the faults a feedback sheet must know; causes and remedies are common practice
        ("thin and dry finish", {"thin-dry"}),
        ("thin and dry", {"thin-dry"}),
        ("astringency; phenolic", {"astringent", "phenolic"}),
        ("oxidised, faint special ingredient", {"oxidised", "faint-special"}),
        ("hot alcohol / under-carbonated", {"hot", "under-carbonated"}),
        ("asstringent, butterscoch", {"astringent", "diacetyl"}),
        ("green apple and gusher", {"acetaldehyde", "over-carbonated"}),
    ],
)
def test_faults_of_a_list(text: str, ids: set[str]) -> None:
    found, unknown = named_faults(text)
    assert {fault.id for fault in found} == ids
    assert unknown == ()


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("A bit astringent at the end.", {"astringent"}),
        ("No astringency, not oxidised at all", set()),
        ("No diacetyl. But watery", {"thin-dry"}),
        ("without any cooked corn", set()),
        ("no butterscotch, green apple or cardboard", set()),
        ("not much hop, cardboard though", {"oxidised"}),
        ("beautiful hazy gold, sour and lovely smoky note", set()),
        ("I cannot find the raspberry", {"faint-special"}),
        ("", set()),
    ],
)
def test_faults_in_words(text: str, ids: set[str]) -> None:
    """How judges word faults: common practice, from memory."""
    assert {fault.id for fault in faults_in_words(text)} == ids


def test_the_table_of_faults_is_whole() -> None:
    from entryprep.text import fold

    homes: dict[str, str] = {}
    for fault in fault_table():
        assert fault.causes
        assert fault.remedies
        assert fault.source
        for name in (fault.name, *fault.also):
            assert homes.setdefault(fold(name), fault.id) == fault.id, name
    assert len(fault_table()) >= 25
    assert next(f for f in fault_table() if f.id == "over-carbonated").caution


def standing(*scores: Score) -> Standing:
    (found,) = [s for s in ranked(gathered(scores, {"1": "Stouts"}, {}, FIFTY, "s")[0]) if s.number == "1"]
    return found


def test_feedback_joins_words_fit_and_remedies() -> None:
    judged = [
        score(
            "1",
            36.0,
            "Runa",
            points={"aroma": 8.0},
            words={"aroma": "coffee <b>", "overall": "watery"},
            improve="more malt",
        ),
        score("1", 40.0, "Sif", words={"flavour": "fine"}, faults="diacetyl"),
    ]
    lines = ("OG 1.040, range 1.036 to 1.044: inside",)
    about = About("Entry 1", "Irish Stout", declaration="with oats", fit=lines, fit_score=97.0)
    text = as_text(sheet_blocks(standing(*judged), about, FIFTY, {("Stouts", 0): 4}))
    words = " ".join(text.split())
    assert "38 of 50 points, excellent" in words
    assert "place 1 of 4 in Stouts" in words
    assert "Aroma 8/12: coffee <b>" in words
    assert "Runa: more malt" in words
    assert "About “diacetyl”, named by Sif" in words
    assert "About “thin and dry finish”, named by Runa" in words
    assert "Source: common practice." in words
    assert "OG 1.040, range 1.036 to 1.044: inside" in words
    assert max(len(line) for line in text.splitlines()) <= 76


def test_feedback_says_what_is_not_complete() -> None:
    text = as_text(sheet_blocks(standing(score("1", None, words={"aroma": "x"})), About("Entry 1"), FIFTY, {}))
    assert "not complete yet" in text
    text = as_text(
        sheet_blocks(standing(score("1", 20.0), score("1", 40.0, "B"), score("1", None, "C")), About("E"), FIFTY, {})
    )
    assert "20 points apart" in text
    assert "Not every judge" in text


def test_parts_without_words_share_a_line() -> None:
    points = {"aroma": 8.0, "appearance": 2.0, "flavour": 12.0, "mouthfeel": 3.0, "overall": 6.0}
    judged = score("1", 31.0, points=points, words={"aroma": "malty"})
    lines = as_text(sheet_blocks(standing(judged), About("Entry 1"), FIFTY, {})).splitlines()
    assert "  - Aroma 8/12: malty" in lines
    assert "  - Appearance 2/3, flavour 12/20, mouthfeel 3/5, overall 6/10: no words" in lines


def test_most_named_faults_come_first() -> None:
    judged = [score("1", 30.0, "A", faults="diacetyl, oxidised"), score("1", 30.0, "B", faults="oxidized")]
    assert [fault.id for fault, _ in faults_named(judged)] == ["oxidised", "diacetyl"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name: x\nspread: 7\n", "neither parts nor a total"),
        ("name: x\nspread: 7\nparts: {smell: 10}\n", "not a part"),
        ("name: x\nspread: 7\nparts: {aroma: 10}\ntotal: 12\n", "add up to 10"),
        ("name: x\nspread: 7\ntotal: 20\nfloor: 20\n", "must be below"),
        ("name: x\nspread: 7\ntotal: .inf\n", ""),
        ("name: x\ntotal: 20\n", "missing"),
        ("- 1\n", "key: value"),
    ],
)
def test_a_wrong_scale_is_told(text: str, said: str, tmp_path: object) -> None:
    from pathlib import Path

    path = Path(str(tmp_path)) / "scale.yaml"
    path.write_text(text)
    with pytest.raises(RecordError) as caught:
        load_scale(path.as_posix())
    assert said in " ".join(f.what for f in caught.value.findings)


def test_a_scale_of_ones_own(tmp_path: object) -> None:
    from pathlib import Path

    path = Path(str(tmp_path)) / "own.yaml"
    path.write_text("name: ours\nparts: {aroma: 20, flavour: 40}\nspread: 9\nstep: 0.5\n")
    scale = load_scale(path.as_posix())
    assert scale.top == 60
    assert set(scale.parts) <= set(PARTS)
    (found,) = read("1,A,19.5,40\n", scale, header="number,judge,aroma,flavour\n").scores()
    assert found.total == 59.5


@given(
    st.lists(st.text(st.sampled_from("abcé.,;—–'"), min_size=1, max_size=9) | st.sampled_from(["-", "a-b", "x" * 80])),
    st.sampled_from([("", ""), ("  - ", "    "), ("    ", "")]),
)
@settings(max_examples=300, deadline=None)
def test_lines_of_text_are_those_of_the_standard_library(words: list[str], indents: tuple[str, str]) -> None:
    first, rest = indents
    for text in (" ".join(words), "  ".join(words)):
        lines = textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest)
        assert _wrapped(text, first, rest) == lines
