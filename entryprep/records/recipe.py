"""A recipe: what a beer was, or is to be, made from."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from entryprep.measures import in_units
from entryprep.reading.fields import (
    Alpha,
    Attenuation,
    MaltColour,
    MassG,
    MassKg,
    Minutes,
    Number,
    OneOrMore,
    Percent,
    Potential,
    Record,
    TemperatureC,
    Text,
    VolumeL,
    refuse,
)
from entryprep.reading.words import CultureForm, CultureKind, FermentableKind, HopForm

Count = Annotated[Number, Field(gt=0, le=100_000)]


class RecipeFermentable(Record):
    """Malt, grain, extract, sugar, honey, fruit or juice."""

    what: Text = Field(description="What it is, such as Vienna malt.")
    kind: FermentableKind | None = Field(None, description="What kind of thing; known ones need none.")
    mass: MassKg | None = Field(None, description="How much, by mass.")
    volume: VolumeL | None = Field(None, description="How much, by volume, of juice, honey or liquid extract.")
    potential: Potential | None = Field(
        None, description="Extract it can give: 1.037 for one pound in one US gallon, or 80 %; known ones need none."
    )
    colour: MaltColour | None = Field(None, description="Colour: 3 °L or 6 EBC; known ones need none.")
    use: Literal["mashed", "steeped", "dissolved"] | None = Field(
        None, description="Grain is mashed and the rest dissolved unless you say otherwise."
    )
    stage: Literal["boil", "late", "fermenter"] = Field(
        "boil", description="From the start of the boil, late in it, or in the fermenter."
    )
    fermentable: Percent | None = Field(
        None,
        description="Share of a sugar that ferments: 0 % for lactose, 100 % for table sugar; known ones need none.",
    )

    @model_validator(mode="after")
    def _has_an_amount(self) -> "RecipeFermentable":
        if (self.mass is None) == (self.volume is None):
            raise refuse("the amount is not clear", "give either a mass, such as 4.5 kg, or a volume, such as 1 L")
        return self


class RecipeHops(Record):
    """One addition of hops."""

    what: Text = Field(description="Which hops.")
    mass: MassG = Field(description="How much, by mass.")
    alpha: Alpha | None = Field(None, description="Alpha acid, %, as the packet says; known ones need none.")
    use: Literal["boil", "first wort", "mash", "stand", "dry"] = Field(
        "boil", description="Stand: in hot wort after the boil; dry: in the fermenter or later."
    )
    minutes: Minutes = Field(0.0, description="Minutes in the boil, or in a stand.")
    temperature: TemperatureC | None = Field(None, description="Temperature of a stand; 90 °C if left out.")
    form: HopForm | None = Field(None, description="Leaf, pellet and the like.")


class RecipeYeast(Record):
    """Yeast or another culture."""

    what: Text = Field(description="Which yeast or culture.")
    kind: CultureKind = Field("ale", description="What kind of culture.")
    attenuation: Attenuation | None = Field(None, description="Apparent attenuation to expect, %.")
    form: CultureForm | None = Field(None, description="Dry, liquid and the like.")
    mass: MassG | None = Field(None, description="How much, by mass.")
    volume: VolumeL | None = Field(None, description="How much, by volume.")
    count: Count | None = Field(None, description="How many packets.")


class Recipe(Record):
    """A recipe to predict vitals from; or the name of a file that holds one."""

    file: Text | None = Field(
        None, description="A BeerJSON 1.0 or BeerXML 1.0 file in the season's folder, instead of all the rest."
    )
    name: Text | None = Field(None, description="Which recipe of the file, if it holds several.")
    volume: VolumeL | None = Field(None, description="Volume into the fermenter; the batch's if left out.")
    efficiency: Percent | None = Field(
        None, description="Share of the extract of the grain that reaches the fermenter."
    )
    mash_efficiency: Percent | None = Field(
        None, description="Share that reaches the kettle; what is lost after it is lost by sugars and extracts too."
    )
    boil_volume: VolumeL | None = Field(None, description="Volume at the start of the boil.")
    boil_minutes: Minutes = Field(60.0, description="Length of the boil.")
    fermentables: Annotated[list[RecipeFermentable], OneOrMore] = Field([], description="What gives extract.")
    hops: Annotated[list[RecipeHops], OneOrMore] | None = Field(
        None, description="Hops; an empty list says there are none, leaving it out says nothing."
    )
    yeast: Annotated[list[RecipeYeast], OneOrMore] = Field([], description="Yeasts and other cultures.")

    @model_validator(mode="after")
    def _is_one_or_the_other(self) -> "Recipe":
        own = self.model_fields_set - {"file", "name"}
        if self.file is not None and own:
            raise refuse(
                f"a recipe file is named and {', '.join(sorted(own))} is given beside it",
                "keep one of them: the file, or the recipe written out here",
            )
        for share in (self.efficiency, self.mash_efficiency):
            if share is not None and share <= 0:
                raise refuse(f"an efficiency of {share:g} % is not above 0", "70 to 75 % is usual at home")
        if self.efficiency and self.mash_efficiency and self.efficiency > self.mash_efficiency:
            raise refuse(
                f"more reaches the fermenter ({self.efficiency:g} %) than the kettle ({self.mash_efficiency:g} %)",
                "are they swapped?",
            )
        if self.volume is not None and self.volume <= 0:
            raise refuse(
                in_units(f"a volume of {self.volume:g} L is not above 0"), "write the volume into the fermenter"
            )
        return self
