"""The register: numbers keep their owners, what is doubtful is asked, and a kill loses nothing. All is invented."""

from __future__ import annotations

import json
import os
import random
import shutil
import time
from pathlib import Path

import pytest

from entryprep.receiving.numbers import NumberError
from entryprep.receiving.register.book import held_register, read_register
from entryprep.receiving.register.changes import entry_of, judge_arrived, judge_gone, move, set_standing
from entryprep.receiving.register.entrants import one_person
from entryprep.receiving.register.identity import plain_number
from entryprep.receiving.register.journal import JOURNAL, RegisterError, read_journal
from entryprep.receiving.register.questions import decide, question_findings
from entryprep.receiving.register.state import State, fold_changes
from tests.killing import KILLED, run_killed
from tests.receiving.histories import AT, HEADER, History, Line, lines, take


def state_of(folder: Path) -> State:
    return read_register(folder).state


def numbers(folder: Path) -> dict[str, str]:
    return {entry.id: entry.number for entry in state_of(folder).entries.values()}


def marks(state: State) -> dict[str, str]:
    """Which beer each number ever issued truly belongs to, by the column that is not read."""
    return {number: state.entries[owner].cells[HEADER.index("mark")] for number, owner in state.owners.items()}


def asked(folder: Path) -> list[str]:
    return [question.kind for question in state_of(folder).open_questions()]


def answered(folder: Path, question: int, answer: str) -> None:
    with held_register(folder, AT) as register:
        decide(register, question, answer)
        register.settle()


# ---- whose number is whose


def test_the_same_form_less_one_row_changes_no_number(tmp_path: Path) -> None:
    form = lines(420)
    take(tmp_path / "r", form)
    before = marks(state_of(tmp_path / "r"))
    assert len(before) == 420
    for gone in (0, 17, 200):
        take(tmp_path / "r", form[:gone] + form[gone + 1 :])
        assert marks(state_of(tmp_path / "r")) == before


@pytest.mark.parametrize("numbered", [True, False])
def test_rows_in_another_order_without_numbers_of_their_own_keep_theirs(tmp_path: Path, numbered: bool) -> None:
    form = [row if numbered else ["", *row[1:]] for row in lines(60)]
    take(tmp_path / "r", form)
    before = marks(state_of(tmp_path / "r"))
    take(tmp_path / "r", reversed(form[1:]))
    assert marks(state_of(tmp_path / "r")) == before
    assert len(set(before.values())) == 60


def test_a_second_clubs_form_takes_nothing_from_the_first(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(60))
    before = marks(state_of(tmp_path / "r"))
    take(tmp_path / "r", lines(60, club="Tarn"), "tarn.csv", "Tarn")  # the same entry numbers, of other people
    after = marks(state_of(tmp_path / "r"))
    assert before.items() <= after.items()
    assert sorted(set(after.values()) - set(before.values())) == sorted(row[-1] for row in lines(60, club="Tarn"))
    assert not asked(tmp_path / "r")


def test_a_second_clubs_form_that_names_no_club_is_asked_about(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(5))
    before = marks(state_of(tmp_path / "r"))
    take(tmp_path / "r", lines(5, club="Tarn"), "tarn.csv")
    assert asked(tmp_path / "r") == ["register-clash"] * 5
    assert marks(state_of(tmp_path / "r")) == before


