"""The published ranges of another table (BJCP 2021 Style Guidelines), as an outside check."""

from __future__ import annotations

import csv
from dataclasses import dataclass

from tests.vectors import vector_path

VITALS = ("og", "fg", "abv", "ibu", "srm")


@dataclass(frozen=True)
class Published:
    """One published row: its name and the pairs of its five vitals."""

    name: str
    pairs: dict[str, tuple[float, float]]


def numbered_rows() -> list[Published]:
    """The rows that have all five pairs."""
    lines = vector_path("published-ranges-2021.csv").read_text(encoding="utf-8").splitlines()
    rows = []
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        cells = [row[f"{vital}_{end}"] for vital in VITALS for end in ("low", "high")]
        if all(cells):
            numbers = [float(cell) for cell in cells]
            pairs = {vital: (numbers[2 * i], numbers[2 * i + 1]) for i, vital in enumerate(VITALS)}
            rows.append(Published(row["name"], pairs))
    return rows
