"""Which bottles an entry may use, and which bottles of the cellar each entry takes."""

from __future__ import annotations

from entryprep.entering.plan import Take
from entryprep.entering.season import Entered, Season
from entryprep.records.batch import Batch
from entryprep.records.bottles import Bottle, filled
from entryprep.records.competition import BottleRules
from entryprep.tables.bottles import bottle_types

ROUNDING = 0.02  # 12 fl oz are 354.9 ml and 355 ml on the label: a size within 2 % of a limit is at the limit


def bottle_objections(bottle: Bottle, rules: BottleRules) -> tuple[str, ...]:
    """Why a competition refuses a bottle: size, glass, closure, embossed, printed, caps, diameter, height."""
    objections = []
    if rules.size is not None:
        low, high = rules.size
        if not low * (1 - ROUNDING) <= bottle.size_ml <= high * (1 + ROUNDING):
            objections.append("size")
    if rules.glass and bottle.glass not in rules.glass:
        objections.append("glass")
    if rules.closures and bottle.closure not in rules.closures:
        objections.append("closure")
    if bottle.embossed and not rules.embossed:
        objections.append("embossed")
    if bottle.printed and not rules.printed:
        objections.append("printed")
    if bottle.caps == "printed" and rules.printed_caps == "refused":
        objections.append("caps")
    if rules.diameter is not None and bottle.diameter_mm > rules.diameter:
        objections.append("diameter")
    if rules.height is not None and bottle.height_mm > rules.height:
        objections.append("height")
    return tuple(objections)


def needed(entered: Entered) -> int:
    """Bottles the competition wants of an entry."""
    return entered.competition.bottles.count


def stock_of(entered: Entered) -> list[Bottle]:
    """The bottles of an entry's batch, in the record's order; kinds of bottle that are not in the table left out."""
    known = bottle_types()
    return [filled(bottles) for bottles in entered.batch.bottles if bottles.type in known]


def spare(batch: Batch) -> int:
    """Bottles of a batch that may be sent: all kinds together, without those that are kept back."""
    return max(sum(kind.count for kind in batch.bottles if kind.type in bottle_types()) - batch.keep, 0)


def allocate(season: Season) -> dict[int, tuple[Take, ...]]:
    """The bottles each entry takes, by the entry's index, in the order of entries.yaml across all competitions.

    An entry takes bottles of one kind if it can, so that they look alike; otherwise of as few kinds as it can; fewer
    than it needs where the cellar holds no more beside those that the batch keeps back. Only bottles the competition
    allows are taken, and first those that the fewest later entries may use, so that a stricter competition still finds
    its own. Linear in entries.
    """
    stock = {e.batch_id: stock_of(e) for e in {e.batch_id: e for e in season.entered}.values()}
    left = {batch_id: [bottle.count for bottle in bottles] for batch_id, bottles in stock.items()}
    sendable = {e.batch_id: spare(e.batch) for e in season.entered}
    usable = {e.index: _usable(e, stock[e.batch_id]) for e in season.entered}
    later = {batch_id: [0] * len(bottles) for batch_id, bottles in stock.items()}
    for entered in season.entered:
        for i in usable[entered.index]:
            later[entered.batch_id][i] += 1
    takes: dict[int, tuple[Take, ...]] = {}
    for entered in season.entered:
        rivals, counts = later[entered.batch_id], left[entered.batch_id]
        for i in usable[entered.index]:
            rivals[i] -= 1
        order = sorted(usable[entered.index], key=rivals.__getitem__)  # stable: then as the record lists them
        wanted = min(needed(entered), sendable[entered.batch_id])
        takes[entered.index] = _taken(stock[entered.batch_id], counts, order, wanted)
        sendable[entered.batch_id] -= sum(take.count for take in takes[entered.index])
    return takes


def _usable(entered: Entered, bottles: list[Bottle]) -> list[int]:
    return [i for i, bottle in enumerate(bottles) if not bottle_objections(bottle, entered.competition.bottles)]


def _taken(bottles: list[Bottle], counts: list[int], usable: list[int], wanted: int) -> tuple[Take, ...]:
    """Take from one kind if one has enough, else from the fullest first; ``counts`` is lowered by what is taken."""
    whole = next((i for i in usable if counts[i] >= wanted), None)
    order = [whole] if whole is not None else sorted(usable, key=lambda i: -counts[i])
    taken = []
    for i in order:
        number = min(counts[i], wanted)
        if number > 0:
            counts[i] -= number
            wanted -= number
            taken.append(_take(bottles[i], number))
    return tuple(taken)


def _take(bottle: Bottle, count: int) -> Take:
    return Take(
        bottle_type=bottle.type.id,
        count=count,
        size_ml=bottle.size_ml,
        full_g=bottle.full_g,
        diameter_mm=bottle.diameter_mm,
        height_mm=bottle.height_mm,
    )
