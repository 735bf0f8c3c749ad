"""A style: ranges of its vitals, traits, what must be declared, how it is served."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any, NamedTuple

from entryprep.tables.things import ANY, LEADING_GRAIN, Thing, thing_names
from entryprep.vitals import VITALS

TRAITS: dict[str, tuple[str, ...]] = {
    "fermentation": ("ale", "lager", "wild"),
    "clarity": ("bright", "hazy"),
    "hops": ("low", "medium", "high"),
    "hop_kind": ("neutral", "noble", "english", "new-world"),
    "malt": ("grainy", "bready", "toasty", "caramel", "chocolate", "roasted"),
    "yeast": ("clean", "fruity", "spicy", "funky"),
    "sourness": ("none", "light", "marked"),
    "grain": ("barley", "wheat", "rye", "oats", "corn-rice"),
    "smoke": ("none", "present"),
}
ADDITIONS = ("fruit", "spice", "smoke", "wood", "sugar", "grain", "culture", "spirit", "process")


class Range(NamedTuple):
    """Low and high of one vital, both inside."""

    low: float
    high: float

    @property
    def width(self) -> float:
        """High minus low."""
        return self.high - self.low


Pair = tuple[float, float]
MOST_USUAL = 2  # of the things that belong to a style, which stand in that order


class Style:
    """One style of the table, or one of the user's own; it is not changed once it is made.

    Made in code it is checked as one of a file is, and raises RecordError with every problem. Ranges are low and high
    in the vital's inner unit, ``serve_c`` in °C; what each field is for stands with the record that files are read by.
    """

    id: str
    name: str
    family: str = ""
    aliases: tuple[str, ...] = ()
    note: str
    og: Pair | None = None
    fg: Pair | None = None
    abv: Pair | None = None
    ibu: Pair | None = None
    srm: Pair | None = None
    srm_before_fruit: bool = False
    co2: Pair | None = None
    traits: Mapping[str, tuple[str, ...]] = {}
    may_have: tuple[str, ...] = ()
    belongs: Mapping[str, tuple[str, ...]] = {}
    common: str = "usual"
    specialty: bool = False
    takes: tuple[str, ...] = ()
    takes_any: tuple[str, ...] = ()
    declare: tuple[str, ...] = ()
    declare_any: tuple[str, ...] = ()
    in_words: Mapping[str, Mapping[str, float]] = {}
    serve_c: Pair | None = None
    best_within_months: float | None = None
    mistaken_for: tuple[str, ...] = ()

    def __init__(self, **values: Any) -> None:
        from entryprep.tables import stylerecord  # noqa: PLC0415 - the shipped styles were checked when compiled

        self.__dict__.update(dict(stylerecord.Style(**values)))

    @classmethod
    def checked(cls, values: Mapping[str, Any]) -> Style:
        """A style of values that were checked before; fields left out have their defaults."""
        self = cls.__new__(cls)
        self.__dict__.update(values)
        return self

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"a style is not changed: {name}")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"a style is not changed: {name}")

    def fields(self) -> dict[str, Any]:
        """Every field by name, in the order of the record."""
        return {name: getattr(self, name) for name in FIELDS}

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Style) and self.fields() == other.fields())

    def __hash__(self) -> int:
        return hash(self.id)

    def __repr__(self) -> str:
        return f"Style({self.id})"

    @property
    def follows_base(self) -> bool:
        """Whether its vitals are those of its base: a special style without ranges of its own."""
        return self.specialty and not self.ranges

    @cached_property
    def ranges(self) -> dict[str, Range]:
        """Ranges by vital, in the order og, fg, abv, ibu, srm, co2; those the style has."""
        pairs = ((name, getattr(self, name)) for name in VITALS)
        return {name: Range(*pair) for name, pair in pairs if pair is not None}

    @cached_property
    def kinds(self) -> frozenset[str]:
        """Kinds of addition that the style has, or may have; a grain that leads by definition counts as one."""
        grain = {"grain"} if set(self.traits.get("grain", ())) - {"barley"} else set()
        own = (*self.takes, *self.takes_any, *self.traits.get("additions", ()), *self.may_have, *self.belongs)
        return frozenset({*own, *grain})

    @cached_property
    def _things(self) -> dict[str, frozenset[str]]:
        """The names of the things that belong by tradition, by kind."""
        found = {kind: thing_names(names) for kind, names in self.belongs.items()}
        leads = {word for grain in self.traits.get("grain", ()) for word in LEADING_GRAIN.get(grain, ())}
        if leads:
            found["grain"] = found.get("grain", frozenset()) | leads
        return found

    def lives_by(self, thing: Thing) -> bool:
        """Whether nobody would think the style without a thing, as gose without salt, or a rye IPA without rye."""
        if thing.kind == "grain" and self.knows(thing):
            return bool(set(self.traits.get("grain", ())) - {"barley"})
        if thing.kind not in {*self.traits.get("additions", ()), "culture"}:
            return False
        return not thing_names(self.belongs.get(thing.kind, ())[:MOST_USUAL]).isdisjoint(thing.names)

    def said(self, item: str, value: float) -> str:
        """Its own word for a strength in % ABV or a colour in SRM; empty where it has none."""
        words = [word for word, least in self.in_words.get(item, {}).items() if value >= least]
        return words[-1] if words else ""

    def knows(self, thing: Thing) -> bool:
        """Whether a thing belongs to the style: coriander to witbier, and not coconut.

        Where the style names no things of a kind that it has, everything of the kind belongs; so does a thing of which
        only the kind is said.
        """
        if thing.kind not in self.kinds:
            return False
        things = self._things.get(thing.kind)
        if things is None or not thing.names or ANY in things:
            return True
        return thing.kind in {*self.takes, *self.takes_any, *self.may_have} or not things.isdisjoint(thing.names)


FIELDS = tuple(Style.__annotations__)
