"""What an entry is declared as: style, base, and the text a judge reads."""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.beer.readings import batch_vitals
from entryprep.entering.composing import Composed, compose
from entryprep.entering.mixedwords import in_one
from entryprep.entering.season import Entered
from entryprep.records.batch import Addition, Batch
from entryprep.records.stylenames import Named, named, named_base
from entryprep.tables.doses import names_of
from entryprep.tables.style import Style
from entryprep.tables.styles import StyleTable, load_styles
from entryprep.tables.things import thing

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


INITIALS = 4  # letters of the longest name that is initials, which judges know


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


def answers(entered: Entered, item: str, style: Style | None = None) -> str:
    """What the records say to one declaration item; empty if nothing.

    Of a strength or a colour that nobody put in words, the ``style``'s own word for what the numbers say.
    """
    batch = entered.batch
    if item in batch.declare:
        return batch.declare[item]
    if item in ANSWERED_BY_ADDITION:
        return ", ".join(dict.fromkeys(a.what for a in _tasted(batch, ANSWERED_BY_ADDITION[item])))
    if item == "base":
        return base_words(entered, style)
    if item == "description":
        return entered.entry.declaration or batch.declaration or ""
    return _vitals_text(batch) if item == "vitals" else _in_words(entered, item, style)


def _in_words(entered: Entered, item: str, style: Style | None) -> str:
    """What numbers say: the style's own word for a strength or a colour, or what sets a mixed style's base apart."""
    batch = entered.batch
    if item == "mixed-styles" and style is not None:
        base = named_base(load_styles(), base_words(entered, style)).style
        return in_one(batch, base) if base is not None and not base.specialty else ""
    vital = {"strength": "abv", "colour": "srm"}.get(item)
    if style is None or vital is None or item not in style.in_words:
        return ""
    try:
        reading = batch_vitals(batch, None).get(vital)
    except ValueError:  # records that contradict each other are told elsewhere
        return ""
    return style.said(item, reading.value) if reading is not None else ""


def base_words(entered: Entered, style: Style | None) -> str:
    """The base in the words of who declared it: the entry's, the batch's, or the plain style the batch is declared as.

    A batch that is a porter by itself, entered as a spice beer, is one on a base of porter.
    """
    said = entered.entry.base or entered.batch.base or ""
    own = entered.batch.style or ""
    if said or not own or style is None or not style.specialty or style.ranges:
        return said
    found = named(load_styles(), own).style
    return own if found is not None and not found.specialty and found.id != style.id else ""


def _tasted(batch: Batch, kind: str) -> list[Addition]:
    told = [a for a in batch.additions or () if a.perceived != "not at all"]
    return [a for a in told if a.kind == kind or (kind == "spirit" and a.kind in {"wood", "process"} and _held(a))]


def _held(addition: Addition) -> bool:
    """Whether a barrel's name says that it held a spirit or wine."""
    return not thing(addition.kind, addition.words).names.isdisjoint(names_of("spirit"))


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
    missing = [item for item in wanted_declarations(entered, style) if not answers(entered, item, style)]
    if style and style.declare_any and not any(answers(entered, item) for item in style.declare_any):
        missing.append(" or ".join(style.declare_any))
    return tuple(missing)


def composed(
    entered: Entered, style: Style | None, with_base: bool = True, table: StyleTable | None = None
) -> Composed:
    """The text for the judges put together from the records, within the competition's limit if that can be.

    The base is named as in ``table``, the shipped one unless another is given.
    """
    items = (item for item in wanted_declarations(entered, style) if item not in {"base", "description"})
    wanted = [(item, text) for item, text in ((item, answers(entered, item, style)) for item in items) if text]
    said = base_words(entered, style)
    base = named_base(load_styles() if table is None else table, said).style
    own = [each for each in (style, base) if each is not None and not each.specialty]
    shown = (base.name if base is not None else said) if with_base else ""
    initials = next((alias for alias in base.aliases if alias.isupper() and len(alias) <= INITIALS), "") if base else ""
    return compose(entered.batch, shown, wanted, entered.competition.declaration_length, own, initials)


def judges_text(entered: Entered, style: Style | None, table: StyleTable | None = None) -> str:
    """The text for the judges: the brewer's own if given, else the one put together."""
    return entered.entry.declaration or entered.batch.declaration or composed(entered, style, table=table).text


def slip_text(entered: Entered, style: Style | None) -> str:
    """The text for the judges where the base stands on a line of its own."""
    return entered.entry.declaration or entered.batch.declaration or composed(entered, style, with_base=False).text
