"""``start``: a new season with every field commented."""

from __future__ import annotations

from pathlib import Path

from entryprep.cli.show import console, paragraph, print_json
from entryprep.output import OutputError, write_atomically
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
    """Copy a shipped season to a new or empty folder; these files are the user's own from then on.

    Raises OutputError if the folder holds anything, or cannot be written.
    """
    names = shipped_tree(source)
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise OutputError(f"{folder.as_posix()} is there already and not empty", "name a new folder")
        for name in names:
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            write_atomically(target, shipped_file(f"{source}/{name}"))
    except OSError as error:
        raise OutputError(
            f"{folder.as_posix()}: cannot be written: {error.strerror or error}", "name another folder"
        ) from None
    return names
