"""Where to enter a beer, in one answer: the style, on which base, how sure, and what would tip it.

The ranking decides; the rules have leant on it, and say why. Nothing else that is printed names another place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from entryprep.beer.questions import Pull, Question
from entryprep.beer.ranking import Ranking
from entryprep.beer.routing import Route
from entryprep.tables.style import Style

# share of all styles from which a place is called so
CLEAR, LIKELY, PERHAPS = 0.9, 0.6, 0.35
NONE_OF_THESE = 0.5


@dataclass(frozen=True)
class Placement:
    """The answer. ``style`` is None where the beer is most likely none of the styles; shares are 0 to 1.

    ``base`` names what it stands on, for a style that needs one; ``why`` is the reason and ``tip`` what would bring
    ``runner_up`` to the top, each in a few words, perhaps empty.
    """

    style: Style | None
    share: float
    base: str
    why: str
    runner_up: Style | None
    runner_up_share: float
    tip: str

    @property
    def sure(self) -> str:
        """How sure the answer is, in words."""
        if self.share >= CLEAR:
            return "clearly"
        if self.share >= LIKELY:
            return "most likely"
        return "perhaps" if self.share >= PERHAPS else "too close to call"

    @property
    def line(self) -> str:
        """``Enter as Fruit Beer on a base of American porter: most likely (72 %).``"""
        if self.style is None:
            return f"Most likely none of these styles ({self.share:.0%})."
        base = f" on a base of {self.base}" if self.base else ""
        return f"Enter as {self.style.name}{base}: {self.sure} ({self.share:.0%})."

    @property
    def next_line(self) -> str:
        """``Next: Specialty Fruit Beer (15 %), if the malt is grainy.``; empty where nothing else is worth naming."""
        if self.runner_up is None or self.style is None:
            return ""
        return f"Next: {self.runner_up.name} ({self.runner_up_share:.0%}){f', {self.tip}' if self.tip else ''}."


def placed(
    ranking: Ranking,
    route: Route,
    base: str,
    questions: tuple[Question, ...],
    pulls: tuple[Pull, ...],
    belonging: Mapping[str, str],
) -> Placement:
    """The answer that follows from a ranking; ``base`` is the base's name, ``pulls`` those between the first two.

    ``belonging`` says for a style's id which of the beer's additions it has by tradition.
    """
    if not ranking.shares or ranking.none_share > NONE_OF_THESE:
        return Placement(None, ranking.none_share, "", "", None, 0.0, "")
    (style, share), *rest = ranking.shares
    runner_up, runner_up_share = rest[0] if rest and rest[0][1] >= 0.01 else (None, 0.0)
    why = route.why if style.id in route.to else ""
    if not why and belonging.get(style.id):
        why = f"{belonging[style.id]} belongs to it by tradition"
    needs = base if style.specialty and not style.ranges else ""
    return Placement(style, share, needs, why, runner_up, runner_up_share, _tip(runner_up, questions, pulls))


def _tip(other: Style | None, questions: tuple[Question, ...], pulls: tuple[Pull, ...]) -> str:
    """What would bring the second to the top: the answer to a question, or what speaks for it already."""
    if other is None:
        return ""
    for question in questions:
        for value, speaks_for, _ in question.answers:
            if speaks_for.id == other.id:
                return f"if {question.trait.replace('_', ' ')} is {value}"
    own = [pull.what for pull in pulls if pull.towards.id == other.id]
    return f"for which its {own[0]} speaks" if own else ""
