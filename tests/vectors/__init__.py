"""Check values with their sources, as files."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml


def vector_path(name: str) -> Path:
    """A vector file by name."""
    return Path(__file__).parent / name


def vector_rows(name: str, key: str = "rows") -> list[dict[str, Any]]:
    """The rows of a YAML vector file below ``key``. Raises KeyError if there is no such key."""
    return list(yaml.safe_load(vector_path(name).read_text(encoding="utf-8"))[key])


def case_id(words: object) -> str:
    """The name of one case of a test, in ASCII: tools that pick single cases by name need it."""
    return str(words).encode("ascii", "ignore").decode()
