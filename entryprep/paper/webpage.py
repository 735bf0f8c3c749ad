"""One page for a screen or a phone: what is dangerous or due, a line for each beer, the way to the papers.

It holds everything it needs: no script, nothing from elsewhere. It is light or dark as the reader's machine is.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote

from entryprep.entering.overview import Overview
from entryprep.entering.plan import Milestone
from entryprep.entering.planning.chart import Chart
from entryprep.findings import Finding
from entryprep.paper.webbeer import beer_section
from entryprep.paper.webchart import days_line
from entryprep.paper.webseason import season_chart, season_picture
from entryprep.paper.webstyle import DARK, DARK_MEDIA, LIGHT, STYLE
from entryprep.paper.webtext import ORDER, found, safe
from entryprep.text import counted, day_words, several

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
CLOSING = (
    "Entering and sending beer is subject to the competition's rules, the carrier's terms and local law. "
    "This is not legal advice; local law and licensed practice decide."
)
DUE_DAYS, DUE_MOST = 14, 3  # how far ahead, and how many days, are shown before the rest unfolds; the next always


@dataclass(frozen=True)
class Paper:
    """A file beside the page: what it is, of which competition (empty: of all), and the same as a page, if there is."""

    file: str
    what: str
    competition: str = ""
    page: str = ""


def index_html(
    seen: Overview,
    entries: Sequence[Mapping[str, object]],
    findings: Sequence[Finding],
    papers: Sequence[Paper],
    made: Chart | None = None,
) -> bytes:
    """The page as UTF-8. ``entries`` are rows as ``entry_row`` gives them, ``made`` is the chart.

    Every text of the records is escaped; no name of the brewer stands on it. Same input, same bytes.
    """
    told = {finding for line in seen.beers for finding in line.sheet.findings}
    rest = [finding for finding in findings if finding not in told]
    title = f"Entries: {seen.title}"
    body = [
        f"<h1>{safe(title)}</h1>",
        f'<p class="quiet">Prepared as of {seen.as_of.isoformat()}. {safe(_counted(findings))}</p>',
        "<main>",
        _stops(seen),
        _due(seen),
        _beers(seen),
        _papers(papers),
        *_all_beers(made),
        _folded("elsewhere", f"Found elsewhere in the records ({len(rest)})", found(rest)) if rest else "",
        _folded("entries", f"All {several(len(entries), 'entry', 'entries')}", _entries(entries)) if entries else "",
        f'</main><footer><p class="quiet">{safe(CLOSING)}</p></footer>',
    ]
    return (html_head(title) + "\n".join(part for part in body if part) + "\n</body>\n</html>\n").encode()


def html_head(title: str) -> str:
    """The beginning of a page, to where its body begins."""
    light, dark = (";".join(f"--{name}:{value}" for name, value in colours.items()) for colours in (LIGHT, DARK))
    style = f":root{{color-scheme:light dark;{light}}}\n{DARK_MEDIA}{{:root{{{dark}}}}}"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="robots" content="noindex">\n'
        f"<title>{safe(title)}</title>\n<style>\n{style}{STYLE}</style>\n</head>\n<body>\n"
    )


def _counted(findings: Sequence[Finding]) -> str:
    counts = [(sum(f.severity is severity for f in findings), severity.value) for severity in ORDER]
    return "Found: " + ", ".join(counted(number, word) for number, word in counts) + "."


def _stops(seen: Overview) -> str:
    places = {line.sheet.batch_name: place for place, line in reversed(list(enumerate(seen.beers, 1)))}
    return "".join(
        f'<p class="stop"><b>STOP</b> <a href="#beer-{places[task.beer]}" dir="auto">{safe(task.beer)}</a>: '
        f"{safe(task.finding.what)}</p>"
        for task in seen.stops
    )


def _due(seen: Overview) -> str:
    """What is due within two weeks, or next; all other days folded, with their line."""
    soon = [day for day in seen.coming if (day.day - seen.as_of).days <= DUE_DAYS] or list(seen.coming[:1])
    if not seen.days:
        return ""
    said = (
        f'<section><h2>Due</h2><ul class="days">{"".join(_day(day, seen.as_of) for day in soon[:DUE_MOST])}</ul>'
        if soon
        else ""
    )
    every = "".join(_day(day, seen.as_of) for day in seen.days)
    inner = f'{days_line(seen.days, seen.as_of)}<ul class="days">{every}</ul>'
    return f"{said}{'</section>' if soon else ''}{_folded('days', f'All {len(seen.days)} days of the season', inner)}"


def _day(day: Milestone, today: dt.date) -> str:
    left = (day.day - today).days
    when = "today" if left == 0 else f"in {several(left, 'day')}" if left > 0 else "over"
    note = f" ({day.note})" if day.note else ""
    return f"<li><b>{day_words(day.day)}</b>, {when}: {safe(day.label + note)}, {safe(day.competition)}</li>"


def _beers(seen: Overview) -> str:
    beers = "".join(beer_section(line, place) for place, line in enumerate(seen.beers, 1))
    return f"<section><h2>Beers</h2>{beers}</section>" if beers else ""


def _papers(papers: Sequence[Paper]) -> str:
    """Links named by what they are, those of one competition together."""
    groups: dict[str, list[Paper]] = {}
    for paper in papers:
        groups.setdefault(paper.competition, []).append(paper)
    said = ""
    for name, own in groups.items():
        links = " · ".join(_link(paper) for paper in own)
        said += f'<p class="papers"><b dir="auto">{safe(name or "All")}</b> {links}</p>'
    return f"<section><h2>Papers</h2>{said}</section>" if said else ""


def _link(paper: Paper) -> str:
    link = f'<a href="{safe(quote(paper.file))}">{safe(paper.what)}</a>'
    if not paper.page:
        return link
    label = f"{paper.what} as a page to read on a screen or aloud"
    return f'{link} (<a href="{safe(quote(paper.page))}" aria-label="{safe(label)}">page</a>)'


def _folded(name: str, title: str, inner: str) -> str:
    return f'<details id="{name}"><summary>{safe(title)}</summary>{inner}</details>'


def _all_beers(made: Chart | None) -> tuple[str, ...]:
    """The chart and the picture, folded; nothing where there is nothing to show."""
    if made is None:
        return ()
    chart = _folded("chart", "All beers in all categories", season_chart(made)) if made.blocks else ""
    return chart, _folded("picture", "All beers in one picture", season_picture(made)) if made.beers else ""


def _entries(entries: Sequence[Mapping[str, object]]) -> str:
    """A table for each competition; on a phone each row becomes a few lines."""
    groups: dict[str, list[Mapping[str, object]]] = {}
    for row in entries:
        groups.setdefault(str(row["competition"]), []).append(row)
    return "".join(_table(name, rows) for name, rows in groups.items())


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
    caption = f'<caption dir="auto">{safe(name)}</caption>'
    return f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _cell(name: str, value: object) -> str:
    figure = ' class="figure"' if isinstance(value, int) else ""
    return f'<td data-name="{name}"{figure} dir="auto">{safe(value)}</td>'
