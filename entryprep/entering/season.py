"""A season: the folder with brewer, batches, competitions and entries, read in one go."""

from __future__ import annotations

import hashlib
import os
from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from operator import attrgetter
from pathlib import Path
from typing import TypeVar

from entryprep.beer.beer import Beer
from entryprep.errors import EntryprepError
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
from entryprep.records.wort import WortError, with_wort
from entryprep.tables.bottles import known_type
from entryprep.tables.rules import finding
from entryprep.tables.styles import StyleTable, extended_table, load_styles
from entryprep.text import did_you_mean

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
        return self.entry.number or self.unnumbered_code

    @property
    def unnumbered_code(self) -> str:
        """Eight characters that say nothing about the beer, the same as long as it goes to the same category."""
        seed = f"{self.competition_id}/{self.batch_id}/{self.category.code}"
        return hashlib.sha256(seed.encode()).hexdigest()[:8].upper()

    @property
    def label(self) -> str:
        """How findings name the entry: batch and category."""
        return f"{self.batch_id} in {self.category.code}"


@dataclass
class Season:
    """Everything readable in a season folder, or put together by :meth:`build`; and its documents."""

    folder: Path | None = None
    table: StyleTable = field(default_factory=load_styles)
    brewer: Brewer | None = None
    batches: dict[str, Batch] = field(default_factory=dict)
    competitions: dict[str, Competition] = field(default_factory=dict)
    entered: list[Entered] = field(default_factory=list)
    documents: dict[str, Document] = field(default_factory=dict)
    _beers: dict[str, tuple[Batch, Beer | QuantityError]] = field(default_factory=dict, repr=False)
    _declared: dict[tuple[int, str, str, str], Beer] = field(default_factory=dict, repr=False)

    @classmethod
    def build(
        cls,
        batches: Mapping[str, Batch],
        competitions: Mapping[str, Competition],
        entries: Iterable[Entry] = (),
        brewer: Brewer | None = None,
        table: StyleTable | None = None,
    ) -> Season:
        """A season put together in code, by the ids that entries name.

        Raises RecordError for entries that lead nowhere and kinds of bottle that are not in the table.

        >>> from entryprep import Batch, Category, Competition, Entry
        >>> cup = Competition(name="Harbour Cup", categories=[Category(code="4", name="Porter", families=["porter"])])
        >>> beer = Batch(name="Night Ferry", style="American porter", measured={"og": 1.056, "fg": 1.014})
        >>> season = Season.build({"night-ferry": beer}, {"harbour": cup},
        ...     [Entry(batch="night-ferry", competition="harbour", category="4")])
        >>> season.beer("night-ferry").style.name
        'American Porter'
        """
        season = cls(None, load_styles() if table is None else table, brewer, dict(batches), dict(competitions))
        found = [f for batch_id, batch in season.batches.items() for f in _bottle_problems(season, batch_id, batch)]
        _share_worts(season, found)
        for index, entry in enumerate(entries):
            found += _enter(season, index, entry)
        if found:
            raise RecordError(ordered(found))
        return season

    def entry_at(self, index: int) -> Entered | None:
        """The entry at a place of entries.yaml, counted from 0; None where it leads nowhere."""
        at = bisect_left(self.entered, index, key=attrgetter("index"))
        return self.entered[at] if at < len(self.entered) and self.entered[at].index == index else None

    def beer(self, batch_id: str, declared: Entered | None = None) -> Beer | None:
        """The beer of a batch, worked out once; ``declared``: as this entry declares it, by its competition's rules.

        None where its records contradict each other, or there is no such batch.
        """
        found = self._worked_out(batch_id)
        if not isinstance(found, Beer) or declared is None:
            return found if isinstance(found, Beer) else None
        entry, routing = declared.entry, declared.competition.routing
        if not (entry.style or entry.base or routing):
            return found
        key = (id(found), entry.style or "", entry.base or "", declared.competition_id if routing else "")
        if key not in self._declared:
            self._declared[key] = found.changed(style=entry.style, base=entry.base, routing=routing)
        return self._declared[key]

    def contradiction(self, batch_id: str) -> QuantityError | None:
        """Why a batch's measured and predicted vitals cannot be of one beer, or None."""
        found = self._worked_out(batch_id)
        return found if isinstance(found, QuantityError) else None

    def _worked_out(self, batch_id: str) -> Beer | QuantityError | None:
        batch = self.batches.get(batch_id)
        if batch is None:
            return None
        kept = self._beers.get(batch_id)
        if kept is None or kept[0] is not batch:
            found: Beer | QuantityError
            try:
                found = Beer.from_batch(batch, table=self.table, lookup=self.beer)
            except QuantityError as error:
                found = error
            kept = self._beers[batch_id] = (batch, found)
        return kept[1]

    def finding(
        self,
        rule: str,
        values: Mapping[str, object],
        file: str,
        path: Path_,
        about: str = "",
        milder: bool = False,
        case: str = "",
    ) -> Finding:
        """A finding in the words of its rule, at the place of ``path`` in a file such as ``batches/x.yaml``."""
        document = self.documents.get(file)
        line, column = document.place(path) if document else (0, 0)
        at = dotted(path)
        return finding(
            rule, values, file=file, line=line, column=column, path=at, about=about, milder=milder, case=case
        )


