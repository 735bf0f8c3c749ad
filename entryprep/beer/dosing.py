"""Enough to taste? Each addition of a batch against what is usual, and what follows for the entry."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from entryprep.beer.traits import QUIET_KINDS
from entryprep.beer.volumes import stated_volume
from entryprep.measures import per_beer
from entryprep.records.batch import Addition, Batch
from entryprep.tables.doses import Dose, dose_row, dose_table
from entryprep.tables.style import Style
from entryprep.text import fold

Word = Literal["faint", "usual", "dominant", "unknown"]
# what a brewer tastes outranks what the dose says
_TASTED: dict[str, Word] = {"not at all": "faint", "faint": "faint", "clear": "usual", "dominant": "dominant"}
STARTER_G_PER_L = 10.0  # malt in a litre of yeast starter that goes into ten to twenty litres, common practice
FLIGHT_WORDS = {
    "heat": "its heat dulls the palate: to be tasted late in a flight",
    "acid": "its acid dulls the palate: to be tasted after what is not sour",
    "smoke": "smoke lingers: to be tasted late in a flight",
    "spirit": "spirit warms: to be tasted among the last of a flight",
}


@dataclass(frozen=True)
class Verdict:
    """One addition: faint, usual, dominant or unknown; the dose (None if it cannot be worked out) and its band.

    ``words`` says how the dose compares, ``follows`` what to do about it, ``flight`` where it belongs among others.
    """

    addition: Addition
    word: Word
    dose: float | None
    unit: str
    low: float | None
    high: float | None
    words: str
    follows: str
    flight: str = ""

    @property
    def counts(self) -> bool:
        """Whether the addition decides where the beer belongs: all but what is faint, and plain brewing sugar."""
        return self.word != "faint" and self.follows != PLAIN_SUGAR

    @property
    def told(self) -> str:
        """The addition, whether it is tasted and what follows, as one line."""
        late = f"; {self.flight}" if self.flight else ""
        how = "" if self.follows == PLAIN_SUGAR else f"{self.word} ({self.words}); "
        return f"{self.addition.what}: {how}{self.follows}{late}"


PLAIN_SUGAR = "a sugar that leaves no taste of its own: part of the recipe, not a special ingredient"
FAINT = "hardly tasted: enter the plain style, and do not declare it"
USUAL = "declare it"
DOMINANT = "it hides the beer under it: the base matters less, balance more"
UNKNOWN = "declare it if you taste it"


def verdicts(batch: Batch) -> tuple[Verdict, ...]:
    """A verdict for each addition of a batch, in the order written."""
    return tuple(verdict(addition, batch) for addition in batch.additions or ())


def telling(found: Sequence[Verdict], style: Style | None) -> Iterator[tuple[Verdict, str]]:
    """The verdicts that are worth a finding of a beer declared as ``style``, each with its rule.

    What is hardly tasted although the style lives by it, and what hides the beer under it.
    """
    for each in found:
        kind = each.addition.kind
        if each.word == "faint" and style is not None and kind in (*style.takes, *style.takes_any):
            yield each, "addition-faint"
        elif each.word == "dominant" and kind not in QUIET_KINDS:
            yield each, "addition-dominant"


def verdict(addition: Addition, batch: Batch) -> Verdict:
    """How an addition compares with what is usual; ``perceived`` outranks the dose, and both are told."""
    row = dose_row(addition.kind, addition.words)
    dose, low, high, unit = _dose(addition, batch, row) if row else (None, None, None, "")
    by_dose = _word(dose, low, high)
    if row and row.days and addition.days is not None and addition.days < row.days and by_dose == "usual":
        by_dose = "faint"
    if addition.stage == "starter" and by_dose == "unknown":
        by_dose = "faint"
    word = _TASTED.get(addition.perceived or "", by_dose)
    return Verdict(
        addition,
        word,
        dose,
        unit,
        low,
        high,
        _words(addition, row, dose, (low, high), unit, by_dose),
        PLAIN_SUGAR if row and row.plain and addition.perceived in {None, "not at all"} else _follows(word),
        FLIGHT_WORDS[row.flight] if row and row.flight and word != "faint" else "",
    )


def _follows(word: Word) -> str:
    return {"faint": FAINT, "usual": USUAL, "dominant": DOMINANT, "unknown": UNKNOWN}[word]


def _word(dose: float | None, low: float | None, high: float | None) -> Word:
    if dose is None or low is None or high is None:
        return "unknown"
    return "faint" if dose < low else "dominant" if dose > high else "usual"


_Band = tuple[float | None, float | None, float | None, str]


def _dose(addition: Addition, batch: Batch, row: Dose) -> _Band:
    """The dose, its band and the unit of both."""
    litres = stated_volume(batch)
    per_mass = addition.mass * 1000 / litres * _strength_of(addition) if addition.mass and litres else None
    if row.unit == "pods/L" and not addition.count:
        return per_mass, row.mass_low, row.mass_high, "g/L"
    by_unit = {
        "g/L": per_mass if per_mass is not None else _as_mass(addition, row, litres),
        "pods/L": addition.count / litres if addition.count and litres else None,
        "% of grist": _grist_share(addition, batch),
        "% ABV": _raised(addition, litres),
        "L/L": addition.volume / litres if addition.volume and litres else None,
        "days": addition.days,
    }
    return by_unit[row.unit], row.low, row.high, row.unit


def _as_mass(addition: Addition, row: Dose, litres: float | None) -> float | None:
    """Grams per litre of juice, purée or syrup measured by volume: a litre is about a kilogram."""
    fluid = row.kind in {"fruit", "sugar"} and addition.volume and litres
    return addition.volume * 1000 / litres if fluid and addition.volume and litres else None


def _raised(addition: Addition, litres: float | None) -> float | None:
    """By how many % ABV a spirit raises the strength."""
    amount = addition.volume or addition.mass
    known = addition.strength is not None and amount and litres
    return (addition.strength or 0.0) * amount / litres if known and amount and litres else None


def _strength_of(addition: Addition) -> float:
    """By how much a dried or concentrated form is stronger than the fresh thing; spices are listed dry."""
    if addition.kind != "fruit":
        return 1.0
    words = fold(f"{addition.form or ''} {addition.what}").split()
    forms = dose_table().forms
    return max((forms[form] for form in forms if form in words), default=1.0)


def _grist_share(addition: Addition, batch: Batch) -> float | None:
    if addition.share is not None:
        return addition.share
    grist = sum(item.mass or 0.0 for item in batch.recipe.fermentables) if batch.recipe else 0.0
    if addition.mass and grist:
        return 100 * addition.mass / max(grist, addition.mass)
    litres = stated_volume(batch)
    if addition.mass and litres:
        return 100 * addition.mass / (0.22 * litres)  # 220 g of malt in a litre of beer of usual strength
    return None


def _words(
    addition: Addition,
    row: Dose | None,
    dose: float | None,
    band: tuple[float | None, float | None],
    unit: str,
    by: Word,
) -> str:
    low, high = band
    if row is not None and row.plain:
        return "brewing sugar"
    if row is None:
        return "no usual dose is known of it"
    if dose is None or low is None or high is None:
        lack = "only in the yeast starter" if addition.stage == "starter" else "the amount is not known"
        return lack if low is None or high is None else f"{lack}; usual is {_span(low, high, unit)}"
    value, shown = per_beer(dose, unit)
    said = f"{_figure(value)} {shown}; usual is {_span(low, high, unit)}"
    if row.days and addition.days is not None and addition.days < row.days:
        said += f", for {row.days:g} days or more and not {addition.days:g}"
    if addition.perceived and _TASTED[addition.perceived] != by:
        said += f"; you taste it {addition.perceived if addition.perceived != 'clear' else 'clearly'}"
    return said


def _span(low: float, high: float, unit: str) -> str:
    (least, shown), (most, _) = per_beer(low, unit), per_beer(high, unit)
    return f"{_figure(least)} to {_figure(most)} {shown}"


def _figure(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.2g}"
