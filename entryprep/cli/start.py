"""``start``: a new season with every field commented."""

from __future__ import annotations

from pathlib import Path

from entryprep.cli.show import console, paragraph, print_json
from entryprep.output import write_season
from entryprep.tables.shipped import shipped_file, shipped_tree


def run(folder: Path, as_json: bool) -> None:
    """``entryprep start``."""
    names = lay_out(folder, "templates/start")
    if as_json:
        print_json({"season": folder.as_posix(), "files": names})
        return
    out = console()
    out.print(paragraph(f"A season is laid out in {folder.as_posix()}:"))
    for name in names:
        out.print(paragraph(name, indent=2))
    out.print(paragraph("Fill the records in, then run `entryprep check` and `entryprep prepare` on the folder."))


def lay_out(folder: Path, source: str) -> list[str]:
    """Copy a shipped season to a new or empty folder, or finish what an interrupted run has left there; these files
    are the user's own from then on.

    Raises OutputError if the folder holds anything else, or cannot be written.
    """
    names = shipped_tree(source)
    write_season(folder, {name: shipped_file(f"{source}/{name}") for name in names})
    return names
