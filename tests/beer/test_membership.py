"""Expected membership against numerical integration (scipy), chances against statistics.NormalDist."""

from __future__ import annotations

from itertools import pairwise
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from entryprep.beer.membership import chance_inside, expected_membership


def membership(x: float, low: float, high: float, slack: float) -> float:
    """The trapezoid itself, written apart from the package."""
    outside = max(low - x, x - high, 0.0)
    return max(0.0, 1.0 - outside / slack)


@settings(max_examples=60, deadline=None)
@given(st.floats(-3, 5), st.floats(0.05, 2), st.floats(0.1, 2), st.floats(0.1, 2))
def test_closed_form_against_integration(value: float, error: float, width: float, slack: float) -> None:
    normal = NormalDist(value, error)
    edges = [-slack, 0.0, width, width + slack]
    total = sum(
        quad(lambda x: membership(x, 0.0, width, slack) * normal.pdf(x), a, b, epsabs=1e-11)[0]
        for a, b in pairwise(edges)
    )
    assert expected_membership(value, error, 0.0, width, slack) == pytest.approx(total, abs=1e-8)


@given(st.floats(-10, 10), st.floats(0.01, 5), st.floats(0, 5))
def test_chance_against_the_standard_library(value: float, error: float, width: float) -> None:
    normal = NormalDist(value, error)
    expected = normal.cdf(width) - normal.cdf(0.0)
    assert chance_inside(value, error, 0.0, width) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "expected"), [(0.0, 1.0), (1.0, 1.0), (0.5, 1.0), (1.25, 0.5), (-0.25, 0.5), (1.5, 0.0), (9.0, 0.0)]
)
def test_without_error_it_is_the_trapezoid(value: float, expected: float) -> None:
    assert expected_membership(value, 0.0, 0.0, 1.0, 0.5) == expected


@pytest.mark.parametrize(("error", "low", "high", "slack"), [(-1, 0, 1, 1), (1, 1, 0, 1), (1, 0, 1, 0)])
def test_nonsense_is_refused(error: float, low: float, high: float, slack: float) -> None:
    with pytest.raises(ValueError, match="needed"):
        expected_membership(0.5, error, low, high, slack)
    if slack:
        with pytest.raises(ValueError, match="needed"):
            chance_inside(0.5, error, low, high)
