"""What all of ``add`` share: what a call gave, its words parted, a record put together, and what is told of it."""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from entryprep.cli.asking import Asker, can_ask
from entryprep.cli.boundary import UsageProblem
from entryprep.cli.show import console, paragraph, print_json
from entryprep.entering.adding import checked
from entryprep.entering.season import Season, read_season
from entryprep.reading.yamltext import RecordError
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.records.shorthand import path_of, put, said
from entryprep.text import listed

SUGGESTED = 3  # styles and categories that a question offers
PLACEHOLDER = "This beer"


@dataclass(frozen=True)
class Wanted:
    """What a call of ``add`` gave beside its words."""

    folder: Path
    sheet: Path | None = None
    columns: Sequence[str] = ()
    recipe: str = ""
    ask: bool = False
    replace: bool = False
    as_json: bool = False

    def asks(self, given: bool) -> bool:
        """Whether questions are asked: when told to, and where little is given and somebody sits at a terminal."""
        return not self.as_json and (self.ask or (not given and can_ask()))


def parted(words: Sequence[str]) -> tuple[list[str], list[str]]:
    """Names, and what has the form field=value."""
    return [w for w in words if "=" not in w], [w for w in words if "=" in w]


def pairs(fields: Sequence[str]) -> list[tuple[str, str]]:
    """Field and value of each ``field=value``, without the spaces around them."""
    return [(name.strip(), value.strip()) for name, _, value in (word.partition("=") for word in fields)]


def tell(wanted: Wanted, files: Sequence[Path], lines: Sequence[str] = ()) -> None:
    """The files that were written, and what is to be said of them."""
    if wanted.as_json:
        print_json({"season": wanted.folder.as_posix(), "files": [f.as_posix() for f in files], "told": list(lines)})
        return
    out = console()
    for path in files:
        out.print(paragraph(path.as_posix(), "bold"))
    for line in lines:
        out.print(paragraph(line))


def readable(folder: Path) -> Season | None:
    """The season of a folder as far as it can be read, or None where there is none yet."""
    try:
        return read_season(folder)[0]
    except RecordError:
        return None


def needed(folder: Path) -> Season:
    """The season of a folder. Raises RecordError where there is none."""
    return read_season(folder)[0]


@dataclass
class Draft:
    """A record being put together, its answers checked as they come."""

    model: type[Batch] | type[Competition]
    data: dict[str, Any] = field(default_factory=dict)

    def take(self, word: str) -> Callable[[str], None]:
        """What takes an answer for a field into the record, or refuses it."""

        def taken(answer: str) -> None:
            trial = copy.deepcopy(self.data)
            put(trial, path_of(self.model, word), said(self.model, word, answer))
            probe = {"name": PLACEHOLDER, **trial}
            if self.model is Competition:
                probe.setdefault("categories", [{"code": "1", "name": "All"}])
            checked(probe, self.model, "")
            self.data.clear()
            self.data.update(trial)

        return taken


def which(part: str, given: str, known: Mapping[str, Any], asker: Asker | None) -> str:
    """A batch or a competition by its id, or by its name; the only one there is where none is said."""
    what = "beer" if part == "batch" else part
    if not known:
        raise UsageProblem(f"the season holds no {what} that can be read", f"`entryprep add {what}` adds one")
    names = {record.name.casefold(): record_id for record_id, record in known.items()}

    def found(answer: str) -> str:
        record_id = answer if answer in known else names.get(answer.casefold(), "")
        if not record_id:
            raise UsageProblem(f"there is no {what} {answer}", f"there are {listed(known, 12)}")
        return record_id

    if given:
        return found(given)
    if len(known) == 1:
        return next(iter(known))
    if asker is None:
        raise UsageProblem(f"which {what}?", f"name one of {listed(known, 12)}")
    return found(asker.ask(f"Which {what}", take=lambda a: [found(a)].clear(), choices=list(known), needed=True))
