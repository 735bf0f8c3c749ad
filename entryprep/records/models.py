"""Brewer, batch, competition and entries: one model each, with what every field means."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from entryprep.records.fields import (
    Alcohol,
    Bitterness,
    Carbonation,
    Colour,
    Day,
    Gravity,
    Id,
    LengthMm,
    LongText,
    MassG,
    MassKg,
    OneOrMore,
    Record,
    TemperatureC,
    Text,
    VolumeL,
    VolumeMl,
    refuse,
)

Glass = Literal["brown", "green", "clear", "blue", "black", "can", "plastic", "stone"]
Closure = Literal["crown", "swing-top", "cork", "cork-and-crown", "screw", "can-lid"]
AdditionKind = Literal["fruit", "spice", "smoke", "wood", "sugar", "grain", "culture", "spirit", "process"]
DeclareItem = Literal[
    "base",
    "fruit",
    "spice",
    "smoke-source",
    "wood",
    "spirit",
    "grain",
    "sugar",
    "culture",
    "carbonation",
    "sweetness",
    "strength",
    "colour",
    "description",
    "mixed-styles",
    "vitals",
    "product",
    "process",
]
Allergen = Literal[
    "gluten",
    "barley",
    "wheat",
    "rye",
    "oats",
    "milk",
    "egg",
    "fish",
    "crustaceans",
    "molluscs",
    "peanut",
    "tree nuts",
    "soy",
    "sesame",
    "celery",
    "mustard",
    "lupin",
    "sulphites",
    "coconut",
    "honey",
    "none known",
]


class Brewer(Record):
    """Who enters. Printed only where a competition wants it."""

    name: Text = Field(description="The brewer's name, as the competition registers it.")
    co_brewers: Annotated[list[Text], OneOrMore] = Field([], description="Others who brewed these beers.")
    brewery: Text | None = Field(None, description="What you call your brewery; must never reach a judge.")
    email: Text | None = Field(None, description="For the organiser.")
    phone: Text | None = Field(None, description="For the organiser.")
    address: Annotated[list[Text], OneOrMore] = Field([], description="Postal address, a line each.")
    club: Text | None = Field(None, description="Home-brew club.")
    country: Annotated[str, Field(pattern=r"^[A-Z]{2}$")] | None = Field(
        None, description="ISO 3166 code, such as US or NO."
    )
    state: Text | None = Field(None, description="State or province code, such as OR; for the shipping checklist.")


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

    og: Annotated[MeasuredGravity, _measurement("gravity")] | None = Field(
        None, description="Original gravity: 1.052 or 12.9 °P."
    )
    fg: Annotated[MeasuredGravity, _measurement("gravity")] | None = Field(None, description="Final gravity.")
    abv: Annotated[MeasuredAlcohol, _measurement("alcohol")] | None = Field(None, description="Alcohol by volume, %.")
    ibu: Annotated[MeasuredBitterness, _measurement("bitterness")] | None = Field(None, description="Bitterness, IBU.")
    srm: Annotated[MeasuredColour, _measurement("colour")] | None = Field(None, description="Colour: 12 SRM or 24 EBC.")
    co2: Annotated[MeasuredCarbonation, _measurement("carbonation")] | None = Field(None, description="Volumes of CO2.")

    @model_validator(mode="after")
    def _gravities_in_order(self) -> VitalsRecord:
        if self.og and self.fg and self.fg.value > self.og.value:
            raise refuse(
                f"fg {self.fg.value:.3f} is above og {self.og.value:.3f}",
                "fermentation lowers gravity: are they swapped?",
            )
        return self


class Traits(Record):
    """What the beer is like, as far as it is known; leave out what is not."""

    fermentation: Literal["ale", "lager", "wild"] | None = Field(
        None, description="Wild: Brettanomyces or souring bacteria."
    )
    clarity: Literal["bright", "hazy"] | None = Field(None, description="How it looks in the glass.")
    hops: Literal["low", "medium", "high"] | None = Field(None, description="Hop aroma and flavour.")
    hop_kind: Literal["neutral", "noble", "english", "new-world"] | None = Field(
        None, description="Noble: floral, spicy; english: earthy, orchard; new-world: citrus, tropical, pine."
    )
    malt: Literal["grainy", "bready", "toasty", "caramel", "chocolate", "roasted"] | None = Field(
        None, description="Leading malt character."
    )
    yeast: Literal["clean", "fruity", "spicy", "funky"] | None = Field(None, description="Leading yeast character.")
    sourness: Literal["none", "light", "marked"] | None = Field(None, description="Acidity.")
    grain: Literal["barley", "wheat", "rye", "oats", "corn-rice"] | None = Field(
        None, description="What stands out beside barley malt."
    )
    smoke: Literal["none", "present"] | None = Field(None, description="Whether smoke can be tasted.")


class Addition(Record):
    """Something added beyond malt, hops, yeast and water."""

    what: Text = Field(description="What it is, such as sour cherries or oak cubes.")
    kind: AdditionKind = Field(description="What kind of addition it is.")
    mass: MassKg | None = Field(None, description="How much, by mass.")
    volume: VolumeL | None = Field(None, description="How much, by volume.")
    stage: Literal["mash", "boil", "whirlpool", "fermenter", "conditioning", "packaging"] | None = Field(
        None, description="When it went in."
    )
    form: Text | None = Field(None, description="Fresh, puree, dried, juice, cubes, tincture and the like.")
    perceived: Literal["not at all", "faint", "clear", "dominant"] | None = Field(
        None, description="Whether you can taste it; declare what can be tasted."
    )


class Concentration(Record):
    """Beer made stronger by freezing it and taking ice out."""

    before: VolumeL = Field(description="Volume before.")
    after: VolumeL = Field(description="Volume after.")

    @model_validator(mode="after")
    def _shrinks(self) -> Concentration:
        if not 0 < self.after < self.before:
            raise refuse(
                f"{self.after:g} L after is not below {self.before:g} L before", "give both volumes of the beer"
            )
        return self


class Priming(Record):
    """Sugar given at bottling."""

    sugar: Literal["corn sugar", "glucose", "table sugar"] = Field(description="Corn sugar is glucose monohydrate.")
    mass: MassG = Field(description="How much.")
    beer: VolumeL = Field(description="Volume of beer it went into.")
    temperature: TemperatureC = Field(description="Warmest temperature of the beer after fermentation.")


class CarbonationRecord(Record):
    """How the beer was carbonated."""

    method: Literal["bottle-conditioned", "forced", "spunded", "cask"] = Field(description="How the gas got in.")
    started: Day | None = Field(None, description="Day of bottling, for bottle conditioning.")
    weeks_needed: Annotated[float, Field(gt=0, le=52)] = Field(
        2.0, description="Weeks warm until it is carbonated; 2 is usual."
    )
    priming: Priming | None = Field(None, description="Sugar given; used to work out the volumes if none are measured.")


class Bottles(Record):
    """Bottles of one kind, full and in the cellar."""

    count: Annotated[int, Field(ge=0, le=10_000)] = Field(description="How many there are.")
    type: Id = Field("longneck", description="A bottle type from the table: `entryprep schema bottles` lists them.")
    size: VolumeMl | None = Field(None, description="Contents, if not the type's own.")
    glass: Glass | None = Field(None, description="Colour or material, if not the type's own.")
    closure: Closure | None = Field(None, description="How it is closed, if not the type's own.")
    embossed: bool = Field(False, description="Raised lettering in the glass.")
    printed: bool = Field(False, description="A label, ink or paint that cannot be taken off.")
    caps: Literal["plain", "printed", "blacked-out"] = Field("plain", description="What is on the crown caps.")
    empty_mass: MassG | None = Field(None, description="Empty mass, if not the type's own.")
    diameter: LengthMm | None = Field(None, description="Diameter, if not the type's own.")
    height: LengthMm | None = Field(None, description="Height, if not the type's own.")


class GravityReading(Record):
    """One gravity of a fermenting beer."""

    date: Day
    gravity: Gravity


class BatchDates(Record):
    """Days in the life of a batch."""

    brewed: Day | None = Field(None, description="Brew day.")
    packaged: Day | None = Field(None, description="Bottled or canned.")


class Batch(Record):
    """One beer in the cellar. Only ``name`` is compulsory; each question says what it lacks."""

    name: Text = Field(description="What you call the beer; never shown to a judge.")
    style: Text | None = Field(None, description="The style you declare it as, by id, name or alias.")
    base: Text | None = Field(
        None, description="Base style of a fruit, spice, smoked, wood-aged or other special beer."
    )
    dates: BatchDates = Field(default=BatchDates(), description="Brew day and packaging day.")
    volume: VolumeL | None = Field(None, description="Volume of the batch.")
    measured: VitalsRecord = Field(default=VitalsRecord(), description="What you measured.")
    predicted: VitalsRecord = Field(
        default=VitalsRecord(), description="What your own calculation predicts, mostly ibu and srm."
    )
    traits: Traits = Field(default=Traits(), description="What the beer is like.")
    additions: Annotated[list[Addition], OneOrMore] | None = Field(
        None, description="Additions; an empty list says there are none, leaving it out says nothing."
    )
    concentrated: Concentration | None = Field(None, description="Only if ice was taken out.")
    gravity_log: Annotated[list[GravityReading], OneOrMore] = Field(
        [], description="Gravities by day, the last ones before bottling."
    )
    carbonation: CarbonationRecord | None = Field(None, description="How it was carbonated.")
    bottles: Annotated[list[Bottles], OneOrMore] = Field([], description="Stock, one item per kind of bottle.")
    allergens: Annotated[list[Allergen], OneOrMore] = Field([], description="Allergens to print on the slip.")
    declare: dict[DeclareItem, Text] = Field(
        default={}, description="Facts a style wants declared, such as strength: session."
    )
    declaration: LongText | None = Field(None, description="Text for the judges.")
    notes: LongText | None = Field(None, description="For yourself; never printed.")


class Category(Record):
    """One category of a competition."""

    code: Annotated[Text, Field(max_length=12)] = Field(description="The competition's own code.")
    name: Text = Field(description="The competition's name for it.")
    styles: Annotated[list[Text], OneOrMore] = Field([], description="Styles it takes; empty: matched by its name.")
    families: Annotated[list[Text], OneOrMore] = Field([], description="Families of styles it takes.")
    declare: Annotated[list[DeclareItem], OneOrMore] = Field(
        [], description="Declarations wanted beyond the style's own."
    )
    limit_per_brewer: Annotated[int, Field(ge=1, le=100)] | None = Field(
        None, description="Entries a brewer may send here."
    )
    abv: tuple[Alcohol, Alcohol] | None = Field(None, description="Strength limits of the category, low and high.")


class BottleRules(Record):
    """What the competition wants of bottles."""

    count: Annotated[int, Field(ge=1, le=24)] = Field(2, description="Bottles per entry.")
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

    per_brewer: Annotated[int, Field(ge=1, le=500)] | None = Field(None, description="Entries per brewer.")
    per_category: Annotated[int, Field(ge=1, le=100)] = Field(1, description="Entries per brewer and category.")
    same_batch_twice: bool = Field(False, description="Whether one batch may be entered twice.")


class Fee(Record):
    """What an entry costs."""

    amount: Annotated[float, Field(ge=0, le=10_000)]
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = Field(description="ISO 4217 code, such as USD.")


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
    ways: Annotated[list[Literal["hand", "drop-off", "club", "carrier", "post", "flight"]], OneOrMore] = Field(
        [], description="Ways of sending that the organiser accepts; empty: not said."
    )
    box_limit: MassKg = Field(11.3, description="Heaviest box they want to lift; 25 lb is a usual request.")


class Competition(Record):
    """A competition: categories, rules and dates."""

    name: Text = Field(description="Its name.")
    place: Text | None = Field(None, description="Town.")
    country: Annotated[str, Field(pattern=r"^[A-Z]{2}$")] | None = Field(None, description="ISO 3166 code.")
    state: Text | None = Field(None, description="State or province code.")
    dates: CompetitionDates = Field(default=CompetitionDates(), description="Registration, delivery, judging.")
    bottles: BottleRules = Field(default=BottleRules(), description="Bottle rules.")
    limits: Limits = Field(default=Limits(), description="Entry limits.")
    fee: Fee | None = Field(None, description="Entry fee.")
    declaration_length: Annotated[int, Field(ge=10, le=4000)] = Field(
        100, description="Longest text for the judges, in characters."
    )
    labels: LabelRules = Field(default=LabelRules(), description="What slips may show.")
    delivery: DeliveryRules = Field(default=DeliveryRules(), description="Where bottles go.")
    categories: Annotated[list[Category], OneOrMore, Field(min_length=1)] = Field(description="The categories.")


class Entry(Record):
    """One beer in one competition."""

    batch: Id = Field(description="File name of the batch, without .yaml.")
    competition: Id = Field(description="File name of the competition, without .yaml.")
    category: Text = Field(description="The competition's category code.")
    number: Annotated[Text, Field(max_length=16)] | None = Field(
        None, description="Entry number, once the competition has issued it."
    )
    style: Text | None = Field(None, description="Style declared, if not the batch's own.")
    base: Text | None = Field(None, description="Base declared, if not the batch's own.")
    declaration: LongText | None = Field(None, description="Text for the judges, if not the batch's own.")
    way: Literal["hand", "drop-off", "club", "carrier", "post", "flight"] | None = Field(
        None, description="How the bottles travel."
    )


class EntryList(Record):
    """Which batch goes where."""

    entries: Annotated[list[Entry], OneOrMore] = Field(description="The entries, in the order you want them printed.")


RECORD_MODELS: dict[str, type[Record]] = {
    "brewer": Brewer,
    "batch": Batch,
    "competition": Competition,
    "entries": EntryList,
}
