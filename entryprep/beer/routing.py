"""Which category a beer with something special belongs to: facts of the beer, and the rules that hold for them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from entryprep.tables.style import ADDITIONS, Style
from entryprep.tables.things import ICE_REMOVED, Thing, thing

if TYPE_CHECKING:
    from entryprep.beer.dosing import Verdict
    from entryprep.records.batch import Batch
    from entryprep.tables.routing import RoutingRule, RoutingTable
    from entryprep.vitals import Vitals

# a style of its own, or a specialty category that the rules do not name, against one that they do
OTHER_CATEGORY = 0.02
LACKS_A_KIND = 0.01  # what is tasted and not part of a style makes the beer another
# A base is declared for beers with something special, hardly for a plain example of another style; less seldom for one
# of its own family, as lambic for one with fruit or doppelbock for eisbock.
NOT_THE_BASE, OF_ITS_FAMILY = 0.005, 0.05
OTHER_TRADITION = 0.02
OF_ITS_STYLE = 0.2  # what ice was taken out of is of its own style, as it now is, before it is something mixed or odd
# Two styles brought together without being called so, where nothing is added; and where a base is named, which a plain
# beer needs none of (common practice, assumptions).
UNSAID_MIX, UNSAID_MIX_ON_BASE = 3.0, 4.0
HARDLY_HOPPED_IBU = 5.0
# common practice: a winter beer is strong and dark, an autumn beer at least amber
WINTER_ABV, WINTER_SRM, AUTUMN_SRM = 6.0, 12.0, 7.0
SPICES_OF_A_SEASON = 2  # one alone is a spice beer
SPICE_FACTS = frozenset({"autumn-spice", "winter-spice", "pie-spice", "warming-spice", "squash", "gruit-herb"})


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
    if base is not None:
        facts.add("sour-base" if base.id in _rules().sour_bases else "other-base")
    return frozenset(facts)


@dataclass(frozen=True)
class Told:
    """An addition that can be tasted: its facts, and what it counts as (``nothing``: brewing as usual)."""

    verdict: Verdict
    kind: str
    facts: frozenset[str]
    thing: Thing


def told(verdict: Verdict) -> Told:
    """What the words of an addition say beyond its kind: a bourbon barrel holds spirit, decoction is nothing."""
    from entryprep.tables.routing import said_of  # noqa: PLC0415

    named = thing_of(verdict)
    kind, facts = said_of(named)
    if kind == "wood" and _carries_spirit(verdict, named):
        facts |= {"spirit", "wood"}
    return Told(verdict, kind, facts, named if kind == named.kind else Thing(kind, named.names))


def batch_facts(
    batch: Batch, base: Style | None = None, judged: Sequence[Verdict] | None = None, vitals: Vitals | None = None
) -> frozenset[str]:
    """All that the rules may ask of a batch; what is too faint to taste, and plain brewing sugar, are left out.

    ``judged`` are the verdicts on its additions, if they were found already; ``vitals`` tell a strong, dark beer.
    """
    tasted = [told(v) for v in _judged(batch, judged) if v.counts]
    counted = [each for each in tasted if not _of_the_base(each.thing, base)]
    facts = set(facts_of_kinds((each.kind for each in counted), base)) - {"nothing"}
    facts |= {fact for each in counted for fact in each.facts} - SPICE_FACTS
    facts |= _wild(batch, counted)
    facts |= _spiced(batch, counted, vitals)
    if any(each.kind == "spice" for each in counted):
        facts |= _of_a_season(tasted, vitals)
    if any(_is_grape(each.verdict) for each in counted):
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
    counted = [told(v) for v in _judged(batch, judged) if v.counts or v.addition.kind == "sugar"]
    things = [each.thing for each in counted if each.kind in ADDITIONS and not _of_the_base(each.thing, base)]
    kinds = {thing.kind for thing in things}
    soured_as_ever = bool(kinds - {"culture"}) and base is not None and base.id in _rules().sour_bases
    if soured_as_ever:  # what soured its base is nothing special beside fruit or spice
        things = [thing for thing in things if thing.kind != "culture" or not (base and base.knows(thing))]
    kinds = {thing.kind for thing in things}
    facts = {fact for each in counted for fact in each.facts} | {each.kind for each in counted}
    if "spirit" in facts and "spirit" not in kinds:
        things.append(Thing("spirit"))
    if batch.traits.fermentation == "wild" and "culture" not in kinds and not soured_as_ever:
        things.append(Thing("culture"))
    if batch.concentrated is not None or "concentrated" in facts:
        things.append(thing("process", ICE_REMOVED))
    if "mixed-styles" in batch.declare or "mixed-styles" in facts:
        things.append(thing("process", "styles brought together"))
    if "blended" in facts:
        things.append(thing("process", "blend"))
    return tuple(dict.fromkeys(things))


def iced(batch: Batch) -> list[tuple[int, str]]:
    """The processes that take out ice by their names, with their places among the additions."""
    found = []
    for index, addition in enumerate(batch.additions or ()):
        if addition.kind == "process":
            from entryprep.tables.routing import said_of  # noqa: PLC0415

            if said_of(thing("process", addition.words))[0] == "concentrated":
                found.append((index, addition.what))
    return found


def is_concentrated(batch: Batch) -> bool:
    """Whether ice was taken out, by the volumes or by the name of a process."""
    return batch.concentrated is not None or bool(iced(batch))


def thing_of(verdict: Verdict) -> Thing:
    """An addition as the styles know it."""
    plain = verdict.addition.kind != "sugar" or not verdict.counts
    return thing(verdict.addition.kind, verdict.addition.words, plain)


def _of_the_base(added: Thing, base: Style | None) -> bool:
    """Whether the declared base has a thing by tradition, as gose has salt: it is then nothing special in it."""
    return base is not None and not base.specialty and added.kind != "culture" and base.knows(added)


def _carries_spirit(verdict: Verdict, named: Thing) -> bool:
    """Whether it is wood that was soaked in spirit, or a barrel that held some."""
    from entryprep.tables.doses import names_of  # noqa: PLC0415 - only what was added needs the doses

    soaked = verdict.addition.kind == "wood" and verdict.addition.strength is not None
    return soaked or not named.names.isdisjoint(names_of("spirit"))


def _is_grape(verdict: Verdict) -> bool:
    from entryprep.tables.doses import dose_row  # noqa: PLC0415 - only what was added needs the doses

    row = dose_row(verdict.addition.kind, verdict.addition.words) if verdict.addition.kind == "fruit" else None
    return row is not None and "grape" in row.names


def _wild(batch: Batch, counted: Sequence[Told]) -> set[str]:
    facts: set[str] = set()
    said = {fact for each in counted for fact in each.facts}
    if any(each.kind == "culture" and each.thing.names for each in counted):
        facts.add("named-culture")
    if "spontaneous" in said:
        facts |= {"spontaneous", "souring", "brett", "culture"}
    traits = batch.traits
    if traits.fermentation == "wild":
        facts.add("culture")
    kinds = {yeast.kind for yeast in batch.recipe.yeast} if batch.recipe else set()
    if "brett" in said or "brett" in kinds or (traits.fermentation == "wild" and traits.yeast == "funky"):
        facts |= {"brett", "culture"}
    soured = traits.sourness in {"light", "marked"}
    if soured:
        facts.add("sour")
    if said & {"souring", "mixed-culture"} or kinds & {"lacto", "pedio", "bacteria", "mixed-culture", "spontaneous"}:
        facts |= {"souring", "culture"}
    if soured and "culture" in facts:
        facts.add("souring")
    if "mixed-culture" in said or kinds & {"mixed-culture", "spontaneous"}:
        facts |= {"brett", "culture"}
    if "souring" in facts and "brett" not in facts and "named-culture" in facts:
        facts.add("soured-clean")
    return facts


def _spiced(batch: Batch, counted: Sequence[Told], vitals: Vitals | None) -> set[str]:
    if not any(each.kind == "spice" for each in counted):
        return set()
    ibu = vitals.get("ibu") if vitals is not None else batch.measured.ibu or batch.predicted.ibu
    no_hops = batch.recipe is not None and batch.recipe.hops == []
    if ibu is None and batch.recipe is None:  # nobody reckons the bitterness of a beer without hops
        no_hops = batch.traits.hops in {None, "low"} and any("gruit-herb" in each.facts for each in counted)
    return {"unhopped"} if no_hops or (ibu is not None and ibu.value <= HARDLY_HOPPED_IBU) else set()


def _of_a_season(counted: Sequence[Told], vitals: Vitals | None) -> set[str]:
    """Of which season its spices are: by their names, else by how many there are, and by strength and colour."""
    said = [each.facts & SPICE_FACTS for each in counted]
    every = {fact for facts in said for fact in facts}
    pies = sum("pie-spice" in facts for facts in said)
    if "autumn-spice" in every or ("squash" in every and pies):
        return {"autumn-spice"}
    if "winter-spice" in every:
        return {"winter-spice"}
    if not pies or pies + sum("warming-spice" in facts for facts in said) < SPICES_OF_A_SEASON:
        return set()
    abv, srm = (vitals.get("abv"), vitals.get("srm")) if vitals is not None else (None, None)
    if srm is not None and srm.value < AUTUMN_SRM:
        return set()
    if abv is None or srm is None:
        return {"season"}
    return {"winter-spice"} if abv.value >= WINTER_ABV and srm.value >= WINTER_SRM else {"autumn-spice"}


def route(facts: frozenset[str], own_rules: Sequence[RoutingRule] = ()) -> Route:
    """Where a beer of these facts belongs: by a competition's own rules first, then by the shipped ones."""
    shipped = _rules().rules if facts else ()  # most beers have nothing special, and need no table read
    for rule in (*own_rules, *shipped):
        if rule.holds(facts):
            return Route(rule.to, rule.why, rule.id or "the competition's own", facts)
    return Route((), "", "", facts)


