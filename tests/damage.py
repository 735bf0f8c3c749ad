"""Damage done on purpose to every kind of file and option, and what must hold whatever was damaged.

Each case is made from a number alone, so that one that failed can be run again: ``python -m tests.benchmarks.damage
--only NUMBER``.
"""

from __future__ import annotations

import copy
import csv
import io
import json
import random
import shutil
import sys
import time
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from entryprep.cli.app import app
from entryprep.cli.boundary import outcome
from entryprep.tables.shipped import shipped_file, shipped_tree
from tests.formats.test_beerxml import FERMENTABLE, HOP, recipe

SLOW_S = 20.0  # a case that takes longer is a fault: nothing damaged here is large
MOST_OUTPUT = 400_000  # characters: more is no help to anybody
DAY = ("--today", "2027-02-20")

HOSTILE: tuple[Any, ...] = (
    None, True, "", " ", "-", 0, -1, 1, 100, 1e-320, 5e-324, 1e-9, 1e308, -1e308, 10**30, 0.0, 0.5, 1.0, 1.5,
    "nan", "inf", "-inf", ".inf", ".nan", "1e999", "0 %", "100 %", "101 %", "-5 °C", "1.000", "0.980", "1.200", "1.5",
    "40 °P", "0 L", "1e-310 L", "1e-300 g", "5 gal", "0 kg", "1 t", "1.0.0", "1,050", "1050", "~", "yes", "no",
    "2027-02-30", "0000-00-00", "9999-12-31", "0001-01-01", "2027-03-14", "12:30", "ale", "lager", "fruit", "none",
    "Irish stout", "fruit beer", "dark lager", "doppelbock", "x" * 5000, "ø" * 300, "\u202eevil", "\x1b[31mred\x1b[0m",
    "a\x00b", "\u200bzero\u2060width", "\ud7ff", "\ufffe", "\U000e0041", "../../escape", "/etc/passwd", "CON", "a/b",
    "=1+1", "＝1+1", "{{x}}", "<b>x</b>", "&amp;", "]]>", "%s", "{0}", "\\", "'", '"', "a\nb", "a\tb", "\r", "é",
    [], {}, [[]], [None], [{}], {"": ""}, {"a": {}}, ["a"] * 50, [1, 2], {"value": 1}, {"value": {}, "unit": []},
    {"value": 1e308, "unit": "l"}, {"low": 1, "high": -1},
)  # fmt: skip
BATCH = """\
name: Tern Point
style: Märzen
volume: 20 L
recipe:
  volume: 22 L
  boil: 60 min
  efficiency: 72 %
  attenuation: 77 %
  fermentables:
    - {what: Munich malt, mass: 4 kg, potential: 80 %, colour: 18 EBC}
    - {what: Pilsner malt, mass: 1.5 kg}
    - {what: white sugar, mass: 200 g, stage: kettle}
  hops:
    - {what: Perle, mass: 30 g, alpha: 7 %, time: 60 min, form: pellet}
additions:
  - {what: apricots, kind: fruit, mass: 3 kg, stage: secondary}
  - {what: oak cubes, kind: wood, mass: 40 g}
measured: {og: 1.055, fg: 1.012}
bottles: [{count: 12, type: longneck}]
"""
SCORES = """\
number,judge,aroma,appearance,flavour,mouthfeel,overall,improve,faults,agreed
1,Aled Garn,9,2,15,4,7,more hops,diacetyl,36
1,Vera Holm,8,3,14,4,8,,,36
2,Aled Garn,6,2,10,3,5,,acetaldehyde; sour,
../../3,Lin Weir,6,2,10,3,5,,,
"""
OPTIONS = ("--og", "--fg", "--abv", "--ibu", "--srm", "--co2")


@dataclass(frozen=True)
class Outcome:
    """What a command did."""

    code: int
    out: str
    err: str
    seconds: float  # of this processor: what waits for ever never comes back, and a busy machine is no fault


def call(*args: str) -> Outcome:
    """Run a command in this process, as ``main`` does."""
    out, err = io.StringIO(), io.StringIO()
    started = time.process_time()
    with redirect_stdout(out), redirect_stderr(err):
        code = outcome(lambda **kept: app([*args], **kept))
    return Outcome(code, out.getvalue(), err.getvalue(), time.process_time() - started)


