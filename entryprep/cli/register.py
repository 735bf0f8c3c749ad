"""``register``, ``entry``, ``judge`` and ``decide``: what stands in a register, and the changes a steward makes."""

from __future__ import annotations

import shlex
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from entryprep.cli.boundary import FINDINGS, UsageProblem
from entryprep.cli.nextstep import in_register, next_of, out_of_date, say_answer
from entryprep.cli.registering import finish, mended_findings, time_of
from entryprep.cli.show import clean, console, paragraph, print_json, say_finding, say_findings, table
from entryprep.cli.spreadsheets import opened
from entryprep.findings import Finding, Severity, has_errors
from entryprep.output import digest
from entryprep.receiving.register.book import Register, held_register, read_register, said_of
from entryprep.receiving.register.changes import (
    MOVABLE,
    STANDINGS,
    entry_of,
    judge_arrived,
    judge_gone,
    move,
    set_standing,
)
from entryprep.receiving.register.competition import hold_competition
from entryprep.receiving.register.doubts import column_doubts, style_doubts
from entryprep.receiving.register.editing import read_back
from entryprep.receiving.register.journal import Change
from entryprep.receiving.register.listing import ENTRIES, entries_csv
from entryprep.receiving.register.planning import homeless
from entryprep.receiving.register.questions import decide, question_findings
from entryprep.receiving.register.state import Entry
from entryprep.tables.rules import dangerous
from entryprep.tables.styles import load_styles
from entryprep.text import counted, did_you_mean, either, listed, several

MOST_SHOWN = 60
MOST_DOUBTS = 20
FEW = 6  # findings told after a change; the register tells all
WORDS = (*STANDINGS, "moved", "renumbered")


def run(
    folder: Path, journal: bool, sheet: Path | None, competition: Path | None, at: str, who: str, as_json: bool
) -> None:
    """``entryprep register``."""
    if sheet is not None and competition is not None:
        raise UsageProblem("--sheet and --competition are two changes", "make one, then the other")
    if sheet is not None:
        _read_back(folder, sheet, at, who, as_json)
        return
    if competition is not None:
        _put_in(folder, competition, at, who, as_json)
        return
    register = read_register(folder)
    asked = question_findings(register)
    if as_json:
        value = _json(register)
        if journal:
            value["journal"] = [_change_json(change) for change in register.journal.changes]
        print_json({**value, "findings": [f.as_json() for f in asked]})
    else:
        _show(register, asked)
        if journal:
            _tell(register.journal.changes)
    if has_errors(asked):
        raise SystemExit(FINDINGS)


def _read_back(folder: Path, file: Path, at: str, who: str, as_json: bool) -> None:
    told: list[Finding] = []

    def change(register: Register) -> tuple[None, str]:
        with opened(file, "declarations") as sheet:
            back = read_back(register, sheet)
        told.extend(back.findings)
        place = register.place
        own = folder / ENTRIES
        if place is not None and not back.findings and file.resolve() == own.resolve():  # all of it is in the journal
            register.place = replace(place, known={**place.known, ENTRIES: (digest(own),)})
        asked = f", {several(len(back.raised), 'question')}" if back.raised else ""
        done = f"{counted(len(back.changed), 'entry', 'entries')} changed by the list{asked}"
        return None, done[0].upper() + done[1:] if back.changed or back.raised else ""

    _changed(folder, at, who, change, as_json, told)


def _put_in(folder: Path, competition: Path, at: str, who: str, as_json: bool) -> None:
    told: list[Finding] = []

    def change(register: Register) -> tuple[None, str]:
        before = register.state.last
        cup, found = hold_competition(register, competition)
        told.extend(found)
        new = cup is not None and register.state.competition["n"] > before
        return None, f"this is the register of {cup.name}" if cup is not None and new else ""

    _changed(folder, at, who, change, as_json, told)


def run_entry(
    folder: Path,
    said: str,
    what: str,
    to: Mapping[str, str],
    number: str,
    blind: bool,
    at: str,
    who: str,
    why: str,
    as_json: bool,
) -> None:
    """``entryprep entry``."""
    to = {name: text.strip() for name, text in to.items() if text.strip()}
    if what and what not in WORDS:
        raise UsageProblem(f"{what[:40]} is no change of an entry", did_you_mean(what, WORDS, "changes"))
    if what == "moved" and not to:
        raise UsageProblem("moved needs what the entry is to be", f"give --{', --'.join(MOVABLE)}, or several")
    if to and what != "moved":
        raise UsageProblem(f"--{next(iter(to))} goes with moved", "say: entryprep entry FOLDER ENTRY moved --style ...")
    if not what:
        register = read_register(folder)
        _show_entry(register, entry_of(register, said, blind), as_json)
        return

    def change(register: Register) -> tuple[Entry, str]:
        entry = entry_of(register, said, blind)
        if what == "moved":
            done = move(register, entry, dict(to), why)
            return entry, f"entry {entry.id} is now {', '.join(to.values())}" if done else ""
        if what == "renumbered":
            before = entry.number or "no number"
            fresh = register.renumber(entry, number, why)
            return entry, f"entry {entry.id} has blind number {fresh} instead of {before}, which is not used again"
        done = set_standing(register, entry, what, why)
        return entry, f"entry {entry.id} is {entry.standing}" if done else ""

    _changed(folder, at, who, change, as_json)


