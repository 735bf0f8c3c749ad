"""A batch: one beer in the cellar.

Annotations are not postponed, here and in its parts: each is evaluated, and compiling them from text takes time.
"""

from typing import Annotated, Any, Literal, get_args

from pydantic import ConfigDict, Field, model_validator

from entryprep.measures import in_units
from entryprep.reading.fields import (
    Day,
    Days,
    Gravity,
    Id,
    LengthMm,
    LongText,
    MassG,
    MassKg,
    Number,
    OneOrMore,
    Percent,
    Record,
    Strength,
    TemperatureC,
    Text,
    VolumeL,
    VolumeMl,
    Whole,
    refuse,
)
from entryprep.reading.words import AdditionKind, Allergen, Closure, DeclareItem, Glass, Wish
from entryprep.records.recipe import Count, Recipe
from entryprep.records.vitalsrecord import VitalsRecord
from entryprep.text import either, shown


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


def _kind_need_not_be_said(schema: dict[str, Any]) -> None:
    schema["required"].remove("kind")


class Addition(Record):
    """Something added beyond malt, hops, yeast and water; its kind may be left out where ``what`` says it."""

    model_config = ConfigDict(json_schema_extra=_kind_need_not_be_said)

    what: Text = Field(description="What it is, such as sour cherries or oak cubes.")
    kind: AdditionKind = Field(description="What kind of addition it is; a usual ingredient says it by its name.")
    mass: MassKg | None = Field(None, description="How much, by mass.")
    volume: VolumeL | None = Field(None, description="How much, by volume.")
    count: Count | None = Field(None, description="How many, of things that are counted, such as vanilla pods.")
    stage: Literal["starter", "mash", "boil", "whirlpool", "fermenter", "conditioning", "packaging"] | None = Field(
        None, description="When it went in; starter: only into the yeast starter."
    )
    sugar: Percent | None = Field(
        None, description="Sugar it holds, % by mass or °Brix of its juice; known fruits and sugars need none."
    )
    fermented: Percent | None = Field(None, description="Share of its sugar that fermented; all of it is usual.")
    strength: Strength | None = Field(None, description="Strength of a spirit or wine, or of what soaked the wood.")
    juice_yield: Percent | None = Field(None, description="Share of the fruit that becomes beer; 80 % is usual.")
    share: Percent | None = Field(None, description="Share of the grist, of smoked malt or an unusual grain.")
    days: Days | None = Field(None, description="How long it was in contact, such as 14 days on wood.")
    form: Text | None = Field(None, description="Fresh, puree, dried, juice, cubes, tincture and the like.")
    perceived: Literal["not at all", "faint", "clear", "dominant"] | None = Field(
        None, description="Whether you can taste it; declare what can be tasted."
    )

    @model_validator(mode="before")
    @classmethod
    def _kind_by_its_name(cls, data: Any) -> Any:
        if not isinstance(data, dict) or "kind" in data or not isinstance(data.get("what"), str):
            return data
        from entryprep.tables.vocabulary import named_in  # noqa: PLC0415 - most beers name no such thing

        kinds = sorted(named_in(data["what"]).kinds & set(get_args(AdditionKind)))
        if len(kinds) == 1:
            return data | {"kind": kinds[0]}
        options = either(kinds or list(get_args(AdditionKind)))
        of_many = "is of more than one kind" if kinds else "is not known by its name"
        raise refuse(f"what kind of addition is meant? {shown(data['what'])} {of_many}", f"add `kind:` {options}")

    @property
    def words(self) -> str:
        """What it is, and its form, in one text."""
        return f"{self.what} {self.form or ''}"


class BlendPart(Record):
    """One of the batches that a beer was blended from."""

    batch: Id = Field(description="File name of the batch, without .yaml.")
    volume: VolumeL = Field(description="How much of it went in.")


class Concentration(Record):
    """Beer made stronger by freezing it and taking ice out."""

    before: VolumeL = Field(description="Volume before.")
    after: VolumeL = Field(description="Volume after.")
    read: Literal["before", "after"] | None = Field(
        None, description="Whether the final gravity was read before or after the ice was taken out."
    )

    @model_validator(mode="after")
    def _shrinks(self) -> "Concentration":
        if not 0 < self.after < self.before:
            raise refuse(
                in_units(f"{self.after:g} L after is not below {self.before:g} L before"),
                "give both volumes of the beer",
            )
        return self


