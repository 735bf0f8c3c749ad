"""``flights``: entries put into flights, judges seated, pouring lists, tasting cards and a sheet for the scores."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from entryprep.cli.boundary import FINDINGS, UsageProblem
from entryprep.cli.flightfiles import Made, written
from entryprep.cli.flightshow import UNSETTLED, USUAL, said_of, sessions_of, show_flights, small_findings
from entryprep.cli.nextstep import say_answer
from entryprep.cli.progress import working
from entryprep.cli.registerflights import run_register
from entryprep.cli.show import console, paragraph, print_json
from entryprep.cli.slips import boxed_findings
from entryprep.cli.spreadsheets import columns_json, columns_of, opened, show_columns, tell_sheet, tell_some
from entryprep.findings import Finding, Severity, has_errors, ordered
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.checks_cautions import HARMFUL
from entryprep.receiving.declaration import Reader
from entryprep.receiving.flights import Flight, flights
from entryprep.receiving.numbers import is_valid
from entryprep.receiving.outputs import people_of
from entryprep.receiving.panels import Hours, Judge, Panel, panels
from entryprep.receiving.register.book import is_register
from entryprep.receiving.register.listing import FLIGHTS, SCORES
from entryprep.receiving.seatfindings import told_of_panels
from entryprep.receiving.seating import judge_rows, judges_of, own_entries
from entryprep.receiving.tasting import ORDER_RULE, Tasted, tasted
from entryprep.records.competition import read_competition
from entryprep.tables.rules import refused, told_again
from entryprep.tables.scales import load_scale
from entryprep.tables.styles import load_styles

TOLD = 20
PAGES = {"letter", "a4"}
KEPT = {"number-twice", "entry-number-missing", "style-read"}


def run(
    file: Path | None,
    options: Sequence[str],
    encoding: str,
    separator: str,
    told: Mapping[str, Any],
    judges: Path | None,
    key: Path | None,
    day: tuple[Path | None, str],
    out: Path | None,
    despite: bool,
    at: str,
    who: str,
    as_json: bool,
) -> None:
    """``entryprep flights``; ``told`` are the settings as given, None where nothing was said."""
    if told["page"] not in {*PAGES, None}:
        raise UsageProblem(f"--page {told['page']} is not known", "use letter or a4")
    folder = _register_of(file, out)
    if folder is not None:
        if key or options:
            raise UsageProblem("a register knows its entries by itself", "leave --key and --map out")
        run_register(folder, told, day, judges, out is not None, despite, at, who, as_json)
        return
    settings = {**USUAL, **{name: value for name, value in told.items() if value is not None}}
    least, most, each, page = (settings[name] for name in ("least", "most", "panel", "page"))
    if least > most:
        raise UsageProblem(f"--least {least} is more than --most {most}", "give a least size up to the most")
    if key and not judges:
        raise UsageProblem("--key is only needed to find the judges' own entries", "give --judges FILE as well")
    cup = read_competition(day[0]) if day[0] is not None else None
    hours = Hours(sessions_of(day[1], cup), settings["beers"])
    points = load_scale(settings["scale"])
    styles = load_styles()
    with opened(file, "declarations", encoding, separator) as sheet, working("reading") as step:
        matches = columns_of(sheet, "declarations", options, ("entry", "style"))
        entries, findings = _entries(CheckIn(Reader(sheet, matches), styles), step)
        if not entries:
            raise refused("sheet", sheet.name, "no-rows")
        made_flights = flights(entries, least, most)
        findings += small_findings(made_flights, least, sheet.name)
        seated, people, more = _seated(made_flights, judges, key, each, hours)
        findings = ordered([*findings, *more])
        made = Made(made_flights, seated, people, hours)
    paths = written(made, styles, points, page, out) if out else []
    findings = ordered([*findings, *(boxed_findings(Path(sheet.name)) if out else ())])
    if as_json:
        value = columns_json(sheet, matches)
        files = [p.as_posix() for p in paths]
        listed = [f.as_json() for f in ordered([*sheet.findings, *findings])]
        print_json({**value, **_json(made), "order": ORDER_RULE, "files": files, "findings": listed})
    else:
        _say(made, out, paths, findings)
        tell_sheet(sheet, Severity.WARNING)
        console().print()
        show_columns(sheet, matches)
    if has_errors([*findings, *sheet.findings]):
        raise SystemExit(FINDINGS)


def _register_of(file: Path | None, out: Path | None) -> Path | None:
    """The folder of the register that is meant; None where a sheet is. Raises UsageProblem where it is both."""
    if file is not None and file.is_dir():
        if out is not None and out.resolve() != file.resolve():
            raise UsageProblem("the papers of a register are printed into its own folder", f"say --out {file}")
        return file
    if out is None or not is_register(out):
        return None
    if file is not None:
        raise UsageProblem(
            f"{out.as_posix()} is a register: its flights are made of its entries, not of a sheet",
            f"leave {file.as_posix()} out, or name another folder with --out",
        )
    return out


def _entries(check: CheckIn, step: Any) -> tuple[list[Tasted], list[Finding]]:
    """The entries, and what of their rows matters here: numbers and styles."""
    entries: list[Tasted] = []
    findings: list[Finding] = []
    wrong: list[Finding] = []
    for done, (entry, declared) in enumerate(tasted(check), 1):
        if any(found.rule in HARMFUL for found in declared.findings):
            findings += [told_again(found, "flights") for found in declared.findings if found.rule in HARMFUL]
            continue
        entries.append(entry)
        for found in declared.findings:
            if found.rule in UNSETTLED:  # it is judged all the same, and who checked it in was told
                findings.append(told_again(found, "flights"))
            elif found.rule in KEPT or found.rule.startswith("sheet-"):
                findings.append(found)
        if not is_valid(entry.number):
            sheet, column = check.reader.sheet, check.reader.column("entry")
            wrong.append(sheet.finding("number-misread", declared.row.number, column, {"number": entry.number[:20]}))
        if done % 50 == 0:
            step(f"reading, {done} rows", done, None)
    # where most numbers have no check digit they were not drawn by us, and say nothing by it
    return entries, findings + (wrong if len(wrong) * 2 < len(entries) else [])


def _seated(
    made: Sequence[Flight], file: Path | None, key: Path | None, each: int, hours: Hours
) -> tuple[list[Panel], list[Judge], list[Finding]]:
    if file is None:
        return [], [], []
    people = people_of(key) if key is not None else {}
    with opened(file, "judges") as sheet:
        matches = columns_of(sheet, "judges", (), ("judge",))
        rows = judge_rows(Reader(sheet, matches))
        judges, findings = judges_of(rows, own_entries(people), made, hours.sessions)
        findings += [f for f in sheet.findings if f.severity is not Severity.NOTE]
    seated = panels(made, judges, each, hours)
    return seated, judges, findings + told_of_panels(made, seated, judges, hours, file.as_posix())


def _json(made: Made) -> dict[str, Any]:
    seats = {panel.flight: panel for panel in made.panels}
    return {
        "flights": [
            {
                "flight": flight.number,
                "groups": list(flight.groups),
                "round": seats[flight.number].round if seats else None,
                "session": made.session_of(flight.number) or None,
                "day": seats[flight.number].day if seats else None,
                "judges": list(seats[flight.number].judges) if seats else [],
                "entries": [{"number": e.number, "style": e.style or None, "named": e.named} for e in flight.entries],
            }
            for flight in made.flights
        ]
    }


def _say(made: Made, out: Path | None, paths: Sequence[Path], findings: Sequence[Finding]) -> None:
    """The answer and what to do next, then what was found, the flights, and the files."""
    if out is None:
        following = "--out FOLDER writes pouring lists, cards and the sheet for the scores (nothing was written yet)"
    else:
        scores = shlex.quote((out / SCORES).as_posix())
        following = f"judge, type the scores into {scores}; then entryprep results {scores} --flights "
        following += shlex.quote((out / FLIGHTS).as_posix())
    say_answer(said_of(made, findings), following)
    tell_some(findings, TOLD)
    show_flights(made)
    said = console()
    said.print()
    said.print(paragraph(ORDER_RULE))
    if out is not None and SCORES not in {path.name for path in paths}:
        said.print(paragraph(f"{(out / SCORES).as_posix()} is there already and was left as it is."))
    for path in paths:
        said.print(paragraph(path.as_posix(), indent=2))
