"""``check``, ``prepare`` and its parts: a whole season."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from entryprep.cli.bars import share_dots
from entryprep.cli.boundary import FINDINGS, UNUSABLE, UsageProblem
from entryprep.cli.options import the_day
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.cli.slips import Slips, checked_page, chosen_slips, one_sheet, printed_again, printing
from entryprep.cli.telling import say_by_subject, verdict
from entryprep.entering.season import Season, batch_file, read_season
from entryprep.findings import Finding, has_errors, ordered
from entryprep.reading.yamltext import RecordError
from entryprep.text import counted

if TYPE_CHECKING:
    from entryprep.paper.bundle import Bundle

NO_CHOICE = Slips()
PARTS = ("season", "slips", "boxes", "packing", "shipping", "fit", "entries", "index")


def checked_season(folder: Path, competition: str, today: str) -> tuple[Season, list[Finding]]:
    """A season with everything found in it: in reading and by the rules."""
    from entryprep.entering.check import check

    day = the_day(today)
    season, problems = read_season(folder)
    if competition and competition not in season.competitions:
        unreadable = [f for f in problems if f.file.startswith(f"competitions/{competition}.y")]
        if unreadable:
            raise RecordError(unreadable)
        known = ", ".join(season.competitions) or "none"
        raise UsageProblem(f"there is no competition {competition} in this season", f"competitions known: {known}")
    return season, ordered([*problems, *check(season, day, competition or None)])


def run_check(folder: Path, competition: str, today: str, as_json: bool) -> None:
    """``entryprep check``."""
    season, findings = checked_season(folder, competition, today)
    if as_json:
        print_json({"season": folder.as_posix(), "findings": [f.as_json() for f in findings]})
    else:
        entries = counted(len(season.entered), "entry", "entries")
        console().print(paragraph(f"{verdict(season, findings)} {entries.capitalize()} checked.", "bold"))
        say_by_subject(season, findings)
    if unusable(season, findings):
        raise SystemExit(UNUSABLE)
    if has_errors(findings):
        raise SystemExit(FINDINGS)


def unusable(season: Season, findings: Iterable[Finding]) -> bool:
    """Whether nothing could be read at all."""
    readable = season.brewer or season.batches or season.competitions
    return not readable and has_errors(findings)


def run_prepare(
    folder: Path,
    competition: str,
    out: Path | None,
    page: str,
    despite_errors: bool,
    today: str,
    as_json: bool,
    parts: Sequence[str] = PARTS,
    way: str = "",
    slips: Slips = NO_CHOICE,
) -> None:
    """``entryprep prepare``, ``labels``, ``packing`` and ``shipping``."""
    from entryprep.cli.progress import working
    from entryprep.output import write_outputs
    from entryprep.paper.bundle import bundle, page_of

    checked_page(page)
    season, findings = checked_season(folder, competition, today)
    if not season.entered:
        if has_errors(findings):
            refuse(season, findings, as_json, folder, "entries.yaml names no entry that could be printed.", "")
        raise UsageProblem("there is nothing to prepare: entries.yaml names no entry", "add entries to entries.yaml")
    choice = chosen_slips(slips, page or page_of(season), folder, own_page=page if tuple(parts) == ("slips",) else "")
    one_sheet(slips, competition, season)
    printed_again(slips, competition, season)
    if has_errors(concerning(season, findings)) and not despite_errors:
        refuse(season, findings, as_json, folder)
    with working("preparing") as step, printing(slips.fonts):
        made = bundle(season, findings, the_day(today), page, competition, parts, way, step, choice)
    target = out or folder / "out"
    paths = write_outputs(target, made.files, replace_all=tuple(parts) == PARTS and not competition)
    findings = ordered([*findings, *made.findings])
    if as_json:
        print_json(_prepared_json(folder, made, findings, [p.as_posix() for p in paths]))
    else:
        tell_prepared(season, made, findings, paths)
    if has_errors(concerning(season, findings)):
        raise SystemExit(FINDINGS)


def concerning(season: Season, findings: Iterable[Finding]) -> list[Finding]:
    """Findings but those in batches that are not entered: they stand in nobody's way."""
    entered = {batch_file(season, e.batch_id) for e in season.entered}
    return [f for f in findings if not f.file.startswith("batches/") or f.file in entered]


def refuse(
    season: Season,
    findings: list[Finding],
    as_json: bool,
    folder: Path,
    reason: str = "",
    way_out: str = "Mend the errors, or print with --despite-errors.",
) -> None:
    """Print what stands against preparing, and exit."""
    if as_json:
        print_json({"season": folder.as_posix(), "files": [], "findings": [f.as_json() for f in findings]})
    else:
        said = " ".join(each for each in (reason, verdict(season, findings), way_out) if each)
        console().print(paragraph(f"Nothing was printed: {said}", "bold"))
        say_by_subject(season, findings)
    raise SystemExit(FINDINGS)


def _prepared_json(folder: Path, made: Bundle, findings: list[Finding], files: list[str]) -> dict[str, Any]:
    return {
        "season": folder.as_posix(),
        "files": files,
        "entries": made.entries,
        "findings": [f.as_json() for f in findings],
    }


def tell_prepared(season: Season, made: Bundle, findings: list[Finding], paths: list[Path]) -> None:
    """How it stands, what was found, a line per entry, the files."""
    out = console()
    prepared = f"{counted(len(made.entries), 'entry', 'entries').capitalize()} prepared; see the files below."
    out.print(paragraph(f"{verdict(season, findings, stopping=False)} {prepared}", "bold"))
    say_by_subject(season, findings)
    if made.entries:
        rows = [
            (
                str(row["category"]),
                str(row["beer"]),
                str(row["style"] or "?"),
                "-" if row["fit"] is None else str(row["fit"]),
                "" if row["fit"] is None else share_dots(int(str(row["fit"])) / 100),
                str(row["bottles"]),
            )
            for row in made.entries
        ]
        out.print(table(("cat.", "beer", "declared as", "fit", "|", "bottles"), rows, right=(3, 5)))
    for path in paths:
        out.print(paragraph(path.as_posix(), indent=2))
    sys.stdout.flush()
