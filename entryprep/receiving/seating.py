"""Judges as a sheet names them, and which entries are their own."""

from __future__ import annotations

import re
from collections.abc import Mapping

from entryprep.findings import Finding
from entryprep.formats.cells import is_empty
from entryprep.formats.csvtext import plain_cell
from entryprep.receiving.declaration import Reader, tidy
from entryprep.receiving.panels import Judge
from entryprep.text import fold

_BETWEEN = re.compile(r"\s*[,;/]\s*")
_AND = re.compile(r"\s*(?:[,;/&+]|\band\b|\bund\b|\bet\b|\by\b)\s*", re.IGNORECASE)
_NO = {"no", "n", "0", "false", "-"}


def own_entries(people: Mapping[str, Mapping[str, str]]) -> dict[str, set[str]]:
    """Blind numbers by the name of who entered them (``fold``), from the key; each of several brewers counts.

    The entry numbers of the key lead to blind numbers as well.
    """
    found: dict[str, set[str]] = {}
    for number, row in people.items():
        names = {row["brewer"], *_AND.split(row["brewer"])}
        for key in {fold(name) for name in names if fold(name)} | {f"entry {fold(row['entry'])}"}:
            found.setdefault(key, set()).add(number)
    return found


def judges_of(
    reader: Reader, own: Mapping[str, set[str]], numbers: Mapping[str, int]
) -> tuple[list[Judge], list[Finding]]:
    """The judges of a sheet in its order, each name once, with what is wrong.

    A judge's own entries are those the sheet names (blind numbers, or entry numbers where the key is known) and
    those entered under the judge's name. ``numbers`` are the numbers there are.
    """
    judges: dict[str, Judge] = {}
    findings: list[Finding] = []
    for row in reader.sheet.rows():
        texts = {m.field: plain_cell(tidy(row.cells[m.column])) for m in reader.matches}
        name = texts.get("judge", "")
        findings += row.findings
        if not name:
            continue
        key = fold(name) or name
        if key in judges:
            column = reader.column("judge")
            findings.append(reader.sheet.finding("judge-twice", row.number, column, {"judge": name[:60]}))
            continue
        mine = set(own.get(key, set()))
        for word in _numbers(texts.get("own", ""), set(numbers), own):
            named = {word} & set(numbers) or own.get(f"entry {fold(word)}", set())
            if not named:
                values = {"judge": name[:60], "entry": word[:30]}
                findings.append(reader.sheet.finding("own-unknown", row.number, reader.column("own"), values))
            mine |= named
        away = frozenset(fold(word) for word in _listed(texts.get("away", "")))
        head = not is_empty(texts.get("head", "")) and texts["head"].lower() not in _NO
        head = head or texts.get("head", "").lower() == "x"
        judges[key] = Judge(name, frozenset(mine), away, head)
    return list(judges.values()), findings


def _numbers(text: str, numbers: set[str], own: Mapping[str, set[str]]) -> list[str]:
    """Numbers of entries, between commas or the like; between spaces too where the whole is no number."""
    words = []
    for word in _listed(text):
        known = word in numbers or f"entry {fold(word)}" in own
        words += [word] if known else word.split()
    return words


def _listed(text: str) -> list[str]:
    return [word for word in _BETWEEN.split(text) if word and not is_empty(word)]
