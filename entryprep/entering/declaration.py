"""What an entry is declared as: style, base, and the text a judge reads."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.entering.composing import Composed, compose
from entryprep.entering.season import Entered
from entryprep.records.batch import Addition, Batch
from entryprep.records.stylenames import Named, named, named_base
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable

# which kind of addition answers which declaration
ANSWERED_BY_ADDITION = {
    "fruit": "fruit",
    "spice": "spice",
    "smoke-source": "smoke",
    "wood": "wood",
    "spirit": "spirit",
    "grain": "grain",
    "sugar": "sugar",
    "culture": "culture",
    "process": "process",
}


@dataclass(frozen=True)
class Declared:
    """Style and base as they are declared: the words used, and what they mean."""

    style_named: Named
    base_named: Named

    @property
    def style(self) -> Style | None:
        """The style, where its name settles it."""
        return self.style_named.style

    @property
    def base(self) -> Style | None:
        """The base, where its name settles one style."""
        return self.base_named.style

    @property
    def style_shown(self) -> str:
        """The style by its name in the table, or in the words used; empty if none is declared."""
        return self.style.name if self.style else self.style_named.text

    @property
    def base_shown(self) -> str:
        """The base by its name in the table, or in the words used; empty if none is declared."""
        return self.base.name if self.base else self.base_named.text


def declared(table: StyleTable, entered: Entered) -> Declared:
    """What an entry declares; the entry's own words outrank the batch's."""
    return declared_as(table, entered.entry.style or entered.batch.style, entered.entry.base or entered.batch.base)


def declared_as(table: StyleTable, style: str | None, base: str | None) -> Declared:
    """What the names of a style and a base mean, however spelt."""
    return Declared(named(table, style), named_base(table, base))


def wanted_declarations(entered: Entered, style: Style | None) -> tuple[str, ...]:
    """What must be declared: by the style, then by the competition's category; each once.

    Of the items of which a style wants at least one, those that the records answer.
    """
    either = tuple(item for item in (style.declare_any if style else ()) if answers(entered, item))
    return tuple(dict.fromkeys((*(style.declare if style else ()), *either, *entered.category.declare)))


def answers(entered: Entered, item: str) -> str:
    """What the records say to one declaration item; empty if nothing."""
    batch = entered.batch
    if item in batch.declare:
        return batch.declare[item]
    if item == "base":
        return entered.entry.base or batch.base or ""
    if item in ANSWERED_BY_ADDITION:
        return ", ".join(dict.fromkeys(a.what for a in _tasted(batch, ANSWERED_BY_ADDITION[item])))
    if item == "description":
        return entered.entry.declaration or batch.declaration or ""
    if item == "vitals":
        return _vitals_text(batch)
    return ""


def _tasted(batch: Batch, kind: str) -> list[Addition]:
    return [a for a in batch.additions or () if a.kind == kind and a.perceived != "not at all"]


def _vitals_text(batch: Batch) -> str:
    record = batch.measured
    parts = [f"OG {record.og.value:.3f}"] if record.og else []
    parts += [f"FG {record.fg.value:.3f}"] if record.fg else []
    parts += [f"{record.abv.value:.1f}% ABV"] if record.abv else []
    return " ".join(parts) if len(parts) > 1 else ""


def missing_declarations(entered: Entered, style: Style | None) -> tuple[str, ...]:
    """Declaration items wanted and not answered anywhere in the records.

    Where a style wants one of several and none is answered, they stand as one item, joined by ``or``.
    """
    missing = [item for item in wanted_declarations(entered, style) if not answers(entered, item)]
    if style and style.declare_any and not any(answers(entered, item) for item in style.declare_any):
        missing.append(" or ".join(style.declare_any))
    return tuple(missing)


def composed(entered: Entered, style: Style | None, with_base: bool = True) -> Composed:
    """The text for the judges put together from the records, within the competition's limit if that can be."""
    items = (item for item in wanted_declarations(entered, style) if item not in {"base", "description"})
    wanted = [(item, text) for item, text in ((item, answers(entered, item)) for item in items) if text]
    base = (entered.entry.base or entered.batch.base or "") if with_base else ""
    return compose(entered.batch, base, wanted, entered.competition.declaration_length)


def judges_text(entered: Entered, style: Style | None) -> str:
    """The text for the judges: the brewer's own if given, else the one put together."""
    return entered.entry.declaration or entered.batch.declaration or composed(entered, style).text


def slip_text(entered: Entered, style: Style | None) -> str:
    """The text for the judges where the base stands on a line of its own."""
    return entered.entry.declaration or entered.batch.declaration or composed(entered, style, with_base=False).text
