"""What the formulas refuse beyond the ends of their domains (test_edges), with its words; and the words for colours."""

from __future__ import annotations

import math

import pytest

from entryprep.brewing import carbonation, colour, contents, refractometer
from entryprep.brewing.contents import Contents

BASE = contents.beer(20, 1.050, 1.010)


def test_two_readings_that_no_beer_gives_are_refused() -> None:
    # by the cubic of S. Terrill (module refractometer) worked out by hand: 12 °Brix of wort are i = 11.538, and at
    # f = 0 FG = 1 - 0.05191 + 0.03672 - 0.01118 = 0.9736
    with pytest.raises(ValueError, match=r"^no beer goes from 12 to 0 °Brix: a final gravity of 0.974$"):
        refractometer.fg_from_brix(12.0, 0.0)


def test_sugar_that_cannot_be_reckoned_with_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^1e\+300 g of sugar in 1e-300 L is more than can be reckoned with$"):
        carbonation.primed_volumes("corn sugar", 1e300, 1e-300, 20)
    with pytest.raises(ValueError, match=r"^molasses is not one of corn sugar, glucose, table sugar, dry malt"):
        carbonation.primed_volumes("molasses", 1, 1, 20)


def test_more_units_than_any_malt_gives_are_refused() -> None:
    assert colour.mcu([(1.0, 1e9 / 8.345404)], 1.0) == pytest.approx(1e9)
    with pytest.raises(ValueError, match=r"^8.3454e\+09 malt colour units are more than 1e\+09$"):
        colour.mcu([(1.0, 1e9)], 1.0)


def test_what_no_beer_holds_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^no beer has these contents: 1.0, inf, 0.0, 0.0, 0.0$"):
        Contents(1.0, math.inf, 0.0)
    with pytest.raises(ValueError, match=r"^1 cannot be in 0 L of beer$"):
        _ = Contents(0.0, 1.0, 0.0).abv
    with pytest.raises(ValueError, match=r"^1 cannot be in 1e-10 L of beer$"):
        _ = Contents(1e-10, 1.0, 0.0).abv
    assert Contents(1e-9, 1.0, 0.0).abv == pytest.approx(1e11)
    with pytest.raises(ValueError, match=r"^20.00 L cannot be taken from 20.00 L of beer$"):
        BASE.minus(contents.water(20))
    with pytest.raises(ValueError, match=r"^4.50 L of alcohol came in, and the beer holds 1.0\d L$"):
        BASE.minus(contents.spirit(5, 90))
    # a hair below nothing is what rounding leaves of all alcohol, and is none
    assert BASE.minus(Contents(1.0, BASE.alcohol_l + 1e-10, 0.0)).alcohol_l == 0
    with pytest.raises(ValueError, match="of alcohol came in"):
        BASE.minus(Contents(1.0, BASE.alcohol_l + 1e-8, 0.0))
    with pytest.raises(ValueError, match=r"^20 L of beer cannot be frozen down to 0.5 L$"):
        contents.without_ice(BASE, 0.5)


@pytest.mark.parametrize(("high", "word"), [
    # BJCP 2021 Style Guidelines, Color Reference; a gap between two bands belongs to the darker word
    (3, "straw"), (4, "yellow"), (6, "gold"), (9, "amber"), (14, "deep amber"), (17, "copper"), (18, "deep copper"),
    (22, "brown"), (30, "dark brown"), (40, "black"), (1000, "opaque black"),
])  # fmt: skip
def test_a_word_reaches_to_the_end_of_its_band(high: float, word: str) -> None:
    assert colour.colour_word(high) == word
    assert colour.colour_word(math.nextafter(high, 0)) == word
