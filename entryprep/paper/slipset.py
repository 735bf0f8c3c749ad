"""The slips of one competition: which layout, on which sheet, and what speaks against it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from entryprep.entering.packing import packing_plan
from entryprep.entering.plan import PackingPlan, Slip
from entryprep.entering.season import Season
from entryprep.entering.slips import slips
from entryprep.findings import Finding
from entryprep.paper.placing import Placing
from entryprep.paper.slippages import slips_page
from entryprep.paper.slips import slip_overflows, slips_pdf
from entryprep.paper.slipvalues import Printed, bottle_slips, box_slips
from entryprep.tables.labelsheets import Sheet, find_sheet
from entryprep.tables.rules import finding
from entryprep.tables.sliplayouts import SlipLayout, find_layout


@dataclass(frozen=True)
class SlipChoice:
    """What a person chose: a layout, a sheet and how it is used. None: the usual one.

    ``beer``: only the slips of this batch, printed again into a file of their own; ``bottle``: only that one, from 1.
    """

    layout: SlipLayout | None = None
    placed: Placing | None = None
    beer: str = ""
    bottle: int = 0


@dataclass(frozen=True)
class SlipSet:
    """A file of slips: its name without ending, its bytes, the same as a page (empty for slips printed again, which
    stand on the page of all), and what printing it found."""

    stem: str
    content: bytes
    page: bytes
    findings: tuple[Finding, ...]


def usual_layout(season: Season, competition_id: str) -> SlipLayout:
    """The layout for bottles that a competition's rules ask for: with a stub for the name, or without any name."""
    stub = season.competitions[competition_id].labels.identity == "stub"
    return find_layout("bottle-stub" if stub else "bottle", season.folder)


def usual_sheet(layout: SlipLayout, page: str, season: Season) -> Placing:
    """Plain paper with as many slips as the layout is made for."""
    return Placing(find_sheet(f"{page}-{layout.usual}", season.folder))


def bottle_set(
    season: Season, competition_id: str, choice: SlipChoice, page: str, errors: Mapping[str, int] = MappingProxyType({})
) -> SlipSet | None:
    """Slips for all bottles of a competition, or for its boxes where the layout chosen is for boxes.

    None where there is nothing to print. Raises PrintingError where layout and sheet do not go together.
    """
    layout = choice.layout or usual_layout(season, competition_id)
    if layout.kind == "box":
        return box_set(season, packing_plan(season, competition_id), choice, page, errors)
    every = slips(season, competition_id)
    printed = bottle_slips([slip for slip in every if _wanted(slip, choice)] if choice.beer else every)
    if not printed:
        return None
    placed = choice.placed or usual_sheet(layout, page, season)
    competition = season.competitions[competition_id]
    stem = "slips" if choice.layout is None or layout.id in {None, "bottle", "bottle-stub"} else str(layout.id)
    title = f"{layout.called}: {competition.name}"
    content = slips_pdf(printed, layout, placed, title, errors)
    as_page = b"" if choice.beer else slips_page(printed, layout, title, errors)
    found = _cut(printed, layout, placed.sheet, errors) + _stub(season, competition_id, layout)
    again = f"-{choice.beer}{f'-{choice.bottle}' if choice.bottle else ''}" if choice.beer else ""
    sticks = _sticks(season, competition_id, placed.sheet)
    return SlipSet(f"{stem}-{competition_id}{again}", content, as_page, (*found, *sticks))


def _wanted(slip: Slip, choice: SlipChoice) -> bool:
    return slip.entry.startswith(f"{choice.beer} in ") and choice.bottle in {0, slip.bottle}


def box_set(
    season: Season, plan: PackingPlan, choice: SlipChoice, page: str, errors: Mapping[str, int] = MappingProxyType({})
) -> SlipSet | None:
    """Slips for the boxes of a packing plan; None where no box is packed."""
    layout = choice.layout if choice.layout and choice.layout.kind == "box" else find_layout("box", season.folder)
    competition = season.competitions[plan.competition_id]
    if not plan.boxes:
        return None
    printed = box_slips(plan.boxes, competition, season.brewer)
    placed = choice.placed or usual_sheet(layout, page, season)
    title = f"{layout.called}: {competition.name}"
    content, as_page = slips_pdf(printed, layout, placed, title, errors), slips_page(printed, layout, title, errors)
    found = _cut(printed, layout, placed.sheet, errors)
    return SlipSet(f"boxes-{plan.competition_id}", content, as_page, tuple(found))


def _cut(printed: Sequence[Printed], layout: SlipLayout, sheet: Sheet, errors: Mapping[str, int]) -> list[Finding]:
    return [
        finding("slip-text-cut", {"slip": overflow.code, "field": overflow.field}, about=overflow.code)
        for overflow in slip_overflows(printed, layout, sheet, errors)
    ]


def _stub(season: Season, competition_id: str, layout: SlipLayout) -> list[Finding]:
    """A warning where a competition wants the brewer's name on a stub and the layout has none."""
    if layout.stub is not None or layout.hole is not None:  # a tag hangs beside the slip
        return []
    if season.competitions[competition_id].labels.identity != "stub":
        return []
    return [
        season.finding(
            "slip-without-stub",
            {"layout": layout.called},
            f"competitions/{competition_id}.yaml",
            ("labels", "identity"),
        )
    ]


def _sticks(season: Season, competition_id: str, sheet: Sheet) -> list[Finding]:
    """A warning where slips would stick to bottles that must come to the judges bare."""
    if not sheet.adhesive or season.competitions[competition_id].labels.attach != "rubber-band":
        return []
    return [
        season.finding(
            "slip-sticks", {"sheet": sheet.called}, f"competitions/{competition_id}.yaml", ("labels", "attach")
        )
    ]
