"""Which column of a sheet is which field: by name, by spelling, by what a long question asks, or as the user says."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Annotated

from pydantic import Field

from entryprep.errors import EntryprepError
from entryprep.findings import Finding
from entryprep.formats.answers import Asides, answers_of
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
    asks: tuple[Text, ...] = ()
    never: tuple[Text, ...] = ()


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


@cache
def _asked(kind: str) -> dict[str, tuple[re.Pattern[str] | None, re.Pattern[str] | None]]:
    """For each field what a longer header may ask for it by, and what says that it asks for something else."""
    return {column.name: (_pattern(column.asks), _pattern(column.never)) for column in sheet_columns(kind)}


def _pattern(phrases: Sequence[str]) -> re.Pattern[str] | None:
    """Any of some phrases in a folded text, the longest first; ``*`` stands for the end of a word."""
    words = sorted((fold(p.rstrip("*")) + (r"\w*" if p.endswith("*") else "") for p in phrases), key=len, reverse=True)
    if not words:
        return None
    return re.compile(r"(?<!\w)(?:" + "|".join(word.replace(" ", r"\w* ") for word in words) + r")(?!\w)")


_BRACKETS = re.compile(r"\([^)]*\)|\[[^\]]*\]")


def field_scores(header: str, kind: str) -> dict[str, tuple[float, str]]:
    """How well a header matches each field, from INSIDE to EXACT, with the way it was found; empty if not at all.

    A long question counts by the longest of its words that ask for a field, unless it also says that it asks for
    something else (who else brewed it, how many there are, whether one agrees).
    """
    from rapidfuzz import fuzz  # noqa: PLC0415 - only sheets need it

    key = fold(header)
    names = _names(kind)
    bare = fold(_BRACKETS.sub(" ", header))
    for plain in (key, bare):  # a unit in brackets is no part of the name
        if plain in names:
            return {names[plain][0]: (EXACT, "name")}
    found: dict[str, tuple[float, str]] = {}
    padded = f" {key} "
    asked = _asked(kind)

    def better(field: str, score: float, how: str) -> None:
        never = asked[field][1]
        if score > found.get(field, (0.0, ""))[0] and not (never and never.search(key)):
            found[field] = (score, how)

    for name, (field, inside) in names.items():
        if inside and f" {name} " in padded:
            better(field, INSIDE + 2 * len(name.split()), "inside")
        elif min(len(key), len(name)) >= 5 and (ratio := fuzz.ratio(key, name)) >= SPELT:
            better(field, ratio - 1, "spelling")
    for field, (asks, _) in asked.items():
        for plain in (key, bare) if asks else ():
            longest = max((len(m[0].split()) for m in asks.finditer(plain)), default=0) if asks else 0
            if longest:  # what stands in brackets explains, and weighs less
                better(field, INSIDE + 2 * longest - (1 if plain is key and key != bare else 0), "inside")
    return found


def looks_like_header(cells: Sequence[str], kind: str) -> bool:
    """Whether a row holds column names: at least two cells that name different fields."""
    fields = {field for cell in cells if cell.strip() and len(cell) <= 200 for field in field_scores(cell, kind)}
    return len(fields) >= 2


def matched(sheet: Sheet, kind: str, told: Mapping[str, str] | None = None) -> list[Match]:
    """Fields by column, best match first to choose, each field and each column once; in the order of the columns.

    ``told`` maps fields to a header or a column number and outranks everything; an empty text takes a field away. What
    the first rows answer outweighs what a header seems to ask. A field that says who somebody is (PEOPLE) is not read
    at all where two columns may be it. What is left over, or claimed twice, is told in the sheet's findings. Raises
    MappingError.
    """
    taken = _told(sheet, kind, told or {})
    fields = {m.field for m in taken} | {field for field, where in (told or {}).items() if not where}
    columns = {m.column for m in taken}
    answers = answers_of(sheet)
    claims: list[tuple[float, int, str, str]] = []
    for column, header in enumerate(sheet.header):
        if column in columns or not header.strip():
            continue
        for field, (score, how) in field_scores(header[:200], kind).items():
            if answers[column].speaks_against(field):
                values = {"column": column + 1, "header": header.strip()[:40], "field": field}
                said = {"cells": answers[column].first[:40]}
                sheet.findings.append(
                    sheet.finding("sheet-column-answers", sheet.header_row, column + 1, values | said)
                )
                continue
            claims.append((-score + (SPARSE if answers[column].sparse(field) else 0.0), column, field, how))
    claims.sort()
    doubtful = _doubtful(sheet, [c for c in claims if c[1] not in columns and c[2] not in fields])
    fields |= doubtful
    lost: list[tuple[int, str, float]] = []
    for score, column, field, how in claims:
        if column in columns:
            continue
        if field in fields:
            if field not in doubtful:
                lost.append((column, field, -score))
            continue
        header = sheet.header[column]
        if field == "abv" and answers[column].is_fraction():
            sheet.findings.append(
                sheet.finding("sheet-fraction", sheet.header_row, column + 1, {"header": header.strip()})
            )
            header = f"{header} (fraction)"
        taken.append(Match(column, header, field, how))
        fields.add(field)
        columns.add(column)
    sheet.findings += [_claimed_twice(sheet, taken, *each) for each in lost if each[0] not in columns]
    sheet.aside = Asides(kind, taken).case_of
    return sorted(taken, key=lambda m: m.column)


PEOPLE = frozenset({"brewer", "contact", "judge", "voter"})
"""Fields that say who somebody is: a wrong one sends a letter, or a medal, to somebody else."""
CLOSE = 3.0  # two claims on such a field that lie no farther apart are in doubt
SPARSE = 12.0  # what a column loses that is empty in most rows, for a field that each row must have


def _doubtful(sheet: Sheet, claims: Sequence[tuple[float, int, str, str]]) -> set[str]:
    """Fields of PEOPLE that two columns claim about equally, neither by its plain name; each is told."""
    best: dict[int, float] = {}
    for score, column, _, _ in claims:
        best[column] = min(score, best.get(column, 0.0))
    found = set()
    for person in sorted(PEOPLE):
        rivals = [c for c in claims if c[2] == person and c[0] <= best[c[1]]]
        near = [c for c in rivals if c[0] - rivals[0][0] <= CLOSE]
        if len(near) > 1 and near[0][3] != "name":
            found.add(person)
            listed = " and ".join(f"{column + 1} ({sheet.header[column].strip()[:40]})" for _, column, _, _ in near)
            values = {"columns": listed, "field": person, "column": near[0][1] + 1}
            sheet.findings.append(sheet.finding("sheet-person-doubtful", sheet.header_row, near[0][1] + 1, values))
    return found


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