def leaning(
    found: Route,
    styles: Iterable[Style],
    base: Style | None = None,
    things: Sequence[Thing] = (),
    named_base: bool = False,
) -> dict[str, float]:
    """By what factor the ranking leans to or from a style; styles that are not named stay as they are.

    Specialty categories that the rules do not name give way, and so do styles that do not know one of the ``things``
    added to the beer, or whose culture is another; where a base is declared for a rule that holds, or in so many words
    (``named_base``), all styles but that do. A beer that fits none as it stands may be two styles brought together.
    """
    factors: dict[str, float] = {}
    joined = {"process"} if "mixed-styles" in found.facts else set()
    counted = [each for each in things if each.kind in found.facts | joined and ICE_REMOVED not in each.names]
    other = _other_traditions(found.facts)
    iced = next((each for each in things if ICE_REMOVED in each.names), None)
    named = base is not None and (bool(found.to) or named_base)
    for style in styles:
        if style.id in found.to:
            continue
        factor = 1.0
        if style.specialty:
            factor = OTHER_CATEGORY
            if iced:
                factor *= OF_ITS_STYLE if "process" in style.takes else 1.0
            elif "mixed-styles" in style.declare and not found.to and not counted:
                factor = UNSAID_MIX_ON_BASE if named else UNSAID_MIX
        elif not all(style.knows(each) for each in counted):
            factor = LACKS_A_KIND
        if named and base is not None and not style.specialty and style.id != base.id:
            related = OF_ITS_FAMILY if style.family == base.family else NOT_THE_BASE
            factor *= 1.0 if iced and style.knows(iced) else related
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
