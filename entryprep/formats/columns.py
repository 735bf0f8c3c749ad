"""Which column of a sheet is which field: by name, by spelling, or as the user says."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Annotated

from pydantic import Field

from entryprep.errors import EntryprepError
from entryprep.findings import Finding
from entryprep.formats.spreadsheet import Sheet
from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold

EXACT, SPELT, INSIDE = 100.0, 86.0, 70.0  # INSIDE plus two for each word, so that the longest name found wins


class Column(Record):
    """One field a sheet may have."""

    name: Text
    words: Text
    also: Annotated[tuple[Text, ...], Field(min_length=1)]
    inside: bool = False


class _Columns(Record):
    sheets: dict[str, list[Column]]


@dataclass(frozen=True)
class Match:
    """A column of the sheet read as a field; ``how`` is name, spelling, inside or told."""

    column: int
    header: str
    field: str
    how: str


class MappingError(EntryprepError, ValueError):
    """A mapping the user gave that does not fit the sheet; ``fix`` says what does."""


@cache
def sheet_columns(kind: str) -> tuple[Column, ...]:
    """The fields a kind of sheet may have: ``declarations``, ``scores``, ``judges`` or ``votes``."""
    known = shipped_record("templates/receiving/columns.yaml", _Columns)
    return tuple(known.sheets[kind])


@cache
def _names(kind: str) -> dict[str, tuple[str, bool]]:
    """Every name of every field with its field, and whether it may stand inside a longer header."""
    names: dict[str, tuple[str, bool]] = {}
    for column in sheet_columns(kind):
        for also in (column.name.replace("_", " "), *column.also):
            key = fold(also)
            names.setdefault(key, (column.name, " " in key or column.inside))
    return names


_BRACKETS = re.compile(r"\([^)]*\)|\[[^\]]*\]")


def field_scores(header: str, kind: str) -> dict[str, tuple[float, str]]:
    """How well a header matches each field, from INSIDE to EXACT, with the way it was found; empty if not at all."""
    from rapidfuzz import fuzz  # noqa: PLC0415 - only sheets need it

    key = fold(header)
    names = _names(kind)
    for plain in (key, fold(_BRACKETS.sub(" ", header))):  # a unit in brackets is no part of the name
        if plain in names:
            return {names[plain][0]: (EXACT, "name")}
    found: dict[str, tuple[float, str]] = {}
    padded = f" {key} "
    for name, (field, inside) in names.items():
        if inside and f" {name} " in padded:
            score, how = INSIDE + 2 * len(name.split()), "inside"
        elif min(len(key), len(name)) >= 5 and (ratio := fuzz.ratio(key, name)) >= SPELT:
            score, how = ratio - 1, "spelling"
        else:
            continue
        if score > found.get(field, (0.0, ""))[0]:
            found[field] = (score, how)
    return found


def looks_like_header(cells: Sequence[str], kind: str) -> bool:
    """Whether a row holds column names: at least two cells that name different fields."""
    fields = {field for cell in cells if cell.strip() and len(cell) <= 200 for field in field_scores(cell, kind)}
    return len(fields) >= 2


def matched(sheet: Sheet, kind: str, told: Mapping[str, str] | None = None) -> list[Match]:
    """Fields by column, best match first to choose, each field and each column once; in the order of the columns.

    ``told`` maps fields to a header or a column number and outranks everything; an empty text takes a field away. What
    is left over, or claimed twice, is told in the sheet's findings. Raises MappingError.
    """
    taken = _told(sheet, kind, told or {})
    fields = {m.field for m in taken} | {field for field, where in (told or {}).items() if not where}
    columns = {m.column for m in taken}
    claims = [
        (-score, column, field, how)
        for column, header in enumerate(sheet.header)
        if column not in columns and header.strip()
        for field, (score, how) in field_scores(header[:200], kind).items()
    ]
    lost: list[tuple[int, str, float]] = []
    for score, column, field, how in sorted(claims):
        if column in columns:
            continue
        if field in fields:
            lost.append((column, field, -score))
            continue
        taken.append(Match(column, sheet.header[column], field, how))
        fields.add(field)
        columns.add(column)
    sheet.findings += [_claimed_twice(sheet, taken, *each) for each in lost if each[0] not in columns]
    return sorted(taken, key=lambda m: m.column)


def _claimed_twice(sheet: Sheet, taken: Sequence[Match], column: int, field: str, score: float) -> Finding:
    winner = next((m for m in taken if m.field == field), None)
    same = winner is not None and score >= EXACT and winner.how == "name"
    values: dict[str, object] = {"column": column + 1, "header": sheet.header[column].strip()[:40], "field": field}
    if winner is not None:
        values |= {"taken": winner.column + 1, "taken_header": winner.header.strip()[:40]}
    case = "" if winner is not None else "unwanted"
    return sheet.finding("sheet-columns-alike", sheet.header_row, column + 1, values, milder=not same, case=case)


def _told(sheet: Sheet, kind: str, told: Mapping[str, str]) -> list[Match]:
    known = {column.name for column in sheet_columns(kind)}
    result: list[Match] = []
    for field, where in told.items():
        if field not in known:
            raise MappingError(f"{field[:40]} is no field of this sheet", f"fields known: {', '.join(sorted(known))}")
        if not where:
            continue
        column = _column(sheet, where)
        if column is None:
            listed = ", ".join(h.strip()[:30] for h in sheet.header if h.strip())
            raise MappingError(f"the sheet has no column {where[:40]}", f"columns: {listed}; or a number from 1")
        if any(m.column == column for m in result):
            raise MappingError(f"column {where[:40]} is mapped to two fields", "map each column once")
        result.append(Match(column, sheet.header[column], field, "told"))
    return result


def _column(sheet: Sheet, where: str) -> int | None:
    for column, header in enumerate(sheet.header):
        if fold(header) == fold(where) and header.strip():
            return column
    if where.isascii() and where.isdigit() and 1 <= int(where) <= len(sheet.header):
        return int(where) - 1
    return None
