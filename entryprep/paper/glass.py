"""The colour of a beer on paper and page: as light passes a tasting glass, and black where an eye says black."""

from __future__ import annotations

from entryprep.brewing.colour import colour_word
from entryprep.brewing.swatch import beer_rgb
from entryprep.vitals import amount

# Of a dark beer the eye gets less light through the glass than it gets off it, and calls it black, from 30 SRM by the
# words of the BJCP 2021 Color Reference; a screen or a page alone would go on showing the last of the red.
FADES_SRM, BLACK_SRM = 20.0, 40.0


def glass_rgb(srm: float) -> tuple[int, int, int]:
    """Red, green and blue, 0 to 255, of a beer in a tasting glass; black from 40 SRM. Raises ValueError below 0."""
    srm = round(srm, 1)
    left = min(1.0, max(0.0, (BLACK_SRM - srm) / (BLACK_SRM - FADES_SRM)))
    red, green, blue = beer_rgb(srm)
    return round(red * left), round(green * left), round(blue * left)


def glass_hex(srm: float) -> str:
    """The same as ``#rrggbb``."""
    return "#{:02x}{:02x}{:02x}".format(*glass_rgb(srm))


def glass_words(srm: float) -> str:
    """Number and word of a colour, for those who print without: ``11.2 SRM, deep amber``."""
    return f"{amount('srm', srm)}, {colour_word(srm)}"
