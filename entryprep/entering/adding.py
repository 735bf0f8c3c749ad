"""Records added to a season: new files that a person could have written, and values put into those that stand there."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel

from entryprep.entering.season import Season
from entryprep.errors import EntryprepError
from entryprep.output import OutputError, replace_file, write_new
from entryprep.reading.fields import Record
from entryprep.reading.files import read_content
from entryprep.reading.validate import validate
from entryprep.reading.yamlediting import with_value
from entryprep.reading.yamltext import MAX_BYTES, Document, Path_, RecordError, dotted, parse_yaml
from entryprep.reading.yamlwriting import commented
from entryprep.records.batch import Batch
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Competition
from entryprep.records.entry import EntryList
from entryprep.records.shorthand import annotation_at
from entryprep.text import fold, listed

R = TypeVar("R", bound=Record)
ENTRIES = "entries.yaml"
PARTS: Mapping[type[Record], str] = {Batch: "batches", Competition: "competitions"}
_RECORDS = ("brewer.yaml", "batches", "competitions", ENTRIES)
_LONGEST_ID = 80
_SET_ASIDE = {".git", ".gitignore", ".DS_Store"}


class AddError(EntryprepError):
    """What cannot be added to a season as it stands; ``fix`` says what can."""


def season_place(folder: Path) -> Path:
    """A folder that records may be added to: a season, an empty folder, or one that is not there yet.

    Raises AddError for a folder of other things, so that no record is strewn among them.
    """
    if not folder.exists():
        return folder
    if not folder.is_dir():
        raise AddError(f"{folder.as_posix()} is no folder", "name the folder of a season")
    names = {entry.name for entry in folder.iterdir()} - _SET_ASIDE
    if names and not names & set(_RECORDS):
        raise AddError(
            f"{folder.resolve().as_posix()} holds other files and no season",
            "name the season's folder with --season, or a new one",
        )
    return folder


def id_of(name: str) -> str:
    """The name of a record's file, without its ending, made from what the record is called: ``night-ferry``."""
    words = "-".join(fold(name).split())
    plain = "".join(c for c in words if c == "-" or (c.isascii() and c.isalnum()))
    return "-".join(part for part in plain[:_LONGEST_ID].split("-") if part) or "unnamed"


def checked(data: Mapping[str, Any], model: type[R], file: str) -> R:
    """A record from its data. Raises RecordError with every problem, by field."""
    record, problems = validate(Document(file, dict(data)), model)
    if record is None:
        raise RecordError(problems)
    return record


def record_text(data: Mapping[str, Any], model: type[R], head: str, file: str) -> bytes:
    """A record as a commented file, read back before anybody gets it. Raises RecordError for data it cannot hold."""
    wanted = checked(data, model, file)
    content = commented(data, model, head).encode()
    read, problems = validate(parse_yaml(content, file), model)
    if read != wanted:
        raise RecordError(problems or [Document(file, None).problem((), "cannot be written so that it reads the same")])
    return content


def new_file(folder: Path, model: type[Record], record_id: str) -> Path:
    """Where a new record goes. Raises AddError where one of that name stands, under either ending."""
    part = folder / PARTS[model]
    for ending in (".yaml", ".yml"):
        if os.path.lexists(part / f"{record_id}{ending}"):
            raise AddError(
                f"{PARTS[model]}/{record_id}{ending} is there already, and nothing is overwritten",
                "give it another name, or another file with id=…; `entryprep add value` adds to one that stands there",
            )
    return part / f"{record_id}.yaml"


def add_record(folder: Path, model: type[R], record_id: str, data: Mapping[str, Any], head: str = "") -> Path:
    """Write a new record; its path. Raises AddError, RecordError and OutputError; then nothing is written."""
    path = new_file(folder, model, record_id)
    content = record_text(data, model, head, f"{PARTS[model]}/{path.name}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{path.parent.as_posix()}: {error.strerror or error}", "check its permissions") from None
    write_new(path, content)
    return path


def take_recipe(folder: Path, recipe: Path, content: bytes) -> str:
    """Copy a recipe file into the season, unless it lies there; its name as a record says it.

    Raises OutputError where another file of that name stands there.
    """
    with_season, own = folder.resolve(), recipe.resolve()
    if own.is_relative_to(with_season):
        return own.relative_to(with_season).as_posix()
    target = folder / "recipes" / recipe.name
    if not (target.is_file() and target.read_bytes() == content):
        target.parent.mkdir(parents=True, exist_ok=True)
        write_new(target, content)
    return f"recipes/{recipe.name}"


