"""One page for a screen or a phone: every beer with its fit, what was found, and the way to the papers.

It holds everything it needs: no script, nothing from elsewhere. It is light or dark as the reader's machine is.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from html import escape
from urllib.parse import quote

from entryprep.beer.ranking import Suggestion
from entryprep.entering.plan import FitSheet
from entryprep.findings import Finding, Severity
from entryprep.paper.webchart import fit_chart
from entryprep.paper.webstyle import DARK, DARK_MEDIA, LIGHT, STYLE

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
CLOSING = (
    "Entering and sending beer is subject to the competition's rules, the carrier's terms and local law. "
    "This is not legal advice; local law and licensed practice decide."
)
SHOWN = 0.005  # a share that would read 0 % is left out
ORDER = (Severity.ERROR, Severity.WARNING, Severity.NOTE)


def index_html(
    title: str,
    as_of: dt.date,
    sheets: Sequence[FitSheet],
    entries: Sequence[Mapping[str, object]],
    findings: Sequence[Finding],
    files: Sequence[str],
) -> bytes:
    """The page as UTF-8. ``entries`` are rows as ``entry_row`` gives them, ``files`` names beside the page.

    Every text of the records is escaped; no name of the brewer stands on it. Same input, same bytes.
    """
    told = {finding for sheet in sheets for finding in sheet.findings}
    rest = [finding for finding in findings if finding not in told]
    body = [
        f"<h1>{_e(title)}</h1>",
        f'<p class="quiet">Prepared as of {as_of.isoformat()}. {_e(_counted(findings))}</p>',
        _ways(sheets, rest),
        "<main>",
        _papers(files),
        _entries(entries),
        *[_beer(sheet, place) for place, sheet in enumerate(sheets, 1)],
    ]
    if rest:
        body.append(f'<section id="elsewhere"><h2>Found elsewhere in the records</h2>{_found(rest)}</section>')
    body += ["</main>", f'<footer><p class="quiet">{_e(CLOSING)}</p></footer>']
    return (_head(title) + "\n".join(part for part in body if part) + "\n</body>\n</html>\n").encode()


def _head(title: str) -> str:
    light, dark = (";".join(f"--{name}:{value}" for name, value in colours.items()) for colours in (LIGHT, DARK))
    style = f":root{{color-scheme:light dark;{light}}}\n{DARK_MEDIA}{{:root{{{dark}}}}}"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="robots" content="noindex">\n'
        f"<title>{_e(title)}</title>\n<style>\n{style}{STYLE}</style>\n</head>\n<body>\n"
    )


def _e(text: object) -> str:
    """Text as text: escaped, without characters that steer a reader's machine."""
    said = "" if text is None else str(text)
    return escape("".join(c if c.isprintable() or c == "\n" else "\N{REPLACEMENT CHARACTER}" for c in said))


def _counted(findings: Sequence[Finding]) -> str:
    counts = [(sum(f.severity is severity for f in findings), severity.value) for severity in ORDER]
    return "Found: " + ", ".join(f"{n or 'no'} {word}{'' if n == 1 else 's'}" for n, word in counts) + "."


def _ways(sheets: Sequence[FitSheet], rest: Sequence[Finding]) -> str:
    links = [f'<a href="#beer-{place}" dir="auto">{_e(sheet.batch_name)}</a>' for place, sheet in enumerate(sheets, 1)]
    links += ['<a href="#elsewhere">found elsewhere</a>'] if rest else []
    return f'<nav aria-label="Beers"><p>{" · ".join(links)}</p></nav>' if links else ""


def _papers(files: Sequence[str]) -> str:
    items = "".join(f'<li><a href="{_e(quote(name))}">{_e(name)}</a></li>' for name in sorted(files))
    return f'<section><h2>Papers</h2><ul class="papers">{items}</ul></section>' if items else ""


def _entries(entries: Sequence[Mapping[str, object]]) -> str:
    """A table for each competition; on a phone each row becomes a few lines."""
    groups: dict[str, list[Mapping[str, object]]] = {}
    for row in entries:
        groups.setdefault(str(row["competition"]), []).append(row)
    tables = "".join(_table(name, rows) for name, rows in groups.items())
    return f"<section><h2>Entries</h2>{tables}</section>" if tables else ""


