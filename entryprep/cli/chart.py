"""``chart``: all beers against all categories of all competitions in one table."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from entryprep.cli.options import the_day
from entryprep.cli.plain import Line
from entryprep.cli.reading import errors_standing, errors_words, opened_with, written
from entryprep.cli.show import clean, console, paragraph, print_json
from entryprep.entering.planning.chart import LEGEND, Block, Cell, Chart, Row, chart
from entryprep.text import several

NARROWEST = 40  # columns below which a table is not narrowed further
NAME, GAP = 16, 1
SUITS = 0.1  # share from which a category is one to enter: what a plan leaves out is below it
# background and ink of a grade on a terminal that has colours; the letter says the same without
COLOURS = {
    "A": "black on green",
    "B": "black on bright_green",
    "C": "black on yellow",
    "D": "black on bright_black",
    "E": "",
    "-": "",
}


def run(folder: Path, picture: Path | None, today: str, as_json: bool) -> None:
    """``entryprep chart``."""
    day = the_day(today)
    season, problems = opened_with(folder)
    made, errors = chart(season), errors_standing(season, problems, day)
    if picture is not None:
        from entryprep.paper.beerspicture import beers_picture

        written(picture, beers_picture(made.beers).encode())
    if as_json:
        print_json({**_as_json(made, folder, picture), "errors": len(errors)})
        return
    _print(made, errors_words(season, errors))
    if picture is not None:
        console().print(paragraph(f"{picture.as_posix()}: all beers by gravity, strength, bitterness and colour"))


def _answer(made: Chart) -> str:
    """How many of the beers suit a category, and how many of these lack nothing there."""
    best: dict[str, list[Cell]] = {}
    for block in made.blocks:
        for row in block.rows:
            best.setdefault(row.batch_id, []).extend(c for c in row.cells if c.share >= SUITS and c.grade in "AB")
    suited = [cells for cells in best.values() if cells]
    ready = sum(any(not c.missing for c in cells) for cells in suited)
    words = f"{len(suited)} of {several(len(best), 'beer')} {'suits' if len(suited) == 1 else 'suit'} a category"
    return f"{words} (fit A or B, share from {SUITS:.0%}), {ready} with nothing missing."


def _print(made: Chart, errors: str) -> None:
    out = console()
    out.print(paragraph(_answer(made) + errors, "bold"))
    width = max(out.width, NARROWEST)
    for block in made.blocks:
        for part, (first, last) in enumerate(_parts(block, width)):
            out.print()
            begins, ends = block.categories[first][0], block.categories[last - 1][0]
            more = (f", {begins} to {ends}" if begins != ends else f", {begins}") if part else ""
            out.print(paragraph(f"{block.competition}{more}", "bold"))
            for line in _lines(block, first, last):
                out.print(line)
        told = [f"{code} {name}" for code, name in block.categories if code != name]
        out.print(paragraph("; ".join(told), "dim"))
        for words in block.missing:
            out.print(paragraph(f"! {words}", indent=2))
    out.print()
    out.print(paragraph(LEGEND))
    for batch_id, why in made.contradictions:
        out.print(paragraph(f"{batch_id} is left out: {why}"))


def _widths(block: Block) -> list[int]:
    return [max(len(code), 6) + GAP for code, _ in block.categories]


def _parts(block: Block, width: int) -> Iterator[tuple[int, int]]:
    """First and last category of each part that fits the width."""
    first, used = 0, NAME
    for i, wide in enumerate(_widths(block)):
        if used + wide > width and i > first:
            yield first, i
            first, used = i, NAME
        used += wide
    yield first, len(block.categories)


def _lines(block: Block, first: int, last: int) -> Iterator[Line]:
    widths = _widths(block)[first:last]
    codes = [code for code, _ in block.categories[first:last]]
    head = "".join(" " * GAP + code.rjust(wide - GAP) for code, wide in zip(codes, widths, strict=True))
    yield Line.of(" " * NAME + clean(head), "bold")
    for row in block.rows:
        name = clean(row.beer)
        line = Line.of((name if len(name) < NAME else name[: NAME - 2] + "…").ljust(NAME))
        for cell, wide in zip(row.cells[first:last], widths, strict=True):
            text, style = _cell(cell)
            line.append(" " * (wide - len(text)))
            line.append(text, style)
        yield line


def _cell(cell: Cell) -> tuple[str, str]:
    """At most six characters: best, grade, share, marks."""
    return cell.text, COLOURS[cell.grade] if cell.shown else "dim"


def _as_json(made: Chart, folder: Path, picture: Path | None) -> dict[str, Any]:
    return {
        "season": folder.as_posix(),
        "competitions": [
            {
                "competition": block.competition_id,
                "name": block.competition,
                "categories": [{"code": code, "name": name} for code, name in block.categories],
                "beers": [_row_json(row) for row in block.rows],
            }
            for block in made.blocks
        ],
        "vitals": [
            {"batch": b.batch_id, "name": b.beer, **{name: reading.value for name, reading in b.vitals.items()}}
            for b in made.beers
        ],
        "left_out": [{"batch": batch_id, "why": why} for batch_id, why in made.contradictions],
        "picture": None if picture is None else picture.as_posix(),
    }


def _row_json(row: Row) -> dict[str, Any]:
    return {"batch": row.batch_id, "name": row.beer, "cells": [_cell_json(cell) for cell in row.cells]}


def _cell_json(cell: Cell) -> dict[str, Any]:
    return {
        "category": cell.category,
        "share": round(cell.share, 6),
        "fit": None if cell.fit is None else round(cell.fit, 2),
        "grade": cell.grade,
        "style": cell.style or None,
        "missing": list(cell.missing),
        "best": cell.best,
        "certain": cell.certain,
        "entered": cell.entered,
    }