def run_judge(
    folder: Path,
    name: str,
    what: str,
    after: int,
    texts: Mapping[str, str],
    at: str,
    who: str,
    why: str,
    as_json: bool,
) -> None:
    """``entryprep judge``."""
    if what not in {"gone", "arrived"}:
        raise UsageProblem(f"{what[:40]} is no change of a judge", "say gone or arrived")

    def change(register: Register) -> tuple[None, str]:
        if what == "gone":
            judge_gone(register, name, after, why)
            return None, f"{name} is gone after flight {after}" if after else f"{name} is gone"
        done = judge_arrived(register, name, {k: v for k, v in texts.items() if v.strip()}, why)
        return None, f"{name} is here" if done else ""

    _changed(folder, at, who, change, as_json)


def run_decide(folder: Path, question: int, answer: str, at: str, who: str, why: str, as_json: bool) -> None:
    """``entryprep decide``."""

    def change(register: Register) -> tuple[Entry | None, str]:
        asked = decide(register, question, answer, why)
        return register.state.entries.get(asked.about), f"question {question} is decided: {answer}"

    _changed(folder, at, who, change, as_json)


def _changed(
    folder: Path,
    at: str,
    who: str,
    change: Callable[[Register], tuple[Entry | None, str]],
    as_json: bool,
    told: Sequence[Finding] = (),
) -> None:
    with held_register(folder, time_of(at), who) as register:
        before = entries_csv(register.state)
        first = register.journal.next
        entry, done = change(register)
        paths, findings = finish(register, before)
        changes = register.journal.changes[first - 1 :]
    findings = [*mended_findings(register), *told, *findings, *question_findings(register)]
    if as_json:
        value: dict[str, Any] = {"changes": [_change_json(each) for each in changes]}
        value |= {"entry": _entry_json(register, entry)} if entry is not None else {}
        files = [p.as_posix() for p in paths]
        print_json({**value, "files": files, "findings": [f.as_json() for f in findings]})
    else:
        out = console()
        out.print(paragraph(f"{done}." if done else "That stands already; nothing was changed.", "bold"))
        gravest = sorted(findings, key=lambda f: (f.severity is not Severity.ERROR, not dangerous(f)))
        if any(map(dangerous, gravest)):
            say_finding(gravest.pop(0))
        for line in _to_print(register):
            out.print(paragraph(line))
        for found in gravest[:FEW]:
            say_finding(found)
        if len(findings) > FEW:
            folder_said = shlex.quote(register.folder.as_posix())
            out.print(paragraph(f"... and {len(findings) - FEW} more; entryprep register {folder_said} tells all."))
    if has_errors(findings):
        raise SystemExit(FINDINGS)


def _to_print(register: Register) -> list[str]:
    """What of the papers is no longer true, and how that is printed again."""
    state = register.state
    lines = [f"Flight {number} is no longer as it was printed." for number in out_of_date(state) if number]
    without = homeless(state) if state.printings else []
    lines += [f"Entry {listed(without)} is in no flight yet."] if without else []
    if lines:
        told = in_register(register.folder, "flights --out {}")
        lines.append(f"{told} prints what has changed, and nothing else.")
    return lines


