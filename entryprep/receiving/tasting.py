"""Entries as the judges' side knows them: what decides with whom and in which order a beer is tasted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from entryprep.beer.allergens import told_at_table
from entryprep.beer.fitting import Fit
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.checks_cautions import HARMFUL
from entryprep.receiving.declaration import Declaration
from entryprep.receiving.intake import FIT_ALONE, declarations
from entryprep.tables.style import Style

# where neither the beer nor its style says: the middle of the table (common practice)
MIDDLE = {"abv": 6.0, "ibu": 30.0, "srm": 12.0}
ROAST = {"roasted": 2, "chocolate": 1}
SOUR = {"light": 1, "marked": 2}


@dataclass(frozen=True, slots=True)
class Palate:
    """What a beer does to a palate: % ABV, IBU, SRM; roast and sourness 0 to 2; smoke, chile and lager 0 to 1."""

    abv: float
    ibu: float
    srm: float
    roast: float
    smoke: float
    sour: float
    chile: float
    lager: float

    @property
    def load(self) -> float:
        """Strength in % + IBU/10 + SRM/10 + roast: the rule the order within a flight is stated by."""
        return self.abv + self.ibu / 10 + self.srm / 10 + self.roast


@dataclass(frozen=True, slots=True)
class Tasted:
    """One entry by its blind number; ``style`` and ``base`` are ids, empty while not settled.

    ``candidates`` are ids of the styles that an unsettled name may mean, ``care`` what to mind in pouring it.
    """

    number: str
    group: str
    style: str
    base: str
    named: str
    words: str
    allergens: str
    palate: Palate
    candidates: tuple[str, ...] = ()
    care: tuple[str, ...] = ()


AT_THE_TABLE = frozenset({"strong-beer", "over-carbonated"}) | HARMFUL
"""Findings that whoever opens and pours an entry must read."""


def tasted(check: CheckIn) -> Iterator[tuple[Tasted, Declaration]]:
    """The entries of a sheet for the judges' side, in its order, with what was found in each.

    An entry belongs to the group of its category; without one to its style's family; without a style to none (empty).
    """
    for declared in declarations(check):
        style, base = declared.style, declared.base
        as_told = _as_told(check, declared)
        yield (
            Tasted(
                declared.entry,
                as_told.group,
                style.id if style else "",
                base.id if base else "",
                as_told.named,
                as_told.words,
                ", ".join(told_at_table(declared.allergens, declared.text("allergens"))),
                palate(declared),
                declared.named.candidates if declared.named.how == "unsettled" else (),
                pouring_care(check, declared),
            ),
            declared,
        )


@dataclass(frozen=True, slots=True)
class Judged:
    """An entry as it comes back from the judges: its blind number, its group, style and base, what was told of it.

    ``has_category`` is false where the group is a family of ours, for want of a category.
    """

    number: str
    group: str
    has_category: bool
    style: str
    base: str
    words: str
    fit: Fit | None


def judged(check: CheckIn) -> Iterator[Judged]:
    """The entries of a sheet as :func:`tasted` knows them, with their fits; nothing is looked at that results tell not
    of."""
    for declared in declarations(check, FIT_ALONE):
        as_told = _as_told(check, declared)
        yield Judged(
            declared.entry,
            as_told.group,
            as_told.has_category,
            as_told.style,
            as_told.base,
            as_told.words,
            declared.fit,
        )


class _AsTold(NamedTuple):
    group: str
    has_category: bool
    style: str
    base: str
    words: str

    @property
    def named(self) -> str:
        return f"{self.style}, base {self.base}" if self.base else self.style


def _as_told(check: CheckIn, declared: Declaration) -> _AsTold:
    """How an entry is called on the judges' side."""
    category, blind = check.blind.category(declared), check.blind
    group = category or _family(check, declared)
    words = blind.blinded(declared, declared.told)
    return _AsTold(group, bool(category), blind.style(declared), blind.base(declared), words)


def pouring_care(check: CheckIn, declared: Declaration, cleared: bool = False) -> tuple[str, ...]:
    """What to mind in pouring an entry; ``cleared`` where a steward decided that what it names is harmless."""
    rules = AT_THE_TABLE - HARMFUL if cleared else AT_THE_TABLE
    return tuple(check.blind.blinded(declared, f.what) for f in declared.findings if f.rule in rules)


def _family(check: CheckIn, declared: Declaration) -> str:
    """The family of the style, or the one family of all styles it may be; empty where there is none."""
    ids = (
        (declared.style.id,)
        if declared.style
        else declared.named.candidates
        if declared.named.how == "unsettled"
        else ()
    )
    families = {check.table.styles[i].family for i in ids}
    return check.table.families[families.pop()] if len(families) == 1 else ""


def palate(declared: Declaration) -> Palate:
    """The palate of an entry: its own vitals, else the middle of its style's ranges, or its base's."""
    style, base = declared.style, declared.base
    source = base if style is not None and style.follows_base else style
    styles = tuple(s for s in (style, base) if s is not None)
    kinds = declared.kinds
    return Palate(
        abv=_vital(declared, source, "abv"),
        ibu=_vital(declared, source, "ibu"),
        srm=_vital(declared, source, "srm"),
        roast=_most(styles, "malt", ROAST),
        smoke=float(bool(kinds & {"smoky", "smoke"}) or any("smoke" in s.takes for s in styles) or _smoked(styles)),
        sour=max(_most(styles, "sourness", SOUR), float("sour" in kinds)),
        chile=float("chile" in kinds),
        lager=float(source is not None and source.traits.get("fermentation") == ("lager",)),
    )


def _vital(declared: Declaration, source: Style | None, vital: str) -> float:
    reading = declared.vitals.get(vital) if declared.vitals else None
    if reading is not None:
        return reading.value
    range_ = source.ranges.get(vital) if source else None
    return (range_.low + range_.high) / 2 if range_ else MIDDLE[vital]


def _most(styles: tuple[Style, ...], trait: str, marks: dict[str, int]) -> float:
    """The highest mark that a style surely has: the lowest of what the trait allows."""
    return float(max((min(marks.get(v, 0) for v in s.traits[trait]) for s in styles if trait in s.traits), default=0))


def _smoked(styles: tuple[Style, ...]) -> bool:
    return any(s.traits.get("smoke") == ("present",) for s in styles)


def order_key(entry: Tasted) -> tuple[float, float, float, float, str]:
    """The place of an entry in its flight: light before strong; smoked, then sour, then chile after all others.

    A total order: entries that are alike stand in the order of their numbers. Common practice (low intensity first;
    strong, dark, spiced, sour and smoked beers last).
    """
    palate = entry.palate
    return (palate.chile, palate.sour, palate.smoke, round(palate.load, 6), entry.number)


ORDER_RULE = (
    "Order: strength in % + IBU/10 + SRM/10, and 1 more for chocolate or 2 for roast malt, lightest first; smoked "
    "beers after these, then sour ones, chile last. Common practice; whoever leads the flight may change it."
)
