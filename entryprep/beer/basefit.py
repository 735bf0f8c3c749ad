"""Does the declared base hold? The beer underneath against it, and base styles that fit better."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.beer.beer import Beer
from entryprep.beer.fitting import Fit, best_first
from entryprep.beer.ranking import rank_styles
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable

LEAST_FIT = 25.0  # to the best style of a base that leaves several open
HOLDS = 50.0  # a fit of 100 from which a base is said to hold
BETTER_BY = 10.0
GOOD = 90.0  # a fit of 100 from which no better base is looked for
ALTERNATIVES = 3


@dataclass(frozen=True)
class BaseFit:
    """The declared base (a style, or the styles of a family) and likely base styles that fit better, best fit first.

    ``refused`` says why the declared base cannot be one; ``holds`` whether it fits.
    """

    declared: tuple[Fit, ...]
    better: tuple[Fit, ...]
    refused: str = ""

    @property
    def holds(self) -> bool:
        """Whether the declared base, or one style of the declared family, fits the beer underneath."""
        score = self.declared[0].score if self.declared else None
        return not self.refused and score is not None and score >= HOLDS


def base_styles(table: StyleTable) -> list[Style]:
    """The styles that may be a base: all but the specialty categories."""
    return [style for style in table if not style.specialty]


def refused_as_base(name: str, style: Style | None) -> str:
    """Why a style cannot be the base of another, or nothing."""
    if style is not None and style.specialty:
        return f"{name} is a specialty category itself: name the classic style, or the family, underneath"
    return ""


def base_problem(style: Style | None, base: Style | None, may_be_special: bool = False) -> str:
    """Why a declared base cannot be that of a declared special style, or nothing.

    ``may_be_special``: the competition lets a specialty category be a base.
    """
    if style is None or base is None or not style.specialty:
        return ""
    if base.id == style.id:
        return f"{base.name} is declared as its own base"
    return "" if may_be_special else refused_as_base(base.name, base)


def family_misfit(beer: Beer, result: Fit) -> dict[str, object] | None:
    """What to say of a fit to a special style on a base that leaves several open, where even the best is a poor one.

    Where it is not poor nothing is said, for nobody declared the style that the vitals are held against: empty. None
    where the base is settled, so that each vital is told of.
    """
    if beer.base is not None or result.base is None:
        return None
    if result.score is None or result.score >= LEAST_FIT:
        return {}
    return {"base": beer.base_named.text, "nearest": result.base.name, "fit": f"{result.score:.0f}"}


def base_fit(beer: Beer) -> BaseFit:
    """Hold the declared base (one style, or all that its name may mean) against the beer underneath.

    Without a declared base only the styles that fit best are given.
    """
    vitals, said = beer.base_vitals or beer.vitals, beer.base_named
    candidates = [] if said.how == "unknown" else [beer.table.styles[i] for i in said.candidates]
    refused = refused_as_base(said.text, said.style)
    declared = sorted((beer.fit_of_base(s) for s in candidates if not s.specialty), key=best_first)
    least = (declared[0].score or 0.0) if declared else 0.0
    # traits of the base are those of the beer, but for what the additions bring
    traits = {n: v for n, v in beer.traits.items() if n not in {"smoke", "clarity"}}
    ranking = rank_styles(vitals, traits, base_styles(beer.table), ())
    own = {result.style.id for result in declared}
    tops = (beer.fit_of_base(s) for s, _ in ranking.shares[: 4 * ALTERNATIVES])
    better = [r for r in tops if r.style.id not in own and r.score is not None and r.score >= least + BETTER_BY]
    kept = sorted(better, key=best_first) if least < GOOD else []
    return BaseFit(tuple(declared[:ALTERNATIVES]), tuple(kept[:ALTERNATIVES]), refused)
