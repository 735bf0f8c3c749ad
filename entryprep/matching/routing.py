"""Which category a beer with something special belongs to: facts of the beer, and the rules that hold for them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from entryprep.matching.dosing import Verdict, verdicts
from entryprep.records.batch import Batch
from entryprep.records.doses import dose_row
from entryprep.records.routing import RoutingRule, routing_table
from entryprep.records.style import ADDITIONS, Style
from entryprep.records.table import name_key

# a style of its own, or a specialty category that the rules do not name, against one that they do
OTHER_CATEGORY = 0.02
LACKS_A_KIND = 0.2
HARDLY_HOPPED_IBU = 5.0
AUTUMN_WORDS = {"pumpkin", "squash", "pie"}
WINTER_WORDS = {"gingerbread", "mulling", "christmas", "winter"}
WINTER_ABV, WINTER_SRM = 6.0, 12.0
BRETT_WORDS = {"brett", "brettanomyces", "bruxellensis", "claussenii"}
SOURING_WORDS = {"lacto", "lactobacillus", "pedio", "pediococcus", "sour", "souring", "kettle", "bacteria", "mixed"}


@dataclass(frozen=True)
class Route:
    """Where a beer belongs: ids of styles (several are a tie), why, and by which rule; empty where no rule holds."""

    to: tuple[str, ...]
    why: str
    rule: str
    facts: frozenset[str]


def facts_of_kinds(kinds: Iterable[str], base: Style | None = None) -> frozenset[str]:
    """The facts that follow from kinds of addition and a declared base alone."""
    facts = set(kinds)
    if base is not None and base.id in routing_table().sour_bases:
        facts.add("sour-base")
    return frozenset(facts)


def batch_facts(batch: Batch, base: Style | None = None) -> frozenset[str]:
    """All that the rules may ask of a batch; what is too faint to taste, and plain brewing sugar, are left out."""
    counted = [verdict for verdict in verdicts(batch) if verdict.counts]
    facts = set(facts_of_kinds((v.addition.kind for v in counted), base))
    facts |= _wild(batch, counted)
    facts |= _spiced(batch, counted)
    if any(_is_grape(v) for v in counted):
        facts.add("grape")
    if batch.concentrated is not None:
        facts.add("concentrated")
    if "mixed-styles" in batch.declare:
        facts.add("mixed-styles")
    return frozenset(facts)


def _words(verdict: Verdict) -> set[str]:
    return set(name_key(f"{verdict.addition.what} {verdict.addition.form or ''}").split())


def _is_grape(verdict: Verdict) -> bool:
    row = dose_row(verdict.addition) if verdict.addition.kind == "fruit" else None
    return row is not None and "grape" in row.names


def _wild(batch: Batch, counted: Sequence[Verdict]) -> set[str]:
    facts: set[str] = set()
    words = {word for v in counted if v.addition.kind == "culture" for word in _words(v)}
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
    for rule in (*own_rules, *routing_table().rules):
        if rule.holds(facts):
            return Route(rule.to, rule.why, rule.id or "the competition's own", facts)
    return Route((), "", "", facts)


def leaning(found: Route, styles: Iterable[Style]) -> dict[str, float]:
    """By what factor the ranking leans to or from a style; styles that are not named stay as they are.

    Specialty categories that the rules do not name give way, and so do styles that do not know a kind of addition the
    beer has. Where no rule holds, only the specialty categories give way.
    """
    factors: dict[str, float] = {}
    kinds = [kind for kind in ADDITIONS if kind in found.facts]
    for style in styles:
        if style.id in found.to:
            continue
        if style.specialty:
            factors[style.id] = OTHER_CATEGORY
        elif kinds and not all(knows(style, kind) for kind in kinds):
            factors[style.id] = LACKS_A_KIND
    return factors


def knows(style: Style, kind: str) -> bool:
    """Whether a style has, or may have, a kind of addition."""
    return kind in (*style.takes, *style.takes_any, *style.traits.get("additions", ()), *style.may_have)
