"""What ``results`` writes: standings, winners, and a feedback sheet for each entry."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path

from entryprep.cli.progress import working
from entryprep.cli.slips import printing
from entryprep.filenames import file_names
from entryprep.formats.csvtext import csv_bytes
from entryprep.output import Content, Spool, claimed
from entryprep.receiving.feedback import About, Block, as_text, sheet_blocks
from entryprep.receiving.placing import BEST_OF_SHOW, CREATIVITY, Award, Placed
from entryprep.receiving.scores import Score
from entryprep.receiving.standings import Standing, Votes
from entryprep.tables.feedbackwords import said
from entryprep.tables.scales import Scale

WINNERS, FEEDBACK = "winners.pdf", "feedback"
MOST_SHEETS = 200  # feedback sheets in one PDF: a drawn one is held in memory until it is written


@dataclass
class Entries:
    """What is known of the entries besides their scores, by number."""

    groups: dict[str, str] = field(default_factory=dict)
    flights: dict[str, int] = field(default_factory=dict)
    about: dict[str, About] = field(default_factory=dict)


@dataclass(frozen=True)
class Outcome:
    """What came of the scores."""

    standings: list[Standing]
    votes: Votes
    scale: Scale
    entries: Entries
    people: Mapping[str, Mapping[str, str]]
    placed: Placed = field(default_factory=Placed)
    has_vote: bool = False
    has_own_prizes: bool = False


def _names(made: Outcome) -> dict[str, str]:
    """Names of files by blind number: an entry's own number where it is known, for its brewer may not learn the
    other."""
    own = {number: f"entry {row['entry']}" for number, row in made.people.items()}
    return file_names({s.number: own.get(s.number, s.number) for s in made.standings})


def _sheets(made: Outcome, abouts: Mapping[str, About]) -> Iterator[tuple[str, list[Block]]]:
    """A feedback sheet for each entry that was judged, with its blind number."""
    places: dict[tuple[str, int], int] = {}
    for s in made.standings:
        if s.score is not None:
            places[s.table] = places.get(s.table, 0) + 1
    waiting = {s.number: s for s in made.standings if any(_says(score) for score in s.scores)}
    for number, about in abouts.items():
        if number in waiting:  # a number that stands twice has one sheet
            yield _sheet_of(made, waiting.pop(number), about, places)
    for number in sorted(waiting):
        yield _sheet_of(made, waiting[number], About(f"Entry {number}"), places)


def _says(score: Score) -> bool:
    return score.total is not None or any(score.said) or any(mark is not None for mark in score.marks)


def _sheet_of(
    made: Outcome, s: Standing, about: About, places: Mapping[tuple[str, int], int]
) -> tuple[str, list[Block]]:
    if s.number in made.people:  # the brewer knows the entry number, and may not learn the blind number
        row = made.people[s.number]
        beer = f", {row['beer']}" if row["beer"] else ""
        about = replace(about, called=said("entry", about.language, entry=row["entry"]) + beer)
    won = [_won(award, about, made.has_own_prizes) for award in made.placed.awards if award.number == s.number]
    return s.number, sheet_blocks(s, about, made.scale, places, won)


def _won(award: Award, about: About, own: bool) -> str:
    """A place in the language of its brewer; the names of a competition's ``own`` prizes and categories stay."""
    tongue = about.language
    title = f" ({award.title})" if award.title else ""
    called = replace(award, group=about.group or award.group).called if award.group else award.called
    if not own and award.prize in (BEST_OF_SHOW, CREATIVITY):
        called = said("best-of-show" if award.prize == BEST_OF_SHOW else "creativity", tongue)
    return said("award", tongue, prize=called, place=award.place, title=title)


