"""Judges as a sheet names them, and which entries are their own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from entryprep.findings import Finding
from entryprep.formats.cells import is_empty
from entryprep.receiving.declaration import Reader
from entryprep.receiving.flights import Flight
from entryprep.receiving.panels import Judge
from entryprep.receiving.sessions import Session
from entryprep.receiving.wishes import Wishes, WishReader
from entryprep.records.namereader import StyleNames
from entryprep.tables.rules import finding
from entryprep.tables.styles import StyleTable, load_styles
from entryprep.text import fold, name_key

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


@dataclass(frozen=True)
class JudgeRow:
    """A judge as a sheet, or the register, has one: texts by field, and where that stands."""

    texts: Mapping[str, str]
    file: str = ""
    row: int = 0
    columns: Mapping[str, int] = field(default_factory=dict)


def judge_rows(reader: Reader) -> Iterator[JudgeRow]:
    """The rows of a sheet of judges; what is wrong with a row is added to the sheet's findings."""
    columns = {m.field: m.column + 1 for m in reader.matches}
    for row in reader.sheet.rows():
        reader.sheet.findings += row.findings
        texts = reader.texts(row)
        yield JudgeRow(texts, reader.sheet.name, row.number, columns)


def judges_of(
    rows: Iterable[JudgeRow],
    own: Mapping[str, set[str]],
    made: Sequence[Flight],
    sessions: Sequence[Session] = (),
    table: StyleTable | None = None,
) -> tuple[list[Judge], list[Finding]]:
    """The judges of some rows in their order, each name once, with what is wrong.

    A judge's own entries are those the row names (blind numbers, or entry numbers where the key is known) and those
    entered under the judge's name. Wishes are read however they are worded (:mod:`entryprep.receiving.wishes`); what of
    them names nothing is told.
    """
    found: dict[str, JudgeRow] = {}
    findings: list[Finding] = []
    for row in rows:
        name = row.texts.get("judge", "")
        key = name_key(name)
        if name and key in found:
            findings.append(_told("judge-twice", row, "judge", {"judge": name[:60]}))
        elif name:
            found[key] = row
    groups = {group for flight in made for group in flight.groups}
    names = [row.texts["judge"] for row in found.values()]
    wanted = StyleNames(table or load_styles())
    reader = WishReader(wanted, names, groups, [flight.number for flight in made], sessions)
    numbers = {entry.number for flight in made for entry in flight.entries}
    judges = []
    for key, row in found.items():
        mine = set(own.get(key, set()))
        for word in _numbers(row.texts.get("own", ""), numbers, own):
            named = {word} & numbers or own.get(f"entry {fold(word)}", set())
            if not named:
                values = {"judge": row.texts["judge"][:60], "entry": word[:30]}
                findings.append(_told("own-unknown", row, "own", values))
            mine |= named
        wishes = reader.read(row.texts, row.texts["judge"])
        findings += _told_wishes(row, wishes)
        judges.append(_judge(row.texts, mine, wishes))
    return judges, findings


def _judge(texts: Mapping[str, str], mine: set[str], wishes: Wishes) -> Judge:
    said = texts.get("head", "")
    head = (not is_empty(said) and said.lower() not in _NO) or said.lower() == "x"
    return Judge(
        texts["judge"],
        frozenset(mine),
        frozenset(wishes.away),
        head,
        apart=frozenset(wishes.apart),
        styles=frozenset(wishes.styles),
        allergens=frozenset(wishes.allergens),
        absent=frozenset(wishes.absent),
        most=wishes.most,
    )


def _told_wishes(row: JudgeRow, wishes: Wishes) -> Iterator[Finding]:
    """The words of a judge's wishes that name nothing known, and hours where there are no sessions."""
    judge = row.texts["judge"][:60]
    where = next((name for name in ("wishes", "away", "apart", "times") if name in row.columns), "judge")
    for word in wishes.unread:
        yield _told("wish-unread", row, where, {"judge": judge, "words": word[:80]})
    for word in wishes.timeless:
        yield _told("wish-unread", row, where, {"judge": judge, "words": word[:80]}, case="timeless")


def _told(rule: str, row: JudgeRow, where: str, values: Mapping[str, object], case: str = "") -> Finding:
    return finding(rule, values, file=row.file, line=row.row, column=row.columns.get(where, 0), case=case)


def _numbers(text: str, numbers: set[str], own: Mapping[str, set[str]]) -> list[str]:
    """Numbers of entries, between commas or the like; between spaces too where the whole is no number."""
    words = []
    for word in _listed(text):
        known = word in numbers or f"entry {fold(word)}" in own
        words += [word] if known else word.split()
    return words


def _listed(text: str) -> list[str]:
    return [word for word in _BETWEEN.split(text) if word and not is_empty(word)]
