"""Votes for the prize for creativity, as a sheet of its own."""

from __future__ import annotations

from collections.abc import Collection

from entryprep.findings import Finding
from entryprep.receiving.declaration import Reader
from entryprep.text import name_key


def ballots_of(reader: Reader, numbers: Collection[str]) -> tuple[list[tuple[str, str]], list[Finding]]:
    """Ballots of (voter, number), one for each voter, and what is wrong with the others."""
    ballots: dict[str, tuple[str, str]] = {}
    findings: list[Finding] = []
    for row in reader.sheet.rows():
        findings += row.findings
        texts = reader.texts(row)
        voter, number = texts.get("voter", ""), "".join(texts.get("entry", "").split())
        problem = _problem(voter, number, ballots, numbers)
        if problem:
            case, where = problem
            values = {"voter": voter[:60], "number": number[:30]}
            findings.append(reader.sheet.finding("vote-void", row.number, reader.column(where), values, case=case))
        else:
            ballots[name_key(voter)] = (voter, number)
    return list(ballots.values()), findings


def _problem(voter: str, number: str, ballots: Collection[str], numbers: Collection[str]) -> tuple[str, str] | None:
    """The case of the rule that a vote breaks, and the field it breaks it in; None where it counts."""
    if not voter:
        return "nameless", "voter"
    if name_key(voter) in ballots:
        return "again", "voter"
    if number not in numbers:
        return "" if number else "blank", "entry"
    return None