def wrong_with(done: Outcome, args: list[str]) -> list[str]:
    """What must not be, in words; nothing where all is as it should be."""
    found = []
    said = done.out + done.err
    if done.code not in {0, 1, 2}:
        found.append(f"exit code {done.code}")
    if "Traceback" in said or "fault of entryprep" in said:
        found.append("a traceback or a fault of ours")
    unseen = {c for c in set(said) if not c.isprintable() and c != "\n"}
    if unseen:
        found.append(f"characters that steer a terminal: {sorted(unseen)!r}")
    if done.seconds > SLOW_S:
        found.append(f"{done.seconds:.0f} s")
    if len(said) > MOST_OUTPUT:
        found.append(f"{len(said)} characters of output")
    if done.code == 2 and not said.strip():
        found.append("refused without a word")
    if "--json" in args and done.code in {0, 1}:
        try:
            json.loads(done.out, parse_constant=_no_number)
        except ValueError as error:
            found.append(f"JSON: {error}")
    return found


def _no_number(name: str) -> float:
    raise ValueError(f"{name} is no JSON number")


class Damager:
    """Makes cases and runs them in a folder of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.season = folder / "season"
        self.files = {name: shipped_file(f"templates/demo/{name}") for name in shipped_tree("templates/demo")}
        self.starter = {name: shipped_file(f"templates/start/{name}") for name in shipped_tree("templates/start")}
        self.dirty: set[str] = set()
        for name, content in self.files.items():
            self._put(f"season/{name}", content)
        (folder / "precious.txt").write_bytes(b"precious")

    def run(self, number: int) -> tuple[list[str], list[str]]:
        """Run the case of this number: its command line, and what was wrong."""
        return self.tried(lambda chance: chance.choices(KINDS, WEIGHTS)[0](self, chance), random.Random(number))

    def tried(self, case: Callable[[random.Random], list[str]], chance: random.Random) -> tuple[list[str], list[str]]:
        """Make a case and run it: its command line, and what was wrong."""
        args = case(chance)
        if chance.random() < 0.5 and "--json" not in args:
            args.append("--json")
        before = self._outside()
        done = call(*args)
        found = wrong_with(done, args)
        if self._outside() != before:
            found.append("something outside the output folder was changed")
        self._restore()
        return args, found + ([done.err[-600:]] if found else [])

    def _put(self, name: str, content: bytes) -> str:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
        return str(path)

    def _outside(self) -> list[tuple[str, int]]:
        """What stands beside the output folder, with its time of change; what a command may write is left out."""
        found = [p for p in self.folder.iterdir() if p.name != "out"] + list(self.folder.parent.iterdir())
        found += [p for p in self.season.iterdir() if p.name != "out"]
        return sorted((str(p), p.stat().st_mtime_ns if p.is_file() else 0) for p in found)

    def _restore(self) -> None:
        for name in ("out", "season/out"):
            shutil.rmtree(self.folder / name, ignore_errors=True)
        for name in self.dirty:
            self._put(f"season/{name}", self.files[name])
        self.dirty.clear()

    def _one_file(self, chance: random.Random) -> list[str]:
        sources: list[tuple[str, bytes]] = [
            ("beer.yaml", BATCH.encode()),
            *((f"x{i}.yaml", c) for i, (n, c) in enumerate(self.files.items()) if n.startswith("batches/")),
            ("beer.json", self.files["recipes/lovfall.json"]),
            ("beer.json", self.files["recipes/lovfall.json"]),
            ("beer.xml", b"<RECIPES>" + recipe(FERMENTABLE, HOP).encode() + b"</RECIPES>"),
        ]
        name, content = chance.choice(sources)
        path = self._put(name, damaged(name, content, chance))
        command = chance.choice(["vitals", "vitals", "fit", "suggest", "base"])
        args = [command, path]
        if command == "vitals" and chance.random() < 0.3:
            args.append("--explain")
        if command == "vitals" and chance.random() < 0.2:
            args += ["--beerjson", str(self.folder / "out" / "b.json")]
            (self.folder / "out").mkdir()
        if command in {"fit", "base"} and chance.random() < 0.3:
            args += ["--base", option(chance)]
        if command == "fit" and chance.random() < 0.5:
            args += ["--style", option(chance)]
        return args

    def _options(self, chance: random.Random) -> list[str]:
        args = [chance.choice(["fit", "suggest", "vitals"])]
        usual = {"--og": "1.054", "--fg": "1.012", "--abv": "5.4", "--ibu": "22", "--srm": "14", "--co2": "2.4"}
        for name in OPTIONS:
            if chance.random() < 0.6:
                args += [name, usual[name] if chance.random() < 0.6 else option(chance)]
        if args[0] == "fit":
            args += ["--style", chance.choice(["doppelbock", "fruit beer", option(chance)])]
        if args[0] == "suggest" and chance.random() < 0.5:
            args += ["--trait", option(chance), "--addition", option(chance)]
        return args

    def _season_file(self, chance: random.Random) -> list[str]:
        for _ in range(chance.choice([1, 1, 1, 2, 3])):
            name = chance.choice([n for n in self.files if not n.startswith("receiving/")])
            self.dirty.add(name)
            self._put(f"season/{name}", damaged(name, self.files[name], chance))
        return [*chance.choice(SEASON_COMMANDS[:1]), str(self.season), *DAY]

    def _papers(self, chance: random.Random) -> list[str]:
        args = self._season_file(chance)
        command = chance.choice(SEASON_COMMANDS[1:])
        if command[0] == "labels" and chance.random() < 0.5:
            command += [chance.choice(["--sheet", "--layout", "--nudge", "--page"]), option(chance)]
        return [*command, *args[1:], "--out", str(self.folder / "out"), "--despite-errors"]

    def _intake(self, chance: random.Random) -> list[str]:
        sheet = damaged("d.csv", self.files["receiving/declarations.csv"], chance)
        args = ["intake", self._put("d.csv", sheet)]
        if chance.random() < 0.4:
            args += ["--out", str(self.folder / "out"), "--seed", chance.choice(["words", option(chance)])]
        if chance.random() < 0.1:
            args += [chance.choice(["--map", "--encoding", "--separator", "--judged", "--bottles"]), option(chance)]
        return args

    def _flights(self, chance: random.Random) -> list[str]:
        both = [self.files[f"receiving/{name}.csv"] for name in ("declarations", "judges")]
        which = chance.randrange(2)
        both[which] = damaged("d.csv", both[which], chance)
        args = ["flights", self._put("d.csv", both[0]), "--judges", self._put("j.csv", both[1])]
        if chance.random() < 0.3:
            args += ["--out", str(self.folder / "out")]
        return args

    def _results(self, chance: random.Random) -> list[str]:
        args = ["results", self._put("s.csv", damaged("s.csv", SCORES.encode(), chance))]
        if chance.random() < 0.4:
            args += ["--entries", self._put("d.csv", self.files["receiving/declarations.csv"])]
        if chance.random() < 0.4:
            args += ["--out", str(self.folder / "out")]
        if chance.random() < 0.2:
            args += ["--scale", option(chance)]
        return args

    def _starter(self, chance: random.Random) -> list[str]:
        name = chance.choice(sorted(self.starter))
        folder = self.folder / "start"
        for each, content in self.starter.items():
            self._put(f"start/{each}", damaged(each, content, chance) if each == name else content)
        return ["check", str(folder), *DAY]


SEASON_COMMANDS: list[list[str]] = [["check"], ["packing"], ["shipping"], ["labels"], ["prepare"]]
KINDS: list[Callable[[Damager, random.Random], list[str]]] = [
    Damager._one_file,
    Damager._options,
    Damager._season_file,
    Damager._papers,
    Damager._intake,
    Damager._flights,
    Damager._results,
    Damager._starter,
]
WEIGHTS = [46, 18, 8, 2, 8, 5, 9, 4]


def option(chance: random.Random) -> str:
    """A hostile text for an option; no zero byte, which no command line can hold."""
    value = chance.choice(HOSTILE)
    text = value if isinstance(value, str) else json.dumps(value)
    return text.replace("\x00", "")[:300]


def damaged(name: str, content: bytes, chance: random.Random) -> bytes:
    """The content of a file with one to four damages, inside its structure or across it."""
    for _ in range(chance.choice([1, 1, 1, 2, 4])):
        across = chance.random() < 0.25
        try:
            content = _bytes_damaged(content, chance) if across else _DAMAGES[name.rpartition(".")[2]](content, chance)
        except (ValueError, TypeError, IndexError, csv.Error, yaml.YAMLError, RecursionError):
            content = _bytes_damaged(content, chance)
    return content


def _bytes_damaged(content: bytes, chance: random.Random) -> bytes:  # noqa: PLR0911 - one for each kind of damage
    start = chance.randrange(len(content) + 1)
    end = min(len(content), start + chance.choice([0, 1, 1, 5, 40, 400]))
    lines = content.splitlines(keepends=True)
    kind = chance.randrange(7)
    if kind == 0:
        return content[:start]
    if kind == 1:
        return content[:start] + content[end:]
    if kind == 2:
        return content[:end] + content[start:]
    if kind == 3:
        return content[:start] + bytes([chance.randrange(256)]) + content[end:]
    if kind == 4 and lines:
        lines.insert(chance.randrange(len(lines)), chance.choice(lines))
        return b"".join(lines)
    if kind == 5 and lines:
        chance.shuffle(lines)
        return b"".join(lines)
    return content[:start] + option(chance).encode("utf-8", "surrogatepass") + content[end:]


def _tree_damaged(tree: Any, chance: random.Random) -> Any:
    """A value somewhere in a tree of mappings and lists taken away, doubled, put elsewhere or replaced."""
    if not isinstance(tree, (dict, list)):
        raise ValueError("no tree")  # noqa: TRY004 - the caller's other way of damaging is taken
    places: list[tuple[Any, Any]] = []
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        steps = list(node.items()) if isinstance(node, dict) else list(enumerate(node))
        for step, inner in steps:
            places.append((node, step))
            if isinstance(inner, (dict, list)):
                waiting.append(inner)
    if not places:
        return chance.choice(HOSTILE)
    node, step = chance.choice(places)
    kind = chance.randrange(8)
    if kind == 0:
        del node[step]
    elif kind == 1 and isinstance(node, list):
        node += [node[step]] * chance.choice([1, 3, 40])
    elif kind == 2 and isinstance(node, dict):
        node[option(chance)] = node.pop(step)
    elif kind == 3:
        other, there = chance.choice(places)
        node[step] = json.loads(json.dumps(other[there], default=str)) if _has(other, there) else None
    elif kind == 4:
        node[step] = [node[step]]
    else:
        node[step] = copy.deepcopy(chance.choice(HOSTILE))
    return tree


def _has(node: Any, step: Any) -> bool:
    return step in node if isinstance(node, dict) else step < len(node)


def _yaml_damaged(content: bytes, chance: random.Random) -> bytes:
    tree = _tree_damaged(yaml.safe_load(content), chance)
    return yaml.safe_dump(tree, allow_unicode=True, sort_keys=False).encode("utf-8", "surrogatepass")


def _json_damaged(content: bytes, chance: random.Random) -> bytes:
    return json.dumps(_tree_damaged(json.loads(content), chance), ensure_ascii=False).encode("utf-8", "surrogatepass")


def _csv_damaged(content: bytes, chance: random.Random) -> bytes:
    rows = list(csv.reader(io.StringIO(content.decode())))
    row = chance.choice(rows)
    if not row:
        raise ValueError("an empty row")
    kind = chance.randrange(6)
    place = chance.randrange(len(row))
    if kind == 0:
        rows.insert(chance.randrange(len(rows)), list(row))
    elif kind == 1:
        del row[place]
    elif kind == 2:
        rows = [row[:place] + row[place + 1 :] for row in rows]
    else:
        row[place] = option(chance)
    stream = io.StringIO()
    csv.writer(stream).writerows(rows)
    return stream.getvalue().encode("utf-8", "surrogatepass")


def _xml_damaged(content: bytes, chance: random.Random) -> bytes:
    text = content.decode()
    starts = [i for i, c in enumerate(text) if c == ">"]
    start = chance.choice(starts) + 1
    end = text.find("<", start)
    value = option(chance).replace("\x1b", "").replace("<", "&lt;")
    return (text[:start] + value + text[max(end, start) :]).encode("utf-8", "surrogatepass")


_DAMAGES: dict[str, Callable[[bytes, random.Random], bytes]] = {
    "yaml": _yaml_damaged,
    "json": _json_damaged,
    "csv": _csv_damaged,
    "xml": _xml_damaged,
}


def campaign(damager: Damager, numbers: range, tell: Callable[[int, list[str], list[str]], None]) -> int:
    """Run the cases of these numbers; ``tell`` is called with each that went wrong. How many did."""
    wrong = 0
    sys.setrecursionlimit(max(sys.getrecursionlimit(), 1000))
    for number in numbers:
        args, found = damager.run(number)
        if found:
            wrong += 1
            tell(number, args, found)
    return wrong
