"""Vitals of a beer blended from other batches, by volume, alcohol and extract."""

from __future__ import annotations

import math
from collections.abc import Callable

from entryprep.beer.readings import batch_vitals
from entryprep.brewing.contents import Contents, beer
from entryprep.errors import EntryprepError
from entryprep.records.batch import Batch
from entryprep.vitals import Reading, Vitals

Lookup = Callable[[str], Batch | None]
DEEPEST = 20


class BlendError(EntryprepError, ValueError):
    """A blend that cannot be worked out: an unknown batch, too little known of one, or a circle; ``fix`` says more."""


def blend_vitals(batch: Batch, lookup: Lookup, own_id: str = "") -> Vitals:
    """Vitals of a blend: what was measured of it, and for the rest what its parts make together.

    ``lookup`` finds a batch by its id. Raises BlendError for a part that is not there, has no volume or no gravities,
    or is blended from this very beer; QuantityError as ``batch_vitals``.
    """
    own = {n: r for n, r in batch_vitals(batch).known.items() if r.origin not in {"derived", "recipe"} or n == "co2"}
    found = _blend(batch, lookup, (own_id,) if own_id else ())
    settled = {"og", "fg", "abv"} & own.keys()
    drop = {"og", "fg", "abv"} if len(settled) >= 2 else {"abv"} if settled else set()
    return Vitals(**{**{n: r for n, r in found.items() if n not in drop}, **own})


def _blend(batch: Batch, lookup: Lookup, path: tuple[str, ...]) -> dict[str, Reading]:
    whole = Contents(0.0, 0.0, 0.0)
    squares = dict.fromkeys(("og", "fg", "abv", "ibu", "srm"), 0.0)
    complete = {"ibu", "srm"}
    for part in batch.blend:
        if part.volume <= 0:
            raise BlendError(f"of {part.batch} 0 L went in", "give the volume of each part")
        known = _part(part.batch, lookup, path)
        values = {n: known[n].value if n in known else 0.0 for n in ("og", "fg", "ibu", "srm")}
        whole = whole.plus(beer(part.volume, **values))
        complete &= known.keys()
        for name in squares:
            if name in known:
                squares[name] += (part.volume * (known[name].error or 0.0)) ** 2
    vitals = whole.vitals()
    wanted = ("og", "fg", "abv", *sorted(complete))
    return {n: Reading(vitals[n], math.sqrt(squares[n]) / whole.volume_l, "blended") for n in wanted}


def _part(batch_id: str, lookup: Lookup, path: tuple[str, ...]) -> dict[str, Reading]:
    if batch_id in path or len(path) > DEEPEST:
        circle = " from ".join([*path, batch_id])
        raise BlendError(f"the blend runs in a circle: {circle}", "a beer cannot be blended from itself")
    batch = lookup(batch_id)
    if batch is None:
        raise BlendError(f"there is no batch {batch_id}", "name its file in batches/, without .yaml")
    known = dict(batch_vitals(batch).known)
    if batch.blend and not {"og", "fg"} <= known.keys():
        known = _blend(batch, lookup, (*path, batch_id))
    if not {"og", "fg"} <= known.keys():
        raise BlendError(
            f"of {batch_id} original and final gravity are not both known", "measure them, or give a recipe"
        )
    return {**known}
