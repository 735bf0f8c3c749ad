"""Split batches: several beers of one wort, of which only one record says what went into the kettle."""

from __future__ import annotations

from collections.abc import Callable

from entryprep.errors import EntryprepError
from entryprep.records.batch import Addition, Batch

KETTLE = frozenset({"mash", "boil", "whirlpool"})  # stages at which the wort is still one
_OF_THE_WORT = {"measured": ("og", "ibu", "srm"), "predicted": ("og", "ibu", "srm")}


class WortError(EntryprepError):
    """A wort that leads nowhere, or back to where it began; ``fix`` says how to mend it."""


def with_wort(batch_id: str, batch: Batch, lookup: Callable[[str], Batch | None]) -> Batch:
    """A batch with what it shares with the batch of its wort; any other batch as it is.

    Shared are brew day, recipe, original gravity, bitterness, colour, and additions of the kettle, in proportion where
    both volumes are known; what the batch says itself stays. ``lookup`` finds batches as they are written. Raises
    WortError.
    """
    chain, own = [batch_id], batch
    worts: list[Batch] = []
    while own.wort is not None:
        if own.wort in chain:
            raise WortError(f"the wort runs in a circle: {' from '.join([*chain, own.wort])}", "name it in one of them")
        found = lookup(own.wort)
        if found is None:
            raise WortError(f"there is no batch {own.wort} that can be read", "name a file in batches/, without .yaml")
        chain.append(own.wort)
        worts.append(found)
        own = found
    for source in worts:
        batch = _shared(batch, source)
    return batch


def _shared(batch: Batch, source: Batch) -> Batch:
    update: dict[str, object] = {}
    if batch.dates.brewed is None and source.dates.brewed is not None:
        update["dates"] = batch.dates.model_copy(update={"brewed": source.dates.brewed})
    if batch.recipe is None and source.recipe is not None:
        recipe = source.recipe
        # its amounts are those of the whole wort, not of the part that became this beer
        update["recipe"] = recipe if recipe.volume else recipe.model_copy(update={"volume": source.volume})
    said = {name for part in _OF_THE_WORT for name in _OF_THE_WORT[part] if getattr(getattr(batch, part), name)}
    for part, names in _OF_THE_WORT.items():
        from_source = {name: getattr(getattr(source, part), name) for name in names if name not in said}
        known = {name: value for name, value in from_source.items() if value is not None}
        if known:
            update[part] = getattr(batch, part).model_copy(update=known)
    kettle = [_part(each, batch, source) for each in source.additions or () if each.stage in KETTLE]
    if kettle:
        update["additions"] = [*kettle, *(batch.additions or ())]
    return batch.model_copy(update=update) if update else batch


def _part(addition: Addition, batch: Batch, source: Batch) -> Addition:
    """What of an addition to the whole wort is in this beer; amounts that nobody can know are left out."""
    share = batch.volume / source.volume if batch.volume and source.volume else None
    amounts = {name: getattr(addition, name) for name in ("mass", "volume", "count")}
    parts = {name: value * share if share else None for name, value in amounts.items() if value is not None}
    return addition.model_copy(update=parts)
