"""The bottles a plan may still use: the stock, less what entries of entries.yaml take, less what is kept back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from entryprep.entering.bottles import bottle_objections
from entryprep.entering.plan import Take
from entryprep.entering.season import Season
from entryprep.records.bottles import Bottle, filled
from entryprep.records.competition import BottleRules
from entryprep.tables.bottles import bottle_types
from entryprep.text import listed, several


@dataclass(frozen=True)
class Cellar:
    """The bottles of a batch: its kinds, of each how many are free, and how many are kept back of all together."""

    kinds: tuple[Bottle, ...]
    free: tuple[int, ...]
    keep: int

    @property
    def available(self) -> int:
        """Bottles that may still be planned."""
        return max(sum(self.free) - self.keep, 0)

    def usable(self, rules: BottleRules) -> tuple[int, ...]:
        """The places of the kinds that a competition takes, whether or not any are free."""
        return tuple(i for i, b in enumerate(self.kinds) if not bottle_objections(b, rules))

    def short_of(self, count: int, rules: BottleRules) -> str:
        """Why ``count`` bottles cannot be sent to a competition with these rules, in words; empty if they can."""
        usable = self.usable(rules)
        fit = sum(self.free[i] for i in usable)
        if min(fit, self.available) >= count:
            return ""
        if not sum(self.free):
            return "no bottles left" if sum(b.count for b in self.kinds) else "no bottles"
        if fit < count:
            objections = dict.fromkeys(o for b in self.kinds if b.count for o in bottle_objections(b, rules))
            refused = f" ({listed(objections)} not taken)" if objections else ""
            return f"{several(fit, 'bottle', none='no')} that it takes, {count} wanted{refused}"
        return f"{several(sum(self.free), 'bottle')}, {self.keep} kept back, {count} wanted"


def cellars(season: Season, takes: Mapping[int, tuple[Take, ...]]) -> dict[str, Cellar]:
    """The free bottles of every batch; ``takes`` are those of the season's entries (``bottles.allocate``)."""
    used: dict[tuple[str, str, float, float], int] = {}
    for entered in season.entered:
        for take in takes[entered.index]:
            key = (entered.batch_id, take.bottle_type, take.size_ml, take.full_g)
            used[key] = used.get(key, 0) + take.count
    found = {}
    for batch_id, batch in season.batches.items():
        kinds = tuple(filled(bottles) for bottles in batch.bottles if bottles.type in bottle_types())
        free = []
        for bottle in kinds:
            key = (batch_id, bottle.type.id, bottle.size_ml, bottle.full_g)
            gone = min(bottle.count, used.get(key, 0))
            used[key] = used.get(key, 0) - gone
            free.append(bottle.count - gone)
        found[batch_id] = Cellar(kinds, tuple(free), batch.keep)
    return found
