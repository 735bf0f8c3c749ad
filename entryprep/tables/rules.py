"""Rules and the words they look for, as data: ``templates/rules.yaml``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from entryprep.findings import Severity
from entryprep.reading.fields import Id, Record, Text
from entryprep.reading.words import Allergen, DeclareItem, Way
from entryprep.tables.shipped import shipped_record
from entryprep.text import fold

Month = Annotated[Text, Field(pattern=r"^\d{4}-\d{2}$")]
NOT_LEGAL_ADVICE = "This is not legal advice; local law and licensed practice decide."


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

    @property
    def reason(self) -> str:
        """Why it matters, with its source and the month that was checked."""
        checked = f", checked {self.checked}" if self.checked else ""
        return f"{self.why} ({self.source}{checked})"


class AllergenRow(Record):
    """Words that give an allergen away."""

    allergen: Allergen
    words: list[Text]
    unless: list[Text] = Field([], description="Phrases that hold one of the words and are not meant.")
    source: Text


class CautionRow(Record):
    """An ingredient to be careful with."""

    id: Id
    words: list[Text]
    caution: Text
    source: Text
    checked: Month | None = None
    legal: bool = False


class RuleTable(Record):
    """The file of rules."""

    rules: list[RuleRow]
    allergens: list[AllergenRow]
    cautions: list[CautionRow]
    transit_days: dict[Way, Annotated[int, Field(ge=0, le=60)]]
    declaration_hints: dict[DeclareItem, Text]


@dataclass(frozen=True)
class WordSearch:
    """Words to look for, as name keys; whole words, singular or plural."""

    words: tuple[str, ...]
    unless: tuple[str, ...] = ()

    def first_in(self, key: str) -> str | None:
        """The first of the words that a text holds, given as its name key, or None."""
        padded = f" {key} "
        for phrase in self.unless:
            padded = padded.replace(f" {phrase} ", " ").replace(f" {phrase}s ", " ")
        return next((w for w in self.words if f" {w} " in padded or f" {w}s " in padded), None)


@dataclass(frozen=True)
class Rules:
    """The table, indexed; all words as name keys."""

    rows: Mapping[str, RuleRow]
    allergens: tuple[tuple[str, WordSearch], ...]
    cautions: tuple[tuple[CautionRow, WordSearch], ...]
    transit_days: Mapping[str, int]
    declaration_hints: Mapping[str, str]


@lru_cache(maxsize=1)
def rules() -> Rules:
    """The shipped rules by id. Raises RecordError if the shipped file is broken."""
    table = shipped_record("templates/rules.yaml", RuleTable)
    return Rules(
        MappingProxyType({row.id: row for row in table.rules}),
        tuple((row.allergen, _search(row.words, row.unless)) for row in table.allergens),
        tuple((row, _search(row.words)) for row in table.cautions),
        MappingProxyType({str(way): days for way, days in table.transit_days.items()}),
        MappingProxyType({str(item): hint for item, hint in table.declaration_hints.items()}),
    )


def _search(words: list[str], unless: list[str] | None = None) -> WordSearch:
    return WordSearch(tuple(fold(w) for w in words), tuple(fold(w) for w in unless or ()))
