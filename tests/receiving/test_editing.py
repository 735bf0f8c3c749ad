"""An edited list of entries read back. All people are invented."""

from __future__ import annotations

import csv
import io
import random
from pathlib import Path

from entryprep.formats.csvtext import csv_bytes
from entryprep.formats.spreadsheet import open_sheet
from entryprep.receiving.register.book import held_register, read_register
from entryprep.receiving.register.changes import entry_of, move, set_standing
from entryprep.receiving.register.editing import ReadBack, read_back
from entryprep.receiving.register.listing import LIST_COLUMNS, entries_csv
from entryprep.receiving.register.questions import decide
from entryprep.receiving.register.state import State
from tests.receiving.histories import AT, STYLES, lines, take

Rows = list[dict[str, str]]


def listed(folder: Path) -> Rows:
    content = entries_csv(read_register(folder).state)
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"))))


def edited(folder: Path, rows: Rows) -> ReadBack:
    content = csv_bytes(LIST_COLUMNS, ([row[name] for name in LIST_COLUMNS] for row in rows))
    with held_register(folder, AT, "Berit") as register:
        back = read_back(register, open_sheet(io.BytesIO(content), "list.csv"))
        register.settle()
    return back


def begun(tmp: Path, count: int = 12) -> tuple[Path, Rows]:
    take(tmp / "r", lines(count))
    return tmp / "r", listed(tmp / "r")


def state_of(folder: Path) -> State:
    return read_register(folder).state


def test_a_list_that_nobody_edited_changes_nothing(tmp_path: Path) -> None:
    folder, rows = begun(tmp_path)
    before = read_register(folder).journal.next
    back = edited(folder, rows)
    assert (back.changed, back.raised, back.findings) == ([], [], [])
    assert read_register(folder).journal.next == before


def test_what_differs_becomes_changes(tmp_path: Path) -> None:
    folder, rows = begun(tmp_path)
    rows[1]["standing"], rows[2]["style"], rows[3]["brewer"] = "withdrawn", "saison", "Somebody Else"
    back = edited(folder, list(reversed(rows)))
    assert sorted(back.changed) == ["2", "3", "4"]
    state = state_of(folder)
    assert state.entries["2"].standing == "withdrawn"
    assert state.texts(state.entries["3"])["style"] == "saison"
    assert state.texts(state.entries["4"])["brewer"] == "Somebody Else"
    said = [c for c in read_register(folder).journal.changes if c.who == "Berit"]
    assert {c.said["entry"] for c in said} == {"2", "3", "4"}
    again = listed(folder)
    assert edited(folder, again).changed == []


def test_a_list_that_is_older_than_a_change_takes_nothing_back(tmp_path: Path) -> None:
    folder, rows = begun(tmp_path)
    with held_register(folder, AT) as register:
        move(register, entry_of(register, "2"), {"style": "tripel"})
        set_standing(register, entry_of(register, "3"), "broken")
        register.settle()
    rows[1]["base"] = "saison"
    back = edited(folder, rows)
    assert back.changed == ["2"]
    state = state_of(folder)
    assert state.texts(state.entries["2"])["style"] == "tripel"
    assert state.texts(state.entries["2"])["base"] == "saison"
    assert state.entries["3"].standing == "broken"


def test_what_both_changed_is_asked_about_once(tmp_path: Path) -> None:
    folder, rows = begun(tmp_path)
    with held_register(folder, AT) as register:
        move(register, entry_of(register, "2"), {"style": "English porter"})
        register.settle()
    rows[1]["style"] = "saison"
    back = edited(folder, rows)
    assert len(back.raised) == 1
    assert edited(folder, rows).raised == []
    (question,) = state_of(folder).open_questions()
    assert question.kind == "register-edited"
    assert state_of(folder).texts(state_of(folder).entries["2"])["style"] == "English porter"
    with held_register(folder, AT) as register:
        decide(register, question.q, "sheet")
        register.settle()
    assert state_of(folder).texts(state_of(folder).entries["2"])["style"] == "saison"


def test_numbers_in_a_list_are_spare_labels_or_nothing(tmp_path: Path) -> None:
    folder, rows = begun(tmp_path)
    with held_register(folder, AT) as register:
        spare = register._drawn(["spare"])["spare"]
    owners = dict(state_of(folder).owners)
    rows[0]["number"], rows[1]["number"], rows[2]["number"] = spare, rows[3]["number"], "99999"
    back = edited(folder, rows)
    assert back.changed == ["1"]
    assert len(back.findings) == 2
    after = state_of(folder)
    assert owners.items() <= after.owners.items()
    assert after.owners[spare] == "1"
    assert after.entries["2"].number != rows[3]["number"]


def test_a_program_that_makes_8_of_08_moves_no_row_to_another_entry(tmp_path: Path) -> None:
    take(tmp_path / "r", [["8", "Ane Lund", "", "", "Fen", "Gose", ""], ["08", "Bo Dahl", "", "", "Gale", "Gose", ""]])
    with held_register(tmp_path / "r", AT) as register:
        decide(register, 1, "apart")
        register.settle()
    rows = listed(tmp_path / "r")
    assert [row["entry"] for row in rows] == ["8", "08"]
    rows[1] |= {"entry": "8", "standing": "withdrawn"}
    back = edited(tmp_path / "r", rows)
    assert back.changed == []
    assert "was written from" in back.findings[0].what
    assert all(entry.poured for entry in state_of(tmp_path / "r").entries.values())


def test_edits_at_random_are_all_there_or_asked_about(tmp_path: Path) -> None:
    for seed in range(20):
        chance = random.Random(seed)
        take(tmp_path / f"r{seed}", lines(12))
        folder = tmp_path / f"r{seed}"
        rows = listed(folder)
        with held_register(folder, AT) as register:
            for each in chance.sample(sorted(register.state.entries), 5):
                move(register, register.state.entries[each], {"style": chance.choice(STYLES)})
            register.settle()
        meant = {}
        for row in chance.sample(rows, 6):
            row["style"] = chance.choice(STYLES)
            meant[row["entry"]] = row["style"]
        before = {row["entry"]: row["style"] for row in listed(folder)}
        was = {row[0]: row[5] for row in lines(12)}
        edited(folder, rows)
        state = state_of(folder)
        asked = {question.about for question in state.open_questions()}
        for each, style in meant.items():
            now = state.texts(state.entries[each])["style"]
            assert now == style or each in asked or (style == was[each] and now == before[each])
        for each in set(before) - set(meant):
            assert state.texts(state.entries[each])["style"] == before[each]
