"""Numbers, dates and counts as people write them in the cells of a sheet."""

from __future__ import annotations

import datetime as dt
import re

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

    A decimal comma is a point; gravity in points (1052) is read as 1.052; a range is its middle; EBC counts where the
    cell or the column's ``header`` says so. Raises QuantityError for what cannot be read.
    """
    if is_empty(text):
        return None
    kind = KINDS_OF_VITAL[vital].kind
    plain = _LABEL.sub("", _COMMA.sub(".", text.strip()))
    about = _ABOUT.match(plain) is not None
    plain = _ABOUT.sub("", plain)
    plain = _with_unit(plain, vital, f"{header} {text}".lower())
    span = _SPAN.match(plain)
    if span:
        low, high = (_number(f"{span[i]} {span[3]}".strip(), kind) for i in (1, 2))
        middle = (low + high) / 2
        return Reading(middle, max(usual_error(vital, middle), abs(high - low) / 2), "declared")
    value = _number(plain, kind)
    error = usual_error(vital, value) * (ABOUT_FACTOR if about else 1.0)
    return Reading(value, error, "declared")


def _with_unit(plain: str, vital: str, said: str) -> str:
    """A bare number with the unit its column names; °P is meant by a gravity between 1.5 and 40 in a °P column only."""
    if not re.fullmatch(r"[\d.\s\-–—to]+", plain):
        return plain
    if vital == "srm" and "ebc" in said:
        return f"{plain} EBC"
    if vital in {"og", "fg"} and re.search(r"plato|°p|brix|balling", said):
        return f"{plain} °P"
    return plain


def _number(text: str, kind: str) -> float:
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
    if match is None:
        raise QuantityError(f"{text.strip()[:40]} is not a number of bottles", "write a whole number, such as 3")
    return int(match[1])


def day_cell(text: str) -> dt.date | None:
    """A date, or None where the cell says nothing. Raises QuantityError for one that may mean two days, or none."""
    if is_empty(text):
        return None
    match = _DAY.match(text)
    if match is None:
        raise QuantityError(f"{text.strip()[:40]} is not a date", "write year-month-day, such as 2027-03-14")
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
        raise QuantityError(f"{text.strip()[:40]} {problem}", "write year-month-day, such as 2027-03-14")
    return days.pop()


def _day(year: int, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None
