"""The style table as people write it: one file per family, checked value by value.

The models are built only to read files of styles and to compile those that ship; a table in use holds the plain
:class:`entryprep.tables.style.Style`.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from entryprep.reading.fields import (
    Alcohol,
    Bitterness,
    Carbonation,
    Colour,
    Gravity,
    Id,
    OneOrMore,
    Record,
    TemperatureC,
    Text,
    refuse,
)
from entryprep.reading.words import AdditionKind, DeclareItem
from entryprep.tables.style import ADDITIONS, TRAITS
from entryprep.vitals import VITALS


def _trait_values(value: Any) -> dict[str, tuple[str, ...]]:
    if not isinstance(value, dict):
        raise refuse("traits are `name: value` pairs", f"names known: {', '.join(TRAITS)}, additions")
    known = {**TRAITS, "additions": ADDITIONS}
    result: dict[str, tuple[str, ...]] = {}
    for name, given in value.items():
        if name not in known:
            raise refuse(f"{name} is not a trait", f"names known: {', '.join(known)}")
        values = tuple(given) if isinstance(given, (list, tuple)) else (given,)
        for item in values:
            if item not in known[name]:
                raise refuse(f"{item} is not a value of {name}", f"values known: {', '.join(known[name])}")
        result[name] = values
    return result


class Style(Record):
    """One style, as a file holds it."""

    id: Id = Field(description="Lower-case words joined by hyphens.")
    name: Text = Field(description="The trade's name.")
    family: str = Field("", description="Id of its family; taken from the file.")
    aliases: Annotated[tuple[Text, ...], OneOrMore] = Field((), description="Other names, spellings, languages.")
    note: Annotated[Text, Field(max_length=120)] = Field(description="One line on what it is.")
    og: tuple[Gravity, Gravity] | None = Field(None, description="Original gravity, low and high.")
    fg: tuple[Gravity, Gravity] | None = Field(None, description="Final gravity, low and high.")
    abv: tuple[Alcohol, Alcohol] | None = Field(None, description="Strength in %, low and high.")
    ibu: tuple[Bitterness, Bitterness] | None = Field(None, description="Bitterness, low and high.")
    srm: tuple[Colour, Colour] | None = Field(None, description="Colour, low and high.")
    srm_before_fruit: bool = Field(
        False, description="Whether the colour range is that of the beer before its fruit, which may darken it."
    )
    co2: tuple[Carbonation, Carbonation] | None = Field(None, description="Volumes of CO2, low and high.")
    traits: Annotated[dict[str, tuple[str, ...]], BeforeValidator(_trait_values)] = Field(
        default={}, description="What tells it from its neighbours."
    )
    may_have: Annotated[tuple[AdditionKind, ...], OneOrMore] = Field((), description="Additions it may carry.")
    belongs: dict[AdditionKind, Annotated[tuple[Text, ...], OneOrMore]] = Field(
        default={}, description="Things that belong by tradition, by kind, such as spice: [coriander]; any: all of it."
    )
    common: Literal["usual", "local", "rare"] = Field(
        "usual", description="How often it is brewed: everywhere, in one country or region, or seldom."
    )
    specialty: bool = Field(
        False, description="A category for beers with something added; its vitals follow the base beer."
    )
    takes: Annotated[tuple[AdditionKind, ...], OneOrMore] = Field(
        (), description="Additions that make a beer belong here."
    )
    takes_any: Annotated[tuple[AdditionKind, ...], OneOrMore] = Field(
        (), description="At least one of these besides makes a beer belong here."
    )
    declare: Annotated[tuple[DeclareItem, ...], OneOrMore] = Field((), description="What must be declared.")
    declare_any: Annotated[tuple[DeclareItem, ...], OneOrMore] = Field(
        (), description="At least one of these must be declared besides."
    )
    in_words: dict[Literal["strength", "colour"], dict[Text, Annotated[float, Field(ge=0)]]] = Field(
        default={}, description="Its own words for strength or colour, each with the % ABV or SRM it is used from."
    )
    serve_c: tuple[TemperatureC, TemperatureC] | None = Field(None, description="Serving temperature, low and high.")
    best_within_months: Annotated[float, Field(gt=0, le=240)] | None = Field(
        None, description="Months from packaging while it is at its best."
    )
    mistaken_for: Annotated[tuple[Id, ...], OneOrMore] = Field((), description="Ids of styles it is mistaken for.")

    @model_validator(mode="after")
    def _ranges_in_order(self) -> Style:
        for name in (*VITALS, "serve_c"):
            pair = getattr(self, name)
            if pair is not None and pair[0] >= pair[1]:
                raise refuse(f"{self.id}: {name} runs from {pair[0]:g} to {pair[1]:g}", "write the low end first")
        if not self.specialty and not any(getattr(self, name) for name in VITALS):
            raise refuse(f"{self.id} has no range", "give og, fg, abv, ibu or srm, or mark it `specialty: true`")
        return self


class Family(Record):
    """One file of the style table."""

    family: Id = Field(description="Id of the family.")
    name: Text = Field(description="Its name.")
    styles: list[Style] = Field(description="Its styles.")


class AmbiguousName(Record):
    """A word that means several styles."""

    name: Text
    also: Annotated[tuple[Text, ...], OneOrMore] = ()
    candidates: Annotated[tuple[Id, ...], OneOrMore]


class AmbiguousNames(Record):
    """Words of the trade that do not settle which style is meant."""

    names: list[AmbiguousName]
