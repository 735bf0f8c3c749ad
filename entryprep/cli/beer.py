"""``vitals``, ``fit`` and ``suggest``: one beer, from a batch file or from numbers on the command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from entryprep.cli.bars import range_bar
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.matching.assessing import Assessed, assessed, assessed_numbers
from entryprep.matching.blended import blend_vitals
from entryprep.matching.fitting import Fit, amount
from entryprep.matching.nexttime import next_time
from entryprep.matching.routing import facts_of_kinds, route
from entryprep.matching.vitals import Reading, Vitals
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.records.files import read_yaml
from entryprep.records.formats.opening import ENDINGS, WithRecipe, read_recipe, with_recipe
from entryprep.records.style import ADDITIONS, Style
from entryprep.records.table import StyleTable, extended_table, load_styles
from entryprep.records.validate import validate
from entryprep.records.yamltext import RecordError

if TYPE_CHECKING:
    from entryprep.entering.pressure import PressureRow

NAMES = {
    "og": "Original gravity",
    "fg": "Final gravity",
    "abv": "Alcohol by volume",
    "ibu": "Bitterness",
    "srm": "Colour",
    "co2": "Carbonation",
}


@dataclass(frozen=True)
class Beer:
    """One beer as the commands see it."""

    title: str
    assessed: Assessed
    style: str
    base: str
    table: StyleTable
    batch: Batch | None = None
    ignored: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def vitals(self) -> Vitals:
        """Its vitals, as served."""
        return self.assessed.vitals

    @property
    def base_style(self) -> Style | None:
        """The declared base style, if it names one style."""
        return self.assessed.base


def the_beer(
    file: Path | None,
    given: Mapping[str, str],
    traits: Sequence[str] = (),
    additions: Sequence[str] = (),
    recipe: str = "",
    competition: Competition | None = None,
) -> Beer:
    """The beer of a batch file, or of numbers; numbers, traits and additions given beside a file replace the file's."""
    numbers = {name: value for name, value in given.items() if value}
    if file is None:
        if not numbers:
            raise UsageProblem("no beer was named", "name a batch file, or give numbers such as --og 1.048 --fg 1.010")
        kinds = addition_options(additions) if additions else None
        alone = assessed_numbers(Vitals(**numbers), trait_options(traits), kinds)
        return Beer("This beer", alone, "", "", _table_near(None))
    read = read_batch(file, recipe)
    batch, table = read.batch, _table_near(file)
    base = _base_of(batch, table)
    found = assessed(batch, base, competition.routing if competition else ())
    if batch.blend:
        found = replace(found, vitals=blend_vitals(batch, lambda batch_id: _beside(file, batch_id), file.stem))
    if numbers:
        known = found.vitals.known.items()
        own: dict[str, Reading | str] = {n: r for n, r in known if r.origin != "derived" or n == "co2"}
        found = replace(found, vitals=Vitals(**{**own, **numbers}))
    if traits:
        found = replace(found, traits={**found.traits, **trait_options(traits)})
    if additions:
        kinds = addition_options(additions)
        found = replace(found, kinds=kinds, route=route(facts_of_kinds(kinds, base)))
    return Beer(batch.name, found, batch.style or "", batch.base or "", table, batch, read.ignored, read.assumed)


def _beside(file: Path, batch_id: str) -> Batch | None:
    """A batch of the same folder, or None if there is none."""
    path = file.with_name(f"{batch_id}.yaml")
    return read_batch(path).batch if path.is_file() else None


def _base_of(batch: Batch, table: StyleTable) -> Style | None:
    """The declared base as a style; None where none is declared, or a family. Raises as ``StyleTable.find``."""
    if not batch.base or table.of_family(batch.base):
        return None
    return table.find(batch.base)


def read_batch(file: Path, recipe: str = "") -> WithRecipe:
    """Read one batch, with its recipe: a batch file, or a BeerJSON or BeerXML file itself, of which ``recipe`` is read.

    Raises RecordError with every problem in it.
    """
    if file.suffix.lower() in ENDINGS:
        read = read_recipe(file, recipe or None)
        return WithRecipe(read.batch, read.ignored, read.assumed)
    batch, problems = validate(read_yaml(file), Batch)
    if batch is None:
        raise RecordError(problems)
    if recipe and batch.recipe is not None and batch.recipe.file is not None:
        batch = batch.model_copy(update={"recipe": batch.recipe.model_copy(update={"name": recipe})})
    parent = file.resolve().parent
    return with_recipe(batch, parent.parent if parent.name == "batches" else parent)


