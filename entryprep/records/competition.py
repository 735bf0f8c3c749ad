"""A competition: categories, bottle rules, limits, dates."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from entryprep.reading.fields import (
    Alcohol,
    Day,
    LengthMm,
    MassKg,
    Number,
    OneOrMore,
    Record,
    Text,
    VolumeMl,
    Whole,
    refuse,
)
from entryprep.reading.files import read_yaml
from entryprep.reading.validate import validate
from entryprep.reading.words import Closure, DeclareItem, Glass, Way
from entryprep.reading.yamltext import RecordError
from entryprep.tables.countries import Country, State
from entryprep.tables.routing import RoutingRule
from entryprep.text import shown


def _time_zone(value: Any) -> str:
    from zoneinfo import available_timezones  # noqa: PLC0415 - reading its index takes a moment, few records name one

    if not isinstance(value, str) or value not in available_timezones():
        raise refuse(f"{shown(value)} is not a time zone", "write an IANA name, such as America/Denver or Europe/Oslo")
    return value


TimeZone = Annotated[str, BeforeValidator(_time_zone)]


class Category(Record):
    """One category of a competition."""

    code: Annotated[Text, Field(max_length=12)] = Field(description="The competition's own code.")
    name: Text = Field(description="The competition's name for it.")
    styles: Annotated[list[Text], OneOrMore] = Field([], description="Styles it takes; empty: matched by its name.")
    families: Annotated[list[Text], OneOrMore] = Field([], description="Families of styles it takes.")
    declare: Annotated[list[DeclareItem], OneOrMore] = Field(
        [], description="Declarations wanted beyond the style's own."
    )
    specialty_base: bool = Field(False, description="Whether a specialty category may be declared as a base.")
    limit_per_brewer: Annotated[Whole, Field(ge=1, le=100)] | None = Field(
        None, description="Entries a brewer may send here."
    )
    abv: tuple[Alcohol, Alcohol] | None = Field(None, description="Strength limits of the category, low and high.")


class BottleRules(Record):
    """What the competition wants of bottles."""

    count: Annotated[Whole, Field(ge=1, le=24)] = Field(2, description="Bottles per entry.")
    size: tuple[VolumeMl, VolumeMl] | None = Field(None, description="Smallest and largest contents.")
    glass: Annotated[list[Glass], OneOrMore] = Field([], description="Colours and materials allowed; empty: any.")
    closures: Annotated[list[Closure], OneOrMore] = Field([], description="Closures allowed; empty: any.")
    embossed: bool = Field(True, description="Whether raised lettering is allowed.")
    printed: bool = Field(False, description="Whether labels, ink or paint are allowed.")
    printed_caps: Literal["allowed", "blacked-out", "refused"] = Field(
        "blacked-out", description="What to do about printed caps."
    )
    diameter: LengthMm | None = Field(None, description="Widest bottle that fits the case slots.")
    height: LengthMm | None = Field(None, description="Tallest bottle that fits.")


class Window(Record):
    """First and last day of something."""

    opens: Day | None = Field(None, description="First day.")
    closes: Day = Field(description="Last day.")

    @model_validator(mode="after")
    def _in_order(self) -> Window:
        if self.opens and self.opens > self.closes:
            raise refuse(f"opens {self.opens} is after closes {self.closes}", "swap them")
        return self


class CompetitionDates(Record):
    """When a competition takes place."""

    registration: Window | None = Field(None, description="Registration.")
    delivery: Window | None = Field(None, description="When bottles are received.")
    judging: Day | None = Field(None, description="First day of judging.")


class Limits(Record):
    """How many entries."""

    per_brewer: Annotated[Whole, Field(ge=1, le=500)] | None = Field(None, description="Entries per brewer.")
    per_category: Annotated[Whole, Field(ge=1, le=100)] = Field(1, description="Entries per brewer and category.")
    same_batch_twice: bool = Field(False, description="Whether one batch may be entered twice.")


class Fee(Record):
    """What an entry costs."""

    amount: Annotated[Number, Field(ge=0, le=10_000)]
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = Field(description="ISO 4217 code, such as USD.")


class SendingRate(Record):
    """What one box costs up to a mass."""

    up_to: MassKg = Field(description="Heaviest box this price is for, packing included.")
    cost: Annotated[Number, Field(ge=0, le=10_000)] = Field(description="Price of one box.")


class Sending(Record):
    """How you send to a competition, and what it costs; your own figures, not the organiser's."""

    way: Way | None = Field(None, description="How the bottles travel, if not the first way the organiser accepts.")
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] | None = Field(
        None, description="ISO 4217 code; left out: that of the fee."
    )
    rates: Annotated[list[SendingRate], OneOrMore] = Field(
        [], description="Price of a box by its mass; a heavier box than the last is not sent. Empty: free."
    )


