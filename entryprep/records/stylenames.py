"""Which style a declaration means, however it is spelt: one style, several, or none.

A name that stands in the table needs no more than a look; any other goes to the reader of names. Whatever is not the
name as the table has it is marked, so that it can be told.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from entryprep.tables.styles import AmbiguousStyle, StyleNameError, StyleTable, UnknownStyle
from entryprep.text import either, fold

if TYPE_CHECKING:
    from entryprep.records.namereader import StyleNames
    from entryprep.tables.style import Style


@dataclass(frozen=True)
class Named:
    """What a style name leads to; ``candidates`` are ids, most likely first.

    ``how``: named; read (not spelt as in the table); family (a base that a whole family may be); unsettled (it means
    several); unknown (candidates are those spelt most like it); missing (nothing is said).
    """

    text: str
    how: str
    style: Style | None = None
    candidates: tuple[str, ...] = ()


NOTHING_SAID = Named("", "missing")


def named(table: StyleTable, text: str | None) -> Named:
    """The style that a text means, however it is spelt; one reader for both sides of the table."""
    if not text:
        return NOTHING_SAID
    exact = table.names.get(fold(text))  # most names are as the table has them, and need no reader made
    return Named(text, "named", table.styles[exact], (exact,)) if exact else style_names(table).read(text)


def named_base(table: StyleTable, text: str | None) -> Named:
    """The base that a text means: a style, or a broad family, which is a base as good as a style."""
    found = named(table, text)
    if found.style is None and found.how != "missing":
        family = table.of_family(found.text)
        if family:
            return Named(found.text, "family", None, tuple(style.id for style in family))
    return found


def refused(found: Named, table: StyleTable) -> StyleNameError:
    """The error for a name that leads to no single style, naming its candidates."""
    names = either([table.styles[i].name for i in found.candidates])
    if found.how == "unknown":
        near = f"; the nearest are {names}" if names else ""
        return UnknownStyle(found.text, found.candidates, f"no style is called {found.text[:60]}{near}")
    return AmbiguousStyle(found.text, found.candidates, f"{found.text} may mean {names}")


_READERS: dict[int, StyleNames] = {}
_READERS_KEPT = 8


def style_names(table: StyleTable) -> StyleNames:
    """The reader of a table's names; those of the last few tables are kept, each holding on to its table."""
    if id(table) not in _READERS:
        from entryprep.records.namereader import StyleNames  # noqa: PLC0415 - most names are as the table has them

        while len(_READERS) >= _READERS_KEPT:
            del _READERS[next(iter(_READERS))]
        _READERS[id(table)] = StyleNames(table)
    return _READERS[id(table)]
