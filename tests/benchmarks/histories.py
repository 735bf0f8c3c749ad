"""Random histories of thirty changes of a register each: ``python -m tests.benchmarks.histories 200``."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.receiving.test_register import test_no_number_changes_its_owner_in_a_random_history as goes_through


def main() -> None:
    """Go through so many, and print how many held; the first that does not ends it with what was found."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    for seed in range(count):
        with tempfile.TemporaryDirectory() as scratch:
            goes_through(Path(scratch), seed)
    print(f"{count} histories of 30 changes: no number changed its owner")


if __name__ == "__main__":
    main()
