"""What the parts of a blend make together, by volume, alcohol and extract."""

from __future__ import annotations

import math
from collections.abc import Mapping

from entryprep.brewing.contents import Contents, beer
from entryprep.errors import EntryprepError
from entryprep.records.batch import Batch
from entryprep.vitals import Reading, Vitals


class BlendError(EntryprepError, ValueError):
    """A blend that cannot be worked out: an unknown batch, too little known of one, or a circle; ``fix`` says more."""


def blended(batch: Batch, parts: Mapping[str, Vitals]) -> dict[str, Reading]:
    """Vitals of the parts of a blend together; ``parts`` are the beers as served, by the ids of their batches.

    Raises BlendError for a part that is not there, has no volume, or of which the gravities are not both known.
    """
    whole = Contents(0.0, 0.0, 0.0)
    squares = dict.fromkeys(("og", "fg", "abv", "ibu", "srm"), 0.0)
    complete = {"ibu", "srm"}
    for part in batch.blend:
        if part.volume <= 0:
            raise BlendError(f"of {part.batch} 0 L went in", "give the volume of each part")
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
