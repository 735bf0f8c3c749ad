"""Rules on beers with something special: is it tasted, is it declared where it belongs, does the base hold?"""

from __future__ import annotations

from collections.abc import Iterator

from entryprep.beer.basefit import base_problem
from entryprep.beer.dosing import telling
from entryprep.beer.placement import misplaced
from entryprep.beer.routing import told_things
from entryprep.beer.traits import CULTURED, QUIET_KINDS
from entryprep.entering.rules.context import Context, DeclaredBeer, Hit, Rule
from entryprep.entering.season import Entered
from entryprep.text import listed


def doses(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Additions that are hardly tasted although the style lives by them, or that hide the beer under them."""
    found = beer.beer
    style = beer.said.style
    for verdict, rule in telling(found.verdicts if found else (), style):
        values: dict[str, object] = {"what": verdict.addition.what, "words": verdict.words}
        values |= {"style": style.name} if style is not None else {}
        index = next(i for i, each in enumerate(beer.batch.additions or ()) if each is verdict.addition)
        place = context.at_batch(beer.batch_id, "additions", index)
        yield Hit(rule, place, beer.batch_id, values, rule == "addition-faint" and not beer.entered)


def unclear(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Additions of which too little is known to work out the base; amounts no beer holds are told as cautions."""
    found = beer.beer
    if found is None:
        return
    place = context.at_batch(beer.batch_id, "additions" if beer.batch.additions else "concentrated")
    if beer.said.style is not None and beer.said.style.specialty and found.under is not None:
        for note in found.under.notes:
            if not note.startswith("og taken as"):
                yield Hit("addition-unclear", place, beer.batch_id, {"note": note})


def lacking(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A style that has something added by definition, declared for a beer whose additions are told and lack it."""
    style, batch = beer.said.style, beer.batch
    if style is None or batch.additions is None:
        return
    have: set[str] = {addition.kind for addition in batch.additions}
    have |= {each.kind for each in told_things(batch) or ()}  # a bourbon barrel brings spirit
    have |= CULTURED if batch.traits.fermentation in {"wild", None} else set()
    have |= {"smoke"} if batch.traits.smoke == "present" else set()
    have |= {"process"} if batch.concentrated is not None or "mixed-styles" in batch.declare else set()
    wanted = [
        kind for kind in (*style.takes, *style.traits.get("additions", ())) if kind not in have.union(QUIET_KINDS)
    ]
    for kind in wanted:
        place = context.at_batch(beer.batch_id, "additions")
        yield Hit("style-lacks-addition", place, beer.batch_id, {"style": style.name, "kind": kind}, not beer.entered)


def routed(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A beer declared where its additions do not belong."""
    found, style = beer.beer, beer.said.style
    if found is None or style is None:
        return
    told, sent = misplaced(found, style), found.route
    if not told:
        return
    table = context.season.table
    names = [table.styles[i].name for i in sent.to if i in table.styles]
    values: dict[str, object] = {"style": style.name, "kinds": listed(told), "where": " or ".join(names)}
    values["why"] = sent.why
    yield Hit("style-routed-elsewhere", beer.style_place, beer.batch_id, values, style.specialty)


def base(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A base that cannot be one: a specialty category, or the very style that is declared."""
    problem = base_problem(beer.said.style, beer.said.base, _may_be_special(context, beer))
    if problem:
        yield Hit("base-refused", beer.base_place, beer.batch_id, {"problem": problem}, not beer.entered)


def _may_be_special(context: Context, beer: DeclaredBeer) -> bool:
    """Whether every category it is entered in takes a specialty category as a base."""
    own: list[Entered] = [e for e in context.entries if e.batch_id == beer.batch_id]
    return bool(own) and all(e.category.specialty_base for e in own)


def blend(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A blend whose parts are not there, too little known, or blended from this very beer."""
    if not beer.batch.blend:
        return
    problem = beer.beer.blend_problem if beer.beer else context.season.contradiction(beer.batch_id)
    if problem is not None:
        values = {"problem": str(problem), "hint": problem.fix}
        yield Hit("blend-unclear", context.at_batch(beer.batch_id, "blend"), beer.batch_id, values)


FOR_BEERS: tuple[Rule[DeclaredBeer], ...] = (
    Rule(("addition-faint", "addition-dominant"), doses),
    Rule(("addition-unclear",), unclear),
    Rule(("style-lacks-addition",), lacking),
    Rule(("style-routed-elsewhere",), routed),
    Rule(("base-refused",), base),
    Rule(("blend-unclear",), blend),
)
