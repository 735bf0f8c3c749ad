"""``flights`` on a register: what is printed stays; what changed is planned anew and printed as replacing a sheet."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from entryprep.cli.boundary import FINDINGS, UsageProblem
from entryprep.cli.flightfiles import Made, lists, papers, score_sheets
from entryprep.cli.flightshow import UNSETTLED, USUAL, said_of, sessions_of, show_flights, small_findings
from entryprep.cli.nextstep import in_register, next_of, say_answer
from entryprep.cli.progress import working
from entryprep.cli.registering import PRIVATE_FILES, list_file, mended_findings, time_of
from entryprep.cli.show import console, paragraph, print_json
from entryprep.cli.slips import boxed_findings
from entryprep.cli.spreadsheets import columns_of, opened, tell_some
from entryprep.findings import Finding, Severity, has_errors, ordered
from entryprep.output import Content, digest
from entryprep.receiving.codes import codes_of
from entryprep.receiving.declaration import Reader
from entryprep.receiving.flights import Flight
from entryprep.receiving.panels import Hours, Judge
from entryprep.receiving.register.book import Register, held_register, read_register
from entryprep.receiving.register.changes import take_judges
from entryprep.receiving.register.competition import hold_competition
from entryprep.receiving.register.entrants import one_person
from entryprep.receiving.register.harm import review_harm
from entryprep.receiving.register.journal import RegisterError
from entryprep.receiving.register.listing import ENTRIES, PANELS, PRINTING, SCORES, SCORES_BOOK
from entryprep.receiving.register.planning import Planned, as_flights, planned_flights
from entryprep.receiving.register.printing import mark_panels, mark_reworded, printed_record
from entryprep.receiving.register.questions import question_findings
from entryprep.receiving.register.seats import seated_panels
from entryprep.receiving.register.sheets import kept_sheets, meet
from entryprep.receiving.seatfindings import told_of_panels
from entryprep.receiving.seating import JudgeRow, judge_rows, judges_of, own_entries
from entryprep.receiving.tasting import ORDER_RULE, Tasted, pouring_care, tasted
from entryprep.records.competition import Competition
from entryprep.tables.rules import finding, told_again
from entryprep.tables.scales import Scale, load_scale
from entryprep.tables.styles import StyleTable, load_styles
from entryprep.text import listed, name_key, several

TOLD = 20
_OPTIONS = {"beers": "beers-a-day"}  # settings that are called otherwise as options


@dataclass
class _Work:
    """One run: the register, what it is judged by, the flights as they are to be."""

    register: Register
    settings: dict[str, Any]
    table: StyleTable
    scale: Scale
    known: dict[str, Tasted]
    plan: list[Planned]
    made: Made
    findings: list[Finding]

    @property
    def to_print(self) -> list[Planned]:
        """Flights without a sheet that is still true."""
        return [flight for flight in self.plan if flight.changed and not flight.judged]


def run_register(
    folder: Path,
    told: Mapping[str, Any],
    day: tuple[Path | None, str],
    judges: Path | None,
    printing: bool,
    despite: bool,
    at: str,
    who: str,
    as_json: bool,
) -> None:
    """``entryprep flights`` on the register of a folder; ``told`` are settings as given (None: as they stand), ``day``
    the competition's file and the sessions."""
    sessions_of(day[1], None)  # what cannot be read is told before anything is taken in
    with ExitStack() as stack:
        if printing:
            register = stack.enter_context(held_register(folder, time_of(at), who))
        else:
            register = read_register(folder, time_of(at))
        step = stack.enter_context(working("reading"))
        cup, of_cup = hold_competition(register, day[0])
        work = _worked_out(register, told, cup, day[1], judges, step)
        work.findings += of_cup
        asked = question_findings(register)
        stopped = printing and has_errors(asked) and not despite
        if stopped:
            register.settle()  # what was asked in this run can be decided, and what was told need not be told again
        paths = _printed(work, step) if printing and not stopped else []
    boxed = boxed_findings(folder / ENTRIES) if paths else []
    findings = ordered([*mended_findings(register), *asked, *work.findings, *boxed])
    if as_json:
        print_json({**_json(work), "files": [p.as_posix() for p in paths], "findings": [f.as_json() for f in findings]})
    else:
        _say(work, paths, printing, stopped, findings)
    if stopped:
        raise UsageProblem(
            "nothing was printed: the register asks what has to be decided first",
            "decide it, or print all the same with --despite-questions: rows that wait are then not in it",
        )
    if has_errors(findings):
        raise SystemExit(FINDINGS)


