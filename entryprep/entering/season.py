"""A season: the folder with brewer, batches, competitions and entries, read in one go."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from entryprep.beer.beer import Assessed, assessed
from entryprep.beer.blends import BlendError, blend_vitals
from entryprep.findings import Finding, Severity, ordered
from entryprep.formats.opening import with_recipe
from entryprep.quantities import QuantityError
from entryprep.reading.fields import Record
from entryprep.reading.files import read_yaml, twins, yaml_files
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import Document, Path_, RecordError, dotted
from entryprep.records.batch import Batch
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Category, Competition
from entryprep.records.entry import Entry, EntryList
from entryprep.tables.bottles import bottle_types
from entryprep.tables.styles import StyleTable, extended_table, load_styles
from entryprep.text import did_you_mean, fold

R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class Entered:
    """An entry with what it points to; ``index`` is its place in entries.yaml, from 0."""

    index: int
    entry: Entry
    batch_id: str
    batch: Batch
    competition_id: str
    competition: Competition
    category: Category

    @property
    def code(self) -> str:
        """What the QR code holds: the issued number, or eight characters that say nothing about the beer."""
        if self.entry.number:
            return self.entry.number
        seed = f"{self.competition_id}/{self.batch_id}/{self.category.code}"
        return hashlib.sha256(seed.encode()).hexdigest()[:8].upper()

    @property
    def label(self) -> str:
        """How findings name the entry: batch and category."""
        return f"{self.batch_id} in {self.category.code}"


@dataclass
class Season:
    """Everything readable in a season folder, and the documents findings point into."""

    folder: Path
    table: StyleTable
    brewer: Brewer | None = None
    batches: dict[str, Batch] = field(default_factory=dict)
    competitions: dict[str, Competition] = field(default_factory=dict)
    entered: list[Entered] = field(default_factory=list)
    documents: dict[str, Document] = field(default_factory=dict)

    def problem(
        self,
        file: str,
        path: Path_,
        rule: str,
        severity: Severity,
        what: str,
        why: str = "",
        fix: str = "",
        about: str = "",
    ) -> Finding:
        """A finding at the place of ``path`` in one of the season's files, such as ``batches/fen-porter.yaml``."""
        document = self.documents.get(file)
        line, column = document.place(path) if document else (0, 0)
        return Finding(rule, severity, what, why, fix, file, line, column, dotted(path), about)


def read_season(folder: Path) -> tuple[Season, list[Finding]]:
    """Read a season; every problem of every file is returned, and what could be read is kept.

    Raises RecordError if ``folder`` is no folder or holds no record at all.
    """
    if not folder.is_dir():
        message = f"{folder.as_posix()} is not a folder with a season"
        raise RecordError([Finding("file", Severity.ERROR, message, fix="`entryprep start FOLDER` lays one out")])
    found: list[Finding] = []
    table = load_styles()
    if (folder / "styles").is_dir():
        table, found = extended_table(folder / "styles", "styles")
    season = Season(folder, table)
    season.brewer = _one(season, "brewer.yaml", Brewer, found)
    season.batches = _many(season, "batches", Batch, found)
    season.competitions = _many(season, "competitions", Competition, found)
    for batch_id, batch in season.batches.items():
        found += _bottle_problems(season, batch_id, batch)
    _read_recipes(season, found)
    entries = _one(season, "entries.yaml", EntryList, found)
    if not season.documents and not found:
        message = f"{folder.as_posix()} holds no season: no brewer.yaml, batches, competitions or entries.yaml"
        raise RecordError([Finding("file", Severity.ERROR, message, fix="`entryprep start FOLDER` lays one out")])
    for index, entry in enumerate(entries.entries if entries else []):
        found += _enter(season, index, entry)
    return season, ordered(found)


def _read(season: Season, path: Path, name: str, model: type[R], found: list[Finding]) -> R | None:
    try:
        document = read_yaml(path, name)
    except RecordError as error:
        found += error.findings
        return None
    season.documents[name] = document
    record, problems = validate(document, model)
    found += problems
    return record


