"""Planted faults: each row of ``planted-faults.yaml`` put into the sound season or sheet, and what came of it."""

from __future__ import annotations

import contextlib
import copy
import csv
import io
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from pypdf import PdfReader
from typer.testing import CliRunner

from entryprep.cli.app import app
from tests.vectors import vector_path

RANK = {"note": 0, "warning": 1, "error": 2}
_PLACES = re.compile(r"\[\d+\]|\.\d+|\.\+")
BEERS = ("vitals", "base", "fit", "suggest")


@dataclass(frozen=True)
class Outcome:
    """What a command said: findings as JSON gives them, what is printed on its papers, and whether it refused."""

    findings: Sequence[dict[str, Any]]
    papers: str = ""
    refused: str = ""


def load(name: str = "planted-faults.yaml") -> dict[str, Any]:
    """The vector by its name; season, day and rows of a sheet are those of the first vector where it names none."""
    first, found = (
        yaml.safe_load(vector_path(each).read_text(encoding="utf-8")) for each in ("planted-faults.yaml", name)
    )
    kept: dict[str, Any] = {key: first[key] for key in ("today", "season", "rows")}
    return {**kept, **found}


def with_patch(record: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    """A record with values at dotted paths: null takes a key away, ``+`` adds to a list."""
    made = copy.deepcopy(record)
    for path, value in changes.items():
        *way, last = path.split(".")
        here: Any = made
        for key in way:
            here = here[int(key)] if isinstance(here, list) else here.setdefault(key, {})
        if isinstance(here, list):
            if last == "+":
                here.append(value)
            else:
                here[int(last)] = value
        elif value is None:
            here.pop(last, None)
        elif last == "+":
            raise KeyError(path)
        else:
            here[last] = value
    return made


def season_with(row: dict[str, Any], name: str, folder: Path) -> Path:
    """The sound season in ``folder``, with the fault of a row."""
    source = vector_path(name)
    patch = row.get("patch") or {}
    for path in sorted(source.rglob("*.yaml")):
        own = path.relative_to(source)
        record = yaml.safe_load(path.read_text(encoding="utf-8"))
        changes = patch.get(own.with_suffix("").as_posix())
        target = folder / own
        target.parent.mkdir(parents=True, exist_ok=True)
        made = with_patch(record, changes) if changes else record
        target.write_text(yaml.safe_dump(made, sort_keys=False, allow_unicode=True), encoding="utf-8")
    return folder


def _run(*words: str) -> tuple[int, dict[str, Any], str]:
    result = CliRunner().invoke(app, [*words, "--json"])
    lines = result.stdout.strip()
    found: dict[str, Any] = {}
    if lines:
        with contextlib.suppress(json.JSONDecodeError):
            found = json.loads(lines)
    problem = f"{result.stderr.strip()} {result.exception}" if result.exit_code not in {0, 1} else ""
    return result.exit_code, found, problem


def outcome(row: dict[str, Any], vector: dict[str, Any], folder: Path) -> Outcome:
    """What the program says of a row, run in an empty ``folder``."""
    today = str(vector["today"])
    if row["where"] == "intake":
        cells = with_patch(vector["rows"][row["about"]], (row.get("patch") or {}).get("row", {}))
        text = io.StringIO()
        writer = csv.DictWriter(text, list(cells))
        writer.writeheader()
        writer.writerow(cells)
        sheet = folder / "sheet.csv"
        sheet.write_text(text.getvalue(), encoding="utf-8")
        _, found, problem = _run("intake", str(sheet), "--judged", "2027-03-27")
        entries = found.get("entries") or [{}]
        return Outcome(entries[0].get("findings", []), refused=problem)
    season = season_with(row, vector["season"], folder / "season")
    if row["where"] == "check":
        _, found, problem = _run("check", str(season), "--today", today)
        return Outcome(found.get("findings", []), refused=problem)
    if row["where"] in BEERS:
        batch = season / "batches" / f"{row['about']}.yaml"
        _, found, problem = _run(row["where"], str(batch))
        return Outcome(found.get("findings", []), refused=problem)
    return _papers(row, season, today)


def _papers(row: dict[str, Any], season: Path, today: str) -> Outcome:
    """Findings of ``prepare`` whose words stand on paper; of the paper named, where the row names one."""
    out = season / "out"
    _, found, problem = _run("prepare", str(season), "--despite-errors", "--today", today, "--out", str(out))
    kind = row.get("paper", "")
    files = [path for path in sorted(out.glob("*.pdf")) if not kind or path.name.startswith(f"{kind}-")]
    if row["about"] not in {"brewer"} and kind:
        cups = _competitions(season, row)
        files = [path for path in files if any(cup in path.name for cup in cups)] or files
    text = " ".join(" ".join(page.extract_text().split()) for path in files for page in PdfReader(path).pages)
    return Outcome(found.get("findings", []), text, problem)


def _competitions(season: Path, row: dict[str, Any]) -> set[str]:
    """The competitions of the entries that a row is about: of those patched, else of its batch."""
    entries = yaml.safe_load((season / "entries.yaml").read_text(encoding="utf-8"))["entries"]
    patched = [key.split(".")[1] for key in (row.get("patch") or {}).get("entries", {})]
    own = {name.split("/")[1] for name in row.get("patch") or {} if name.startswith("competitions/")}
    if own:
        return own
    if patched:
        return {entries[int(index)]["competition"] for index in patched}
    return {entry["competition"] for entry in entries if entry["batch"] == row["about"]}


def hits(row: dict[str, Any], said: Outcome) -> Iterator[tuple[str, str]]:
    """The rules of a row that were found, each with its severity; on papers, those whose words are printed."""
    for found in said.findings:
        if found["rule"] in row["rule"] and (row["where"] != "papers" or printed(found["what"], said.papers)):
            yield found["rule"], found["severity"]
        elif found["rule"] == "record" and _names(row, found):
            yield "record", "error"
    if row["where"] == "papers":
        for item in shipping_items():
            if item["id"] in row["rule"] and printed(item["text"], said.papers):
                yield item["id"], "error" if item["kind"] == "stop" else "warning"


def printed(words: str, paper: str) -> bool:
    """Whether words stand on paper, wherever lines end and whichever way hyphens break them."""
    return _squeezed(words) in _squeezed(paper)


def _squeezed(text: str) -> str:
    return "".join(c for c in text.casefold() if c.isalnum())


def shipping_items() -> list[dict[str, Any]]:
    """All lines that a shipping checklist may hold."""
    from importlib.resources import files

    folder = files("entryprep.templates") / "shipping"
    items: list[dict[str, Any]] = []
    for path in [*folder.iterdir(), *(folder / "places").iterdir()]:
        if path.name.endswith(".yaml"):
            data = yaml.safe_load(path.read_text(encoding="utf-8"))
            groups = [*data.get("ways", []), *data.get("sections", []), data]
            items += [item for group in groups for item in group.get("items", [])]
    return items


def _names(row: dict[str, Any], found: dict[str, Any]) -> bool:
    """Whether the refusal of a record stands at a value that the row planted."""
    for file, changes in (row.get("patch") or {}).items():
        if found["file"] != f"{file}.yaml":
            continue
        for path in changes:
            # places of a list count from 0 in a patch and from 1 in what people read
            own, told = (_PLACES.sub("", text) for text in (path, found["path"]))
            if told.startswith(own) or own.startswith(told):
                return True
    return False


def answered(row: dict[str, Any], said: Outcome) -> bool:
    """Whether a fault drew what it must, or a near miss drew none of what it must not."""
    found = list(hits(row, said))
    if "fault of entryprep" in said.refused:
        return False
    if row.get("expect") == "none":
        return not found and not said.refused
    if row["severity"] == "error" and said.refused:
        return True
    return any(RANK[severity] >= RANK[row["severity"]] for _, severity in found)


def main(name: str = "planted-faults.yaml") -> int:
    """Run a vector and print what drew nothing, or too little."""
    import tempfile

    vector = load(name)
    good = {"faults": 0, "near_misses": 0}
    for part in good:
        for row in vector.get(part, []):
            with tempfile.TemporaryDirectory() as folder:
                try:
                    said = outcome(row, vector, Path(folder))
                except (KeyError, IndexError, TypeError) as error:
                    print(f"{row['id']} cannot be planted: {error!r}")
                    continue
            if answered(row, said):
                good[part] += 1
            else:
                found = list(hits(row, said))
                print(f"{row['id']} ({row['where']}, {row['severity'] if part == 'faults' else 'none'}): {found}")
                print(f"    wanted {row['rule']}; {said.refused[:200]}")
    for part, count in good.items():
        print(f"{part}: {count} of {len(vector.get(part, []))}")
    return 0


if __name__ == "__main__":
    import sys

    raise SystemExit(main(*sys.argv[1:]))
