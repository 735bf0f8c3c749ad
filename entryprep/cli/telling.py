"""What was found in a season, told as an answer: first how many things stop you, then each by the beer it is about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from entryprep.cli.show import MARKS, console, paragraph, say_alike
from entryprep.entering.season import Season
from entryprep.entering.subjects import subject_of
from entryprep.findings import Finding
from entryprep.tables.rules import dangerous, rule_row
from entryprep.text import several, shortened


def verdict(season: Season, findings: Iterable[Finding], stopping: bool = True) -> str:
    """The answer in one line: what stops one, what is to be looked at, and what comes first.

    Not ``stopping``: the errors stand, and the work was done all the same.
    """
    parts = list(_arranged(season, findings))
    every = [f for _, found in parts for f in found]
    errors, warnings, notes = (sum(f.severity.value == mark for f in every) for mark in MARKS)
    verb = "stop" if stopping else "stand"
    stops = several(errors, f"error {verb}s", f"errors {verb}")
    if not errors:
        stops = "Nothing stops" if stopping else "No error stands"
    look = [several(n, name) for n, name in ((warnings, "warning"), (notes, "note")) if n]
    told = f"{stops}{' you' if stopping else ''}" + (f", {' and '.join(look)} to look at" if look else "")
    if not every:
        return f"{told}."
    subject, found = parts[0]
    return f"{told}; first: {subject or 'several beers'}, {_title(found[0])}."


def _title(finding: Finding) -> str:
    """What a finding is, in few words."""
    try:
        title = rule_row(finding.rule).title
    except KeyError:  # of readers of records, which say it themselves
        return shortened(finding.what)
    return title[:1].lower() + title[1:]


def say_by_subject(season: Season, findings: Iterable[Finding]) -> None:
    """Findings by weight, those of one beer or competition together under its name; what several share once."""
    out = console()
    for subject, found in _arranged(season, findings):
        out.print()
        if subject:
            out.print(paragraph(subject, "bold"))
        say_alike(found)


def _arranged(season: Season, findings: Iterable[Finding]) -> Iterator[tuple[str, Sequence[Finding]]]:
    """By weight; of each weight first what may hurt, then by subject, and last, under no name, what several share."""
    found = list(findings)
    for mark in MARKS:
        own = [f for f in found if f.severity.value == mark]
        of: dict[tuple[str, str, str, str], dict[str, None]] = {}
        for f in own:
            of.setdefault(_words(f), {})[subject_of(season, f)] = None
        parts: dict[str, list[Finding]] = {}
        for f in own:
            shared = len(of[_words(f)]) > 1
            parts.setdefault("" if shared else subject_of(season, f), []).append(f)
        order = sorted(parts, key=lambda s: (not any(map(dangerous, parts[s])), s == ""))
        for subject in order:
            yield subject, sorted(parts[subject], key=lambda f: not dangerous(f))


def _words(finding: Finding) -> tuple[str, str, str, str]:
    return finding.rule, finding.what, finding.fix, finding.path
