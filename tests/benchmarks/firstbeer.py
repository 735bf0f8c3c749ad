"""What a first beer costs its brewer in answers, keys and seconds: ``python -m tests.benchmarks.firstbeer``.

Seconds are those of the keystroke-level model (Card, Moran and Newell, Communications of the ACM 23, 1980, from
memory): 0.28 s for a key of an average typist and 1.35 s to make up one's mind, here once before each answer and once
before the command. What it does not count is looking a figure up: the numbers are taken to be at hand, as on a brewing
sheet.
"""

from __future__ import annotations

import io
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple
from unittest import mock

from entryprep.cli.adding import Wanted
from entryprep.cli.asking import Asker

KEY_S, MIND_S = 0.28, 1.35
RECIPE = Path(__file__).parents[2] / "templates" / "demo" / "recipes" / "lovfall.json"
NOTHING = ("Night Ferry", "1.056", "1.014", "32", "30", "", "", "1", "12", "")
FROM_RECIPE = ("", "1.053", "1.013", "1", "12", "")


class Cost(NamedTuple):
    """Prompts answered, keys pressed (Enter among them, and the command's own), longest prompt in columns, seconds."""

    prompts: int
    keys: int
    widest: int
    seconds: float


def cost(command: str, words: Sequence[str], answers: Sequence[str]) -> Cost:
    """Add a first beer to an empty season by these answers; what it cost. Raises AssertionError if any is refused."""
    from entryprep.cli.addbeer import add_beer

    told, asked = io.StringIO(), []

    class Counting(Asker):
        def _line(self, prompt: str) -> str:
            asked.append(prompt)
            return super()._line(prompt)

    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "batches").mkdir()
        lines = io.StringIO("".join(f"{answer}\n" for answer in answers))
        with (
            mock.patch("entryprep.cli.addbeer.Asker", Counting),
            mock.patch.object(sys, "stdin", lines),
            mock.patch.object(sys, "stderr", told),
            mock.patch.object(sys, "stdout", told),
        ):
            add_beer(words, Wanted(folder, ask=True))
        assert lines.read() == "", f"an answer was left over:\n{told.getvalue()}"
        assert len(asked) == len(answers), f"{len(asked)} prompts for {len(answers)} answers:\n{told.getvalue()}"
        assert len(list((folder / "batches").iterdir())) == 1
    keys = len(command) + 1 + sum(len(answer) + 1 for answer in answers)
    return Cost(len(asked), keys, max(map(len, asked)), keys * KEY_S + (len(asked) + 1) * MIND_S)


def main() -> None:
    """Measure and print."""
    for name, command, words, answers in (
        ("from nothing", "entryprep add beer", (), NOTHING),
        ("from a recipe", "entryprep add beer porter.json", (str(RECIPE),), FROM_RECIPE),
    ):
        found = cost(command, words, answers)
        sys.stdout.write(
            f"{name:16}{found.prompts:3} answers  {found.keys:3} keys  {found.seconds:5.0f} s  "
            f"widest prompt {found.widest} columns\n"
        )


if __name__ == "__main__":
    main()
