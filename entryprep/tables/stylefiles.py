"""Files of styles: those of the user; and those that ship, compiled into one file, so that no start reads them."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from entryprep.findings import Finding
from entryprep.reading.files import read_yaml, yaml_files
from entryprep.reading.validate import validate
from entryprep.reading.yamltext import RecordError
from entryprep.tables.shipped import shipped_file, shipped_names, shipped_record
from entryprep.tables.style import Style
from entryprep.tables.stylerecord import AmbiguousNames, Family
from entryprep.tables.styles import StyleTable, Unsettled, build_table, styles_of
from entryprep.text import fold

AMBIGUOUS = "styles/names/ambiguous.yaml"


def read_families(folder: Path, shown_as: str) -> tuple[list[Family], list[Finding]]:
    """The families of a folder of the user's, by file name, and every problem of its files."""
    own: list[Family] = []
    found: list[Finding] = []
    for path in yaml_files(folder):
        try:
            document = read_yaml(path, f"{shown_as}/{path.name}")
        except RecordError as error:
            found += error.findings
            continue
        family, problems = validate(document, Family)
        found += problems
        own += [family] if family else []
    return own, found


def sources() -> list[str]:
    """Names of the shipped files that the table is compiled from, in their order."""
    return [*(f"styles/{name}" for name in shipped_names("styles") if name.endswith(".yaml")), AMBIGUOUS]


def digest() -> str:
    """SHA-256 over the names and contents of the shipped files, hexadecimal, whatever their line ends."""
    whole = hashlib.sha256()
    for name in sources():
        whole.update(name.encode() + b"\0" + shipped_file(name).replace(b"\r\n", b"\n") + b"\0")
    return whole.hexdigest()


def table_of_sources() -> tuple[StyleTable, tuple[Unsettled, ...]]:
    """The table straight from the shipped files, and its words that settle nothing. Raises RecordError."""
    families = [shipped_record(name, Family) for name in sources() if name != AMBIGUOUS]
    listed = shipped_record(AMBIGUOUS, AmbiguousNames).names
    words = tuple(Unsettled(tuple(fold(n) for n in (w.name, *w.also)), w.candidates) for w in listed)
    return build_table(styles_of(families), {f.family: f.name for f in families}, words), words


def compiled() -> str:
    """The text of the compiled table: each style on a line, what is left at its default left out."""
    table, words = table_of_sources()
    whole: dict[str, Any] = {
        "made_of": digest(),
        "families": table.families,
        "styles": [{name: value for name, value in style.fields().items() if _said(name, value)} for style in table],
        "names": table.names,
        "ambiguous": table.ambiguous,
        "words": words,
    }
    parts = [f"{json.dumps(name)}: {_laid_out(value)}" for name, value in whole.items()]
    return "{\n" + ",\n".join(parts) + "\n}\n"


def _said(name: str, value: object) -> bool:
    return bool(value != getattr(Style, name, None))


def _laid_out(value: Any) -> str:
    if not isinstance(value, list):
        return json.dumps(value, ensure_ascii=False)
    return "[\n" + ",\n".join(json.dumps(item, ensure_ascii=False) for item in value) + "\n]"
