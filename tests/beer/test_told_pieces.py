"""A dose belongs to the thing it is told of (how sheets are written: common practice)."""

from __future__ import annotations

import pytest

from entryprep.beer.told import additions_told, amount_told, grams_per_litre, pieces


@pytest.mark.parametrize(
    ("text", "doses"),
    [
        ("plums 150 g/L and cinnamon", [150.0, None]),
        ("150 g/L plums und Zimt", [150.0, None]),
        ("plums 150 g/L with 0.4 g/l cinnamon & vanilla", [150.0, 0.4, None]),
        ("coriander 0,5 g/l, orange peel 70 g/hl", [0.5, 0.7]),
        ("saffron 20 mg a litre; honey", [0.02, None]),
        ("plums and cherries", [None]),
        ("nutmeg, 5 gal of beer", [None, None]),  # gallons, not "5 g a l"
        # avoirdupois pound and ounce, US gallon: NIST SP 811
        ("12 lb/gal apricots", [12 * 453.59237 / 3.785411784]),
        ("2 ounces of coriander per gallon", [2 * 28.349523125 / 3.785411784]),
        ("2 oz d'épices dans l'eau", [None]),  # French for "in the water", no litre
        ("2 ounces per gallon", [2 * 28.349523125 / 3.785411784]),
        ("8 pounds/5 gallons cherries", [8 * 453.59237 / 18.92705892]),
        ("3 kg of plums in 20 L", [150.0]),
        ("2 fl oz vanilla per gallon", [None]),  # a volume
        ("plums 3 kg in 0 L", [None]),
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


@pytest.mark.parametrize(
    ("piece", "grams", "number", "assumed"),
    [
        ("nutmeg 2 g/L", 2.0, None, False),
        ("nutmeg 40 g in 10 L", 4.0, None, False),
        ("1 oz nutmeg in 5 gal", 28.349523125 / 18.92705892, None, False),  # avoirdupois ounce, US gallon: NIST SP 811
        ("40 g nutmeg", 2.0, None, True),
        ("12 nutmegs in 10 l", None, 1.2, False),
        ("6 tonka beans", None, 0.3, True),
        ("14 days on oak", None, None, True),
        ("nutmeg in 0 l", None, None, False),
        ("nutmeg", None, None, True),
    ],
)
def test_an_amount_is_read_for_cautions(piece: str, grams: float | None, number: float | None, assumed: bool) -> None:
    told = amount_told(piece)
    assert [told.grams, told.number] == [pytest.approx(grams), pytest.approx(number)]
    assert bool(told.assumed) == (assumed and (grams or number) is not None)
