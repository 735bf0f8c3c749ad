"""Everything that is printed for a season, as named files in memory."""

from __future__ import annotations

import datetime as dt
import json
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from entryprep.entering.fitsheets import fit_sheets
from entryprep.entering.listing import COLUMNS, entry_row
from entryprep.entering.overview import overview
from entryprep.entering.packing import packing_plan
from entryprep.entering.planning.chart import chart
from entryprep.entering.season import Season, batch_file
from entryprep.entering.shipping import shipping_list
from entryprep.entering.subjects import said_of
from entryprep.findings import Finding, Severity, ordered
from entryprep.formats.csvtext import csv_bytes
from entryprep.paper.equal import equal_page
from entryprep.paper.errorlist import errors_paper
from entryprep.paper.fitsheet import fit_sheets_paper
from entryprep.paper.layout import Written
from entryprep.paper.letterfindings import letter_findings
from entryprep.paper.packing import packing_paper
from entryprep.paper.placing import PrintingError
from entryprep.paper.seasonpage import season_paper
from entryprep.paper.shipping import shipping_paper
from entryprep.paper.slipset import SlipChoice, bottle_set, box_set
from entryprep.paper.webpage import Paper, index_html
from entryprep.tables.rules import rule_rows
from entryprep.text import did_you_mean, shortened

LETTER_COUNTRIES = ("US", "CA", "MX", "PH", "CL", "CO", "VE")
USUAL = SlipChoice()
PARTS = ("season", "slips", "boxes", "packing", "shipping", "fit", "entries", "index")
PAGES = "pages"  # the folder of papers as pages
Step = Callable[[str, int, int], None]


@dataclass
class Bundle:
    """Files by name, what each is, the entries as rows, and what printing found (letters the font lacks, text cut)."""

    files: dict[str, bytes] = field(default_factory=dict)
    papers: list[Paper] = field(default_factory=list)
    entries: list[dict[str, object]] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def add(self, file: str, content: bytes, what: str, competition: str = "") -> None:
        """Add a file, with the words a link to it has."""
        self.files[file] = content
        self.papers.append(Paper(file, what, competition))

    def add_both(self, stem: str, written: Written, what: str, competition: str = "") -> None:
        """Add a paper, and the same as a page in a folder of its own."""
        self.add_pair(stem, written.pdf(), equal_page(written.story, written.title), what, competition)

    def add_pair(self, stem: str, pdf: bytes, page: bytes, what: str, competition: str = "") -> None:
        """Add a paper that is drawn, and its page."""
        name = f"{PAGES}/{stem}.html"
        self.files[name] = page
        self.files[f"{stem}.pdf"] = pdf
        self.papers.append(Paper(f"{stem}.pdf", what, competition, name))


def bundle(
    season: Season,
    findings: Sequence[Finding],
    today: dt.date,
    page: str = "",
    competition_id: str = "",
    parts: Sequence[str] = PARTS,
    way: str = "",
    step: Step = lambda _what, _done, _of: None,
    choice: SlipChoice = USUAL,
) -> Bundle:
    """Make the chosen parts for one competition or all. Errors among ``findings`` are printed on the paper.

    ``page`` is "letter" or "a4"; empty: by the brewer's country. ``choice`` says how
    slips of bottles look and on which sheet they are printed. The same season and day give the same bytes. Raises
    PrintingError where slips and sheet do not go together.
    """
    made = Bundle()
    chosen = [e for e in season.entered if not competition_id or e.competition_id == competition_id]
    size = page or page_of(season)
    competitions = list(dict.fromkeys(e.competition_id for e in chosen))
    wanted = {"season", "fit", "index"} & set(parts)
    sheets = fit_sheets(season, chosen, findings) if wanted else []
    seen = overview(season, chosen if wanted else (), sheets, ordered(findings), today)
    if "season" in parts:
        made.add_both("season", season_paper(seen, size, _errors(season, findings, ())), "Season at a glance")
    for index, name in enumerate(competitions):
        step(name, index, len(competitions) + 1)
        _competition_files(made, season, findings, name, size, parts, way, choice)
    step("fit sheets", len(competitions), len(competitions) + 1)
    if "fit" in parts:
        made.add_both(
            "fit-sheets", fit_sheets_paper(sheets, size, _errors(season, findings, ())), "Fit sheet of each beer"
        )
    made.findings += letter_findings(season, chosen)
    made.entries = [entry_row(season, e) for e in chosen]
    if "entries" in parts:
        _entry_files(made, findings, today)
    if "index" in parts:
        told = ordered([*findings, *made.findings])
        made.files["index.html"] = index_html(seen, made.entries, told, made.papers, chart(season))
    return made


