"""The style table: all styles by id, found by any name a brewer types."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from entryprep.findings import Finding
from entryprep.records.files import read_yaml, yaml_files
from entryprep.records.shipped import shipped_names
from entryprep.records.style import AmbiguousName, AmbiguousNames, Family, Style
from entryprep.records.validate import shipped_record, validate
from entryprep.records.yamltext import Document, RecordError


class StyleNameError(LookupError):
    """A name that leads to no single style; ``candidates`` are ids, most likely first."""

    fix = "write one of these names; `entryprep styles` lists them all"

    def __init__(self, name: str, candidates: tuple[str, ...], message: str) -> None:
        super().__init__(message)
        self.name = name
        self.candidates = candidates


class UnknownStyle(StyleNameError):
    """No style has this name; ``candidates`` are those spelt most like it, perhaps none."""


class AmbiguousStyle(StyleNameError):
    """The name means several styles."""


_SPECIAL_LETTERS = str.maketrans(
    {"ß": "ss", "ø": "o", "œ": "oe", "æ": "ae", "ł": "l", "đ": "d", "&": " and ", "’": "", "'": "", "ı": "i"}
)
_CANDIDATES = 5


def name_key(name: str) -> str:
    """A name with case, accents, punctuation and spacing ignored: ``Kölsch`` and ``kolsch`` are one."""
    text = unicodedata.normalize("NFKD", name.casefold().translate(_SPECIAL_LETTERS))
    plain = "".join(c if c.isalnum() else " " for c in text if not unicodedata.combining(c))
    return " ".join(plain.split())


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
        key = name_key(family)
        return tuple(s for s in self if key in {name_key(s.family), name_key(self.families[s.family])})

    def find(self, name: str) -> Style:
        """The style with this id, name or alias, whatever its case and accents.

        A leading group such as ``Specialty IPA:`` or ``Historical Beer:`` may stand before the name. Raises
        AmbiguousStyle or UnknownStyle, both with ``candidates``; it never guesses.
        """
        for text in (name, name.partition(":")[2]):
            key = name_key(text)
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
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only a misspelling needs it

    matches = process.extract(
        name_key(name)[:100], list(table.names), scorer=fuzz.WRatio, score_cutoff=cutoff, limit=limit * 3
    )
    ids = dict.fromkeys(table.names[match[0]] for match in matches)
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
            names.setdefault(name_key(name), style.id)
    for style in styles.values():  # a style's own name outranks another's alias
        names[name_key(style.name)] = style.id
        names[name_key(style.id)] = style.id
    unclear: dict[str, tuple[str, ...]] = {}
    for word in ambiguous:
        ids = tuple(i for i in word.candidates if i in styles)
        for name in (word.name, *word.also):
            if ids and name_key(name) not in names:
                unclear[name_key(name)] = ids
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
