"""What can hurt those who drink it: what is in the beer, and how much of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from entryprep.beer.caution import Caution
from entryprep.beer.volumes import stated_volume
from entryprep.measures import in_units, per_beer
from entryprep.records.batch import Batch
from entryprep.tables.rules import NOT_LEGAL_ADVICE, sourced
from entryprep.tables.vocabulary import CautionRow, cautions, cautions_in, named_in
from entryprep.text import fold


def of_what_is_eaten(batch: Batch) -> Iterator[Caution]:
    """What the additions, the facts declared and the recipe name that can hurt."""
    litres = stated_volume(batch)
    for index, addition in enumerate(batch.additions or ()):
        dose = addition.mass * 1000 / litres if addition.mass and litres else None
        number = addition.count / litres if addition.count and litres else None
        path: tuple[str | int, ...] = ("additions", index, "what")
        named = cautions_in(addition.what, addition.form or "")
        yield from told_of(named, path, dose, addition.kind, addition.what, number=number)
    for item, text in batch.declare.items():
        if item not in {"description", "base"}:
            yield from told_of(named_in(text).cautions, ("declare", item))
    if batch.recipe is not None:
        for index, malt in enumerate(batch.recipe.fermentables):
            found = cautions_in(malt.what)
            loud = {name: word for name, word in found.items() if cautions()[name].level == "error"}
            yield from told_of(loud, ("recipe", "fermentables", index, "what"))


def told_of(
    named: Mapping[str, str],
    path: tuple[str | int, ...],
    dose: float | None = None,
    kind: str = "",
    said: str = "",
    *,
    number: float | None = None,
) -> Iterator[Caution]:
    """The cautions that are named, by id with the word that gave each away, as findings.

    ``dose`` is in g/L; ``number`` is how many go into a litre, where they are told by number and not by weight.
    ``said`` is the thing in the words of who named it. Of several poisons one is told, and a note is not told of what
    is poisonous or unsafe anyway.
    """
    rows = [(cautions()[name], word) for name, word in named.items()]
    rows = [(row, word) for row, word in rows if not row.kinds or not kind or kind in row.kinds]
    loud = {word for row, word in rows if row.level == "warning"}
    poison = any(row.level == "error" for row, _ in rows)
    told = False
    for row, word in rows:
        grams = number * row.each if dose is None and number is not None and row.each is not None else dose
        if row.dose is not None and grams is not None and grams >= row.dose and _dosed(row, word):
            values = _row_words(row, said or word, row.at_dose or row.caution)
            yield Caution("dose-unsafe", path, {**values, "dose": _in_beer(grams)})
        elif row.level == "error" and not told:
            told = True
            yield Caution("poisonous-ingredient", path, _row_words(row, said or word, row.caution))
        elif row.level == "warning":
            yield Caution("ingredient-caution", path, _row_words(row, said or word, row.caution))
        elif row.level == "note" and not poison and word not in loud:
            yield Caution("ingredient-caution", path, _row_words(row, word, row.caution), milder=True)


def _in_beer(grams_per_litre: float) -> str:
    value, unit = per_beer(grams_per_litre, "g/L")
    figure = f"{value:.2g}" if value < 10 else f"{value:.0f}"
    return f"{figure} {'oz in a gallon' if unit == 'oz/gal' else 'g in a litre'}"


def _dosed(row: CautionRow, word: str) -> bool:
    return not row.dose_words or fold(word) in {fold(each) for each in row.dose_words}


def _row_words(row: CautionRow, word: str, caution: str) -> dict[str, object]:
    closing = f". {NOT_LEGAL_ADVICE}" if row.legal else ""
    source = sourced(row.source, row.checked)
    return {"id": row.id, "what": word, "caution": in_units(caution), "source": source, "closing": closing}