@pytest.mark.parametrize("seed", range(50))  # tests.benchmarks.histories goes on from there
def test_no_number_changes_its_owner_in_a_random_history(tmp_path: Path, seed: int) -> None:
    history = History(tmp_path / "r", random.Random(seed))
    take(history.folder, history.forms[""], "form.csv")
    known: dict[str, str] = {}
    truth: dict[str, str] = {}
    for _ in range(30):
        history.step()
        state = state_of(history.folder)
        assert known.items() <= state.owners.items(), "a number once issued belongs to its entry for ever"
        known = dict(state.owners)
        held = [entry.number for entry in state.entries.values() if entry.number]
        assert len(held) == len(set(held)), "no two entries have one number"
        assert all(entry.number for entry in state.entries.values() if entry.poured)
        now = marks(state)
        told = by_decision(history.folder)
        moved = {n for n, mark in truth.items() if now[n] != mark and state.owners[n] not in told}
        assert not moved, "only a decision may say that a row of another beer is this entry"
        truth = now
    if history.forms[""]:
        before = (history.folder / JOURNAL).read_bytes()
        take(history.folder, history.forms[""], "form.csv")
        take(history.folder, history.forms[""], "form.csv")
        once = (history.folder / JOURNAL).read_bytes()
        take(history.folder, history.forms[""], "form.csv")
        assert (history.folder / JOURNAL).read_bytes() == once, "what stands already is not told again"
        assert once.startswith(before), "a journal is only ever added to"


def by_decision(folder: Path) -> set[str]:
    """Entries whose row was said to be theirs by an answer."""
    return {
        str(change.said["entry"])
        for change in read_journal(folder / JOURNAL).changes
        if change.what == "declared" and change.why.startswith("question")
    }


# ---- what is asked


def row(
    number: str, brewer: str, beer: str, style: str = "Gose", mail: str = "", sent: str = "", mark: str = ""
) -> Line:
    return [number, brewer, mail, sent, beer, style, mark or beer]


def test_a_number_twice_is_asked_about_and_waits(tmp_path: Path) -> None:
    take(tmp_path / "r", [row("8", "Ane Lund", "Fen"), row("08", "Bo Dahl", "Gale"), row("9", "Ida Moe", "Drift")])
    assert asked(tmp_path / "r") == ["register-clash"]
    assert sorted(numbers(tmp_path / "r")) == ["8", "9"]
    answered(tmp_path / "r", 1, "apart")
    assert sorted(numbers(tmp_path / "r")) == ["08", "8", "9"]
    before = numbers(tmp_path / "r")
    take(tmp_path / "r", [row("08", "Bo Dahl", "Gale"), row("8", "Ane Lund", "Fen"), row("9", "Ida Moe", "Drift")])
    assert numbers(tmp_path / "r") == before
    assert not asked(tmp_path / "r")


def test_another_persons_beer_of_the_same_name_is_asked_about(tmp_path: Path) -> None:
    take(tmp_path / "r", [row("8", "Ane Lund", "IPA", mail="ane@example.org")])
    take(tmp_path / "r", [row("8", "Bo Dahl", "IPA", mail="bo@example.org")])
    assert asked(tmp_path / "r") == ["register-clash"]


def test_a_number_that_comes_back_with_another_beer_is_asked_about(tmp_path: Path) -> None:
    take(tmp_path / "r", [row("8", "Ane Lund", "Fen")])
    take(tmp_path / "r", [row("8", "Bo Dahl", "Gale")])
    assert asked(tmp_path / "r") == ["register-clash"]
    assert state_of(tmp_path / "r").texts(state_of(tmp_path / "r").entries["8"])["beer"] == "Fen"
    answered(tmp_path / "r", 1, "same")
    state = state_of(tmp_path / "r")
    assert state.texts(state.entries["8"])["beer"] == "Gale"


def test_a_form_that_was_mended_is_no_longer_asked_about(tmp_path: Path) -> None:
    take(tmp_path / "r", [row("8", "Ane Lund", "Fen"), row("8", "Bo Dahl", "Gale")])
    assert asked(tmp_path / "r") == ["register-clash"]
    take(tmp_path / "r", [row("8", "Ane Lund", "Fen"), row("9", "Bo Dahl", "Gale")])
    assert not asked(tmp_path / "r")
    assert sorted(numbers(tmp_path / "r")) == ["8", "9"]
    take(tmp_path / "r", [row("8", "Ane Lund", "Fen"), row("8", "Bo Dahl", "Gale"), row("9", "Bo Dahl", "Gale")])
    assert asked(tmp_path / "r") == ["register-clash"], "what was settled by the form is asked again where it is back"


