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
APART = 0.9 * MM  # from the fields beside it at most; capitals reach no further
ENDS = 1.5 * MM  # kept free at both ends


def despite_words(count: int) -> tuple[str, str]:
    """What the line says, and what it says where that is too long."""
    errors = several(count, "error").upper()
    return f"PRINTED DESPITE {errors}", f"DESPITE {errors}"


def despite_mark(canvas: Any, layout: SlipLayout, sheet: Sheet, stub: float, count: int) -> str:
    """The line as operators, from the slip's lower left corner; ``stub`` is the height of what is cut off, points.

    It lies in the wider of the two side margins. Nothing where there are no errors.
    """
    if not count:
        return ""
    left, right = (min(getattr(zone, side) for zone in layout.zones) * MM for side in ("left", "right"))
    room = sheet.height * MM - stub - 2 * ENDS
    long, short = despite_words(count)
    words = long if width_pt(long, BOLD, SIZE) <= room else short
    apart = min(APART, (max(left, right) - CAPITAL * SIZE) / 2)
    x = left - apart if left >= right else sheet.width * MM - right + apart + CAPITAL * SIZE
    y = stub + ENDS + (room - width_pt(words, BOLD, SIZE)) / 2
    return f"q 0 1 -1 0 {x:.2f} {y:.2f} cm {text_operators(canvas, [(0, 0, BOLD, SIZE, words)])} Q"
