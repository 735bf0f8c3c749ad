"""One row of the declarations, and what is found in it."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from types import MappingProxyType

from entryprep.beer.beer import Beer
from entryprep.beer.fitting import Fit
from entryprep.findings import Finding, Severity
from entryprep.formats.cells import is_empty
from entryprep.formats.columns import Match
from entryprep.formats.csvtext import plain_cell
from entryprep.formats.spreadsheet import Row, Sheet
from entryprep.records.stylenames import Named
from entryprep.tables.letterwords import language_named, language_of
from entryprep.tables.rules import NO_VALUES, finding
from entryprep.tables.style import Style
from entryprep.vitals import Vitals

NOTHING = Named("", "missing")
CAUTIONS = frozenset({"bottle-broken", "bottle-doubtful", "over-carbonated", "poisonous-ingredient", "dose-unsafe"})
"""Findings whose remedy is told wherever they are, for it keeps hands and eyes safe."""


@dataclass
class Declaration:
    """One entry as declared: its row, a text for each field the sheet has, and all that is said about it.

    ``style`` and ``base`` are None while they are not settled; ``named`` and ``base_named`` say why. ``beer`` is
    what the row makes of it, with all that is said of additions; ``vitals`` are those stated, as they were stated.
    ``language`` is the one its entrant is written to in.
    """

    row: Row
    texts: Mapping[str, str]
    entry: str
    named: Named = NOTHING
    base_named: Named = NOTHING
    vitals: Vitals | None = None
    beer: Beer | None = None
    fit: Fit | None = None
    missing: tuple[str, ...] = ()
    allergens: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    kinds: frozenset[str] = frozenset()
    findings: list[Finding] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)
    language: str = "en"

    @property
    def style(self) -> Style | None:
        """The style, where it is settled."""
        return self.named.style

    @property
    def base(self) -> Style | None:
        """The base, where it is settled."""
        return self.base_named.style

    def text(self, name: str) -> str:
        """What the sheet says in a field; empty where it says nothing or has no such column."""
        return self.texts.get(name, "")

    @cached_property
    def told(self) -> str:
        """What the entrant wants the judges told: specials and notes, without what says nothing."""
        return told_in(self.texts)

    @property
    def worst(self) -> Severity | None:
        """The highest severity found, or None."""
        for severity in Severity:
            if any(f.severity is severity for f in self.findings):
                return severity
        return None


@dataclass(frozen=True)
class Reader:
    """Turns rows of one sheet into declarations."""

    sheet: Sheet
    matches: Sequence[Match]

    def column(self, name: str) -> int:
        """The column of a field as a spreadsheet counts, 0 where there is none."""
        return next((m.column + 1 for m in self.matches if m.field == name), 0)

    def header(self, name: str) -> str:
        """The name the sheet gives to the column of a field."""
        return next((m.header for m in self.matches if m.field == name), "")

    @cached_property
    def fields(self) -> tuple[tuple[str, int], ...]:
        """The fields of the sheet with their columns."""
        return tuple({m.field: m.column for m in self.matches}.items())

    def read(self, row: Row) -> Declaration:
        """A row with its texts cleaned of line ends and of what steers a terminal."""
        texts = row_texts(self.fields, row.cells)
        entry = texts.get("entry", "") or f"row {row.number}"
        language = language_named(texts.get("language", "")) or language_of(self.sheet.header)
        return Declaration(row, texts, entry, findings=list(row.findings), language=language)

    def texts(self, row: Row) -> dict[str, str]:
        """What a row says by field, tidied, and as it was before a cell of ours was made safe for spreadsheets."""
        return {name: _plain(row.cells[column]) for name, column in self.fields}

    def tell(
        self,
        about: Declaration,
        rule: str,
        where: str = "",
        values: Mapping[str, object] = NO_VALUES,
        *,
        milder: bool = False,
        case: str = "",
    ) -> None:
        """Add a finding at the row and the column of a field, in the steward's words of its rule.

        Raises KeyError for a rule, a case or a field of the words that is not there.
        """
        about.findings.append(
            finding(
                rule,
                values,
                file=self.sheet.name,
                line=about.row.number,
                column=self.column(where),
                path=where,
                about=about.entry,
                milder=milder,
                receiving=True,
                case=case,
            )
        )


@lru_cache(maxsize=8192)  # a form is read for who is in it, for the register, and to be checked
def row_texts(fields: tuple[tuple[str, int], ...], cells: tuple[str, ...]) -> Mapping[str, str]:
    """What a row says by field, tidied; a brewer's given name and surname in two columns are one name."""
    texts = {name: tidy(cells[column]) for name, column in fields}
    if "brewer" not in texts and (name := [texts[part] for part in ("given", "surname") if texts.get(part)]):
        texts["brewer"] = " ".join(name)
    return MappingProxyType(texts)


def told_in(texts: Mapping[str, str]) -> str:
    """What an entrant wants the judges told, of the texts by field."""
    return "; ".join(text for name in ("specials", "notes") if not is_empty(text := texts.get(name, "")))


@lru_cache(maxsize=8192)  # points, names and what is left empty come thousands of times
def _plain(text: str) -> str:
    return plain_cell(tidy(text))


def tidy(text: str) -> str:
    """A cell on one line, without characters nobody sees: those without width join what stands on both sides."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split()) if " " in text else text
    seen = (c if c.isprintable() else "" if unicodedata.category(c) == "Cf" else " " for c in text)
    return " ".join("".join(seen).split())
