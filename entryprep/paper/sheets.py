"""Sheets of slips as data: where each slip lies on its page."""

from __future__ import annotations

from functools import lru_cache
from typing import Literal

from pydantic import Field, model_validator

from entryprep.records.fields import Id, LengthMm, Record, Text, refuse
from entryprep.records.shipped import shipped_document
from entryprep.records.validate import validate
from entryprep.records.yamltext import RecordError

MM = 72 / 25.4
PAGES_MM = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}  # 8.5 × 11 in; ISO 216
PAGES_PT = {"letter": (612.0, 792.0), "a4": (210 * MM, 297 * MM)}
ROUNDING_MM = 0.1


class Sheet(Record):
    """A sheet: a grid of slips, by the edges of the first and the pitch to the next."""

    id: Id = Field(description="Lower-case words joined by hyphens.")
    name: Text = Field(description="What it is.")
    page: Literal["letter", "a4"] = Field(description="Paper.")
    columns: int = Field(ge=1, le=20, description="Slips side by side.")
    rows: int = Field(ge=1, le=60, description="Slips one below the other.")
    width: LengthMm = Field(description="Width of a slip.")
    height: LengthMm = Field(description="Height of a slip.")
    left: LengthMm = Field(description="Paper edge to the first slip.")
    top: LengthMm = Field(description="Paper edge to the first slip.")
    pitch_x: LengthMm = Field(description="From one slip's left edge to the next one's.")
    pitch_y: LengthMm = Field(description="From one slip's top edge to the next one's.")
    corner_radius: LengthMm = Field(0.0, description="Of an adhesive slip.")
    cut_lines: bool = Field(False, description="Whether lines to cut along are drawn.")
    source: Text = Field(description="Where the measures come from.")

    @model_validator(mode="after")
    def _closes(self) -> Sheet:
        page_w, page_h = PAGES_MM[self.page]
        right = self.left + (self.columns - 1) * self.pitch_x + self.width
        bottom = self.top + (self.rows - 1) * self.pitch_y + self.height
        if right > page_w + ROUNDING_MM or bottom > page_h + ROUNDING_MM:
            raise refuse(
                f"the slips reach {right:.1f} × {bottom:.1f} mm on a page of {page_w:g} × {page_h:g} mm",
                "check margins, pitch and counts",
            )
        if (self.columns > 1 and self.pitch_x < self.width) or (self.rows > 1 and self.pitch_y < self.height):
            raise refuse("the slips overlap: the pitch is smaller than the slip", "the pitch includes the gap")
        return self

    @property
    def per_page(self) -> int:
        """Slips on a page."""
        return self.columns * self.rows

    def corner_pt(self, place: int) -> tuple[float, float]:
        """Lower left corner, in points, of the slip at ``place`` (0 is top left, along the rows)."""
        row, column = divmod(place % self.per_page, self.columns)
        x = self.left + column * self.pitch_x
        y = PAGES_MM[self.page][1] - self.top - row * self.pitch_y - self.height
        return x * MM, y * MM


@lru_cache(maxsize=16)
def load_sheet(name: str) -> Sheet:
    """A shipped sheet by id. Raises FileNotFoundError for an id there is not, RecordError for a broken one."""
    sheet, problems = validate(shipped_document(f"templates/sheets/{name}.yaml"), Sheet)
    if sheet is None:
        raise RecordError(problems)
    return sheet