class LabelRules(Record):
    """What the slip on a bottle may show."""

    identity: Literal["absent", "stub"] = Field(
        "absent",
        description="Absent: no name on the slip. Stub: a part with the brewer's name that the steward cuts off.",
    )
    attach: Literal["rubber-band", "tape", "any"] = Field("rubber-band", description="How the slip is held.")


class DeliveryRules(Record):
    """Where and how bottles are delivered."""

    address: Annotated[list[Text], OneOrMore] = Field([], description="Delivery address, a line each.")
    ways: Annotated[list[Way], OneOrMore] = Field(
        [], description="Ways of sending that the organiser accepts; empty: not said."
    )
    box_limit: MassKg = Field(11.3, description="Heaviest box they want to lift; 25 lb is a usual request.")


class Organiser(Record):
    """Who writes the letters of a competition, and where answers go."""

    name: Text = Field(description="Who signs the letters.")
    mail: Annotated[Text, Field(max_length=200, pattern=r"^[^@\s]+@[^@\s]+$")] = Field(
        description="Mail address that answers go to."
    )
    answers_by: Day | None = Field(None, description="Day by which questions must be answered.")


class Prize(Record):
    """One prize, or one kind of prize, as the competition names it."""

    name: Text = Field(description="What it is called.")
    of: Literal["category", "best-of-show", "round", "club", "vote"] = Field(
        description="Category: a set for each category. Best of show: among the first of all categories. Round: among "
        "the first of some categories. Club: by the points of its brewers. Vote: most votes."
    )
    places: Annotated[Whole, Field(ge=1, le=10)] = Field(3, description="How many places are given.")
    titles: Annotated[list[Text], OneOrMore] = Field([], description="What the places are called, such as gold.")
    categories: Annotated[list[Text], OneOrMore] = Field([], description="Codes of categories it is for; empty: all.")
    least: Annotated[Number, Field(ge=0, le=1000)] | None = Field(
        None, description="The least agreed score that a place is given for."
    )
    points: list[Annotated[Number, Field(ge=0, le=1000)]] = Field(
        [], description="Club prize: points of a first, second, third place in a category; empty: 3, 2, 1."
    )

    @model_validator(mode="after")
    def _titled(self) -> Prize:
        if self.titles and len(self.titles) != self.places:
            raise refuse(f"{len(self.titles)} titles for {self.places} places", "give each place its title")
        return self


class Competition(Record):
    """A competition: categories, rules and dates."""

    name: Text = Field(description="Its name.")
    place: Text | None = Field(None, description="Town.")
    country: Country | None = Field(None, description="Its name or ISO 3166 code.")
    state: State | None = Field(None, description="State or province, by name or code.")
    time_zone: TimeZone | None = Field(
        None, description="Time zone of the place by its IANA name, if the country and state do not tell."
    )
    dates: CompetitionDates = Field(default_factory=CompetitionDates, description="Registration, delivery, judging.")
    bottles: BottleRules = Field(default_factory=BottleRules, description="Bottle rules.")
    limits: Limits = Field(default_factory=Limits, description="Entry limits.")
    fee: Fee | None = Field(None, description="Entry fee.")
    sending: Sending | None = Field(None, description="How you send to it, and what a box costs.")
    declaration_length: Annotated[Whole, Field(ge=10, le=4000)] = Field(
        100, description="Longest text for the judges, in characters."
    )
    labels: LabelRules = Field(default_factory=LabelRules, description="What slips may show.")
    delivery: DeliveryRules = Field(default_factory=DeliveryRules, description="Where bottles go.")
    routing: Annotated[list[RoutingRule], OneOrMore] = Field(
        [], description="Where special beers go here, read before the usual rules."
    )
    categories: Annotated[list[Category], OneOrMore, Field(min_length=1)] = Field(description="The categories.")
    organiser: Organiser | None = Field(None, description="Who writes to the entrants.")
    sessions: Annotated[list[Text], OneOrMore] = Field(
        [], description="When flights are judged, such as 'Sat 09:30-12:30' or '2027-03-13 14:00-17:00 x2'."
    )
    prizes: Annotated[list[Prize], OneOrMore] = Field(
        [], description="The prizes; empty: three places in each category, and best of show."
    )


def read_competition(path: Path) -> Competition:
    """A competition of a file. Raises RecordError with every problem of it."""
    competition, problems = validate(read_yaml(path), Competition)
    if competition is None:
        raise RecordError(problems)
    return competition
