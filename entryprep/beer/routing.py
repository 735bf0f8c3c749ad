"""Which category a beer with something special belongs to: facts of the beer, and the rules that hold for them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from entryprep.tables.style import Style
from entryprep.tables.things import Thing, thing
from entryprep.text import fold

if TYPE_CHECKING:
    from entryprep.beer.dosing import Verdict
    from entryprep.records.batch import Batch
    from entryprep.tables.routing import RoutingRule, RoutingTable

# a style of its own, or a specialty category that the rules do not name, against one that they do
OTHER_CATEGORY = 0.02
LACKS_A_KIND = 0.01  # what is tasted and not part of a style makes the beer another
NOT_THE_BASE = 0.05  # a base is declared for beers with something special, seldom for a plain example of another style
OTHER_TRADITION = 0.02
HARDLY_HOPPED_IBU = 5.0
AUTUMN_WORDS = {"pumpkin", "squash", "pie"}
WINTER_WORDS = {"gingerbread", "mulling", "christmas", "winter"}
WINTER_ABV, WINTER_SRM = 6.0, 12.0
SPONTANEOUS_WORDS = {"spontaneous", "coolship", "lambic", "wild yeast"}
BRETT_WORDS = {"brett", "brettanomyces", "bruxellensis", "claussenii"}
SOURING_WORDS = {"lacto", "lactobacillus", "pedio", "pediococcus", "sour", "souring", "kettle", "bacteria", "mixed"}


@dataclass(frozen=True)
class Route:
    """Where a beer belongs: ids of styles (several are a tie), why, and by which rule; empty where no rule holds."""

    to: tuple[str, ...]
    why: str
    rule: str
    facts: frozenset[str]


def _rules() -> RoutingTable:
    from entryprep.tables.routing import routing_table  # noqa: PLC0415 - a plain beer needs no rules

    return routing_table()


def _judged(batch: Batch, judged: Sequence[Verdict] | None) -> Sequence[Verdict]:
    if judged is not None:
        return judged
    from entryprep.beer.dosing import verdicts  # noqa: PLC0415 - only what was added needs the doses

    return verdicts(batch)


def facts_of_kinds(kinds: Iterable[str], base: Style | None = None) -> frozenset[str]:
    """The facts that follow from kinds of addition and a declared base alone."""
    facts = set(kinds)
    if base is not None and base.id in _rules().sour_bases:
        facts.add("sour-base")
    return frozenset(facts)


def batch_facts(batch: Batch, base: Style | None = None, judged: Sequence[Verdict] | None = None) -> frozenset[str]:
    """All that the rules may ask of a batch; what is too faint to taste, and plain brewing sugar, are left out.

    ``judged`` are the verdicts on its additions, if they were found already.
    """
    counted = [v for v in _judged(batch, judged) if v.counts and not _of_the_base(thing_of(v), base)]
    facts = set(facts_of_kinds((v.addition.kind for v in counted), base))
    if any(_carries_spirit(v) for v in counted):
        facts.add("spirit")
    facts |= _wild(batch, counted)
    facts |= _spiced(batch, counted)
    if any(_is_grape(v) for v in counted):
        facts.add("grape")
    if batch.concentrated is not None:
        facts.add("concentrated")
    if "mixed-styles" in batch.declare:
        facts.add("mixed-styles")
    return frozenset(facts)


def told_things(
    batch: Batch, base: Style | None = None, judged: Sequence[Verdict] | None = None
) -> tuple[Thing, ...] | None:
    """What was added, for the ranking, or None if nothing is said of additions.

    What is too faint to taste, and what the declared base has by tradition, is left out; plain brewing sugar stays, for
    some styles are made with it. A wild fermentation counts as a culture, styles brought together or ice taken out as a
    process.
    """
    if batch.additions is None:
        return None
    counted = [v for v in _judged(batch, judged) if v.counts or v.addition.kind == "sugar"]
    things = [thing for thing in map(thing_of, counted) if not _of_the_base(thing, base)]
    kinds = {thing.kind for thing in things}
    if any(_carries_spirit(v) for v in counted):
        things.append(Thing("spirit"))
    if batch.traits.fermentation == "wild" and "culture" not in kinds:
        things.append(Thing("culture"))
    if batch.concentrated is not None:
        things.append(thing("process", "ice removed"))
    if "mixed-styles" in batch.declare:
        things.append(thing("process", "styles brought together"))
    return tuple(dict.fromkeys(things))


def thing_of(verdict: Verdict) -> Thing:
    """An addition as the styles know it."""
    plain = verdict.addition.kind != "sugar" or not verdict.counts
    return thing(verdict.addition.kind, verdict.addition.words, plain)


def _of_the_base(added: Thing, base: Style | None) -> bool:
    """Whether the declared base has a thing by tradition, as gose has salt: it is then nothing special in it."""
    return base is not None and not base.specialty and added.kind != "culture" and base.knows(added)


def _carries_spirit(verdict: Verdict) -> bool:
    """Whether it is wood that was soaked in spirit, or a barrel that held some."""
    return verdict.addition.kind == "wood" and verdict.addition.strength is not None


def _words(verdict: Verdict) -> set[str]:
    return set(fold(verdict.addition.words).split())


def _is_grape(verdict: Verdict) -> bool:
    from entryprep.tables.doses import dose_row  # noqa: PLC0415 - only what was added needs the doses

    row = dose_row(verdict.addition.kind, verdict.addition.words) if verdict.addition.kind == "fruit" else None
    return row is not None and "grape" in row.names


def _wild(batch: Batch, counted: Sequence[Verdict]) -> set[str]:
    facts: set[str] = set()
    words = {word for v in counted if v.addition.kind == "culture" for word in _words(v)}
    if words:
        facts.add("named-culture")
    if words & SPONTANEOUS_WORDS:
        facts |= {"spontaneous", "souring", "brett", "culture"}
    traits = batch.traits
    if traits.fermentation == "wild":
        facts.add("culture")
    kinds = {yeast.kind for yeast in batch.recipe.yeast} if batch.recipe else set()
    if words & BRETT_WORDS or "brett" in kinds or (traits.fermentation == "wild" and traits.yeast == "funky"):
        facts |= {"brett", "culture"}
    soured = traits.sourness in {"light", "marked"}
    if soured:
        facts.add("sour")
    if words & SOURING_WORDS or kinds & {"lacto", "pedio", "bacteria", "mixed-culture", "spontaneous"}:
        facts |= {"souring", "culture"}
    if soured and "culture" in facts:
        facts.add("souring")
    if "mixed" in words or kinds & {"mixed-culture", "spontaneous"}:
        facts.add("brett")
    return facts


def _spiced(batch: Batch, counted: Sequence[Verdict]) -> set[str]:
    facts: set[str] = set()
    spices = {word for v in counted if v.addition.kind == "spice" for word in _words(v)}
    if not spices:
        return facts
    ibu = batch.measured.ibu or batch.predicted.ibu
    no_hops = batch.recipe is not None and batch.recipe.hops == []
    if no_hops or (ibu is not None and ibu.value <= HARDLY_HOPPED_IBU):
        facts.add("unhopped")
    if spices & AUTUMN_WORDS:
        facts.add("autumn-spice")
    if spices & WINTER_WORDS:
        facts.add("winter-spice")
    return facts


def route(facts: frozenset[str], own_rules: Sequence[RoutingRule] = ()) -> Route:
    """Where a beer of these facts belongs: by a competition's own rules first, then by the shipped ones."""
    shipped = _rules().rules if facts else ()  # most beers have nothing special, and need no table read
    for rule in (*own_rules, *shipped):
        if rule.holds(facts):
            return Route(rule.to, rule.why, rule.id or "the competition's own", facts)
    return Route((), "", "", facts)


