"""The vector of specialty and hybrid beers, each as a batch."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

import yaml

from entryprep.records.batch import Batch
from tests.vectors import vector_path
from tests.vectors.published import numbered_rows

LITRES = 20


@dataclass(frozen=True)
class Special:
    """One beer, the styles that are right for it, and the verdict on each of its additions."""

    name: str
    batch: Batch
    right: tuple[str, ...]
    doses: tuple[str, ...]
    published: bool


@cache
def middles() -> dict[str, dict[str, float]]:
    """The middle of each published range, by name of the row."""
    return {
        row.name: {v: (low + high) / 2 for v, (low, high) in row.pairs.items() if v != "abv"} for row in numbered_rows()
    }


def _addition(row: list[str]) -> dict[str, Any]:
    what, kind, amount, _ = row
    made: dict[str, Any] = {"what": what, "kind": kind}
    if amount == "starter":
        made["stage"] = "starter"
    for number, unit in re.findall(r"([\d.]+) (kg|g|ml|L|%|pods|days)", amount):
        key = {"kg": "mass", "g": "mass", "ml": "volume", "L": "volume", "%": "share", "pods": "count", "days": "days"}
        made[key[unit]] = float(number) if unit in {"%", "pods", "days"} else f"{number} {unit}"
    if kind == "spirit":
        made["strength"] = 40
    return made


def special_beers(file: str = "special-beers.yaml") -> list[Special]:
    """All beers of one such file, in its order."""
    rows = yaml.safe_load(vector_path(file).read_text(encoding="utf-8"))["beers"]
    found = []
    for row in rows:
        data: dict[str, Any] = {"name": row["name"], "volume": LITRES, "traits": row.get("traits", {})}
        vitals = middles()[row["like"]] if "like" in row else row["vitals"]
        data["measured"] = {"og": vitals["og"], "fg": vitals["fg"]}
        data["predicted"] = {"ibu": vitals["ibu"], "srm": vitals["srm"]}
        data["additions"] = [_addition(add) for add in row["add"]]
        if row.get("base", "none") != "none":
            data["base"] = row["base"]
        if "style" in row:
            data["style"] = row["style"]
        if row.get("concentrated"):
            data["concentrated"] = {"before": LITRES + 3, "after": LITRES}
        data["declare"] = row.get("declare", {})
        doses = tuple(add[3] for add in row["add"])
        batch = Batch.model_validate(data)
        found.append(Special(row["name"], batch, tuple(row["to"]), doses, row["source"].startswith("routing")))
    return found
