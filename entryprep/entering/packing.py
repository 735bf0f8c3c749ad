"""The packing list: what to take from the cellar, what remains, how the boxes are filled, what to have at hand."""

from __future__ import annotations

from entryprep.entering.bottles import allocate, needed, stock_of
from entryprep.entering.boxes import boxes
from entryprep.entering.plan import Box, PackingPlan, PackingRow, Take
from entryprep.entering.season import Entered, Season
from entryprep.entering.slips import identity
from entryprep.measures import in_units, length
from entryprep.text import several

CUSHION_CM = 5  # 2 in on all sides and between breakables: carriers' packing guides


def packing_plan(season: Season, competition_id: str) -> PackingPlan:
    """Rows and boxes of one competition. Stock counts what earlier entries of the season have not taken.

    Raises KeyError if the season has no such competition. Linear in entries.
    """
    competition = season.competitions[competition_id]
    takes = allocate(season)
    stock: dict[str, int] = {}
    rows = []
    for entered in season.entered:
        before = stock.setdefault(entered.batch_id, sum(bottle.count for bottle in stock_of(entered)))
        taken = sum(take.count for take in takes[entered.index])
        stock[entered.batch_id] = before - taken
        if entered.competition_id == competition_id:
            rows.append(_row(entered, takes[entered.index], before, before - taken))
    filled = boxes(competition_id, rows, competition.delivery.box_limit)
    brewer = season.brewer
    named = competition.labels.identity != "absent" and brewer is not None
    return PackingPlan(
        competition_id,
        competition.name,
        tuple(rows),
        filled,
        _materials(rows, filled, competition.labels.attach),
        identity(brewer) if named and brewer is not None else (),
    )


def _row(entered: Entered, takes: tuple[Take, ...], stock: int, remaining: int) -> PackingRow:
    return PackingRow(
        code=entered.code,
        number=entered.entry.number,
        batch_id=entered.batch_id,
        batch_name=entered.batch.name,
        competition_id=entered.competition_id,
        category_code=entered.category.code,
        needed=needed(entered),
        stock=stock,
        remaining=remaining,
        takes=takes,
    )


def _materials(rows: list[PackingRow], filled: tuple[Box, ...], attach: str) -> tuple[str, ...]:
    takes = [take for row in rows for take in row.takes]
    bottles = sum(take.count for take in takes)
    if not filled:
        return ()
    wide, tall = max(take.diameter_mm for take in takes), max(take.height_mm for take in takes)
    held = "tape to hold them" if attach == "tape" else f"{several(bottles, 'rubber band')}, and a few to spare"
    sizes = ", ".join(f"{box.columns} × {box.rows}" for box in filled)
    return (
        f"{several(len(filled), 'sturdy box', 'sturdy boxes')} with dividers ({sizes} slots)",
        f"slots for wrapped bottles up to {length(wide)} wide and {length(tall)} tall",
        f"{several(len(filled), 'plastic liner bag')}, one inside each box",
        f"absorbent paper or pads for at least one bottle in each box ({len(filled)})",
        f"bubble wrap, two or three turns for each of {several(bottles, 'bottle')}",
        f"{in_units(f'{CUSHION_CM} cm (2 in)')} of cushioning for base, sides and lid; no loose foam",
        f"{several(bottles, 'slip')} and {held}",
        f"{several(len(filled), 'zip bag')} for the entry papers",
        "strong tape, a marker, address labels",
    )