def leaning(
    found: Route, styles: Iterable[Style], base: Style | None = None, things: Sequence[Thing] = ()
) -> dict[str, float]:
    """By what factor the ranking leans to or from a style; styles that are not named stay as they are.

    Specialty categories that the rules do not name give way, and so do styles that do not know one of the ``things``
    added to the beer, or whose culture is another; where a rule holds and a base is declared, all styles but that do.
    """
    factors: dict[str, float] = {}
    counted = [each for each in things if each.kind in found.facts]
    other = _other_traditions(found.facts)
    for style in styles:
        if style.id in found.to:
            continue
        factor = 1.0
        if style.specialty:
            factor = OTHER_CATEGORY
        elif not all(style.knows(each) for each in counted):
            factor = LACKS_A_KIND
        if found.to and base is not None and not style.specialty and style.id != base.id:
            factor *= NOT_THE_BASE
        if style.id in other:
            factor *= OTHER_TRADITION
        if factor != 1.0:
            factors[style.id] = factor
    return factors


def _other_traditions(facts: frozenset[str]) -> set[str]:
    """Styles of a tradition that this beer, of which the culture is named, does not follow."""
    if "named-culture" not in facts:
        return set()
    return {style for t in _rules().traditions if t.needs not in facts for style in t.styles}
