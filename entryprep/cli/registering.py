"""What commands that add to a register share: the time of a change, the files made from it, what it asks."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Collection
from pathlib import Path

from entryprep.cli.boundary import UsageProblem
from entryprep.findings import Finding
from entryprep.formats.csvtext import plain_cell
from entryprep.output import Content, digest
from entryprep.receiving.outputs import JUDGING_COLUMNS, KEY_COLUMNS, SortedRows, judging_row
from entryprep.receiving.register.book import Register, held_register
from entryprep.receiving.register.competition import KIND, hold_competition
from entryprep.receiving.register.harm import review_harm
from entryprep.receiving.register.listing import ENTRIES, JUDGING, KEY, entries_csv
from entryprep.receiving.register.questions import question_findings
from entryprep.receiving.register.sheets import kept_sheets, meet, strangers
from entryprep.receiving.register.state import State
from entryprep.records.competition import Competition
from entryprep.staging import is_file_of
from entryprep.tables.letterwords import language_named, language_of
from entryprep.tables.rules import finding
from entryprep.text import several

PRIVATE_FILES = (KEY, ENTRIES)


def time_of(at: str) -> str:
    """The time of a change: as told, or now. Raises UsageProblem for what is no time."""
    if not at:
        return dt.datetime.now().astimezone().isoformat(timespec="seconds")
    try:
        return dt.datetime.fromisoformat(at.strip()).isoformat(timespec="seconds")
    except ValueError:
        raise UsageProblem(
            f"--at {at[:40]} is not a time", "write it as 2027-03-13T09:30, or 2027-03-13T09:30+01:00"
        ) from None


def key_csv(register: Register) -> bytes:
    """The key: each blind number with the entry and whose it is, in the order of the numbers."""
    rows = SortedRows(KEY_COLUMNS)
    for entry in register.state.entries.values():
        if entry.number:
            texts = register.state.texts(entry)
            texts["club"] = texts.get("club") or entry.known.club
            header = register.state.forms[entry.form].header
            texts["language"] = language_named(texts.get("language", "")) or language_of(header)
            rows.add((entry.number, entry.id, *(texts.get(name, "") for name in KEY_COLUMNS[2:])))
    return rows.content()


def judging_csv(register: Register, only: Collection[str] | None = None) -> SortedRows:
    """The judges' side: each entry that is poured, by its blind number; ``only`` some entries (None: all)."""
    from entryprep.receiving.codes import codes_of
    from entryprep.receiving.intake import declarations
    from entryprep.tables.styles import load_styles

    rows, state = SortedRows(JUDGING_COLUMNS), register.state
    poured = [entry for entry in state.poured() if entry.number]
    wanted = [entry for entry in poured if only is None or entry.id in only]
    name = (register.folder / ENTRIES).as_posix()
    rest = [] if only is None else [entry for entry in poured if entry.id not in only]
    others = strangers(kept_sheets(state, name, load_styles(), rest))
    codes = codes_of(register.folder, load_styles())
    for kept in meet(kept_sheets(state, name, load_styles(), wanted), others):
        kept.check.codes = codes
        for declared in declarations(kept.check):
            rows.add(judging_row(kept.check, declared, kept.entries[declared.row.number].number))
    return rows


def judging_after(register: Register, before: bytes, touched: Collection[str]) -> bytes:
    """The judges' side after some entries were touched, from what it was before: only their rows are made anew."""
    rows = judging_csv(register, touched)
    numbers = {number for each in touched for number in register.state.entries[each].numbers}
    for cells in csv.reader(io.StringIO(before.decode("utf-8-sig"), newline="")):
        if cells[0] not in numbers and cells[0] != JUDGING_COLUMNS[0]:
            rows.add([plain_cell(cell) for cell in cells])
    return rows.content()


def finish(register: Register, list_before: bytes) -> tuple[list[Path], list[Finding]]:
    """Write down what was noted, then the files made from it; ``list_before`` is the list as it was made before."""
    first, state = register.journal.next, register.state
    review_harm(register, [state.entries[each] for each in register.waiting_entries()])
    register.draw_numbers()
    register.settle()
    place = register.place
    assert place is not None
    changes = register.journal.changes[first - 1 :]
    touched = {str(c.said["entry"]) for c in changes if c.said.get("entry")}
    judging = None
    fresh = not place.is_changed(ENTRIES) and not place.is_changed(JUDGING)
    fresh = fresh and not any(change.what == "competition" for change in changes)  # codes may mean other styles now
    if fresh and (place.folder / JUDGING).exists() and is_file_of(place.folder / ENTRIES, [digest(list_before)]):
        judging = judging_after(register, (place.folder / JUDGING).read_bytes(), touched)
    files, findings = derived_files(register, judging)
    return place.write(files, private=PRIVATE_FILES), findings


def up_to_date(
    folder: Path, at: str, who: str, competition: Path | None, scale: str
) -> tuple[State, Competition | None, list[Finding]]:
    """What stands in a register, its competition, and what is told, once the files made from it say the same.

    Raises UsageProblem where neither flights are printed nor the scale of the scores is told.
    """
    with held_register(folder, time_of(at), who) as register:
        if not register.state.printings and not scale:
            raise UsageProblem(
                "no flights of this register are printed", f"print them first: entryprep flights --out {folder}"
            )
        cup, told = hold_competition(register, competition)
        finish(register, entries_csv(register.state))
        asked = [q.q for q in register.state.open_questions() if q.kind == KIND]
        return register.state, cup, [*told, *question_findings(register, asked)]


def derived_files(register: Register, judging: bytes | None = None) -> tuple[dict[str, Content], list[Finding]]:
    """The files made from a register, and what is told of those a person has changed; ``judging`` where it is known."""
    files, findings = list_file(register)
    if any(entry.number for entry in register.state.entries.values()):
        numbered = {JUDGING: judging_csv(register).content() if judging is None else judging, KEY: key_csv(register)}
        files = {**numbered, **files}
    return files, findings


def list_file(register: Register) -> tuple[dict[str, Content], list[Finding]]:
    """The list of entries, or what is told where a person has changed it."""
    files: dict[str, Content] = {}
    findings = []
    if register.place is not None and register.place.is_changed(ENTRIES):
        path = (register.folder / ENTRIES).as_posix()
        findings.append(
            finding("register-list-edited", {"list": path, "folder": register.folder.as_posix()}, file=path)
        )
    else:
        files[ENTRIES] = entries_csv(register.state)
    return files, findings


def mended_findings(register: Register) -> list[Finding]:
    """What is told where an earlier run was cut short."""
    if not register.mended:
        return []
    values = {"lines": several(register.mended, "line was", "lines were"), "folder": register.folder.as_posix()}
    return [finding("register-mended", values, file=register.journal.path.as_posix())]