Cell = Callable[[Mapping[str, object]], object]
COLUMNS: tuple[tuple[str, Cell], ...] = (
    ("Entry", lambda row: row["number"] or f"({row['code']})"),
    ("Category", lambda row: f"{row['category']} {row['category_name']}"),
    ("Beer", lambda row: row["beer"]),
    ("Declared as", lambda row: row["style"] or "nothing yet"),
    ("Fit", lambda row: "unknown" if row["fit"] is None else row["fit"]),
    ("Bottles", lambda row: row["bottles"]),
)


def _table(name: str, rows: Iterable[Mapping[str, object]]) -> str:
    head = "".join(f'<th scope="col">{title}</th>' for title, _ in COLUMNS)
    body = "".join("<tr>" + "".join(_cell(name, value(row)) for name, value in COLUMNS) + "</tr>" for row in rows)
    caption = f'<caption dir="auto">{_e(name)}</caption>'
    return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _cell(name: str, value: object) -> str:
    figure = ' class="figure"' if isinstance(value, int) else ""
    return f'<td data-name="{name}"{figure} dir="auto">{_e(value)}</td>'


def _beer(sheet: FitSheet, place: int) -> str:
    base = f", on a base of {sheet.base}" if sheet.base else ""
    parts = [
        f'<section class="beer" id="beer-{place}"><h2 dir="auto">{_e(sheet.batch_name)}</h2>',
        f"<p>Declared as {_e(sheet.declared or 'nothing yet')}{_e(base)}.</p>",
    ]
    fit = sheet.fit
    if fit is None or fit.score is None:
        parts.append("<p><b>Fit unknown:</b> nothing to compare, or no style to compare with.</p>")
    else:
        known = f"{fit.confidence:.0%} of the style's vitals known"
        parts.append(f"<p><b>Fit {fit.score:.0f} of 100</b>, with {_e(known)}</p>{fit_chart(fit)}")
        whose = f"the base, {fit.base.name}" if fit.base else fit.style.name
        legend = f"Band: the range of {whose}. Mark and whisker: this beer and one standard uncertainty."
        parts.append(f'<p class="quiet">{_e(legend)}</p>')
    if sheet.suggestions:
        parts.append(_suggestions(sheet.suggestions))
    for title, lines in (
        ("What was added", sheet.added),
        ("What would decide", sheet.decide),
        ("Next time (common practice)", sheet.advice),
    ):
        if lines:
            parts.append(f"<h3>{title}</h3>" + "".join(f'<p dir="auto">{_e(line)}</p>' for line in lines))
    if sheet.declaration:
        parts.append(f'<h3>For the judges</h3><p dir="auto">{_e(sheet.declaration)}</p>')
    if sheet.entries:
        items = "".join(f'<li dir="auto">{_e(line)}</li>' for line in sheet.entries)
        parts.append(f"<h3>Entered in</h3><ul>{items}</ul>")
    if sheet.findings:
        parts.append(f"<h3>Found</h3>{_found(sheet.findings)}")
    return "".join((*parts, "</section>"))


def _suggestions(suggestions: Sequence[Suggestion]) -> str:
    shown = [s for index, s in enumerate(suggestions) if index == 0 or s.share >= SHOWN]
    rows = "".join(
        f"<tr><td>{_e(s.style.name)}</td>"
        f'<td data-name="Fit" class="figure">{"-" if s.fit.score is None else f"{s.fit.score:.0f}"}</td>'
        f'<td data-name="Share" class="figure">{s.share:.0%}</td>'
        f"<td>{_e('; '.join(s.reasons[:3]) or 'nothing against it')}</td></tr>"
        for s in shown
    )
    head = "".join(f'<th scope="col">{name}</th>' for name in ("Style", "Fit", "Share", "Why"))
    return f"<h3>Styles that suit it</h3><table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _found(findings: Iterable[Finding]) -> str:
    """Findings, the gravest first; what each is stands in words, colour only repeats it."""
    items = []
    for finding in sorted(findings, key=lambda f: ORDER.index(f.severity)):
        kind = finding.severity.value
        where = f'<br><span class="quiet">{_e(finding.where)}</span>' if finding.where else ""
        why = f"<br>Why: {_e(finding.why)}" if finding.why else ""
        fix = f"<br>Fix: {_e(finding.fix)}" if finding.fix else ""
        about = f"{finding.about}: " if finding.about and not finding.file else ""
        items.append(f'<li class="{kind}"><b>{kind.upper()}</b> {_e(about + finding.what)}{why}{fix}{where}</li>')
    return f'<ul class="found">{"".join(items)}</ul>'
