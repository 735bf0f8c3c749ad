"""Rules on what is declared: is it all there, is it short enough, does it name nobody?"""

from __future__ import annotations

from collections.abc import Iterator

from entryprep.entering.declaration import (
    answers,
    composed,
    judges_text,
    missing_declarations,
    wanted_declarations,
)
from entryprep.entering.rules.context import Context, Hit, Place, Rule
from entryprep.entering.season import Entered
from entryprep.text import fold, listed

_NOT_IN_TEXT = ("base", "description", "vitals")  # a slip has its own lines for these, or they are the text


def missing(context: Context, entered: Entered) -> Iterator[Hit]:
    """Each thing that style or category wants declared and the records do not say."""
    beer = context.beer(entered)
    for item in missing_declarations(entered, beer.said.style):
        first = item.partition(" or ")[0]
        by_style = beer.said.style is not None and first in (*beer.said.style.declare, *beer.said.style.declare_any)
        asker = beer.said.style.name if beer.said.style and by_style else f"category {entered.category.code}"
        place = beer.style_place if by_style else context.at_entry(entered, "category")
        hint = context.rules.declaration_hints[first]
        yield Hit("declaration-missing", place, entered.label, {"asker": asker, "item": _plain(item), "hint": hint})


def omitted(context: Context, entered: Entered) -> Iterator[Hit]:
    """Answers to what must be declared that the brewer's own text for the judges leaves out."""
    own = entered.entry.declaration or entered.batch.declaration
    if not own:
        return
    words = fold(own).split()
    for item in wanted_declarations(entered, context.beer(entered).said.style):
        answer = "" if item in _NOT_IN_TEXT else answers(entered, item)  # what was written, not what numbers say
        if answer and not any(_alike(a, b) for a in fold(answer).split() for b in words):
            values: dict[str, object] = {"item": _plain(item), "answer": answer}
            yield Hit("declaration-omits", _text_place(context, entered), entered.label, values)


def _alike(a: str, b: str) -> bool:
    """Whether two words are one but for their endings, such as cherry and cherries."""
    stem = max(3, min(len(a), len(b)) - 2)
    return len(a) >= 3 and a[:stem] == b[:stem]


def too_long(context: Context, entered: Entered) -> Iterator[Hit]:
    """A text for the judges that is longer than the competition takes; characters as a reader counts them."""
    style, table = context.beer(entered).said.style, context.season.table
    text, limit = judges_text(entered, style, table), entered.competition.declaration_length
    if len(text) > limit:
        values: dict[str, object] = {"length": len(text), "over": len(text) - limit, "limit": limit}
        values["competition"] = entered.competition.name
        yield Hit("declaration-too-long", _text_place(context, entered), entered.label, values)


def shortened(context: Context, entered: Entered) -> Iterator[Hit]:
    """What the text for the judges leaves out to stay within the competition's limit."""
    if entered.entry.declaration or entered.batch.declaration:
        return
    left_out = composed(entered, context.beer(entered).said.style, table=context.season.table).left_out
    if left_out:
        values: dict[str, object] = {"left_out": listed(left_out), "limit": entered.competition.declaration_length}
        yield Hit("declaration-shortened", _text_place(context, entered), entered.label, values)


def _text_place(context: Context, entered: Entered) -> Place:
    if entered.entry.declaration:
        return context.at_entry(entered, "declaration")
    if entered.batch.declaration:
        return context.at_batch(entered.batch_id, "declaration")
    return context.at_batch(entered.batch_id, "declare" if entered.batch.declare else "additions")


def names_someone(context: Context, entered: Entered) -> Iterator[Hit]:
    """A line of the slip that holds a name, a way to reach the brewer, or the beer's own name; each said once."""
    told: set[str] = set()
    for line, text, place in _lines(context, entered):
        for found in context.telling.found(text, entered.batch):
            if fold(found.shown) not in told:
                told.add(fold(found.shown))
                yield _hit(place, entered, f"{found.shown}{line}", found.whose, not found.sure)


def _lines(context: Context, entered: Entered) -> Iterator[tuple[str, str, Place]]:
    """What judges read of an entry: where it stands, if not in the text for them, the words, and their place."""
    beer = context.beer(entered)
    said, category = beer.said, entered.category
    yield "", judges_text(entered, said.style), _text_place(context, entered)
    yield " (in its style)", said.style.name if said.style else said.style_named.text or "", beer.style_place
    yield " (in its base)", said.base.name if said.base else said.base_named.text or "", beer.base_place
    yield " (in its number)", entered.entry.number or "", context.at_entry(entered, "number")
    yield " (in its category)", f"{category.code} {category.name or ''}", context.at_entry(entered, "category")


def _hit(place: Place, entered: Entered, shown: str, whose: str, part: bool) -> Hit:
    also = "; slips show a bar in its place, so use another word if it means something else" if part else ""
    return Hit("declaration-names-someone", place, entered.label, {"shown": shown, "whose": whose, "also": also}, part)


def _plain(item: str) -> str:
    return item.replace("-", " ")


FOR_ENTRIES: tuple[Rule[Entered], ...] = (
    Rule(("declaration-missing",), missing),
    Rule(("declaration-omits",), omitted),
    Rule(("declaration-too-long",), too_long),
    Rule(("declaration-shortened",), shortened),
    Rule(("declaration-names-someone",), names_someone),
)
