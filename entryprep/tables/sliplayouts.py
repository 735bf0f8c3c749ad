"""The layout of a slip: which fields stand in which zone, how large, and what a judge must not see."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path
from typing import Annotated, Literal, get_args

from pydantic import Field, model_validator

from entryprep.reading.fields import Id, LengthMm, Number, OneOrMore, Record, Text, Whole, refuse
from entryprep.tables.templates import template

MM_PER_PT = 25.4 / 72
LEAST_PT, LEAST_NUMBER_PT = 8.0, 14.0  # smallest print that is read at arm's length (common practice, from memory)
LINE = 1.05  # height of a single line, in sizes
APART_PT = 0.8  # between two fields
LEAST_EDGE_MM = 2.0  # text keeps so far inside the slip (common practice)
LEAST_MODULE_MM = 0.33  # of a QR code on paper, for a phone (common practice, from memory)

OnBottle = Literal["number", "competition", "category", "style", "base", "declaration", "allergens", "bottle", "attach"]
OfBrewer = Literal["brewer", "contact"]
OnBox = Literal["competition", "to", "from", "box", "contents", "mass"]
Shown = OnBottle | OfBrewer | OnBox
Points = Annotated[Number, Field(ge=LEAST_PT, le=96)]


class SlipField(Record):
    """One thing on a slip: a field of the entry (``show``) or words that are always the same (``say``)."""

    show: Shown | None = Field(None, description="Which field.")
    say: Text | None = Field(None, description="Words that are always the same.")
    before: Text | None = Field(None, description="Words in front of the field, where there is one.")
    bold: bool = Field(False, description="Whether in bold.")
    largest: Points = Field(8.0, description="Size where there is room, in points.")
    smallest: Points = Field(8.0, description="Size below which it is not shrunk, in points; numbers at least 14.")
    kept: Points | None = Field(None, description="Size it keeps whatever else the slip says, unless it is too wide.")
    lines: Annotated[Whole, Field(ge=1, le=99)] = Field(1, description="Most lines.")
    align: Literal["left", "right", "centre"] = Field("left", description="Where it stands in its zone.")
    beside: bool = Field(False, description="Whether it shares the first line of the field before it.")
    rule: LengthMm | None = Field(None, description="A line to write on where the field is empty, so long.")

    @model_validator(mode="after")
    def _whole(self) -> SlipField:
        if (self.show is None) == (self.say is None):
            raise refuse("a field either shows or says something", "give `show` or `say`, one of the two")
        if self.smallest > self.largest:
            raise refuse(f"smallest {self.smallest:g} is above largest {self.largest:g}", "swap them")
        if self.kept is not None and not self.smallest <= self.kept <= self.largest:
            raise refuse(f"kept {self.kept:g} is not from smallest to largest", "give a size between them")
        if self.show == "number" and self.smallest < LEAST_NUMBER_PT:
            raise refuse(f"an entry number of {self.smallest:g} points is too small", f"at least {LEAST_NUMBER_PT:g}")
        return self

    @property
    def floor(self) -> float:
        """The size, in points, to which what else is said may shrink it."""
        return self.kept or self.smallest


class Zone(Record):
    """A part of the slip with fields one below the other, by its distances from the slip's edges.

    It reaches from ``top`` to ``bottom``; with a ``height`` one of the two is left out.
    """

    left: LengthMm = Field(4.0, description="From the left edge.")
    right: LengthMm = Field(4.0, description="From the right edge.")
    top: LengthMm | None = Field(None, description="From the top edge.")
    bottom: LengthMm | None = Field(None, description="From the bottom edge, or from the stub where there is one.")
    height: LengthMm | None = Field(None, description="Its height, in place of top or bottom.")
    fields: Annotated[list[SlipField], OneOrMore, Field(min_length=1)] = Field(description="What stands in it.")

    @model_validator(mode="after")
    def _bounded(self) -> Zone:
        if sum(side is not None for side in (self.top, self.bottom, self.height)) != 2:
            raise refuse("a zone needs two of top, bottom and height", "leave the third out")
        for name in ("left", "right", "top", "bottom"):
            side = getattr(self, name)
            if side is not None and side < LEAST_EDGE_MM:
                raise refuse(f"{name} {side:g} mm is too near the cut", f"at least {LEAST_EDGE_MM:g} mm")
        if self.fields[0].beside:
            raise refuse("the first field of a zone has nothing to stand beside", "leave `beside` out")
        return self

    def span(self, height: float) -> tuple[float, float]:
        """Where it begins and ends, mm down from the top of a slip (without its stub) of ``height`` mm."""
        if self.top is None:
            end = height - (self.bottom or 0.0)
            return end - (self.height or 0.0), end
        return self.top, height - self.bottom if self.bottom is not None else self.top + (self.height or 0.0)

    @property
    def needs(self) -> float:
        """Height in mm at which every field still has one line at its smallest."""
        rows = [field.floor * LINE + APART_PT for field in self.fields if not field.beside]
        return (sum(rows) - APART_PT) * MM_PER_PT


class Stub(Record):
    """The strip at the bottom of a slip that a steward cuts off: the only place for the brewer's name."""

    height: Annotated[LengthMm, Field(ge=8, le=60)] = Field(description="Height of the strip.")
    fields: Annotated[list[SlipField], OneOrMore, Field(min_length=1)] = Field(description="What stands on it.")

    @property
    def zone(self) -> Zone:
        """The strip's inside."""
        return Zone(top=LEAST_EDGE_MM, bottom=LEAST_EDGE_MM, fields=self.fields)


