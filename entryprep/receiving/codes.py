"""Codes of categories ("21B", "Cat 12") in the place of a style's name, by the competition's own file."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path

from entryprep.records.competition import Category, Competition, read_competition
from entryprep.records.stylenames import Named, named
from entryprep.tables.styles import StyleTable
from entryprep.text import fold

COMPETITION = "competition.yaml"
_CODE = re.compile(
    r"^\s*(?:cat(?:egory)?|class|kat(?:egorie)?|catégorie|categor[ií]a|style|no|nr|n[º°]|#)?[\s.:#]*"
    r"(?P<code>\d{1,3}\s*[A-Za-z]?\d?|[A-Za-z]\d{1,2})\s*\.?\s*$",
    re.IGNORECASE,
)


@dataclass
class Codes:
    """Reads codes of one competition against a style table."""

    cup: Competition
    table: StyleTable
    _categories: dict[str, Category] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for category in self.cup.categories:
            self._categories.setdefault(_plain(category.code), category)

    def category(self, text: str) -> Category | None:
        """The category whose code a text is and says nothing else, or None."""
        match = _CODE.match(text)
        return self._categories.get(_plain(match["code"])) if match else None

    def read(self, text: str) -> Named | None:
        """The style a code means; unsettled where its category takes several. None for what is no code of it."""
        category = self.category(text)
        if category is None:
            return None
        ids = list(dict.fromkeys(self._styles(category)))
        if len(ids) == 1:
            return Named(text, "read", self.table.styles[ids[0]], (ids[0],))
        return Named(text, "unsettled", None, tuple(ids)) if ids else None

    def _styles(self, category: Category) -> list[str]:
        found = [i for text in category.styles for i in named(self.table, text).candidates]
        found += [style.id for family in category.families for style in self.table.of_family(family)]
        if not found:
            said = named(self.table, category.name)
            found = list(said.candidates) if said.how in {"named", "read", "unsettled"} else []
        return found


def codes_of(folder: Path, table: StyleTable) -> Codes | None:
    """The codes of the competition whose file lies in a register's folder. Raises RecordError for a broken one."""
    file = folder / COMPETITION
    return Codes(read_competition(file), table) if file.is_file() else None


def _plain(code: str) -> str:
    """A code as it is compared: ``21 b`` and ``21B`` are one, ``07`` and ``7``."""
    return fold(code).replace(" ", "").lstrip("0") or "0"
