"""A beer of which a sheet tells in words: the same Beer as one of a record, so that it is answered for alike.

Of each piece of what is said the kinds of addition it names are kept, with its words and with a dose in grams per litre
where one is told; where nothing is named, nothing is known of additions.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from pydantic import ValidationError

from entryprep.beer.beer import Beer
from entryprep.quantities import KG_PER_OUNCE, KG_PER_POUND, LITRES_PER_GALLON
from entryprep.records.batch import Addition, Batch
from entryprep.tables.style import ADDITIONS
from entryprep.tables.styles import StyleTable
from entryprep.tables.vocabulary import named_in
from entryprep.vitals import Vitals

_PIECES = re.compile(r"[;\n]|,(?!\d)|(?<!\d),")  # a comma between digits is a decimal one
_FIGURE = r"(\d+(?:[.,]\d+)?)\s*"
_WEIGHT = rf"\b{_FIGURE}(mg|g|kg|oz|ounce|lb|pound)s?"
_VOLUME = r"(l|lit(?:re|er|ro)s?|litri|hl|gal|gallons?)\b"
_PER = r"in|to|per|for|pro|par|auf|je|für|dans|pour|en|para|su|por|op|på|a"
# "150 g/L", "2 oz per gallon", "3 kg/20 L": a weight with the beer it goes into right behind it
_DOSE = re.compile(rf"{_WEIGHT}(?:\s*/\s*|\s+(?:{_PER})\s+)(?:{_FIGURE})?{_VOLUME}", re.IGNORECASE)
_AMOUNT = re.compile(rf"{_WEIGHT}\b", re.IGNORECASE)
_NUMBER = re.compile(
    r"^\W*(\d{1,3})\s*(?:x\s*|×\s*)?(?!(?:mg|g|kg|m?l|cl|oz|lbs?|gal|days?|weeks?|months?|min|h)\b)(?=[^\W\d])",
    re.IGNORECASE,
)
_BEER = re.compile(rf"\b(?:{_PER})\s+(?:{_FIGURE}|(?<=per )){_VOLUME}", re.IGNORECASE)
_POUND_G = KG_PER_POUND * 1000
_GRAMS = {"m": 0.001, "g": 1.0, "k": 1000.0, "o": KG_PER_OUNCE * 1000, "l": _POUND_G, "p": _POUND_G}
_LITRES = {"l": 1.0, "h": 100.0, "g": LITRES_PER_GALLON}
USUAL_LITRES = 20.0  # a brewer's usual batch, where an amount is told and not of how much beer; common practice
# what a dose is told of has ended where a joining word follows: "plums 150 g/L and cinnamon"
_JOINED = re.compile(
    rf"({_DOSE.pattern}[^;,\n]*?)\s+(?:and|plus|with|und|mit|et|avec|y|con|e|en|og|och|&|\+)\s+", re.IGNORECASE
)
_LONGEST = 200


def told_beer(
    name: str, said: tuple[str, ...], vitals: Vitals | None, style: str, base: str, table: StyleTable
) -> Beer:
    """The beer of a declaration: what it ``said`` of additions, vitals as stated, style and base however spelt.

    Raises nothing that the vitals did not raise: amounts that no beer could hold are told by ``Beer.problem``.
    """
    additions = [addition for text in said for addition in additions_told(text)]
    # a litre, so that grams per litre are grams
    called = name[:_LONGEST].strip() or "This beer"
    if additions:
        batch = Batch(name=called, volume=1.0, additions=additions)
    else:  # most: one record with another name
        batch = _plain().model_copy(update={"name": called})
    return Beer.from_batch(batch, style=style, base=base, table=table, vitals=vitals or Vitals())


@cache
def _plain() -> Batch:
    """The record of a beer to which nothing was added."""
    return Batch(name="This beer", volume=1.0)


def additions_told(text: str) -> Iterator[Addition]:
    """What a text says was added, piece by piece, an addition for each kind that a piece names."""
    for piece in pieces(text):
        kinds = named_in(piece).kinds
        if not kinds:
            continue
        dose = grams_per_litre(piece)
        what = " ".join(_DOSE.sub(" ", piece, 1).split()).strip("():- ")[:_LONGEST]
        for kind in ADDITIONS:
            if kind in kinds:
                data = {"what": what, "kind": kind, **({"mass": dose / 1000} if dose else {})}
                try:
                    yield Addition.model_validate(data)
                except ValidationError:  # an amount that is none
                    yield Addition.model_validate({"what": what or kind, "kind": kind})


def pieces(text: str) -> list[str]:
    """What a text tells, thing by thing: a dose belongs to the piece it stands in and to no other."""
    return [piece for piece in _PIECES.split(_JOINED.sub(r"\1;", text)) if piece.strip()]


def grams_per_litre(piece: str) -> float | None:
    """Grams in a litre that a piece of text tells ("150 g/L", "2 oz per gallon", "3 kg of plums in 20 L"), or None."""
    found = _DOSE.search(piece)
    if found is not None:
        weight, unit, figure, volume = found.groups()
    else:
        weighed, beer = _AMOUNT.search(piece), _BEER.search(piece)
        if weighed is None or beer is None:
            return None
        (weight, unit), (figure, volume) = weighed.groups(), beer.groups()
    litres = _litres(figure, volume)
    return _figure(weight) * _GRAMS[unit[0].lower()] / litres if litres else None


@dataclass(frozen=True)
class Amount:
    """How much of a thing a piece of text tells: grams in a litre, or how many in a litre; None where it does not.

    ``assumed`` holds words where the text does not tell of how much beer, so that a usual batch is taken.
    """

    grams: float | None = None
    number: float | None = None
    assumed: str = ""


def amount_told(piece: str) -> Amount:
    """The amount in a piece of text, for cautions: they would rather ask too often than pass a harmful dose."""
    if (dose := grams_per_litre(piece)) is not None:
        return Amount(dose)
    found = _BEER.search(piece)
    litres = _litres(*found.groups()) if found else USUAL_LITRES
    assumed = "" if found else f" (if in {USUAL_LITRES:.0f} litres)"
    if not litres:
        return Amount()
    if weighed := _AMOUNT.search(piece):
        return Amount(grams=_figure(weighed[1]) * _GRAMS[weighed[2][0].lower()] / litres, assumed=assumed)
    if counted := _NUMBER.search(piece):
        return Amount(number=int(counted[1]) / litres, assumed=assumed)
    return Amount()


def _litres(figure: str | None, unit: str) -> float:
    return _figure(figure or "1") * _LITRES[unit[0].lower()]


def _figure(text: str) -> float:
    return float(text.replace(",", "."))
