"""Labels for a competition's bottles, with the blind number and nothing that tells whose a beer is; a check-in list."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from entryprep.paper.canvas import bookmark, new_canvas, saved
from entryprep.paper.fonts import BOLD, REGULAR
from entryprep.paper.placing import MM, placing
from entryprep.paper.tablepages import Column, TablePage, draw_table
from entryprep.paper.text import fitted
from entryprep.tables.labelsheets import Sheet
from entryprep.text import counted, upside_down

COLUMNS = (
    Column("entry", 12, bold=True),
    Column("brewer", 30),
    Column("beer", 30),
    Column("label", 15, bold=True),
    Column("bottles", 12, box=True),
    Column("sound", 12, box=True),
    Column("remarks", 24),
)
HOW = (
    "For each box opened: look for the entry, count its bottles, look at caps and filling, and put the label of this "
    "line on each bottle, over whatever tells whose it is. Leaking or swollen bottles are opened outside, with gloves "
    "and eye protection."
)
FOOT = "This list joins people to blind numbers: it stays with whoever opens the boxes, and no judge sees it."


def bottle_labels_pdf(
    numbers: Iterable[str], bottles: int, sheet: Sheet, start: int = 1, nudge: tuple[float, float] = (0.0, 0.0)
) -> bytes:
    """Labels with each blind number, ``bottles`` of each, on a sheet of labels from its place ``start`` (1 or more).

    ``nudge`` moves all to the right and down, in mm. Raises PrintingError for a place that the sheet has not.
    """
    grid = placing(sheet, start, nudge)
    canvas, stream = new_canvas(sheet.page, "Bottle labels")
    place, fresh = grid.start - 1, True
    corners = grid.corners_pt()
    for number in numbers:
        for bottle in range(1, bottles + 1):
            if place == len(corners):
                canvas.showPage()
                place, fresh = 0, True
            if fresh:
                bookmark(canvas, f"from {number}")
                fresh = False
            size = (sheet.width * MM, sheet.height * MM)
            if sheet.cut_lines:
                canvas.setLineWidth(0.25)
                canvas.rect(*corners[place], *size)
            _label(canvas, corners[place], size, number, f"bottle {bottle} of {bottles}")
            place += 1
    if fresh and canvas.getPageNumber() == 1:
        canvas.setFont(REGULAR, 11)
        canvas.drawString(20 * MM, 200 * MM, "There is no blind number to print.")
    canvas.showPage()
    return saved(canvas, stream)


def _label(canvas: Any, corner: tuple[float, float], size: tuple[float, float], number: str, said: str) -> None:
    x, below = corner
    width, height = size
    top = below + height
    name = fitted(number, BOLD, width - 6 * MM, min(height * 0.62, 40.0), 9, 1)
    y = top - height / 2 - name.size * 0.30
    canvas.setFont(BOLD, name.size)
    canvas.drawCentredString(x + width / 2, y, " ".join(name.lines))
    if upside_down(number) is not None:  # it reads as another number when it hangs upside down
        wide = canvas.stringWidth(number, BOLD, name.size)
        canvas.setLineWidth(1.2)
        canvas.line(x + (width - wide) / 2, y - 3, x + (width + wide) / 2, y - 3)
    canvas.setFont(REGULAR, 8)
    canvas.drawCentredString(x + width / 2, top - height + 2.2 * MM, said)


def check_in_pdf(rows: Sequence[tuple[str, str, str, str]], bottles: int, page: str) -> bytes:
    """The list for whoever opens the boxes, from rows of (entry, brewer, beer, blind number), "letter" or "a4"."""
    canvas, stream = new_canvas(page, "Check-in list")
    entries = counted(len(rows), "entry", "entries")
    aside = f"{entries}, {counted(bottles, 'bottle')} each" if bottles else entries
    lines = [(*row, "", "", "") for row in rows]
    draw_table(canvas, page, TablePage("Check-in list", COLUMNS, lines, aside, HOW, FOOT))
    return saved(canvas, stream)
