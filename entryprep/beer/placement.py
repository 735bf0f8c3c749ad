"""What to enter a beer as, in one answer: the style, on which base, how sure, and what would tip it.

The brewer's word stands: a declared style is kept unless the beer is far more likely another (:func:`elsewhere`), and
of a name that means several the likeliest is taken. Where nothing is declared the ranking decides; the rules have leant
on it, and say why. Nothing else that is printed names another place.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from entryprep.beer.questions import pulls
from entryprep.beer.ranking import CLOSE
from entryprep.beer.traits import CULTURED
from entryprep.tables.style import Style
from entryprep.text import either

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer

# share of all styles from which a place is called so
CLEAR, LIKELY, PERHAPS = 0.9, 0.6, 0.35
NONE_OF_THESE = 0.5
# a declared style with less than this part of the first style's share is given up, if it fits less than this, of 100
FAR_LESS, POOR_FIT, ALTERNATIVES = 0.1, 50.0, 3
_NAMED_SHARE = 0.01

Share = tuple[Style, float]


@dataclass(frozen=True)
class Placement:
    """The answer. ``style`` is None where the beer is most likely none of the styles; shares are 0 to 1.

    ``declared``: it is the style the brewer declared, or one that the declared name may mean. ``tied``: ``runner_up``
    is as good an answer. ``base`` names what it stands on, for a style that needs one; ``why`` is the reason and
    ``tip`` what would bring ``runner_up`` to the top, each in a few words, perhaps empty. ``said`` is the declared name
    as it was written, or its style's; ``how`` it was read, as of a style's name.
    """

    style: Style | None
    share: float
    base: str
    why: str
    runner_up: Style | None
    runner_up_share: float
    tip: str
    declared: bool = False
    tied: bool = False
    said: str = ""
    how: str = "missing"

    @property
    def sure(self) -> str:
        """How sure the answer is, in words."""
        if self.declared and self.runner_up_share > self.share:
            return "as declared"
        if self.share >= CLEAR:
            return "clearly"
        if self.share >= LIKELY:
            return "most likely"
        return "perhaps" if self.share >= PERHAPS else "too close to call"

    @property
    def styles(self) -> tuple[Style, ...]:
        """The style, and the one that is as good; empty where it is none."""
        tied = (self.runner_up,) if self.tied else ()
        return tuple(style for style in (self.style, *tied) if style is not None)

    @property
    def named(self) -> str:
        """``American Porter``, or two names where the second is as good; empty where it is none of the styles."""
        return either([style.name for style in self.styles])

    @property
    def line(self) -> str:
        """``Enter as Fruit Beer on a base of American porter: most likely (72 %).``"""
        if self.style is None:
            return f"Most likely none of these styles ({self.share:.0%}).{self._unread}"
        base = f" on a base of {self.base}" if self.base else ""
        shares = f"{self.share:.0%} and {self.runner_up_share:.0%}" if self.tied else f"{self.share:.0%}"
        sure = f" ({shares})" if self.sure == "as declared" else f": {self.sure} ({shares})"
        return f"Enter as {self.named}{base}{self._beside_declared}{sure}.{self._unread}"

    @property
    def _beside_declared(self) -> str:
        """How the answer stands to what was declared, as it goes on after the style's name."""
        if self.how == "unsettled" and self.declared:
            return f", which “{self.said}” may mean"
        if self.declared:
            return ", as declared"
        return f", not the declared {self.said}" if self.how in {"named", "read", "unsettled"} else ""

    @property
    def _unread(self) -> str:
        return f" “{self.said}” is no style of the table." if self.how == "unknown" else ""

    @property
    def next_line(self) -> str:
        """``Next: Specialty Fruit Beer (15 %), if the malt is grainy.``; empty where nothing else is worth naming."""
        if self.runner_up is None or self.style is None:
            return ""
        tip = f", {self.tip}" if self.tip else ""
        if self.tied:
            return f"Rather {self.runner_up.name}{tip}." if tip else ""
        first = "Its numbers and traits rather say" if self.sure == "as declared" else "Next:"
        return f"{first} {self.runner_up.name} ({self.runner_up_share:.0%}){tip}."


