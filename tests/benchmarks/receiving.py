"""Times and memory of the receiving side: ``python -m tests.benchmarks.receiving 620 10000 100000``.

With ``--feedback`` in front only the runs that write feedback sheets are timed, three times each.
"""

from __future__ import annotations

import csv
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from entryprep.tables.styles import load_styles

HEADER: tuple[str, ...] = (
    "Entry",
    "Brewer",
    "Email",
    "Beer name",
    "Style",
    "Base style",
    "Special ingredients",
    "OG",
    "FG",
    "ABV",
    "IBU",
)
HEADER += ("Colour", "Carbonation", "Packaging", "Bottled on", "Bottles", "Condition")
FIRST = ("Aune", "Berit", "Cato", "Dagny", "Eskil", "Frode", "Gro", "Hauk", "Idun", "Jorun", "Kolbein", "Liv")
LAST = ("Myklebust", "Sandvoll", "Tveiten", "Ulvang", "Vassdal", "Ytreland", "Øygard", "Åsnes")
MOST_JUDGED = 10_000
VAGUE = ("dark lager", "stout", "amber", "brown al", "Grandma's best")


def declarations(path: Path, count: int, seed: int = 1) -> Path:
    """A sheet of ``count`` invented entries: four of five clean, the rest with the usual faults."""
    chance = random.Random(seed)
    styles = list(load_styles())
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(HEADER)
        for number in range(1, count + 1):
            style = chance.choice(styles)
            name = style.name if chance.random() < 0.8 else chance.choice((*style.aliases, *VAGUE))
            if chance.random() < 0.1 and len(name) > 8:
                spot = chance.randrange(2, len(name) - 2)
                name = name[:spot] + name[spot + 1 :]
            base = chance.choice(styles) if style.specialty else None
            ranges = (base or style).ranges
            values = {
                v: chance.uniform(r.low, r.high) + (r.width if chance.random() < 0.06 else 0) for v, r in ranges.items()
            }
            writer.writerow(
                (
                    1000 + number,
                    f"{chance.choice(FIRST)} {chance.choice(LAST)} {number // 3}",
                    f"b{number // 3}@example.org",
                    f"Brew {number}",
                    name,
                    base.name if base and chance.random() < 0.8 else "",
                    "raspberry and vanilla on oak" if style.specialty and chance.random() < 0.7 else "",
                    f"{values['og']:.3f}" if values and chance.random() < 0.9 else "",
                    f"{values['fg']:.3f}" if values and chance.random() < 0.9 else "",
                    "",
                    f"{values['ibu']:.0f}" if values else "",
                    f"{values['srm']:.0f}" if values else "",
                    f"{values['co2']:.1f}" if values else "",
                    "bottle, 330 ml",
                    f"2027-0{chance.randrange(1, 4)}-1{chance.randrange(10)}",
                    chance.choice((2, 2, 2, 2, 1)),
                    chance.choice(("ok", "ok", "ok", "leaking")),
                )
            )
    return path


def scores(path: Path, numbers: list[str], seed: int = 2) -> Path:
    """A sheet of invented scores: three judges an entry."""
    chance = random.Random(seed)
    parts = {"aroma": 12, "appearance": 3, "flavour": 20, "mouthfeel": 5, "overall": 10}
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(("number", "judge", *parts, "overall words", "improve", "faults"))
        for index, number in enumerate(numbers):
            for turn in range(3):
                points = [round(most * chance.uniform(0.4, 0.95)) for most in parts.values()]
                said = chance.choice(("clean and bright", "a little astringent", "thin and dry finish"))
                fault = chance.choice(("", "", "diacetyl"))
                writer.writerow(
                    (number, f"{FIRST[(index + turn) % 12]} {LAST[index % 8]}", *points, said, "more hops", fault)
                )
    return path


def measured(*command: str) -> tuple[float, float, float]:
    """Seconds by the clock and of the processor, and peak megabytes of one process, whatever its exit code up to 1."""
    start = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(process.pid, 0)
    seconds = time.perf_counter() - start
    assert os.waitstatus_to_exitcode(status) in {0, 1}, command
    return seconds, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / (1024 if sys.platform != "darwin" else 1 << 20)


def said_of(*command: str) -> str:
    """What one process took, in words: time of the processor too, for a busy machine's clock tells little."""
    seconds, processor, megabytes = measured(*command)
    return f"{seconds:7.2f} s  ({processor:6.2f} s of the processor)  {megabytes:6.0f} MB"


def main() -> None:
    """Print a line per size and command."""
    assert resource.getpagesize() > 0
    feedback = sys.argv[1:2] == ["--feedback"]
    for count in map(int, sys.argv[1 + feedback :] or ("620", "10000")):
        with tempfile.TemporaryDirectory() as folder:
            sheet = declarations(Path(folder) / "entries.csv", count)
            out = Path(folder) / "table"
            tool = (sys.executable, "-m", "entryprep")
            runs = {
                "intake": (*tool, "intake", str(sheet), "--bottles", "2"),
                "intake --json": (*tool, "intake", str(sheet), "--json"),
                "intake --out --seed": (*tool, "intake", str(sheet), "--out", str(out), "--seed", "marsh light"),
                "flights": (*tool, "flights", str(out / "judging.csv")),
                "flights --out": (*tool, "flights", str(out / "judging.csv"), "--out", str(Path(folder) / "flights")),
            }
            for name, command in runs.items():
                if feedback and name != "intake --out --seed":
                    continue
                print(f"{count:7} rows  {name:22} {said_of(*command)}", flush=True)
            with (out / "judging.csv").open(encoding="utf-8-sig", newline="") as stream:
                numbers = [row["number"] for row in csv.DictReader(stream)]
            judged = numbers if count <= MOST_JUDGED else numbers[: count // 3]  # so that its sheet has as many rows
            given = str(scores(Path(folder) / "scores.csv", judged))
            entries = ("--entries", str(out / "judging.csv"))
            ends = {
                "results": (*tool, "results", given, *entries),
                "results --out": (*tool, "results", given, *entries, "--out", str(Path(folder) / "results")),
            }
            for name, command in [("results --out", ends["results --out"])] * 3 if feedback else ends.items():
                shutil.rmtree(Path(folder) / "results", ignore_errors=True)
                print(f"{3 * len(judged):7} rows  {name:22} {said_of(*command)}", flush=True)


if __name__ == "__main__":
    main()
