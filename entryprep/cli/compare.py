"""``compare``: candidates for one beer side by side."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from entryprep.beer.beer import Beer
from entryprep.beer.comparing import Compared, compared
from entryprep.cli.beer import open_beer, settled
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.cautions import cautions_json, cautions_told, ended, say_cautions, say_stops
from entryprep.cli.fit import fit_json
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.reading.files import read_yaml
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import RecordError
from entryprep.records.stylenames import named
from entryprep.text import did_you_mean
from entryprep.vitals import amount, span, words_of

if TYPE_CHECKING:
    from entryprep.records.competition import Competition
    from entryprep.tables.style import Style

USUAL = 3  # candidates where none is named
COLUMN, FIRST, NARROWEST = 20, 14, 40


def run(file: Path, names: Sequence[str], competition: Path | None, recipe: str, as_json: bool) -> None:
    """``entryprep compare``."""
    into = _competition(competition) if competition is not None else None
    beer = open_beer(file, {}, recipe=recipe, competition=into).beer
    candidates = _styles(beer, names) if into is None else _categories(beer, into, names)
    found, told = compared(beer, candidates), cautions_told(beer, file)
    if as_json:
        print_json({**_as_json(beer, found, into), "findings": cautions_json(told)})
        ended(told)
        return
    say_stops(told)
    out = console()
    out.print(paragraph(_answer(beer, found, into), "bold"))
    per = max((max(out.width, NARROWEST) - FIRST) // COLUMN, 1)
    for first in range(0, len(found), per):
        part = found[first : first + per]
        out.print(table(("", "beer", *(c.label for c in part)), _rows(beer, part), right=(1,)))
    for each in found:
        out.print(paragraph(f"{each.label}: {'; '.join(each.reasons) or 'nothing against it'}"))
    out.print(paragraph("Fit: how well it sits there, 0-100. Share: among all styles. < below the range, > above it."))
    say_cautions(told)
    ended(told)


def _competition(file: Path) -> Competition:
    from entryprep.records.competition import Competition

    found, problems = validate(read_yaml(file), Competition)
    if found is None:
        raise RecordError(problems)
    return found


def _styles(beer: Beer, names: Sequence[str]) -> list[tuple[str, Style, float | None]]:
    if not names:
        return [(style.name, style, None) for style, _ in beer.ranking.shares[:USUAL]]
    found: list[tuple[str, Style, float | None]] = []
    for name in names:
        style = settled(beer, named(beer.table, name))
        if style is None:
            raise UsageProblem(f"{name} is a family of styles", "name the styles to compare")
        found.append((style.name, style, None))
    return found


def _categories(beer: Beer, into: Competition, names: Sequence[str]) -> list[tuple[str, Style, float | None]]:
    from entryprep.beer.category_ranking import rank_categories

    answers = [answer for answer in rank_categories(beer, into, len(into.categories)) if answer.style is not None]
    codes = {answer.category.code.casefold(): answer for answer in answers}
    for name in names:
        if name.casefold() not in codes:
            known = [answer.category.code for answer in answers]
            raise UsageProblem(
                f"{into.name} has no category {name} that takes styles", did_you_mean(name, known, "codes")
            )
    chosen = [codes[name.casefold()] for name in names] or answers[:USUAL]
    return [(f"{a.category.code} as {a.style.name}", a.style, a.share) for a in chosen if a.style is not None]


def _answer(beer: Beer, found: Sequence[Compared], into: Competition | None) -> str:
    """Which of the candidates, what is next, and what the beer is to be entered as where that is none of them."""
    place, rank = beer.placement, {id(each): -each.share for each in found}
    if into is None and place.style is not None:  # the answer to what to enter it as has one home
        rank |= {id(each): -2.0 for each in found if each.style.id == place.style.id}
    first, *others = sorted(found, key=lambda each: rank[id(each)])
    words = f"{beer.name}: {_named(first)}"
    if others:
        words = f"{beer.name}: of these {len(found)} {_named(first)}, then {_named(others[0])}."
    else:
        words += "."
    if into is None and (place.style is None or place.style.id != first.style.id):
        words += f" Among all styles: {place.line}"
    return words


def _named(each: Compared) -> str:
    fit = "fit not known" if each.fit.score is None else f"fit {each.fit.score:.0f}"
    return f"{each.label} (share {each.share:.0%}, {fit})"


def _rows(beer: Beer, part: Sequence[Compared]) -> list[tuple[str, ...]]:
    rows = []
    for vital, reading in beer.vitals.known.items():
        cells = []
        for each in part:
            found = each.fit.part(vital)
            if found is None:
                cells.append("-")
                continue
            mark = "" if not found.miss else " > " if found.miss > 0 else " < "
            ranged = span(vital, found.range.low, found.range.high)
            cells.append(f"{ranged}{f'{mark}{amount(vital, abs(found.miss))}' if mark else ''}")
        rows.append((words_of(vital), amount(vital, reading.value), *cells))
    fits = ("-" if each.fit.score is None else f"{each.fit.score:.0f}" for each in part)
    rows.append(("fit", "", *fits))
    rows.append(("share", "", *(f"{each.share:.0%}" for each in part)))
    rows.append(("to declare", "", *(", ".join(each.declare) or "nothing" for each in part)))
    return rows


def _as_json(beer: Beer, found: Sequence[Compared], into: Competition | None) -> dict[str, Any]:
    return {
        "beer": beer.name,
        "competition": into.name if into is not None else None,
        "vitals": {name: reading.value for name, reading in beer.vitals.known.items()},
        "candidates": [
            {
                "label": each.label,
                "style": each.style.id,
                "share": round(each.share, 6),
                "fit": fit_json(each.fit),
                "declare": list(each.declare),
                "reasons": list(each.reasons),
            }
            for each in found
        ],
    }
