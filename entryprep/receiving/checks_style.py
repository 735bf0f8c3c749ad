"""Checks on the declared style and base, and on the vitals against them."""

from __future__ import annotations

import re
from functools import lru_cache

from entryprep.beer.basefit import family_misfit
from entryprep.beer.placement import by_fit, elsewhere, poor
from entryprep.beer.routing import facts_of_kinds, route
from entryprep.beer.told import told_beer
from entryprep.formats.cells import is_empty, vital_cell
from entryprep.quantities import KINDS, QuantityError
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration
from entryprep.records.stylenames import Named, named, named_base
from entryprep.tables.bottles import strongest_bottle
from entryprep.tables.letterwords import choice, problem, questions
from entryprep.tables.notbeer import other_drink
from entryprep.tables.style import ADDITIONS
from entryprep.tables.vocabulary import named_in
from entryprep.text import either, fold, listed, misspelt
from entryprep.vitals import KINDS_OF_VITAL, VITALS, Reading, Vitals, amount, usual_error, words_of

PRESSURE_LIMIT = 4.0  # volumes: what a large maker rates beer bottles to (weak, single source; common practice)


def style_name(check: CheckIn, about: Declaration) -> None:
    """The declared style and base: settled, read otherwise than written, unsettled or unknown."""
    words = questions(about.language).style
    text = about.text("style")
    coded = check.codes.read(text or about.text("category")) if check.codes else None
    about.named = said = coded or named(check.table, text)
    near_by = said.candidates if said.how != "unknown" else _sensible(check, said)
    names = either([check.table.styles[i].name for i in near_by])
    if said.how == "read" and said.style is not None:
        check.reader.tell(about, "style-read", "style", {"name": said.text, "style": said.style.name})
    elif said.how == "missing":
        check.reader.tell(about, "style-missing", "style")
        about.questions.append(words["missing"])
    elif said.how == "unsettled":
        check.reader.tell(about, "style-ambiguous", "style", {"name": said.text, "candidates": names})
    elif said.how == "unknown" and (drink := other_drink(said.text)):
        check.reader.tell(about, "style-not-beer", "style", {"name": said.text, "drink": drink})
        about.questions.append(words["unknown"].format(text=said.text, near="").strip())
    elif said.how == "unknown":
        near = f"; spelt most like it: {names}" if names else ""
        check.reader.tell(about, "style-unknown", "style", {"name": said.text, "near": near})
        chosen = choice([check.table.styles[i].name for i in near_by], about.language)
        perhaps = questions(about.language).heads["perhaps"].format(names=chosen) if names else ""
        what, where = _added(check, said.text)
        values = {"text": said.text, "what": what, "candidates": choice(where, about.language)}
        unknown = words["unknown"].format(text=said.text, near=perhaps).strip()
        about.questions.append(words["addition"].format_map(values) if what and where else unknown)
    _base(check, about)


def _added(check: CheckIn, text: str) -> tuple[str, list[str]]:
    """What of a style's name was added to the beer, as it is written, and where beers with it belong; empty if none."""
    kinds = named_in(text).kinds & {"fruit", "spice", "chile", "wood", "smoke", "spirit", "sugar"}
    words = [word for word in text.split() if named_in(word).kinds & kinds]
    sent = route(facts_of_kinds(kind for kind in ADDITIONS if kind in kinds)) if words else None
    names = [check.table.styles[i].name for i in sent.to if i in check.table.styles] if sent else []
    return " ".join(words).lower(), names


def _sensible(check: CheckIn, said: Named) -> tuple[str, ...]:
    """Of the styles spelt most like an unknown name those that share a word with it, or are it but for some letters."""
    words = {word for word in fold(said.text).split() if len(word) > 2} - _EVERYWHERE
    found = []
    for each in said.candidates:
        style = check.table.styles[each]
        names = [fold(name) for name in (style.name, *style.aliases)]
        if any(words & set(name.split()) for name in names) or misspelt(fold(said.text), names):
            found.append(each)
    return tuple(found)


_EVERYWHERE = frozenset({"beer", "bier", "biere", "cerveza", "birra", "style", "with", "from", "classic", "special"})


def _base(check: CheckIn, about: Declaration) -> None:
    text = about.text("base")
    if is_empty(text):
        return
    about.base_named = said = named_base(check.table, text)
    if said.how == "read" and said.style is not None:
        check.reader.tell(about, "base-read", "base", {"name": text, "style": said.style.name})
    elif said.how == "unknown":
        check.reader.tell(about, "base-unknown", "base", {"name": text})
        about.questions.append(questions(about.language).style["base"].format(text=text))


_vital_cell = lru_cache(maxsize=16384)(vital_cell)  # the same figures stand in many rows


def stated_vitals(check: CheckIn, about: Declaration) -> None:
    """The vitals stated; what cannot be read is told and asked, and the rest is used."""
    values: dict[str, Reading] = {}
    for vital in VITALS:
        where = "carbonation" if vital == "co2" else vital
        text = about.text(where)
        if not text or (vital == "co2" and not re.search(r"\d", text)):
            continue
        try:
            reading = _vital_cell(text, vital, check.reader.header(where))
        except QuantityError as error:
            _unreadable(check, about, where, text, error)
            continue
        if reading is not None:
            values[vital] = reading
    if not values:
        return
    try:
        about.vitals = Vitals(**values)
    except QuantityError as error:
        check.reader.tell(about, "vitals-contradict", "fg", {"problem": error.message})
        above = {"og", "fg"} <= set(values) and values["fg"].value > values["og"].value
        _ask(about, problem("fg-above-og" if above else "not-one-beer", about.language))
        about.vitals = Vitals(**{name: r for name, r in values.items() if name not in {"og", "fg"}})
        return
    _agree(check, about, values)
    gas = values.get("co2")
    if gas is not None and gas.value > PRESSURE_LIMIT:
        said = {"volumes": f"{gas.value:.1f}", "limit": f"{PRESSURE_LIMIT:g}"}
        check.reader.tell(about, "over-carbonated", "carbonation", said, milder=gas.value <= strongest_bottle())


