"""Text for the page: escaped, sorted by gravity, findings as a list. What each finding is stands in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from entryprep.findings import Finding, Severity

ORDER = tuple(Severity)


def safe(text: object) -> str:
    """Text as text: escaped, without characters that steer a reader's machine."""
    said = "" if text is None else str(text)
    return escape("".join(c if c.isprintable() or c == "\n" else "\N{REPLACEMENT CHARACTER}" for c in said))


def paragraphs(title: str, lines: Sequence[str]) -> str:
    """A title and a paragraph for each line; nothing without lines."""
    return f"<h3>{safe(title)}</h3>" + "".join(f'<p dir="auto">{safe(line)}</p>' for line in lines) if lines else ""


def found(findings: Iterable[Finding]) -> str:
    """Findings, the gravest first; colour only repeats the word."""
    items = []
    for finding in sorted(findings, key=lambda f: ORDER.index(f.severity)):
        kind = finding.severity.value
        where = f'<br><span class="quiet">{safe(finding.where)}</span>' if finding.where else ""
        why = f"<br>Why: {safe(finding.why)}" if finding.why else ""
        fix = f"<br>Fix: {safe(finding.fix)}" if finding.fix else ""
        about = f"{finding.about}: " if finding.about and not finding.file else ""
        items.append(f'<li class="{kind}"><b>{kind.upper()}</b> {safe(about + finding.what)}{why}{fix}{where}</li>')
    return f'<ul class="found">{"".join(items)}</ul>'
