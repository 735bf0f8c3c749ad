"""Damaged files, killed runs and runs at once, in numbers: ``python -m tests.benchmarks.damage 100000 500 200 10000``.

The numbers are how many damaged cases, kills (at each change of the disk, and at random), pairs at once, and commands
with any of their options are tried. ``--only NUMBER`` runs one damaged case again and says what it was, ``--only-call
NUMBER`` one command; ``--from NUMBER`` begins elsewhere.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from entryprep.tables.shipped import shipped_file
from tests.anycall import AnyCall
from tests.damage import DAY, SCORES, Damager, call
from tests.killing import KILLED, run_killed

WORKERS = os.cpu_count() or 1
Files = dict[str, bytes]
TIMED = {"journal.jsonl", "entries.csv"}


@dataclass(frozen=True)
class Work:
    """One command that writes: an earlier and a later run of it, into the same folder."""

    name: str
    old: tuple[str, ...]
    new: tuple[str, ...]


def main() -> None:
    """Run what was asked for, and print what came of it."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in ("cases", "kills", "pairs", "calls"):
        options.add_argument(name, type=int, nargs="?", default=0)
    options.add_argument("--only", type=int)
    options.add_argument("--only-call", type=int)
    options.add_argument("--from", type=int, default=0, dest="first")
    asked = options.parse_args()
    for number, kind in ((asked.only, Damager), (asked.only_call, AnyCall)):
        if number is not None:
            with tempfile.TemporaryDirectory() as scratch:
                (Path(scratch) / "own").mkdir()
                args, found = kind(Path(scratch) / "own").run(number)
                print(args, *found, sep="\n")
            return
    wrong = 0
    if asked.cases:
        wrong += _shared("damaged cases", asked.cases, lambda part: _damaged(Damager, asked.first, part, asked.cases))
    if asked.kills:
        wrong += _shared("kills", asked.kills, lambda part: _killed(part, asked.kills))
    if asked.pairs:
        wrong += _shared("pairs at once", asked.pairs, lambda part: _paired(part, asked.pairs))
    if asked.calls:
        wrong += _shared("commands", asked.calls, lambda part: _damaged(AnyCall, asked.first, part, asked.calls))
    sys.exit(1 if wrong else 0)


def _shared(what: str, count: int, work: Callable[[int], int]) -> int:
    """Share work among forked processes, each told its part; print how many went wrong."""
    started = time.perf_counter()
    children = []
    for part in range(WORKERS):
        child = os.fork()
        if not child:
            code = 99
            try:
                code = min(work(part), 98)
            except BaseException:  # a fault of the campaign's own is told too, and counts
                traceback.print_exc()
            finally:
                sys.stdout.flush()
                os._exit(code)
        children.append(child)
    codes = [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]
    wrong = sum(abs(code) for code in codes)  # a worker that was itself killed went wrong as well
    print(f"{count} {what}: {wrong} went wrong, {time.perf_counter() - started:.0f} s", flush=True)
    return wrong


def _damaged(kind: type[Damager], first: int, part: int, count: int) -> int:
    wrong = 0
    with tempfile.TemporaryDirectory() as scratch:
        (Path(scratch) / "own").mkdir()
        damager = kind(Path(scratch) / "own")
        for number in range(first + part, first + count, WORKERS):
            args, found = damager.run(number)
            if found:
                wrong += 1
                print(f"case {number}: {args}", *found, sep="\n  ", flush=True)
    return wrong


def _works(folder: Path) -> list[Work]:
    """Commands that write, on invented files laid out in ``folder``."""
    declarations = shipped_file("templates/demo/receiving/declarations.csv").decode()
    sheets = {"one": declarations, "two": declarations.replace("1.05", "1.06").replace("Inge", "Anka")}
    for name, text in sheets.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    (folder / "s1.csv").write_text(SCORES, encoding="utf-8")
    (folder / "s2.csv").write_text(SCORES.replace("Lin", "Osei").replace("15", "14"), encoding="utf-8")
    for name in ("season1", "season2"):
        call("demo", str(folder / name))
    brewer = folder / "season2" / "brewer.yaml"
    brewer.write_text(brewer.read_text(encoding="utf-8").replace("name: ", "name: X"), encoding="utf-8")
    one, two, s1, s2 = (str(folder / name) for name in ("one.csv", "two.csv", "s1.csv", "s2.csv"))
    papers = ("--despite-errors", *DAY)
    return [
        Work("intake", ("intake", one, "--seed", "words one"), ("intake", two, "--seed", "words one")),
        Work("results", ("results", s1), ("results", s2)),
        Work("flights", ("flights", one), ("flights", two)),
        Work(
            "prepare",
            ("prepare", str(folder / "season1"), *papers),
            ("prepare", str(folder / "season2"), *papers),
        ),
    ]


