"""Rules and the words they look for, as data: ``templates/rules.yaml``."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from entryprep.findings import Severity
from entryprep.records.fields import Day, Id, Record, Text
from entryprep.records.shipped import shipped_document
from entryprep.records.table import name_key
from entryprep.records.validate import validate
from entryprep.records.words import Allergen, DeclareItem, Way

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
    checked: Day | None = Field(None, description="Day a law or a policy was looked up.")
    legal: bool = Field(False, description="Whether the words about legal advice belong under it.")

    @property
    def reason(self) -> str:
        """Why it matters, with its source and the day that was checked."""
        checked = f", checked {self.checked.isoformat()}" if self.checked else ""
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
    checked: Day | None = None
    legal: bool = False


class RuleTable(Record):
    """The file of rules."""

    rules: list[RuleRow]
    allergens: list[AllergenRow]
    cautions: list[CautionRow]
    transit_days: dict[Way, Annotated[int, Field(ge=0, le=60)]]
    declaration_hints: dict[DeclareItem, Text]
    ordinary_words: list[Text] = Field(description="Words that tell nobody's name, though they may stand in one.")
    business_words: list[Text] = Field(description="Words that breweries, clubs and addresses have in common.")


@dataclass(frozen=True)
class Rules:
    """The table, indexed; all words as name keys."""

    rows: Mapping[str, RuleRow]
    allergens: tuple[AllergenRow, ...]
    cautions: tuple[CautionRow, ...]
    transit_days: Mapping[str, int]
    declaration_hints: Mapping[str, str]
    ordinary_words: frozenset[str]
    business_words: frozenset[str]


@lru_cache(maxsize=1)
def rules() -> Rules:
    """The shipped rules by id. Raises ValueError if the shipped file is broken."""
    table, problems = validate(shipped_document("templates/rules.yaml"), RuleTable)
    if table is None:
        raise ValueError(problems[0].text)
    return Rules(
        MappingProxyType({row.id: row for row in table.rules}),
        tuple(table.allergens),
        tuple(table.cautions),
        MappingProxyType({str(way): days for way, days in table.transit_days.items()}),
        MappingProxyType({str(item): hint for item, hint in table.declaration_hints.items()}),
        frozenset(key for word in table.ordinary_words for key in name_key(word).split()),
        frozenset(key for word in table.business_words for key in name_key(word).split()),
    )


def day_words(day: dt.date) -> str:
    """A day as findings write it, with its weekday: ``Sat 2027-03-13``."""
    return f"{('Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun')[day.weekday()]} {day.isoformat()}"
