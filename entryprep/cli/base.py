"""``base``: the beer underneath what was added, and whether it is the base that is declared."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from entryprep.beer.basefit import BaseFit, base_fit
from entryprep.beer.beer import Beer
from entryprep.cli.beer import open_beer
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.cautions import cautions_json, cautions_told, ended, say_cautions, say_stops
from entryprep.cli.fit import fit_json, print_fit
from entryprep.cli.show import console, paragraph, print_json, print_lines, table
from entryprep.cli.suggest import print_additions, verdict_json
from entryprep.cli.vitals import vitals_json
from entryprep.quantities import QuantityError
from entryprep.vitals import amount, title_of


def run(file: Path, base: str, as_json: bool, recipe: str = "") -> None:
    """``entryprep base``."""
    beer = open_beer(file, {}, recipe=recipe, base=base).beer
    if len(beer.vitals.known) < 2:
        raise QuantityError("too little is known of the beer", "give at least two vitals, or a recipe")
    found, told = base_fit(beer), cautions_told(beer, file)
    if as_json:
        print_json({**_as_json(beer, found), "findings": cautions_json(told)})
    else:
        say_stops(told)
        _print(beer, found)
        say_cautions(told)
    if found.refused:
        raise UsageProblem(found.refused, "such as `base: porter` or `base: American wheat beer`")
    ended(told)


def _notes(beer: Beer) -> list[str]:
    under = beer.under
    notes = list(under.notes) if under else []
    return [*notes, beer.problem] if beer.problem else notes


def _as_json(beer: Beer, found: BaseFit) -> dict[str, Any]:
    return {
        "beer": beer.name,
        "served": vitals_json(beer.vitals),
        "base": vitals_json(beer.base_vitals or beer.vitals),
        "declared_base": beer.base_name or None,
        "refused": found.refused or None,
        "holds": found.holds if beer.base_name else None,
        "fits": [fit_json(result) for result in found.declared],
        "better": [fit_json(result) for result in found.better],
        "additions": [verdict_json(v) for v in beer.verdicts],
        "notes": _notes(beer),
    }


def _print(beer: Beer, found: BaseFit) -> None:
    out = console()
    out.print(paragraph(_answer(beer, found), "bold"))
    below, served = beer.base_vitals or beer.vitals, beer.vitals
    rows = []
    for vital, reading in below.known.items():
        if vital == "co2":
            continue
        as_served = served.get(vital)
        cell = amount(vital, as_served.value) if as_served else "-"
        error = f"± {amount(vital, below.error(vital))}"
        rows.append((title_of(vital), amount(vital, reading.value), error, cell))
    out.print(table(("vital", "base", "error", "as served"), rows, right=(1, 2, 3)))
    if beer.base_vitals is None:
        unclear = "The base could not be worked out, so it is taken as the beer itself: see the notes."
        plain = "Nothing was added that changes its vitals: the base is the beer itself."
        out.print(paragraph(unclear if _notes(beer) else plain))
    print_additions(beer.verdicts)
    if _notes(beer):
        print_lines("Notes", _notes(beer))
    if found.refused:
        return
    out.print()
    if found.declared:
        print_fit("The base", found.declared[0], beer.base_vitals is not None)
        if len(found.declared) > 1:
            others = ", ".join(f"{r.style.name} {_score(r.score)}" for r in found.declared[1:])
            out.print(paragraph(f"Of {beer.base_name}, also: {others}."))
    elif not beer.base_name:
        out.print(paragraph("No base is declared: name one with --base, or `base:` in the batch."))
    if found.better:
        lines = [f"{r.style.name}: fit {_score(r.score)}" for r in found.better]
        print_lines("Base styles that fit better" if found.declared else "Base styles that fit", lines)


def _answer(beer: Beer, found: BaseFit) -> str:
    """Whether the declared base holds, and which style fits the beer underneath better."""
    best = next(iter(found.better), None)
    better = f"{best.style.name} (fit {_score(best.score)})" if best is not None else ""
    if found.refused:
        return f"{beer.name}: {found.refused}."
    if not found.declared:
        said = f"“{beer.base_name}” is no base that could be looked up" if beer.base_name else "no base is declared"
        if beer.base_vitals is None and not beer.base_name and not _notes(beer):
            said = "nothing was added that changes its vitals"
        return f"{beer.name}: {said}{f'; the beer underneath fits {better}' if better else ''}."
    first = found.declared[0]
    fit = f"{first.style.name} (fit {_score(first.score)})"
    if found.holds:
        return f"{beer.name}: {fit} holds as its base{f'; {better} fits better' if better else ''}."
    return f"{beer.name}: {fit} does not hold as its base{f'; {better} fits' if better else ''}."


def _score(score: float | None) -> str:
    return "-" if score is None else f"{score:.0f}"
