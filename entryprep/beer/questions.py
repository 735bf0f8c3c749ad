"""What pulls a beer to which of two styles, and which single unknown fact would decide most.

The expected information of an unknown trait is the mutual information between it and the style, in bits:
I = H(trait) − Σ share · H(trait | style), over the styles that are still likely.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from entryprep.beer.likelihood import EDGE_BLUR, SPAN
from entryprep.beer.membership import chance_inside
from entryprep.beer.ranking import Ranking, counted_vitals
from entryprep.beer.traits import trait_chance, trait_chances
from entryprep.tables.style import TRAITS, Range, Style
from entryprep.vitals import Vitals, stated

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer

LIKELY_SHARE = 0.005  # of the first style's share: what lies below cannot be decided by one trait
MOST_STYLES = 20
STRONG_PULL = 0.35  # natural log of a likelihood ratio: a factor of 1.4
LEAST_BITS = 0.02
# how a trait is asked for: a question, and each value as it is said in an answer
QUESTIONS = {
    "fermentation": "Was it fermented by ale yeast, lager yeast, or wild cultures?",
    "clarity": "Is it bright or hazy?",
    "hops": "How strong are hop aroma and flavour: low, medium or high?",
    "hop_kind": "Which hops lead: neutral, noble, English, or new-world (citrus, tropical, pine)?",
    "malt": "Which malt leads: grainy, bready, toasty, caramel, chocolate or roasted?",
    "yeast": "How does the yeast show: clean, fruity, spicy or funky?",
    "sourness": "How sour is it: not at all, lightly, or markedly?",
    "grain": "Which grain stands out: barley, wheat, rye, oats, or corn and rice?",
    "smoke": "Is there smoke: none, or present?",
}


@dataclass(frozen=True)
class Question:
    """Something unknown, what knowing it is worth in bits, and which style each answer would speak for.

    ``trait`` is a trait's name, or in words what is asked of an addition or the base: ``tips`` and ``beers`` then say
    for each answer the words of "if ..." and the beer that it makes.
    """

    trait: str
    text: str
    bits: float
    answers: tuple[tuple[str, Style, float], ...]
    tips: Mapping[str, str] = field(default_factory=dict)
    beers: Mapping[str, Beer] = field(default_factory=dict, repr=False, compare=False)

    @property
    def values(self) -> tuple[str, ...]:
        """All answers, in their own order."""
        return TRAITS.get(self.trait) or tuple(self.beers)

    def tip(self, value: str) -> str:
        """``if malt is grainy``, ``if you taste the coffee``."""
        return self.tips.get(value) or f"if {self.trait.replace('_', ' ')} is {value}"

    @property
    def settles(self) -> str:
        """``hazy speaks for Hazy IPA, bright for American IPA``; the first two different styles."""
        told: dict[str, str] = {}
        for value, style, _ in self.answers:
            told.setdefault(style.name, value)
        pairs = [f"{value} for {name}" for name, value in list(told.items())[:3]]
        return ", ".join(pairs)


@dataclass(frozen=True)
class Pull:
    """A vital or trait that speaks for one of two styles; ``strength`` is the log of the likelihood ratio."""

    what: str
    towards: Style
    strength: float


def likely(ranking: Ranking) -> tuple[tuple[Style, float], ...]:
    """The styles that one answer could still bring to the top, with their shares, summing to 1."""
    if not ranking.shares:
        return ()
    least = ranking.shares[0][1] * LIKELY_SHARE
    # a specialty category has the traits of its base, whichever that is: no trait tells it from a style
    shares = [pair for pair in ranking.shares[: 2 * MOST_STYLES] if pair[0].ranges or pair[0].traits]
    kept = [pair for pair in shares[:MOST_STYLES] if pair[1] >= least]
    total = sum(share for _, share in kept)
    return tuple((style, share / total) for style, share in kept) if total > 0 else ()


def questions(ranking: Ranking, known: Mapping[str, str]) -> tuple[Question, ...]:
    """The unknown traits worth asking for, the most informative first; ties in the order of the traits."""
    styles = likely(ranking)
    found = []
    if len(styles) > 1:
        for trait in TRAITS:
            if trait not in known:
                asked = _question(trait, styles)
                if asked.bits >= LEAST_BITS:
                    found.append(asked)
    return tuple(sorted(found, key=lambda q: -q.bits))


def _question(trait: str, styles: Sequence[tuple[Style, float]]) -> Question:
    rows = [trait_chances(style, trait) for style, _ in styles]
    chances = dict(zip(TRAITS[trait], zip(*rows, strict=True), strict=True))
    answers = []
    for value, column in chances.items():
        after = [share * chance for (_, share), chance in zip(styles, column, strict=True)]
        total = sum(after)
        best = max(range(len(after)), key=lambda i: after[i])
        answers.append((value, styles[best][0], total))
    answers.sort(key=lambda answer: -answer[2])
    return Question(trait, QUESTIONS[trait], information([s for _, s in styles], chances), tuple(answers))


def information(shares: Sequence[float], chances: Mapping[str, Sequence[float]]) -> float:
    """Expected information, bits, of a fact with the given P(value | style), styles having these shares."""
    bits = 0.0
    for column in chances.values():
        mean = sum(share * chance for share, chance in zip(shares, column, strict=True))
        bits -= _entropy_term(mean)
        bits += sum(share * _entropy_term(chance) for share, chance in zip(shares, column, strict=True))
    return max(0.0, bits)


def entropy(shares: Iterable[float]) -> float:
    """Entropy of shares that sum to 1, bits."""
    return -sum(map(_entropy_term, shares))


def _entropy_term(p: float) -> float:
    return p * math.log2(p) if p > 0 else 0.0


def pulls(vitals: Vitals, traits: Mapping[str, str], one: Style, other: Style) -> tuple[Pull, ...]:
    """The vitals and traits that speak clearly for one of two styles, the strongest first."""
    found = []
    for name in counted_vitals(vitals):
        reading, error = vitals.known[name], vitals.error(name)
        ratio = _density(name, reading.value, error, one) - _density(name, reading.value, error, other)
        found.append((stated(name, reading.value), ratio))
    for name, value in sorted(traits.items()):
        ratio = math.log(trait_chance(one, name, value)) - math.log(trait_chance(other, name, value))
        found.append((f"{name.replace('_', ' ')} {value}", ratio))
    strong = [Pull(what, one if ratio > 0 else other, abs(ratio)) for what, ratio in found if abs(ratio) >= STRONG_PULL]
    return tuple(sorted(strong, key=lambda pull: (-pull.strength, pull.what)))


def _density(vital: str, value: float, error: float, style: Style) -> float:
    range_: Range = style.ranges.get(vital, SPAN[vital])
    spread = math.hypot(error, EDGE_BLUR * range_.width)
    return math.log(max(chance_inside(value, spread, range_.low, range_.high) / range_.width, 1e-12))