def _show(register: Register, asked: Sequence[Finding]) -> None:
    state, out = register.state, console()
    standings = Counter(entry.stands for entry in state.entries.values())
    parts = ", ".join(f"{count} {standing}" for standing, count in sorted(standings.items()))
    of = f" of {state.competition['name']}" if state.competition else ""
    open_ = several(len(asked), "question is", "questions are", none="no")
    say_answer(
        f"{register.folder.as_posix()}: {counted(len(state.entries), 'entry', 'entries')}{of}: {parts}; {open_} open.",
        next_of(register),
    )
    numbers = sum(bool(entry.number) for entry in state.entries.values())
    last = register.journal.changes[-1].at if register.journal.changes else ""
    out.print(
        paragraph(
            f"{several(numbers, 'blind number')} issued, {counted(len(state.judges), 'judge')}, "
            f"{several(len(state.printings), 'printing')}; {several(register.journal.next - 1, 'change')}, "
            f"the last {last}."
        )
    )
    say_findings(asked)
    for line in _to_print(register):
        out.print(paragraph(line))
    _show_doubts(register)
    rows = [
        (e.id, e.stands, e.number, *(state.texts(e).get(name, "") for name in ("brewer", "beer", "style")))
        for e in list(state.entries.values())[:MOST_SHOWN]
    ]
    out.print()
    out.print(table(("entry", "standing", "number", "brewer", "beer", "style"), rows))
    if len(state.entries) > MOST_SHOWN:
        out.print(paragraph(f"... and {len(state.entries) - MOST_SHOWN} more; {ENTRIES} and --json give all."))


def _show_doubts(register: Register) -> None:
    """What was read in doubt: styles first, those that are open before those read otherwise, then columns."""
    out, styles = console(), load_styles()
    doubts, columns = style_doubts(register, styles), column_doubts(register)
    if not doubts and not columns:
        return
    count = sum(doubt.is_open for doubt in doubts)
    settled = several(count, "style is", "styles are", none="No")
    out.print()
    out.print(paragraph(f"Doubtful readings: {settled} not settled." if count else "Doubtful readings", "bold"))
    for doubt in doubts[:MOST_DOUBTS]:
        named = [styles.styles[each].name for each in doubt.named.candidates]
        means = {"read": "is read as", "unsettled": "may mean", "unknown": "is no style we have", "missing": ""}
        what = f"“{clean(doubt.said)}” {means[doubt.named.how]}" if doubt.said else "no style declared"
        names = f" {either(named)}" if doubt.named.how in {"read", "unsettled"} else ""
        out.print(paragraph(f"{doubt.entry}  {what}{names}", indent=2))
    if len(doubts) > MOST_DOUBTS:
        out.print(paragraph(f"... and {len(doubts) - MOST_DOUBTS} more; --json gives all.", indent=2))
    for header, name in columns:
        out.print(paragraph(f"the column “{header[:60]}” is read as {name}", indent=2))


def _tell(changes: Sequence[Change]) -> None:
    out = console()
    for change in changes:
        said = {
            n: v for n, v in change.said.items() if n in {"entry", "number", "to", "judge", "after", "answer", "file"}
        }
        words = ", ".join(f"{name} {value}" for name, value in said.items())
        by = f" by {change.who}" if change.who else ""
        why = f": {change.why}" if change.why else ""
        out.print(paragraph(f"{change.n}  {change.at}  {change.what}{by}  {words}{why}"))


def _show_entry(register: Register, entry: Entry, as_json: bool) -> None:
    changes = said_of(register, entry.id)
    if as_json:
        value = {"entry": _entry_json(register, entry), "journal": [_change_json(change) for change in changes]}
        print_json({**value, "findings": []})
        return
    out, texts = console(), register.state.texts(entry)
    out.print(paragraph(f"Entry {entry.id}: {entry.stands}, blind number {entry.number or 'not drawn'}", "bold"))
    shown = [(name, text) for name, text in texts.items() if text]
    out.print(table(("", ""), shown))
    out.print()
    _tell(changes)


def _json(register: Register) -> dict[str, Any]:
    state = register.state
    return {
        "register": register.folder.as_posix(),
        "competition": state.competition.get("name"),
        "entries": [_entry_json(register, entry) for entry in state.entries.values()],
        "judges": [{"judge": j.name, "gone_after": None if j.there else j.gone} for j in state.judges.values()],
        "questions": [
            {"question": q.q, "kind": q.kind, "entry": q.about or None, "answers": list(q.answers)}
            for q in state.open_questions()
        ],
        "doubtful": [
            {"entry": d.entry, "style": d.said, "how": d.named.how, "candidates": list(d.named.candidates)}
            for d in style_doubts(register, load_styles())
        ],
        "changes": register.journal.next - 1,
    }


def _entry_json(register: Register, entry: Entry) -> dict[str, Any]:
    return {
        "entry": entry.id,
        "standing": entry.standing,
        "held": entry.held or None,
        "number": entry.number or None,
        "numbers": list(entry.numbers),
        "club": entry.known.club,
        "declared": register.state.texts(entry),
        "moved": dict(entry.moved),
        "forms": sorted(entry.files),
    }


def _change_json(change: Change) -> dict[str, Any]:
    return {"n": change.n, "at": change.at, "what": change.what, "who": change.who, "why": change.why, **change.said}
