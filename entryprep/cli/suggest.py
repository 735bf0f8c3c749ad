"""``suggest``: which styles, or categories of a competition, suit a beer best, and what would decide."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from entryprep.beer.questions import pulls
from entryprep.beer.ranking import Suggestion
from entryprep.cli.bars import print_forest, share_dots
from entryprep.cli.beer import open_beer
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.cautions import cautions_json, cautions_told, ended, say_cautions, say_stops
from entryprep.cli.fit import beside, fit_json
from entryprep.cli.show import console, paragraph, print_json, print_lines, table
from entryprep.quantities import QuantityError
from entryprep.tables.style import TRAITS

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer
    from entryprep.beer.dosing import Verdict
    from entryprep.beer.fitting import Fit
    from entryprep.beer.placement import Placement
    from entryprep.beer.ranking import Suggestion
    from entryprep.findings import Finding
    from entryprep.records.competition import Competition
    from entryprep.tables.style import Style

QUESTIONS_SHOWN = 3
MOST_ASKED = len(TRAITS)
LEAST_SHOWN = 0.005  # share of a row: less would read as none
WIDE = 72  # columns from which shares are drawn as well


def show_suggestions(
    file: Path | None,
    given: Mapping[str, str],
    traits: Sequence[str],
    additions: Sequence[str],
    competition: Path | None,
    limit: int,
    as_json: bool,
    recipe: str = "",
    ask: bool = False,
) -> None:
    """``entryprep suggest``."""
    if ask and as_json:
        raise UsageProblem("--ask talks to you and --json to a program", "give one of them; --json lists the questions")
    chosen = _competition(competition) if competition is not None else None
    beer = open_beer(file, given, traits, additions, recipe, chosen).beer
    vitals = beer.vitals.known.items()
    if len([name for name, r in vitals if r.origin != "derived"]) + len(beer.traits) + len(beer.inferred) < 2:
        raise QuantityError(
            "one number is too little to tell styles apart", "give at least two vitals, or a vital and a trait"
        )
    if ask:
        beer = _asked(beer)
    told = cautions_told(beer, file)
    if chosen is not None:
        _suggest_categories(beer, chosen, limit, as_json, told)
        ended(told)
        return
    top = beer.suggestions(limit)
    if as_json:
        print_json({**_as_json(beer, top), "findings": cautions_json(told)})
    else:
        say_stops(told)
        _print(beer, top)
        say_cautions(told)
    ended(told)


def _competition(file: Path) -> Competition:
    from entryprep.reading.files import read_yaml
    from entryprep.reading.validate import validate
    from entryprep.reading.yamltext import RecordError
    from entryprep.records.competition import Competition

    competition, problems = validate(read_yaml(file), Competition)
    if competition is None:
        raise RecordError(problems)
    return competition


def _as_json(beer: Beer, top: Sequence[Suggestion]) -> dict[str, Any]:
    listed = [
        {
            "style": s.style.id,
            "name": s.style.name,
            "share": round(s.share, 6),
            "fit": fit_json(s.fit),
            "reasons": list(s.reasons),
        }
        for s in top
    ]
    route, ranking = beer.route, beer.ranking
    return {
        "beer": beer.name,
        "suggestions": listed,
        "none_of_these": round(ranking.none_share, 6),
        "placement": _placement_json(beer.placement),
        "route": {"to": list(route.to), "why": route.why, "rule": route.rule} if route.to else None,
        "additions": [verdict_json(v) for v in beer.verdicts],
        "inferred": [
            {
                "trait": i.trait,
                "chances": dict(zip(TRAITS[i.trait], (round(c, 4) for c in i.chances), strict=True)),
                "why": i.why,
            }
            for i in beer.inferred
        ],
        "questions": [
            {
                "trait": q.trait,
                "question": q.text,
                "bits": round(q.bits, 4),
                "answers": [
                    {"value": value, "speaks_for": style.id, "chance": round(chance, 4)}
                    for value, style, chance in q.answers
                ],
            }
            for q in beer.questions
        ],
    }


def _placement_json(answer: Placement) -> dict[str, Any]:
    return {
        "style": answer.style.id if answer.style else None,
        "declared": answer.declared,
        "tied": answer.tied,
        "share": round(answer.share, 6),
        "sure": answer.sure,
        "base": answer.base or None,
        "why": answer.why,
        "next": answer.runner_up.id if answer.runner_up else None,
        "next_share": round(answer.runner_up_share, 6),
        "tip": answer.tip,
    }


def verdict_json(verdict: Verdict) -> dict[str, Any]:
    """A verdict on one addition as plain values."""
    return {
        "what": verdict.addition.what,
        "kind": verdict.addition.kind,
        "verdict": verdict.word,
        "dose": None if verdict.dose is None else round(verdict.dose, 4),
        "unit": verdict.unit,
        "low": verdict.low,
        "high": verdict.high,
        "words": verdict.words,
        "follows": verdict.follows,
        "flight": verdict.flight,
    }


def _print(beer: Beer, top: Sequence[Suggestion]) -> None:
    ranking, asked = beer.ranking, beer.questions
    out = console()
    answer = beer.placement
    out.print(paragraph(f"{beer.name}: {answer.line}", "bold"))
    if answer.why:
        out.print(paragraph(f"Because {answer.why}."))
    if answer.next_line:
        out.print(paragraph(answer.next_line))
    out.print()
    rows = [
        (
            s.style.name,
            _score(s.fit),
            _percent(s.share),
            *((share_dots(s.share),) if out.width >= WIDE else ()),
            "; ".join(s.reasons) or "nothing against it",
        )
        for s in top
        if s.share >= LEAST_SHOWN or s.style is answer.style
    ]
    titles = ("style", "fit", "share", "|", "reasons") if out.width >= WIDE else ("style", "fit", "share", "reasons")
    out.print(table(titles, rows, right=(1, 2)))
    out.print(paragraph("Likeliest first. Fit: how well it sits in that style, 0-100. Share: among all styles."))
    shown = beer.fit(answer.style) if answer.style is not None else top[0].fit if top else None
    if shown is not None and shown.parts:
        out.print()
        out.print(paragraph(f"{beer.name} as {shown.style.name}", "bold"))
        print_forest(shown, *beside(beer, shown))
    print_additions(beer.verdicts)
    _print_inferred(beer)
    if answer.style is not None and answer.runner_up is not None and not ranking.settled:
        _print_between(beer, answer.style, answer.runner_up)
    if asked and not ranking.settled:
        lines = [f"{q.text} ({q.bits:.2f} bits: {q.settles})" for q in asked[:QUESTIONS_SHOWN]]
        print_lines("What would decide", lines)


def _print_inferred(beer: Beer) -> None:
    """What was taken from the recipe, so that it can be said otherwise."""
    if beer.inferred:
        told = (f"{i.trait.replace('_', ' ')} {i.likeliest} ({i.why})" for i in beer.inferred)
        print_lines("Taken from the recipe; --trait name=value says otherwise", ["; ".join(told)])


def print_additions(verdicts: Sequence[Verdict]) -> None:
    """What was added, whether it can be tasted, and what follows."""
    if not verdicts:
        return
    print_lines("What was added", [verdict.told for verdict in verdicts])


def _print_between(beer: Beer, one: Style, other: Style) -> None:
    found = pulls(beer.vitals, beer.traits, one, other)
    lines = []
    for style in (one, other):
        own = [pull.what for pull in found if pull.towards is style]
        lines.append(f"to {style.name}: {', '.join(own) if own else 'nothing clearly'}")
    print_lines(f"Between {one.name} and {other.name}", lines)


def _asked(beer: Beer) -> Beer:
    """Ask the most telling question until one style is clear or nothing is left to ask; an empty answer ends it."""
    if sys.stdin is None or not sys.stdin.isatty():
        raise UsageProblem("--ask needs a terminal to ask on", "answer with --trait name=value instead")
    out = console()
    for _ in range(MOST_ASKED):
        ranking, asked = beer.ranking, beer.questions
        if not asked or ranking.settled:
            break
        first = asked[0]
        out.print(paragraph(f"{first.text} ({', '.join(first.values)}; Enter to stop)"))
        try:
            answer = input("> ").strip().lower()
        except EOFError:
            answer = ""
        if not answer:
            break
        value = next((each for each in first.values if each.lower() == answer), None)
        if value is None:
            out.print(paragraph(f"{answer} is not one of {', '.join(first.values)}."))
            continue
        beer = beer.answered(first, value)
    return beer


def _percent(share: float) -> str:
    return f"{share:.0%}" if share >= LEAST_SHOWN else "under 1 %"


def _score(result: Fit) -> str:
    return "-" if result.score is None else f"{result.score:.0f}"


def _suggest_categories(
    beer: Beer, competition: Competition, limit: int, as_json: bool, told: Sequence[Finding]
) -> None:
    from entryprep.beer.category_ranking import rank_categories

    answers = rank_categories(beer, competition, limit)
    if as_json:
        listed = [
            {
                "category": a.category.code,
                "name": a.category.name,
                "share": round(a.share, 6),
                "style": a.style.id if a.style else None,
                "fit": fit_json(a.fit) if a.fit else None,
                "certain": a.certain,
                "words": a.words,
            }
            for a in answers
        ]
        suited = {"beer": beer.name, "competition": competition.name, "categories": listed}
        print_json({**suited, "findings": cautions_json(told)})
        return
    say_stops(told)
    out = console()
    out.print(paragraph(f"{beer.name}: categories of {competition.name} that suit it", "bold"))
    rows = [
        (
            a.category.code,
            a.category.name,
            _score(a.fit) if a.fit else "-",
            _percent(a.share) if a.style else "-",
            share_dots(a.share),
            f"as {a.style.name}{_unsure(a.certain)}" if a.style else a.words,
        )
        for number, a in enumerate(answers)
        if a.share >= LEAST_SHOWN or a.style is None or not number
    ]
    out.print(table(("code", "category", "fit", "share", "|", ""), rows, right=(2, 3)))
    if any(not a.certain for a in answers):
        out.print(paragraph("(?) the category lists no styles and its name does not settle which it takes."))
    print_additions(beer.verdicts)
    say_cautions(told)


def _unsure(certain: bool) -> str:
    return "" if certain else " (?)"
