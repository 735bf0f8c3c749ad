"""How far off each vital of a prediction may be: what each input does to it by itself, worked out by hand."""

from __future__ import annotations

from dataclasses import fields
from typing import Literal

import pytest

from entryprep.brewing.extract import Fermentable, extract_per_litre
from entryprep.brewing.gravity import plato_from_sg
from entryprep.brewing.plan import Hops, Plan
from entryprep.brewing.prediction import Doubts, Estimate, predict

MALT = Fermentable(4.0, 0.8)  # 2.24 kg of extract at 70 %
STEEPED = Fermentable(0.5, 0.6, 20.0, "steeped")  # 0.15 kg
SUGAR = Fermentable(0.5, 1.0, use="dissolved", fermentable=1.0)
LACTOSE = Fermentable(0.2, 1.0, use="dissolved", fermentable=0.0)
EXTRACT = 2.24 + 0.15 + 0.5 + 0.2


def only(**sizes: float) -> Doubts:
    """No doubts but these."""
    return Doubts(**({field.name: 0.0 for field in fields(Doubts)} | sizes))


def hopped(hops: list[Hops], doubts: Doubts) -> Estimate:
    return predict(Plan([MALT], hops, 20.0, 0.75), doubts).vitals["ibu"]


@pytest.mark.parametrize(
    ("doubts", "share"),
    [
        (only(), 0.0),
        (only(efficiency=0.07), 0.1 * 2.24 / EXTRACT),  # 70 ± 7 %, a tenth of what was mashed
        (only(steeped=0.2), 0.2 * 0.15 / EXTRACT),
        (only(sugar_yield=0.1), 0.1 * 0.7 / EXTRACT),
        (only(malt_yield=0.1), 0.1 * (2.24**2 + 0.15**2) ** 0.5 / EXTRACT),  # each by itself
        (only(volume=0.1), 0.1),
        (only(attenuation=0.1, alpha=0.1, utilisation=0.2, stand=0.5, malt_colour=0.1, colour_model=0.2), 0.0),
        (only(efficiency=0.07, volume=0.1), ((0.1 * 2.24 / EXTRACT) ** 2 + 0.1**2) ** 0.5),  # in quadrature
    ],
)
def test_extract_is_off_by_what_each_input_has_of_it(doubts: Doubts, share: float) -> None:
    got = predict(Plan([MALT, STEEPED, SUGAR, LACTOSE], [], 20.0, 0.7, attenuation=0.75), doubts)
    og = got.vitals["og"]
    assert extract_per_litre(og.value) == pytest.approx(EXTRACT / 20)
    up, down = extract_per_litre(og.value + og.error), extract_per_litre(og.value - og.error)
    assert (up - down) / 2 / (EXTRACT / 20) == pytest.approx(share, rel=0.02)
    assert got.pitching_og == og


def test_a_sugar_that_ferments_by_half_is_off_as_any() -> None:
    half = Fermentable(2.0, 1.0, use="dissolved", fermentable=0.5)
    og = predict(Plan([half], [], 20.0), only(sugar_yield=0.1)).vitals["og"]
    assert extract_per_litre(og.value + og.error) == pytest.approx(1.1 * 0.1, rel=0.02)


def test_a_measured_gravity_does_not_move_with_the_volume() -> None:
    plan = Plan([MALT], [Hops(30, 6, "boil", 60)], 20.0)
    got = predict(plan, only(volume=0.1), known_og=1.050).vitals["ibu"]
    assert got.error / got.value == pytest.approx(0.1, rel=0.02)


def test_attenuation_moves_what_is_left() -> None:
    # AE = (1 - attenuation) OE by definition, so an attenuation off by 0.02 leaves AE off by 0.02 OE
    got = predict(Plan([MALT], [], 20.0, 0.7, attenuation=0.75), only(attenuation=0.02)).vitals
    og, fg = got["og"], got["fg"]
    oe, off = plato_from_sg(og.value), plato_from_sg(fg.value + fg.error) - plato_from_sg(fg.value)
    assert plato_from_sg(fg.value) == pytest.approx(0.25 * oe, rel=0.005)
    assert off == pytest.approx(0.02 * oe, rel=0.02)
    assert og.error == 0
    assert got["abv"].error > 0
    # common practice: 131.25 % for each unit of gravity
    assert got["abv"].error == pytest.approx(131.25 * fg.error, rel=0.05)


def test_a_strong_kettle_is_less_bitter_and_its_error_counts() -> None:
    # Tinseth: 0.000125^(G - 1), so an error of gravity is ln(8000) = 8.987 times as much of bitterness
    got = predict(Plan([MALT], [Hops(30, 6, "boil", 60)], 20.0, 0.7), only(efficiency=0.07)).vitals
    assert got["ibu"].error / got["ibu"].value == pytest.approx(8.987 * got["og"].error, rel=0.01)


def test_a_larger_batch_thins_everything() -> None:
    malt = MALT._replace(lovibond=20.0)
    got = predict(Plan([malt], [Hops(30, 6, "boil", 60)], 20.0, 0.7), only(volume=0.1)).vitals
    # bitterness falls with volume, and rises as the kettle thins; colour falls by Morey's exponent
    thinner = 0.1 - 8.987 * got["og"].error
    assert got["ibu"].error / got["ibu"].value == pytest.approx(thinner, rel=0.05)
    assert got["srm"].error / got["srm"].value == pytest.approx(0.1 * 0.6859, rel=0.02)


def test_errors_of_hops_shrink_where_they_are_independent() -> None:
    # the alpha acid of each addition is off by itself: of four like ones the sum is off by half
    none, alpha = only(), only(alpha=0.1)
    uses: tuple[Literal["boil", "stand"], ...] = ("boil", "stand")
    for use in uses:
        one = hopped([Hops(40, 6, use, 30)], alpha)
        four = hopped([Hops(10, 6, use, 30)] * 4, alpha)
        assert one.error / one.value == pytest.approx(0.1)
        assert four.error / four.value == pytest.approx(0.05)
        assert hopped([Hops(40, 6, use, 30)], none).error == 0
    # half of the bitterness from a stand: its own doubt counts by half, as does alpha acid of both apart
    boil, stand = Hops(20, 6, "boil", 30), Hops(20, 6, "stand", 30, 100.0)
    got = hopped([boil, stand], only(stand=0.5))
    assert got.error / got.value == pytest.approx(0.25)
    got = hopped([boil, stand], alpha)
    assert got.error / got.value == pytest.approx(0.1 / 2**0.5)


@pytest.mark.parametrize(
    ("name", "vital", "share"),
    [
        # in proportion, so the relative error of the result is that of the input: by definition
        ("utilisation", "ibu", 1.0),
        ("colour_model", "srm", 1.0),
        # Morey's exponent, 0.6859: Brewing Techniques
        ("malt_colour", "srm", 0.6859),
    ],
)
def test_errors_in_proportion(name: str, vital: str, share: float) -> None:
    doubts = only(**{name: 0.1})
    malt = Fermentable(1.0, 0.8, 20.0)
    got = predict(Plan([malt], [Hops(30, 6, "boil", 60)], 20.0, 0.7, attenuation=0.75), doubts)
    assert got.vitals[vital].error / got.vitals[vital].value == pytest.approx(0.1 * share)
    assert all(estimate.error == 0 for other, estimate in got.vitals.items() if other != vital)
    if name == "malt_colour":  # two like malts, each off by itself
        two = predict(Plan([malt._replace(mass_kg=0.5)] * 2, [], 20.0, 0.7), doubts).vitals["srm"]
        assert two.error / two.value == pytest.approx(0.1 * share / 2**0.5)