def _agree(check: CheckIn, about: Declaration, values: dict[str, Reading]) -> None:
    """A strength stated beside both gravities must follow from them, within both errors."""
    if not {"og", "fg", "abv"} <= set(values):
        return
    stated = values["abv"]
    derived = Vitals(og=values["og"], fg=values["fg"]).known["abv"]
    gap = abs(stated.value - derived.value)
    if gap > (stated.error or usual_error("abv", stated.value)) + (derived.error or 0.0):
        strengths = {"a": amount("abv", stated.value), "b": amount("abv", derived.value)}
        check.reader.tell(about, "vitals-disagree", "abv", {"vital": words_of("abv"), **strengths})
        _ask(about, problem("gravities-give", about.language, strength=strengths["b"]))


def _ask(about: Declaration, why: str) -> None:
    """The question which of the gravities and the strength is wrong."""
    names = {vital: problem(vital, about.language) for vital in ("og", "fg", "abv") if about.text(vital)}
    said = ", ".join(f"{name} {about.text(vital)[:20]}" for vital, name in names.items())
    about.questions.append(questions(about.language).other["contradiction"].format(stated=said, problem=why))


def _unreadable(check: CheckIn, about: Declaration, where: str, text: str, error: QuantityError) -> None:
    hint = f"{error.fix[:1].upper()}{error.fix[1:]}" if error.fix else "write a number"
    check.reader.tell(about, "vital-unreadable", where, {"problem": error.message, "hint": hint})
    language, guess = about.language, _GUESS.match(error.fix)
    example = KINDS[KINDS_OF_VITAL["co2" if where == "carbonation" else where].kind].example
    example = choice(example.split(" or "), language)
    why = problem("meant", language, guess=guess[1]) if guess else problem("like", language, example=example)
    asked, field = questions(language).other["vitals"], problem(where, language)
    about.questions.append(asked.format(field=field, value=text[:40], problem=why))


_GUESS = re.compile(r"Did you mean ([^?]+)\?")


def made(check: CheckIn, about: Declaration) -> None:
    """The beer of the row, by which all that follows is answered as it is for the brewer."""
    style, base = about.text("style"), "" if is_empty(about.text("base")) else about.text("base")
    # what a settled name says of additions belongs to the style
    said = (about.told, "" if about.style else style, "" if about.base else base)
    about.beer = told_beer(about.text("beer"), said, about.vitals, style, base, check.table)


def fitted(_check: CheckIn, about: Declaration) -> None:
    """The fit to the style, or its base, where the style is settled and vitals are stated; nothing is told of it."""
    if about.style is not None and about.vitals is not None and about.beer is not None:
        about.fit = about.beer.fit(about.style)


def fits(check: CheckIn, about: Declaration) -> None:
    """The vitals against the style, or its base: each miss with its significance."""
    if about.named.how == "unsettled":
        _between(check, about)
    fitted(check, about)
    result = about.fit
    if result is None or result.score is None or about.style is None or about.beer is None:
        return
    open_base = family_misfit(about.beer, result)
    if open_base is not None:
        if open_base:
            check.reader.tell(about, "base-out-of-range", "base", open_base, case="family")
        return
    outside = [part for part in result.parts if part.miss and abs(part.miss_in_errors) >= 1]
    plain = {part.vital for part in outside if part.reading.origin != "derived"}
    for part in outside:
        if part.reading.origin == "derived" and plain & {"og", "fg", "abv"}:
            continue  # the vitals it follows from are told
        values: dict[str, object] = {"vital": words_of(part.vital), "value": amount(part.vital, part.reading.value)}
        values |= {"low": amount(part.vital, part.range.low), "high": amount(part.vital, part.range.high)}
        values |= {"derived": " (from the other two)" if part.reading.origin == "derived" else "", "severe": ""}
        values |= {"style": (result.base or result.style).name, "words": part.words}
        where = "carbonation" if part.vital == "co2" else part.vital
        milder = part.vital == "co2" or abs(part.miss_in_errors) < 2
        rule = "base-out-of-range" if result.base else "style-out-of-range"
        check.reader.tell(about, rule, where, values, milder=milder)
    better = elsewhere(about.beer, about.style) if poor(about.beer, about.style) else ()
    if better:
        names = listed(style.name for style, _ in better)
        check.reader.tell(about, "style-better-elsewhere", "style", {"alternatives": names})


def _between(check: CheckIn, about: Declaration) -> None:
    """The question between several styles, the best fitting first where vitals are known."""
    styles = [check.table.styles[i] for i in about.named.candidates]
    order = by_fit(about.beer, styles) if about.beer is not None else [(style, None) for style in styles]
    names = choice([style.name for style, _ in order], about.language)
    words = questions(about.language).style["unsettled"]
    about.questions.append(words.format(text=about.named.text, candidates=names))
    about.named = Named(about.named.text, "unsettled", None, tuple(style.id for style, _ in order))
    if order[0][1] is not None:
        fits = "; ".join(f"{style.name} {score:.0f}" for style, score in order if score is not None)
        check.reader.tell(about, "style-fits", "style", {"fits": fits})
