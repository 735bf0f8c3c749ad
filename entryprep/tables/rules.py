"""The rules of both sides as data, and the one door through which a finding gets its words.

Rows stand in ``templates/rules/``, the words and figures they use in ``templates/rules.yaml``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from types import MappingProxyType
from typing import Annotated, NamedTuple

from pydantic import Field

from entryprep.findings import Finding, Severity
from entryprep.measures import in_units, spoken
from entryprep.reading.fields import Id, Record, Text
from entryprep.reading.words import DeclareItem, Way
from entryprep.reading.yamltext import RecordError
from entryprep.tables.shipped import shipped_file, shipped_names, shipped_record
from entryprep.text import fold

Month = Annotated[Text, Field(pattern=r"^\d{4}-\d{2}$")]
NOT_LEGAL_ADVICE = "This is not legal advice; local law and licensed practice decide."
_FOLDER = "templates/rules"
NO_VALUES: Mapping[str, object] = MappingProxyType({})


class Variant(Record):
    """What of a rule's words differs in some case; what is left out is as in the row."""

    severity: Severity | None = None
    milder: Severity | None = None
    what: Text | None = None
    fix: Text | None = None


class RuleRow(Record):
    """One rule. ``what`` and ``fix`` hold named fields in braces, filled by the function that finds it."""

    id: Id
    severity: Severity
    milder: Severity | None = Field(None, description="Severity of its lesser cases, where it has any.")
    title: Text
    what: Text
    why: Text
    fix: Text
    source: Text
    checked: Month | None = Field(None, description="Month a law or a policy was looked up, such as 2026-11.")
    legal: bool = Field(False, description="Whether the words about legal advice belong under it.")
    packed: bool = Field(False, description="Whether whoever packs and carries the bottles must read it too.")
    barring: bool = Field(
        False,
        description="Whether as an error it bars an entry from a plan: beer, bottles or days would have to be others.",
    )
    receiving: Variant | None = Field(None, description="Where a steward acts otherwise than the brewer.")
    cases: dict[Id, Variant] = Field({}, description="Cases of the rule with words of their own.")

    @property
    def reason(self) -> str:
        """Why it matters, with its source and the month that was checked."""
        return f"{self.why} ({sourced(self.source, self.checked)})"


def sourced(source: str, checked: str | None) -> str:
    """A source with the month it was looked up."""
    return f"{source}, checked {checked}" if checked else source


class _Rows(Record):
    rules: list[RuleRow]


class _Words(Record):
    transit_days: dict[Way, Annotated[int, Field(ge=0, le=60)]]
    starter_words: list[Text]
    declaration_hints: dict[DeclareItem, Text]


@dataclass(frozen=True)
class Rules:
    """The rows by id, and the words and figures they use."""

    rows: Mapping[str, RuleRow]
    transit_days: Mapping[str, int]
    declaration_hints: Mapping[str, str]
    starter_words: frozenset[str]


@lru_cache(maxsize=1)
def rules() -> Rules:
    """The shipped rules. Raises RecordError if a shipped file is broken."""
    table = shipped_record("templates/rules.yaml", _Words)
    return Rules(
        rule_rows(),
        MappingProxyType({str(way): days for way, days in table.transit_days.items()}),
        MappingProxyType({str(item): hint for item, hint in table.declaration_hints.items()}),
        frozenset(map(fold, table.starter_words)),
    )


@lru_cache(maxsize=1)
def rule_rows() -> Mapping[str, RuleRow]:
    """The rows of all subjects by id. Raises RecordError if a shipped file is broken or holds a row a second time."""
    rows: dict[str, RuleRow] = {}
    for name in shipped_names(_FOLDER):
        for row in _rows_of(name):
            if row.id in rows:
                file = f"{_FOLDER}/{name}"
                raise RecordError([Finding("file", Severity.ERROR, f"the rule {row.id} stands twice", file=file)])
            rows[row.id] = row
    return MappingProxyType(rows)


@lru_cache(maxsize=64)
def _rows_of(name: str) -> tuple[RuleRow, ...]:
    return tuple(shipped_record(f"{_FOLDER}/{name}", _Rows).rules)


def rule_row(rule_id: str) -> RuleRow:
    """One row, of which only the file is read that says its id: a beer has few findings, and a start is short.

    Raises KeyError for a rule that is not there.
    """
    marked = f"id: {rule_id}".encode()
    for name in shipped_names(_FOLDER):
        if marked in _text_of(name):
            for row in _rows_of(name):
                if row.id == rule_id:
                    return row
    return rule_rows()[rule_id]


@lru_cache(maxsize=64)
def _text_of(name: str) -> bytes:
    return shipped_file(f"{_FOLDER}/{name}")


def dangerous(found: Finding) -> bool:
    """Whether it is an error by which somebody may be hurt: told before all others."""
    if found.severity is not Severity.ERROR:
        return False
    try:
        return rule_row(found.rule).packed
    except KeyError:  # of readers of records, which stand below the rules
        return False


def severity_of(row: RuleRow, milder: bool) -> Severity:
    """The severity of a rule on the brewer's side; ``milder``: of its lesser case, where that has one of its own."""
    return row.milder or row.severity if milder else row.severity


class _Told(NamedTuple):
    """The words of a rule for one side and one case."""

    severity: Severity
    milder: Severity
    what: str
    why: str
    fix: str


@lru_cache(maxsize=512)
def _told(rule_id: str, receiving: bool, case: str, _units: str) -> _Told:
    """The words in the units that are spoken; ``_units`` keeps those of two systems apart."""
    row = rule_row(rule_id)
    severity, milder, what, fix = row.severity, row.milder, row.what, row.fix
    for variant in (row.receiving if receiving else None, row.cases[case] if case else None):
        if variant is not None:
            if variant.severity is not None:
                severity, milder = variant.severity, None
            milder, what, fix = variant.milder or milder, variant.what or what, variant.fix or fix
    fix = f"{fix}. {NOT_LEGAL_ADVICE}" if row.legal else fix
    return _Told(severity, milder or severity, in_units(what), in_units(row.reason), in_units(fix))


def finding(
    rule_id: str,
    values: Mapping[str, object] = NO_VALUES,
    *,
    file: str = "",
    line: int = 0,
    column: int = 0,
    path: str = "",
    about: str = "",
    milder: bool = False,
    receiving: bool = False,
    case: str = "",
) -> Finding:
    """A finding in the words of its row: at which place, about what, with the values its words need.

    ``milder`` is a lesser case of the rule, ``receiving`` what a steward is told, ``case`` a named case of the row.
    Raises KeyError for a rule, a case or a field of the words that is not there.
    """
    told = _told(rule_id, receiving, case, spoken())
    return Finding(
        rule_id,
        told.milder if milder else told.severity,
        told.what.format_map(values),
        told.why.format_map(values),
        told.fix.format_map(values),
        file,
        line,
        column,
        path,
        about,
    )


def refused(rule_id: str, file: str, case: str = "", **values: object) -> RecordError:
    """The error for a file that cannot be used at all, as one finding. Raises KeyError as :func:`finding` does."""
    return RecordError([finding(rule_id, values, file=file, case=case)])


def told_again(found: Finding, case: str) -> Finding:
    """A finding with the severity and the remedy of another case of its rule. Raises KeyError for an unknown case."""
    told = _told(found.rule, False, case, spoken())
    return replace(found, severity=told.severity, fix=told.fix)
