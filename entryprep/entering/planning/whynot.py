"""Why an entry is not in the plan: what stands in its way there, and what stands there instead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from entryprep.entering.planning.candidates import Candidate, Options, Out, factors
from entryprep.entering.planning.model import Terms
from entryprep.entering.planning.sending import sending_cost
from entryprep.entering.season import Season
from entryprep.text import listed, several

_NOTHING = 1e-9


def left_out(
    season: Season, options: Options, terms: Terms, chosen: Sequence[Candidate], spent: float
) -> tuple[Out, ...]:
    """For each beer and competition of which no candidate was chosen, the reason of its best one.

    ``spent`` is all the money of the plan. A candidate that nothing stands against is worth less than it costs, or what
    it would bring is less than what it would push out. In the order of competitions and batches.
    """
    pairs = {(candidate.batch_id, candidate.competition_id) for candidate in (*chosen, *options.entered)}
    best: dict[tuple[str, str], Candidate] = {}
    for candidate in options.candidates:
        pair = (candidate.batch_id, candidate.competition_id)
        if pair not in pairs and (pair not in best or candidate.standing > best[pair].standing):
            best[pair] = candidate
    asked = _Asked(season, options, terms, chosen, spent)
    found = {(out.batch_id, out.competition_id): out for out in options.refused}
    found |= {pair: asked.reason(candidate) for pair, candidate in best.items()}
    return tuple(found[b, c] for b in season.batches for c in season.competitions if (b, c) in found)


class _Asked:
    """A plan that is asked about one candidate after the other; its sums are made once."""

    def __init__(
        self, season: Season, options: Options, terms: Terms, chosen: Sequence[Candidate], spent: float
    ) -> None:
        self.season, self.options, self.terms, self.spent = season, options, terms, spent
        self.chosen = chosen
        self.sent = {
            c: options.sent_bottles[c] + sum(x.bottles for x in chosen if x.competition_id == c) for c in options.days
        }
        self.sent_kg = {
            c: options.sent_kg[c] + sum(x.bottles * self.kg(x) for x in chosen if x.competition_id == c)
            for c in options.days
        }

    def kg(self, candidate: Candidate) -> float:
        """Mass of one bottle of the candidate: its lightest that the competition takes."""
        cellar = self.options.cellars[candidate.batch_id]
        usable = self.options.usable[candidate.batch_id, candidate.competition_id]
        return min(cellar.kinds[i].full_g for i in usable) / 1000

    def reason(self, candidate: Candidate) -> Out:
        """Why a candidate was not chosen."""
        kind, words = self._way(candidate)
        words = f"{candidate.category} ({factors(candidate)}): {words}"
        return Out(candidate.batch_id, candidate.competition_id, candidate.category, kind, words, candidate.standing)

    def _way(self, candidate: Candidate) -> tuple[str, str]:
        bottles, limits = self._bottles(candidate), self._limits(candidate)
        money = self._money(candidate)
        if limits and not bottles:
            return "limit", limits
        if bottles:
            return "bottles", "; ".join(part for part in (bottles, limits) if part)
        if money:
            return "money", money
        return "crowded", "what it brings is less than what it would push out of the boxes or the cellar"

    def _bottles(self, candidate: Candidate) -> str:
        cellar = self.options.cellars[candidate.batch_id]
        own = [x for x in self.chosen if x.batch_id == candidate.batch_id]
        usable = set(self.options.usable[candidate.batch_id, candidate.competition_id])
        left = cellar.available - sum(x.bottles for x in own)
        # kinds that only this competition's rivals for the same bottles can use
        inside = [x for x in own if set(self.options.usable[x.batch_id, x.competition_id]) <= usable]
        left = min(left, sum(cellar.free[i] for i in usable) - sum(x.bottles for x in inside))
        if left >= candidate.bottles:
            return ""
        kept = f", {cellar.keep} kept back" if cellar.keep else ""
        short = f"{several(max(left, 0), 'bottle', none='no')} left{kept}, {candidate.bottles} wanted"
        return f"{short}; crowded out by {self._named(own)}" if own else short

    def _limits(self, candidate: Candidate) -> str:
        c = candidate.competition_id
        competition = self.season.competitions[c]
        there = [x for x in (*self.options.entered, *self.chosen) if x.competition_id == c]
        count = sum(e.competition_id == c for e in self.season.entered)
        count += sum(x.competition_id == c for x in self.chosen)
        category = next(k for k in competition.categories if k.code == candidate.category)
        limit = category.limit_per_brewer or competition.limits.per_category
        own = [x for x in there if x.category == candidate.category]
        if len(own) >= limit:
            return f"it takes {several(limit, 'entry', 'entries')} of a brewer; crowded out by {self._named(own)}"
        most = competition.limits.per_brewer
        if most is not None and count >= most:
            least = sorted(there, key=lambda x: x.standing)[:1]
            weakest = f", of which {self._named(least)} brings least ({least[0].standing:.2f})" if least else ""
            return f"the competition takes {several(most, 'entry', 'entries')} of a brewer{weakest}"
        return ""

    def _money(self, candidate: Candidate) -> str:
        c, kinds = candidate.competition_id, self.terms.boxes[candidate.competition_id]
        more = sending_cost(
            kinds, self.sent[c] + candidate.bottles, self.sent_kg[c] + candidate.bottles * self.kg(candidate)
        )
        extra = candidate.fee + more - sending_cost(kinds, self.sent[c], self.sent_kg[c])
        if self.terms.budget is not None and self.spent + extra > self.terms.budget + _NOTHING:
            return f"it costs {extra:.2f}, and {max(self.terms.budget - self.spent, 0):.2f} of the budget is left"
        if candidate.standing - self.terms.weight * extra <= _NOTHING:
            return f"it costs {extra:.2f}, and stands for {candidate.standing:.2f}: not worth the money"
        return ""

    def _named(self, candidates: Sequence[Candidate]) -> str:
        names = {x: self.season.batches[x.batch_id].name for x in candidates}
        return listed([f"{name} in {x.competition_id} {x.category}" for x, name in names.items()], 4)


def by_reason(outs: Sequence[Out]) -> Mapping[str, list[Out]]:
    """Those left out by beer, in order."""
    groups: dict[str, list[Out]] = {}
    for out in outs:
        groups.setdefault(out.batch_id, []).append(out)
    return groups
