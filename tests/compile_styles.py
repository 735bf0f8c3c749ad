"""``python -m tests.compile_styles``: compile the shipped tables anew when ``styles/`` or ``templates/`` change."""

from __future__ import annotations

from pathlib import Path

from entryprep.tables import shipped
from entryprep.tables.stylefiles import compiled
from entryprep.tables.styles import COMPILED

TARGET = Path(__file__).parent.parent / COMPILED


def main() -> None:
    """Write the compiled tables beside their sources."""
    templates = Path(__file__).parent.parent / shipped.COMPILED
    templates.write_text(shipped.compiled(), encoding="utf-8", newline="\n")
    TARGET.write_text(compiled(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
