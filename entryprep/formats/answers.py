"""What the cells of a sheet say of their column, and which rows are none of the table: totals, footnotes, headings."""

from __future__ import annotations

import contextlib
import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from entryprep.formats.cells import is_empty
from entryprep.formats.spreadsheet import Sheet
from entryprep.text import fold

_MOST_FRACTION = 0.25  # as a share; a beer of 0.25 % would be alcohol-free, and not all of a sheet are
LOOKED_AT = 60  # rows from which a column is judged
ENOUGH = 3  # answers below which nothing is said of a column
_YES_NO = frozenset(
    {
        "yes",
        "no",
        "y",
        "n",
        "true",
        "false",
        "x",
        "1",
        "0",
        "ja",
        "nein",
        "j",
        "nee",
        "oui",
        "non",
        "o",
        "si",
        "s",
        "sim",
    }
    | {"nao", "agreed", "ok", "accept", "i agree", "i accept", "yes i agree", "ja ich stimme zu"}
)
_NUMBER = re.compile(r"^[\s~<>+-]*\d[\d\s.,:/%-]*\D{0,8}$")
_DIGITS = re.compile(r"\d")
PERSONS = frozenset({"brewer", "given", "surname", "cobrewer", "judge", "voter"})
NAMES = PERSONS | {"beer", "style", "base", "town", "club"}
FIGURES = frozenset({"og", "fg", "abv", "ibu"})
EVERY_ROW = frozenset({"entry", "brewer", "given", "surname", "contact", "style", "judge", "voter"})


@dataclass
class Answers:
    """What the first rows answer in one column."""

    rows: int = 0
    filled: int = 0
    yes_no: int = 0
    numbers: int = 0
    digits: int = 0
    reached: int = 0
    highest: float = 0.0
    first: str = ""

    def add(self, text: str) -> None:
        """One cell."""
        self.rows += 1
        if is_empty(text) and text.strip().lower() != "x":
            return
        self.filled += 1
        self.first = self.first or text.strip()
        self.yes_no += fold(text[:40]) in _YES_NO
        self.numbers += bool(_NUMBER.match(text[:40]))
        with contextlib.suppress(ValueError):
            self.highest = max(self.highest, float(text.replace(",", ".")) if len(text) < 20 else 0.0)
        digits = len(_DIGITS.findall(text[:80]))
        self.digits += digits > 0
        self.reached += "@" in text or digits >= 5

    def speaks_against(self, wanted: str) -> bool:
        """Whether nearly all of enough answers are such as the field cannot have."""
        if self.filled < ENOUGH:
            return False
        if wanted in NAMES:
            plain = self.yes_no + (self.numbers if wanted in PERSONS else 0)
            return plain >= 0.8 * self.filled
        if wanted == "contact":
            return self.yes_no + self.numbers - self.reached >= 0.8 * self.filled
        if wanted in FIGURES:
            return self.digits <= 0.1 * self.filled
        return wanted in {"specials", "notes"} and self.yes_no >= 0.8 * self.filled

    def is_fraction(self) -> bool:
        """Whether all numbers are such as a spreadsheet keeps a percentage in: 0.052 for 5.2 %."""
        return self.filled >= ENOUGH and self.numbers == self.filled and 0 < self.highest <= _MOST_FRACTION

    def sparse(self, wanted: str) -> bool:
        """Whether most rows say nothing, where the field is one that each row must have."""
        return wanted in EVERY_ROW and self.rows >= ENOUGH and self.filled < 0.5 * self.rows


def answers_of(sheet: Sheet) -> list[Answers]:
    """The answers of each column of a sheet, from its first rows; nothing is told of them."""
    found = list(sheet.findings)
    answers = [Answers() for _ in sheet.header]
    for row in itertools.islice(sheet.rows(), LOOKED_AT):
        if len(row.cells) > 2 and sum(bool(cell.strip()) for cell in row.cells) < 2:
            continue  # a heading or a footnote, most likely
        for column, text in zip(answers, row.cells, strict=True):
            column.add(text)
    sheet.findings[:] = found
    return answers


class _Matched(Protocol):
    @property
    def column(self) -> int: ...
    @property
    def field(self) -> str: ...


_TOTALS = re.compile(
    r"^(?:grand )?(?:total|totals|sum|subtotal|count|summe|gesamt|gesamtzahl|anzahl|zwischensumme|somme|suma|totale|"
    r"somma|totaal|soma|entries|bottles in all|all entries)(?: (?:entries|bottles|beers|of entries|biere|bieres|"
    r"cervezas|birre|bieren|cervejas|general|generale))?(?: \d+)*$"
)
_FOOTNOTE = re.compile(r"^\s*(?:\*+|†|‡|§|\(?\d\)|¹|²|³|note\b|nb\b|n\.b\.|hinweis|remarque|nota\b)", re.IGNORECASE)
_CORE = {"declarations": ("style", "beer", "brewer", "given", "specials"), "judges": ("judge",)}


@dataclass
class Asides:
    """Tells rows that are none of the table: totals, footnotes, headings of a part, numbers held in reserve."""

    kind: str
    matches: Sequence[_Matched]
    _columns: dict[str, int] = field(init=False)

    def __post_init__(self) -> None:
        self._columns = {m.field: m.column for m in self.matches}

    def case_of(self, cells: tuple[str, ...]) -> str | None:
        """The case of ``sheet-row-aside`` that a row is (a footnote has none), or None where it is of the table."""
        core = _CORE.get(self.kind, ())
        filled = [(i, cell.strip()) for i, cell in enumerate(cells) if cell.strip()]
        if not any(name in self._columns for name in core) or not 0 < len(filled) <= 4:
            return None
        if _TOTALS.match(fold(filled[0][1][:60])) and all(_NUMBER.match(text[:40]) for _, text in filled[1:]):
            return "total"
        mine = {self._columns[name] for name in core if name in self._columns}
        return self._alone(*filled[0], mine) if len(filled) == 1 and len(cells) >= 3 else None

    def _alone(self, column: int, text: str, mine: set[int]) -> str | None:
        """The case of a row with one cell that says something; ``mine`` are columns in which it may say enough."""
        if _FOOTNOTE.match(text) and (column == 0 or column not in mine):
            return ""
        if column == self._columns.get("entry"):
            return "reserved" if len(text) <= 12 and any(c.isdigit() for c in text) else "heading"
        return "heading" if column == 0 and column not in mine else None
