"""Field types of the records: quantities, clean one-line text, ids, dates."""

from __future__ import annotations

import datetime as dt
import unicodedata
from typing import Annotated, Any

from entryprep.quantities import KINDS, parse
from entryprep.reading.kinds import Before, Field, Refused, Schema
from entryprep.text import shown


def _quantity(kind: str) -> tuple[Before, Schema]:
    wanted = KINDS[kind]
    text = f"{wanted.words[0].upper()}{wanted.words[1:]}: a number or text with a unit, such as {wanted.example}."
    return Before(lambda value: parse(value, kind)), Schema({"type": ["number", "string"], "description": text})


Gravity = Annotated[float, *_quantity("gravity")]
VolumeL = Annotated[float, *_quantity("volume")]
VolumeMl = Annotated[float, *_quantity("volume_ml")]
MassKg = Annotated[float, *_quantity("mass")]
MassG = Annotated[float, *_quantity("mass_g")]
TemperatureC = Annotated[float, *_quantity("temperature")]
Colour = Annotated[float, *_quantity("colour")]
Bitterness = Annotated[float, *_quantity("bitterness")]
Alcohol = Annotated[float, *_quantity("alcohol")]
Carbonation = Annotated[float, *_quantity("carbonation")]
LengthMm = Annotated[float, *_quantity("length_mm")]
Percent = Annotated[float, *_quantity("percent")]
Attenuation = Annotated[float, *_quantity("attenuation")]
Alpha = Annotated[float, *_quantity("alpha")]
Potential = Annotated[float, *_quantity("potential")]
MaltColour = Annotated[float, *_quantity("malt_colour")]
Minutes = Annotated[float, *_quantity("minutes")]
Strength = Annotated[float, *_quantity("strength")]
Brix = Annotated[float, *_quantity("brix")]
Days = Annotated[float, *_quantity("days")]


def _text(value: Any) -> str:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} is not text", "write words, in quotes if they hold : or #")
    text = " ".join(unicodedata.normalize("NFC", value).split())
    for character in () if text.isprintable() else text:
        # Cf holds the marks that turn the direction of what follows; joiners are needed by real scripts
        if unicodedata.category(character) in {"Cc", "Cs", "Co", "Cn"} or character in "\u202a\u202b\u202d\u202e\u202c":
            name = f"U+{ord(character):04X}"
            raise Refused(f"the text holds a control character ({name})", "remove it")
    return text


def _day(value: Any) -> dt.date:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value
    if isinstance(value, str):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError:
            pass
    raise Refused(f"{shown(value)} is not a date", "write year-month-day, such as 2027-03-14")


def _listed(value: Any) -> Any:
    return value if isinstance(value, (list, tuple)) else [] if value is None else [value]


Text = Annotated[str, Before(_text), Field(max_length=400, min_length=1)]
LongText = Annotated[str, Before(_text), Field(max_length=4000)]
Id = Annotated[str, Before(_text), Field(pattern=r"^[a-z0-9][a-z0-9-]*$", max_length=80)]
Day = Annotated[dt.date, Before(_day)]
OneOrMore = Before(_listed)
