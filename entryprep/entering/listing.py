"""The entries of a season as a table: CSV for a spreadsheet, plain values for JSON."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from entryprep.entering.declaration import declared, judges_text
from entryprep.matching.assessing import Assessed
from entryprep.records.season import Entered, Season

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


def csv_cell(value: object) -> str:
    """Text for one CSV cell; a leading = + - @, tab or return is disarmed with an apostrophe."""
    text = "" if value is None else str(value)
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


def csv_bytes(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    """A CSV file (RFC 4180, UTF-8 with byte order mark so that spreadsheets see the letters)."""
    stream = io.StringIO()
    writer = csv.writer(stream)
    writer.writerow(columns)
    writer.writerows([csv_cell(value) for value in row] for row in rows)
    return b"\xef\xbb\xbf" + stream.getvalue().encode()


def entry_row(season: Season, entered: Entered, beer: Assessed | None) -> dict[str, object]:
    """One entry by COLUMNS; vitals rounded as the trade writes them, unknown ones None."""
    said = declared(season.table, entered)
    result = beer.fit(said.style, said.base) if beer and said.style else None
    known = beer.vitals.known if beer else {}
    row: dict[str, object] = {
        "competition": entered.competition.name,
        "number": entered.entry.number,
        "code": entered.code,
        "category": entered.category.code,
        "category_name": entered.category.name,
        "batch": entered.batch_id,
        "beer": entered.batch.name,
        "style": said.style.name if said.style else said.style_name,
        "base": said.base.name if said.base else said.base_name,
        "declaration": judges_text(entered, said.style),
        "allergens": ", ".join(entered.batch.allergens),
        "bottles": entered.competition.bottles.count,
        "fit": None if result is None or result.score is None else round(result.score),
    }
    digits = {"og": 3, "fg": 3, "abv": 1, "ibu": 0, "srm": 1, "co2": 1}
    for name, places in digits.items():
        row[name] = round(known[name].value, places or None) if name in known else None
    return row
