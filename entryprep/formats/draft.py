"""What both readers share: a recipe file as a batch, with the place of every value and what was left aside."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from entryprep.reading.validate import validate
from entryprep.reading.yamltext import MOST_TOLD, Document, Path_, RecordError
from entryprep.records.batch import Batch
from entryprep.tables.rules import finding
from entryprep.text import several

NOT_STATED = "not stated"  # what we write where the standard requires a text and nobody gave one
MAX_BYTES = 20_000_000
MAX_DEPTH = 40
MAX_ITEMS = 2_000  # ingredients of one recipe
WILD = {"brett", "lacto", "pedio", "bacteria", "mixed-culture", "spontaneous", "malolactic"}


@dataclass(frozen=True)
class ReadRecipe:
    """A recipe read from a file: as a batch, what of the file was not read, and what was assumed."""

    batch: Batch
    ignored: tuple[str, ...]
    assumed: tuple[str, ...]


@dataclass
class Draft:
    """A batch being put together; ``sources`` says where in the file the parts of it come from."""

    file: str
    data: dict[str, Any] = field(default_factory=dict)
    sources: dict[Path_, Any] = field(default_factory=dict)
    ignored: Counter[str] = field(default_factory=Counter)
    assumed: dict[str, None] = field(default_factory=dict)
    problems: list[tuple[Any, str, str, str]] = field(default_factory=list)

    def complain(self, source: Any, about: str, what: str, fix: str) -> None:
        """Note a problem at a place of the file; all of them are told at the end."""
        self.problems.append((source, about, what, fix))

    def assume(self, text: str) -> None:
        """Note an assumption, once."""
        self.assumed[text] = None

    def leave(self, where: str, names: Any) -> None:
        """Note names of the file that are not read."""
        for name in names:
            self.ignored[f"{where}: {name}" if where else str(name)] += 1

    def finish(self, place: Callable[[Any, str | None], tuple[int, int]], fields: Mapping[str, str]) -> ReadRecipe:
        """The batch of the draft. Raises RecordError with every problem, each at its place in the file.

        ``place`` turns a source, and the file's word for one of its fields, into line and column; ``fields`` names the
        file's word for a field of ours.
        """
        found = [
            finding("recipe", {"problem": what, "hint": fix}, file=self.file, line=line, column=column, path=about)
            for source, about, what, fix in self.problems[:MOST_TOLD]
            for line, column in (place(source, None),)
        ]
        document = Document(self.file, self.data)
        found += document.unsaid((), len(self.problems) - MOST_TOLD)
        batch, problems = validate(document, Batch)
        if problems:
            for path in {*self.sources, *_paths(self.data)}:
                document.places[path] = place(*self._source(path, fields))
            batch, problems = validate(document, Batch)
        if batch is None or found:
            raise RecordError(found + problems)
        return ReadRecipe(batch, tuple(_told(self.ignored)), tuple(self.assumed))

    def _source(self, path: Path_, fields: Mapping[str, str]) -> tuple[Any, str | None]:
        for length in range(len(path), -1, -1):
            if path[:length] in self.sources:
                source = self.sources[path[:length]]
                rest = path[length:]
                return source, fields.get(str(rest[0])) if rest else None
        return None, None


def _paths(data: Any, path: Path_ = ()) -> list[Path_]:
    below = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    found = [path]
    for key, value in below:
        found += _paths(value, (*path, key))
    return found


def _told(ignored: Counter[str]) -> list[str]:
    told = [name if count == 1 else f"{name} ({count} times)" for name, count in sorted(ignored.items())]
    return told if len(told) <= MOST_TOLD else [*told[:MOST_TOLD], several(len(told) - MOST_TOLD, "more name")]


def chosen(names: list[str], wanted: str | None, file: str) -> int:
    """Which of several recipes is meant: the only one, or the one of that name, whatever its case.

    Raises RecordError if there is none, several and no name, no such name, or the name stands for several.
    """
    if not names:
        raise refused(file, "the file holds no recipe", "export the recipe itself, not only its ingredients")
    listed = ", ".join(names[:12]) + (" …" if len(names) > 12 else "")
    if wanted is None:
        if len(names) > 1:
            raise refused(file, f"the file holds {len(names)} recipes", f"name one with --recipe or `name:`: {listed}")
        return 0
    matches = [i for i, name in enumerate(names) if name.casefold() == " ".join(wanted.split()).casefold()]
    if len(matches) != 1:
        what = f"several recipes are called {wanted}" if matches else f"there is no recipe {wanted}"
        raise refused(file, what, f"in the file: {listed}")
    return matches[0]


def refused(file: str, what: str, fix: str, line: int = 0, column: int = 0) -> RecordError:
    """A file that cannot be read at all, as one finding."""
    return RecordError([finding("recipe", {"problem": what, "hint": fix}, file=file, line=line, column=column)])


def fermented_by(kinds: Iterable[str]) -> str | None:
    """Fermentation of a beer by the kinds of its cultures: wild if any is, else lager if any is, else ale."""
    known = set(kinds)
    if known & WILD:
        return "wild"
    if "lager" in known:
        return "lager"
    return "ale" if known & {"ale", "kveik"} else None
