"""``results``: scores checked and ranked, and a feedback sheet for each entry."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from entryprep.cli.boundary import FINDINGS, UsageProblem
from entryprep.cli.flightfiles import BETWEEN
from entryprep.cli.flights import PAGES, TOLD
from entryprep.cli.nextstep import in_register, say_answer
from entryprep.cli.progress import working
from entryprep.cli.registering import time_of, up_to_date
from entryprep.cli.resultfiles import BEST, FEEDBACK, MINI_ROUNDS, WINNERS, Entries, Outcome, written
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.cli.slips import boxed_findings
from entryprep.cli.spreadsheets import columns_json, columns_of, opened, show_columns, tell_sheet, tell_some
from entryprep.findings import Finding, Severity, has_errors, ordered
from entryprep.formats.csvtext import plain_cell
from entryprep.formats.spreadsheet import Sheet
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.feedback import About, fit_lines
from entryprep.receiving.flights import NO_GROUP
from entryprep.receiving.judgenames import PanelNames
from entryprep.receiving.outputs import people_of
from entryprep.receiving.placing import CREATIVITY, MINI, Placing, read_places, usual_prizes
from entryprep.receiving.register.book import held_register, is_register
from entryprep.receiving.register.journal import JOURNAL
from entryprep.receiving.register.listing import ENTRIES, FLIGHTS, JUDGING, KEY, PANELS, printing_of
from entryprep.receiving.register.scoring import kept_scores, not_judged, not_ranked, note_scores
from entryprep.receiving.scores import Score, ScoreSheet, first_said, whole
from entryprep.receiving.seating import own_entries
from entryprep.receiving.standings import counted_votes, crowded, gathered, ranked
from entryprep.receiving.tasting import judged
from entryprep.receiving.voting import ballots_of
from entryprep.records.competition import Competition, Prize, read_competition
from entryprep.tables.feedbackwords import family_said, said
from entryprep.tables.letterwords import language_named
from entryprep.tables.rules import refused
from entryprep.tables.scales import Scale, load_scale
from entryprep.tables.styles import load_styles
from entryprep.text import counted, fold, several

MOST_SHOWN = 60
RESULTS = "results"  # the folder in a register that its results are written to


def run(
    file: Path | None,
    options: Sequence[str],
    encoding: str,
    separator: str,
    also: Sequence[Path],
    entries: Path | None,
    flights: Path | None,
    key: Path | None,
    rounds: tuple[Path | None, Sequence[Path], Path | None],
    kept: tuple[Path | None, str, str],
    scale: str,
    advance: int,
    apart: bool,
    page: str,
    fonts: Sequence[Path],
    out: Path | None,
    as_json: bool,
) -> None:
    """``entryprep results``; ``rounds`` are the competition's file, sheets of places, and a sheet of votes.

    ``kept`` is the folder of the register that keeps the scores, the time of the change, and who makes it.
    """
    if page not in PAGES:
        raise UsageProblem(f"--page {page} is not known", "use letter or a4")
    if out is not None and kept[0] is None and is_register(out):
        kept, out = (out, *kept[1:]), out / RESULTS
    given = _given(kept, rounds[0], scale, entries, flights, key)
    points = load_scale(given.scale or "fifty")
    people: Mapping[str, Mapping[str, str]] = people_of(given.key) if given.key is not None else {}
    tongues = {number: language_named(row.get("language", "")) or "en" for number, row in people.items()}
    known = _entries(given.entries, given.flights, given.not_judged, tongues)
    own = own_entries(people) if people else {}
    readers: list[ScoreSheet] = []
    scores: list[Score] = []
    seen: dict[tuple[str, str], tuple[str, Score]] = {}
    # a register has scores of its own: without a sheet those are ranked
    sheets: Sequence[Path | None] = also if file is None and kept[0] is not None else (file, *also)
    printings = {path: printing_of(kept[0], path) if kept[0] is not None and path is not None else 0 for path in sheets}
    for path in sorted(sheets, key=lambda path: -printings[path]):  # a flight printed again counts as it stands there
        with opened(path, "scores", encoding, separator) as sheet, working("reading scores"):
            matches = columns_of(sheet, "scores", options, ("entry", "judge"))
            if "total" not in {m.field for m in matches}:  # sums alone will do
                columns_of(sheet, "scores", options, tuple(points.parts) or ("total",))
            limits = frozenset(known.groups) if given.entries else None
            names = _panels(given.flights, known)
            out_of_it, printing = given.not_judged, printings[path]
            reader = ScoreSheet(
                Reader(sheet, matches), points, limits, names, own, seen, out=out_of_it, printing=printing
            )
            readers.append(reader)
            scores += reader.scores()
    name = readers[0].reader.sheet.name if readers else given.journal
    scores, changed = _kept(whole(scores), kept, name)
    places = rounds[1] or given.places
    made, told = _outcome(scores, known, points, people, (given.cup, places, rounds[2]), advance, name)
    findings = ordered([*given.told, *changed, *(each for reader in readers for each in reader.findings), *told])
    paths = written(made, page, apart, fonts, out) if out else []
    findings += boxed_findings(given.key or out) if out else []
    of_sheets = [each for reader in readers for each in reader.reader.sheet.findings]
    if as_json:
        value = columns_json(readers[0].reader.sheet, readers[0].reader.matches) if readers else {}
        files = [p.as_posix() for p in paths]
        listed = [f.as_json() for f in ordered([*of_sheets, *findings])]
        print_json({**value, **_json(made), "files": files, "findings": listed})
    else:
        _answer(made, kept[0], out)
        tell_some(findings, TOLD)
        for reader in readers:
            tell_sheet(reader.reader.sheet, Severity.WARNING)
        _show(made, advance)
        console().print()
        for reader in readers:
            show_columns(reader.reader.sheet, reader.reader.matches)
        for line in _few(paths):
            console().print(paragraph(line, indent=2))
        sys.stdout.flush()
    if has_errors([*findings, *of_sheets]):
        raise SystemExit(FINDINGS)


@dataclass
class _Given:
    """What the scores are held against, as named or as a register has it; ``not_judged`` by number which entry of the
    register is out and how it stands, ``told`` what is to be told of it, ``places`` the sheets its rounds were printed
    for, ``journal`` where it keeps its scores."""

    cup: Competition | None
    scale: str
    entries: Path | None
    flights: Path | None
    key: Path | None
    not_judged: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    told: list[Finding] = field(default_factory=list)
    places: Sequence[Path] = ()
    journal: str = ""


def _given(
    kept: tuple[Path | None, str, str],
    competition: Path | None,
    scale: str,
    entries: Path | None,
    flights: Path | None,
    key: Path | None,
) -> _Given:
    folder, at, who = kept
    if folder is None:
        cup = read_competition(competition) if competition is not None else None
        return _Given(cup, scale, entries, flights, key)
    state, cup, told = up_to_date(folder, at, who, competition, scale)
    return _Given(
        cup,
        scale or str(state.settings.get("scale", "")),
        entries or folder / JUDGING,
        flights or _there(folder / FLIGHTS),
        key or folder / KEY,
        not_judged(state),
        [*told, *not_ranked(state, (folder / ENTRIES).as_posix())],
        [path for name in (MINI_ROUNDS, BEST) if (path := folder / RESULTS / name).is_file()],
        (folder / JOURNAL).as_posix(),
    )


def _kept(scores: list[Score], kept: tuple[Path | None, str, str], file: str) -> tuple[list[Score], list[Finding]]:
    """The scores, with those that a register keeps; what is new goes into its journal."""
    folder, at, who = kept
    if folder is None:
        return scores, []
    with held_register(folder, time_of(at), who) as register:
        changed = note_scores(register, scores, file)
        register.settle()
        return first_said([*kept_scores(register.state), *scores]), changed


def _outcome(
    scores: Sequence[Score],
    known: Entries,
    points: Scale,
    people: Mapping[str, Mapping[str, str]],
    rounds: tuple[Competition | None, Sequence[Path], Path | None],
    advance: int,
    file: str,
) -> tuple[Outcome, list[Finding]]:
    """What comes of the scores: standings, places and prizes, and what is to be told."""
    standings, told = gathered(scores, known.groups, known.flights, points, file)
    cup, placed_in, votes = rounds
    numbers = {s.number for s in standings}
    ballots, void = _ballots(votes, numbers)
    standings = ranked(standings, advance)
    tally = counted_votes(scores, ballots)
    places, wrong = _places(placed_in, numbers)
    clubs = {number: row.get("club", "") for number, row in people.items()}
    placing = Placing(standings, places, clubs, _codes(cup), tally, advance or MINI, file)
    prizes = _prizes(cup, bool(tally.counts))
    placed = placing.given(prizes)
    has_vote = any(prize.of == "vote" for prize in prizes)
    made = Outcome(standings, tally, points, known, people, placed, has_vote, cup is not None and bool(cup.prizes))
    return made, [*told, *void, *wrong, *placed.findings, *crowded(standings, advance, file)]


def _there(path: Path) -> Path | None:
    return path if path.is_file() else None


def _prizes(cup: Competition | None, voted: bool) -> Sequence[Prize]:
    """The prizes of the competition; a prize by vote only where it has one, or where there are votes and no file."""
    if cup is not None and cup.prizes:
        return cup.prizes
    return [*usual_prizes(), *([Prize(name=CREATIVITY, of="vote", places=1)] if voted and cup is None else [])]


def _codes(cup: Competition | None) -> dict[str, str]:
    """Codes of categories by key, to the names that groups have."""
    return {fold(category.code): category.name for category in cup.categories} if cup else {}


def _places(files: Sequence[Path], numbers: set[str]) -> tuple[dict[tuple[str, str], int], list[Finding]]:
    found: dict[tuple[str, str], int] = {}
    findings: list[Finding] = []
    for file in files:
        with opened(file, "places") as sheet:
            places, wrong = read_places(Reader(sheet, columns_of(sheet, "places", (), ("round", "entry"))), numbers)
            found |= places
            findings += wrong
    return found, findings


def _columns(sheet: Sheet, *needed: str) -> dict[str, int]:
    """The columns of a list of ours by their names. Raises RecordError where one of those needed is missing."""
    columns = {name.strip().lower(): i for i, name in enumerate(sheet.header)}
    if not set(needed) <= set(columns):
        raise refused("sheet", sheet.name, "no-flights")
    return columns


def _flight(text: str) -> int:
    """The number of a flight as a list of ours has it, 0 for anything else."""
    return int(text) if text.isascii() and text.isdigit() else 0


def _panels(flights: Path | None, known: Entries) -> PanelNames | None:
    """Who sat at which flight, from the list of panels beside that of the flights, where there is one."""
    path = flights.with_name(PANELS) if flights is not None else None
    if path is None or not path.is_file():
        return None
    with opened(path, "judges") as sheet:
        columns = _columns(sheet, "flight", "judges")
        seats: dict[int, list[str]] = {}
        for row in sheet.rows():
            flight = _flight(row.cells[columns["flight"]].strip())
            names = [name.strip() for name in plain_cell(row.cells[columns["judges"]]).split(BETWEEN.strip())]
            if flight and any(names):
                seats[flight] = [name for name in names if name]
    return PanelNames(seats, known.flights)


def _entries(file: Path | None, flights: Path | None, out: Collection[str], tongues: Mapping[str, str]) -> Entries:
    """What is known of the entries, from their sheet and the list of flights; ``out`` are numbers not judged,
    ``tongues`` the languages of feedback by number."""
    known = Entries()
    if file is not None:
        with opened(file, "declarations") as sheet, working("reading entries"):
            matches = columns_of(sheet, "declarations", (), ("entry", "style"))
            for entry in judged(CheckIn(Reader(sheet, matches), load_styles())):
                known.groups[entry.number] = sys.intern(entry.group or NO_GROUP)
                score = entry.fit.score if entry.fit else None
                tongue = tongues.get(entry.number, "en")
                lines, called = fit_lines(entry.fit, tongue), said("entry", tongue, entry=entry.number)
                group = "" if entry.has_category else family_said(entry.group, tongue)
                known.about[entry.number] = About(
                    called, entry.style, entry.base, group, entry.words, lines, score, tongue
                )
    if flights is not None:
        with opened(flights, "declarations") as sheet:
            columns = _columns(sheet, "flight", "number")
            for row in sheet.rows():
                number, flight = plain_cell(row.cells[columns["number"]]), _flight(row.cells[columns["flight"]])
                if flight and number not in out:
                    known.flights[number] = flight
                    group = plain_cell(row.cells[columns["group"]]) if "group" in columns else ""
                    known.groups.setdefault(number, group)
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
                "place": s.place or None,
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
        "best_of_show": [n for each in made.placed.rounds if each.kind == "best-of-show" for n in each.numbers],
        "rounds": [{"round": r.name, "for": r.kind, "numbers": list(r.numbers)} for r in made.placed.rounds],
        "awards": [
            {"prize": a.prize, "group": a.group, "place": a.place, "title": a.title, "number": a.number or None}
            | ({"club": a.club, "points": a.points} if a.club else {})
            for a in made.placed.awards
        ],
        "votes": [{"number": number, "votes": count} for number, count in made.votes.counts],
    }


def _answer(made: Outcome, folder: Path | None, out: Path | None) -> None:
    """First how far it is, then what to do next with the command, then what the answer is made of."""
    scored = sum(s.score is not None for s in made.standings)
    still = sum(s.open for s in made.standings)
    awards = [award for award in made.placed.awards if award.number or award.club]
    places = several(len(awards), "place is", "places are", none="no")
    done = f"{scored} of {counted(len(made.standings), 'entry', 'entries')} scored on {made.scale.name}"
    say_answer(f"{done}; {still} still open; {places} given.", _next(made, scored, still, folder, out))


def _next(made: Outcome, scored: int, still: int, folder: Path | None, out: Path | None) -> str:
    """What to do next, with the command."""
    again = in_register(folder, "results --out {}") if folder is not None else "the same command again"
    if not scored or still:
        return f"type the scores that are open; then {again}" + (" with that sheet" if folder is not None else "")
    placed = {award.number for award in made.placed.awards}
    for each in made.placed.rounds:
        mini = each.kind == "category"
        won = [a for a in made.placed.awards if (a.group if mini else a.prize) == each.name]
        if not won:
            sheet = MINI_ROUNDS if mini else BEST
            where = (out / sheet).as_posix() if out is not None else sheet
            what = f"the mini round of {each.name}" if mini else each.name
            named = "" if folder is not None else f" with --places {shlex.quote(where)}"
            return f"taste {what}, and type the places into {where}; then {again}{named}"
    if out is None:
        return "--out FOLDER writes winners and feedback (nothing was written yet)"
    winners = f"read {(out / WINNERS).as_posix()} aloud, and " if placed and made.people else ""
    return f"{winners}send each brewer the feedback in {(out / FEEDBACK).as_posix()}"


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
    if made.placed.awards:
        out.print()
    for award in made.placed.awards[:MOST_SHOWN]:
        out.print(paragraph(f"{award.called}, {award.rank}: {award.club or award.number}"))
    if len(made.placed.awards) > MOST_SHOWN:
        out.print(paragraph(f"... and {len(made.placed.awards) - MOST_SHOWN} more; winners.csv gives all."))
    for each in made.placed.rounds:
        what = "Mini round of" if each.kind == "category" else "To taste for"
        out.print(paragraph(f"{what} {each.name}: {', '.join(each.numbers)}."))
    if made.has_vote and made.votes.counts:
        counts = ", ".join(f"{number} ({counted(count, 'vote')})" for number, count in made.votes.counts[:10])
        tie = " There is a tie for the first." if len(made.votes.first) > 1 else ""
        out.print(paragraph(f"Votes: {counts}.{tie}"))
    if rows:
        out.print()
        out.print(table(("group", "rank", "number", "score", "spread", ""), rows, right=(1, 3, 4)))
    if len(scored) > len(shown):
        out.print(paragraph(f"... and {len(scored) - len(shown)} more; --json and standings.csv give all."))
    if any(s.tied for s in shown):
        out.print(paragraph("= marks ties."))
    if advance:
        out.print(paragraph(f"{sum(s.advances for s in scored)} advance, {advance} of each category at each flight."))


def _few(paths: Sequence[Path]) -> list[str]:
    """The paths, those of single feedback sheets counted only."""
    single = [p for p in paths if p.parent.name == FEEDBACK]
    named = [p.as_posix() for p in paths if p.parent.name != FEEDBACK]
    return named + ([f"{single[0].parent.as_posix()}  ({counted(len(single), 'file')})"] if single else [])
