"""What ``results`` writes: standings, winners, and a feedback sheet for each entry."""

from __future__ import annotations

import gc
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from pathlib import Path

from entryprep.cli.progress import working
from entryprep.cli.spreadsheets import columns_of, opened
from entryprep.filenames import file_names
from entryprep.formats.csvtext import csv_bytes
from entryprep.output import Content, claimed
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.feedback import About, Block, as_text, fit_lines, sheet_blocks
from entryprep.receiving.scores import Score
from entryprep.receiving.standings import Standing, Votes
from entryprep.receiving.tasting import tasted
from entryprep.tables.scales import Scale
from entryprep.tables.styles import load_styles

MOST_SHEETS = 200  # feedback sheets in one PDF: a drawn one is held in memory until it is written


@dataclass
class Entries:
    """What is known of the entries besides their scores, by number; ``file`` is read again for the feedback."""

    file: Path | None
    groups: dict[str, str] = field(default_factory=dict)
    flights: dict[str, int] = field(default_factory=dict)

    def about(self) -> Iterator[tuple[str, About]]:
        """Each entry with what its feedback says besides the scores."""
        if self.file is None:
            return
        with opened(self.file, "declarations") as sheet:
            matches = columns_of(sheet, "declarations", (), ("entry", "style"))
            for entry, declared in tasted(CheckIn(Reader(sheet, matches), load_styles())):
                score = declared.fit.score if declared.fit else None
                lines = fit_lines(declared.fit)
                yield entry.number, About(f"Entry {entry.number}", entry.named, entry.words, lines, score)


@dataclass(frozen=True)
class Outcome:
    """What came of the scores."""

    standings: list[Standing]
    votes: Votes
    scale: Scale
    entries: Entries
    people: Mapping[str, Mapping[str, str]]


def _names(made: Outcome) -> dict[str, str]:
    """Names of files by blind number: an entry's own number where it is known, for its brewer may not learn the
    other."""
    own = {number: f"entry {row['entry']}" for number, row in made.people.items()}
    return file_names({s.number: own.get(s.number, s.number) for s in made.standings})


def _sheets(made: Outcome) -> Iterator[tuple[str, list[Block]]]:
    """A feedback sheet for each entry that was judged, with its blind number."""
    places: dict[str, int] = {}
    for s in made.standings:
        if s.score is not None:
            places[s.group] = places.get(s.group, 0) + 1
    waiting = {s.number: s for s in made.standings if any(_says(score) for score in s.scores)}
    for number, about in made.entries.about():
        if number in waiting:  # a number that stands twice has one sheet
            yield _sheet_of(made, waiting.pop(number), about, places)
    for number in sorted(waiting):
        yield _sheet_of(made, waiting[number], About(f"Entry {number}"), places)


def _says(score: Score) -> bool:
    return score.total is not None or any(score.said) or any(mark is not None for mark in score.marks)


def _sheet_of(made: Outcome, s: Standing, about: About, places: Mapping[str, int]) -> tuple[str, list[Block]]:
    if s.number in made.people:  # the brewer knows the entry number, and may not learn the blind number
        row = made.people[s.number]
        beer = f", {row['beer']}" if row["beer"] else ""
        about = replace(about, called=f"Entry {row['entry']}{beer}")
    return s.number, sheet_blocks(s, about, made.scale, places)


def written(made: Outcome, page: str, apart: bool, out: Path) -> list[Path]:
    """Write the files; feedback of an earlier run that is no longer made is taken away."""
    from entryprep.paper.feedback import feedback_pdf

    with ExitStack() as stack, claimed(out) as place, working("printing") as step:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="entryprep-")))
        files: dict[str, Content] = {"standings.csv": csv_bytes(STANDING_COLUMNS, _standing_rows(made))}
        if made.people:
            files["winners.csv"] = csv_bytes(WINNER_COLUMNS, _winner_rows(made))
        names = _names(made)
        part: list[list[Block]] = []
        parts = 0
        for done, (number, blocks) in enumerate(_sheets(made), 1):
            name = names[number]
            told = folder / f"{done}.txt"
            told.write_text(as_text(blocks), encoding="utf-8", newline="")
            files[f"feedback/{name}.txt"] = told
            if apart:
                spooled = folder / f"{done}.pdf"
                spooled.write_bytes(feedback_pdf([blocks], page))
                files[f"feedback/{name}.pdf"] = spooled
                if done % 50 == 0:
                    gc.collect()
            else:
                part.append(blocks)
            if len(part) == MOST_SHEETS:
                parts += 1
                _spool(files, folder, parts, feedback_pdf(part, page))
                part = []
            step(f"feedback, {done}", done, max(done, len(made.standings)))
        if part:
            parts += 1
            _spool(files, folder, parts, feedback_pdf(part, page))
        if parts == 1:
            files["feedback.pdf"] = files.pop("feedback-001.pdf")
        return place.write(files, replace_below="feedback")


def _spool(files: dict[str, Content], folder: Path, part: int, content: bytes) -> None:
    spooled = folder / f"part-{part}.pdf"
    spooled.write_bytes(content)
    files[f"feedback-{part:03d}.pdf"] = spooled
    gc.collect()  # a drawn PDF is held together by circles, and collecting is put off in main()


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


WINNER_COLUMNS = ("prize", "group", "rank", "brewer", "beer", "entry")
PLACES = 3


def _winner_rows(made: Outcome) -> Iterator[tuple[object, ...]]:
    """The first three of each group by name, and the prize for creativity; no blind number."""
    prizes = [("place", s.group, s.rank, s.number) for s in made.standings if 1 <= s.rank <= PLACES]
    prizes += [("creativity", "", 1, number) for number in made.votes.first]
    for prize, group, rank, number in prizes:
        row = made.people.get(number, {})
        yield prize, group, rank, row.get("brewer", ""), row.get("beer", ""), row.get("entry", "")