class CodeSpot(Record):
    """Where the QR code stands, with its quiet zone of four modules."""

    corner: Literal["top-right", "bottom-right"] = Field("top-right", description="In which corner.")
    side: Annotated[LengthMm, Field(le=80)] = Field(17.4, description="Least side, with the quiet zone.")
    module: Annotated[LengthMm, Field(ge=LEAST_MODULE_MM, le=2)] = Field(0.5, description="Least size of a module.")


SIGN_WIDTH = 0.75  # of a handling mark, in heights


class Sign(Record):
    """A handling mark of ISO 780, three quarters as wide as it is high."""

    sign: Literal["fragile", "this-way-up"] = Field(description="Which mark: a glass, or two arrows that point up.")
    right: Annotated[LengthMm, Field(ge=LEAST_EDGE_MM)] = Field(description="From the right edge.")
    bottom: Annotated[LengthMm, Field(ge=LEAST_EDGE_MM)] = Field(description="From the bottom edge.")
    height: Annotated[LengthMm, Field(ge=8, le=100)] = Field(description="Its height.")


class Hole(Record):
    """Where to punch a hole for a string."""

    left: LengthMm = Field(description="Its middle, from the left edge.")
    top: LengthMm = Field(description="Its middle, from the top edge.")
    diameter: Annotated[LengthMm, Field(gt=0, le=15)] = Field(5.0, description="Its width.")


