"""The vectors of specialty, hybrid and plain beers with the style a judge would say, each as a batch."""

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


STAGES = ("mash", "boil", "whirlpool", "fermenter", "conditioning")


@dataclass(frozen=True)
class Judged:
    """One beer, the styles that are right for it, and those that would be accepted too."""

    name: str
    batch: Batch
    right: tuple[str, ...]
    also: tuple[str, ...]


@dataclass(frozen=True)
class Special(Judged):
    """One special beer, and the verdict on each of its additions."""

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
    elif amount.split(" ")[-1] in STAGES:
        made["stage"] = amount.split(" ")[-1]
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
        data |= _vitals(vitals)
        data["additions"] = [_addition(add) for add in row["add"]]
        if row.get("base", "none") != "none":
            data["base"] = row["base"]
        if "style" in row:
            data["style"] = row["style"]
        if row.get("concentrated"):
            data["concentrated"] = {"before": LITRES + 3, "after": LITRES}
        data["declare"] = row.get("declare", {})
        doses = tuple(add[3] for add in row["add"])
        batch = Batch(**data)
        published = row.get("source", "").startswith("routing")
        right, also = tuple(row["to"]), tuple(row.get("also", ()))
        found.append(Special(row["name"], batch, right, also, doses, published))
    return found


def _vitals(vitals: dict[str, float]) -> dict[str, dict[str, float]]:
    """Gravities as measured, bitterness and colour as predicted; those that are known."""
    return {
        "measured": {name: vitals[name] for name in ("og", "fg") if name in vitals},
        "predicted": {name: vitals[name] for name in ("ibu", "srm") if name in vitals},
    }


def plain_beers(file: str) -> list[Judged]:
    """All beers of a file of plain ones, in its order: nothing is added to any of them."""
    rows = yaml.safe_load(vector_path(file).read_text(encoding="utf-8"))["beers"]
    found = []
    for row in rows:
        data: dict[str, Any] = {"name": row["name"], "traits": row["traits"], "additions": []}
        batch = Batch(**data, **_vitals(row["vitals"]))
        found.append(Judged(row["name"], batch, (row["style"],), tuple(row.get("also", ()))))
    return found