def placed(beer: Beer) -> Placement:
    """What to enter a beer as: the answer of every command, paper and page."""
    ranking, said = beer.ranking, beer.style_named
    meant = said.candidates if said.how in {"named", "read", "unsettled"} else None
    pool = [(s, share) for s, share in ranking.shares if meant is None or s.id in meant]
    better = elsewhere(beer, pool[0][0]) if meant is not None and pool else ()
    kept = meant is not None and bool(pool) and not better
    holds = kept and (pool[0][0].id in beer.route.to or not poor(beer, pool[0][0]))
    if not pool or (ranking.none_share > NONE_OF_THESE and not holds):
        return Placement(None, ranking.none_share, "", "", None, 0.0, "", said=_said(beer), how=said.how)
    pool = list(better) or pool
    (style, share), *others = pool
    tied = said.style is None and bool(others) and share < LIKELY and others[0][1] * CLOSE >= share > 0
    rest = others if tied else [pair for pair in ranking.shares if pair[0] is not style]
    runner_up, its_share = rest[0] if rest and rest[0][1] >= _NAMED_SHARE else (None, 0.0)
    base = (beer.base.name if beer.base is not None else beer.base_name) if style.follows_base else ""
    tip = _tip(beer, style, runner_up)
    level = tied and bool(runner_up)
    why = _why(beer, style)
    return Placement(style, share, base, why, runner_up, its_share, tip, kept, level, _said(beer), said.how)


def _said(beer: Beer) -> str:
    said = beer.style_named
    return said.style.name if said.style is not None else said.text[:60]


def elsewhere(beer: Beer, style: Style) -> Sequence[Share]:
    """The styles a beer is far more likely than this one, if it fits it poorly or its additions do not belong there.

    At most three, with their shares, likeliest first; empty where it may stay. A poor fit to a declared base does not
    count: the base is then to be mended, and not the style.
    """
    if not poor(beer, style) and not astray(beer, style):
        return ()
    shares = beer.ranking.shares
    own = next((share for each, share in shares if each.id == style.id), 0.0)
    if not shares or own >= FAR_LESS * shares[0][1]:
        return ()
    least = max(own / FAR_LESS, FAR_LESS * shares[0][1])
    likely = (pair for pair in shares[:ALTERNATIVES] if pair[1] > least)
    return tuple(pair for pair in likely if not poor(beer, pair[0]))


def poor(beer: Beer, style: Style) -> bool:
    """Whether a beer fits a style poorly by the style's own ranges."""
    result = beer.fit(style)
    return result.base is None and result.score is not None and result.score < POOR_FIT


def by_fit(beer: Beer, styles: Iterable[Style]) -> list[tuple[Style, float | None]]:
    """Styles with a beer's fit to each, best first; those that cannot be compared stand last, in their order."""
    scored = [(style, beer.fit(style).score) for style in styles]
    return sorted(scored, key=lambda pair: 1.0 if pair[1] is None else -pair[1])


def astray(beer: Beer, style: Style) -> bool:
    """Whether what was added sends a beer to other styles, or is not there that a special style lives by."""
    return bool(misplaced(beer, style)) or (style.specialty and beer.kinds is not None and not made_for(beer, style))


def misplaced(beer: Beer, style: Style) -> tuple[str, ...]:
    """The kinds of addition for which the rules send a beer elsewhere than to a style; empty where it may stay."""
    sent = beer.route
    if not sent.to or style.id in sent.to:
        return ()
    told = tuple(kind for kind in beer.kinds or () if kind in sent.facts and kind not in CULTURED)
    belongs = all(style.knows(thing) for thing in beer.things or () if thing.kind in told)
    return () if belongs and made_for(beer, style) else told


def made_for(beer: Beer, style: Style) -> bool:
    """Whether a beer has all that a style lives by; of a beer whose fermentation is not known, but for cultures."""
    kinds = {*(beer.kinds or ()), *(() if beer.traits.get("fermentation") else CULTURED)}
    return set(style.takes) <= kinds and (not style.takes_any or bool(set(style.takes_any) & kinds))


def _why(beer: Beer, style: Style) -> str:
    """The rule that sends it there, or that a plain style has what was added by tradition."""
    if style.id in beer.route.to:
        return beer.route.why
    own = beer.own_to(style)
    return f"{own} belongs to it by tradition" if own else ""


def _tip(beer: Beer, style: Style, other: Style | None) -> str:
    """What would bring the second to the top: the answer to a question, or what speaks for it already."""
    if other is None:
        return ""
    for question in beer.questions:
        for value, speaks_for, _ in question.answers:
            if speaks_for.id == other.id:
                return question.tip(value)
    own = [pull.what for pull in pulls(beer.vitals, beer.traits, style, other) if pull.towards.id == other.id]
    return f"for which its {own[0]} speaks" if own else ""