class SlipLayout(Record):
    """A layout. ``anonymous`` says that nothing on it may name the brewer; it is checked."""

    id: Id | None = Field(None, description="Lower-case words joined by hyphens.")
    name: Text | None = Field(None, description="What it is.")
    kind: Literal["bottle", "box"] = Field("bottle", description="One for each bottle, or one for each box.")
    anonymous: bool = Field(description="Whether nothing on it may name the brewer.")
    usual: Annotated[Whole, Field(ge=1, le=200)] = Field(8, description="Slips on a page where no sheet is named.")
    least_width: LengthMm = Field(description="Narrowest slip it fits.")
    least_height: LengthMm = Field(description="Lowest slip it fits.")
    code: CodeSpot | None = Field(None, description="The QR code with the entry's number or code, and the bottle.")
    hole: Hole | None = Field(None, description="A hole to punch.")
    signs: Annotated[list[Sign], OneOrMore] = Field([], description="Handling marks, on the slip of a box.")
    zones: Annotated[list[Zone], OneOrMore, Field(min_length=1)] = Field(description="The parts of the slip.")
    stub: Stub | None = Field(None, description="The strip with the brewer's name.")

    @model_validator(mode="after")
    def _right(self) -> SlipLayout:
        own = get_args(OnBottle) if self.kind == "bottle" else get_args(OnBox)
        for field in (field for zone in self.zones for field in zone.fields):
            if field.show in get_args(OfBrewer):
                raise refuse(f"{field.show} stands on the judges' part", "it belongs on the stub, which is cut off")
            if field.show is not None and field.show not in own:
                raise refuse(f"a {self.kind} slip has no field {field.show}", f"use one of {', '.join(own)}")
        if self.stub is not None:
            strange = [f.show for f in self.stub.fields if f.show not in {None, *get_args(OfBrewer)}]
            if strange:
                raise refuse(f"{strange[0]} stands on the stub", "only brewer and contact: it is cut off")
        named = self.stub is not None or (self.kind == "box" and any(f.show == "from" for f in self._all()))
        if self.anonymous and named:
            raise refuse("an anonymous slip may not name the brewer", "leave the stub and `from` out")
        if self.code is not None and self.kind == "box":
            raise refuse("a box has no entry number for a QR code", "leave `code` out")
        if self.signs and self.kind != "box":
            raise refuse("a bottle needs no handling mark", "leave `signs` out, or make it a slip of kind box")
        self._fits()
        self._signs_fit()
        return self

    def _all(self) -> list[SlipField]:
        return [field for zone in self.zones for field in zone.fields]

    def _fits(self) -> None:
        """Every field has room at the least size, and no zone lies on another."""
        height = self.least_height - (self.stub.height if self.stub else 0.0)
        places = [("the stub", self.stub.zone, self.stub.height)] if self.stub else []
        places += [(f"zone {number}", zone, height) for number, zone in enumerate(self.zones, 1)]
        for name, zone, room in places:
            begins, ends = zone.span(room)
            if begins < 0 or ends > room or ends - begins < zone.needs - 1e-6:
                what = f"{name} has {max(ends - begins, 0):.1f} mm on the lowest slip and needs {zone.needs:.1f}"
                raise refuse(what, "give it more height, fewer fields or smaller ones")
            if self.least_width - zone.left - zone.right - self._code_width(zone, room) < 15:
                raise refuse(f"{name} has less than 15 mm of width on the narrowest slip", "raise least_width")
        for (one, a), (other, b) in combinations(enumerate(self.zones, 1), 2):
            apart = a.span(height)[1] <= b.span(height)[0] + 1e-6 or b.span(height)[1] <= a.span(height)[0] + 1e-6
            beside = self.least_width - a.right <= b.left + 1e-6 or self.least_width - b.right <= a.left + 1e-6
            if not apart and not beside:
                raise refuse(f"zones {one} and {other} lie on each other on the smallest slip", "move one of them")

    def _signs_fit(self) -> None:
        """Every handling mark lies on the smallest slip, and on no zone."""
        for sign in self.signs:
            left, top = (
                self.least_width - sign.right - sign.height * SIGN_WIDTH,
                self.least_height - sign.bottom - sign.height,
            )
            if left < LEAST_EDGE_MM or top < LEAST_EDGE_MM:
                raise refuse(
                    f"the mark {sign.sign} does not fit the smallest slip", "make it lower, or the slip larger"
                )
            for number, zone in enumerate(self.zones, 1):
                begins, ends = zone.span(self.least_height)
                above = ends <= top + 1e-6 or begins >= self.least_height - sign.bottom - 1e-6
                if (
                    not above
                    and self.least_width - zone.right > left + 1e-6
                    and zone.left < self.least_width - sign.right
                ):
                    raise refuse(f"the mark {sign.sign} lies on zone {number} of the smallest slip", "move one of them")

    def _code_width(self, zone: Zone, height: float) -> float:
        if self.code is None:
            return 0.0
        begins, ends = zone.span(height)
        meets = begins < self.code.side if self.code.corner == "top-right" else ends > height - self.code.side
        return max(0.0, self.code.side - zone.right) if meets else 0.0

    @property
    def called(self) -> str:
        """Its name, or its id."""
        return self.name or self.id or "this slip layout"


def find_layout(wanted: str, season: Path | None = None) -> SlipLayout:
    """A slip layout by file or id. Raises UnknownTemplate or RecordError as ``template`` does."""
    return template(wanted, "slips", SlipLayout, season)
