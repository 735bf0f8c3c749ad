"""Rules on the declared style: does it exist, does the beer fit it, does the category take it?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from entryprep.beer.basefit import family_misfit
from entryprep.beer.fitting import Fit, Part
from entryprep.beer.forecast import forecast
from entryprep.beer.placement import by_fit, poor
from entryprep.beer.placement import elsewhere as likelier
from entryprep.beer.readings import recipe_vitals
from entryprep.entering.rules.context import Context, DeclaredBeer, Hit, Rule
from entryprep.entering.season import Entered
from entryprep.records.competition import Category
from entryprep.records.stylenames import Named
from entryprep.records.vitalsrecord import recorded
from entryprep.tables.notbeer import other_drink
from entryprep.text import fold, listed
from entryprep.vitals import KINDS_OF_VITAL, VITALS, Reading, Vitals, amount, words_of

SEVERE_ERRORS, SEVERE_MEMBERSHIP = 2.0, 0.5
ROUNDING = 1e-6  # 1.012 is one error of 0.001 above 1.011, whatever is lost in subtracting them


def names(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A declared style, or base, that is not spelt as in the table, or leads to no style or to several."""
    style, base = beer.said.style_named, beer.said.base_named
    if style.how == "read" and style.style is not None:
        yield Hit("style-read", beer.style_place, beer.batch_id, {"name": style.text, "style": style.style.name})
    elif style.how == "unsettled":
        yield _ambiguous(context, beer, style)
    elif style.how == "unknown" and (drink := other_drink(style.text)):
        told: dict[str, object] = {"name": style.text[:60], "drink": drink}
        yield Hit("style-not-beer", beer.style_place, beer.batch_id, told, not beer.entered)
    elif style.how == "unknown":
        values: dict[str, object] = {"name": style.text[:60], "near": _near(context, style)}
        yield Hit("style-unknown", beer.style_place, beer.batch_id, values, not beer.entered)
    if base.how == "read" and base.style is not None:
        yield Hit("base-read", beer.base_place, beer.batch_id, {"name": base.text, "style": base.style.name})
    elif base.how in {"unsettled", "unknown"}:
        clear = base.how == "unsettled"
        listed_names = listed(context.season.table.styles[i].name for i in base.candidates)
        problem = f"may mean {listed_names}" if clear else f"is no style{_near(context, base)}"
        yield Hit("base-unknown", beer.base_place, beer.batch_id, {"name": base.text[:60], "problem": problem}, clear)


def _near(context: Context, name: Named) -> str:
    near = listed(context.season.table.styles[i].name for i in name.candidates)
    return f"; spelt most like it: {near}" if near else ""


def _ambiguous(context: Context, beer: DeclaredBeer, name: Named) -> Hit:
    styles = [context.season.table.styles[i] for i in name.candidates]
    order = by_fit(beer.beer, styles) if beer.beer is not None else [(style, None) for style in styles]
    said = [s.name if score is None else f"{s.name} (fit {score:.0f} of 100)" for s, score in order]
    best = "" if order[0][1] is None else "; the best fit stands first, and more than the fit may decide"
    values: dict[str, object] = {"name": name.text, "candidates": listed(said, len(said)), "best": best}
    return Hit("style-ambiguous", beer.style_place, beer.batch_id, values, not beer.entered)


