"""What is printed stays: after one change only its flight and panel are printed again. All people are invented."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from entryprep.receiving.panels import ANYTIME, Judge, Panel
from entryprep.receiving.register.book import Register, held_register
from entryprep.receiving.register.changes import entry_of, judge_arrived, judge_gone, move, set_standing
from entryprep.receiving.register.planning import Planned, as_flights, homeless, planned_flights, stale_flights
from entryprep.receiving.register.printing import mark_panels, printed_record
from entryprep.receiving.register.seats import seated_panels
from entryprep.receiving.register.state import State
from entryprep.receiving.tasting import Palate, Tasted
from tests.receiving.histories import AT, STYLES, lines, take

JUDGES: tuple[str, ...] = (
    "Aase Holt",
    "Brand Ness",
    "Carin Vik",
    "Dag Moe",
    "Ebba Lie",
    "Finn Rud",
    "Gerd Aas",
    "Håkon By",
)
JUDGES += ("Ines Dal", "Jens Eng", "Kaia Fos", "Leif Gran", "Mari Hov", "Nils Ihle", "Olga Jahr")


def known_of(state: State) -> dict[str, Tasted]:
    """The poured entries as judges know them: a group and a palate by their style."""
    found = {}
    for entry in state.poured():
        style = state.texts(entry)["style"]
        place = float(STYLES.index(style))
        palate = Palate(4 + place, 20 + 5 * place, 5 + 6 * place, 0, 0, 0, 0, 0)
        found[entry.id] = Tasted(entry.number, style, style, "", style, "", "", palate)
    return found


def planned(state: State, known: dict[str, Tasted]) -> tuple[list[Planned], list[Panel]]:
    plan = planned_flights(state, known, 6, 10)
    made = as_flights(plan, known)
    judges = [Judge(judge.name, own_of(state, judge.texts)) for judge in state.judges.values()]
    seated = seated_panels(state, made, judges, 3, ANYTIME) if judges else []
    mark_panels(state, plan, seated)
    return plan, seated


def own_of(state: State, texts: dict[str, str]) -> frozenset[str]:
    own = state.entries.get(texts.get("own", ""))
    return frozenset({own.number} if own is not None else ())


def printed(register: Register) -> list[int]:
    """Print what has to be printed; the flights that were."""
    known = known_of(register.state)
    plan, seated = planned(register.state, known)
    fresh = [flight for flight in plan if flight.changed and not flight.judged]
    if fresh:
        number = len(register.state.printings) + 1
        register.note("printed", printing=number, files={}, flights=list(printed_record(fresh, known, seated)))
    register.settle()
    return [flight.number for flight in fresh]


@contextmanager
def competition(folder: Path, count: int = 60, judges: int = 12, own: bool = True) -> Iterator[Register]:
    """A register with its flights printed."""
    take(folder, lines(count))
    with held_register(folder, AT) as register:
        for place, name in enumerate(JUDGES[:judges]):
            judge_arrived(register, name, {"own": str(5 * place + 1)} if own else {})
        assert len(printed(register)) == len(register.state.flights)
        yield register


def test_nothing_changed_nothing_is_printed_again(tmp_path: Path) -> None:
    with competition(tmp_path / "r") as register:
        assert printed(register) == []
        before = register.journal.next
        take_again = known_of(register.state)
        assert not any(flight.changed for flight in planned(register.state, take_again)[0])
        assert register.journal.next == before


@pytest.mark.parametrize("word", ["withdrawn", "absent", "broken"])
def test_an_entry_that_is_not_poured_changes_its_flight_alone(tmp_path: Path, word: str) -> None:
    with competition(tmp_path / "r") as register:
        flight = next(n for n, f in register.state.flights.items() if "17" in f["entries"])
        before = {n: dict(f) for n, f in register.state.flights.items()}
        set_standing(register, entry_of(register, "17"), word)
        assert stale_flights(register.state) == [flight]
        assert printed(register) == [flight]
        after = register.state.flights
        assert after[flight]["entries"] == [each for each in before[flight]["entries"] if each != "17"]
        assert {n: f for n, f in after.items() if n != flight} == {n: f for n, f in before.items() if n != flight}
        assert after[flight]["judges"] == before[flight]["judges"]
        assert after[flight]["digest"] != before[flight]["digest"]


def test_a_late_entry_joins_one_flight_of_its_style(tmp_path: Path) -> None:
    with competition(tmp_path / "r") as register:
        flights = set(register.state.flights)
    take(tmp_path / "r", [*lines(60), *lines(1, first=200)])
    with held_register(tmp_path / "r", AT) as register:
        assert homeless(register.state) == ["200"]
        assert register.state.entries["200"].late
        (touched,) = printed(register)
        assert touched in flights
        assert "200" in register.state.flights[touched]["entries"]
        style = register.state.texts(register.state.entries["200"])["style"]
        assert style in register.state.flights[touched]["groups"]


def test_a_moved_entry_changes_the_flight_it_leaves_and_the_one_it_joins(tmp_path: Path) -> None:
    with competition(tmp_path / "r") as register:
        old = next(n for n, f in register.state.flights.items() if "17" in f["entries"])
        now = register.state.texts(register.state.entries["17"])["style"]
        to = next(style for style in STYLES if style not in register.state.flights[old]["groups"])
        assert now != to
        move(register, entry_of(register, "17"), {"style": to})
        touched = printed(register)
        new = next(n for n, f in register.state.flights.items() if "17" in f["entries"])
        assert touched == sorted({old, new})
        assert to in register.state.flights[new]["groups"]
        assert printed(register) == []


def test_bottles_that_are_counted_in_touch_no_sheet(tmp_path: Path) -> None:
    with competition(tmp_path / "r") as register:
        for entry in list(register.state.entries.values()):
            set_standing(register, entry, "arrived")
        assert printed(register) == []
        set_standing(register, entry_of(register, "17"), "broken")
        set_standing(register, entry_of(register, "17"), "arrived", "the second bottle is sound")
        assert stale_flights(register.state) == printed(register) == []


def test_a_fresh_label_changes_its_flight_alone(tmp_path: Path) -> None:
    with competition(tmp_path / "r") as register:
        fresh = register.renumber(entry_of(register, "17"))
        (touched,) = printed(register)
        assert fresh in register.state.flights[touched]["numbers"]


def test_a_judge_who_leaves_is_replaced_in_the_flights_after_that_one_only(tmp_path: Path) -> None:
    with competition(tmp_path / "r", count=120, judges=14, own=False) as register:
        sits: dict[str, list[int]] = {}
        for number, flight in register.state.flights.items():
            for name in flight["judges"]:
                sits.setdefault(name, []).append(number)
        name = max(sits, key=lambda each: len(sits[each]))
        of_round = {n: f["round"] for n, f in register.state.flights.items()}
        mine = sorted(sits[name], key=lambda n: of_round[n])
        assert len(mine) > 2
        before = {n: list(f["judges"]) for n, f in register.state.flights.items()}
        judge_gone(register, name, mine[1])
        later = sorted(n for n in mine if of_round[n] > of_round[mine[1]])
        assert later
        assert printed(register) == later
        for number in later:
            after = register.state.flights[number]["judges"]
            assert name not in after
            assert set(before[number]) - {name} <= set(after), "the others keep their seats"
        rounds: dict[int, list[str]] = {}
        for flight in register.state.flights.values():
            rounds.setdefault(flight["round"], []).extend(flight["judges"])
        assert all(len(set(names)) == len(names) for names in rounds.values()), "nobody sits twice at once"


def test_a_judge_who_arrives_fills_what_was_short_and_moves_nobody(tmp_path: Path) -> None:
    with competition(tmp_path / "r", judges=2, own=False) as register:
        assert all(len(flight["judges"]) == 2 for flight in register.state.flights.values())
        before = {n: list(f["judges"]) for n, f in register.state.flights.items()}
        judge_arrived(register, JUDGES[5], {})
        assert printed(register) == sorted(register.state.flights)
        for number, flight in register.state.flights.items():
            assert set(flight["judges"]) == {*before[number], JUDGES[5]}
        judge_arrived(register, JUDGES[6], {})
        assert printed(register) == [], "no panel is short: nobody's sheet is touched"


def test_a_flight_that_has_scores_is_left_alone(tmp_path: Path) -> None:
    with competition(tmp_path / "r") as register:
        flight = next(n for n, f in register.state.flights.items() if "17" in f["entries"])
        register.note("scored", entry="17", judge=register.state.flights[flight]["judges"][0], total=31)
        set_standing(register, entry_of(register, "17"), "withdrawn")
        judge_gone(register, register.state.flights[flight]["judges"][0], 0)
        assert flight not in printed(register)


@pytest.mark.parametrize("seed", range(60))
def test_after_one_change_at_most_what_it_touches_is_printed(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    with competition(tmp_path / "r", count=72, judges=15) as register:
        state = register.state
        for _ in range(20):
            before = {n: dict(f) for n, f in state.flights.items()}
            allowed, more = change(register, chance)
            again = printed(register)
            assert len(set(again) - allowed) <= more
            for number in set(before) - set(again):
                assert state.flights[number] == before[number]
            held = [each for flight in state.flights.values() for each in flight["entries"]]
            assert sorted(held) == sorted(entry.id for entry in state.poured()), "each poured entry is in one flight"
            for flight in state.flights.values():
                own = {state.judges[name.casefold().replace("å", "a")].texts.get("own") for name in flight["judges"]}
                assert not own & set(flight["entries"]), "nobody judges an own beer"


def change(register: Register, chance: random.Random) -> tuple[set[int], int]:
    """One change at random, the printed flights that it may touch, and how many others."""
    state = register.state
    entry = chance.choice(list(state.entries.values()))
    holds = {n for n, f in state.flights.items() if entry.id in f["entries"]}
    kind = chance.choice(["out", "out", "back", "move", "label", "gone"])
    if kind == "out":
        set_standing(register, entry, chance.choice(["withdrawn", "absent", "broken"]))
    elif kind == "back":
        set_standing(register, entry, "arrived")
    elif kind == "move":
        move(register, entry, {"style": chance.choice(STYLES)})
    elif kind == "label":
        register.renumber(entry)
    else:
        there = [judge for judge in state.judges.values() if judge.there]
        if len(there) > 9:
            judge = chance.choice(there)
            judge_gone(register, judge.name, 0)
            return {n for n, f in state.flights.items() if judge.name in f["judges"]}, 0
    elsewhere = kind == "move" or (kind == "back" and not holds)
    return holds, int(elsewhere)
