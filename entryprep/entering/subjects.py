"""What a finding of a season is about, by the name its people know."""

from __future__ import annotations

from entryprep.entering.rules.context import ENTRIES
from entryprep.entering.season import Season
from entryprep.findings import Finding


def subject_of(season: Season, finding: Finding) -> str:
    """The beer, the competition, or else the file."""
    folder, _, name = finding.file.partition("/")
    key = name.rpartition(".")[0]
    if finding.file == ENTRIES:
        return _of_entry(season, finding)
    if folder == "batches" and key in season.batches:
        return season.batches[key].name
    if folder == "competitions" and key in season.competitions:
        return season.competitions[key].name
    return finding.file


def _of_entry(season: Season, finding: Finding) -> str:
    """The beer of the entry that a finding stands at, or the competition where it is about all entries there."""
    if finding.about in season.competitions:
        return season.competitions[finding.about].name
    number = finding.path.partition("[")[2].partition("]")[0]
    entered = season.entry_at(int(number) - 1) if number.isdecimal() else None
    return entered.batch.name if entered is not None else finding.file


def said_of(season: Season, finding: Finding) -> str:
    """A finding as papers name it: what it is about, or else where it stands, and what it is."""
    subject = subject_of(season, finding)
    return finding.text if subject == finding.file else f"{subject}: {finding.what}"
