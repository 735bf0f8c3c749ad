"""The one door to the data that ships with the package (styles and templates)."""

from __future__ import annotations

import json
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from entryprep.reading.fields import Record
    from entryprep.reading.yamltext import Document

Model = TypeVar("Model", bound="Record")


def shipped_file(name: str) -> bytes:
    """Bytes of a shipped file, named from the package: ``styles/stout.yaml``, ``templates/rules.yaml``."""
    return _door(name).read_bytes()


def shipped_json(name: str) -> Any:
    """Plain values of a shipped JSON file."""
    return json.loads(shipped_file(name))


def shipped_names(folder: str) -> list[str]:
    """Names of the files directly in a shipped folder, sorted; Python's own files left out."""
    names = (item.name for item in _door(folder).iterdir() if item.is_file())
    return sorted(name for name in names if not name.endswith((".py", ".pyc")))


def shipped_tree(folder: str) -> list[str]:
    """Names of all files below a shipped folder, relative to it, sorted."""
    found: list[str] = []
    waiting = [(_door(folder), "")]
    while waiting:
        place, prefix = waiting.pop()
        for item in place.iterdir():
            if item.is_file() and not item.name.endswith((".py", ".pyc")):
                found.append(prefix + item.name)
            elif item.is_dir() and item.name != "__pycache__":
                waiting.append((item, f"{prefix}{item.name}/"))
    return sorted(found)


def shipped_document(name: str) -> Document:
    """A shipped YAML file with the places of its values."""
    from entryprep.reading.yamltext import parse_yaml  # noqa: PLC0415 - what is compiled needs no YAML

    return parse_yaml(shipped_file(name), f"entryprep/{name}")


# what one beer may need: parsing these takes longer than ranking it
OF_A_BEER = tuple(
    f"templates/{name}.yaml"
    for name in ("bottles", "cautions", "doses", "ingredients", "receiving/shorthand", "routing", "rules", "vocabulary")
)
COMPILED = "templates/compiled.json"


def compiled() -> str:
    """The files of :data:`OF_A_BEER` as one JSON object by name, a line for each: what :data:`COMPILED` must hold."""
    lines = (f"{json.dumps(n)}: {json.dumps(shipped_document(n).data, ensure_ascii=False)}" for n in OF_A_BEER)
    return "{\n" + ",\n".join(lines) + "\n}\n"


@cache
def _compiled() -> dict[str, Any]:
    found: dict[str, Any] = shipped_json(COMPILED)
    return found


def shipped_record(name: str, model: type[Model]) -> Model:
    """A shipped YAML file as a record. Raises RecordError if the file is broken."""
    if name in OF_A_BEER:
        return model.model_validate(_compiled()[name])
    from entryprep.reading.validate import validate  # noqa: PLC0415 - only where there are places to be told
    from entryprep.reading.yamltext import RecordError  # noqa: PLC0415

    record, problems = validate(shipped_document(name), model)
    if record is None:
        raise RecordError(problems)
    return record


def _door(name: str) -> Traversable:
    first, _, rest = name.partition("/")
    checkout = Path(__file__).resolve().parents[2]
    place: Traversable = checkout / first
    # a checkout brings its own data, whichever other one may be installed
    if not ((checkout / "pyproject.toml").is_file() and place.is_dir()):
        place = resources.files(f"entryprep.{first}")
    return place.joinpath(*rest.split("/")) if rest else place