def _one(season: Season, name: str, model: type[R], found: list[Finding]) -> R | None:
    path = season.folder / name
    if not path.exists() and not path.is_symlink():
        return None
    return _read(season, path, name, model, found)


def _many(season: Season, part: str, model: type[R], found: list[Finding]) -> dict[str, R]:
    records: dict[str, R] = {}
    try:
        paths = yaml_files(season.folder / part)
    except RecordError as error:
        found += error.findings
        return records
    twice = twins(paths, part)
    found += twice.values()
    for path in paths:
        if path.stem in twice:
            continue
        record = _read(season, path, f"{part}/{path.name}", model, found)
        if record is not None:
            records[path.stem] = record
    return records


def _read_recipes(season: Season, found: list[Finding]) -> None:
    for batch_id, batch in season.batches.items():
        try:
            season.batches[batch_id] = with_recipe(batch, season.folder).batch
        except RecordError as error:
            found += error.findings


def _bottle_problems(season: Season, batch_id: str, batch: Batch) -> list[Finding]:
    known = bottle_types()
    return [
        season.problem(
            batch_file(season, batch_id),
            ("bottles", i, "type"),
            "record",
            Severity.ERROR,
            f"there is no bottle type {bottles.type}",
            fix=did_you_mean(bottles.type, list(known), "bottle types"),
        )
        for i, bottles in enumerate(batch.bottles)
        if bottles.type not in known
    ]


def batch_file(season: Season, batch_id: str) -> str:
    """The file of a batch as findings name it."""
    names = (f"batches/{batch_id}.yaml", f"batches/{batch_id}.yml")
    return next((name for name in names if name in season.documents), names[0])


def _enter(season: Season, index: int, entry: Entry) -> list[Finding]:
    batch = season.batches.get(entry.batch)
    competition = season.competitions.get(entry.competition)
    found = []
    if batch is None:
        found.append(_missing(season, index, "batch", entry.batch, "batches", season.batches))
    if competition is None:
        found.append(_missing(season, index, "competition", entry.competition, "competitions", season.competitions))
    if competition is None:
        return found
    categories = {c.code.casefold(): c for c in competition.categories}
    category = categories.get(entry.category.casefold())
    if category is None:
        what = f"{competition.name} has no category {entry.category}"
        fix = did_you_mean(entry.category, [c.code for c in competition.categories], "its categories")
        found.append(_at_entry(season, index, "category", what, fix))
    elif batch is not None:
        season.entered.append(Entered(index, entry, entry.batch, batch, entry.competition, competition, category))
    return found


def _missing(season: Season, index: int, key: str, name: str, part: str, known: Mapping[str, Record]) -> Finding:
    file = next((f"{part}/{name}{end}" for end in (".yaml", ".yml") if f"{part}/{name}{end}" in season.documents), None)
    if file or any(os.path.lexists(season.folder / part / f"{name}{end}") for end in (".yaml", ".yml")):
        return _at_entry(season, index, key, f"{part}/{name}.yaml could not be read", "mend that file first")
    return _at_entry(season, index, key, f"there is no {part}/{name}.yaml", did_you_mean(name, list(known), part))


def _at_entry(season: Season, index: int, key: str, what: str, fix: str) -> Finding:
    return season.problem("entries.yaml", ("entries", index, key), "reference", Severity.ERROR, what, fix=fix)


def assessed_in(season: Season, batch_id: str) -> Assessed | None:
    """A batch of a season put together, blends from their parts; None where its records contradict each other."""
    batch = season.batches[batch_id]
    base = season.table.styles.get(season.table.names.get(fold(batch.base), "")) if batch.base else None
    try:
        found = assessed(batch, base)
        return replace(found, vitals=blend_vitals(batch, season.batches.get, batch_id)) if batch.blend else found
    except QuantityError:
        return None
    except BlendError:  # rule ``blend-unclear``
        return found
