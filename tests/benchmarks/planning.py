"""Times of the chart and the plan on seasons drawn at random: ``python -m tests.benchmarks.planning``.

Seconds are of the processor and by the clock, of the library in a warm process; then of the whole commands.
"""

from __future__ import annotations

import datetime as dt
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from unittest import mock

import yaml

from entryprep.entering.season import Season, read_season
from entryprep.tables.style import Style
from entryprep.tables.styles import load_styles

TODAY = dt.date(2027, 1, 1)
NUMBERS = ("og", "fg", "ibu", "srm")
BUDGETS = (500.0, 250.0, 120.0)
COMMANDS = {
    "no budget": (),
    "budget 500": ("--budget", "500"),
    "budget 500, nothing with one more": ("--budget", "500", "--one-more", "0"),
    "budget 250": ("--budget", "250"),
}


def drawn(beers: int, competitions: int, seed: int) -> dict[str, dict[str, object]]:
    """Records by file name: beers drawn inside styles of the table, competitions with all its families."""
    draw = random.Random(seed)
    styles = [s for s in load_styles() if not s.specialty and set(NUMBERS) <= s.ranges.keys()]
    families = sorted({style.family for style in styles})
    files: dict[str, dict[str, object]] = {}
    for number in range(beers):
        files[f"batches/b{number:02}.yaml"] = _beer(draw, draw.choice(styles), number)
    for number in range(competitions):
        files[f"competitions/c{number}.yaml"] = {
            "name": f"Cup {number}",
            "categories": [{"code": str(i), "name": f"Class {i}", "families": [f]} for i, f in enumerate(families)],
            "bottles": {"count": draw.choice([2, 3]), "size": ["300 ml", draw.choice(["400 ml", "600 ml"])]},
            "limits": {"per_brewer": draw.choice([4, 6, 10]), "per_category": draw.choice([1, 2])},
            "fee": {"amount": draw.choice([6, 8, 10]), "currency": "USD"},
            "sending": {"rates": [{"up_to": "5 kg", "cost": 9}, {"up_to": "11.3 kg", "cost": 15}]},
            "dates": {
                "registration": {"closes": "2027-02-01"},
                "delivery": {"closes": "2027-03-01"},
                "judging": "2027-03-10",
            },
        }
    return files


def _beer(draw: random.Random, style: Style, number: int) -> dict[str, object]:
    vitals = {n: round(style.ranges[n].low + draw.random() * style.ranges[n].width, 3) for n in NUMBERS}
    vitals["fg"] = min(vitals["fg"], vitals["og"])
    return {
        "name": f"Beer {number}",
        "measured": vitals,
        "traits": {"fermentation": style.traits.get("fermentation", ("ale",))[0]},
        "additions": [],
        "dates": {"packaged": "2026-12-01"},
        "bottles": [{"count": draw.randint(2, 10)}, {"count": draw.randint(0, 6), "type": "half-litre"}],
        "keep": draw.randint(0, 3),
        "score": draw.randint(4, 10),
    }


def season(folder: Path, beers: int, competitions: int, seed: int = 1) -> Path:
    """A drawn season, written to a folder."""
    for name, record in drawn(beers, competitions, seed).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(yaml.safe_dump(record, sort_keys=False, allow_unicode=True), encoding="utf-8")
    (folder / "entries.yaml").write_text("entries: []\n", encoding="utf-8")
    return folder


def read(beers: int, competitions: int, seed: int = 1) -> Season:
    """A drawn season, read."""
    with tempfile.TemporaryDirectory() as scratch:
        return read_season(season(Path(scratch), beers, competitions, seed))[0]


def clocked(call: Callable[[], object]) -> tuple[float, float]:
    """Seconds of the processor and by the clock."""
    clock, processor = time.perf_counter(), time.process_time()
    call()
    return time.process_time() - processor, time.perf_counter() - clock


def _plans(budget: float | None, gains: int, seasons: Sequence[int] = range(1, 11)) -> list[tuple[float, float]]:
    """Seconds of plans of ten seasons of 40 beers and 8 competitions."""
    from entryprep.entering.planning.planner import Wishes, plan

    plan(read(4, 2), TODAY, Wishes(gains=0))  # the libraries are loaded
    wishes = Wishes(budget=budget, gains=gains)
    found = []
    for seed in seasons:
        made = read(40, 8, seed)
        found.append(clocked(lambda made=made: plan(made, TODAY, wishes)))  # type: ignore[misc]
    return found


def _solved(budget: float | None, seasons: Sequence[int] = range(1, 11)) -> list[tuple[float, float]]:
    """Seconds of the solver alone, the order of equal plans included."""
    from entryprep.entering.planning import solver
    from entryprep.entering.planning.planner import Wishes, plan

    spent: list[tuple[float, float]] = []
    solve, earliest = solver.solve, solver.earliest

    def counted(call: Callable[..., object], *given: object) -> object:
        answer: list[object] = []
        seconds = clocked(lambda: answer.append(call(*given)))
        spent[-1] = spent[-1][0] + seconds[0], spent[-1][1] + seconds[1]
        return answer[0]

    with mock.patch.multiple(
        "entryprep.entering.planning.planner",
        solve=lambda *given: counted(solve, *given),
        earliest=lambda *given: counted(earliest, *given),
    ):
        for seed in seasons:
            spent.append((0.0, 0.0))
            plan(read(40, 8, seed), TODAY, Wishes(budget=budget, gains=0))
    return spent


def _whole(*arguments: str, runs: int = 3) -> list[tuple[float, float]]:
    """Seconds of a whole command, children of this process counted by the system."""
    found = []
    for _ in range(runs):
        before, clock = os.times(), time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "entryprep", *arguments], check=True, stdout=subprocess.DEVNULL, env=os.environ
        )
        after = os.times()
        processor = after.children_user + after.children_system - before.children_user - before.children_system
        found.append((processor, time.perf_counter() - clock))
    return found


def main() -> None:
    """Measure and print: median and worst of the runs."""

    def line(name: str, runs: list[tuple[float, float]]) -> None:
        parts = [f"{statistics.median(each):6.2f}, {max(each):5.2f} s" for each in zip(*runs, strict=True)]
        sys.stdout.write(f"{name:56}{parts[0]:>18}{parts[1]:>18}\n")
        sys.stdout.flush()

    sys.stdout.write(f"{'median, worst':56}{'processor':>18}{'clock':>18}\n")
    with tempfile.TemporaryDirectory() as scratch:
        small, large = Path(scratch) / "small", [Path(scratch) / str(seed) for seed in range(1, 11)]
        season(small, 12, 6)
        for seed, folder in enumerate(large, 1):
            season(folder, 40, 8, seed)
        line("chart, 12 beers × 6 competitions, whole command", _whole("chart", str(small)))
        for name, more in COMMANDS.items():
            runs = [_whole("plan", str(folder), "--today", TODAY.isoformat(), *more, runs=1)[0] for folder in large]
            line(f"plan, 40 × 8, whole command, {name}", runs)
    for budget in (None, *BUDGETS):
        line(f"solver alone, budget {budget}", _solved(budget))
        line(f"plan in the library, budget {budget}, nothing with one more", _plans(budget, 0))


if __name__ == "__main__":
    main()
