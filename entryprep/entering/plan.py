"""What is printed and packed, as plain values: the paper reads these and nothing else."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from entryprep.beer.fitting import Fit
from entryprep.beer.ranking import Suggestion
from entryprep.findings import Finding
from entryprep.text import day_words
from entryprep.vitals import Vitals


@dataclass(frozen=True)
class Slip:
    """One slip for one bottle.

    ``identity`` holds the lines of the part a steward cuts off; it is empty where the competition wants no
    name on the bottle. ``number`` is None until the competition has issued one.
    """

    code: str
    number: str | None
    competition: str
    category_code: str
    category_name: str
    style: str
    base: str
    declaration: str
    allergens: tuple[str, ...]
    bottle: int
    bottles: int
    identity: tuple[str, ...]
    attach: str
    entry: str = ""  # how findings name the entry; printed nowhere


@dataclass(frozen=True)
class Take:
    """Bottles of one kind to take from the cellar for one entry."""

    bottle_type: str
    count: int
    size_ml: float
    full_g: float
    diameter_mm: float
    height_mm: float


@dataclass(frozen=True)
class PackingRow:
    """One entry of the packing list: ``stock`` before, ``remaining`` after all entries took theirs."""

    code: str
    number: str | None
    batch_id: str
    batch_name: str
    competition_id: str
    category_code: str
    needed: int
    stock: int
    remaining: int
    takes: tuple[Take, ...]


@dataclass(frozen=True)
class Box:
    """One box: a grid of slots (columns × rows), row by row the entry code in each ("" is empty), estimated mass.

    ``diameters_mm`` are those of the bottles in the slots, 0 for none; ``slot_mm`` is the side of a slot that takes
    the widest of them wrapped, ``tall_mm`` the tallest bottle, ``outer_cm`` length, width and height of the box.
    """

    competition_id: str
    number: int
    of: int
    columns: int
    rows: int
    slots: tuple[str, ...]
    mass_kg: float
    limit_kg: float
    diameters_mm: tuple[float, ...] = ()
    slot_mm: float = 0.0
    tall_mm: float = 0.0
    outer_cm: tuple[float, float, float] = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class PackingPlan:
    """All rows and boxes of one competition; ``brewer`` only where it wants names, empty where it is blind."""

    competition_id: str
    competition: str
    rows: tuple[PackingRow, ...]
    boxes: tuple[Box, ...]
    materials: tuple[str, ...]
    brewer: tuple[str, ...] = ()


@dataclass(frozen=True)
class CheckItem:
    """One line of the shipping checklist. ``kind`` is "do", "caution" or "stop"; ``checked`` an ISO date.

    ``danger`` marks a caution that stands with the stops, before anything is packed.
    """

    id: str
    kind: str
    text: str
    source: str
    checked: str
    danger: bool = False


@dataclass(frozen=True)
class Milestone:
    """A day of one competition: what it is ("Registration closes"), when, and a note such as how long the way takes."""

    title: str
    day: dt.date
    competition: str
    note: str = ""

    @property
    def label(self) -> str:
        """What the day is, to stand beside its date: ``drop off, last day``, ``first day of delivery``."""
        said = self.title.replace(" no later than", ", last day").replace(
            "Not to arrive before", "First day of delivery"
        )
        return f"{said[:1].lower()}{said[1:]}"

    @property
    def words(self) -> str:
        """The day as lists write it, with its note."""
        return f"{day_words(self.day)} ({self.note})" if self.note else day_words(self.day)


@dataclass(frozen=True)
class Pressure:
    """The gas in the bottles of one beer that are packed, bar over air pressure, beside what the weakest holds.

    ``usual`` and ``most`` are volumes of CO2: what the kind of bottle is used to, and what it should never exceed.
    """

    number: str
    beer: str
    volumes: float
    cool_bar: float
    hot_bar: float
    bottle: str
    usual: float
    most: float

    @property
    def danger(self) -> str:
        """``STOP`` above the most, ``TOO LIVELY`` above the usual, else empty."""
        return "STOP" if self.volumes > self.most else "TOO LIVELY" if self.volumes > self.usual else ""


@dataclass(frozen=True)
class ShippingList:
    """The shipping checklist of one competition and one way of sending, in titled sections."""

    competition_id: str
    competition: str
    way: str
    way_name: str
    address: tuple[str, ...]
    dates: tuple[tuple[str, str], ...]
    sections: tuple[tuple[str, tuple[CheckItem, ...]], ...]
    closing: str
    pressures: tuple[Pressure, ...] = ()
    timeline: tuple[Milestone, ...] = ()


@dataclass(frozen=True)
class FitSheet:
    """One beer on one page: what to enter it as, its vitals against that style, the runners-up, what was found.

    ``fit`` is that to the declared style, ``shown`` that to the style it should be entered as, which ``enter_as`` names
    and ``reason`` gives a line for; ``no_style``: it is most likely none of the table. ``changed`` says that additions
    changed the vitals, so that fits with a base are those of the beer underneath; ``vitals`` and ``srm`` are those of
    the beer as served. ``stops`` is what keeps its bottles at home.
    """

    batch_id: str
    batch_name: str
    declared: str
    base: str
    vitals: Vitals
    fit: Fit | None
    suggestions: tuple[Suggestion, ...]
    none_share: float
    entries: tuple[str, ...]
    declaration: str
    findings: tuple[Finding, ...]
    srm: float | None = None
    added: tuple[str, ...] = ()
    decide: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()
    enter_as: str = ""
    reason: str = ""
    shown: Fit | None = None
    changed: bool = False
    stops: tuple[str, ...] = ()
    no_style: bool = False

    @property
    def verdict(self) -> str:
        """``Enter as Vienna Lager``, or what stands in the way of saying so."""
        if self.enter_as:
            return "Do not send" if self.stops else f"Enter as {self.enter_as}"
        return "Most likely none of the styles" if self.no_style else "Fit unknown: no style to compare with"

    @property
    def short_verdict(self) -> str:
        """The same in a line of a list: ``as Vienna Lager``."""
        if self.enter_as:
            return f"as {self.enter_as}"
        return "none of the styles" if self.no_style else "style unknown"

    @property
    def why(self) -> str:
        """What it would be where it must not be sent; whether it is declared as that, on which base; the reason."""
        otherwise = f"Otherwise it would be entered as {self.enter_as}. " if self.stops and self.enter_as else ""
        base = f", on a base of {self.base}" if self.base else ""
        if not self.declared:
            said = "" if self.reason else "Declared as nothing yet."
        elif self.fit is not None and self.shown is self.fit and self.fit.style.name == self.declared:
            said = f"As declared{base}."
        else:
            said = "" if self.declared in self.reason else f"Declared as {self.declared}{base}."
        return f"{otherwise}{said} {self.reason}".strip()
