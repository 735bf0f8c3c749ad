"""What the parts of a blend make together, by volume, alcohol and extract."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from entryprep.brewing.contents import Contents, beer
from entryprep.errors import EntryprepError
from entryprep.measures import beer_volume
from entryprep.records.batch import Batch
from entryprep.vitals import Reading, Vitals

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer


class BlendError(EntryprepError, ValueError):
    """A blend that cannot be worked out: an unknown batch, too little known of one, or a circle; ``fix`` says more."""


def parts_of(batch: Batch, lookup: Callable[[str], Beer | None] | None) -> dict[str, Vitals]:
    """The parts of a blend as served, by the ids that ``lookup`` finds them by; what it does not find is left out.

    Raises BlendError for a blend of itself.
    """
    find = lookup or (lambda _: None)
    waiting: list[tuple[str, ...]] = [(part.batch,) for part in batch.blend]
    seen = set[str]()
    while waiting:
        chain = waiting.pop()
        name = chain[-1]
        found = None if name in seen else find(name)
        seen.add(name)
        if found is not None and found.batch is not None:
            if found.batch is batch:
                circle = " from ".join((name, *chain))
                raise BlendError(f"the blend runs in a circle: {circle}", "a beer cannot be blended from itself")
            waiting += [(*chain, part.batch) for part in found.batch.blend]
    beers = {part.batch: find(part.batch) for part in batch.blend}
    return {name: beer.vitals_in_blend for name, beer in beers.items() if beer is not None}


def blended(batch: Batch, parts: Mapping[str, Vitals]) -> dict[str, Reading]:
    """Vitals of the parts of a blend together; ``parts`` are the beers as served, by the ids of their batches.

    Raises BlendError for a part that is not there, has no volume, or of which the gravities are not both known.
    """
    whole = Contents(0.0, 0.0, 0.0)
    squares = dict.fromkeys(("og", "fg", "abv", "ibu", "srm"), 0.0)
    complete = {"ibu", "srm"}
    for part in batch.blend:
        if part.volume <= 0:
            raise BlendError(f"of {part.batch} {beer_volume(0.0)} went in", "give the volume of each part")
        if part.batch not in parts:
            raise BlendError(f"there is no batch {part.batch}", "name its file in batches/, without .yaml")
        known = parts[part.batch].known
        if not {"og", "fg"} <= known.keys():
            raise BlendError(
                f"of {part.batch} original and final gravity are not both known", "measure them, or give a recipe"
            )
        values = {n: known[n].value if n in known else 0.0 for n in ("og", "fg", "ibu", "srm")}
        whole = whole.plus(beer(part.volume, **values))
        complete &= known.keys()
        for name in squares:
            if name in known:
                squares[name] += (part.volume * (known[name].error or 0.0)) ** 2
    vitals = whole.vitals()
    wanted = ("og", "fg", "abv", *sorted(complete))
    return {n: Reading(vitals[n], math.sqrt(squares[n]) / whole.volume_l, "blended") for n in wanted}
