"""The style table: all styles by id, found by any name a brewer types."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from entryprep.errors import EntryprepError
from entryprep.findings import Finding
from entryprep.reading.files import read_yaml, yaml_files
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import Document, RecordError
from entryprep.tables.shipped import shipped_names, shipped_record
from entryprep.tables.style import AmbiguousName, AmbiguousNames, Family, Style
from entryprep.text import fold, nearest


class StyleNameError(EntryprepError, LookupError):
    """A name that leads to no single style; ``candidates`` are ids, most likely first."""

    def __init__(self, name: str, candidates: tuple[str, ...], message: str) -> None:
        super().__init__(message, "write one of these names; `entryprep styles` lists them all")
        self.name = name
        self.candidates = candidates


class UnknownStyle(StyleNameError):
    """No style has this name; ``candidates`` are those spelt most like it, perhaps none."""


class AmbiguousStyle(StyleNameError):
    """The name means several styles."""


_CANDIDATES = 5


@dataclass(frozen=True)
class StyleTable:
    """Styles in the order of their files, families by id, and the words that need a second look."""

    styles: Mapping[str, Style]
    families: Mapping[str, str]
    names: Mapping[str, str]
    ambiguous: Mapping[str, tuple[str, ...]]

    def __iter__(self) -> Iterator[Style]:
        return iter(self.styles.values())

    def __len__(self) -> int:
        return len(self.styles)

    def of_family(self, family: str) -> tuple[Style, ...]:
        """The styles of a family, by its id or name; empty if there is no such family."""
        key = fold(family)
        return tuple(s for s in self if key in {fold(s.family), fold(self.families[s.family])})

    def find(self, name: str) -> Style:
        """The style with this id, name or alias, whatever its case and accents.

        A leading group such as ``Specialty IPA:`` or ``Historical Beer:`` may stand before the name. Raises
        AmbiguousStyle or UnknownStyle, both with ``candidates``; it never guesses.
        """
        for text in (name, name.partition(":")[2]):
            key = fold(text)
            if key in self.names:
                return self.styles[self.names[key]]
            if key in self.ambiguous:
                raise self._ambiguous(name, self.ambiguous[key])
        raise self._unknown(name)

    def _ambiguous(self, name: str, ids: tuple[str, ...]) -> AmbiguousStyle:
        listed = ", ".join(self.styles[i].name for i in ids)
        return AmbiguousStyle(name, ids, f"{name} may mean {listed}")

    def _unknown(self, name: str) -> UnknownStyle:
        near = nearest_names(name, self)
        if not near:
            return UnknownStyle(name, (), f"no style is called {name[:60]}")
        listed = ", ".join(self.styles[i].name for i in near)
        return UnknownStyle(name, near, f"no style is called {name[:60]}; the nearest are {listed}")


def nearest_names(name: str, table: StyleTable, limit: int = _CANDIDATES, cutoff: float = 60.0) -> tuple[str, ...]:
    """Ids of the styles whose names are spelt most like this, best first, each once."""
    ids = dict.fromkeys(table.names[key] for key in nearest(fold(name), table.names, limit * 3, cutoff))
    return tuple(ids)[:limit]


def build_table(families: Iterable[Family], ambiguous: Iterable[AmbiguousName]) -> StyleTable:
    """Index families; a later style with an id already known replaces the earlier one."""
    styles: dict[str, Style] = {}
    titles: dict[str, str] = {}
    for family in families:
        titles[family.family] = family.name
        for style in family.styles:
            styles[style.id] = style.model_copy(update={"family": family.family})
    names: dict[str, str] = {}
    for style in styles.values():
        for name in style.aliases:
            names.setdefault(fold(name), style.id)
    for style in styles.values():  # a style's own name outranks another's alias
        names[fold(style.name)] = style.id
        names[fold(style.id)] = style.id
    unclear: dict[str, tuple[str, ...]] = {}
    for word in ambiguous:
        ids = tuple(i for i in word.candidates if i in styles)
        for name in (word.name, *word.also):
            if ids and fold(name) not in names:
                unclear[fold(name)] = ids
    return StyleTable(styles, titles, names, unclear)


@lru_cache(maxsize=1)
def _shipped() -> tuple[tuple[Family, ...], tuple[AmbiguousName, ...]]:
    families = tuple(shipped_record(f"styles/{name}", Family) for name in shipped_names("styles"))
    return families, tuple(shipped_record("styles/names/ambiguous.yaml", AmbiguousNames).names)


@lru_cache(maxsize=1)
def _shipped_table() -> StyleTable:
    return build_table(*_shipped())


def load_styles(folder: Path | None = None) -> StyleTable:
    """The shipped style table; with ``folder``, extended or replaced by id from its YAML files.

    Raises RecordError holding every problem of the user's files.
    """
    if folder is None:
        return _shipped_table()
    table, problems = extended_table(folder, folder.as_posix())
    if problems:
        raise RecordError(problems)
    return table


def extended_table(folder: Path, shown_as: str) -> tuple[StyleTable, list[Finding]]:
    """The shipped table with a folder of the user's styles laid over it, and the problems of that folder."""
    own: list[Family] = []
    found: list[Finding] = []
    for path in yaml_files(folder):
        document: Document | None = None
        try:
            document = read_yaml(path, f"{shown_as}/{path.name}")
        except RecordError as error:
            found += error.findings
        if document is not None:
            family, problems = validate(document, Family)
            found += problems
            own += [family] if family else []
    if not own:
        return _shipped_table(), found
    families, words = _shipped()
    return build_table((*families, *own), words), found