def contradiction(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Measured and predicted vitals that cannot belong to one beer."""
    error = context.season.contradiction(beer.batch_id)
    if error is not None:
        place = context.at_batch(beer.batch_id, "measured")
        hint = f": {error.fix}" if error.fix else ""
        yield Hit("vitals-contradict", place, beer.batch_id, {"problem": error.message, "hint": hint})


def impossible_recipe(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A recipe from which nothing can be predicted because its figures make no beer."""
    expected = beer.beer.forecast if beer.beer is not None else forecast(beer.batch)
    if expected is not None and expected.problem:
        place = context.at_batch(beer.batch_id, "recipe")
        yield Hit("recipe-impossible", place, beer.batch_id, {"problem": expected.problem})


# by vital, and whether the first source lies above the second
QUESTIONS = {
    ("og", True): "was the volume short, or the yield of the mash better than planned? Correct one of them",
    ("og", False): "was the volume large, or the yield of the mash poorer than planned? Correct one of them",
    ("fg", True): "has it finished, and was the hydrometer at its temperature? Correct one of them",
    ("fg", False): "was the mash cooler or the yeast hungrier than planned? Correct one of them",
    ("abv", True): "which of the readings is wrong? Correct one of them",
    ("abv", False): "which of the readings is wrong? Correct one of them",
}


def disagreement(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A measured vital and a predicted one, or a strength and its gravities, that lie apart beyond both errors."""
    batch = beer.batch
    from_recipe = recipe_vitals(beer.beer.forecast if beer.beer is not None else forecast(batch))
    for vital in VITALS:
        measured = recorded(batch.measured, vital, "measured")
        predicted = recorded(batch.predicted, vital, "predicted")
        if measured and predicted:
            yield from _apart(context, beer, vital, ("measured", measured), ("predicted", predicted))
        said = ("measured", measured) if measured else ("predicted", predicted) if predicted else None
        if said and said[1] and vital in from_recipe:
            yield from _apart(context, beer, vital, (said[0], said[1]), ("the recipe says", from_recipe[vital]))
    yield from _unlike_its_parts(context, beer)
    og, fg, strength = (recorded(batch.measured, vital, "measured") for vital in ("og", "fg", "abv"))
    if og and fg and strength and fg.value <= og.value:
        derived = Vitals(og=og, fg=fg).known["abv"]
        yield from _apart(context, beer, "abv", ("measured", strength), ("from the gravities", derived))


def _unlike_its_parts(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A blend to which nothing was added, and that reads otherwise than its parts make."""
    batch = beer.batch
    if beer.beer is None or not batch.blend or batch.additions or batch.water_added or batch.concentrated:
        return
    for vital, made in beer.beer.of_parts.items():
        measured = recorded(batch.measured, vital, "measured")
        if measured is not None:
            yield from _apart(context, beer, vital, ("measured", measured), ("the parts of the blend make", made))


def _apart(
    context: Context, beer: DeclaredBeer, vital: str, one: tuple[str, Reading], other: tuple[str, Reading]
) -> Iterator[Hit]:
    (first, a), (second, b) = one, other
    gap, reach = abs(a.value - b.value), (a.error or 0.0) + (b.error or 0.0)
    if gap > reach + ROUNDING:
        shown = {"a": a.value, "a_error": a.error or 0.0, "b": b.value, "b_error": b.error or 0.0, "gap": gap}
        values: dict[str, object] = {name: amount(vital, value) for name, value in shown.items()}
        values |= {"vital": words_of(vital), "first": first, "second": second}
        usual = "which of them is right? Correct or remove the other"
        values["question"] = QUESTIONS.get((vital, a.value > b.value), usual)
        where = "predicted" if first == "predicted" else "measured"
        yield Hit("vitals-disagree", context.at_batch(beer.batch_id, where, vital), beer.batch_id, values)


def ranges(context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """Vitals outside the declared style, or outside the base of a style that has no ranges of its own."""
    result = beer.fit
    if result is None or beer.beer is None:
        return
    open_base = family_misfit(beer.beer, result)
    if open_base is not None:
        if open_base:
            yield Hit("base-out-of-range", beer.base_place, beer.batch_id, open_base, case="family")
        return
    for part in result.parts:
        if not part.miss:
            continue
        within = abs(part.miss_in_errors) < 1 - ROUNDING
        if result.base is None:
            yield _outside(context, beer, result, part, "style-near-edge" if within else "style-out-of-range")
        elif not within:
            yield _outside(context, beer, result, part, "base-out-of-range")


def _outside(context: Context, beer: DeclaredBeer, result: Fit, part: Part, rule: str) -> Hit:
    far = abs(part.miss_in_errors) >= SEVERE_ERRORS - ROUNDING and part.membership < SEVERE_MEMBERSHIP
    # carbonation is the packager's choice and hard to measure: it never stops an entry
    severe = far and part.vital != "co2" and beer.entered
    values: dict[str, object] = {
        "vital": words_of(part.vital),
        "style": (result.base or result.style).name,
        "severe": ", and this one lies far outside" if far else ", though a miss this small may be forgiven",
        "remedy": _remedy(beer, result, severe),
        **miss_values(part.vital, part.reading.value, part.miss, part.miss_in_errors, part.range.low, part.range.high),
    }
    place = context.vital_place(beer.batch_id, part.vital)
    milder = rule == "style-out-of-range" and not severe
    return Hit(rule, place, beer.batch_id, values, milder)


def _remedy(beer: DeclaredBeer, result: Fit, severe: bool) -> str:
    """What to do about a miss: the style to declare where the beer is far more likely another, else what is left."""
    made = beer.beer
    if made is not None and result.base is None and poor(made, result.style) and likelier(made, result.style):
        other = f"declare it as {made.placement.named}" if made.placement.named else "declare another style"
        return f"{other}, or measure again: `entryprep suggest` on this batch ranks the styles"
    if severe:
        return "measure again, or declare another style: `entryprep suggest` on this batch ranks them"
    return "measure again; `entryprep fit` on this batch says what to change next time"


def miss_values(vital: str, value: float, miss: float, errors: float, low: float, high: float) -> dict[str, object]:
    """The words of a miss: value, size, side, range, and how many standard errors it is."""
    size = f"{abs(errors):.1f}" if math.isfinite(errors) else "many"
    return {
        "value": _exact(vital, value),
        "size": _exact(vital, abs(miss)),
        "side": "over" if miss > 0 else "under",
        "low": amount(vital, low),
        "high": amount(vital, high),
        "errors": f"{size} times the standard error of {KINDS_OF_VITAL[vital].instrument}",
        "tool": KINDS_OF_VITAL[vital].instrument,
    }


def _exact(vital: str, value: float) -> str:
    """A value with its usual decimals; a gravity read between two thousandths keeps its fourth."""
    between = vital in {"og", "fg"} and abs(value - round(value, 3)) > 0.00005
    return f"{value:.4f}" if between else amount(vital, value)


def elsewhere(_context: Context, beer: DeclaredBeer) -> Iterator[Hit]:
    """A poor fit whose beer is far more likely another style."""
    result, made = beer.fit, beer.beer
    if result is None or made is None or result.score is None or not poor(made, result.style):
        return
    better = likelier(made, result.style)
    if better:
        told = [f"{s.name} (share {share:.0%}{_with_fit(made.fit(s))})" for s, share in better]
        values = {"style": result.style.name, "fit": f"{result.score:.0f}", "alternatives": listed(told)}
        values["remedy"] = _remedy(beer, result, severe=True)
        yield Hit("style-better-elsewhere", beer.style_place, beer.batch_id, values)


def _with_fit(result: Fit) -> str:
    return "" if result.score is None else f", fit {result.score:.0f}"


def missing(context: Context, entered: Entered) -> Iterator[Hit]:
    """An entry that declares no style; less of a problem where its category takes only one."""
    if context.beer(entered).said.style_named.how != "missing":
        return
    match = context.match(entered.competition_id, entered.category)
    alone = match.certain and len(match.styles) == 1
    takes = f"; the category takes {listed(s.name for s in match.styles)}" if match.certain and match.styles else ""
    values: dict[str, object] = {"code": entered.category.code, "category": entered.category.name, "takes": takes}
    yield Hit("style-missing", context.at_entry(entered, "category"), entered.label, values, alone)


def category(context: Context, entered: Entered) -> Iterator[Hit]:
    """A declared style that the category does not take, or a category whose styles had to be guessed."""
    match, said = context.match(entered.competition_id, entered.category), context.beer(entered).said
    own = entered.category
    inside = said.style is not None and said.style.id in {s.id for s in match.styles}
    if not (own.styles or own.families) and not match.certain:
        among = f"; {said.style.name} is {'' if inside else 'not '}among them" if said.style and match.styles else ""
        values: dict[str, object] = {"category": own.name, "code": own.code, "words": match.words, "among": among}
        values["score"] = f"{match.score:.0f}"
        yield Hit("category-match-uncertain", context.at_category(entered, "name"), entered.label, values, inside)
    elif said.style is not None and not inside and not _written(own, said.style_named.text):
        values = {"code": own.code, "category": own.name, "style": said.style.name}
        values["takes"] = listed(s.name for s in match.styles) or "no style that is known"
        values["others"] = _others(context, entered, said.style.id)
        place = context.at_entry(entered, "category")
        yield Hit("style-not-in-category", place, entered.label, values, not match.certain)


def _written(own: Category, name: str) -> bool:
    return fold(name) in {fold(known) for known in own.styles}


def _others(context: Context, entered: Entered, style_id: str) -> str:
    """The categories of the same competition that surely take the style, as advice."""
    pairs = [(c, context.match(entered.competition_id, c)) for c in entered.competition.categories]
    sure = ((c, {style.id for style in match.styles}) for c, match in pairs if match.certain)
    takers = [f"{c.code} ({c.name})" for c, ids in sure if style_id in ids]
    if takers:
        return f"enter it in {listed(takers)}"
    return "no category of this competition surely takes that style: ask the organiser, or declare another style"


def listed_names(context: Context, competition_id: str) -> Iterator[Hit]:
    """Styles and families that a competition's categories list and the table does not know."""
    for index, own in enumerate(context.season.competitions[competition_id].categories):
        if not (own.styles or own.families):
            continue
        for unclear in context.match(competition_id, own).unclear:
            styles = [context.season.table.styles[i].name for i in unclear.candidates]
            problem = "which is not in the style table"
            if unclear.ambiguous:
                problem = f"which may mean {listed(styles)}; all of them are taken as meant"
            values: dict[str, object] = {"code": own.code, "name": unclear.name, "problem": problem}
            values["candidates"] = f", such as {styles[0]}" if styles else ""
            place = context.at_competition(competition_id, "categories", index, *unclear.path)
            yield Hit("competition-style-unknown", place, competition_id, values, unclear.ambiguous)


FOR_BEERS: tuple[Rule[DeclaredBeer], ...] = (
    Rule(("style-read", "style-not-beer", "style-unknown", "style-ambiguous", "base-read", "base-unknown"), names),
    Rule(("vitals-contradict",), contradiction),
    Rule(("recipe-impossible",), impossible_recipe),
    Rule(("vitals-disagree",), disagreement),
    Rule(("style-out-of-range", "style-near-edge", "base-out-of-range"), ranges),
    Rule(("style-better-elsewhere",), elsewhere),
)
FOR_ENTRIES: tuple[Rule[Entered], ...] = (
    Rule(("style-missing",), missing),
    Rule(("style-not-in-category", "category-match-uncertain"), category),
)
FOR_COMPETITIONS: tuple[Rule[str], ...] = (Rule(("competition-style-unknown",), listed_names),)