@pytest.mark.parametrize("second", ["08", "8", "12"])
def test_a_beer_entered_twice_is_asked_about(tmp_path: Path, second: str) -> None:
    form = [row("8", "Ane Lund", "Fen"), row(second, "ANE LUND", "fen")]
    take(tmp_path / "r", form)
    assert asked(tmp_path / "r") == ["register-double"]
    assert len(numbers(tmp_path / "r")) == 1
    answered(tmp_path / "r", 1, "same")
    take(tmp_path / "r", form)
    assert not asked(tmp_path / "r")
    assert len(numbers(tmp_path / "r")) == 1


def test_a_beer_that_two_clubs_have_is_asked_about(tmp_path: Path) -> None:
    take(tmp_path / "r", [row("8", "Ane Lund", "Fen")])
    take(tmp_path / "r", [row("3", "Ane Lund", "Fen")], "tarn.csv", "Tarn")
    assert asked(tmp_path / "r") == ["register-double"]
    answered(tmp_path / "r", 1, "apart")
    assert sorted(numbers(tmp_path / "r")) == ["8", "Tarn/3"]


def test_a_form_sent_in_again_is_asked_about(tmp_path: Path) -> None:
    first = row("", "Ane Lund", "Fen", "Gose", "ane@example.org", "2027-02-01 10:00")
    again = row("", "Ane Lund", "Fen", "tripel", "ane@example.org", "2027-02-03 11:00")
    take(tmp_path / "r", [first, again])
    assert asked(tmp_path / "r") == ["register-again"]
    answered(tmp_path / "r", 1, "same")
    state = state_of(tmp_path / "r")
    (entry,) = state.entries.values()
    assert state.texts(entry)["style"] == "tripel"
    take(tmp_path / "r", [first, again])
    assert not asked(tmp_path / "r")
    (entry,) = state_of(tmp_path / "r").entries.values()
    assert state_of(tmp_path / "r").texts(entry)["style"] == "tripel", "the answer stands when the form is read again"


def test_rows_that_vanish_and_return_are_asked_about(tmp_path: Path) -> None:
    form = lines(6)
    take(tmp_path / "r", form)
    before = numbers(tmp_path / "r")
    take(tmp_path / "r", form[1:])
    assert asked(tmp_path / "r") == ["register-vanished"]
    take(tmp_path / "r", form)
    assert not asked(tmp_path / "r")
    take(tmp_path / "r", form[1:])
    (question,) = state_of(tmp_path / "r").open_questions()
    answered(tmp_path / "r", question.q, "out")
    assert state_of(tmp_path / "r").entries["1"].standing == "withdrawn"
    take(tmp_path / "r", form[1:])
    assert not asked(tmp_path / "r")
    take(tmp_path / "r", form)
    (question,) = state_of(tmp_path / "r").open_questions()
    assert question.kind == "register-returned"
    answered(tmp_path / "r", question.q, "back")
    assert state_of(tmp_path / "r").entries["1"].poured
    assert numbers(tmp_path / "r") == before


def test_the_same_form_under_another_name_is_the_same_form(tmp_path: Path) -> None:
    form = lines(6)
    take(tmp_path / "r", form, "form.csv")
    take(tmp_path / "r", form[1:], "form (1).csv")
    assert asked(tmp_path / "r") == ["register-vanished"]
    take(tmp_path / "r", lines(3, first=50), "late.csv")
    assert asked(tmp_path / "r") == ["register-vanished"], "a list of late entries lacks the early ones, as it should"
    assert len(numbers(tmp_path / "r")) == 9


def test_a_withdrawn_entry_that_stays_in_its_form_stays_withdrawn(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(4))
    with held_register(tmp_path / "r", AT, "Berit") as register:
        assert set_standing(register, entry_of(register, "2"), "withdrawn", "asked by mail")
        register.settle()
    take(tmp_path / "r", lines(4))
    assert state_of(tmp_path / "r").entries["2"].standing == "withdrawn"
    assert not asked(tmp_path / "r")


