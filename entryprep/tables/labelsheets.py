"""A sheet of slips: where each slip lies on its page, in millimetres."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from entryprep.reading.fields import Id, LengthMm, Record, Text, Whole, refuse
from entryprep.tables.templates import template

PAGES_MM = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}  # 8.5 × 11 in; ISO 216
ROUNDING_MM = 0.1  # sheets are described in rounded figures
LEAST_MM = 10.0  # no slip anybody can read is smaller

_Size = Annotated[LengthMm, Field(ge=LEAST_MM)]


class Sheet(Record):
    """A sheet: a grid of slips, by the edges of the first and the pitch to the next, or the gap between two."""

    id: Id | None = Field(None, description="Lower-case words joined by hyphens.")
    name: Text | None = Field(None, description="What it is.")
    page: Literal["letter", "a4"] = Field(description="Paper: letter or a4.")
    columns: Annotated[Whole, Field(ge=1, le=20)] = Field(description="Slips side by side.")
    rows: Annotated[Whole, Field(ge=1, le=60)] = Field(description="Slips one below the other.")
    width: _Size = Field(description="Width of a slip.")
    height: _Size = Field(description="Height of a slip.")
    left: LengthMm = Field(description="Paper edge to the first slip.")
    top: LengthMm = Field(description="Paper edge to the first slip.")
    pitch_x: LengthMm | None = Field(None, description="From one slip's left edge to the next one's.")
    pitch_y: LengthMm | None = Field(None, description="From one slip's top edge to the next one's.")
    gap_x: LengthMm | None = Field(None, description="Between two slips side by side, if no pitch is given.")
    gap_y: LengthMm | None = Field(None, description="Between two slips one below the other, if no pitch is given.")
    corner_radius: LengthMm = Field(0.0, description="Of an adhesive slip.")
    adhesive: bool = Field(False, description="Whether the slips stick.")
    cut_lines: bool = Field(False, description="Whether lines to cut along are drawn.")
    source: Text | None = Field(None, description="Where the measures come from.")

    @model_validator(mode="after")
    def _closes(self) -> Sheet:
        for axis, size, pitch, gap in (
            ("x", self.width, self.pitch_x, self.gap_x),
            ("y", self.height, self.pitch_y, self.gap_y),
        ):
            if pitch is not None and pitch < size:
                what = f"the slips overlap: pitch_{axis} {pitch:g} mm is smaller than the slip, {size:g} mm"
                raise refuse(what, "the pitch is the slip and the gap together")
            if pitch is not None and gap is not None and abs(pitch - size - gap) > ROUNDING_MM:
                what = f"pitch_{axis} {pitch:g} mm is not the slip and gap_{axis} together, {size + gap:g} mm"
                raise refuse(what, "give the pitch or the gap, and leave the other out")
        if self.right < -ROUNDING_MM or self.bottom < -ROUNDING_MM:
            page_w, page_h = PAGES_MM[self.page]
            what = f"the slips reach {page_w - self.right:.1f} × {page_h - self.bottom:.1f} mm"
            raise refuse(f"{what} on a page of {page_w:g} × {page_h:g} mm", "check margins, pitch and counts")
        if self.corner_radius > min(self.width, self.height) / 2:
            raise refuse(f"a corner radius of {self.corner_radius:g} mm is more than half the slip", "measure it again")
        return self

    @property
    def step_x(self) -> float:
        """From one slip's left edge to the next one's, mm."""
        return self.pitch_x if self.pitch_x is not None else self.width + (self.gap_x or 0.0)

    @property
    def step_y(self) -> float:
        """From one slip's top edge to the next one's, mm."""
        return self.pitch_y if self.pitch_y is not None else self.height + (self.gap_y or 0.0)

    @property
    def right(self) -> float:
        """From the last column to the edge of the paper, mm."""
        return PAGES_MM[self.page][0] - self.left - (self.columns - 1) * self.step_x - self.width

    @property
    def bottom(self) -> float:
        """From the last row to the edge of the paper, mm."""
        return PAGES_MM[self.page][1] - self.top - (self.rows - 1) * self.step_y - self.height

    @property
    def per_page(self) -> int:
        """Slips on a page."""
        return self.columns * self.rows

    @property
    def called(self) -> str:
        """Its name, or its id, or what it is."""
        return self.name or self.id or f"a sheet of {self.columns} × {self.rows}"

    def corner(self, place: int) -> tuple[float, float]:
        """Upper left corner, mm from the paper's, of the slip at ``place`` (0 is top left, along the rows)."""
        row, column = divmod(place % self.per_page, self.columns)
        return self.left + column * self.step_x, self.top + row * self.step_y


def find_sheet(wanted: str, season: Path | None = None) -> Sheet:
    """A sheet by file or id. Raises UnknownTemplate or RecordError as ``template`` does."""
    return template(wanted, "sheets", Sheet, season)


@lru_cache(maxsize=32)
def load_sheet(name: str) -> Sheet:
    """A shipped sheet by id. Raises UnknownTemplate or RecordError."""
    return find_sheet(name)