def _worked_out(
    register: Register,
    told: Mapping[str, Any],
    cup: Competition | None,
    sessions: str,
    judges: Path | None,
    step: Any,
) -> _Work:
    state = register.state
    given = {name: value for name, value in told.items() if value is not None}
    given |= {"sessions": sessions} if sessions.strip() else {}
    settings = {**USUAL, **state.settings, **given}
    late = [name for name, value in settings.items() if state.printings and value != {**USUAL, **state.settings}[name]]
    if settings != {**USUAL, **state.settings}:
        register.note("settings", settings=settings)
    if settings["least"] > settings["most"]:
        raise UsageProblem(
            f"--least {settings['least']} is more than --most {settings['most']}", "give a least size up to the most"
        )
    review_harm(register, state.entries.values())  # what an earlier version let pass is held back too
    table = load_styles()
    known, findings = _tasted(register, table, step)
    if not known:
        raise RegisterError(
            "no entry of this register is poured under a blind number",
            "draw numbers: entryprep intake FORM --out FOLDER --seed 'words of yours'",
            register.folder.as_posix(),
        )
    if judges is not None:
        findings += _take_judges(register, judges)
    plan = planned_flights(state, known, settings["least"], settings["most"])
    flights = as_flights(plan, known)
    hours = Hours(sessions_of(settings["sessions"], cup), settings["beers"])
    people, more = _judges(register, flights, hours, table)
    seated = seated_panels(state, flights, people, settings["panel"], hours) if people else []
    made = Made(flights, seated, people, hours)
    mark_panels(state, plan, seated)
    mark_reworded(state, plan, known, _sessions(made))
    _mark_lost(register, plan)
    name = (register.folder / PANELS).as_posix()
    findings += [*more, *(told_of_panels(flights, seated, people, hours, name) if seated else ())]
    entries = (register.folder / ENTRIES).as_posix()
    judged = {planned.number for planned in plan if planned.judged}
    findings += small_findings([f for f in flights if f.number not in judged], settings["least"], entries)
    if late:
        options = ", ".join(f"--{_OPTIONS.get(each, each)} {settings[each]}" for each in late)
        findings.append(finding("flights-stand", {"options": options}, file=name))
    return _Work(register, settings, table, load_scale(settings["scale"]), known, plan, made, findings)


def _sessions(made: Made) -> dict[int, str]:
    """The session of each flight as its sheet says it."""
    return {flight.number: made.session_of(flight.number) for flight in made.flights}


def _tasted(register: Register, table: StyleTable, step: Any) -> tuple[dict[str, Tasted], list[Finding]]:
    """The poured entries by their names, as judges know them, with what matters of their styles."""
    state, known, findings = register.state, dict[str, Tasted](), list[Finding]()
    poured = [entry for entry in state.poured() if entry.number]
    codes = codes_of(register.folder, table)
    for kept in meet(kept_sheets(state, (register.folder / ENTRIES).as_posix(), table, poured)):
        kept.check.codes = codes
        for entry, declared in tasted(kept.check):
            held = kept.entries[declared.row.number]
            care = pouring_care(kept.check, declared, cleared=bool(held.cleared))
            known[held.id] = replace(entry, number=held.number, care=care)
            findings += [told_again(f, "flights") for f in declared.findings if f.rule in UNSETTLED]
            if len(known) % 50 == 0:
                step(f"reading, {len(known)} entries", len(known), len(poured))
    return {entry.id: known[entry.id] for entry in poured}, findings


def _take_judges(register: Register, file: Path) -> list[Finding]:
    """Take the judges of a sheet into the register; what is told of the sheet."""
    with opened(file, "judges") as sheet:
        rows = list(judge_rows(Reader(sheet, columns_of(sheet, "judges", (), ("judge",)))))
    told = take_judges(register, rows, sheet.name)
    return told + [f for f in sheet.findings if f.severity is not Severity.NOTE]


def _judges(
    register: Register, flights: Sequence[Flight], hours: Hours, table: StyleTable
) -> tuple[list[Judge], list[Finding]]:
    """The judges of the register, with their own entries under every spelling of their names."""
    state = register.state
    people = {}
    for entry in state.entries.values():
        if entry.number:
            texts = state.texts(entry)
            brewers = " and ".join(text for name in ("brewer", "cobrewer") if (text := texts.get(name, "")))
            people[entry.number] = {"brewer": brewers, "entry": entry.id}
    own = own_entries(people)
    of_person: dict[str, set[str]] = {}
    for name, numbers in own.items():
        of_person.setdefault(one_person(register, name), set()).update(numbers)
    for judge in state.judges.values():
        key = name_key(judge.name)
        own[key] = own.get(key, set()) | of_person.get(one_person(register, key), set())
    file = register.journal.path.as_posix()
    rows = [JudgeRow({**judge.texts, "judge": judge.name}, file) for judge in state.judges.values()]
    return judges_of(rows, own, flights, hours.sessions, table) if rows else ([], [])