def _table_near(file: Path | None) -> StyleTable:
    """The style table, with the user's own styles if the batch lies in a season that has some."""
    folder = file.resolve().parent.parent / "styles" if file else None
    if folder is None or not folder.is_dir() or not (folder.parent / "batches").is_dir():
        return load_styles()
    own, problems = extended_table(folder, "styles")
    if problems:
        raise RecordError(problems)
    return own


def trait_options(options: Sequence[str]) -> dict[str, str]:
    """``fermentation=lager`` and the like, by name."""
    result = {}
    for option in options:
        name, equals, value = option.partition("=")
        if not equals or not value:
            raise UsageProblem(f"--trait {option} has not the form name=value", "write --trait fermentation=lager")
        result[name.strip().replace("-", "_")] = value.strip()
    return result


def addition_options(options: Sequence[str]) -> tuple[str, ...]:
    """Kinds of addition; ``none`` alone says there are none."""
    for option in options:
        if option != "none" and option not in ADDITIONS:
            raise UsageProblem(f"{option} is not a kind of addition", f"use one of {', '.join(ADDITIONS)}, or none")
    return tuple(dict.fromkeys(option for option in options if option != "none"))


def show_vitals(
    file: Path | None,
    given: Mapping[str, str],
    as_json: bool,
    units: str,
    recipe: str = "",
    explain: bool = False,
    beerjson: Path | None = None,
) -> None:
    """``entryprep vitals``."""
    checked_units(units)
    beer = the_beer(file, given, recipe=recipe)
    steps: dict[str, list[str]] = {}
    if explain:
        from entryprep.matching.explaining import explained_vitals

        steps = dict(explained_vitals(beer.batch, beer.vitals))
    notes = _recipe_notes(beer)
    rows = _pressure_rows(beer)
    if beerjson is not None:
        _write_beerjson(beer, beerjson)
    if as_json:
        found: dict[str, Any] = {"beer": beer.title, "vitals": vitals_json(beer.vitals)}
        if explain:
            found["steps"] = steps
        if rows:
            found["bottle_pressure_kpa"] = [_pressure_json(row) for row in rows]
        if beer.batch is not None and beer.batch.recipe is not None:
            found["recipe"] = {"notes": notes, "not_read": list(beer.ignored)}
        print_json(found)
        return
    _print_vitals(beer)
    if rows:
        _print_pressures(rows, units)
    for name, lines in steps.items():
        print_lines(NAMES[name], lines)
    if notes:
        print_lines("Of the recipe", notes)
    if beer.ignored:
        print_lines("Not read from the file", ["; ".join(beer.ignored)])


def _print_vitals(beer: Beer) -> None:
    out = console()
    out.print(paragraph(beer.title, "bold"))
    rows = []
    for name, reading in beer.vitals.known.items():
        error = amount(name, beer.vitals.error(name))
        rows.append((NAMES[name], amount(name, reading.value), f"± {error}", reading.origin))
    if rows:
        out.print(table(("vital", "value", "error", "origin"), rows, right=(1, 2)))
    missing = [NAMES[name].lower() for name in NAMES if name not in beer.vitals.known]
    if missing:
        out.print(paragraph(f"Not known: {', '.join(missing)}."))


def _pressure_rows(beer: Beer) -> list[PressureRow]:
    reading = beer.vitals.get("co2")
    if beer.batch is None or reading is None or not any(kind.count for kind in beer.batch.bottles):
        return []
    from entryprep.entering.pressure import pressure_rows

    return pressure_rows(beer.batch, reading.value)


def _pressure_json(row: PressureRow) -> dict[str, Any]:
    from entryprep.entering.pressure import TEMPERATURES_C

    at = {f"{celsius} °C": round(kpa, 1) for celsius, kpa in zip(TEMPERATURES_C, row.kpa, strict=True)}
    return {"of": row.words, "volumes": round(row.volumes, 3), "at": at}


