"""Where slips land on paper: a sheet in points, moved by a nudge, and which of its places are still free."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.errors import EntryprepError
from entryprep.tables.labelsheets import PAGES_MM, ROUNDING_MM, Sheet

MM = 72 / 25.4
PAGES_PT = {"letter": (612.0, 792.0), "a4": (210 * MM, 297 * MM)}
NUDGE_STEP = 0.5  # mm: less than a printer's own play is not worth a step


class PrintingError(EntryprepError, ValueError):
    """Sheet, slip layout and options do not go together; ``fix`` says what to do about it."""


@dataclass(frozen=True)
class Placing:
    """How slips are put on a sheet.

    ``start`` is the first place used on the first page, from 1; ``nudge`` moves everything right and down, mm.
    """

    sheet: Sheet
    start: int = 1
    nudge: tuple[float, float] = (0.0, 0.0)

    def corners_pt(self) -> tuple[tuple[float, float], ...]:
        """Lower left corners, in points, of all places of a page, along the rows from the top left."""
        height = PAGES_PT[self.sheet.page][1]
        right, down = self.nudge
        places = (self.sheet.corner(place) for place in range(self.sheet.per_page))
        return tuple(((x + right) * MM, height - (y + down + self.sheet.height) * MM) for x, y in places)


def placing(sheet: Sheet, start: int = 1, nudge: tuple[float, float] = (0.0, 0.0)) -> Placing:
    """A checked placing. Raises PrintingError for a start past the sheet's end or a nudge off the paper or its steps.

    ``nudge`` is in mm, right and down, negative for left and up, in steps of 0.5 mm.
    """
    if not 1 <= start <= sheet.per_page:
        raise PrintingError(
            f"there is no place {start} on {sheet.called}",
            f"its places are 1 to {sheet.per_page}, counted along the rows from the top left",
        )
    for amount in nudge:
        if abs(amount / NUDGE_STEP - round(amount / NUDGE_STEP)) > 1e-9:
            near = round(amount / NUDGE_STEP) * NUDGE_STEP
            raise PrintingError(f"a nudge of {amount:g} mm is not in steps of {NUDGE_STEP:g} mm", f"use {near:g}")
    right, down = nudge
    edges = (
        ("left", sheet.left + right, -right),
        ("right", sheet.right - right, right),
        ("top", sheet.top + down, -down),
        ("bottom", sheet.bottom - down, down),
    )
    for edge, rest, moved in edges:
        # a sheet without a margin there may still be printed unmoved
        if moved > 0 and rest < -ROUNDING_MM:
            page = " × ".join(f"{side:g}" for side in PAGES_MM[sheet.page])
            raise PrintingError(
                f"the nudge moves the slips {-rest:.1f} mm over the {edge} edge of the paper ({page} mm)",
                f"at most {_at_most(rest + moved):g} mm that way on {sheet.called}",
            )
    return Placing(sheet, start, (right, down))


def _at_most(margin: float) -> float:
    """The largest nudge a margin allows, mm."""
    return max(0.0, (margin + ROUNDING_MM) // NUDGE_STEP * NUDGE_STEP)
