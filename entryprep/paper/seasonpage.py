"""The season on one page: a line for each beer, the days that come, and what has to be mended, dangers first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import TableStyle

from entryprep.entering.overview import BeerLine, Overview, Task
from entryprep.paper.fithead import StopBar
from entryprep.paper.flowables import Table, TickBox, heading, section, sentence, words
from entryprep.paper.forest import forest
from entryprep.paper.layout import Written, error_block, inner_width
from entryprep.paper.placing import MM
from entryprep.paper.small import ColourDot, Gauge, Places
from entryprep.paper.timeline import Timeline
from entryprep.text import day_words, several

NOTE = (
    "Fit: of 100, to the style named. Dots: the place in the style's range, grey; an arrow where it is further outside "
    "than the range is wide. Gas: volumes of CO2 in the packed bottles; grey above what the weakest is used to, dark "
    "above the most it should ever hold (common practice for sound glass; a maker's own rating outranks it)."
)


def season_paper(seen: Overview, page: str, errors: Sequence[str] = ()) -> Written:
    """The overview on "letter" or "a4"."""
    wide = inner_width(page)
    told = {task.finding.what for task in seen.tasks}
    story: list[Any] = [
        heading("The season at a glance"),
        words(f"{seen.title}. As of {day_words(seen.as_of)}.", 10, after=4),
    ]
    story += error_block([e for e in errors if not any(what in e for what in told)], page)
    if errors:
        story.append(words(f"Printed despite {several(len(errors), 'error')}.", 10, bold=True, after=4))
    if seen.stops:
        story.append(StopBar([f"{task.beer}: {task.finding.what}" for task in seen.stops], wide))
    if seen.beers:
        story += [_beers(seen.beers, wide), words(NOTE, 8, before=2)]
    if seen.days:
        story += [section("When"), Timeline(seen.days, wide, seen.as_of)]
    if seen.tasks:
        story += [section("To be mended first"), _tasks(seen.tasks, wide)]
    return Written(story, page, "The season at a glance", f"entryprep, season, {seen.title}")


def _beers(lines: Sequence[BeerLine], wide: float) -> Table:
    head: list[Any] = ["", *(words(text, 8.5, bold=True) for text in ("Beer", "Fit"))]
    head += [Places(None), words("Gas", 8.5, bold=True), words("Next", 8.5, bold=True)]
    widths = [7 * MM, 0.0, 10 * MM, 56 * MM, 31 * MM, 26 * MM]
    widths[1] = wide - sum(widths)
    table = Table([head, *[_line(line) for line in lines]], colWidths=widths, repeatRows=1, hAlign="LEFT", splitInRow=1)
    table.head = ("Colour", "Beer", "Fit", "Outside its style's range", "Gas", "Next")
    rules: list[Any] = [("LINEBELOW", (0, 0), (-1, 0), 0.8, "black"), ("LINEBELOW", (0, 1), (-1, -1), 0.25, "black")]
    rules += [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
    ]
    table.setStyle(TableStyle([*rules, ("TOPPADDING", (0, 0), (-1, -1), 3), ("BOTTOMPADDING", (0, 0), (-1, -1), 4)]))
    return table


def _line(line: BeerLine) -> list[Any]:
    sheet = line.sheet
    fit = sheet.shown
    beer = [words(sheet.batch_name, 10, bold=True), words(sheet.short_verdict, 8.5)]
    beer.append(words(", ".join(name.replace(" ", "\N{NO-BREAK SPACE}") for name in line.entered), 8))
    score = "?" if fit is None or fit.score is None else f"{fit.score:.0f}"
    after = [words(line.wrong or "ready", 9, bold=bool(line.wrong))]
    if line.next_day is not None:
        after += [words(day_words(line.next_day.day), 8.5), words(line.next_day.label, 8)]
    places = Places(forest(fit) if fit is not None and fit.parts else ())
    return [ColourDot(sheet.srm), beer, words(score, 13, bold=True), places, Gauge(line.pressure), after]


def _tasks(tasks: Sequence[Task], wide: float) -> Table:
    """Remedies with a box to tick; what was found with it, the first of each remedy in full."""
    groups: dict[tuple[str, str], list[Task]] = {}
    for task in tasks:
        groups.setdefault((task.beer, task.finding.fix or task.finding.what), []).append(task)
    rows = []
    for (beer, fix), group in groups.items():
        first = group[0]
        kind = "STOP" if first.danger else first.finding.severity.value
        lead = f"{beer}, {kind}:" if beer else f"{kind.capitalize()}:"
        more = f", and {len(group) - 1} more" if len(group) > 1 else ""
        what = "" if first.danger else f"{first.finding.what}{more}. "
        rows.append([TickBox(), words(f"{what}{sentence(fix)}" if fix != first.finding.what else what, 9, lead=lead)])
    table = Table(rows, colWidths=[8 * MM, wide - 8 * MM], hAlign="LEFT", splitInRow=1)
    shape: list[Any] = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (0, -1), 0)]
    table.setStyle(TableStyle([*shape, ("TOPPADDING", (0, 0), (-1, -1), 2), ("BOTTOMPADDING", (0, 0), (-1, -1), 2)]))
    return table
