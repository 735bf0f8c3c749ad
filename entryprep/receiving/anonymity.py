"""What the judges' side may read of a sheet: nothing that tells whose a beer is, of its entrant or of any other."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import get_args

from entryprep.formats.cells import is_empty
from entryprep.formats.spreadsheet import Row
from entryprep.reading.words import Allergen
from entryprep.receiving.declaration import Declaration, Reader, tidy
from entryprep.records.anonymity import Detector, Found, blacked_out
from entryprep.records.identity import BEER, Identity
from entryprep.tables.namewords import name_words
from entryprep.tables.styles import StyleTable
from entryprep.text import fold

FIELDS = {"brewer": "brewers", "given": "given", "surname": "surname", "cobrewer": "co_brewers", "club": "clubs"}
FIELDS |= {"town": "places", "contact": "contacts", "beer": "beers"}
"""Fields of the sheet that say whose a beer is, and as what."""
READ = ("specials", "notes", "strength", "sweetness", "carbonation")
"""Fields that judges read as they were written; style, base and category too, while they are not settled."""


@dataclass
class Blind:
    """Knows the entrants of one sheet, read before its rows are checked, and takes them out of what judges read."""

    reader: Reader
    table: StyleTable
    others: tuple[Identity, ...] = ()
    _columns: dict[int, str] = field(default_factory=dict)
    _detector: Detector | None = None
    _categories: Counter[str] = field(default_factory=Counter)
    _row: int = 0
    _own: Identity | None = None  # of that row
    _known: dict[str, tuple[Found, ...]] = field(default_factory=dict)  # of that row: the same lines are read twice

    def look(self) -> None:
        """Read the sheet once for who entered; ``others`` are entrants of other sheets."""
        self._detector = Detector(self.table, dict.fromkeys((*self.entrants(), *self.others)))

    def entrants(self) -> dict[Identity, None]:
        """Who entered the beers of the sheet. What is told of its rows is told when they are checked."""
        self._columns = _columns(self.reader)
        sheet = self.reader.sheet
        found = list(sheet.findings)
        entrants: dict[Identity, None] = {}
        self._categories.clear()
        category = next((at for name, at in self.reader.fields if name == "category"), None)
        if category is None and not self._columns:
            return entrants  # a sheet that names nobody
        for row in sheet.rows():
            if who := self._who(row):
                entrants.setdefault(who)
            self._categories[fold(tidy(row.cells[category])) if category is not None else ""] += 1
        sheet.findings[:] = found
        return entrants

    @property
    def detector(self) -> Detector:
        """The detector; without the other entrants where the sheet was not looked at."""
        if self._detector is None:
            self._detector = Detector(self.table)
        return self._detector

    def _who(self, row: Row) -> Identity | None:
        said: dict[str, list[str]] = {}
        for column, kind in self._columns.items():
            text = row.cells[column]
            if not is_empty(text):
                said.setdefault(kind, []).append(text)
        name = [*said.pop("given", []), *said.pop("surname", [])]
        if name:
            said.setdefault("brewers", []).append(" ".join(name))
        return Identity(**{kind: tuple(texts) for kind, texts in said.items()}) if said else None

    def found(self, about: Declaration, text: str) -> tuple[Found, ...]:
        """What in a text of an entry tells whose it is."""
        if about.row.number != self._row:
            self._row, self._known, self._own = about.row.number, {}, self._who(about.row)
        if text not in self._known:
            self._known[text] = () if _tells_nobody(text) else self.detector.find(text, self._own)
        return self._known[text]

    def blinded(self, about: Declaration, text: str) -> str:
        """A text of an entry as judges may read it."""
        return blacked_out(text, self.found(about, text))

    def category(self, about: Declaration) -> str:
        """The category; one that no other entry has is the entrant's own words."""
        text = about.text("category")
        return self.blinded(about, text) if self._categories[fold(text)] <= 1 else text

    def style(self, about: Declaration) -> str:
        """The style's name in the table, or the entrant's words where it is not settled."""
        return about.style.name if about.style else self.blinded(about, about.text("style"))

    def base(self, about: Declaration) -> str:
        """The base's name in the table, or the entrant's words where it is not settled."""
        return about.base.name if about.base else self.blinded(about, about.text("base"))

    def told(self, about: Declaration) -> Iterator[tuple[str, Found]]:
        """Each stretch that is taken out, with the field it stands in; said once for each field."""
        fields = [name for name in READ if not is_empty(about.text(name))]
        fields += ["category"] if self._categories[fold(about.text("category"))] <= 1 else []
        fields += ["style"] if about.style is None else []
        fields += ["base"] if about.base is None else []
        for name in fields:
            seen: set[tuple[str, str]] = set()
            for each in self.found(about, about.text(name)):
                if (each.whose, fold(each.shown)) not in seen:
                    seen.add((each.whose, fold(each.shown)))
                    yield name, each


_FIGURE = re.compile(r"[\d.,\s%-]{0,6}")  # too short for a telephone number


@lru_cache(maxsize=4096)
def _tells_nobody(text: str) -> bool:
    """Whether a text is a bare figure, or the name of an allergen as we say it."""
    return _FIGURE.fullmatch(text) is not None or text in _OUR_ALLERGENS


_OUR_ALLERGENS = frozenset(get_args(Allergen))


def rule_of(found: Found) -> str:
    """The rule that a stretch breaks: it names the beer, or whoever brewed it."""
    return "beer-named" if found.whose == BEER else "brewer-named"


def _columns(reader: Reader) -> dict[int, str]:
    """Columns that say who somebody is, by the field they are read as or by the words of their names."""
    columns = {m.column: FIELDS[m.field] for m in reader.matches if m.field in FIELDS}
    taken = {m.column for m in reader.matches}
    for column, header in enumerate(reader.sheet.header):
        kind = _kind(header)
        matched = next((m.field for m in reader.matches if m.column == column), "")
        if kind and (column not in taken or matched == "brewer"):
            columns[column] = kind
    return columns


def _kind(header: str) -> str:
    """What a column says of somebody, by the longest words in its name; empty where nothing."""
    key, best = f" {fold(header[:200])} ", ""
    for name in name_words().columns:
        if f" {name} " in key and len(name) > len(best):
            best = name
    return name_words().columns[best] if best else ""
