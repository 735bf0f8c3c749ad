"""Seasons written from texts, for tests."""

from __future__ import annotations

from pathlib import Path


def write_season(folder: Path, **files: str) -> Path:
    """A season from file texts; ``batches__x`` is batches/x.yaml."""
    for name, text in files.items():
        path = folder / (name.replace("__", "/") + ".yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder
