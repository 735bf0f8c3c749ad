"""``python -m tests.compile_styles``: compile the style table anew after a change to ``styles/``."""

from __future__ import annotations

from pathlib import Path

from entryprep.tables.stylefiles import compiled
from entryprep.tables.styles import COMPILED

TARGET = Path(__file__).parent.parent / COMPILED


def main() -> None:
    """Write the compiled table beside its sources."""
    TARGET.write_text(compiled(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
