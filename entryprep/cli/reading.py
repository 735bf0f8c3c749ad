"""A season for the commands that plan it: what could be read, with its problems told on stderr."""

from __future__ import annotations

import sys
from pathlib import Path

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.show import say_finding
from entryprep.entering.season import Season, read_season
from entryprep.findings import Severity


def opened(folder: Path, competitions: bool = True) -> Season:
    """The season of a folder. Its errors are told on stderr; what could be read is worked with.

    Raises UsageProblem where it holds no beer, or no competition while those are wanted.
    """
    season, problems = read_season(folder)
    for finding in problems:
        if finding.severity is Severity.ERROR:
            say_finding(finding, sys.stderr)
    for part, there in (("batches", season.batches), ("competitions", season.competitions if competitions else True)):
        if not there:
            one = "beer" if part == "batches" else "competition"
            raise UsageProblem(f"the season holds no {one} that can be read", f"write one into {part}/, a file each")
    return season


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
