"""Checks on the declared style and base, and on the vitals against them."""

from __future__ import annotations

import re

from entryprep.beer.beer import fit, rank
from entryprep.formats.cells import is_empty, vital_cell
from entryprep.quantities import QuantityError
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration
from entryprep.records.stylenames import Named
from entryprep.tables.letterwords import questions
from entryprep.text import either
from entryprep.vitals import VITALS, Reading, Vitals, amount, usual_error, words_of

POOR_FIT, SHARE_TO_NAME = 25.0, 0.3
PRESSURE_LIMIT = 4.0  # volumes: what a large maker rates beer bottles to (weak, single source; common practice)


def style_name(check: CheckIn, about: Declaration) -> None:
    """The declared style and base: settled, read otherwise than written, unsettled or unknown."""
    words = questions().style
    about.named = named = check.names.read(about.text("style"))
    listed = either([check.table.styles[i].name for i in named.candidates])
    if named.how == "read" and named.style is not None:
        check.reader.tell(about, "style-read", "style", {"name": named.text, "style": named.style.name})
    elif named.how == "missing":
        check.reader.tell(about, "style-missing", "style")
        about.questions.append(words["missing"])
    elif named.how == "unsettled":
        check.reader.tell(about, "style-ambiguous", "style", {"name": named.text, "candidates": listed})
    elif named.how == "unknown":
        near = f"; spelt most like it: {listed}" if listed else ""
        check.reader.tell(about, "style-unknown", "style", {"name": named.text, "near": near})
        said = f"Perhaps {listed}?" if listed else ""
        about.questions.append(words["unknown"].format(text=named.text, near=said).strip())
    _base(check, about)


def _base(check: CheckIn, about: Declaration) -> None:
    text = about.text("base")
    if is_empty(text):
        return
    about.base_named = named = check.names.read(text)
    if named.how == "read" and named.style is not None:
        check.reader.tell(about, "base-read", "base", {"name": text, "style": named.style.name})
    elif named.how == "unknown":
        family = check.table.of_family(text)
        if family:  # a broad family is a base as good as a style
            about.base_named = Named(text, "unsettled", None, tuple(s.id for s in family))
            return
        check.reader.tell(about, "base-unknown", "base", {"name": text})
        about.questions.append(questions().style["base"].format(text=text))


def stated_vitals(check: CheckIn, about: Declaration) -> None:
    """The vitals stated; what cannot be read is told and asked, and the rest is used."""
    values: dict[str, Reading] = {}
    for vital in VITALS:
        where = "carbonation" if vital == "co2" else vital
        text = about.text(where)
        if not text or (vital == "co2" and not re.search(r"\d", text)):
            continue
        try:
            reading = vital_cell(text, vital, check.reader.header(where))
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
        _ask(about, error.message)
        about.vitals = Vitals(**{name: r for name, r in values.items() if name not in {"og", "fg"}})
        return
    _agree(check, about, values)
    gas = values.get("co2")
    if gas is not None and gas.value > PRESSURE_LIMIT:
        said = {"volumes": f"{gas.value:.1f}", "limit": f"{PRESSURE_LIMIT:g}"}
        check.reader.tell(about, "over-carbonated", "carbonation", said)


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
        _ask(about, f"the gravities give {strengths['b']}")


def _ask(about: Declaration, problem: str) -> None:
    """The question which of the gravities and the strength is wrong."""
    said = ", ".join(f"{v.upper()} {about.text(v)[:20]}" for v in ("og", "fg", "abv") if about.text(v))
    about.questions.append(questions().other["contradiction"].format(stated=said, problem=problem))


def _unreadable(check: CheckIn, about: Declaration, where: str, text: str, error: QuantityError) -> None:
    hint = f"{error.fix[:1].upper()}{error.fix[1:]}" if error.fix else "write a number"
    check.reader.tell(about, "vital-unreadable", where, {"problem": error.message, "hint": hint})
    problem = (error.fix or error.message).rstrip(".")
    said = questions().other["vitals"].format(field=where.upper(), value=text[:40], problem=problem)
    about.questions.append(said)


def fits(check: CheckIn, about: Declaration) -> None:
    """The vitals against the style, or its base: each miss with its significance."""
    if about.named.how == "unsettled":
        _between(check, about)
    if about.style is None or about.vitals is None:
        return
    about.fit = result = fit(about.vitals, about.style, about.base)
    if result.score is None:
        if about.style.specialty and about.base_named.how == "unsettled":
            _loose_base(check, about)
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
    if result.score < POOR_FIT and not result.base:
        _better(check, about)


def _between(check: CheckIn, about: Declaration) -> None:
    """The question between several styles, the best fitting first where vitals are known."""
    styles = [check.table.styles[i] for i in about.named.candidates]
    scores = {s.id: fit(about.vitals, s, about.base).score if about.vitals else None for s in styles}
    styles.sort(key=lambda s: -score if (score := scores[s.id]) is not None else 1.0)
    listed = ", ".join(s.name for s in styles[:-1]) + f" or {styles[-1].name}"
    words = questions().style["unsettled"]
    about.questions.append(words.format(text=about.named.text, candidates=listed))
    about.named = Named(about.named.text, "unsettled", None, tuple(s.id for s in styles))
    best = scores[styles[0].id]
    if best is not None:
        fits = "; ".join(f"{s.name} {score:.0f}" for s in styles if (score := scores[s.id]) is not None)
        check.reader.tell(about, "style-fits", "style", {"fits": fits})


def _loose_base(check: CheckIn, about: Declaration) -> None:
    bases = [check.table.styles[i] for i in about.base_named.candidates]
    scored = [
        (result.score, s.name) for s in bases if about.vitals and (result := fit(about.vitals, s)).score is not None
    ]
    best = max(scored, default=(100.0, ""))
    if best[0] < POOR_FIT:
        values = {"base": about.base_named.text, "nearest": best[1], "fit": f"{best[0]:.0f}"}
        check.reader.tell(about, "base-out-of-range", "base", values, case="family")


def _better(check: CheckIn, about: Declaration) -> None:
    assert about.vitals is not None
    plain = [s for s in check.table if s.ranges]
    shares = rank(about.vitals, None, plain).shares
    style, share = shares[0]
    if share >= SHARE_TO_NAME and style is not about.style:
        check.reader.tell(about, "style-better-elsewhere", "style", {"alternatives": style.name})
