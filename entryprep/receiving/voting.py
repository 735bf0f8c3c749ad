"""Votes for the prize for creativity, as a sheet of its own."""

from __future__ import annotations

from collections.abc import Collection

from entryprep.findings import Finding, Severity
from entryprep.formats.csvtext import plain_cell
from entryprep.receiving.declaration import Reader, tidy
from entryprep.text import fold


def ballots_of(reader: Reader, numbers: Collection[str]) -> tuple[list[tuple[str, str]], list[Finding]]:
    """Ballots of (voter, number), one for each voter, and what is wrong with the others."""
    ballots: dict[str, tuple[str, str]] = {}
    findings: list[Finding] = []
    for row in reader.sheet.rows():
        findings += row.findings
        texts = {m.field: plain_cell(tidy(row.cells[m.column])) for m in reader.matches}
        voter, number = texts.get("voter", ""), "".join(texts.get("entry", "").split())
        problem = _problem(voter, number, ballots, numbers)
        if problem:
            what, fix, where = problem
            column = reader.column(where)
            findings.append(reader.sheet.finding("vote-void", Severity.ERROR, what, fix, row.number, column))
        else:
            ballots[fold(voter) or voter] = (voter, number)
    return list(ballots.values()), findings


def _problem(
    voter: str, number: str, ballots: Collection[str], numbers: Collection[str]
) -> tuple[str, str, str] | None:
    if not voter:
        return "this vote names no voter and does not count", "write who voted", "voter"
    if (fold(voter) or voter) in ballots:
        return f"{voter[:60]} has voted already; the first vote counts", "take one of the rows out", "voter"
    if number not in numbers:
        return f"no entry has the number {number[:30] or 'that was left blank'}", "look at the label again", "entry"
    return None
