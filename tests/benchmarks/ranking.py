"""Print how often the style of a simulated beer is found: ``python -m tests.benchmarks.ranking``."""

from __future__ import annotations

import sys

from tests.benchmarks.simulated import DEPTHS, measure

SEEDS = (1, 2, 3)
EACH = 20


def main() -> None:
    """Measure with several seeds and print means and spread."""
    runs = [measure(EACH, seed) for seed in SEEDS]
    out = sys.stdout
    out.write(f"{len(SEEDS)} seeds, {EACH} beers of each of 107 published styles; share found among the first\n")
    out.write(f"{'':52}{''.join(f'{depth:>14}' for depth in DEPTHS)}\n")
    for name in runs[0]:
        cells = []
        for index in range(len(DEPTHS)):
            values = [run[name][index] for run in runs]
            mean = sum(values) / len(values)
            cells.append(f"{mean:6.3f} ±{(max(values) - min(values)) / 2:.3f}")
        out.write(f"{name:52}{''.join(f'{cell:>14}' for cell in cells)}\n")


if __name__ == "__main__":
    main()
