"""Sheets that ``add --from`` reads: a cellar of beers, a competition's categories, the numbers it has issued."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from entryprep.cli.addcompetition import write_competition
from entryprep.cli.adding import Wanted, needed, tell, which
from entryprep.cli.addvalues import write_numbers
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.progress import working
from entryprep.cli.spreadsheets import columns_of, opened, unread_columns
from entryprep.entering.adding import AddError, add_record, checked, id_of, new_file
from entryprep.entering.season import Season
from entryprep.errors import EntryprepError
from entryprep.findings import Finding, Severity
from entryprep.formats.cells import count_cell, day_cell, is_empty, vital_cell
from entryprep.formats.columns import Match
from entryprep.formats.spreadsheet import Row, Sheet
from entryprep.quantities import QuantityError, parse
from entryprep.reading.yamltext import MOST_TOLD, RecordError
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.records.shorthand import additions, bottles, path_of, put, told
from entryprep.tables.bottles import known_type
from entryprep.text import did_you_mean, listed, several
from entryprep.vitals import KINDS_OF_VITAL

_HEAD = "One beer; entries.yaml refers to it by the name of this file. Written from {sheet}, row {row}."


def add_beers(
    words: Sequence[str],
    wanted: Wanted,
) -> None:
    """Write a record for each row of a cellar sheet: all that can be read, or none where a row has a problem."""
    if words:
        raise UsageProblem(f"{listed(words)}: a sheet says it all", "leave the words out, or add one beer in words")
    assert wanted.sheet is not None
    made: dict[str, tuple[dict[str, Any], str]] = {}
    found: list[Finding] = []
    standing = []
    with opened(wanted.sheet, "cellar") as sheet, working("reading") as step:
        matches = columns_of(sheet, "cellar", wanted.columns, ("name",))
        unread = unread_columns(sheet, matches)
        rows = list(sheet.rows())
        for number, row in enumerate(rows):
            step(f"reading row {row.number}", number, len(rows))
            data, problems = _beer(sheet, row, matches)
            found += problems
            if problems or not data.get("name"):
                continue
            record_id = id_of(str(data["name"]))
            if record_id in made:
                found.append(_problem(sheet, row, 1, f"{data['name']} stands twice", "give one of them another name"))
                continue
            try:
                new_file(wanted.folder, Batch, record_id)
            except AddError:
                standing.append(str(data["name"]))
                continue
            made[record_id] = (data, _HEAD.format(sheet=Path(sheet.name).name, row=row.number))
    if found:
        raise RecordError(found[:MOST_TOLD])
    paths = []
    with working("writing") as step:
        for number, (record_id, each) in enumerate(made.items()):
            step(f"writing {record_id}", number, len(made))
            paths.append(add_record(wanted.folder, Batch, record_id, *each))
    lines = [f"{several(len(paths), 'beer')} added."]
    if standing:
        lines.append(f"{several(len(standing), 'beer')} stood there already and stays as it is: {listed(standing)}.")
    if unread:
        lines.append(f"Columns not read: {listed(unread, 20)}; --map field=column names one.")
    tell(wanted, paths, lines)


def _problem(sheet: Sheet, row: Row, column: int, what: str, fix: str = "") -> Finding:
    return Finding("record", Severity.ERROR, what, fix=fix, file=sheet.name, line=row.number, column=column)


def _beer(sheet: Sheet, row: Row, matches: Sequence[Match]) -> tuple[dict[str, Any], list[Finding]]:
    """The data of a beer in a row, and every problem in it, each at its cell."""
    data: dict[str, Any] = {}
    found: list[Finding] = []
    cells = {m.field: (m, row.cells[m.column].strip()) for m in matches}
    usual = cells["type"][1] if "type" in cells and cells["type"][1] else "longneck"
    for name, (match, text) in cells.items():
        if name == "type" or (is_empty(text) and name != "specials") or not text:
            continue
        try:
            value = _value(name, text, match.header, usual)
            trial: dict[str, Any] = {"name": "x"}
            path = path_of(Batch, "addition" if name == "specials" else name)
            put(trial, path, value)
            checked(trial, Batch, sheet.name)
            put(data, path, value)
        except RecordError as error:
            found += [
                _problem(sheet, row, match.column + 1, f"{match.header}: {f.what}", f.fix) for f in error.findings
            ]
        except EntryprepError as error:
            found.append(_problem(sheet, row, match.column + 1, f"{match.header}: {error}", error.fix))
    if not found and data.get("name"):
        try:
            checked(data, Batch, sheet.name)
        except RecordError as error:
            found += [_problem(sheet, row, 1, f.what, f.fix) for f in error.findings]
    elif not data.get("name") and data:
        found.append(_problem(sheet, row, 1, "the beer has no name", "every row needs one"))
    return data, found


def _value(name: str, text: str, header: str, usual: str) -> Any:
    """A cell as a record would say it. Raises EntryprepError for what cannot be read."""
    if name in KINDS_OF_VITAL:
        return _vital(name, text, header)
    if name in {"brewed", "packaged"}:
        day = day_cell(text)
        return day.isoformat() if day is not None else text
    if name == "bottles":
        made = bottles(text, usual) if not text[:1].isalpha() else [{"count": count_cell(text), "type": usual}]
        for each in made:
            known_type(str(each["type"]))
        return made
    if name == "specials":
        return additions(text)
    if name == "allergens":
        return _parts(text)
    return text


def _parts(text: str) -> list[str]:
    """What a cell lists, with commas or semicolons between."""
    return [part for each in text.replace(";", ",").split(",") if (part := each.strip())]


def _vital(name: str, text: str, header: str) -> Any:
    reading = vital_cell(text, name, header)
    if reading is None:
        return text
    try:
        if parse(text, KINDS_OF_VITAL[name].kind) == reading.value:
            return text
    except QuantityError:
        pass
    value = f"{reading.value:.4f}" if name in {"og", "fg"} else f"{reading.value:.4g}"
    return {"value": value, "error": f"{reading.error:.3g}"} if "-" in text or "–" in text else value


def add_categories(words: Sequence[str], wanted: Wanted) -> None:
    """Write a competition whose categories a sheet lists."""
    data = told(Competition, words)
    own_id = data.pop("id", None)
    if not data.get("name"):
        raise UsageProblem("the competition has no name", 'write name="Harbour Cup"')
    data["categories"] = [*data.get("categories", []), *_categories(wanted)]
    write_competition(data, own_id, wanted)


def _categories(wanted: Wanted) -> list[dict[str, Any]]:
    """The categories of a sheet: code, name, and the styles and families each takes."""
    assert wanted.sheet is not None
    made = []
    with opened(wanted.sheet, "categories") as sheet:
        matches = columns_of(sheet, "categories", wanted.columns, ("code", "name"))
        for row in sheet.rows():
            cells = {m.field: row.cells[m.column].strip() for m in matches}
            data: dict[str, Any] = {name: cells[name] for name in ("code", "name") if cells.get(name)}
            for name in ("styles", "families"):
                if there := _parts(cells.get(name, "")):
                    data[name] = there
            if cells.get("limit"):
                data["limit_per_brewer"] = cells["limit"]
            made.append(data)
    return made


def add_numbers(words: Sequence[str], wanted: Wanted) -> None:
    """Write the numbers that a sheet lists into entries.yaml."""
    season = needed(wanted.folder)
    competition = which("competition", words[0] if words else "", season.competitions, None)
    write_numbers(season, competition, _numbers(wanted, season, competition), wanted)


def _numbers(wanted: Wanted, season: Season, competition_id: str) -> dict[str, str]:
    """Numbers of a sheet by batch and category. Raises RecordError for rows that name no beer of the season."""
    assert wanted.sheet is not None
    names = {batch.name.casefold(): batch_id for batch_id, batch in season.batches.items()}
    made: dict[str, str] = {}
    found: list[Finding] = []
    with opened(wanted.sheet, "numbers") as sheet:
        matches = columns_of(sheet, "numbers", wanted.columns, ("beer", "number"))
        for row in sheet.rows():
            cells = {m.field: row.cells[m.column].strip() for m in matches}
            where = cells.get("competition", "")
            names_of = {competition_id, season.competitions[competition_id].name}
            if where and where not in names_of:
                continue
            beer = cells["beer"]
            batch_id = beer if beer in season.batches else names.get(beer.casefold(), "")
            if not batch_id:
                hint = did_you_mean(beer, list(season.batches), "beers")
                found.append(_problem(sheet, row, 1, f"there is no beer {beer}", hint))
            elif cells["number"]:
                made[f"{batch_id}/{cells['category']}" if cells.get("category") else batch_id] = cells["number"]
    if found:
        raise RecordError(found[:MOST_TOLD])
    return made
