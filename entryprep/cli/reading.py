"""A season for the commands that plan it: what could be read, with its problems told on stderr."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Sequence
from pathlib import Path

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.show import say_finding
from entryprep.entering.season import Season, read_season
from entryprep.entering.subjects import subject_of
from entryprep.findings import Finding, Severity, ordered
from entryprep.tables.rules import dangerous
from entryprep.text import listed, several


def opened(folder: Path, competitions: bool = True) -> Season:
    """The season of a folder. Its errors are told on stderr; what could be read is worked with.

    Raises UsageProblem where it holds no beer, or no competition while those are wanted.
    """
    return opened_with(folder, competitions)[0]


def opened_with(folder: Path, competitions: bool = True) -> tuple[Season, list[Finding]]:
    """The season of a folder as :func:`opened` gives it, and the problems of its records."""
    season, problems = read_season(folder)
    for finding in problems:
        if finding.severity is Severity.ERROR:
            say_finding(finding, sys.stderr)
    for part, there in (("batches", season.batches), ("competitions", season.competitions if competitions else True)):
        if not there:
            one = "beer" if part == "batches" else "competition"
            raise UsageProblem(f"the season holds no {one} that can be read", f"write one into {part}/, a file each")
    return season, problems


def errors_standing(season: Season, problems: Sequence[Finding], today: dt.date) -> list[Finding]:
    """The errors that ``check`` finds in a season on a day, those of reading it included."""
    from entryprep.entering.check import check

    return [f for f in ordered([*problems, *check(season, today)]) if f.severity is Severity.ERROR]


def errors_words(season: Season, errors: Sequence[Finding]) -> str:
    """What the first line of a screen says of errors that stand in the season; empty where there is none."""
    if not errors:
        return ""
    hurting = dict.fromkeys(subject_of(season, f) for f in errors if dangerous(f))
    danger = f"; {listed(hurting)} may hurt somebody" if hurting else ""
    return f" {several(len(errors), 'error stands', 'errors stand')} in the season{danger}: see `entryprep check`."


def written(path: Path, content: bytes) -> None:
    """Write a picture or a calendar: where no file is yet, or in the place of one that an earlier run made.

    Raises OutputError for any other file that stands there.
    """
    from entryprep.output import sealed, write_sealed

    if content.startswith(b"BEGIN:VCALENDAR"):  # a property of our own, as RFC 5545 (3.8.8.2) lets one have
        made = sealed(content, b"PRODID:", b"X-%s\r\n")
    else:
        made = sealed(content, b"</svg>", b"<!-- %s -->")
    write_sealed(path, made)
