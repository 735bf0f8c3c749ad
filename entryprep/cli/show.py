"""How things look on a terminal: plain text first, colour only as a second voice."""

from __future__ import annotations

import json
import math
import os
import sys
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, TextIO

from entryprep.cli.plain import Console, Line, Plain, Table
from entryprep.text import counted, several

if TYPE_CHECKING:
    from entryprep.findings import Finding

MARKS = {"error": "ERROR", "warning": "warning", "note": "note"}
MARK_STYLES = {"error": "bold red", "warning": "yellow", "note": "cyan"}


def console(stream: TextIO | None = None) -> Console:
    """Where to show things: stdout, or another stream.

    As wide as the terminal or ``COLUMNS`` says; into files and pipes nothing is wrapped, and no line ends in spaces.
    """
    target = stream or sys.stdout
    if not (target.isatty() or os.environ.get("COLUMNS") or os.environ.get("FORCE_COLOR")):
        return Plain(target)
    from entryprep.cli.screen import Screen

    return Screen(target)


def print_json(value: dict[str, Any]) -> None:
    """One JSON object on stdout, ``{"format": 1, ...}``."""
    sys.stdout.write(json_text({"format": 1, **value}, indent=2) + "\n")


def json_text(value: object, indent: int | None = None) -> str:
    """A value as JSON (RFC 8259): what is no number is null, and whatever steers a terminal, or stdout has no letter
    for, is escaped."""
    try:
        text = json.dumps(value, ensure_ascii=False, indent=indent, default=str, allow_nan=False)
    except ValueError:
        text = json.dumps(_finite(value), ensure_ascii=False, indent=indent, default=str, allow_nan=False)
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        return json.dumps(json.loads(text), indent=indent)
    unseen = {ord(c): json.dumps(c)[1:-1] for c in set(text) if c != "\n" and not c.isprintable()}
    unseen.update({0x7F: "\\u007f"} if 0x7F in unseen else {})
    return text.translate(unseen) if unseen else text


def _finite(value: Any) -> Any:
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, dict):
        return {name: _finite(inner) for name, inner in value.items()}
    return [_finite(inner) for inner in value] if isinstance(value, (list, tuple)) else value


def clean(text: str) -> str:
    """Text without characters that steer a terminal or turn its direction."""
    return "".join(c if c.isprintable() or c == "\n" else "\N{REPLACEMENT CHARACTER}" for c in text)


def one_line(text: str) -> str:
    """Clean text that cannot pass for several lines, such as the name of a file."""
    return clean(text).replace("\n", "\N{REPLACEMENT CHARACTER}")


def table(headers: Sequence[str], rows: Iterable[Sequence[str]], right: Sequence[int] = ()) -> Table:
    """A borderless table; columns in ``right`` are aligned right."""
    return Table(tuple(headers), tuple(tuple(clean(cell) for cell in row) for row in rows), tuple(right))


def paragraph(text: str, style: str = "", indent: int = 0) -> Line:
    """A paragraph, indented; a terminal wraps it."""
    return Line.of(clean(text), style, indent)


def say_finding(finding: Finding, stream: TextIO | None = None) -> None:
    """One finding: severity and place, then why it matters and how to fix it."""
    out = console(stream)
    out.print(_first_line(finding, finding.where))
    _say_reasons(out, finding.why, finding.fix)


def say_findings(findings: Iterable[Finding], stream: TextIO | None = None) -> None:
    """Findings by weight: dangers, other errors, the rest; then by file. What several have in common is said once.

    The same thing in several places is one finding with the places listed: ``note 7 beers: no allergens are stated``.
    """
    from entryprep.tables.rules import dangerous

    found = list(findings)
    for mark in MARKS:
        own = [finding for finding in found if finding.severity.value == mark]
        say_alike(sorted(own, key=lambda finding: not dangerous(finding)), stream)


def say_alike(findings: Iterable[Finding], stream: TextIO | None = None) -> None:
    """Findings of one weight, those of one rule together."""
    out = console(stream)
    kinds: dict[tuple[str, str], list[Finding]] = {}
    for finding in findings:
        kinds.setdefault((finding.rule, finding.why), []).append(finding)
    for same in kinds.values():
        _say_kind(out, same)


def _say_kind(out: Console, same: Sequence[Finding]) -> None:
    """Findings of one rule: those with the same words as one, the reason at the end."""
    by_words: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in same:
        by_words.setdefault((finding.what, finding.fix, finding.path), []).append(finding)
    fixes = dict.fromkeys(finding.fix for finding in same)
    for place, ((_, fix, _), alike) in enumerate(by_words.items()):
        if len(alike) == 1:
            out.print(_first_line(alike[0], alike[0].where))
        else:
            beers = all(finding.file.startswith("batches/") for finding in alike)
            out.print(_first_line(alike[0], several(len(alike), "beer" if beers else "place")))
            out.print(paragraph(", ".join(f.where or f.about for f in alike), indent=6))
        last = place == len(by_words) - 1
        _say_reasons(out, alike[0].why if last else "", fix if last or len(fixes) > 1 else "")


def _first_line(finding: Finding, where: str) -> Line:
    mark = finding.severity.value
    first = Line.of(MARKS[mark], MARK_STYLES[mark])
    about = f" {finding.about}:" if finding.about and not finding.file else ""
    place = f" {one_line(where)}:" if where else ""
    first.append(f"{place}{one_line(about)}", "bold")
    path = f" {finding.path}:" if finding.path else ""
    first.append(f"{one_line(path)} {one_line(finding.what)}")
    return first


def _say_reasons(out: Console, why: str, fix: str) -> None:
    for label, text in (("why", why), ("fix", fix)):
        if text:
            out.print(paragraph(f"{label}: {text}", indent=6))


def summary(findings: Iterable[Finding]) -> str:
    """How many errors, warnings and notes."""
    marks = [finding.severity.value for finding in findings]
    return ", ".join(counted(marks.count(mark), mark) for mark in MARKS)


def print_lines(title: str, lines: Sequence[str]) -> None:
    """A heading and a paragraph for each line."""
    out = console()
    out.print()
    out.print(paragraph(title, "bold"))
    for line in lines:
        out.print(paragraph(line, indent=2))