def _contents(out: Path) -> Files:
    """What stands in the folder as papers: hidden leavings, the mark and what tells the time of a change are none."""
    found = [p for p in out.rglob("*") if p.is_file() and p.name not in TIMED] if out.exists() else []
    return {n: p.read_bytes() for p in found if not (n := p.relative_to(out).as_posix()).startswith(".entryprep")}


def _is_part(some: Files, whole: Files) -> bool:
    return all(whole.get(name) == content for name, content in some.items())


def _leavings(folder: Path) -> list[str]:
    return [p.name for p in folder.rglob(".entryprep-*") if p.name != ".entryprep-made.json"]


def _alone(folder: Path, work: Work) -> tuple[Files, Files, Files]:
    """What the runs write where nothing disturbs them: the earlier, the later over it, the later in a new folder."""
    out, other = folder / "alone", folder / "fresh"
    call(*work.new, "--out", str(other))
    call(*work.old, "--out", str(out))
    first = _contents(out)
    call(*work.new, "--out", str(out))
    return first, _contents(out), _contents(other)


def _killed(part: int, count: int) -> int:
    chance = random.Random(part)
    wrong = killed = turn = 0
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        works = _works(folder)
        alone = {work.name: _alone(folder / work.name, work) for work in works}
        at = dict.fromkeys(alone, 0)
        while killed < count // WORKERS + (part < count % WORKERS):
            work = works[turn % len(works)]
            first, second, fresh = alone[work.name]
            out = folder / "outs" / "out"
            turn += 1
            again = turn % 3 > 0
            if again:
                call(*work.old, "--out", str(out))
            run = (*work.new, "--out", str(out))
            if chance.random() < 0.6:
                at[work.name] += 1
                ended = run_killed(lambda run=run: call(*run), at[work.name])  # type: ignore[misc]
                at[work.name] = 0 if ended != KILLED else at[work.name]
            else:
                ended = _killed_at_random(run, chance)
            killed += ended in {KILLED, -signal.SIGKILL}
            stands = _contents(out)
            before = first if again else {}
            whole = (before, second, fresh)
            found = [] if any(_is_part(stands, each) for each in whole) else ["old and new stand mixed"]
            done = call(*run)
            found += [f"exit code {done.code}: {done.err}"] if done.code not in {0, 1} else []
            found += [] if _contents(out) in (second, fresh) else ["the next run does not set it right"]
            found += [f"leavings: {left}" for left in _leavings(folder)]
            found += [] if [p.name for p in (folder / "outs").iterdir()] == ["out"] else ["something beside the folder"]
            if found:
                wrong += 1
                print(f"kill {turn} of {work.name}, change {at[work.name]}", *found, sep="\n  ", flush=True)
            _clear(folder / "outs")
    return wrong


def _killed_at_random(run: tuple[str, ...], chance: random.Random) -> int:
    child = os.fork()
    if not child:
        call(*run)
        os._exit(0)
    time.sleep(chance.random() * 0.3)
    os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _paired(part: int, count: int) -> int:
    chance = random.Random(part)
    wrong = 0
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        works = _works(folder)
        alone = {}
        for work in works:
            turned = Work(work.name, work.new, work.old)
            alone[work.name] = (*_alone(folder / work.name, work), *_alone(folder / f"{work.name}-turned", turned))
        for turn in range(count // WORKERS + (part < count % WORKERS)):
            work = works[turn % len(works)]
            out = folder / "outs" / "out"
            codes = _at_once([(*run, "--out", str(out)) for run in (work.old, work.new)], chance)
            found = [] if _contents(out) in alone[work.name] else ["two runs are mixed"]
            found += [] if all(code in {0, 1, 2} for code in codes) and set(codes) & {0, 1} else [f"codes {codes}"]
            found += [f"leavings: {left}" for left in _leavings(folder)]
            if found:
                wrong += 1
                print(f"pair {turn} of {work.name}", *found, sep="\n  ", flush=True)
            _clear(folder / "outs")
    return wrong


def _at_once(runs: list[tuple[str, ...]], chance: random.Random) -> list[int]:
    children = []
    for run in runs:
        child = os.fork()
        if not child:
            os._exit(call(*run).code)
        children.append(child)
        time.sleep(chance.random() * 0.05)
    return [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children]


def _clear(folder: Path) -> None:
    for path in sorted(folder.rglob("*"), reverse=True):
        path.rmdir() if path.is_dir() and not path.is_symlink() else path.unlink()


if __name__ == "__main__":
    main()
