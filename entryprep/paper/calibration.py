"""A page to hold against a sheet of slips: rulers, outlines, and how far to nudge."""

from __future__ import annotations

from typing import Any

from entryprep.paper.canvas import draw_line, new_canvas, saved
from entryprep.paper.fonts import BOLD, REGULAR
from entryprep.paper.placing import MM, PAGES_PT, Placing
from entryprep.paper.text import fitted
from entryprep.tables.labelsheets import PAGES_MM, Sheet

BAR_MM, BAR_IN = 100.0, 4.0
TICKS = ((10, 8.0), (5, 7.0), (1, 6.0))  # every so many mm, so long a tick, mm: printers leave 4 to 6 mm white
ADVICE = (
    "1. Print at 100 % (actual size), never fitted to the page. The bar above must measure 100 mm, or 4 in.",
    "2. Hold this page behind the sheet of slips against the light: outlines and slips must meet.",
    "3. Where they do not, read how far the outline has to move, in mm, and print with --nudge RIGHT,DOWN",
    "    (negative: left, up; steps of 0.5 mm). A shift that grows from slip to slip is scaling: see 1.",
    "4. The numbers count the places for --start-at.",
)


def calibration_pdf(placed: Placing) -> bytes:
    """One page: outlines with the number of each place, rulers along the edges, a bar to measure. Same bytes always."""
    sheet = placed.sheet
    canvas, stream = new_canvas(sheet.page, f"Calibration: {sheet.called}")
    _rulers(canvas, sheet)
    _outlines(canvas, placed)
    _bars(canvas, placed)
    canvas.showPage()
    return saved(canvas, stream)


def _rulers(canvas: Any, sheet: Sheet) -> None:
    """Millimetres from the paper's own left and top edge; they are not nudged."""
    width, height = PAGES_MM[sheet.page]
    canvas.setLineWidth(0.25)
    canvas.setFont(REGULAR, 8)
    for mm in range(1, int(width)):
        length = next(long for every, long in TICKS if mm % every == 0)
        canvas.line(mm * MM, height * MM, mm * MM, (height - length) * MM)
        if mm % 20 == 0:
            canvas.drawCentredString(mm * MM, (height - 10.4) * MM, str(mm))
    for mm in range(1, int(height)):
        length = next(long for every, long in TICKS if mm % every == 0)
        canvas.line(0, (height - mm) * MM, length * MM, (height - mm) * MM)
        if mm % 20 == 0:
            canvas.drawString(8.4 * MM, (height - mm) * MM - 2, str(mm))


def _outlines(canvas: Any, placed: Placing) -> None:
    sheet = placed.sheet
    width, height = sheet.width * MM, sheet.height * MM
    for place, (x, y) in enumerate(placed.corners_pt(), 1):
        canvas.setLineWidth(0.4)
        if sheet.corner_radius:
            canvas.roundRect(x, y, width, height, sheet.corner_radius * MM)
        else:
            canvas.rect(x, y, width, height)
        canvas.setFont(BOLD, 12)
        canvas.drawRightString(x + width - 3 * MM, y + 3 * MM, str(place))
        for side in (-1, 1):  # a cross in the middle of the slip shows a turn of the sheet
            canvas.line(x + width / 2, y + height / 2, x + width / 2 + side * 3 * MM, y + height / 2)
            canvas.line(x + width / 2, y + height / 2, x + width / 2, y + height / 2 + side * 3 * MM)


def _bars(canvas: Any, placed: Placing) -> None:
    """The bar to measure and the advice, on white in the middle of the page."""
    sheet = placed.sheet
    page_w, page_h = PAGES_PT[sheet.page]
    wide, tall = 150 * MM, 56 * MM
    x, y = (page_w - wide) / 2, (page_h - tall) / 2
    canvas.setFillGray(1)
    canvas.rect(x, y, wide, tall, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.setLineWidth(0.6)
    canvas.rect(x, y, wide, tall)
    left, top = x + 6 * MM, y + tall - 8 * MM
    right, down = placed.nudge
    said = f"{sheet.called}, nudge {right:g},{down:g} mm"
    name = fitted(said, BOLD, wide - 12 * MM, 10, 8, 1)
    draw_line(canvas, left, top, " ".join(name.lines), BOLD, name.size)
    for offset, size, unit in ((8 * MM, BAR_MM * MM, "100 mm"), (14 * MM, BAR_IN * 72, "4 in")):
        canvas.setLineWidth(1)
        canvas.line(left, top - offset, left + size, top - offset)
        for end in (left, left + size):
            canvas.line(end, top - offset - 1.5 * MM, end, top - offset + 1.5 * MM)
        canvas.setFont(REGULAR, 8)
        canvas.drawString(left + size + 2 * MM, top - offset - 3, unit)
    for row, line in enumerate(ADVICE):
        canvas.setFont(REGULAR, 8)
        canvas.drawString(left, top - 22 * MM - row * 5 * MM, line)
