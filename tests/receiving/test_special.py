"""Special beers at the receiving table: bases, where they belong, doses that are told. Routing is published by the BJCP
(2021 guidelines, and questions answered on its pages); doses are common practice."""

from __future__ import annotations

import pytest

from tests.receiving.sheets import check_in, lines, rules

HEADER = ("entry", "style", "base", "specials")


def found(style: str, base: str = "", specials: str = "") -> set[str]:
    (declared,) = check_in(lines(HEADER, ("1", style, base, specials)))
    return rules(declared) & {
        "base-refused", "style-routed-elsewhere", "addition-faint", "addition-dominant", "declaration-missing",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        (("Fruit Beer", "blonde ale", "raspberries"), set()),
        (("Fruit Beer", "Fruit Beer", "raspberries"), {"base-refused"}),
        (("Fruit Beer", "Wood-Aged Beer", "raspberries"), {"base-refused"}),
        (("Fruit Beer", "blonde ale", "raspberries and basil"), {"style-routed-elsewhere"}),
        (("Fruit and Spice Beer", "blonde ale", "raspberries and basil"), set()),
        (("Fruit Beer", "gose", "apricots; coriander and salt"), set()),  # the spice is gose's own: 29A
        (("American Stout", "", "cocoa nibs"), {"style-routed-elsewhere"}),
        (("Gose", "", "coriander and salt"), set()),
        (("Fruit Beer", "blonde ale", "raspberries 90 g/L"), set()),
        (("Fruit Beer", "blonde ale", "raspberries 4 g/L"), {"addition-faint"}),
        (("Spice Beer", "porter", "habanero 3 g per litre"), {"addition-dominant"}),
        (("Fruit Beer", "blonde ale", "raspberries 9 kg/hl"), set()),
        (("Fruit Beer", "blonde ale", "raspberries 0.3 kg/hl"), {"addition-faint"}),
        (("Specialty Fruit Beer", "blonde ale", "raspberries"), {"style-routed-elsewhere", "declaration-missing"}),
        (("Specialty Fruit Beer", "blonde ale", "raspberries and honey"), set()),
        (("Fruit Beer", "blonde ale", "999999999 g/L"), set()),
    ],
)
def test_what_is_found(row: tuple[str, str, str], wanted: set[str]) -> None:
    assert found(*row) == wanted
