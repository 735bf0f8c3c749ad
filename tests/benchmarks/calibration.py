"""Print shares against shares right, of simulated beers: ``python -m tests.benchmarks.calibration``."""

from __future__ import annotations

import sys
from itertools import pairwise

from entryprep import load_styles, rank
from tests.benchmarks.simulated import FLAVOUR, draw, vitals_of
from tests.vectors.published import numbered_rows

EACH, SEED = 6, 23
EDGES = (0.0, 0.3, 0.5, 0.7, 0.8, 0.9, 1.01)
TOLD = {"vitals alone": (), "and fermentation": ("fermentation",), "and all traits": ("fermentation", *FLAVOUR)}


def main() -> None:
    """Rank every beer by what is told, with all styles as candidates and nothing added, and count by first share."""
    table, rows = load_styles(), numbered_rows()
    styles = [table.find(row.name) for row in rows]
    beers = list(draw(rows, styles, EACH, SEED))
    for name, traits in TOLD.items():
        sys.stdout.write(f"{name}\n")
        found = []
        for beer in beers:
            told = {trait: beer.traits[trait] for trait in traits if trait in beer.traits}
            style, share = rank(vitals_of(beer), told, table, ()).shares[0]
            found.append((share, style.id == styles[beer.row].id))
        for low, high in pairwise(EDGES):
            part = [(share, hit) for share, hit in found if low <= share < high]
            if part:
                said, hits = sum(share for share, _ in part) / len(part), sum(hit for _, hit in part)
                sys.stdout.write(
                    f"  from {low:.1f}: {len(part):4} beers, said {said:.2f}, right {hits / len(part):.2f}\n"
                )
        sure = [hit for share, hit in found if share >= EDGES[-2]]
        sys.stdout.write(f"  shares of 90 % and more: right in {sum(sure)} of {len(sure)}\n")


if __name__ == "__main__":
    main()
