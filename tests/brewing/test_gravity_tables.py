"""Gravity against sugar tables, other published fits, and scipy's root finder (sources beside the rows)."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import approx_fprime, brentq

from entryprep.brewing.gravity import (
    SG_MAX,
    SG_MIN,
    plato_from_sg,
    plato_slope,
    sg_at_volume,
    sg_from_brix,
    sg_from_plato,
)
from entryprep.brewing.roots import root
from tests.vectors import case_id, vector_rows

TO_1_100 = [1 + i / 1000 for i in range(101)]


@pytest.mark.parametrize("row", vector_rows("gravity.yaml"), ids=lambda row: case_id(f"{row['sg']}: {row['source']}"))
def test_both_scales_against_the_tables(row: dict[str, Any]) -> None:
    sg, extract, tolerance = row["sg"], row["plato"], row["tolerance"]
    assert plato_from_sg(sg) == pytest.approx(extract, abs=tolerance)
    # a point of gravity is a quarter of a °P
    assert sg_from_plato(extract) == pytest.approx(sg, abs=tolerance / 230)
    assert sg_from_brix(extract) == pytest.approx(sg, abs=tolerance / 230)


@pytest.mark.parametrize("row", vector_rows("gravity.yaml", "weights"), ids=lambda row: case_id(f"{row['brix']} °Bx"))
def test_the_weights_of_a_gallon(row: dict[str, Any]) -> None:
    water = 8.322  # lb, the row of 0 °Bx
    assert sg_from_brix(row["brix"]) == pytest.approx(row["pounds"] / water, abs=0.00012)
    assert sg_from_plato(row["brix"]) == pytest.approx(row["pounds"] / water, abs=0.00012)


def test_the_published_anchor_to_its_fourth_decimal() -> None:
    # Wikipedia, "Brix": S 1.040 = 9.99325 °Bx = 9.99359 °P, the tables' own values; the fits stand 0.0002 beside them
    assert sg_from_brix(9.99325) == pytest.approx(1.040, abs=0.0002 / 240)
    assert plato_from_sg(1.040) == pytest.approx(9.99359, abs=0.0001)


def test_the_end_of_the_brix_fit() -> None:
    # Wikipedia, "Brix": the NBS cubic is valid to S 1.17874, which is 40 °Bx
    assert sg_from_brix(40.0) == pytest.approx(1.17874, abs=0.00001)


def lincoln(sg: float) -> float:
    """°Plato by Lincoln's quadratic, as printed in Wikipedia, "Brix"."""
    return (463 - 205 * sg) * (sg - 1)


def brix(sg: float) -> float:
    """°Brix by the cubic fitted to the NBS table, as printed in Wikipedia, "Brix"."""
    return 182.46007 * sg**3 - 775.68212 * sg**2 + 1262.7794 * sg - 669.56218


@pytest.mark.parametrize("other", [lincoln, brix])
def test_other_published_fits_agree_to_1_100(other: Callable[[float], float]) -> None:
    for sg in TO_1_100:
        assert plato_from_sg(sg) == pytest.approx(other(sg), abs=0.02), sg


def test_the_one_constant_form_stays_near() -> None:
    # J. Buhl, OSF preprint 9wfym (2023), quoted in Wikipedia, "Brix": P = 260.4 - 260.4/S, mean error below 0.02 °P;
    # the range of that mean is not told: it holds to 20 °P
    to_20 = [sg for sg in TO_1_100 if sg <= 1.083]
    errors = [abs(plato_from_sg(sg) - (260.4 - 260.4 / sg)) for sg in to_20]
    assert sum(errors) / len(errors) < 0.02


def test_the_inverse_against_a_published_cubic() -> None:
    # A. J. deLange, Home Brew Digest 3723, quoted at homebrewtalk 50004; good to 28 °P
    for tenth in range(281):
        p = tenth / 10
        published = 1.0000131 + 0.00386777 * p + 1.27447e-5 * p * p + 6.34964e-8 * p**3
        assert sg_from_plato(p) == pytest.approx(published, abs=0.0001)


def test_neither_misprint_is_ours() -> None:
    # one page prints 1114.14 for 1111.14 and 135.977 for 135.997: 3 °P too much, and 0.02 too little, of the anchor
    assert plato_from_sg(1.040) == pytest.approx(9.99359, abs=0.001)
    assert abs((plato_from_sg(1.040) + 3 * 1.040) - 9.99359) > 3
    assert abs((plato_from_sg(1.040) - 0.02 * 1.040**3) - 9.99359) > 0.02


def test_water_has_no_extract() -> None:
    # the fits give -0.003 °P and -0.005 °Bx for water; both are taken off
    assert plato_from_sg(1.0) == pytest.approx(0.0, abs=1e-6)
    assert sg_from_brix(0.0) == pytest.approx(1.0, abs=1e-8)


def test_the_inverse_is_scipys_root() -> None:
    low, high = plato_from_sg(SG_MIN), plato_from_sg(SG_MAX)
    for step in range(201):
        extract = low + (high - low) * step / 200
        root_ = brentq(lambda sg, at=extract: plato_from_sg(sg) - at, SG_MIN, SG_MAX, xtol=1e-14)
        assert sg_from_plato(extract) == pytest.approx(root_, abs=1e-11)


@given(st.floats(3, 40))
def test_the_brix_inverse_is_the_published_cubic(extract: float) -> None:
    assert brix(sg_from_brix(extract)) == pytest.approx(extract, abs=1e-9)


@pytest.mark.parametrize("sg", [0.985, 0.995, 1.005, 1.02, 1.05, 1.1, 1.19])
def test_the_slope_is_scipys_derivative(sg: float) -> None:
    (numeric,) = approx_fprime([sg], lambda x: plato_from_sg(float(x[0])), 1e-7)
    assert plato_slope(sg) == pytest.approx(numeric, rel=1e-5)


def test_boil_off_worked_example() -> None:
    # wildabouthops.nz: 7.5 gal of 1.036 boiled to 5.5 gal are 49.1 points
    assert (sg_at_volume(1.036, 7.5, 5.5) - 1) * 1000 == pytest.approx(49.1, abs=0.05)
    assert (sg_at_volume(1.0491, 5.5, 7.5) - 1) * 1000 == pytest.approx(36, abs=0.05)
    assert sg_at_volume(1.036, 0.75, 0.55) == pytest.approx(sg_at_volume(1.036, 7.5, 5.5))  # as much for a glass of it


def test_newton_gives_no_answer_rather_than_a_step_on_the_way() -> None:
    with pytest.raises(ArithmeticError, match="no root"):
        root(lambda x: x * x + 1, lambda x: 2 * x + 0.3, 0.7, -5, 5)
    assert root(lambda x: x * x - 2, lambda x: 2 * x, 1.0, 0.5, 2) == pytest.approx(math.sqrt(2))


@pytest.mark.parametrize(
    "call",
    [
        lambda: plato_from_sg(0.97),
        lambda: plato_slope(1.21),
        lambda: sg_from_plato(-6),
        lambda: sg_from_plato(44),
        lambda: sg_from_plato(math.nan),
        lambda: sg_from_brix(41),
        lambda: sg_from_brix(-6),
    ],
)
def test_out_of_range_is_refused(call: Callable[[], float]) -> None:
    with pytest.raises(ValueError, match="outside"):
        call()