def written(made: Outcome, page: str, apart: bool, fonts: Sequence[Path], out: Path) -> list[Path]:
    """Write the files; feedback of an earlier run that is no longer made is taken away."""
    from entryprep.paper.feedback import feedback_pdf
    from entryprep.paper.placingsheet import placing_sheets_pdf
    from entryprep.paper.winners import winners_pdf

    with ExitStack() as stack, claimed(out) as place, working("printing") as step, printing(fonts):
        spool = stack.enter_context(Spool())
        files: dict[str, Content] = {"standings.csv": csv_bytes(STANDING_COLUMNS, _standing_rows(made))}
        abouts = made.entries.about
        for name, mini in ((MINI_ROUNDS, True), (BEST, False)):
            rows = _round_rows(made, mini, abouts)
            if rows:
                stem = name.removesuffix(".csv")
                title = "Mini round" if mini else ""
                files[f"{stem}.pdf"] = placing_sheets_pdf(_sheets_of(rows), title, page)
                if not place.is_changed(name):  # once it is filled in it is the user's
                    files[name] = csv_bytes(ROUND_COLUMNS, rows)
        if made.people and made.placed.awards:
            files[WINNERS] = winners_pdf(list(_winner_rows(made)), page)
        if made.people:
            files["winners.csv"] = csv_bytes(WINNER_COLUMNS, _winner_rows(made))
        names = _names(made)
        part: list[list[Block]] = []
        parts = 0
        for done, (number, blocks) in enumerate(_sheets(made, abouts), 1):
            name = names[number]
            files[f"{FEEDBACK}/{name}.txt"] = spool.keep(as_text(blocks).encode())
            if apart:
                files[f"{FEEDBACK}/{name}.pdf"] = spool.keep(feedback_pdf([blocks], page))
            else:
                part.append(blocks)
            if len(part) == MOST_SHEETS:
                parts += 1
                files[f"feedback-{parts:03d}.pdf"] = spool.keep(feedback_pdf(part, page))
                part = []
            step(f"feedback, {done}", done, max(done, len(made.standings)))
        if part:
            parts += 1
            files[f"feedback-{parts:03d}.pdf"] = spool.keep(feedback_pdf(part, page))
        if parts == 1:
            files["feedback.pdf"] = files.pop("feedback-001.pdf")
        return place.write(files, replace_below=FEEDBACK)


STANDING_COLUMNS = (
    "group",
    "rank",
    "tied",
    "number",
    "score",
    "agreed",
    "spread",
    "judges",
    "band",
    "advances",
    "open",
)


def _standing_rows(made: Outcome) -> Iterator[tuple[object, ...]]:
    for s in made.standings:
        sums = sum(score.total is not None for score in s.scores)
        score, band = ("", "") if s.score is None else (f"{s.score:.2f}", made.scale.band(s.score))
        tied, agreed, advances, is_open = ("yes" if mark else "" for mark in (s.tied, s.agreed, s.advances, s.open))
        row = (s.group, s.rank or "", tied, s.number, score, agreed, f"{s.spread:g}", sums, band, advances, is_open)
        yield row


WINNER_COLUMNS = ("prize", "group", "place", "title", "brewer", "beer", "entry", "club", "points")
ROUND_COLUMNS = ("round", "number", "style", "declared", "place")
MINI_ROUNDS, BEST = "mini-rounds.csv", "best-of-show.csv"


def _sheets_of(rows: Sequence[tuple[str, ...]]) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """The rows of each round, by its name."""
    found: dict[str, list[tuple[str, str, str]]] = {}
    for name, number, style, declared, _ in rows:
        found.setdefault(name, []).append((number, style, declared))
    return list(found.items())


def _winner_rows(made: Outcome) -> Iterator[tuple[object, ...]]:
    """Whoever has a prize, by name; no blind number."""
    for award in made.placed.awards:
        row = made.people.get(award.number, {})
        who = (row.get("brewer", ""), row.get("beer", ""), row.get("entry", ""), award.club or row.get("club", ""))
        yield award.prize, award.group, award.place, award.title, *who, f"{award.points:g}" if award.points else ""


def _round_rows(made: Outcome, mini: bool, about: Mapping[str, About]) -> list[tuple[str, ...]]:
    """The beers of rounds to be tasted yet, by round, then number, with room for the place."""
    return [
        (each.name, number, replace(about[number], language="en").named if number in about else "",
         about[number].declaration if number in about else "", "")
        for each in made.placed.rounds
        if (each.kind == "category") == mini
        for number in each.numbers
    ]  # fmt: skip
