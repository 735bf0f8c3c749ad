"""The entries of a season as a table: CSV for a spreadsheet, plain values for JSON."""

from __future__ import annotations

from entryprep.entering.declaration import declared, judges_text
from entryprep.entering.season import Entered, Season
from entryprep.vitals import VITALS, rounded

COLUMNS = (
    "competition",
    "number",
    "code",
    "category",
    "category_name",
    "batch",
    "beer",
    "style",
    "base",
    "declaration",
    "allergens",
    "bottles",
    "fit",
    "og",
    "fg",
    "abv",
    "ibu",
    "srm",
    "co2",
)


def entry_row(season: Season, entered: Entered) -> dict[str, object]:
    """One entry by COLUMNS; vitals rounded as the trade writes them, unknown ones None."""
    said = declared(season.table, entered)
    beer = season.beer(entered.batch_id, entered)
    result = beer.fit(said.style) if beer and said.style else None
    known = beer.vitals.known if beer else {}
    row: dict[str, object] = {
        "competition": entered.competition.name,
        "number": entered.entry.number,
        "code": entered.code,
        "category": entered.category.code,
        "category_name": entered.category.name,
        "batch": entered.batch_id,
        "beer": entered.batch.name,
        "style": said.style_shown or None,
        "base": said.base_shown or None,
        "declaration": judges_text(entered, said.style),
        "allergens": ", ".join(entered.batch.allergens),
        "bottles": entered.competition.bottles.count,
        "fit": None if result is None or result.score is None else round(result.score),
    }
    for name in VITALS:
        row[name] = rounded(name, known[name].value) if name in known else None
    return row