def _mark_lost(register: Register, plan: Sequence[Planned]) -> None:
    """Mark flights whose sheet is nowhere: a run was cut short before it was there, or somebody took it away."""
    for flight in plan:
        printed = register.state.flights.get(flight.number)
        if printed is not None and flight.ids and not flight.judged:
            files = register.state.printings[printed["printing"] - 1]["files"]
            flight.changed = flight.changed or not all((register.folder / name).exists() for name in files)


def _printed(work: _Work, step: Any) -> list[Path]:
    """Print what has to be printed: first it is written down, then the papers come."""
    register, state = work.register, work.register.state
    assert register.place is not None
    place, fresh = register.place, work.to_print
    with tempfile.TemporaryDirectory(prefix="entryprep-") as scratch:
        files: dict[str, Content] = {}
        if fresh:
            number = len(state.printings) + 1
            some = {flight.number for flight in fresh if flight.ids}
            made = Made(
                [f for f in work.made.flights if f.number in some],
                [p for p in work.made.panels if p.flight in some],
                work.made.judges,
                work.made.hours,
            )
            old = {n: _when(state.flights[n]) for n in some if state.flights.get(n, {}).get("entries")}
            drawn: dict[str, Content] = {}
            if some:
                drawn = papers(made, work.table, work.scale, work.settings["page"], Path(scratch), step, old)
                drawn |= score_sheets(made, work.scale)
            files = {f"{PRINTING}{number}/{name}": content for name, content in drawn.items()}
            made_of = {
                name: digest(content) for name, content in files.items() if not name.endswith((SCORES, SCORES_BOOK))
            }
            register.note(
                "printed",
                printing=number,
                files=made_of,
                flights=list(printed_record(fresh, work.known, work.made.panels, _sessions(work.made))),
            )
        cup = state.competition.get("n", 0)
        if any(cup > flight["n"] for flight in state.flights.values()) and cup > state.looked:
            register.note("looked", competition=cup)  # what of it stands is as it should be
        register.settle()
        derived, told = list_file(register)
        work.findings += told
        return place.write({**files, **lists(work.made), **derived}, private=PRIVATE_FILES)


def _when(flight: Mapping[str, Any]) -> str:
    return str(flight["at"])[:16].replace("T", " ")


def _json(work: _Work) -> dict[str, Any]:
    seats = {panel.flight: panel for panel in work.made.panels}
    rows = []
    for planned, flight in zip(work.plan, work.made.flights, strict=True):
        panel = seats.get(planned.number)
        rows.append(
            {
                "flight": planned.number,
                "groups": list(planned.groups),
                "round": panel.round if panel else None,
                "session": work.made.session_of(planned.number) or None,
                "day": panel.day if panel else None,
                "judges": list(panel.judges) if panel else [],
                "entries": [
                    {"entry": each, "number": e.number, "style": e.style or None, "named": e.named}
                    for each, e in zip((i for i in planned.ids if i in work.known), flight.entries, strict=True)
                ],
                "to_print": planned.changed and not planned.judged,
                "joined": planned.joined,
                "left": planned.left,
                "judges_joined": planned.judges_joined,
                "judges_left": planned.judges_left,
            }
        )
    return {"register": work.register.folder.as_posix(), "flights": rows, "order": ORDER_RULE}


def _say(work: _Work, paths: Sequence[Path], printing: bool, stopped: bool, findings: Sequence[Finding]) -> None:
    """The answer and what to do next, what was found, the flights, what of them is printed again, and the files."""
    todo = [flight for flight in work.to_print if flight.ids]
    say_answer(said_of(work.made, findings), _next(work, todo, printing, stopped))
    tell_some(findings, TOLD)
    show_flights(work.made)
    out = console()
    out.print()
    for flight in work.plan:
        if flight.printed and flight.changed:
            parts = [f"{listed(flight.left)} left"] if flight.left else []
            parts += [f"{listed(flight.joined)} joined"] if flight.joined else []
            parts += [f"{listed(flight.judges_left)} no longer judges it"] if flight.judges_left else []
            parts += [f"{listed(flight.judges_joined)} judges it now"] if flight.judges_joined else []
            out.print(paragraph(f"Flight {flight.number} is printed again: {'; '.join(parts) or 'its sheet changed'}."))
    if not todo:
        out.print(paragraph("Every sheet that is printed stands; nothing is printed again."))
    elif printing and not stopped:
        out.print(paragraph(ORDER_RULE))
    for path in paths if todo else ():
        out.print(paragraph(path.as_posix(), indent=2))


def _next(work: _Work, todo: Sequence[Planned], printing: bool, stopped: bool) -> str:
    """What to do next, with the command."""
    folder = work.register.folder
    if stopped or (todo and not printing):
        number = several(len(todo), "flight is", "flights are")
        asked = next_of(work.register) if stopped else in_register(folder, "flights --out {}")
        return f"{asked} ({number} to be printed, and nothing was yet)"
    return next_of(work.register)
