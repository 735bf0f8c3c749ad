"""What the tool has to say about a record: one frozen type, always in the same order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding matters: an error stops ``prepare``, a warning should be read, a note informs."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


_RANK = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}


@dataclass(frozen=True)
class Finding:
    """One thing found: where, what, why it matters, how to fix it.

    ``line`` and ``column`` count from 1; 0 means the place is not known. ``path`` is the dotted path
    inside the record (``measured.og``), ``about`` the entry or batch it concerns. ``competitions`` are the ids of those
    whose entries draw it; empty where it is no matter of one.
    """

    rule: str
    severity: Severity
    what: str
    why: str = ""
    fix: str = ""
    file: str = ""
    line: int = 0
    column: int = 0
    path: str = ""
    about: str = ""
    competitions: tuple[str, ...] = field(default=(), compare=False)

    @property
    def where(self) -> str:
        """``file:line:column``, as far as it is known."""
        spot = [self.file] if self.file else []
        if self.line:
            spot += [str(self.line), str(self.column)]
        return ":".join(spot)

    @property
    def text(self) -> str:
        """The finding on one line, without its reason and remedy."""
        return ": ".join(part for part in (self.where, self.path, self.what) if part)

    def as_json(self) -> dict[str, object]:
        """The finding as plain values for ``--json``."""
        return {
            "rule": self.rule,
            "severity": self.severity.value,
            "about": self.about,
            "file": self.file,
            "line": self.line,
            "column": self.column,
            "path": self.path,
            "what": self.what,
            "why": self.why,
            "fix": self.fix,
        }


def sort_key(finding: Finding) -> tuple[object, ...]:
    """Order by file, then place, then severity; total, so that output never depends on chance."""
    return (
        finding.file,
        finding.line,
        finding.column,
        _RANK[finding.severity],
        finding.rule,
        finding.about,
        finding.what,
    )


def ordered(findings: Iterable[Finding]) -> list[Finding]:
    """Findings without repeats, in their stable order; one that several competitions draw names them all."""
    kept: dict[Finding, Finding] = {}
    for finding in findings:
        known = kept.setdefault(finding, finding)
        if known.competitions != finding.competitions:
            ours, theirs = known.competitions, finding.competitions
            both = tuple(dict.fromkeys((*ours, *theirs))) if ours and theirs else ()
            kept[finding] = replace(known, competitions=both)
    return sorted(kept.values(), key=sort_key)


def has_errors(findings: Iterable[Finding]) -> bool:
    """Whether anything found is an error."""
    return any(finding.severity is Severity.ERROR for finding in findings)
