"""What of a register was read in doubt: styles not settled or not spelt as in the table, and columns guessed at."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.receiving.codes import codes_of
from entryprep.receiving.register.book import Register
from entryprep.records.stylenames import Named, named
from entryprep.tables.styles import StyleTable

SURE = frozenset({"name", "told"})  # ways in which a column is read that leave no doubt


@dataclass(frozen=True)
class Doubt:
    """One entry whose style is not read as it is written in the table: what was written, and how it is read."""

    entry: str
    said: str
    named: Named

    @property
    def is_open(self) -> bool:
        """Whether nobody knows yet which style is meant."""
        return self.named.how != "read"


def style_doubts(register: Register, table: StyleTable) -> list[Doubt]:
    """Entries that are judged and whose style is in doubt, those first of which nobody knows it."""
    codes, found = codes_of(register.folder, table), list[Doubt]()
    for entry in register.state.poured():
        texts = register.state.texts(entry)
        text = texts.get("style", "")
        said = (codes.read(text or texts.get("category", "")) if codes else None) or named(table, text)
        if said.how != "named":
            found.append(Doubt(entry.id, text, said))
    return sorted(found, key=lambda doubt: not doubt.is_open)


def column_doubts(register: Register) -> list[tuple[str, str]]:
    """Columns of the forms that were read by words within their names or by their spelling, and as which field."""
    forms = register.state.forms.values()
    return list(
        dict.fromkeys((f.header[c].strip(), name) for f in forms for c, name, how in f.columns if how not in SURE)
    )