def read_season(folder: str | Path) -> tuple[Season, list[Finding]]:
    """Read a season; every problem of every file is returned, and what could be read is kept.

    Raises RecordError if ``folder`` is no folder or holds no record at all.
    """
    folder = Path(folder)
    if not folder.is_dir():
        message = f"{folder.as_posix()} is not a folder with a season"
        fix = "`entryprep start FOLDER` lays one out"
        if folder.is_file():
            fix = "name the folder with batches/ and competitions/; `vitals`, `suggest` and `fit` take one beer's file"
        raise RecordError([Finding("file", Severity.ERROR, message, fix=fix)])
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
    _share_worts(season, found)
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
    assert season.folder is not None
    path = season.folder / name
    if not path.exists() and not path.is_symlink():
        return None
    return _read(season, path, name, model, found)


def _many(season: Season, part: str, model: type[R], found: list[Finding]) -> dict[str, R]:
    records: dict[str, R] = {}
    try:
        assert season.folder is not None
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
            assert season.folder is not None
            season.batches[batch_id] = with_recipe(batch, season.folder).batch
        except RecordError as error:
            found += error.findings


def _share_worts(season: Season, found: list[Finding]) -> None:
    written = dict(season.batches)
    for batch_id, batch in written.items():
        try:
            season.batches[batch_id] = with_wort(batch_id, batch, written.get)
        except WortError as error:
            file = batch_file(season, batch_id)
            document = season.documents.get(file) or Document(file, None)
            found.append(document.problem(("wort",), str(error), error.fix))


def _bottle_problems(season: Season, batch_id: str, batch: Batch) -> list[Finding]:
    document = season.documents.get(batch_file(season, batch_id)) or Document(batch_file(season, batch_id), None)
    found = []
    for i, bottles in enumerate(batch.bottles):
        try:
            known_type(bottles.type)
        except QuantityError as error:
            found.append(document.problem(("bottles", i, "type"), error.message, error.fix))
    return found


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
    try:
        category = category_of(competition, entry.category)
    except NoSuchCategory as error:
        values = {"problem": error.message, "hint": error.fix}
        found.append(_at_entry(season, index, "category", values))
        return found
    if batch is not None:
        season.entered.append(Entered(index, entry, entry.batch, batch, entry.competition, competition, category))
    return found


class NoSuchCategory(EntryprepError):
    """A code that is none of a competition's; ``fix`` says which are."""


def category_of(competition: Competition, code: str) -> Category:
    """The category of a competition with a code, in capitals or not. Raises NoSuchCategory, naming those it has."""
    found = next((c for c in competition.categories if c.code.casefold() == code.casefold()), None)
    if found is None:
        known = did_you_mean(code, [c.code for c in competition.categories], "its categories")
        raise NoSuchCategory(f"{competition.name} has no category {code}", known)
    return found


def _missing(season: Season, index: int, key: str, name: str, part: str, known: Mapping[str, Record]) -> Finding:
    file = next((f"{part}/{name}{end}" for end in (".yaml", ".yml") if f"{part}/{name}{end}" in season.documents), None)
    folder = season.folder
    if file or (folder and any(os.path.lexists(folder / part / f"{name}{end}") for end in (".yaml", ".yml"))):
        values = {"problem": f"{part}/{name}.yaml could not be read", "hint": "mend that file first"}
    else:
        values = {"problem": f"there is no {part}/{name}.yaml", "hint": did_you_mean(name, list(known), part)}
    return _at_entry(season, index, key, values)


def _at_entry(season: Season, index: int, key: str, values: Mapping[str, object]) -> Finding:
    return season.finding("reference", values, "entries.yaml", ("entries", index, key))