class Priming(Record):
    """Sugar given at bottling."""

    sugar: Literal["corn sugar", "glucose", "table sugar", "dry malt extract", "honey"] = Field(
        description="Corn sugar is glucose monohydrate; malt extract and honey are good to a fifth."
    )
    mass: MassG = Field(description="How much.")
    beer: VolumeL = Field(description="Volume of beer it went into.")
    temperature: TemperatureC = Field(description="Warmest temperature of the beer after fermentation.")


class CarbonationRecord(Record):
    """How the beer was carbonated."""

    method: Literal["bottle-conditioned", "forced", "spunded", "cask"] = Field(description="How the gas got in.")
    started: Day | None = Field(None, description="Day of bottling, for bottle conditioning.")
    weeks_needed: Annotated[Number, Field(gt=0, le=52)] = Field(
        2.0, description="Weeks warm until it is carbonated; 2 is usual."
    )
    priming: Priming | None = Field(None, description="Sugar given; used to work out the volumes if none are measured.")


class Bottles(Record):
    """Bottles of one kind, full and in the cellar."""

    count: Annotated[Whole, Field(ge=0, le=10_000)] = Field(description="How many there are.")
    type: Id = Field(
        "longneck", description="A bottle type, such as longneck, euro-330, half-litre, champagne-750 or can-355."
    )
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
    dates: BatchDates = Field(default_factory=BatchDates, description="Brew day and packaging day.")
    volume: VolumeL | None = Field(
        None, description="Volume of the finished beer, with all that was added, before any ice was taken out."
    )
    measured: VitalsRecord = Field(default_factory=VitalsRecord, description="What you measured.")
    predicted: VitalsRecord = Field(
        default_factory=VitalsRecord, description="What your own calculation predicts, mostly ibu and srm."
    )
    recipe: Recipe | None = Field(None, description="What it was made from; vitals that nobody gave are predicted.")
    wort: Id | None = Field(
        None,
        description="Batch of the same wort, by file name without .yaml, for one of a split batch: brew day, recipe, "
        "original gravity, bitterness, colour and what went into the kettle are taken from it unless said here.",
    )
    traits: Traits = Field(default_factory=Traits, description="What the beer is like.")
    additions: Annotated[list[Addition], OneOrMore] | None = Field(
        None, description="Additions; an empty list says there are none, leaving it out says nothing."
    )
    concentrated: Concentration | None = Field(None, description="Only if ice was taken out.")
    blend: Annotated[list[BlendPart], OneOrMore] = Field([], description="Batches it was blended from, if it was.")
    water_added: VolumeL | None = Field(None, description="Water added after fermentation, in all.")
    gravity_log: Annotated[list[GravityReading], OneOrMore] = Field(
        [], description="Gravities by day, the last ones before bottling."
    )
    carbonation: CarbonationRecord | None = Field(None, description="How it was carbonated.")
    bottles: Annotated[list[Bottles], OneOrMore] = Field([], description="Stock, one item per kind of bottle.")
    keep: Annotated[Whole, Field(ge=0, le=10_000)] = Field(
        0, description="Bottles kept back: they are never planned, packed or counted as there to be sent."
    )
    score: Annotated[Number, Field(ge=0, le=10)] | None = Field(
        None, description="Your own score of the beer, out of 10; a plan counts an unscored beer as 7."
    )
    wish: dict[Id, Wish] = Field(
        default={}, description="Competitions, by file name without .yaml, that it must or must never be planned for."
    )
    allergens: Annotated[list[Allergen], OneOrMore] = Field([], description="Allergens to print on the slip.")
    declare: dict[DeclareItem, Text] = Field(
        default={}, description="Facts a style wants declared, such as strength: session."
    )
    declaration: LongText | None = Field(None, description="Text for the judges.")
    notes: LongText | None = Field(None, description="For yourself; never printed.")

    @property
    def addition_kinds(self) -> tuple[AdditionKind, ...] | None:
        """The kinds of addition, each once, in the order written; None if nothing is said of additions."""
        return None if self.additions is None else tuple(dict.fromkeys(a.kind for a in self.additions))
