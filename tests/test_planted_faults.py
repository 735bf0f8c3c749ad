"""Single faults planted in a sound season or sheet: each must draw its finding, and near misses must draw none."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.vectors.faults import answered, hits, load, outcome

VECTOR = load()
VECTORS = (VECTOR, load("planted-faults-held-back.yaml"), load("planted-faults-second.yaml"))
ROWS = [(vector, row) for vector in VECTORS for part in ("faults", "near_misses") for row in vector.get(part, [])]


@pytest.mark.parametrize(("vector", "row"), ROWS, ids=[row["id"] for _, row in ROWS])
def test_a_planted_fault_draws_its_finding_and_a_near_miss_none(
    vector: dict[str, Any], row: dict[str, Any], tmp_path: Path
) -> None:
    said = outcome(row, vector, tmp_path)
    assert answered(row, said), (row["rule"], list(hits(row, said)), said.refused)


@pytest.mark.parametrize("where", ["check", "papers", "intake"])
def test_the_sound_season_draws_none_of_them(where: str, tmp_path: Path) -> None:
    wanted = {rule for row in VECTOR["faults"] for rule in row["rule"]}
    about = "plain" if where == "intake" else "hauk"
    said = outcome({"id": "sound", "where": where, "about": about, "rule": []}, VECTOR, tmp_path)
    assert not said.refused
    told = {(found["rule"], found["about"]) for found in said.findings if found["rule"] in wanted}
    # its one beer concentrated by ice comes to some 10 %
    assert told <= {("concentrated-beer", "hoarfrost"), ("strong-beer", "hoarfrost")}
