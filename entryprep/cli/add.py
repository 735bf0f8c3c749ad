"""``add``: beers, competitions, entries, numbers and single values, as the records that one could have written.

Each kind of record has a module of its own, which is loaded when it is asked for.
"""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.cli.adding import Wanted
from entryprep.cli.boundary import UsageProblem
from entryprep.entering.adding import season_place
from entryprep.text import either

KINDS_OF_RECORD = ("beer", "competition", "entry", "number", "value")
OF_SHEETS = ("beer", "competition", "number")


def run(what: str, words: Sequence[str], wanted: Wanted) -> None:
    """``entryprep add``."""
    if what not in KINDS_OF_RECORD:
        raise UsageProblem(f"add {what} is not known", f"add one of {', '.join(KINDS_OF_RECORD)}")
    if wanted.sheet is not None and what not in OF_SHEETS:
        raise UsageProblem(f"add {what} reads no sheet", f"--from goes with {either(OF_SHEETS)}")
    if wanted.as_json and wanted.ask:
        raise UsageProblem("--ask talks to you and --json to a program", "give one of them")
    season_place(wanted.folder)
    if wanted.sheet is not None:
        from entryprep.cli import addsheets

        of_sheet = {
            "beer": addsheets.add_beers,
            "competition": addsheets.add_categories,
            "number": addsheets.add_numbers,
        }
        of_sheet[what](words, wanted)
    elif what == "beer":
        from entryprep.cli.addbeer import add_beer

        add_beer(words, wanted)
    elif what == "competition":
        from entryprep.cli.addcompetition import add_competition

        add_competition(words, wanted)
    elif what == "entry":
        from entryprep.cli.addentry import add_entry

        add_entry(words, wanted)
    elif what == "number":
        from entryprep.cli.addvalues import add_number

        add_number(words, wanted)
    else:
        from entryprep.cli.addvalues import add_value

        add_value(words, wanted)