def _competition_files(
    made: Bundle,
    season: Season,
    findings: Sequence[Finding],
    name: str,
    page: str,
    parts: Sequence[str],
    way: str,
    choice: SlipChoice,
) -> None:
    own = [f for f in findings if not f.competitions or name in f.competitions]
    files = _files_of(season, name)
    errors, care = _errors(season, own, files), _cautions(season, own, files)
    counts = _errors_by_entry(season, own, name) | {"": len(errors)}
    called = season.competitions[name].name
    sets = [(bottle_set(season, name, choice, page, counts), "Bottle slips")] if "slips" in parts else []
    plan = packing_plan(season, name) if {"boxes", "packing"} & set(parts) else None
    if plan and "boxes" in parts:
        sets.append((box_set(season, plan, USUAL, page, counts), "Box labels"))
    for printed, what in sets:
        if printed is not None:
            if printed.page:
                made.add_pair(printed.stem, printed.content, printed.page, what, called)
            else:
                made.add(f"{printed.stem}.pdf", printed.content, what, called)
            made.findings += printed.findings
    if sets and errors:
        wrong = errors_paper([(said_of(season, f), f) for f in _wrong(own, files)], called, page)
        made.add_both(f"errors-{name}", wrong, "Errors that stand", called)
    if plan and "packing" in parts:
        made.add_both(f"packing-{name}", packing_paper(plan, page, errors, care), "Packing list", called)
    if "shipping" in parts:
        ways = _ways(season, name, way)
        for each in ways:
            listed = shipping_list(season, name, each)
            called_by = f", {listed.way_name}" if len(ways) > 1 else ""
            written = shipping_paper(listed, page, errors, care)
            made.add_both(f"shipping-{name}-{listed.way}", written, f"Shipping checklist{called_by}", called)


def _ways(season: Season, competition_id: str, way: str) -> list[str | None]:
    if way:
        return [way]
    own = [e.entry.way for e in season.entered if e.competition_id == competition_id and e.entry.way]
    return list(dict.fromkeys(own)) or [None]


def _files_of(season: Season, competition_id: str) -> tuple[str, ...]:
    """The record files one competition's papers rest on."""
    batches = (batch_file(season, e.batch_id) for e in season.entered if e.competition_id == competition_id)
    return (*_shared_files(competition_id), *batches)


def _shared_files(competition_id: str) -> tuple[str, ...]:
    return ("brewer.yaml", "entries.yaml", f"competitions/{competition_id}.yaml")


def _errors_by_entry(season: Season, findings: Sequence[Finding], competition_id: str) -> dict[str, int]:
    """How many errors concern each entry of a competition: its own, its beer's, and those of all entries."""
    shared = _shared_files(competition_id)
    told = Counter(("" if f.file in shared else f.file, f.about) for f in findings if f.severity is Severity.ERROR)
    return {
        e.label: sum(
            told[file, about] for file in ("", batch_file(season, e.batch_id)) for about in ("", e.batch_id, e.label)
        )
        for e in season.entered
        if e.competition_id == competition_id
    }


def _wrong(findings: Iterable[Finding], files: tuple[str, ...]) -> tuple[Finding, ...]:
    return tuple(f for f in findings if f.severity is Severity.ERROR and (not files or f.file in files))


def _errors(season: Season, findings: Iterable[Finding], files: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(said_of(season, finding) for finding in _wrong(findings, files))


def _cautions(season: Season, findings: Iterable[Finding], files: tuple[str, ...]) -> tuple[str, ...]:
    """What of the findings that are no errors must be read by whoever packs and carries."""
    rows = rule_rows()
    wanted = (f for f in findings if f.severity is not Severity.ERROR and f.file in files)
    return tuple(dict.fromkeys(said_of(season, f) for f in wanted if f.rule in rows and rows[f.rule].packed))


def draw_slips(season: Season, competition_id: str, page: str = "") -> bytes:
    """A PDF with the slips of all bottles that are entered in a competition, on the usual sheet.

    ``page`` is letter or a4; without one, the paper of the brewer's country. Nothing is checked here: see ``check``.
    ``competition_id`` is its file name without .yaml, or its key in :meth:`Season.build`. Raises PrintingError for a
    competition that the season does not have, and where nothing is entered in it.
    """
    if competition_id not in season.competitions:
        known = did_you_mean(competition_id, sorted(season.competitions), "competitions")
        raise PrintingError(f"the season has no competition {shortened(competition_id)}", known)
    made = bottle_set(season, competition_id, SlipChoice(), page or page_of(season))
    if made is None:
        name = season.competitions[competition_id].name
        raise PrintingError(f"nothing is entered in {name}", "add entries to the season first")
    return made.content


def page_of(season: Season) -> str:
    """The paper of the brewer's country: "letter" or "a4"."""
    country = season.brewer.country if season.brewer else None
    return "letter" if country in LETTER_COUNTRIES else "a4"


def _entry_files(made: Bundle, findings: Sequence[Finding], today: dt.date) -> None:
    rows = csv_bytes(COLUMNS, ([row[c] for c in COLUMNS] for row in made.entries))
    made.add("entries.csv", rows, "Entries as a table (CSV)")
    record = {
        "format": 1,
        "as_of": today.isoformat(),
        "entries": made.entries,
        "findings": [f.as_json() for f in findings],
    }
    content = (json.dumps(record, ensure_ascii=False, indent=1) + "\n").encode()
    made.add("entries.json", content, "Entries for programs (JSON)")