_UNITS = {"mass": "kg", "volume": "L"}


def addition_data(addition: BaseModel) -> dict[str, Any]:
    """What a recipe file says of an addition, as a record says it."""
    known = addition.model_dump(exclude_none=True, exclude_defaults=True)
    for name, unit in _UNITS.items():
        if name in known:
            known[name] = f"{known[name]:.6g} {unit}"
    for name in ("sugar", "fermented", "strength", "juice_yield", "share"):
        if name in known:
            known[name] = f"{known[name]:g} %"
    return known


def change_record(folder: Path, file: str, values: Sequence[tuple[Path_, Any]], replace: bool = False) -> Path:
    """Put values into a record that stands in the season; every other byte of it stays. Its path.

    Raises AddError for a value that stands there already, unless ``replace``, and for a file that is no record;
    RecordError where the record would no longer be one.
    """
    model = record_type(file)
    path = folder / file
    before = content = read_content(path, file, MAX_BYTES)
    there = parse_yaml(before, file)
    for where, value in values:
        stands = _at(there.data, where)
        if stands is not None and not replace and stands not in ({}, []):
            raise AddError(
                f"{file}: {dotted(where)} stands there already: {_said(stands)}",
                "--replace puts the new value in its place",
            )
        content = with_value(content, file, where, value, annotation_at(model, where))
    record, problems = validate(parse_yaml(content, file), model)
    if record is None:
        raise RecordError(problems)
    replace_file(path, before, content)
    return path


def record_type(file: str) -> type[Record]:
    """The kind of record that a file of a season holds. Raises AddError for any other file."""
    part, _, rest = file.partition("/")
    if not rest:
        known: dict[str, type[Record]] = {"brewer.yaml": Brewer, ENTRIES: EntryList}
        if file in known:
            return known[file]
    for model, name in PARTS.items():
        if part == name and rest.endswith((".yaml", ".yml")):
            return model
    raise AddError(
        f"{file} is no record of a season", "name batches/….yaml, competitions/….yaml, entries.yaml or brewer.yaml"
    )


def _at(data: Any, path: Path_) -> Any:
    for step in path:
        if isinstance(data, dict):
            data = data.get(step)
        elif isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data):
            data = data[step]
        else:
            return None
    return data


def _said(value: Any) -> str:
    return "several values" if isinstance(value, (dict, list)) else str(value)


def numbered(season: Season, competition_id: str, numbers: Mapping[str, str], replace: bool = False) -> Path:
    """Put the numbers that a competition has issued into entries.yaml; its path.

    ``numbers`` are by batch, or ``batch/category`` where a batch stands there twice. Nothing issued is reassigned in
    silence: raises AddError for an entry that has another number already (unless ``replace``), a number that two
    entries would share, and names that lead to no entry, or to several.
    """
    assert season.folder is not None
    own = [e for e in season.entered if e.competition_id == competition_id]
    given: dict[int, str] = {}
    for name, number in numbers.items():
        batch, _, category = name.partition("/")
        found = [
            e
            for e in own
            if e.batch_id == batch and (not category or e.category.code.casefold() == category.casefold())
        ]
        if len(found) != 1:
            known = listed([f"{e.batch_id}/{e.category.code}" for e in (found or own)], 12)
            what = "no entry" if not found else f"{len(found)} entries"
            raise AddError(
                f"{name} names {what} of {competition_id}", f"its entries: {known}" if known else "it has none"
            )
        e = found[0]
        if e.entry.number == number:
            continue
        if e.entry.number and not replace:
            raise AddError(
                f"{e.label} has the number {e.entry.number} already",
                "--replace gives it the new one; slips that are printed then show the old",
            )
        given[e.index] = number
    taken: dict[str, str] = {}
    for e in own:
        now = given.get(e.index, e.entry.number or "")
        if now and now in taken:
            raise AddError(f"{now} would be the number of {taken[now]} and of {e.label}", "check what was issued")
        taken[now] = e.label
    values: list[tuple[Path_, Any]] = [(("entries", index, "number"), number) for index, number in given.items()]
    return change_record(season.folder, ENTRIES, values, replace) if values else season.folder / ENTRIES
