"""``vitals``: the numbers of a beer, where each comes from, and how it came about."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from entryprep.beer.beer import Beer
from entryprep.cli.beer import Opened, open_beer
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.cautions import cautions_json, cautions_told, ended, say_cautions
from entryprep.cli.show import console, paragraph, print_json, print_lines, table
from entryprep.measures import degrees, pressure, pressure_unit
from entryprep.vitals import VITALS, Vitals, amount, title_of, words_of

if TYPE_CHECKING:
    from entryprep.beer.pressure import PressureRow


def show_vitals(
    file: Path | None,
    given: Mapping[str, str],
    as_json: bool,
    recipe: str = "",
    explain: bool = False,
    beerjson: Path | None = None,
) -> None:
    """``entryprep vitals``."""
    opened = open_beer(file, given, recipe=recipe)
    beer = opened.beer
    steps: dict[str, list[str]] = {}
    if explain:
        from entryprep.beer.explaining import explained_vitals

        steps = dict(explained_vitals(beer))
    notes = _recipe_notes(opened)
    rows = _pressure_rows(beer)
    if beerjson is not None:
        _write_beerjson(beer, beerjson)
    told = cautions_told(beer, file)
    if as_json:
        found: dict[str, Any] = {"beer": beer.name, "vitals": vitals_json(beer.vitals)}
        found["findings"] = cautions_json(told)
        if explain:
            found["steps"] = steps
        if rows:
            found["bottle_pressure_kpa"] = [_pressure_json(row) for row in rows]
        if beer.batch is not None and beer.batch.recipe is not None:
            found["recipe"] = {"notes": notes, "not_read": list(opened.ignored)}
        print_json(found)
        ended(told)
        return
    _print_vitals(beer)
    if rows:
        _print_pressures(rows)
    for name, lines in steps.items():
        print_lines(title_of(name), lines)
    if notes:
        print_lines("Of the recipe", notes)
    if opened.ignored:
        print_lines("Not read from the file", ["; ".join(opened.ignored)])
    say_cautions(told)
    ended(told)


def _print_vitals(beer: Beer) -> None:
    out = console()
    out.print(paragraph(beer.name, "bold"))
    rows = []
    for name, reading in beer.vitals.known.items():
        error = amount(name, beer.vitals.error(name))
        rows.append((title_of(name), amount(name, reading.value), f"± {error}", reading.origin))
    if rows:
        out.print(table(("vital", "value", "error", "origin"), rows, right=(1, 2)))
    missing = [words_of(name) for name in VITALS if name not in beer.vitals.known]
    if missing:
        out.print(paragraph(f"Not known: {', '.join(missing)}."))


def _pressure_rows(beer: Beer) -> list[PressureRow]:
    reading = beer.vitals.get("co2")
    if beer.batch is None or reading is None or not any(kind.count for kind in beer.batch.bottles):
        return []
    from entryprep.beer.pressure import pressure_rows

    return pressure_rows(beer.batch, reading.value)


def _pressure_json(row: PressureRow) -> dict[str, Any]:
    from entryprep.beer.pressure import TEMPERATURES_C

    at = {f"{celsius} °C": round(kpa, 1) for celsius, kpa in zip(TEMPERATURES_C, row.kpa, strict=True)}
    return {"of": row.words, "volumes": round(row.volumes, 3), "at": at}


def _print_pressures(rows: Sequence[PressureRow]) -> None:
    from entryprep.beer.pressure import TEMPERATURES_C

    at = [degrees(celsius) for celsius in TEMPERATURES_C]
    out = console()
    out.print()
    out.print(paragraph(f"Pressure in the bottle, {pressure_unit()} over air pressure", "bold"))
    cells = [(row.words, f"{row.volumes:.1f}", *(pressure(kpa) for kpa in row.kpa)) for row in rows]
    out.print(table(("", "volumes", *at), cells, right=(1, 2, 3, 4, 5)))
    out.print(
        paragraph(
            "The limits are common practice for sound glass, not a maker's rating, which outranks them. A bottle above "
            "its limit can burst: keep it cold, wear eye protection, do not ship it."
        )
    )


def _recipe_notes(opened: Opened) -> list[str]:
    beer = opened.beer
    if beer.batch is None or beer.batch.recipe is None:
        return []
    from entryprep.beer.explaining import forecast_notes

    return [*opened.assumed, *forecast_notes(beer.forecast)]


def _write_beerjson(beer: Beer, target: Path) -> None:
    from entryprep.formats.beerjson_writing import beerjson_text
    from entryprep.output import write_new

    if beer.batch is None:
        raise UsageProblem("there is no recipe to write", "name a batch file whose beer has a recipe")
    known = {name: reading.value for name, reading in beer.vitals.known.items()}
    write_new(target, beerjson_text(beer.batch, known).encode())


def vitals_json(vitals: Vitals) -> dict[str, Any]:
    """Vitals as plain values."""
    return {
        name: {"value": round(reading.value, 6), "error": round(vitals.error(name), 6), "origin": reading.origin}
        for name, reading in vitals.known.items()
    }
