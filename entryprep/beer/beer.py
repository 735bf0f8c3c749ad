"""A batch put together for the ranking: vitals as served and underneath, what can be tasted, where rules send it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from entryprep.beer.dosing import Verdict, verdicts
from entryprep.beer.fitting import Fit, fit
from entryprep.beer.ranking import Ranking, rank
from entryprep.beer.readings import batch_vitals
from entryprep.beer.routing import Route, batch_facts, facts_of_kinds, leaning, route, told_kinds
from entryprep.beer.underneath import Underneath, underneath
from entryprep.records.batch import Batch
from entryprep.tables.routing import RoutingRule
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable
from entryprep.vitals import Vitals


@dataclass(frozen=True)
class Assessed:
    """A beer ready to be ranked. ``under`` is None where nothing was added that changes its vitals."""

    vitals: Vitals
    traits: dict[str, str]
    kinds: tuple[str, ...] | None
    base: Style | None
    route: Route
    verdicts: tuple[Verdict, ...] = ()
    under: Underneath | None = None
    problem: str = ""

    @property
    def base_vitals(self) -> Vitals | None:
        """Vitals of the beer underneath, or None where they are those of the beer."""
        return self.under.base if self.under is not None and self.under.changed else None

    def ranked(self, table: StyleTable, styles: Sequence[Style] | None = None, base: Style | None = None) -> Ranking:
        """All styles, or some of them, ranked for the beer; the routing rules lean where anything is known.

        ``base`` outranks the batch's own, as where an entry declares another.
        """
        choices, under = tuple(table) if styles is None else tuple(styles), base or self.base
        factors = leaning(self.route, choices, under) if self.kinds is not None else None
        return rank(self.vitals, self.traits, choices, self.kinds, under, self.base_vitals, factors)

    def fit(self, style: Style, base: Style | None = None) -> Fit:
        """Fit to a style: of the beer underneath where the style's vitals follow its base; ``base`` as for ranking."""
        under = base or self.base
        follows = style.specialty and not style.ranges and under is not None
        return fit(self.base_vitals or self.vitals if follows else self.vitals, style, under)


def assessed(batch: Batch, base: Style | None = None, own_rules: Sequence[RoutingRule] = ()) -> Assessed:
    """Put a batch together; ``base`` is its declared base style, ``own_rules`` a competition's routing.

    Amounts that no beer could hold leave the vitals as they were read, and stand in ``problem``. Raises QuantityError
    where measured and predicted gravities contradict each other.
    """
    problem = ""
    under: Underneath | None = None
    try:
        under = underneath(batch)
        vitals = under.served
    except ValueError as error:  # QuantityError of the readings is one too: batch_vitals raises it again
        problem = str(error)
        vitals = batch_vitals(batch)
    traits = batch.traits.model_dump(exclude_none=True)
    facts = batch_facts(batch, base)
    found = route(facts, own_rules)
    return Assessed(vitals, traits, told_kinds(batch, base), base, found, verdicts(batch), under, problem)


def assessed_numbers(
    vitals: Vitals, traits: dict[str, str], kinds: tuple[str, ...] | None, base: Style | None = None
) -> Assessed:
    """A beer of which only vitals, traits and kinds of addition are known."""
    facts = facts_of_kinds(kinds or (), base)
    if traits.get("fermentation") == "wild" and kinds is not None and "culture" not in kinds:
        kinds = (*kinds, "culture")
        facts |= {"culture"}
    return Assessed(vitals, traits, kinds, base, route(facts))
