"""Field types of the records: quantities, clean one-line text, ids, dates."""

from __future__ import annotations

import datetime as dt
import unicodedata
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, WithJsonSchema
from pydantic_core import PydanticCustomError

from entryprep.quantities import KINDS, QuantityError, parse
from entryprep.text import no_date, shown


class Record(BaseModel):
    """Base of every record: unknown keys are errors, values are not changed after reading.

    Made in code, it raises RecordError with every problem in the words of the records.
    """

    # built when first used: most commands need few of the models
    model_config = ConfigDict(
        extra="forbid", frozen=True, hide_input_in_errors=True, defer_build=True, allow_inf_nan=False
    )

    def __init__(self, **data: Any) -> None:
        try:
            super().__init__(**data)
        except ValidationError as error:
            from entryprep.reading.validate import told_problems  # noqa: PLC0415 - only where something is wrong
            from entryprep.reading.yamltext import RecordError  # noqa: PLC0415

            raise RecordError(told_problems(type(self), data, error)) from None

    # what pydantic validates as part of another record does not come through here
    __init__.__pydantic_base_init__ = True  # type: ignore[attr-defined]


def refuse(message: str, hint: str = "") -> PydanticCustomError:
    """An error for a validator to raise: what was found, and how to write it instead."""
    return PydanticCustomError("record", "{what}", {"what": message, "fix": hint})


def _counted(value: Any) -> Any:
    if isinstance(value, bool):
        raise refuse(f"{str(value).lower()} is not a number", "write how much, or how many")
    return value


Number = Annotated[float, BeforeValidator(_counted)]
Whole = Annotated[int, BeforeValidator(_counted)]


def _reader(kind: str) -> Callable[[Any], float]:
    def read(value: Any) -> float:
        try:
            return parse(value, kind)
        except QuantityError as error:
            raise refuse(error.message, error.fix) from None

    return read


def _schema(kind: str) -> WithJsonSchema:
    wanted = KINDS[kind]
    text = f"{wanted.words[0].upper()}{wanted.words[1:]}: a number or text with a unit, such as {wanted.example}."
    return WithJsonSchema({"type": ["number", "string"], "description": text})


Gravity = Annotated[float, BeforeValidator(_reader("gravity")), _schema("gravity")]
VolumeL = Annotated[float, BeforeValidator(_reader("volume")), _schema("volume")]
VolumeMl = Annotated[float, BeforeValidator(_reader("volume_ml")), _schema("volume_ml")]
MassKg = Annotated[float, BeforeValidator(_reader("mass")), _schema("mass")]
MassG = Annotated[float, BeforeValidator(_reader("mass_g")), _schema("mass_g")]
TemperatureC = Annotated[float, BeforeValidator(_reader("temperature")), _schema("temperature")]
Colour = Annotated[float, BeforeValidator(_reader("colour")), _schema("colour")]
Bitterness = Annotated[float, BeforeValidator(_reader("bitterness")), _schema("bitterness")]
Alcohol = Annotated[float, BeforeValidator(_reader("alcohol")), _schema("alcohol")]
Carbonation = Annotated[float, BeforeValidator(_reader("carbonation")), _schema("carbonation")]
LengthMm = Annotated[float, BeforeValidator(_reader("length_mm")), _schema("length_mm")]
Percent = Annotated[float, BeforeValidator(_reader("percent")), _schema("percent")]
Attenuation = Annotated[float, BeforeValidator(_reader("attenuation")), _schema("attenuation")]
Alpha = Annotated[float, BeforeValidator(_reader("alpha")), _schema("alpha")]
Potential = Annotated[float, BeforeValidator(_reader("potential")), _schema("potential")]
MaltColour = Annotated[float, BeforeValidator(_reader("malt_colour")), _schema("malt_colour")]
Minutes = Annotated[float, BeforeValidator(_reader("minutes")), _schema("minutes")]
Strength = Annotated[float, BeforeValidator(_reader("strength")), _schema("strength")]
Brix = Annotated[float, BeforeValidator(_reader("brix")), _schema("brix")]
Days = Annotated[float, BeforeValidator(_reader("days")), _schema("days")]


def _text(value: Any) -> str:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        raise refuse(f"{shown(value)} is not text", "write words, in quotes if they hold : or #")
    text = " ".join(unicodedata.normalize("NFC", value).split())
    for character in () if text.isprintable() else text:
        # Cf holds the marks that turn the direction of what follows; joiners are needed by real scripts
        if unicodedata.category(character) in {"Cc", "Cs", "Co", "Cn"} or character in "\u202a\u202b\u202d\u202e\u202c":
            name = f"U+{ord(character):04X}"
            raise refuse(f"the text holds a control character ({name})", "remove it")
    return text


def _day(value: Any) -> dt.date:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value
    if isinstance(value, str):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError:
            pass
    said = no_date(value) if isinstance(value, str) else f"{shown(value)} is not a date"
    raise refuse(said, "write year-month-day, such as 2027-03-14")


def _listed(value: Any) -> Any:
    return value if isinstance(value, (list, tuple)) else [] if value is None else [value]


Text = Annotated[str, BeforeValidator(_text), Field(max_length=400, min_length=1)]
LongText = Annotated[str, BeforeValidator(_text), Field(max_length=4000)]
Id = Annotated[str, BeforeValidator(_text), Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=80)]
Day = Annotated[dt.date, BeforeValidator(_day)]
OneOrMore = BeforeValidator(_listed)
