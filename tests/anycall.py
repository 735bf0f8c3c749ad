"""Any command with any of its options given hostile values, on files as they should be or damaged.

The options are read off the commands themselves, so that one that is added is tried as well.
"""

from __future__ import annotations

import inspect
import io
import random
import shutil
import sys
from collections.abc import Iterator
from contextlib import chdir, contextmanager
from functools import cache
from pathlib import Path
from typing import get_args

from typer.models import OptionInfo

from entryprep.cli.app import COMMANDS
from tests.damage import DAY, SCORES, Damager, call, damaged, option

PLAUSIBLE = (
    "2027-03-13T09:30", "2027-02-20", "letter", "a4", "us", "metric", "1", "3", "17", "0", "50 USD", "EUR=1.08", "0.5",
    "Gose", "ale", "spirit", "fifty", "a4-24-adhesive", "half-letter", "1,-0.5", "style=style", "1,2", "utf-8", "comma",
    "words", "Lin Weir", "withdrawn", "moved", "gone", "arrived", "apart", "same",
)  # fmt: skip
FITTING = {
    "--units": ("us", "metric"),
    "--page": ("letter", "a4"),
    "--at": ("2027-03-13T09:30", "2027-03-13T09:30+01:00"),
    "--today": ("2027-02-20", "2027-03-12", "2030-01-01"),
    "--judged": ("2027-03-27",),
    "--sheet": ("a4-24-adhesive", "a4-2", "half-letter"),
    "--style": ("Gose", "English porter", "fruit beer"),
    "--base": ("Gose", "English porter", "ale"),
    "--scale": ("fifty", "hundred", "twenty"),
    "--encoding": ("utf-8", "windows-1252"),
    "--separator": ("comma", "semicolon", "tab"),
}
NOT_OURS = (
    "help",
    "out",
    "picture",
    "font",
    "install_completion",
    "show_completion",
)  # what is written goes to ``out``
ADDED = (
    ("beer", "name=Night", "og=1.056", "fg=1.014", "ibu=32", "srm=30", "bottles=12"),
    ("beer", "RECIPE"),
    ("beer", "name=Night"),
    ("competition", "name=Cup", "deliver=2027-03-20", "judging=2027-03-27"),
    ("entry", "elan", "saltmarsh-open", "26"),
    ("number", "elan", "saltmarsh-open", "1234"),
    ("value", "elan", "fg=1.010"),
    ("split", "elan", "name=Half"),
)


@cache
def options_of(command: str) -> tuple[tuple[str, bool, bool], ...]:
    """The options of a command: name, whether it is a flag, whether it takes a path."""
    function = next(each for each in COMMANDS if each.__name__ == command)
    found = []
    for name, parameter in inspect.signature(function).parameters.items():
        kind, *said = get_args(parameter.annotation)
        info = next((each for each in said if isinstance(each, OptionInfo)), None)
        if info is not None and name not in NOT_OURS:
            called = next(
                (each for each in info.param_decls or () if each.startswith("--")), f"--{name.replace('_', '-')}"
            )
            found.append((called.partition("/")[0], kind is bool, "Path" in str(kind)))
    return tuple(found)


