"""The fit sheet: one beer on one page. What to enter it as and why, its vitals in one plot, what to do and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from reportlab.platypus import PageBreak, Spacer

from entryprep.beer.ranking import Suggestion
from entryprep.entering.plan import FitSheet
from entryprep.findings import Finding, Severity
from entryprep.paper.fithead import FitHead, StopBar
from entryprep.paper.flowables import Table, part_title, reason, ruled, section, sentence, words
from entryprep.paper.forest import forest, legend, runner_up
from entryprep.paper.forestplot import ForestPlot
from entryprep.paper.layout import Written, error_block, inner_width
from entryprep.paper.placing import MM
from entryprep.text import several
from entryprep.vitals import stated

SHOWN = 0.02  # a smaller share is left out
FULL_FINDINGS = 3  # with more the reasons are left to the terminal, so that the beer stays on one page
GUTTER = 6 * MM
ORDER = tuple(Severity)


def fit_sheets_paper(sheets: Sequence[FitSheet], page: str, errors: Sequence[str] = ()) -> Written:
    """A page, or more where there is much to say, for each beer, on "letter" or "a4"."""
    told = {finding.what for sheet in sheets for finding in sheet.findings}
    story: list[Any] = error_block([e for e in errors if not any(what in e for what in told)], page)
    for index, sheet in enumerate(sheets):
        if index:
            story.append(PageBreak())
        story += _beer(sheet, page, bool(errors))
    if not story:
        story.append(words("No beer is entered.", 10))
    title = "Fit sheets" if len(sheets) != 1 else f"Fit sheet: {sheets[0].batch_name}"
    return Written(story, page, title, "entryprep, fit sheets")


def _beer(sheet: FitSheet, page: str, despite_errors: bool) -> list[Any]:
    """One beer; where it was printed despite errors, that stands under its name and they stand last, in a frame."""
    wide = inner_width(page)
    head = FitHead(sheet, wide)
    head.bookmark = (sheet.batch_name, 0)
    story: list[Any] = [head]
    errors = sum(f.severity is Severity.ERROR for f in sheet.findings)
    if sheet.stops:
        told = [f"{sentence(f.what)} {sentence(f.fix)}" for f in sheet.findings if f.what in sheet.stops]
        story.append(StopBar(list(dict.fromkeys(told)), wide))
    if despite_errors and errors:
        story.append(
            words(
                f"Printed despite {several(errors, 'error')}, told at the end of this sheet.", 10, bold=True, before=4
            )
        )
    story += _plot(sheet, page)
    found = _grouped(sheet.findings)
    left, right = _else(sheet, (wide - GUTTER) / 2), _todo(sheet, found)
    columns = Table([[left, "", right]], colWidths=[(wide - GUTTER) / 2, GUTTER, (wide - GUTTER) / 2], splitInRow=1)
    flush = [(f"{edge}PADDING", (0, 0), (-1, -1), 0) for edge in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    columns.setStyle([*flush, ("VALIGN", (0, 0), (-1, -1), "TOP")])
    if left or right:
        story.append(columns)
    if found:
        story.append(section("Found"))
        brief = len(sheet.findings) > FULL_FINDINGS
        story += [_group(number, group, brief, sheet.stops) for number, group in found.items()]
    return story


def _plot(sheet: FitSheet, page: str) -> list[Any]:
    """The forest plot, and beside it what is served where the plot is of the beer underneath."""
    served = _vitals(sheet)
    if sheet.shown is None or not sheet.shown.parts:
        return [Spacer(1, 2 * MM), words(f"As served: {served}", 10)]
    fit = sheet.shown
    fits = [sheet.fit] if sheet.fit is not None else []
    other = runner_up(fit, (*fits, *(s.fit for s in sheet.suggestions)))
    under = sheet.changed and fit.base is not None
    dot, hollow = legend(fit, under, other, sheet.changed and other is not None and other.base is not None)
    rows = forest(fit, other, sheet.vitals)
    story: list[Any] = [
        Spacer(1, 3 * MM),
        ForestPlot(rows, (f"{dot}; bar: its standard error", hollow), inner_width(page)),
    ]
    if under:
        story.append(words(served, 9, before=2, lead="As served:"))
    return story


def _vitals(sheet: FitSheet) -> str:
    known = [stated(name, reading.value) for name, reading in sheet.vitals.known.items()]
    return ", ".join(known) + "." if known else "no vitals are known."


def _else(sheet: FitSheet, width: float) -> list[Any]:
    """The left column: what else suits the beer, what is in it, what the judges read, where it goes."""
    story: list[Any] = []
    others = [s for s in sheet.suggestions if sheet.shown is None or s.style is not sheet.shown.style]
    if sheet.suggestions:
        story += [*part_title("What else suits it, likeliest first"), _suggestions(sheet, others, width)]
    for title, lines in (
        ("What was added", sheet.added),
        ("For the judges", (sheet.declaration,) if sheet.declaration else ()),
        ("Entered in", sheet.entries),
    ):
        if lines:
            story += [*part_title(title), *[words(line, 9) for line in lines]]
    return story


def _suggestions(sheet: FitSheet, others: Sequence[Suggestion], width: float) -> Any:
    rows = [
        [
            words(s.style.name, 9),
            words("–" if s.fit.score is None else f"{s.fit.score:.0f}", 9),
            words(f"{s.share:.0%}", 9),
        ]
        for s in others
        if s.share >= SHOWN
    ]
    if sheet.none_share >= SHOWN:
        rows.append([words("none of these", 9), words("", 9), words(f"{sheet.none_share:.0%}", 9)])
    if not rows:
        return words(_next_best(sheet, others), 9)
    figures = (13 * MM, 15 * MM)
    return ruled(("Style", "Fit", "Share"), rows, (width - sum(figures), *figures))


def _next_best(sheet: FitSheet, others: Sequence[Suggestion]) -> str:
    """That nothing else comes near, naming the style that the hollow dots stand for."""
    after = runner_up(sheet.shown, (s.fit for s in others)) if sheet.shown is not None else None
    rest = f"; next is {after.style.name} (share below {SHOWN:.0%})" if after is not None else ""
    return f"Nothing else comes near it{rest}."


Groups = Mapping[int, Sequence[Finding]]


def _grouped(findings: Sequence[Finding]) -> Groups:
    """Findings with the same remedy under one number, the gravest first."""
    groups: dict[str, list[Finding]] = {}
    for finding in sorted(findings, key=lambda f: ORDER.index(f.severity)):
        groups.setdefault(finding.fix or finding.what, []).append(finding)
    return dict(enumerate(groups.values(), 1))


def _todo(sheet: FitSheet, found: Groups) -> list[Any]:
    """The right column: the remedies by the numbers of what was found, what would settle it, what to do next time."""
    story: list[Any] = []
    told = sheet.stops  # and how to mend it, above
    fixes = [(n, group[0].fix) for n, group in found.items() if group[0].fix and any(f.what not in told for f in group)]
    if fixes:
        story += part_title("What to do")
        story += [words(f"{sentence(fix)}", 9, after=1.5, lead=f"({number})") for number, fix in fixes]
    if sheet.decide:
        story += [*part_title("What would settle it"), *[words(line, 9, after=1) for line in sheet.decide]]
    if sheet.advice:
        story += [*part_title(_next_time(sheet)), *[words(line, 9, after=1) for line in sheet.advice]]
    if not story:
        ready = sheet.shown is not None and sheet.shown.score is not None
        said = "Nothing: it is ready to be entered." if ready else "Declare a style, and measure what is not known."
        story = [*part_title("What to do"), words(said, 9)]
    return story


def _next_time(sheet: FitSheet) -> str:
    style = sheet.fit.style.name if sheet.fit is not None else ""
    return f"Next time, for a better {style}" if style else "Next time"


def _group(number: int, group: Sequence[Finding], brief: bool, stops: Sequence[str]) -> Any:
    """Findings with one remedy: what each is, but where it was told above; why, where there are few."""
    first = group[0]
    whats = " ".join(dict.fromkeys("See STOP above." if f.what in stops else sentence(f.what) for f in group))
    whys = dict.fromkeys(finding.why for finding in group if finding.why)
    why = "" if brief else "".join(f" Why: {reason(why)}" for why in whys)
    return words(f"{whats}{why}", 8.5, before=1.5, after=1.5, lead=f"({number}) {first.severity.value.upper()}:")
