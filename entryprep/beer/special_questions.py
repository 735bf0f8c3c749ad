"""What a steward would ask of a special beer: can it be tasted, on which base, how strong, soured by what.

Each question is put to the beer itself: it is ranked once for every answer, and the expected information in bits is
I = H(Σ p · shares | answer) − Σ p · H(shares | answer). How likely an answer is: common practice, assumptions.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from entryprep.beer.questions import Question, entropy
from entryprep.beer.ranking import Ranking, rank_styles
from entryprep.beer.routing import told
from entryprep.records.batch import Addition
from entryprep.vitals import Reading

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer
    from entryprep.beer.dosing import Verdict
    from entryprep.tables.style import Style

TASTED = {"usual": 0.8, "dominant": 0.95, "unknown": 0.6, "faint": 0.15}  # how often a dose is tasted that is called so
NOT_TASTED = {"culture", "concentrated", "mixed-styles", "nothing"}  # told by more than a taste of their own
MOST_ADDITIONS = 4
BASES = 4
SPIRIT_IN_WOOD = 0.3
CULTURES = {"spontaneous": 0.1, "mixed culture": 0.4, "Brettanomyces": 0.25, "Lactobacillus": 0.25}
STRENGTHS = {"session": (3.5, 0.6, 0.2), "usual": (5.5, 0.9, 0.5), "strong": (9.0, 1.5, 0.3)}  # % ABV, error, how often
LEAST_MIX = 0.02  # share from which two styles in one are asked for


@dataclass(frozen=True)
class _Answer:
    """One answer: in a word, how likely, the beer that it makes, and the words of ``if ...``."""

    value: str
    chance: float
    beer: Beer
    tip: str


def special_questions(beer: Beer) -> tuple[Question, ...]:
    """Questions on what was added and on the base, the most informative first; empty where nothing is special."""
    found = [asked for ask in (_tastes, _base, _strength, _culture, _spirit, _mix) for asked in ask(beer)]
    return tuple(sorted(found, key=lambda question: -question.bits))


def _asked(about: str, text: str, answers: list[_Answer], bits: float | None = None) -> Question:
    total = sum(answer.chance for answer in answers)
    tops = [(a.value, _top(a.beer.ranking), a.chance / total) for a in answers]
    told = tuple((value, style, chance) for value, style, chance in tops if style is not None)
    gained = information_of([(a.chance / total, a.beer.ranking) for a in answers]) if bits is None else bits
    tips, beers = {a.value: a.tip for a in answers}, {a.value: a.beer for a in answers}
    return Question(about, text, gained, tuple(sorted(told, key=lambda each: -each[2])), tips, beers)


def _top(ranking: Ranking) -> Style | None:
    return ranking.shares[0][0] if ranking.shares else None


def information_of(answers: list[tuple[float, Ranking]]) -> float:
    """Expected information, bits, of answers with these chances and the rankings that follow from them."""
    mixed: dict[str, float] = {}
    after = 0.0
    for chance, ranking in answers:
        shares = {style.id: share for style, share in ranking.shares}
        shares[""] = ranking.none_share
        after += chance * entropy(shares.values())
        for style, share in shares.items():
            mixed[style] = mixed.get(style, 0.0) + chance * share
    return max(0.0, entropy(mixed.values()) - after)


def _tastes(beer: Beer) -> Iterator[Question]:
    """Can it be tasted? For each addition of which the brewer has not said so."""
    open_ones = [
        (place, verdict)
        for place, verdict in enumerate(beer.verdicts)
        if verdict.addition.perceived is None and told(verdict).kind not in NOT_TASTED
    ]
    for place, verdict in open_ones[:MOST_ADDITIONS]:
        what, chance = verdict.addition.what, TASTED[verdict.word]
        answers = [
            _Answer("yes", chance, _perceived(beer, place, verdict, "clear"), f"if you taste the {what}"),
            _Answer("no", 1 - chance, _perceived(beer, place, verdict, "not at all"), f"if nobody tastes the {what}"),
        ]
        yield _asked(f"taste of {what}", f"Can you taste the {what}?", answers)


def _perceived(beer: Beer, place: int, verdict: Verdict, how: str) -> Beer:
    batch = beer.batch
    additions = list(batch.additions or ()) if batch is not None else []
    additions[place] = verdict.addition.model_copy(update={"perceived": how})
    return beer.with_batch(additions=additions)


def _base(beer: Beer) -> Iterator[Question]:
    """Which base? Where it must be declared, and none is named or a name that means several."""
    wanted = any("base" in style.declare for style, _ in beer.ranking.shares[:2])
    if beer.base is not None or not (wanted and beer.things):
        return
    meant = set(beer.base_named.candidates)
    plain = [style for style in beer.table if not style.specialty and (not meant or style.id in meant)]
    traits = {name: value for name, value in beer.traits.items() if name not in {"smoke", "clarity"}}
    shares = rank_styles(beer.base_vitals or beer.vitals, traits, plain, ()).shares[:BASES]
    total = sum(share for _, share in shares)
    if len(shares) < 2 or total <= 0:
        return
    answers = [_Answer(s.name, share / total, beer.changed(base=s), f"if its base is {s.name}") for s, share in shares]
    # where it goes is base and category together
    bits = entropy(share / total for _, share in shares)
    yield _asked("base", "Which style is the beer underneath, without what was added?", answers, bits)


def _strength(beer: Beer) -> Iterator[Question]:
    if beer.vitals.get("abv") is not None or beer.vitals.get("og") is not None or not beer.things:
        return
    answers = [
        _Answer(word, chance, beer.changed(vitals={"abv": Reading(value, error)}), f"if its strength is {word}")
        for word, (value, error, chance) in STRENGTHS.items()
    ]
    yield _asked("strength", "How strong is it: session (below 4 %), usual, or strong (above 7 %)?", answers)


def _culture(beer: Beer) -> Iterator[Question]:
    """Which culture? Where it is wild or sour and none is named."""
    facts = beer.route.facts
    if not facts & {"culture", "sour"} or "named-culture" in facts or beer.batch is None:
        return
    answers = [
        _Answer(what, chance, _with(beer, what, "culture"), f"if its culture was {what}")
        for what, chance in CULTURES.items()
    ]
    text = (
        "What soured or fermented it: what came from the air, a mixed culture, Brettanomyces alone, or Lactobacillus?"
    )
    yield _asked("culture", text, answers)


def _spirit(beer: Beer) -> Iterator[Question]:
    facts = beer.route.facts
    if "wood" not in facts or "spirit" in facts or beer.batch is None:
        return
    answers = [
        _Answer("no", 1 - SPIRIT_IN_WOOD, beer, "if the wood held no spirit"),
        _Answer("yes", SPIRIT_IN_WOOD, _with(beer, "spirit", "spirit"), "if you taste the spirit that the wood held"),
    ]
    yield _asked("spirit in the wood", "Did the wood hold a spirit or wine that you can taste?", answers)


def _mix(beer: Beer) -> Iterator[Question]:
    """Is it two styles in one? Where nothing is added and no style fits well."""
    if beer.batch is None or beer.things or "mixed-styles" in beer.route.facts:
        return
    share = sum(share for style, share in beer.ranking.shares if "mixed-styles" in style.declare)
    if share < LEAST_MIX:
        return
    meant = beer.with_batch(declare={**beer.batch.declare, "mixed-styles": "two styles"})
    plain = beer.changed(additions=()) if beer.kinds is None else beer
    answers = [
        _Answer("yes", max(share, 0.1), meant, "if it is meant as two styles in one"),
        _Answer("no", 1 - max(share, 0.1), plain, "if it is meant as a plain example"),
    ]
    text = "Is it meant as two styles brought together, or as a known style at another strength or colour?"
    yield _asked("mixed styles", text, answers)


def _with(beer: Beer, what: str, kind: str) -> Beer:
    """The beer with one addition more, of which only the kind and the name matter."""
    batch = beer.batch
    more = Addition.model_validate({"what": what, "kind": kind, "perceived": "clear"})
    return beer.with_batch(additions=[*(batch.additions or ()), more] if batch is not None else [more])