def test_what_a_steward_moved_stands_against_the_form_until_somebody_decides(tmp_path: Path) -> None:
    form = lines(4)
    take(tmp_path / "r", form)
    with held_register(tmp_path / "r", AT) as register:
        assert move(register, entry_of(register, "2"), {"style": "English porter"})
        assert not move(register, entry_of(register, "2"), {"style": "English porter"})
        register.settle()
    take(tmp_path / "r", form)
    assert not asked(tmp_path / "r"), "the form says what it said before"
    form[1][5] = "tripel"
    take(tmp_path / "r", form)
    assert asked(tmp_path / "r") == ["register-moved"]
    state = state_of(tmp_path / "r")
    assert state.texts(state.entries["2"])["style"] == "English porter"
    answered(tmp_path / "r", 1, "sheet")
    state = state_of(tmp_path / "r")
    assert state.texts(state.entries["2"])["style"] == "tripel"


def test_one_entrant_in_three_spellings_is_asked_about(tmp_path: Path) -> None:
    take(
        tmp_path / "r",
        [
            row("1", "Jörg Müller", "Fen"),
            row("2", "Joerg Mueller", "Gale"),
            row("3", "Müller, Jorg", "Drift"),
            row("4", "J. Mller", "Sloe", mail="jm@example.org"),
            row("5", "Jorg M.", "Marram", mail="jm@example.org"),
            row("6", "Ane Lund", "Skerry"),
            row("7", "Ann Lunde", "Staithe"),
            row("8", "Jörg Müller and Ane Lund", "Mallard"),
        ],
    )
    told = {frozenset((q.values["one"], q.values["other"])) for q in state_of(tmp_path / "r").open_questions()}
    one = ("Jörg Müller", "Joerg Mueller", "Müller, Jorg")
    assert told == {*(frozenset((a, b)) for a in one for b in one if a != b), frozenset(("J. Mller", "Jorg M."))}
    assert len(numbers(tmp_path / "r")) == 8, "who is who holds no entry up"
    for question in list(state_of(tmp_path / "r").open_questions()):
        answered(tmp_path / "r", question.q, "same")
    register = read_register(tmp_path / "r")
    assert len({one_person(register, name) for name in ("Jörg Müller", "Joerg Mueller", "Müller, Jorg")}) == 1
    assert one_person(register, "Ane Lund") != one_person(register, "Jörg Müller")


def test_every_question_tells_the_command_that_decides_it(tmp_path: Path) -> None:
    folder = tmp_path / "a b"
    take(folder, [row("8", "Ane Lund", "Fen"), row("8", "Bo Dahl", "Gale"), row("9", "Ane Lundd", "Drift")])
    register = read_register(folder)
    for question, found in zip(register.state.open_questions(), question_findings(register), strict=True):
        assert f"entryprep decide '{folder.as_posix()}' {question.q} " in found.fix
        assert all(answer in found.fix for answer in question.answers)


def test_what_cannot_be_decided_is_refused(tmp_path: Path) -> None:
    take(tmp_path / "r", [row("8", "Ane Lund", "Fen"), row("8", "Bo Dahl", "Gale")])
    with held_register(tmp_path / "r", AT) as register:
        for number, answer, said in ((1, "perhaps", "does not answer"), (7, "apart", "is not asked")):
            with pytest.raises(RegisterError, match=said) as caught:
                decide(register, number, answer)
            assert caught.value.fix


# ---- changes


def test_a_fresh_label_has_a_number_nobody_had(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(5))
    with held_register(tmp_path / "r", AT) as register:
        entry = entry_of(register, "2")
        old = entry.number
        fresh = register.renumber(entry)
        assert fresh != old
        assert register.state.owners[old] == register.state.owners[fresh] == "2"
        with pytest.raises(RegisterError, match="was issued to entry"):
            register.renumber(entry_of(register, "3"), old)
        with pytest.raises(NumberError):
            register.renumber(entry_of(register, "3"), "12345678")
        register.settle()
    assert entry_of(read_register(tmp_path / "r"), old, blind=True).number == fresh


