"""What went into the kettle was in the wort when its gravity was read; what came later was not."""

from __future__ import annotations

from typing import Any

import pytest

from entryprep import Batch
from entryprep.beer.underneath import Underneath, underneath

# 2 kg of fruit of which 20 % is sugar, and four fifths of which become beer: 0.4 kg of sugar in 1.6 kg of juice
FRUIT: dict[str, Any] = {
    "what": "rosehips",
    "kind": "fruit",
    "mass": 2,
    "sugar": 20,
    "juice_yield": 80,
    "fermented": 100,
}
OG, FG, LITRES = 1.0484, 1.010, 20.0


def under(stage: str, **more: Any) -> Underneath:
    addition = {**FRUIT, "stage": stage, **more}
    data = {"name": "Whimbrel", "volume": LITRES, "measured": {"og": OG, "fg": FG}, "additions": [addition]}
    return underneath(Batch.model_validate(data))


def value(found: Underneath, side: str, vital: str) -> float:
    reading = (found.base if side == "base" else found.served).get(vital)
    assert reading is not None
    return reading.value


@pytest.mark.parametrize("stage", ["boil", "whirlpool", "mash"])
def test_fruit_of_the_kettle_is_taken_out_of_the_gravity_that_saw_it(stage: str) -> None:
    """A balance of masses by hand, with textbook pairs of SG and °P (10.0 °P 1.0400, 12.0 °P 1.0484; see gravity.yaml).

    20 L of wort of 12.0 °P weigh 20 · 1.0484 · 0.998 = 20.93 kg and hold 2.511 kg of extract. Without 1.6 kg of juice
    with 0.4 kg of sugar there are 2.111 kg in 19.33 kg: 10.92 °P, which is 1.0400 + 0.92/2 · 0.0084 = 1.0439.
    """
    found = under(stage)
    assert found.changed
    assert value(found, "served", "og") == pytest.approx(OG, abs=1e-6), "the gravity that was read is the beer's"
    assert value(found, "served", "fg") == pytest.approx(FG, abs=1e-6)
    assert value(found, "base", "og") == pytest.approx(1.0439, abs=0.0003)
    # 0.4 kg of sugar ferment to 0.4/2.0665 kg of alcohol (Balling), 0.2446 L at 0.7913 kg/L (20 °C, any handbook);
    # the juice took up its 1.2 kg of water and that alcohol
    litres = LITRES - 1.2 / 0.998 - 0.2446
    alcohol = LITRES * value(found, "served", "abv") / 100 - 0.2446
    assert value(found, "base", "abv") == pytest.approx(100 * alcohol / litres, abs=0.02)


def test_fruit_of_the_fermenter_came_after_the_reading() -> None:
    found = under("fermenter")
    assert value(found, "base", "og") == pytest.approx(OG, abs=1e-6), "the gravity that was read is the base's"
    assert value(found, "served", "og") > OG + 0.002
    assert value(found, "served", "fg") == pytest.approx(FG, abs=1e-6)


def test_sugar_of_the_kettle_is_grist_but_fruit_there_is_none() -> None:
    assert under("boil").notes == ("og taken as read before the yeast",)
    plain = under("boil", what="beet sugar", kind="sugar", sugar=100)
    assert not plain.changed
    assert plain.base == plain.served
    (note,) = plain.notes
    assert "part of the base" in note


def test_bitterness_and_colour_of_the_base_are_those_of_the_wort_without_the_juice() -> None:
    addition = {**FRUIT, "stage": "boil"}
    measured = {"og": OG, "fg": FG, "ibu": 30, "srm": 12}
    data = {"name": "Whimbrel", "volume": LITRES, "measured": measured, "additions": [addition]}
    found = underneath(Batch.model_validate(data))
    litres = LITRES - 1.2 / 0.998 - 0.2446
    assert value(found, "base", "ibu") == pytest.approx(30 * LITRES / litres, rel=0.005)
    assert value(found, "base", "srm") == pytest.approx(12 * LITRES / litres, rel=0.005)
    assert value(found, "served", "ibu") == pytest.approx(30)
