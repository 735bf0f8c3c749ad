"""The style table: all styles by id, found by any name a brewer types."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from entryprep.errors import EntryprepError
from entryprep.findings import Finding
from entryprep.tables.shipped import shipped_json
from entryprep.tables.style import Style
from entryprep.text import fold, nearest

if TYPE_CHECKING:
    from entryprep.tables.stylerecord import Family


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

    def __repr__(self) -> str:
        return f"<StyleTable of {len(self.styles)} styles>"

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


class Unsettled(NamedTuple):
    """Words of the trade, folded, that mean several styles, and the ids of those."""

    names: tuple[str, ...]
    candidates: tuple[str, ...]


def build_table(styles: Iterable[Style], families: Mapping[str, str], words: Iterable[Unsettled]) -> StyleTable:
    """Index styles; a later one with an id already known replaces the earlier one, in its place."""
    known = {style.id: style for style in styles}
    names: dict[str, str] = {}
    for style in known.values():
        for name in style.aliases:
            names.setdefault(fold(name), style.id)
    for style in known.values():  # a style's own name outranks another's alias
        names[fold(style.name)] = style.id
        names[fold(style.id)] = style.id
    unclear: dict[str, tuple[str, ...]] = {}
    for word in words:
        ids = tuple(i for i in word.candidates if i in known)
        for name in word.names:
            if ids and name not in names:
                unclear[name] = ids
    return StyleTable(known, dict(families), names, unclear)


def styles_of(families: Iterable[Family]) -> list[Style]:
    """The styles of files that were read, in their order, each with its family."""
    return [Style.checked({**dict(style), "family": family.family}) for family in families for style in family.styles]


COMPILED = "styles/compiled.json"


@lru_cache(maxsize=1)
def _shipped() -> tuple[StyleTable, tuple[Unsettled, ...]]:
    """The shipped table, from the file that :mod:`entryprep.tables.compiling` makes of its YAML files."""
    found = shipped_json(COMPILED)
    styles = [
        Style.checked({name: tuple(v) if type(v) is list else v for name, v in values.items()} | _traits(values))
        for values in found["styles"]
    ]
    unclear = {name: tuple(ids) for name, ids in found["ambiguous"].items()}
    words = tuple(Unsettled(tuple(names), tuple(ids)) for names, ids in found["words"])
    return StyleTable({style.id: style for style in styles}, found["families"], found["names"], unclear), words


def _traits(values: Mapping[str, Mapping[str, Sequence[str]]]) -> dict[str, dict[str, tuple[str, ...]]]:
    return {key: {name: tuple(v) for name, v in values[key].items()} for key in ("traits", "belongs") if key in values}


def load_styles(folder: Path | None = None) -> StyleTable:
    """The shipped style table; with ``folder``, extended or replaced by id from its YAML files.

    Raises RecordError holding every problem of the user's files.
    """
    if folder is None:
        return _shipped()[0]
    table, problems = extended_table(folder, folder.as_posix())
    if problems:
        from entryprep.reading.yamltext import RecordError  # noqa: PLC0415 - only the user's own styles are read

        raise RecordError(problems)
    return table


def extended_table(folder: Path, shown_as: str) -> tuple[StyleTable, list[Finding]]:
    """The shipped table with a folder of the user's styles laid over it, and the problems of that folder."""
    from entryprep.tables.stylefiles import read_families  # noqa: PLC0415 - only the user's own styles are read

    own, found = read_families(folder, shown_as)
    shipped, words = _shipped()
    if not own:
        return shipped, found
    titles = {**shipped.families, **{family.family: family.name for family in own}}
    return build_table([*shipped, *styles_of(own)], titles, words), found
