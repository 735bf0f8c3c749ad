"""The vitals of a beer: what each is called, its unit, decimals and usual error; and the values of one beer."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from entryprep.brewing.alcohol import abv, abv_slopes, fg_from_abv, og_from_abv
from entryprep.measures import refusal
from entryprep.quantities import QuantityError, parse


class Vital(NamedTuple):
    """One kind of vital: its words, what is written behind a value, decimals, kind of quantity, how it is found."""

    words: str
    unit: str
    decimals: int
    kind: str
    instrument: str


KINDS_OF_VITAL: Mapping[str, Vital] = MappingProxyType(
    {
        "og": Vital("original gravity", "", 3, "gravity", "a hydrometer"),
        "fg": Vital("final gravity", "", 3, "gravity", "a hydrometer"),
        "abv": Vital("strength", " %", 1, "alcohol", "a calculated strength"),
        "ibu": Vital("bitterness", " IBU", 0, "bitterness", "a bitterness prediction"),
        "srm": Vital("colour", " SRM", 1, "colour", "a colour prediction"),
        "co2": Vital("carbonation", " volumes", 1, "carbonation", "a carbonation estimate"),
    }
)
VITALS = tuple(KINDS_OF_VITAL)
GRAVITY_ERROR = {
    "hydrometer": 0.001,  # common practice: half a division of a 0.002 scale
    "refractometer": 0.003,  # final gravity behind alcohol: several points (S. Terrill, ten beers)
    "refractometer before": 0.0015,  # unfermented wort: 0.2 °Brix and 2 % of the wort factor, common practice
    "lab": 0.0002,  # common practice
    "meter": 0.0005,  # common practice: a floating or bench density meter
    "label": 0.001,
    "estimate": 0.003,
}
ABV_ERROR = 0.3  # US label tolerance, 27 CFR 7.65(c)
CO2_ERROR = 0.2  # common practice: a priming or regulator estimate
IBU_SHARE, IBU_LEAST = 0.20, 1.0  # prediction against laboratory, common practice
SRM_SHARE, SRM_LEAST = 0.15, 0.5  # prediction against laboratory, common practice
LAB_SHARE = 0.05


def words_of(vital: str) -> str:
    """What a vital is called in a sentence, such as ``original gravity``. Raises KeyError for an unknown vital."""
    return KINDS_OF_VITAL[vital].words


def stated(vital: str, value: float) -> str:
    """A vital and its value in a sentence, such as ``original gravity 1.052``. Raises KeyError for an unknown vital."""
    return f"{words_of(vital)} {amount(vital, value)}"


def title_of(vital: str) -> str:
    """What a vital is called at the head of a line, such as ``Original gravity``."""
    return KINDS_OF_VITAL[vital].words.capitalize()


def amount(vital: str, value: float) -> str:
    """A value of a vital with its usual decimals and unit, such as ``1.052`` or ``5.2 %``.

    A gravity that was read between two points keeps its fourth decimal, and a small miss does not read as none.
    """
    kind = KINDS_OF_VITAL[vital]
    decimals = kind.decimals
    half_point = decimals == 3 and abs(value * 1000 % 1 - 0.5) < 0.01
    if half_point or 0 < value < 0.5 * 10**-decimals:
        decimals += 1
    return f"{value:.{decimals}f}{kind.unit}"


def exact(vital: str, value: float) -> str:
    """A value with one decimal more than is usual, trailing zeros left out, and no unit: for files read again."""
    text = f"{value:.{KINDS_OF_VITAL[vital].decimals + 1}f}"
    return text.rstrip("0").rstrip(".")


def rounded(vital: str, value: float) -> float:
    """A value rounded as the trade writes it; whole numbers for bitterness."""
    return round(value, KINDS_OF_VITAL[vital].decimals or None)


def span(vital: str, low: float, high: float) -> str:
    """A range without its unit, such as ``1.044-1.052`` or ``3-6``; colours have decimals only where one end has."""
    decimals = KINDS_OF_VITAL[vital].decimals
    if vital == "srm" and not (low % 1 or high % 1):
        decimals = 0
    return f"{low:.{decimals}f}-{high:.{decimals}f}"


def usual_error(vital: str, value: float, by: str = "hydrometer") -> float:
    """Standard uncertainty of a vital in its own unit, by how it was found. Raises KeyError for an unknown vital."""
    if KINDS_OF_VITAL[vital].kind == "gravity":
        unfermented = vital == "og" and by == "refractometer"
        return GRAVITY_ERROR.get("refractometer before" if unfermented else by, 0.001)
    if vital == "abv":
        return 0.1 if by == "lab" else ABV_ERROR
    if vital == "co2":
        return 0.05 if by == "lab" else CO2_ERROR
    share, least = (IBU_SHARE, IBU_LEAST) if vital == "ibu" else (SRM_SHARE, SRM_LEAST)
    return max(least, value * (LAB_SHARE if by == "lab" else share))


def equation_error(og: float, fg: float) -> float:
    """Standard uncertainty, % ABV, of the equation between gravities and strength itself; see ``brewing.alcohol``.

    Published equations lie 0.05 % apart for a beer of 1.050 and 0.3 to 0.5 % near 1.120 (see ``abv_by_points``;
    common practice): it grows with the square of what fermented, 0.3 % where 100 points are gone.
    """
    return 0.3 * ((og - fg) / 0.100) ** 2


@dataclass(frozen=True)
class Reading:
    """One vital: value, standard uncertainty in the same unit (None: the usual one is taken), origin."""

    value: float
    error: float | None = None
    origin: str = "measured"


class Vitals:
    """Vitals og, fg, abv, ibu, srm, co2, each a number, a text with a unit or a Reading; any may be missing.

    Of og, fg and abv any two give the third, with the uncertainty that follows. ``vitals.og`` is a Reading or None,
    ``vitals["og"]`` a Reading, KeyError where it is not known. Raises QuantityError for a value that is not plausible,
    a negative error, or a final gravity above the original.

    >>> Vitals(og=1.048, fg="1.010").abv.value  # doctest: +ELLIPSIS
    5.0...
    """

    def __init__(
        self,
        og: float | str | Reading | None = None,
        fg: float | str | Reading | None = None,
        abv: float | str | Reading | None = None,
        ibu: float | str | Reading | None = None,
        srm: float | str | Reading | None = None,
        co2: float | str | Reading | None = None,
    ) -> None:
        given = {"og": og, "fg": fg, "abv": abv, "ibu": ibu, "srm": srm, "co2": co2}
        self._known = {name: _reading(name, value) for name, value in given.items() if value is not None}
        self._derive()

    def _derive(self) -> None:
        known = self._known
        if "og" in known and "fg" in known and known["fg"].value > known["og"].value:
            raise QuantityError(
                f"fg {known['fg'].value:.3f} is above og {known['og'].value:.3f}", "fermentation lowers gravity"
            )
        present = [name for name in ("og", "fg", "abv") if name in known]
        if len(present) == 2:
            (missing,) = {"og", "fg", "abv"} - set(present)
            try:
                derived = _derived(missing, {name: known[name] for name in present})
            except ValueError as error:
                raise QuantityError(refusal(error), "check both numbers") from None
            if 0.980 <= derived.value <= 1.200 or missing == "abv":
                known[missing] = derived
        self._known = {name: known[name] for name in VITALS if name in known}

    @property
    def known(self) -> Mapping[str, Reading]:
        """The vitals that are known, in the order og, fg, abv, ibu, srm, co2; every error is filled in."""
        return self._known

    def get(self, vital: str) -> Reading | None:
        """One vital, or None."""
        return self._known.get(vital)

    def __getitem__(self, vital: str) -> Reading:
        return self._known[vital]

    def __contains__(self, vital: object) -> bool:
        return vital in self._known

    def __iter__(self) -> Iterator[str]:
        return iter(self._known)

    def __len__(self) -> int:
        return len(self._known)

    @property
    def og(self) -> Reading | None:
        """Original gravity, or None."""
        return self._known.get("og")

    @property
    def fg(self) -> Reading | None:
        """Final gravity, or None."""
        return self._known.get("fg")

    @property
    def abv(self) -> Reading | None:
        """Strength, % by volume, or None."""
        return self._known.get("abv")

    @property
    def ibu(self) -> Reading | None:
        """Bitterness, IBU, or None."""
        return self._known.get("ibu")

    @property
    def srm(self) -> Reading | None:
        """Colour, SRM, or None."""
        return self._known.get("srm")

    @property
    def co2(self) -> Reading | None:
        """Carbonation, volumes of CO2, or None."""
        return self._known.get("co2")

    def error(self, vital: str) -> float:
        """Standard uncertainty of a known vital. Raises KeyError if it is not known."""
        reading = self._known[vital]
        return reading.error if reading.error is not None else usual_error(vital, reading.value)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Vitals) and self._known == other._known

    def __hash__(self) -> int:
        return hash(tuple(self._known.items()))

    def __repr__(self) -> str:
        return f"Vitals({', '.join(f'{name}={reading.value:g}' for name, reading in self._known.items())})"


def _reading(name: str, value: float | str | Reading) -> Reading:
    kind = KINDS_OF_VITAL[name].kind
    reading = value if isinstance(value, Reading) else Reading(parse(value, kind))
    number = parse(reading.value, kind)
    if reading.error is not None and not (math.isfinite(reading.error) and reading.error >= 0):
        raise QuantityError(f"{reading.error} is not an error of {name}", "give a number from 0")
    error = usual_error(name, number) if reading.error is None else reading.error
    return Reading(number, error, reading.origin)


def _derived(missing: str, pair: dict[str, Reading]) -> Reading:
    errors = {name: reading.error or 0.0 for name, reading in pair.items()}
    if missing == "abv":
        og, fg = pair["og"].value, pair["fg"].value
        by_og, by_fg = abv_slopes(og, fg)
        error = math.hypot(by_og * errors["og"], by_fg * errors["fg"], equation_error(og, fg))
        return Reading(abv(og, fg), error, "derived")
    if missing == "og":
        fg, strength = pair["fg"].value, pair["abv"].value
        og = og_from_abv(strength, fg)
        by_og, by_fg = abv_slopes(og, fg)
        strength_error = math.hypot(errors["abv"], equation_error(og, fg))
        return Reading(og, math.hypot(strength_error / by_og, errors["fg"] * by_fg / by_og), "derived")
    og, strength = pair["og"].value, pair["abv"].value
    fg = fg_from_abv(og, strength)
    by_og, by_fg = abv_slopes(og, fg)
    strength_error = math.hypot(errors["abv"], equation_error(og, fg))
    return Reading(fg, math.hypot(strength_error / by_fg, errors["og"] * by_og / by_fg), "derived")
