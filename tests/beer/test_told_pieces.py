"""A dose belongs to the thing it is told of (how sheets are written: common practice)."""

from __future__ import annotations

import pytest

from entryprep.beer.told import additions_told, grams_per_litre, pieces


@pytest.mark.parametrize(
    ("text", "doses"),
    [
        ("plums 150 g/L and cinnamon", [150.0, None]),
        ("150 g/L plums und Zimt", [150.0, None]),
        ("plums 150 g/L with 0.4 g/l cinnamon & vanilla", [150.0, 0.4, None]),
        ("coriander 0,5 g/l, orange peel 70 g/hl", [0.5, 0.7]),
        ("saffron 20 mg a litre; honey", [0.02, None]),
        ("plums and cherries", [None]),
    ],
)
def test_a_dose_is_told_of_one_thing(text: str, doses: list[float | None]) -> None:
    assert [grams_per_litre(piece) for piece in pieces(text)] == pytest.approx(doses)


def test_a_spice_beside_fruit_has_not_the_dose_of_the_fruit() -> None:
    plums, cinnamon = additions_told("plums 150 g/L and cinnamon")
    assert (plums.what, plums.kind) == ("plums", "fruit")
    assert plums.mass == pytest.approx(0.15)
    assert (cinnamon.what, cinnamon.kind) == ("cinnamon", "spice")
    assert cinnamon.mass is None
