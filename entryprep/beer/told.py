"""A beer of which a sheet tells in words: the same Beer as one of a record, so that it is answered for alike.

Of each piece of what is said the kinds of addition it names are kept, with its words and with a dose in grams per litre
where one is told; where nothing is named, nothing is known of additions.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from pydantic import ValidationError

from entryprep.beer.beer import Beer
from entryprep.records.batch import Addition, Batch
from entryprep.tables.style import ADDITIONS
from entryprep.tables.styles import StyleTable
from entryprep.tables.vocabulary import named_in
from entryprep.vitals import Vitals

_PIECES = re.compile(r";|,(?!\d)|(?<!\d),")  # a comma between digits is a decimal one
_DOSE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(g|kg)\s*(?:/|per|pro|par)\s*(l|litre|liter|hl)\b", re.IGNORECASE)
_IN_G_PER_L = {("g", "l"): 1.0, ("kg", "l"): 1000.0, ("g", "hl"): 0.01, ("kg", "hl"): 10.0}
_LONGEST = 200


def told_beer(
    name: str, said: tuple[str, ...], vitals: Vitals | None, style: str, base: str, table: StyleTable
) -> Beer:
    """The beer of a declaration: what it ``said`` of additions, vitals as stated, style and base however spelt.

    Raises nothing that the vitals did not raise: amounts that no beer could hold are told by ``Beer.problem``.
    """
    additions = [addition for text in said for addition in additions_told(text)]
    # a litre, so that grams per litre are grams
    batch = Batch(name=name[:_LONGEST].strip() or "This beer", volume=1.0, additions=additions or None)
    return Beer.from_batch(batch, style=style, base=base, table=table, vitals=vitals or Vitals())


def additions_told(text: str) -> Iterator[Addition]:
    """What a text says was added, piece by piece, an addition for each kind that a piece names."""
    for piece in _PIECES.split(text):
        kinds = named_in(piece).kinds
        if not kinds:
            continue
        dose = _DOSE.search(piece)
        what = " ".join((piece.replace(dose[0], " ") if dose else piece).split()).strip("():- ")[:_LONGEST]
        for kind in ADDITIONS:
            if kind in kinds:
                data = {"what": what, "kind": kind, **({"mass": _kg_per_l(dose)} if dose else {})}
                try:
                    yield Addition.model_validate(data)
                except ValidationError:  # an amount that is none
                    yield Addition.model_validate({"what": what or kind, "kind": kind})


def _kg_per_l(dose: re.Match[str]) -> float:
    per = "hl" if dose[3].lower() == "hl" else "l"
    return float(dose[1].replace(",", ".")) * _IN_G_PER_L[dose[2].lower(), per] / 1000