def test_an_entry_is_meant_by_number_beer_or_blind_number(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(30))
    take(tmp_path / "r", lines(4, club="Tarn"), "tarn.csv", "Tarn")
    register = read_register(tmp_path / "r")
    assert entry_of(register, "017").id == "17"
    assert entry_of(register, "Tarn/2").id == "Tarn/2"
    seventeen = register.state.entries["17"]
    assert entry_of(register, seventeen.number) is seventeen
    assert entry_of(register, register.state.texts(seventeen)["beer"].upper()) is seventeen
    for word in ("nonesuch", "", "Skery 1"):
        with pytest.raises(RegisterError, match="there is no entry"):
            entry_of(register, word)
    assert entry_of(register, "2").id == "2", "an entry by its own name is meant before others of that number"
    with pytest.raises(RegisterError, match="may be"):
        entry_of(register, "02")


def test_judges_come_and_go(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(3))
    with held_register(tmp_path / "r", AT) as register:
        assert judge_arrived(register, "Osei Tarn", {"own": "2"})
        assert not judge_arrived(register, "osei tarn", {})
        judge_gone(register, "OSEI TARN", 2)
        assert register.state.judges["osei tarn"].gone == 2
        assert judge_arrived(register, "Osei Tarn", {})
        with pytest.raises(RegisterError, match="there is no judge") as caught:
            judge_gone(register, "Osei Tarm", 1)
        assert "Osei Tarn" in caught.value.fix
        register.settle()
    assert state_of(tmp_path / "r").judges["osei tarn"].there


@pytest.mark.parametrize(
    ("one", "other"), [("8", "08"), ("8", "8.0"), ("A-08", "a8"), (" 8 ", "8"), ("B 007", "b7"), ("٨", "٨")]
)
def test_numbers_that_are_one(one: str, other: str) -> None:
    assert plain_number(one) == plain_number(other) != ""


@pytest.mark.parametrize(("one", "other"), [("8", "80"), ("10", "1"), ("A8", "B8"), ("8.5", "8"), ("1.0", "10")])
def test_numbers_that_are_two(one: str, other: str) -> None:
    assert plain_number(one) != plain_number(other)


# ---- the journal


def test_the_journal_is_lines_of_json_with_time_kind_person_and_reason(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(3))
    with held_register(tmp_path / "r", "2027-03-13T10:15:00+01:00", "Berit") as register:
        set_standing(register, entry_of(register, "2"), "broken", "two bottles, both")
        register.settle()
    said = [json.loads(line) for line in (tmp_path / "r" / JOURNAL).read_text(encoding="utf-8").splitlines()]
    assert [line["n"] for line in said] == list(range(1, len(said) + 1))
    last = {"n": len(said), "at": "2027-03-13T10:15:00+01:00", "what": "broken", "who": "Berit"}
    assert said[-1] == {**last, "why": "two bottles, both", "entry": "2"}


def test_any_beginning_of_a_journal_is_a_register_and_its_end_is_mended(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(4))
    whole = (tmp_path / "r" / JOURNAL).read_bytes()
    full = read_journal(tmp_path / "r" / JOURNAL).changes
    last = whole.rindex(b"\n", 0, len(whole) - 1)
    # every place in the first and the last line, and one of thirty between
    for size in (*range(1, 80), *range(80, last, 31), *range(last, len(whole))):
        folder = tmp_path / "cut"
        folder.mkdir()
        (folder / JOURNAL).write_bytes(whole[:size])
        ended = [
            c for c in full if whole[: sum(len(x.line()) for x in full[: c.n])] in (whole[:size], whole[: size + 1])
        ]
        kept = max((c.n for c in ended), default=whole[:size].count(b"\n"))
        journal = read_journal(folder / JOURNAL)
        assert [c.line() for c in journal.changes] == [c.line() for c in full[:kept]]
        take(folder, lines(4))
        after = (folder / JOURNAL).read_bytes()
        assert after.startswith(whole[:size]), "nothing is cut off, not even half a line"
        assert numbers(folder) == numbers(tmp_path / "r")
        again = read_journal(folder / JOURNAL)
        assert [c.what for c in again.changes].count("mended") == (1 if journal.torn else 0)
        shutil.rmtree(folder)