def _print_pressures(rows: Sequence[PressureRow], units: str) -> None:
    from entryprep.entering.pressure import TEMPERATURES_C

    per, unit = (6.894757, "psi") if units == "us" else (100.0, "bar")
    degrees = [f"{c * 1.8 + 32:.0f} °F" if units == "us" else f"{c} °C" for c in TEMPERATURES_C]
    digits = 0 if units == "us" else 1
    out = console()
    out.print()
    out.print(paragraph(f"Pressure in the bottle, {unit} over air pressure", "bold"))
    cells = [(row.words, f"{row.volumes:.1f}", *(f"{kpa / per:.{digits}f}" for kpa in row.kpa)) for row in rows]
    out.print(table(("", "volumes", *degrees), cells, right=(1, 2, 3, 4, 5)))
    out.print(
        paragraph(
            "The limits are common practice for sound glass, not a maker's rating, which outranks them. A bottle above "
            "its limit can burst: keep it cold, wear eye protection, do not ship it."
        )
    )


def print_lines(title: str, lines: Sequence[str]) -> None:
    """A heading and a paragraph for each line."""
    out = console()
    out.print()
    out.print(paragraph(title, "bold"))
    for line in lines:
        out.print(paragraph(line, indent=2))


def _recipe_notes(beer: Beer) -> list[str]:
    if beer.batch is None or beer.batch.recipe is None:
        return []
    from entryprep.matching.explaining import forecast_notes

    return [*beer.assumed, *forecast_notes(beer.batch)]


def _write_beerjson(beer: Beer, target: Path) -> None:
    from entryprep.records.formats.writing import beerjson_text
    from entryprep.writing import write_new

    if beer.batch is None:
        raise UsageProblem("there is no recipe to write", "name a batch file whose beer has a recipe")
    known = {name: reading.value for name, reading in beer.vitals.known.items()}
    write_new(target, beerjson_text(beer.batch, known).encode())


def checked_units(units: str) -> None:
    """Refuse a system of units that is not metric or us."""
    if units not in {"metric", "us"}:
        raise UsageProblem(f"--units {units} is not known", "use metric or us")


def vitals_json(vitals: Vitals) -> dict[str, Any]:
    """Vitals as plain values."""
    return {
        name: {"value": round(reading.value, 6), "error": round(vitals.error(name), 6), "origin": reading.origin}
        for name, reading in vitals.known.items()
    }


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
    units: str,
    recipe: str = "",
) -> None:
    """``entryprep fit``."""
    checked_units(units)
    beer = the_beer(file, given, recipe=recipe)
    wanted = style or beer.style
    if not wanted:
        raise UsageProblem("no style was named", "give --style, or declare one in the batch file")
    chosen = beer.table.find(wanted)
    under = beer.table.find(base) if base else beer.base_style
    result = beer.assessed.fit(chosen, under)
    advice = next_time(beer.batch or Batch(name=beer.title), result)
    if as_json:
        print_json({"beer": beer.title, "fit": fit_json(result), "next_time": list(advice)})
        return
    print_fit(beer.title, result)
    if advice:
        print_lines("Next time (common practice)", advice)


def print_fit(title: str, result: Fit) -> None:
    """A fit as a table with bars."""
    out = console()
    out.print(paragraph(f"{title} as {_as(result)}", "bold"))
    if result.score is None:
        why = (
            "its vitals follow the base beer: name one with --base" if result.style.specialty else "nothing to compare"
        )
        out.print(paragraph(f"Fit unknown: {why}."))
        return
    rows = [
        (
            part.vital.upper(),
            amount(part.vital, part.reading.value),
            range_bar(part.reading.value, part.range.low, part.range.high),
            _span(part.vital, part.range.low, part.range.high),
            part.words,
        )
        for part in result.parts
    ]
    out.print(table(("", "value", "|fit", "range", ""), rows, right=(1,)))
    out.print(
        paragraph(
            f"Fit {result.score:.0f} of 100; confidence {result.confidence:.0%} (share of the style's vitals known)."
        )
    )


def _as(result: Fit) -> str:
    return f"{result.style.name} on a base of {result.base.name}" if result.base else result.style.name


def _span(vital: str, low: float, high: float) -> str:
    digits = {"og": 3, "fg": 3, "abv": 1, "ibu": 0, "srm": 0, "co2": 1}[vital]
    if vital == "srm" and (low % 1 or high % 1):
        digits = 1
    return f"{low:.{digits}f}-{high:.{digits}f}"