class AnyCall(Damager):
    """Cases over every command; a season, a register and files to read lie in the folder."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.kept = folder.parent / f"{folder.name}-kept"
        sheet = self._put("whole.csv", self.files["receiving/declarations.csv"])
        judges = self._put("judges.csv", self.files["receiving/judges.csv"])
        table = str(self.kept / "table")
        made = call("intake", sheet, "--out", table, "--seed", "four words")
        assert made.code in {0, 1}, made.err
        call("flights", str(Path(table) / "judging.csv"), "--judges", judges, "--out", table)
        shutil.copytree(self.season, self.kept / "season")

    def case(self, chance: random.Random) -> list[str]:
        """A command line: the usual words of a command, some of them hostile, and up to three of its options."""
        for name in ("table", "season"):
            shutil.rmtree(self.folder / name, ignore_errors=True)
            shutil.copytree(self.kept / name, self.folder / name)
        command = chance.choice(COMMANDS).__name__
        words = [option(chance) if chance.random() < 0.04 else word for word in self._words(command, chance)]
        known = options_of(command)
        for name, flag, path in chance.sample(known, min(len(known), chance.choice([0, 1, 1, 2, 3]))):
            value = self._file(chance) if path and chance.random() < 0.8 else self._value(name, chance)
            words += [name] if flag else [name, value]
        if "--today" in {name for name, *_ in known} and "--today" not in words:
            words += DAY
        return [command, *words]

    def _value(self, name: str, chance: random.Random) -> str:
        return option(chance) if chance.random() < 0.35 else chance.choice(FITTING.get(name, PLAUSIBLE))

    def _words(self, command: str, chance: random.Random) -> list[str]:
        out = ["--out", str(self.folder / "out" / chance.choice(["a", "b"]))]
        table, season = str(self.folder / "table"), str(self.folder / "season")
        errors = ["--despite-errors"] if chance.random() < 0.7 else []
        added = [self._beer(chance) if word == "RECIPE" else word for word in chance.choice(ADDED)]
        words = {
            ("check", "chart", "plan"): [season],
            ("vitals", "fit", "suggest", "base"): [self._beer(chance)],
            ("compare",): [self._beer(chance), "English porter", option(chance)],
            ("prepare", "labels", "packing", "shipping"): [season, *out, *errors],
            ("calendar",): [season, "--out", str(self.folder / "out" / "s.ics")],
            ("add",): [*added, "--season", season],
            ("intake", "results", "flights"): [self._file(chance), *(out * (chance.random() < 0.4))],
            ("checkin", "register"): [table],
            ("entry",): [table, "3", chance.choice(["withdrawn", "moved", "renumbered", "arrived"])],
            ("judge",): [table, "Lin Weir", chance.choice(["gone", "arrived"])],
            ("decide",): [table, "1", "apart"],
            ("styles",): [option(chance)],
            ("schema",): [chance.choice(["batch", "competition", option(chance)])],
            ("demo", "start"): [str(self.folder / "out" / "new")],
        }
        return next(list(found) for commands, found in words.items() if command in commands)

    def _beer(self, chance: random.Random) -> str:
        name = chance.choice([n for n in self.files if n.startswith(("batches/", "recipes/"))])
        content = self.files[name]
        return self._put(
            f"given/{Path(name).name}", damaged(name, content, chance) if chance.random() < 0.5 else content
        )

    def _file(self, chance: random.Random) -> str:
        """Some file: a sheet, a record, one of the register's, whole or damaged; what is no file, too."""
        standing = [p for p in sorted(self.kept.rglob("*")) if p.is_file()]
        source = chance.choice(standing)
        content = source.read_bytes()
        kind = source.suffix[1:] if source.suffix[1:] in {"yaml", "json", "csv", "xml"} else "csv"
        if chance.random() < 0.5 and kind == source.suffix[1:]:
            content = damaged(f"x.{kind}", content, chance)
        elsewhere = [str(self.folder), str(self.folder / "none.csv"), "", "-"]
        given = self._put(f"given/{source.name}", content)
        scores = self._put("given/scores.csv", damaged("s.csv", SCORES.encode(), chance))
        whole = str(self.folder / "whole.csv")
        return chance.choices([given, scores, whole, chance.choice(elsewhere)], [5, 2, 2, 1])[0]

    def run(self, number: int) -> tuple[list[str], list[str]]:
        """Run the case of this number, with answers that nobody would give where it asks."""
        chance = random.Random(-1 - number)
        here = self.folder / "out" / "some" / "where"  # hostile words may name a new folder here, or two above
        here.mkdir(parents=True)
        answers = "".join(f"{option(chance)}\n" for _ in range(chance.choice([0, 3, 30])))
        with _typed(answers.encode("utf-8", "replace")), chdir(here):
            return self.tried(self.case, chance)

    def _restore(self) -> None:
        for name in ("out", "given"):
            shutil.rmtree(self.folder / name, ignore_errors=True)

    def _outside(self) -> list[tuple[str, int]]:
        """What no command may touch here: it was given neither to write into nor to change."""
        beside = [self.folder / name for name in ("precious.txt", "whole.csv", "judges.csv")]
        own = [p for p in self.kept.rglob("*") if p.is_file()]
        return sorted((str(p), p.stat().st_mtime_ns) for p in [*beside, *own])


@contextmanager
def _typed(answers: bytes) -> Iterator[None]:
    """Answers on the standard input."""
    usual, sys.stdin = sys.stdin, io.TextIOWrapper(io.BytesIO(answers), encoding="utf-8", errors="replace")
    try:
        yield
    finally:
        sys.stdin = usual
