"""A key at the wrong place is told where it belongs."""

from __future__ import annotations

import pytest
from pydantic import BaseModel

from entryprep.reading.validate import validate
from entryprep.reading.yamltext import parse_yaml
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition


@pytest.mark.parametrize(
    ("line", "model", "fix"),
    [
        ("og: 1.050", Batch, "write it under `measured:`, two spaces in"),
        ("FG: 1.010", Batch, "write it under `measured:`, two spaces in"),
        ("packaged: 2027-01-01", Batch, "write it under `dates:`, two spaces in"),
        ("stlye: gose", Batch, "Did you mean style?"),
        ("alpha: 5", Batch, "keys known here: "),  # of a hop: of those there may be many
        ("measured: {og: 1.05, name: x}", Batch, "keys known here: "),
        ("zork: 1", Competition, "keys known here: "),
    ],
)
def test_the_fix_names_the_place(line: str, model: type[BaseModel], fix: str) -> None:
    record, found = validate(parse_yaml(f"name: X\n{line}\n".encode(), "x.yaml"), model)
    assert record is None
    (told,) = [each for each in found if "is not known" in each.what]
    assert told.fix.startswith(fix)
