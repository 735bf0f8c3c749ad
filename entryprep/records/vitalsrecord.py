"""Vitals as a person writes them: a number, "1.012 ± 0.001", or value, error and instrument."""

import math
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema, model_validator

from entryprep.brewing.gravity import plato_from_sg
from entryprep.brewing.hydrometer import HIGHEST_C, LOWEST_C, corrected_sg
from entryprep.brewing.refractometer import (
    ATC_C,
    BRIX_PER_KELVIN,
    WORT_FACTOR,
    fg_error_from_brix,
    fg_from_brix,
    og_from_brix,
)
from entryprep.measures import degrees, degrees_between, refusal
from entryprep.quantities import QuantityError, parse
from entryprep.reading.fields import (
    Alcohol,
    Bitterness,
    Brix,
    Carbonation,
    Colour,
    Gravity,
    Number,
    Record,
    TemperatureC,
    refuse,
)
from entryprep.vitals import Reading, usual_error


def _measurement(kind: str) -> BeforeValidator:
    def read(value: Any) -> Any:
        return value if isinstance(value, dict) else {"value": value}

    def with_error(value: Any) -> Any:
        value = read(value)
        if isinstance(value.get("value"), str) and "±" in value["value"]:
            number, _, error = value["value"].partition("±")
            value = {**value, "value": number, "error": error}
        if value.get("error") is not None:
            value = {**value, "error": _error_size(value["error"], kind)}
        return value

    return BeforeValidator(with_error)


SG_PER_BRIX = 0.004  # common practice
WARMEST_C = 50.0  # at which a sample is still read with sense (common practice)
INSTRUMENTS = ("hydrometer", "refractometer", "lab", "meter", "label", "estimate")


def _short_or_long(gravity: bool = False) -> WithJsonSchema:
    """For editors: the value alone, or value, error and instrument."""
    plain: dict[str, Any] = {"type": ["number", "string"]}
    parts: dict[str, Any] = {"value": plain, "error": plain, "by": {"enum": list(INSTRUMENTS)}}
    if gravity:
        parts |= {"temperature": plain, "calibrated_at": plain, "brix": plain, "wort_factor": {"type": "number"}}
    long: dict[str, Any] = {"type": "object", "properties": parts, "additionalProperties": False}
    if gravity:
        long["anyOf"] = [{"required": ["value"]}, {"required": ["brix"]}]
    else:
        long["required"] = ["value"]
    return WithJsonSchema({"anyOf": [plain, long]})


def _error_size(value: Any, kind: str) -> float:
    """Half-width of an error, in the inner unit: an error has no plausible range of its own but must be positive."""
    try:
        size = float(value) if not isinstance(value, (bool, dict, list)) else -1.0
    except (TypeError, ValueError):
        size = -1.0
    limit = {"gravity": 0.05, "alcohol": 5.0, "bitterness": 150.0, "colour": 60.0, "carbonation": 4.0}[kind]
    if not 0 < size <= limit:
        raise refuse(f"{value} is not an error of measurement", f"write a plain number above 0, at most {limit:g}")
    return size


class _Measured(Record):
    error: float | None = Field(
        None, description="Standard uncertainty in the value's own unit; a usual one is taken if left out."
    )
    by: Literal["hydrometer", "refractometer", "lab", "meter", "label", "estimate"] | None = Field(
        None, description="How it was measured."
    )


class MeasuredGravity(_Measured):
    """A gravity and how it was read."""

    value: Gravity
    temperature: TemperatureC | None = Field(
        None,
        description="Temperature of the sample, if a hydrometer reading was not yet corrected for it; "
        "of a refractometer, what it was read at.",
    )
    calibrated_at: TemperatureC = Field(20.0, description="Temperature the hydrometer is made for; 20 °C is usual.")
    brix: Brix | None = Field(
        None, description="What a refractometer showed, instead of a value; alcohol is allowed for."
    )
    wort_factor: Annotated[Number, Field(ge=0.95, le=1.10)] = Field(
        WORT_FACTOR, description="Wort correction factor of the refractometer; 1.04 is usual."
    )

    @model_validator(mode="after")
    def _can_be_corrected(self) -> "MeasuredGravity":
        if self.by == "refractometer":  # reads low on a warm sample, and is warned of (beer.cautions)
            return self
        if self.temperature is not None and self.by not in {None, "hydrometer"}:
            raise refuse(f"a temperature goes with a hydrometer, not with {self.by}", "leave the temperature out")
        for celsius in (self.temperature, self.calibrated_at):
            if celsius is not None and not LOWEST_C <= celsius <= HIGHEST_C:
                raise refuse(
                    f"a sample of {degrees(celsius)} cannot be corrected",
                    f"read it at {degrees_between(LOWEST_C, WARMEST_C, ' to ')}",
                )
        return self


class MeasuredAlcohol(_Measured):
    """A strength and where it comes from."""

    value: Alcohol


class MeasuredBitterness(_Measured):
    """A bitterness and where it comes from."""

    value: Bitterness


class MeasuredColour(_Measured):
    """A colour and where it comes from."""

    value: Colour


class MeasuredCarbonation(_Measured):
    """A carbonation and where it comes from."""

    value: Carbonation


