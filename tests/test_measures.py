"""Quantities in words. Factors: NIST Special Publication 811 (2008), appendix B.8."""

from __future__ import annotations

import pytest

from entryprep import measures
from entryprep.measures import in_units, speaking
from entryprep.quantities import QuantityError


def test_in_units_of_the_us() -> None:
    """The figures put in are B.8's lb, oz, US gal, US fl oz, psi and in, to seven digits."""
    with speaking("us"):
        assert measures.large_mass(0.4535924 * 12.25) == "12.25 lb"
        assert measures.small_mass(28.34952 * 1.5) == "1.5 oz"
        assert measures.exact_mass(28.34952 * 1.5) == "1.500 oz"
        assert measures.stated_mass(0.4535924 * 2.5) == "2.5 lb"
        assert measures.both_masses(0.4535924 * 40) == "40 lb"
        assert measures.beer_volume(3.785412 * 5) == "5 gal"
        assert measures.rough_volume(3.785412 * 5) == "5.00 gal"
        assert measures.bottle_volume(29.57353 * 12) == "12.0 fl oz"
        assert measures.per_volume(28.34952 / 3.785412) == ("1.00 oz", "gallon")
        value, unit = measures.per_beer(28.34952 / 3.785412, "g/L")
        assert (round(value, 6), unit) == (1.0, "oz/gal")
        assert measures.per_beer(4.0, "% ABV") == (4.0, "% ABV")
        assert measures.density_words(0.4535924 / 3.785412 * 8) == "8 lb per gallon"
        assert measures.pressure(6.894757 * 30) == "30"
        assert measures.length(25.4 * 2.5) == "2.5 in"
        assert [measures.degrees(c) for c in (-40, 0, 100)] == ["-40 °F", "32 °F", "212 °F"]
        assert measures.degrees(19.5, exact=True) == "67.1 °F"
        assert measures.degrees_between(4, 10) == "39-50 °F"
        assert measures.degrees_apart(5, 10) == "9 to 18 °F"
    assert measures.large_mass(1.5) == "1.50 kg", "outside it the run speaks metric again"


def test_in_metric_units() -> None:
    assert (measures.large_mass(1.5), measures.small_mass(9.96), measures.small_mass(12.4)) == (
        "1.50 kg",
        "10.0 g",
        "12 g",
    )
    assert (measures.beer_volume(19), measures.bottle_volume(355), measures.pressure(250)) == ("19 L", "355 ml", "2.5")
    assert (measures.degrees_between(4, 10), measures.degrees_apart(1, 2)) == ("4-10 °C", "1 to 2 °C")
    assert measures.both_masses(0.4535924 * 40) == "18.1 kg / 40 lb"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a van reaches 40 °C and more", "a van reaches 104 °F and more"),
        ("freezes near -2 to -3 °C and bursts", "freezes near 28 to 27 °F and bursts"),
        ("mash 1 to 2 °C warmer or shorter", "mash 1.8 to 3.6 °F warmer or shorter"),
        ("5 cm (2 in) of cushioning", "2 in of cushioning"),
        ("200 US gal (757 L) a year", "200 US gal a year"),
        ("12 oz / 355 ml longneck", "12 oz longneck"),
        ("330 ml heavy Belgian bottle", "11.2 fl oz heavy Belgian bottle"),
        ("beyond 3 g in a litre is much", "beyond 0.4 oz in a gallon is much"),
        ("a person of 70 kg", "a person of 154 lb"),
        ("0.1 mg/kg in the EU", "0.1 mg/kg in the EU"),
        ("read at {temperature}, {dose}", "read at {temperature}, {dose}"),
        ("1.008 to 1.010 and below 77 °C", "1.008 to 1.010 and below 171 °F"),
        ("fermentation, 3.2 of table sugar", "fermentation, 3.2 of table sugar"),
        ("a small beer of 250 ml", "a small beer of 8.5 fl oz"),
    ],
)
def test_our_own_words_are_reworded(text: str, said: str) -> None:
    assert in_units(text) == text
    with speaking("us"):
        assert in_units(text) == said


def test_refusals_in_words_of_the_us() -> None:
    """A lower limit below 0 keeps its sign; what a reader said stays as it was said."""
    with speaking("us"):
        assert measures.refusal(ValueError("70 °C is outside −5 to 60 °C")) == "158 °F is outside 23 to 140 °F"
        assert measures.refusal(ValueError("−40 °C")) == "-40 °F"
        dense = measures.refusal(ValueError("0.5 kg of extract per litre is outside 0 to 0.45 kg per litre"))
        assert dense == "4.2 lb of extract per gallon is outside 0 to 3.8 lb per gallon"
        assert measures.refusal(QuantityError("70 °C is not what was asked")) == "70 °C is not what was asked"
    assert measures.refusal(ValueError("70 °C is outside −5 to 60 °C")) == "70 °C is outside −5 to 60 °C"
