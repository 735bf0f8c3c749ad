"""Finding a sheet or a slip layout: a file that is named, one of the season's own, or a shipped one, by id."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from entryprep.errors import EntryprepError
from entryprep.reading.fields import Record
from entryprep.reading.files import read_yaml, twins, yaml_files
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import Document, RecordError
from entryprep.tables.shipped import shipped_document, shipped_names
from entryprep.text import nearest, shortened

R = TypeVar("R", bound=Record)
ENDS = (".yaml", ".yml")


class UnknownTemplate(EntryprepError, LookupError):
    """There is no template of that id; ``fix`` names those there are."""


def template(wanted: str, part: str, model: type[R], season: Path | None = None) -> R:
    """A record of ``part`` ("sheets" or "slips"): ``wanted`` is a file's path, or an id.

    An id is looked up in the season's ``templates`` folder, then among the shipped ones. Raises UnknownTemplate for
    an id there is not, RecordError (with every problem found) for a file that cannot be used.
    """
    document = _document(wanted, part, season)
    record, problems = validate(document, model)
    if record is None:
        raise RecordError(problems)
    return record


def template_ids(part: str, season: Path | None = None) -> list[str]:
    """Ids of the shipped templates of a part and of the season's own, sorted."""
    own = [path.stem for path in yaml_files(season / "templates" / part)] if season else []
    shipped = [name.removesuffix(".yaml") for name in shipped_names(f"templates/{part}")]
    return sorted({*own, *shipped})


def _document(wanted: str, part: str, season: Path | None) -> Document:
    path = Path(wanted)
    if wanted.endswith(ENDS) or len(path.parts) > 1:
        return read_yaml(path)
    if season is not None:
        files = yaml_files(season / "templates" / part)
        twice = twins(files, f"templates/{part}").get(wanted)
        if twice is not None:
            raise RecordError([twice])
        for own in files:
            if own.stem == wanted:
                return read_yaml(own, f"templates/{part}/{own.name}")
    known = template_ids(part, season)
    if wanted not in known:
        raise UnknownTemplate(*_unknown(wanted, part, known))
    return shipped_document(f"templates/{part}/{wanted}.yaml")


def _unknown(wanted: str, part: str, known: list[str]) -> tuple[str, str]:
    near = nearest(wanted.lower(), known)
    hint = f"Did you mean {near[0]}? " if near else ""
    what = "sheet" if part == "sheets" else "slip layout"
    return (
        f"there is no {what} called {shortened(wanted)}",
        f"{hint}Use a file ending in .yaml, or one of {', '.join(known)}",
    )
