"""How much of a beer there is, by its records."""

from __future__ import annotations

from entryprep.records.batch import Batch


def stated_volume(batch: Batch) -> float | None:
    """Litres that the records state: after taking out ice, else the batch's, the recipe's, or the parts' of a blend."""
    if batch.concentrated is not None:
        return batch.concentrated.after
    stated = batch.volume or (batch.recipe.volume if batch.recipe else None)
    return stated or sum(part.volume for part in batch.blend) or None