def test_a_mending_that_is_itself_cut_short_is_mended(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(2))
    path = tmp_path / "r" / JOURNAL
    whole = path.read_bytes()
    path.write_bytes(whole + b'{"n": 99, "at": "20\n{"n": 9')
    take(tmp_path / "r", lines(2))
    (mended,) = [c for c in read_journal(path).changes if c.what == "mended"]
    count = whole.count(b"\n")
    assert list(mended.said["lines"]) == [count + 1, count + 2]
    with held_register(tmp_path / "r", AT) as register:
        assert not register.mended


@pytest.mark.parametrize("damage", [b"garbage\n", b'{"n": 2}\n', b"[1]\n", b"\xff\xfe\n", b""])
def test_a_journal_that_other_hands_changed_is_refused_and_left_alone(tmp_path: Path, damage: bytes) -> None:
    take(tmp_path / "r", lines(3))
    path = tmp_path / "r" / JOURNAL
    content = path.read_bytes().splitlines(keepends=True)
    content[3] = damage
    path.write_bytes(b"".join(content))
    before = path.read_bytes()
    for act in (lambda: read_register(tmp_path / "r"), lambda: take(tmp_path / "r", lines(3))):
        with pytest.raises(RegisterError) as caught:
            act()
        assert caught.value.where.startswith(f"{path.as_posix()}:4")
        assert caught.value.fix
    assert path.read_bytes() == before


def test_a_line_that_does_not_follow_is_refused(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(3))
    path = tmp_path / "r" / JOURNAL
    count = path.read_bytes().count(b"\n")
    with path.open("ab") as stream:
        stream.write(f'{{"n": {count + 1}, "at": "x", "what": "broken", "entry": "99"}}\n'.encode())
    with pytest.raises(RegisterError, match="does not follow"):
        read_register(tmp_path / "r")


def test_a_line_of_other_hands_cannot_take_a_number_from_its_entry(tmp_path: Path) -> None:
    take(tmp_path / "r", lines(3))
    before = numbers(tmp_path / "r")
    path = tmp_path / "r" / JOURNAL
    count = path.read_bytes().count(b"\n")
    stolen = {"n": count + 1, "at": "x", "what": "numbered", "entry": "3", "number": before["1"]}
    with path.open("ab") as stream:
        stream.write(json.dumps(stolen).encode() + b"\n")
    assert numbers(tmp_path / "r") == before


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forked processes are killed")
def test_a_kill_anywhere_loses_nothing(tmp_path: Path) -> None:
    take(tmp_path / "whole", lines(5))
    take(tmp_path / "whole", lines(8))
    wanted = numbers(tmp_path / "whole")
    for at in range(1, 100):
        folder = tmp_path / f"r{at}"
        take(folder, lines(5))
        before = numbers(folder)
        ended = run_killed(lambda folder=folder: take(folder, lines(8)), at)  # type: ignore[misc]
        assert before.items() <= numbers(folder).items()
        take(folder, lines(8))
        assert numbers(folder) == wanted
        if ended == 0:
            break
        assert ended == KILLED
    assert at > 3


def test_the_fold_is_the_same_each_time(tmp_path: Path) -> None:
    history = History(tmp_path / "r", random.Random(7))
    take(history.folder, history.forms[""], "form.csv")
    for _ in range(30):
        history.step()
    changes = read_journal(history.folder / JOURNAL).changes
    one, other = fold_changes(changes), fold_changes(changes)
    assert one == other


def test_work_grows_with_the_rows(tmp_path: Path) -> None:
    def seconds(count: int) -> float:
        started = time.process_time()
        take(tmp_path / f"r{count}", lines(count))
        take(tmp_path / f"r{count}", lines(count)[1:])
        return time.process_time() - started

    seconds(20)
    few, many = seconds(300), seconds(2400)
    assert many < 8 * few * 2.5, "eight times as many may cost eight times as much, and some"
