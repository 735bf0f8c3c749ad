"""What is printed and packed, as plain values: the paper reads these and nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.beer.fitting import Fit
from entryprep.beer.ranking import Suggestion
from entryprep.findings import Finding
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
    """One line of the shipping checklist. ``kind`` is "do", "caution" or "stop"; ``checked`` an ISO date."""

    id: str
    kind: str
    text: str
    source: str
    checked: str


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
    pressures: tuple[tuple[str, ...], ...] = ()  # a row of words for each beer: name, volumes, pressures, limit


@dataclass(frozen=True)
class FitSheet:
    """One beer on one page: its vitals against the declared style, the runners-up, what was found."""

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
