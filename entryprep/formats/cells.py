"""Numbers, dates and counts as people write them in the cells of a sheet."""

from __future__ import annotations

import contextlib
import datetime as dt
import re

from entryprep.formats.cellwords import colour_named, count_named, month_named
from entryprep.formats.units import CO2_G_PER_L
from entryprep.quantities import KINDS, QuantityError, parse
from entryprep.vitals import KINDS_OF_VITAL, Reading, usual_error

_EMPTY = {"", "-", "--", "n/a", "na", "none", "?", "unknown", "tbd", "tba", "not known", "x", "."}
_ABOUT = re.compile(r"^\s*(?:~|≈|about|approx\.?|approximately|ca\.?|circa|est\.?)\s*", re.IGNORECASE)
_SPAN = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*(?:-|–|—|to)\s*(\d+(?:\.\d+)?)\s*(\D*)$", re.IGNORECASE)
_COMMA = re.compile(r"(?<=\d),(?=\d)")
_LABEL = re.compile(r"^\s*(?:og|fg|abv|ibu|srm|ebc|co2)\s*[:=]?\s*(?=[\d~.])", re.IGNORECASE)
_WHOLE = re.compile(r"^\s*(\d{1,4})(?:\.0+)?\s*(?:x|bottles?|btls?|pcs?|cans?|flaschen)?\s*$", re.IGNORECASE)
_DAY = re.compile(r"^\s*(\d{1,4})\s*([./-])\s*(\d{1,2})\s*\2\s*(\d{2,4})(?:[ T]\d.*)?\s*$")
ABOUT_FACTOR = 2.0  # "about 30": twice the usual error, common practice
POINTS = (980.0, 1200.0)


def is_empty(text: str) -> bool:
    """Whether a cell says nothing: blank, a dash, n/a, ? and the like."""
    return text.strip().lower() in _EMPTY


def vital_cell(text: str, vital: str, header: str = "") -> Reading | None:
    """A vital as a cell gives it, or None where it says nothing.

    A decimal comma is a point; gravity in points (1052) is read as 1.052; a range is its middle; a colour may be a word
    of the trade, such as amber. Units count where the cell or the column's ``header`` names them: EBC, °P, g/l of CO2,
    a share of 1 instead of %. Raises QuantityError for what cannot be read.
    """
    if is_empty(text):
        return None
    kind = KINDS_OF_VITAL[vital].kind
    if vital == "srm" and (named := colour_named(text)) is not None:
        middle, half = sum(named) / 2, (named[1] - named[0]) / 2
        return Reading(middle, half + usual_error(vital, middle), "declared")  # one eye's amber is another's copper
    plain = _LABEL.sub("", _COMMA.sub(".", text.strip()))
    about = _ABOUT.match(plain) is not None
    plain = _ABOUT.sub("", plain)
    said = f"{header} {text}".lower()
    plain = _with_unit(_PER_CENT.sub(" %", plain) if vital == "abv" else plain, vital, said)
    factor = _factor(vital, text, header)
    if vital == "co2":
        plain = _G_PER_L.sub("", plain)
    span = _SPAN.match(plain)
    if span:
        low, high = (_number(f"{span[i]} {span[3]}".strip(), kind, factor) for i in (1, 2))
        middle = (low + high) / 2
        return Reading(middle, max(usual_error(vital, middle), abs(high - low) / 2), "declared")
    value = _number(plain, kind, factor)
    error = usual_error(vital, value) * (ABOUT_FACTOR if about else 1.0)
    return Reading(value, error, "declared")


_PER_CENT = re.compile(
    r"\s*(?:%\s*(?:abv|vol\.?|alc\.?(?:\s*/?\s*vol\.?)?|v/v)?|(?:abv|vol\.?)\s*-?\s*%|°\s*gl)\s*$", re.IGNORECASE
)
_G_PER_L = re.compile(r"\s*(?:g|grams?|gramm)\s*(?:/|per|pro|par)\s*(?:l|litre|liter)\b\.?(?:\s*co2)?", re.IGNORECASE)
_PLATO = re.compile(r"plato|°\s*p\b|º\s*p\b|\(p\)|brix|balling|stammw|restextr|\bextract\b|gew\.?-?\s?%")


def _factor(vital: str, text: str, header: str) -> float:
    """What a number is multiplied by that its column or its cell gives in another unit than ours."""
    if vital == "co2" and _G_PER_L.search(f"{header} {text}"):
        return 1 / CO2_G_PER_L
    return 100.0 if vital == "abv" and _FRACTION.search(header) and "%" not in text else 1.0


_FRACTION = re.compile(r"fraction|share of 1|anteil", re.IGNORECASE)


