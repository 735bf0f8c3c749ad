"""The fit sheet: one beer on one page, its vitals on the ranges of its style."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable, PageBreak, Table

from entryprep.beer.fitting import Fit, Part
from entryprep.beer.ranking import Suggestion
from entryprep.brewing.colour import colour_word
from entryprep.brewing.swatch import beer_rgb
from entryprep.entering.plan import FitSheet
from entryprep.findings import Finding, Severity
from entryprep.paper.flowables import heading, ruled, section, words
from entryprep.paper.fonts import BOLD, REGULAR
from entryprep.paper.layout import document, error_block, inner_width
from entryprep.paper.placing import MM
from entryprep.paper.text import fitted
from entryprep.paper.webchart import OUTSIDE
from entryprep.vitals import amount, title_of

LEFT = 72 * MM  # the words left of a chart
ROW, LINE = 10.8 * MM, 9.5  # a chart with one line of words, and what each further line adds
FULL_FINDINGS = 3
SHOWN = 0.02  # a smaller share is left out


def fit_sheets_pdf(sheets: Sequence[FitSheet], page: str, errors: Sequence[str] = ()) -> bytes:
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
    return document(story, page, title, "entryprep, fit sheets")


def _beer(sheet: FitSheet, page: str, despite_errors: bool) -> list[Any]:
    """One beer; where errors stood when it was printed, its own are framed at the top instead of listed below."""
    framed = [f for f in sheet.findings if despite_errors and f.severity is Severity.ERROR]
    found = [f for f in sheet.findings if f not in framed]
    story: list[Any] = [heading(sheet.batch_name)]
    brief = len(sheet.findings) > FULL_FINDINGS
    story += error_block([" ".join(_told(finding, brief)) for finding in framed], page)
    said = f"Declared as {sheet.declared or 'nothing yet'}"
    said += f", on a base of {sheet.base}" if sheet.base else ""
    story.append(
        _head([words(said, 11, after=2), words(_verdict(sheet.fit), 10.5, bold=True, after=4)], sheet.srm, page)
    )
    if sheet.fit is not None and sheet.fit.parts:
        story += [_Chart(part, inner_width(page)) for part in sheet.fit.parts]
        story.append(words(_legend(sheet.fit), 8, before=2))
    else:
        story.append(words(_plain_vitals(sheet), 10))
    if sheet.suggestions:
        story += [section("Styles that suit it"), _suggestions(sheet.suggestions, sheet.none_share, page)]
    for title, lines in (
        ("What was added", sheet.added),
        ("What would decide", sheet.decide),
        ("Next time (common practice)", sheet.advice),
    ):
        if lines:
            story += [section(title), *[words(line, 9) for line in lines]]
    if sheet.declaration:
        story += [section("For the judges"), words(sheet.declaration, 10)]
    if sheet.entries:
        story += [section("Entered in"), *[words(line, 10) for line in sheet.entries]]
    if found:
        story.append(section("Found"))
        for finding in found:
            story.append(_finding(finding, brief))
    return story


def _head(lines: list[Any], srm: float | None, page: str) -> Any:
    """What the beer is declared as and how it fits; beside it how it looks in the glass, if its colour is known."""
    side = 34 * MM
    table = Table([[lines, _Swatch(srm, side) if srm is not None else ""]], colWidths=(inner_width(page) - side, side))
    flush = [(f"{edge}PADDING", (0, 0), (-1, -1), 0) for edge in ("LEFT", "RIGHT", "TOP", "BOTTOM")]
    table.setStyle([*flush, ("VALIGN", (0, 0), (-1, -1), "TOP")])
    return table


class _Swatch(Flowable):  # type: ignore[misc]
    """The beer's colour across a tasting glass, with its number and its word for a page printed in black and white."""

    def __init__(self, srm: float, width: float) -> None:
        super().__init__()
        self.srm, self.width, self.height = srm, width, 11 * MM

    def draw(self) -> None:
        """Draw it."""
        canvas, tall = self.canv, 6.5 * MM
        canvas.setFillColorRGB(*(part / 255 for part in beer_rgb(round(self.srm, 1))))
        canvas.setLineWidth(0.5)
        canvas.rect(0, self.height - tall, self.width, tall, stroke=1, fill=1)
        canvas.setFillGray(0)
        canvas.setFont(REGULAR, 8)
        canvas.drawRightString(self.width, 0.8 * MM, f"{amount('srm', self.srm)}, {colour_word(self.srm)}")


def _verdict(fit: Fit | None) -> str:
    if fit is None:
        return "Fit unknown: the declared style does not settle which ranges to compare with."
    if fit.score is None:
        return "Fit unknown: no vital of this beer can be compared with the style."
    return f"Fit {fit.score:.0f} of 100, with {fit.confidence:.0%} of the style's vitals known"


