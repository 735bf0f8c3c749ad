"""``suggest``: which styles, or categories of a competition, suit a beer best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from entryprep.cli.bars import share_bar
from entryprep.cli.beer import Beer, checked_units, fit_json, the_beer
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.matching.fitting import Fit
from entryprep.matching.ranking import explained, rank
from entryprep.quantities import QuantityError
from entryprep.records.competition import Competition
from entryprep.records.files import read_yaml
from entryprep.records.style import Style
from entryprep.records.validate import validate
from entryprep.records.yamltext import RecordError


def show_suggestions(
    file: Path | None,
    given: Mapping[str, str],
    traits: Sequence[str],
    additions: Sequence[str],
    competition: Path | None,
    limit: int,
    as_json: bool,
    units: str,
    recipe: str = "",
) -> None:
    """``entryprep suggest``."""
    checked_units(units)
    beer = the_beer(file, given, traits, additions, recipe)
    if len([name for name, r in beer.vitals.known.items() if r.origin != "derived"]) + len(beer.traits) < 2:
        raise QuantityError(
            "one number is too little to tell styles apart", "give at least two vitals, or a vital and a trait"
        )
    if competition is not None:
        _suggest_categories(beer, competition, limit, as_json)
        return
    base = beer.table.find(beer.base) if beer.base else None
    ranking = rank(beer.vitals, beer.traits, beer.table, beer.additions, base)
    top = [explained(beer.vitals, beer.traits, beer.additions, *pair, base) for pair in ranking.shares[:limit]]
    if as_json:
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
        close = [style.id for style in ranking.close]
        print_json(
            {"beer": beer.title, "suggestions": listed, "none_of_these": round(ranking.none_share, 6), "close": close}
        )
        return
    out = console()
    out.print(paragraph(f"{beer.title}: styles that suit it", "bold"))
    rows = [
        (
            s.style.name,
            _score(s.fit),
            f"{s.share:.0%}",
            share_bar(s.share),
            "; ".join(s.reasons) or "nothing against it",
        )
        for s in top
    ]
    out.print(table(("style", "fit", "share", "|", "reasons"), rows, right=(1, 2)))
    out.print(paragraph(_verdict(ranking.close, ranking.none_share)))


def _score(result: Fit) -> str:
    return "-" if result.score is None else f"{result.score:.0f}"


def _verdict(close: Sequence[Style], none_share: float) -> str:
    words = "Fit: how well it sits in that style, 0-100. Share: among all styles."
    if none_share > 0.5:
        return f"{words} Most likely it is none of them ({none_share:.0%})."
    if close:
        return f"{words} Too close to call between {', '.join(s.name for s in close[:5])}."
    return words


def _suggest_categories(beer: Beer, file: Path, limit: int, as_json: bool) -> None:
    from entryprep.matching.category_ranking import rank_categories

    competition, problems = validate(read_yaml(file), Competition)
    if competition is None:
        raise RecordError(problems)
    base = beer.table.find(beer.base) if beer.base else None
    answers = rank_categories(beer.vitals, beer.traits, beer.additions, competition, beer.table, limit, base)
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
        print_json({"beer": beer.title, "competition": competition.name, "categories": listed})
        return
    out = console()
    out.print(paragraph(f"{beer.title}: categories of {competition.name} that suit it", "bold"))
    rows = [
        (
            a.category.code,
            a.category.name,
            _score(a.fit) if a.fit else "-",
            f"{a.share:.0%}",
            share_bar(a.share),
            f"as {a.style.name}{_unsure(a.certain)}" if a.style else a.words,
        )
        for a in answers
    ]
    out.print(table(("code", "category", "fit", "share", "|", ""), rows, right=(2, 3)))
    if any(not a.certain for a in answers):
        out.print(paragraph("(?) the category lists no styles and its name does not settle which it takes."))


def _unsure(certain: bool) -> str:
    return "" if certain else " (?)"