def _with_unit(plain: str, vital: str, said: str) -> str:
    """A bare number with the unit its column names; °P is meant by a gravity between 1.5 and 40 in a °P column only."""
    if not re.fullmatch(r"[\d.\s\-–—to]+", plain):
        return plain
    if vital == "srm" and "ebc" in said:
        return f"{plain} EBC"
    if vital in {"og", "fg"} and _PLATO.search(said) and not _POINTED.match(plain):
        return f"{plain} °P"
    return plain


_POINTED = re.compile(
    r"\s*(?:0\.9|1\.[01])\d\d?\d?\s*$|\s*(?:9[89]\d|1[01]\d\d)\s*$"
)  # a gravity, whatever its column says


def _number(text: str, kind: str, factor: float = 1.0) -> float:
    if factor != 1.0:
        with contextlib.suppress(ValueError):
            text = f"{float(text) * factor:.6g}"
    if kind == "gravity":
        try:
            points = float(text)
        except ValueError:
            points = 0.0
        if POINTS[0] <= points <= POINTS[1]:
            return points / 1000
    units = {unit.lower(): unit for unit in KINDS[kind].units}
    match = re.match(r"^([\d.]+)\s*(.*)$", text)
    if match and match[2].lower() in units:
        text = f"{match[1]} {units[match[2].lower()]}".strip()
    return parse(text, kind)


def count_cell(text: str) -> int | None:
    """A number of bottles, or None where the cell says nothing. Raises QuantityError."""
    if is_empty(text):
        return None
    match = _WHOLE.match(text)
    if match is None and (named := count_named(text)) is not None:
        return named
    if match is None:
        raise QuantityError(f"{text.strip()[:40]} is not a number of bottles", "write a whole number, such as 3")
    return int(match[1])


def day_cell(text: str, near: dt.date | None = None) -> dt.date | None:
    """A date, or None where the cell says nothing.

    Months may be words of seven languages; a day without its year is the last one that is not after ``near``, or is
    refused without it; a number of five digits counts days as spreadsheets do, from 1899-12-30. Raises QuantityError
    for what may mean two days, or none.
    """
    if is_empty(text):
        return None
    if _SERIAL.match(text):
        return _FIRST_SERIAL + dt.timedelta(days=int(float(text)))
    match = _DAY.match(text)
    if match is None:
        return _worded_day(text, near)
    first, mark, middle, last = match[1], match[2], match[3], match[4]
    if len(first) == 4:
        orders = [(int(first), int(middle), int(last))]
    else:
        year = int(last) + (2000 if len(last) == 2 else 0)
        orders = [(year, int(middle), int(first))]
        if mark != ".":  # with points the day stands first everywhere; with strokes in some countries the month
            orders.append((year, int(first), int(middle)))
    days = {day for order in orders if (day := _day(*order))}
    if len(days) != 1:
        problem = "may mean two days" if days else "is no day of the calendar"
        raise QuantityError(f"{text.strip()[:40]} {problem}", _WRITE_DAY)
    return days.pop()


_WRITE_DAY = "write year-month-day, such as 2027-03-14"
_FIRST_SERIAL = dt.date(1899, 12, 30)  # day 0 of spreadsheets; ISO/IEC 29500-1, 18.17.4.1, the 1900 date base
_SERIAL = re.compile(r"^\s*(?:3[6-9]|[4-6]\d)\d{3}(?:\.\d+)?\s*$")  # 1998 to 2091
_DAY_MONTH = re.compile(
    r"^\D{0,12}?(\d{1,2})(?:st|nd|rd|th|er|º|°)?\.?\s*(?:de|of|-|/)?\s*([^\W\d]{3,})\.?,?\s*(?:de|del)?[\s,/-]*(\d{4}|\d{2})?\s*$"
)
_MONTH_DAY = re.compile(r"^\s*([^\W\d]{3,})\.?\s*(\d{1,2})(?:st|nd|rd|th)?(?:\s*,\s*|\s+)?(\d{4})?\s*$")


def _worded_day(text: str, near: dt.date | None) -> dt.date:
    """A day whose month is a word, such as 8 Jan or January 8, 2027."""
    shown = text.strip()[:40]
    day, word, year = "", "", ""
    if match := _DAY_MONTH.match(text):
        day, word, year = match[1], match[2], match[3] or ""
    elif match := _MONTH_DAY.match(text):
        word, day, year = match[1], match[2], match[3] or ""
    month = month_named(word) if word else None
    if month is None:
        raise QuantityError(f"{shown} is not a date", _WRITE_DAY)
    if not year and near is None:
        raise QuantityError(f"{shown} has no year", _WRITE_DAY)
    if year:
        found = _day(int(year) + (2000 if len(year) == 2 else 0), month, int(day))
    else:
        assert near is not None
        years = (near.year, near.year - 1, near.year - 2, near.year - 3, near.year - 4)  # 29 February comes in four
        found = next((d for y in years if (d := _day(y, month, int(day))) and d <= near), None)
    if found is None:
        raise QuantityError(f"{shown} is no day of the calendar", _WRITE_DAY)
    return found


def _day(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None