def _legend(fit: Fit) -> str:
    whose = f"the base, {fit.base.name}" if fit.base else fit.style.name
    return (
        f"Grey: the range of {whose}. Mark and whisker: this beer and its measuring error (one standard uncertainty)."
    )


def _plain_vitals(sheet: FitSheet) -> str:
    known = [f"{title_of(name)} {amount(name, reading.value)}" for name, reading in sheet.vitals.known.items()]
    return "; ".join(known) + "." if known else "No vitals are known."


class _Chart(Flowable):  # type: ignore[misc]
    """One vital: name and value, the range as a grey band, the beer as a mark with its error."""

    def __init__(self, part: Part, width: float) -> None:
        super().__init__()
        self.part = part
        self.width = width
        self.said = fitted(part.words, REGULAR, LEFT - 4 * MM, 8, 8, 3).lines
        self.height = ROW + LINE * max(len(self.said) - 1, 0)

    def draw(self) -> None:
        """Draw it."""
        canvas, part = self.canv, self.part
        left, wide = LEFT, self.width - LEFT
        middle = self.height - 3 * MM
        canvas.setFont(BOLD, 9.5)
        canvas.drawString(0, middle - 3, title_of(part.vital))
        canvas.setFont(REGULAR, 9.5)
        canvas.drawRightString(left - 4 * MM, middle - 3, amount(part.vital, part.reading.value))
        low, high = part.range.low, part.range.high
        span = part.range.width
        start, end = low - OUTSIDE * span, high + OUTSIDE * span

        def at(value: float) -> float:
            return left + (min(max(value, start), end) - start) / (end - start) * wide

        canvas.setLineWidth(0.5)
        canvas.line(left, middle, left + wide, middle)
        canvas.setFillGray(0.82)
        canvas.rect(at(low), middle - 2.2 * MM, at(high) - at(low), 4.4 * MM, stroke=1, fill=1)
        canvas.setFillGray(0)
        _mark(canvas, at, part, middle, (start, end))
        canvas.setFont(REGULAR, 8)
        canvas.drawCentredString(at(low), middle - 5.6 * MM, amount(part.vital, low))
        canvas.drawCentredString(at(high), middle - 5.6 * MM, amount(part.vital, high))
        for index, line in enumerate(self.said):
            canvas.drawString(0, middle - 5.6 * MM - LINE * index, line)


def _mark(canvas: Any, at: Any, part: Part, middle: float, ends: tuple[float, float]) -> None:
    value, error = part.reading.value, part.reading.error or 0.0
    x = at(value)
    canvas.setLineWidth(1.4)
    canvas.line(at(value - error), middle, at(value + error), middle)
    for edge in (value - error, value + error):
        canvas.line(at(edge), middle - 1.2 * MM, at(edge), middle + 1.2 * MM)
    path = canvas.beginPath()
    size = 1.9 * MM
    if ends[0] <= value <= ends[1]:  # a diamond on the value, or an arrow where it is off the scale
        points = ((x, middle + size), (x + size, middle), (x, middle - size), (x - size, middle))
    else:
        way = size if value > ends[1] else -size
        points = ((x, middle), (x - 1.5 * way, middle + size), (x - 1.5 * way, middle - size), (x, middle))
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    path.close()
    canvas.drawPath(path, stroke=0, fill=1)


def _suggestions(suggestions: Sequence[Suggestion], none_share: float, page: str) -> Table:
    rows = [
        [
            words(s.style.name, 9),
            words("-" if s.fit.score is None else f"{s.fit.score:.0f}", 9),
            words(f"{s.share:.0%}", 9),
            words("; ".join(s.reasons[:3]) or "nothing against it", 8.5),
        ]
        for index, s in enumerate(suggestions)
        if index == 0 or s.share >= SHOWN
    ]
    if none_share >= SHOWN:
        rows.append([words("none of these", 9), words("", 9), words(f"{none_share:.0%}", 9), words("", 9)])
    widths = (42 * MM, 10 * MM, 13 * MM, inner_width(page) - 65 * MM)
    return ruled(("Style", "Fit", "Share", "Why"), rows, widths)


def _told(finding: Finding, brief: bool) -> list[str]:
    """What, why and how to fix it, as sentences; why is left out where ``brief``."""
    kind = f"{finding.severity.value.upper()}: "
    parts = [(kind, finding.what), ("Why: ", "" if brief else finding.why), ("Fix: ", finding.fix)]
    return [f"{label}{text.rstrip(' .')}." for label, text in parts if text]


def _finding(finding: Finding, brief: bool) -> Any:
    """What was found; with many findings the reasons are left to the terminal, so that the beer stays on one page."""
    what, *rest = _told(finding, brief)
    return words(" ".join(rest), 8.5, before=1.5, after=1.5, lead=what)
