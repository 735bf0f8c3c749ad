"""Every check value says where it comes from: a source in the head of its file, or one in each of its rows."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

HERE = Path(__file__).parent
SAYS = ("source", "common practice", "from memory")
# invented seasons and the schemas of an open standard (with its licence beside them) hold no check values; held-back
# files are opened by their own runs alone
INVENTED = {"planted-season", "beerjson-1.0.2"}
HELD_BACK = ("-unseen", "-held-back")
FILES = [
    path
    for path in sorted(HERE.rglob("*"))
    if path.suffix in {".yaml", ".csv", ".txt", ".json"}
    and not INVENTED & set(path.relative_to(HERE).parts)
    and not any(mark in path.stem for mark in HELD_BACK)
]


def head(path: Path) -> str:
    """The comment at the beginning of a file."""
    lines = path.read_text(encoding="utf-8").splitlines()
    end = next((at for at, line in enumerate(lines) if not line.startswith("#")), len(lines))
    return " ".join(lines[:end]).lower()


def rows(data: Any) -> list[dict[str, Any]]:
    """The rows of all lists in a file."""
    if isinstance(data, dict):
        return [row for value in data.values() for row in rows(value)]
    if isinstance(data, list):
        return [row for row in data if isinstance(row, dict)]
    return []


def test_there_are_files() -> None:
    assert len(FILES) >= 20


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(HERE).as_posix())
def test_a_file_or_each_of_its_rows_names_a_source(path: Path) -> None:
    if any(word in head(path) for word in SAYS):
        return
    found = rows(yaml.safe_load(path.read_text(encoding="utf-8"))) if path.suffix == ".yaml" else []
    assert found, f"{path.name}: say in its head where its values come from"
    assert [row for row in found if not str(row.get("source", "")).strip()] == []
