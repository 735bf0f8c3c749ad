"""The line on each slip that was printed despite errors: upright in the margin, where no field stands in any layout."""

from __future__ import annotations

from typing import Any

from entryprep.paper.fonts import BOLD, width_pt
from entryprep.paper.pen import text_operators
from entryprep.paper.placing import MM
from entryprep.tables.labelsheets import Sheet
from entryprep.tables.sliplayouts import SlipLayout
from entryprep.text import several

SIZE = 8.0  # points, the least that is printed anywhere
CAPITAL = 0.72  # height of capital letters and ascenders, in sizes
MARGIN = 6.0  # mm: what a slip with the line keeps free at its side, so that it stands clear of fields and cut alike
OUTSIDE = 1.6 * MM  # between the line and the cut: scissors and printers are off by a millimetre
ENDS = 1.5 * MM  # kept free at both ends


def despite_words(count: int) -> tuple[str, str]:
    """What the line says, and what it says where that is too long."""
    errors = several(count, "error").upper()
    return f"PRINTED DESPITE {errors}", f"DESPITE {errors}"


def _side(layout: SlipLayout) -> str:
    """The side with the wider margin; a code stands at the right."""
    left, right = (min(getattr(zone, side) for zone in layout.zones) for side in ("left", "right"))
    return "left" if left >= right or layout.code is not None else "right"


def with_margin(layout: SlipLayout) -> SlipLayout:
    """A layout whose fields leave room for the line."""
    side = _side(layout)
    zones = [zone.model_copy(update={side: max(getattr(zone, side), MARGIN)}) for zone in layout.zones]
    return layout.model_copy(update={"zones": zones})


def despite_mark(canvas: Any, layout: SlipLayout, sheet: Sheet, stub: float, count: int) -> str:
    """The line as operators, from the slip's lower left corner; ``stub`` is the height of what is cut off, points.

    It lies in the side margin of a layout :func:`with_margin`. Nothing where there are no errors.
    """
    if not count:
        return ""
    room = sheet.height * MM - stub - 2 * ENDS
    long, short = despite_words(count)
    words = long if width_pt(long, BOLD, SIZE) <= room else short
    x = OUTSIDE + CAPITAL * SIZE if _side(layout) == "left" else sheet.width * MM - OUTSIDE
    y = stub + ENDS + (room - width_pt(words, BOLD, SIZE)) / 2
    return f"q 0 1 -1 0 {x:.2f} {y:.2f} cm {text_operators(canvas, [(0, 0, BOLD, SIZE, words)])} Q"
