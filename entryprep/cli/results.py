"""``results``: scores checked and ranked, and a feedback sheet for each entry."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from entryprep.cli.boundary import FINDINGS, UsageProblem
from entryprep.cli.flights import PAGES, TOLD
from entryprep.cli.progress import working
from entryprep.cli.resultfiles import Entries, Outcome, written
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.cli.spreadsheets import columns_json, columns_of, opened, show_columns, tell_sheet, tell_some
from entryprep.findings import Finding, Severity, has_errors, ordered
from entryprep.formats.csvtext import plain_cell
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.flights import NO_GROUP
from entryprep.receiving.outputs import read_key
from entryprep.receiving.scores import Score, ScoreSheet
from entryprep.receiving.seating import own_entries
from entryprep.receiving.standings import best_of_show, counted_votes, crowded, gathered, ranked
from entryprep.receiving.tasting import tasted
from entryprep.receiving.voting import ballots_of
from entryprep.tables.rules import finding, refused
from entryprep.tables.scales import load_scale
from entryprep.tables.styles import load_styles
from entryprep.text import counted, fold

MOST_SHOWN = 60


def run(
    file: Path | None,
    options: Sequence[str],
    encoding: str,
    separator: str,
    entries: Path | None,
    flights: Path | None,
    key: Path | None,
    votes: Path | None,
    scale: str,
    advance: int,
    apart: bool,
    page: str,
    out: Path | None,
    as_json: bool,
) -> None:
    """``entryprep results``."""
    if page not in PAGES:
        raise UsageProblem(f"--page {page} is not known", "use letter or a4")
    points = load_scale(scale)
    people = _people(key)
    known = _entries(entries, flights)
    with opened(file, "scores", encoding, separator) as sheet, working("reading scores"):
        matches = columns_of(sheet, "scores", options, ("entry", "judge"))
        if "total" not in {m.field for m in matches}:  # sums alone will do
            columns_of(sheet, "scores", options, tuple(points.parts) or ("total",))
        reader = ScoreSheet(Reader(sheet, matches), points, frozenset(known.groups) if entries else None)
        scores = list(reader.scores())
    told_own = _own(scores, people, sheet.name)
    standings, told = gathered(scores, known.groups, known.flights, points, sheet.name)
    ballots, more = _ballots(votes, {s.number for s in standings})
    standings = ranked(standings, advance)
    findings = ordered([*reader.findings, *told, *told_own, *more, *crowded(standings, advance, sheet.name)])
    made = Outcome(standings, counted_votes(scores, ballots), points, known, people)
    paths = written(made, page, apart, out) if out else []
    if as_json:
        value = columns_json(sheet, matches)
        files = [p.as_posix() for p in paths]
        listed = [f.as_json() for f in ordered([*sheet.findings, *findings])]
        print_json({**value, **_json(made), "files": files, "findings": listed})
    else:
        show_columns(sheet, matches)
        tell_sheet(sheet, Severity.WARNING)
        tell_some(findings, TOLD)
        _show(made, advance)
        for path in _few(paths):
            console().print(paragraph(path, indent=2))
        sys.stdout.flush()
    if has_errors([*findings, *sheet.findings]):
        raise SystemExit(FINDINGS)


def _people(key: Path | None) -> Mapping[str, Mapping[str, str]]:
    if key is None:
        return {}
    try:
        return read_key(key)
    except OSError as error:
        raise refused("sheet", key.as_posix(), "key-unreadable", reason=error.strerror) from None


def _own(scores: Sequence[Score], people: Mapping[str, Mapping[str, str]], file: str) -> list[Finding]:
    """Scores a judge gave to an own entry."""
    own = own_entries(people) if people else {}
    return [
        finding("score-own", {"judge": score.judge[:60], "number": score.number}, file=file, line=score.row, column=1)
        for score in scores
        if score.number in own.get(fold(score.judge), ())
    ]


def _entries(file: Path | None, flights: Path | None) -> Entries:
    known = Entries(file)
    if file is not None:
        with opened(file, "declarations") as sheet, working("reading entries"):
            matches = columns_of(sheet, "declarations", (), ("entry", "style"))
            for entry, _ in tasted(CheckIn(Reader(sheet, matches), load_styles())):
                known.groups[entry.number] = sys.intern(entry.group or NO_GROUP)
    if flights is not None:
        with opened(flights, "declarations") as sheet:
            columns = {name.strip().lower(): i for i, name in enumerate(sheet.header)}
            if not {"flight", "number"} <= set(columns):
                raise refused("sheet", sheet.name, "no-flights")
            for row in sheet.rows():
                number = plain_cell(row.cells[columns["number"]])
                flight = row.cells[columns["flight"]]
                if flight.isascii() and flight.isdigit():
                    known.flights[number] = int(flight)
                    known.groups.setdefault(
                        number, plain_cell(row.cells[columns["group"]]) if "group" in columns else ""
                    )
    return known


def _ballots(file: Path | None, numbers: set[str]) -> tuple[list[tuple[str, str]], list[Finding]]:
    if file is None:
        return [], []
    with opened(file, "votes") as sheet:
        return ballots_of(Reader(sheet, columns_of(sheet, "votes", (), ("voter", "entry"))), numbers)


def _json(made: Outcome) -> dict[str, Any]:
    return {
        "scale": {"name": made.scale.name, "top": made.scale.top, "parts": dict(made.scale.parts)},
        "standings": [
            {
                "number": s.number,
                "group": s.group,
                "flight": s.flight or None,
                "rank": s.rank or None,
                "tied": s.tied,
                "score": s.score,
                "agreed": s.agreed,
                "spread": s.spread,
                "band": None if s.score is None else made.scale.band(s.score),
                "advances": s.advances,
                "open": s.open,
                "judges": [{"judge": score.judge, "total": score.total} for score in s.scores],
            }
            for s in made.standings
        ],
        "best_of_show": [s.number for s in best_of_show(made.standings)],
        "creativity": [{"number": number, "votes": count} for number, count in made.votes.counts],
    }


def _show(made: Outcome, advance: int) -> None:
    out = console()
    scored = [s for s in made.standings if s.score is not None]
    shown = scored[:MOST_SHOWN]
    rows = [
        (
            s.group,
            f"{'=' if s.tied else ''}{s.rank}",
            s.number,
            f"{s.score:.2f}".rstrip("0").rstrip("."),
            f"{s.spread:g}",
            ", ".join(
                [
                    *(["advances"] if s.advances else []),
                    *(["agreed"] if s.agreed else []),
                    *(["open"] if s.open else []),
                ]
            ),
        )
        for s in shown
    ]
    if rows:
        out.print()
        out.print(table(("group", "rank", "number", "score", "spread", ""), rows, right=(1, 3, 4)))
    if len(scored) > len(shown):
        out.print(paragraph(f"... and {len(scored) - len(shown)} more; --json and standings.csv give all."))
    still = sum(s.open for s in made.standings)
    out.print()
    done = f"{len(scored)} of {counted(len(made.standings), 'entry', 'entries')} scored on {made.scale.name}"
    out.print(paragraph(f"{done}; {still} still open. = marks ties.", "bold"))
    if advance:
        out.print(paragraph(f"{sum(s.advances for s in scored)} advance, {advance} of each flight or group."))
    best = best_of_show(made.standings)
    if best:
        out.print(paragraph(f"For best of show: {', '.join(s.number for s in best)}."))
    if made.votes.counts:
        counts = ", ".join(f"{number} ({counted(count, 'vote')})" for number, count in made.votes.counts[:10])
        tie = " There is a tie for the first." if len(made.votes.first) > 1 else ""
        out.print(paragraph(f"Creativity: {counts}.{tie}"))


def _few(paths: Sequence[Path]) -> list[str]:
    """The paths, those of single feedback sheets counted only."""
    single = [p for p in paths if p.parent.name == "feedback"]
    said = [p.as_posix() for p in paths if p.parent.name != "feedback"]
    return said + ([f"{single[0].parent.as_posix()}  ({counted(len(single), 'file')})"] if single else [])
