"""``demo``: a season to look at, prepared."""

from __future__ import annotations

from pathlib import Path

from entryprep.cli.season import run_prepare
from entryprep.cli.show import console, paragraph
from entryprep.cli.start import lay_out
from entryprep.tables.shipped import shipped_tree

DEMO_DAY = "2027-02-20"  # the season's dates are fixed, so the demo is judged as of a day inside it


def run(folder: Path, page: str, as_json: bool) -> None:
    """``entryprep demo``: errors are part of the demo, so it exits 0 when they were printed as errors."""
    there = all((folder / name).is_file() for name in shipped_tree("templates/demo"))
    if not there:
        lay_out(folder, "templates/demo")
    if not as_json:
        out = console()
        used = " It was there already and is used as it stands." if there else ""
        out.print(paragraph(f"A demo season, invented from end to end, is in {folder.as_posix()}.{used}"))
        out.print(paragraph(f"Prepared as of {DEMO_DAY} with --despite-errors; some of its beers have real faults:"))
        out.print()
    try:
        run_prepare(folder, "", None, page, True, DEMO_DAY, as_json)
    except SystemExit as stop:
        if stop.code != 1:
            raise
