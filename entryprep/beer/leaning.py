"""What leans on the ranking of a beer besides its numbers: the rules on additions, and what it is declared as."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from entryprep.beer.likelihood import PRIORS
from entryprep.beer.ranking import Ranking, rank_styles
from entryprep.tables.style import Style

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer

# how much likelier a style is that a beer is declared as, or that its declared name may mean (an assumption)
DECLARED = 4.0
IN_ITS_WORDS = 10.0  # and one whose own word for its strength or colour is used, as "double" is of a rye IPA


def ranked(beer: Beer, among: Iterable[Style] | None = None) -> Ranking:
    """Styles by share; the base under a special beer may be any of the table, whichever are ranked."""
    styles = tuple(beer.table)
    factors = None
    if beer.kinds is not None:
        from entryprep.beer.routing import leaning  # noqa: PLC0415 - only what was added needs the rules

        factors = leaning(beer.route, styles, beer.base, beer.things or (), beer.base_named.style is not None)
    factors = leant_to_name(beer, factors)
    soft = {each.trait: each.chances for each in beer.inferred}
    known = (beer.vitals, beer.traits, styles, beer.things, beer.base, beer.base_vitals, factors, soft)
    said = beer.batch.declare.get("strength") if beer.batch is not None else None
    freed = [style.id for style in styles if said in style.in_words.get("strength", ())] if said else ()
    return rank_styles(*known, among, freed)


def leant_to_name(beer: Beer, factors: dict[str, float] | None) -> dict[str, float] | None:
    """Factors with what is declared in them: its name speaks for the styles it may mean, however rare they are.

    So does a strength or a colour in a style's own words, which others have no use for.
    """
    said = beer.style_named
    own = [beer.table.styles[i] for i in said.candidates] if said.how in {"named", "read", "unsettled"} else []
    if beer.base is not None and beer.base in own:
        own = []  # it is the base that is meant
    words = {str(item): told for item, told in beer.batch.declare.items()} if beer.batch is not None else {}
    if not own and not words:
        return factors
    leant = dict(factors or {})
    for style in own:
        leant[style.id] = leant.get(style.id, 1.0) * DECLARED / PRIORS[style.common]
    for style in beer.table if words else ():
        if any(words.get(item) in known for item, known in style.in_words.items()):
            leant[style.id] = leant.get(style.id, 1.0) * IN_ITS_WORDS
    return leant
