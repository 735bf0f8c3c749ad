"""One beer on the page: a line that says the most, and all the rest behind it."""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.beer.ranking import Suggestion
from entryprep.entering.overview import BeerLine
from entryprep.entering.plan import FitSheet
from entryprep.paper.forest import ARROWS, compared, forest, legend, off_the_axis, runner_up
from entryprep.paper.webchart import colour_dot, forest_chart, gauge, places
from entryprep.paper.webtext import found, paragraphs, safe
from entryprep.text import day_words
from entryprep.vitals import stated

SHOWN = 0.005  # a share that would read 0 % is left out


def beer_section(line: BeerLine, place: int) -> str:
    """A beer, folded to its line; ``place`` counts from 1 and names it for links."""
    return f'<details class="beer" id="beer-{place}"><summary>{_line(line)}</summary>{_inside(line)}</details>'


def _line(line: BeerLine) -> str:
    sheet = line.sheet
    fit = sheet.shown
    score = "?" if fit is None or fit.score is None else f"{fit.score:.0f}"
    wrong = f'<b class="wrong">{safe(line.wrong)}</b>' if line.wrong else '<span class="quiet">ready</span>'
    day = line.next_day
    after = f'{day_words(day.day)}<span class="label"> {safe(day.label)}</span>' if day is not None else ""
    return (
        f"{colour_dot(sheet.srm)}"
        f'<span class="name"><b dir="auto">{safe(sheet.batch_name)}</b> '
        f"<span>{safe(sheet.short_verdict)}</span></span>"
        f'<span class="score" aria-label="fit of 100">{score}</span>'
        f"{places(forest(fit) if fit is not None and fit.parts else ())}"
        f'<span class="state">{wrong} <span class="quiet">{after}</span></span>'
    )


def _inside(line: BeerLine) -> str:
    sheet = line.sheet
    parts = [f"<p>{safe(sheet.why)}</p>"]
    parts += [f'<p class="stop"><b>STOP</b> {safe(stop)}</p>' for stop in sheet.stops]
    parts.append(_plot(sheet))
    if line.pressure is not None:
        parts.append(f"<h3>Gas in the bottles</h3>{gauge(line.pressure)}")
    parts.append(_suggestions(sheet.suggestions))
    for title, lines in (
        ("What was added", sheet.added),
        ("What would settle it", sheet.decide),
        ("Next time (common practice)", sheet.advice),
        ("For the judges", (sheet.declaration,) if sheet.declaration else ()),
        ("Entered in", sheet.entries),
    ):
        parts.append(paragraphs(title, lines))
    if sheet.findings:
        parts.append(f"<h3>Found</h3>{found(sheet.findings)}")
    return "".join(parts)


def _plot(sheet: FitSheet) -> str:
    fit = sheet.shown
    if fit is None or fit.score is None:
        return f"<p><b>Fit unknown:</b> nothing to compare, or no style to compare with. {safe(_served(sheet))}</p>"
    own = [sheet.fit] if sheet.fit is not None else []
    other = runner_up(fit, (*own, *(s.fit for s in sheet.suggestions)))
    under = sheet.changed and fit.base is not None
    dot, hollow = legend(fit, under, other, sheet.changed and other is not None and other.base is not None)
    said = f"<p><b>Fit {fit.score:.0f} of 100</b> as {safe(fit.style.name)}, {safe(compared(fit))}</p>"
    rows = forest(fit, other, sheet.vitals)
    said += forest_chart(rows)
    said += f'<p class="quiet">● {safe(dot)}; bar: its standard error. In widths of each range.</p>'
    said += f'<p class="quiet">○ {safe(hollow)}</p>' if hollow else ""
    said += f'<p class="quiet">▶ {safe(ARROWS)}</p>' if any(off_the_axis(rows)) else ""
    return said + (f"<p>{safe(_served(sheet))}</p>" if under else "")


def _served(sheet: FitSheet) -> str:
    known = [stated(name, reading.value) for name, reading in sheet.vitals.known.items()]
    return f"As served: {', '.join(known) or 'no vitals are known'}."


def _suggestions(suggestions: Sequence[Suggestion]) -> str:
    shown = [s for index, s in enumerate(suggestions) if index == 0 or s.share >= SHOWN]
    if not shown:
        return ""
    rows = "".join(
        f"<tr><td>{safe(s.style.name)}</td>"
        f'<td data-name="Fit" class="figure">{"–" if s.fit.score is None else f"{s.fit.score:.0f}"}</td>'
        f'<td data-name="Share" class="figure">{s.share:.0%}</td>'
        f"<td>{safe('; '.join(s.reasons[:3]) or 'nothing against it')}</td></tr>"
        for s in shown
    )
    head = "".join(f'<th scope="col">{name}</th>' for name in ("Style", "Fit", "Share", "Why"))
    return f"<h3>Styles that suit it</h3><table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
