"""``fit``: how well a beer sits in one style, vital by vital, and what to change next time."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from entryprep.beer.beer import Beer
from entryprep.beer.fitting import Fit
from entryprep.cli.bars import print_forest
from entryprep.cli.beer import open_beer, settled
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.cautions import cautions_json, cautions_told, ended, say_cautions, say_stops
from entryprep.cli.show import console, paragraph, print_json, print_lines
from entryprep.paper.forest import runner_up
from entryprep.vitals import title_of

RUNNERS_UP = 4  # among which another style is looked for to show beside it


def fit_json(result: Fit) -> dict[str, Any]:
    """A fit as plain values."""
    return {
        "style": result.style.id,
        "name": result.style.name,
        "base": result.base.id if result.base else None,
        "score": None if result.score is None else round(result.score, 2),
        "confidence": round(result.confidence, 4),
        "parts": [
            {
                "vital": part.vital,
                "value": round(part.reading.value, 6),
                "low": part.range.low,
                "high": part.range.high,
                "miss": round(part.miss, 6),
                "miss_in_errors": round(part.miss_in_errors, 3),
                "membership": round(part.membership, 5),
                "words": part.words,
            }
            for part in result.parts
        ],
    }


def show_fit(
    file: Path | None,
    given: Mapping[str, str],
    style: str,
    base: str,
    as_json: bool,
    recipe: str = "",
) -> None:
    """``entryprep fit``."""
    beer = open_beer(file, given, recipe=recipe, base=base).beer
    beer = beer.changed(style=style) if style else beer
    chosen = settled(beer, beer.style_named)
    if chosen is None:
        raise UsageProblem("no style was named", "give --style, or declare one in the batch file")
    result, advice, told = beer.fit(chosen), beer.advice(chosen), cautions_told(beer, file)
    if as_json:
        fits = {"beer": beer.name, "fit": fit_json(result), "next_time": list(advice)}
        print_json({**fits, "findings": cautions_json(told)})
        ended(told)
        return
    say_stops(told)
    print_fit(beer.name, result, *beside(beer, result))
    if advice:
        print_lines("Next time (common practice)", advice)
    say_cautions(told)
    ended(told)


def print_fit(
    title: str, result: Fit, underneath: bool, other: Fit | None = None, other_underneath: bool = False
) -> None:
    """A fit as a forest plot, the misses in words below it; ``other`` is drawn hollow."""
    out = console()
    out.print(paragraph(f"{title} as {_as(result)}", "bold"))
    if result.score is None:
        why = (
            "its vitals follow the base beer: name one with --base" if result.style.specialty else "nothing to compare"
        )
        out.print(paragraph(f"Fit unknown: {why}."))
        return
    print_forest(result, underneath, other, other_underneath)
    for part in result.parts:
        if part.miss:
            out.print(paragraph(f"{title_of(part.vital)}: {part.words}."))
    out.print(
        paragraph(
            f"Fit {result.score:.0f} of 100; confidence {result.confidence:.0%} (share of the style's vitals known)."
        )
    )


def beside(beer: Beer, result: Fit) -> tuple[bool, Fit | None, bool]:
    """Whether a fit is that of the beer underneath, the best of the other styles, and the same of it."""
    other = runner_up(result, (s.fit for s in beer.suggestions(RUNNERS_UP)))
    under = beer.base_vitals is not None
    return under and result.base is not None, other, under and other is not None and other.base is not None


def _as(result: Fit) -> str:
    return f"{result.style.name} on a base of {result.base.name}" if result.base else result.style.name
