"""The words a record may choose from."""

from __future__ import annotations

from typing import Literal

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
Way = Literal["hand", "drop-off", "club", "carrier", "post", "flight"]
Wish = Literal["must", "never"]
# kinds, forms and types are the words of BeerJSON 1.0, so that nothing is lost in reading and writing it
FermentableKind = Literal["grain", "extract", "dry extract", "sugar", "honey", "fruit", "juice", "other"]
HopForm = Literal["leaf", "leaf (wet)", "pellet", "plug", "powder", "extract"]
CultureKind = Literal[
    "ale",
    "lager",
    "kveik",
    "brett",
    "lacto",
    "pedio",
    "bacteria",
    "mixed-culture",
    "spontaneous",
    "malolactic",
    "champagne",
    "wine",
    "other",
]
CultureForm = Literal["liquid", "dry", "slant", "culture", "dregs"]
