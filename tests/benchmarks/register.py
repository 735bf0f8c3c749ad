"""Times and memory of a register: ``python -m tests.benchmarks.register 420 5000``."""

from __future__ import annotations

import csv
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.receiving import declarations, said_of


def main() -> None:
    """Print a line per size and command; for the last two, how many flights were printed."""
    for count in map(int, sys.argv[1:] or ("420", "5000")):
        with tempfile.TemporaryDirectory() as scratch:
            folder, out = Path(scratch), Path(scratch) / "cup"
            form = declarations(folder / "form.csv", count)
            less = folder / "less" / "form.csv"
            less.parent.mkdir()
            less.write_text("".join(form.read_text(encoding="utf-8").splitlines(keepends=True)[:-1]), encoding="utf-8")
            club = declarations(folder / "club.csv", max(count // 10, 10), seed=9)
            club.write_text(club.read_text(encoding="utf-8").replace("Brew ", "Tarn "), encoding="utf-8")
            judges = folder / "judges.csv"
            judges.write_text("judge\n" + "".join(f"Judge {n:03d}\n" for n in range(max(count // 14, 6))))
            tool = (sys.executable, "-m", "entryprep")
            runs = {
                "intake": (*tool, "intake", str(form), "--out", str(out), "--seed", "marsh light"),
                "intake, a row less": (*tool, "intake", str(less), "--out", str(out)),
                "intake, a second club": (*tool, "intake", str(club), "--out", str(out), "--club", "Tarn"),
                "flights --out": (*tool, "flights", "--out", str(out), "--judges", str(judges)),
                "entry withdrawn": (*tool, "entry", str(out), "1003", "withdrawn"),
                "flights --out again": (*tool, "flights", "--out", str(out)),
                "register": (*tool, "register", str(out)),
            }
            before: dict[str, str] = {}
            for name, command in runs.items():
                print(f"{count:7} entries  {name:22} {said_of(*command)}", flush=True)
                now = _owners(out / "key.csv")
                assert before.items() <= now.items(), "a number changed its owner"
                before = now
            for number in (1, 2):
                flights = _flights(out / f"printing-{number}" / "scores.csv", out / "flights.csv")
                print(f"{count:7} entries  printing {number}: {flights} flights", flush=True)


def _owners(key: Path) -> dict[str, str]:
    with key.open(encoding="utf-8-sig", newline="") as stream:
        return {row["number"]: row["entry"] for row in csv.DictReader(stream)}


def _flights(scores: Path, flights: Path) -> int:
    with flights.open(encoding="utf-8-sig", newline="") as stream:
        flight_of = {row["number"]: row["flight"] for row in csv.DictReader(stream)}
    with scores.open(encoding="utf-8-sig", newline="") as stream:
        return len({flight_of.get(row["number"], "none") for row in csv.DictReader(stream)} - {"none"})


if __name__ == "__main__":
    main()
