"""What a judge looks for in a style: what its own traits and ranges say first, then what its family has in common."""

from __future__ import annotations

from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.tables.shipped import shipped_record
from entryprep.tables.style import Style


class Senses(Record):
    """A line for each sense."""

    appearance: Text
    aroma: Text
    flavour: Text
    mouthfeel: Text


class _LookFor(Record):
    overall: Text
    unsettled: Text
    colours: list[tuple[float, Text]]
    words: dict[str, dict[str, Text]]
    ticks: dict[str, tuple[Text, ...]]
    families: dict[str, Senses]


@cache
def _words() -> _LookFor:
    return shipped_record("templates/receiving/lookfor.yaml", _LookFor)


def look_for(style: Style | None) -> dict[str, str]:
    """A text by appearance, aroma, flavour, mouthfeel and overall, of the style itself before that of its family.

    A style without a family of ours has only what its own traits and ranges say; where there is no style, only overall.
    """
    words = _words()
    senses = words.families.get(style.family) if style is not None else None
    common = senses.model_dump() if senses is not None else {}
    own = of_style(style) if style is not None else {}
    said = {sense: " ".join(filter(None, (own.get(sense, ""), common.get(sense, "")))) for sense in {**common, **own}}
    return {**said, "overall": words.overall if style is not None else words.unsettled}


def of_style(style: Style) -> dict[str, str]:
    """What the style's own traits and ranges say of each sense; nothing where they are silent."""
    words, traits, ranges = _words().words, style.traits, style.ranges
    said: dict[str, list[str]] = {"appearance": [], "aroma": [], "flavour": [], "mouthfeel": []}
    if "srm" in ranges and not style.srm_before_fruit:
        low, high = colour_word(ranges["srm"].low), colour_word(ranges["srm"].high)
        said["appearance"].append(low if low == high else f"{low} to {high}")
    for trait, sense in _SENSES:
        each = [words[trait][value] for value in traits.get(trait, ()) if value in words.get(trait, {})]
        if each:
            said[sense].append(" or ".join(each[:2]) if trait not in _TOGETHER else ", ".join(each[:3]))
    if "ibu" in ranges and "og" in ranges:
        points = (ranges["og"].low + ranges["og"].high - 2) * 500
        balance = (ranges["ibu"].low + ranges["ibu"].high) / 2 / points if points else 0.0
        said["flavour"].append(
            words["balance"]["bitter" if balance > _BITTER else "malty" if balance < _MALTY else "even"]
        )
    if "co2" in ranges:
        gas = (ranges["co2"].low + ranges["co2"].high) / 2
        said["mouthfeel"].append(words["gas"]["low" if gas < 2.1 else "high" if gas > 2.8 else "medium"])
    if "abv" in ranges and ranges["abv"].high > _WARM:
        said["mouthfeel"].append(words["gas"]["warm"])
    return {sense: f"{'; '.join(each).capitalize()}." for sense, each in said.items() if each}


# bitterness units for each point of gravity beyond which people call a beer bitter, or malty: common practice
_BITTER, _MALTY, _WARM = 0.75, 0.42, 8.0
_SENSES = (
    ("clarity", "appearance"),
    ("malt", "aroma"),
    ("hops", "aroma"),
    ("hop_kind", "aroma"),
    ("yeast", "aroma"),
    ("smoke", "aroma"),
    ("sourness", "flavour"),
)
_TOGETHER = {"malt"}


def colour_word(srm: float) -> str:
    """The word the trade uses for a colour, by its SRM."""
    return next((word for most, word in _words().colours if srm <= most), "black")


@cache
def ticks() -> dict[str, tuple[str, ...]]:
    """Faults to tick on a card, by the sense they are met with, in the order they are printed."""
    return dict(_words().ticks)
