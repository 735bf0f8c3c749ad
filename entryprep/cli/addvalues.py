"""``add number`` and ``add value``: what is known later, written into records that stand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from entryprep.cli.adding import Wanted, needed, pairs, parted, tell, which
from entryprep.cli.boundary import UsageProblem
from entryprep.entering.adding import change_record, numbered, record_type
from entryprep.entering.season import Season
from entryprep.records.shorthand import path_of, said
from entryprep.text import several


def add_number(words: Sequence[str], wanted: Wanted) -> None:
    """Write issued numbers into entries.yaml."""
    season = needed(wanted.folder)
    places, fields = parted(words)
    competition = which("competition", places[0] if places else "", season.competitions, None)
    if not fields:
        own = [e.batch_id for e in season.entered if e.competition_id == competition and not e.entry.number]
        raise UsageProblem(
            "no number was given", f"write BEER=NUMBER: {own[0] if own else 'night-ferry'}=1047, or --from a sheet"
        )
    write_numbers(season, competition, dict(pairs(fields)), wanted)


def write_numbers(season: Season, competition: str, numbers: Mapping[str, str], wanted: Wanted) -> None:
    """Issued numbers into entries.yaml, and what is told of it."""
    path = numbered(season, competition, numbers, wanted.replace)
    name = season.competitions[competition].name
    tell(wanted, [path], [f"{name}: {several(len(numbers), 'number')} in entries.yaml.", "Next: entryprep labels"])


def add_value(words: Sequence[str], wanted: Wanted) -> None:
    """Write single values into a record that stands; every other byte of it stays."""
    files, fields = parted(words)
    if len(files) != 1 or not fields:
        raise UsageProblem(
            "a value needs a record and field=value", "write: add value batches/night-ferry.yaml fg=1.012"
        )
    file = files[0]
    model = record_type(file)
    values = [(path_of(model, name), said(model, name, value)) for name, value in pairs(fields)]
    path = change_record(wanted.folder, file, values, wanted.replace)
    tell(wanted, [path], [f"{several(len(values), 'value')} written; all else stays as it was."])
