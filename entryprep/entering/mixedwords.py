"""What a known style at another strength, colour or hopping is called: ``imperial, hoppy German Pils (8.4% ABV)``."""

from __future__ import annotations

from entryprep.beer.readings import batch_vitals
from entryprep.records.batch import Batch
from entryprep.tables.style import Style
from entryprep.vitals import Vitals

# what is said of a vital above and below the range of the base, in the order it is said
SAID = {"abv": ("imperial", "session"), "srm": ("dark", "pale"), "ibu": ("hoppy", "gently hopped")}
BLACK_SRM = 28.0  # common practice: from here a beer is called black
TOLD_TRAITS = {
    "hops": {"high": "hoppy"},
    "fermentation": {"lager": "lager-fermented", "wild": "wild"},
    "yeast": {"spicy": "spicy yeast", "funky": "funky"},
    "sourness": {"light": "tart", "marked": "sour"},
}


def in_one(batch: Batch, base: Style) -> str:
    """What sets a beer apart from its base, and the base; empty where nothing is known to.

    A vital is set apart where it lies outside the base's range by more than its error.
    """
    try:
        vitals = batch_vitals(batch, None)
    except ValueError:  # records that contradict each other are told elsewhere
        return ""
    words = [word for word in (_word(vitals, base, vital) for vital in SAID) if word]
    for trait, told in TOLD_TRAITS.items():
        value = getattr(batch.traits, trait)
        if value in told and base.traits.get(trait) and value not in base.traits[trait]:
            words.append(told[value])
    if not words:
        return ""
    strength = vitals.get("abv")
    tail = f" ({strength.value:.1f}% ABV)" if strength is not None and words[0] in SAID["abv"] else ""
    return f"{', '.join(dict.fromkeys(words))} {base.name}{tail}"


def _word(vitals: Vitals, base: Style, vital: str) -> str:
    reading, within = vitals.get(vital), base.ranges.get(vital)
    if reading is None or within is None:
        return ""
    above, below = SAID[vital]
    if reading.value > within.high + vitals.error(vital):
        return "black" if vital == "srm" and reading.value >= BLACK_SRM else above
    return below if reading.value < within.low - vitals.error(vital) else ""