class VitalsRecord(Record):
    """Vitals of a beer; each a number, "1.012 ± 0.001", or {value, error, by}."""

    og: Annotated[MeasuredGravity, _measurement("gravity"), _short_or_long(gravity=True)] | None = Field(
        None, description="Original gravity: 1.052 or 12.9 °P."
    )
    fg: Annotated[MeasuredGravity, _measurement("gravity"), _short_or_long(gravity=True)] | None = Field(
        None, description="Final gravity."
    )
    abv: Annotated[MeasuredAlcohol, _measurement("alcohol"), _short_or_long()] | None = Field(
        None, description="Alcohol by volume, %."
    )
    ibu: Annotated[MeasuredBitterness, _measurement("bitterness"), _short_or_long()] | None = Field(
        None, description="Bitterness, IBU."
    )
    srm: Annotated[MeasuredColour, _measurement("colour"), _short_or_long()] | None = Field(
        None, description="Colour: 12 SRM or 24 EBC."
    )
    co2: Annotated[MeasuredCarbonation, _measurement("carbonation"), _short_or_long()] | None = Field(
        None, description="Volumes of CO2."
    )

    @model_validator(mode="before")
    @classmethod
    def _refractometer(cls, data: Any) -> Any:
        """Gravities from what a refractometer showed: the final one needs the original, for alcohol bends light too."""
        if not isinstance(data, dict):
            return data
        og, fg = data.get("og"), data.get("fg")
        if isinstance(og, dict) and "brix" in og:
            data = {**data, "og": _from_brix("og", og, None)}
        if isinstance(fg, dict) and "brix" in fg:
            data = {**data, "fg": _from_brix("fg", fg, og)}
        elif _bare_brix(fg):
            raise refuse(
                "fg is given in °Brix, which alcohol falsifies on a refractometer",
                "write fg: {brix: 6.2} for a refractometer, or {value: 6.2 °Brix, by: hydrometer}",
            )
        return data

    @model_validator(mode="after")
    def _gravities_in_order(self) -> "VitalsRecord":
        if self.og and self.fg and self.fg.value > self.og.value:
            raise refuse(
                f"fg {self.fg.value:.3f} is above og {self.og.value:.3f}",
                "fermentation lowers gravity: are they swapped?",
            )
        return self


def _bare_brix(fg: Any) -> bool:
    value, by = (fg.get("value"), fg.get("by")) if isinstance(fg, dict) else (fg, None)
    return isinstance(value, str) and "b" in value.lower() and by in {None, "refractometer", "estimate"}


def _from_brix(name: str, item: dict[str, Any], og: Any) -> dict[str, Any]:
    """An item with the gravity that its °Brix mean. Raises the errors of records for values that cannot be used."""
    if "value" in item:
        raise refuse(f"{name} gives both a value and °Brix", "keep what was read")
    if item.get("by") not in {None, "refractometer"}:
        raise refuse(f"{name}: °Brix go with a refractometer, not with {item['by']}", "leave `by` out")
    try:
        brix, factor = parse(item["brix"], "brix"), float(item.get("wort_factor", WORT_FACTOR))
        value = og_from_brix(brix, factor) if name == "og" else fg_from_brix(_brix_before(og, factor), brix, factor)
        error = _refracted_error(name, brix, og, factor, item)
    except QuantityError as problem:
        raise refuse(problem.message, problem.fix) from None
    except (ValueError, TypeError) as problem:
        why = refusal(problem) if isinstance(problem, ValueError) else str(problem)
        raise refuse(f"{name}: {why}", "check both readings") from None
    found = {**item, "value": value, "by": "refractometer"}
    return {**found, "error": error} if error is not None and item.get("error") is None else found


def _refracted_error(name: str, brix: float, og: Any, factor: float, item: dict[str, Any]) -> float | None:
    """The error where it is not the usual one: the forms differ, or the sample was warmer than it corrects for."""
    usual = usual_error(name, 1.0, "refractometer")
    error = usual if name == "og" else fg_error_from_brix(_brix_before(og, factor), brix, usual, factor)
    if item.get("temperature") is not None:
        celsius = parse(item["temperature"], "temperature")
        if not ATC_C[0] <= celsius <= ATC_C[1]:
            error = min(0.05, math.hypot(error, BRIX_PER_KELVIN * abs(celsius - 20) * SG_PER_BRIX))
    return error if error > usual * 1.0001 else None


def _brix_before(og: Any, factor: float) -> float:
    """What the refractometer showed, or would have shown, before fermentation."""
    if isinstance(og, dict) and "brix" in og:
        return parse(og["brix"], "brix")
    value = og.get("value") if isinstance(og, dict) else og
    if value is None:
        raise refuse("fg in °Brix needs the og, for alcohol bends light too", "give og, such as {brix: 12.5} or 1.050")
    return plato_from_sg(parse(value.partition("±")[0] if isinstance(value, str) else value, "gravity")) * factor


def recorded(record: VitalsRecord, name: str, origin: str) -> Reading | None:
    """One vital of a record with its error filled in and its temperature corrected for, or None."""
    item = getattr(record, name)
    if item is None:
        return None
    by = item.by or ("estimate" if origin == "predicted" else "hydrometer")
    value = item.value
    if isinstance(item, MeasuredGravity) and item.temperature is not None and by != "refractometer":
        value = corrected_sg(value, item.temperature, item.calibrated_at)
    error = item.error if item.error is not None else usual_error(name, value, by)
    return Reading(value, error, origin)
