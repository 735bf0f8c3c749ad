"""Check values with their sources, as files."""

from __future__ import annotations

from pathlib import Path


def vector_path(name: str) -> Path:
    """A vector file by name."""
    return Path(__file__).parent / name
