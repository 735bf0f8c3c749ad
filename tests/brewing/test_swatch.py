"""The swatch against an independent integration by the package colour-science, and what holds for any beer."""

from __future__ import annotations

import math
import warnings

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.brewing.swatch import _CIE, beer_rgb, transmission


@pytest.fixture(autouse=True)
def _anew() -> None:
    beer_rgb.cache_clear()  # each test has its colours worked out anew


def by_colour_science(srm: float, path_cm: float) -> list[int]:
    """CIE 1931 2° and D65 at 1 nm, and sRGB, all from colour-science's own tables and functions."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it speaks of plotting libraries that are not here
        import colour

        light = colour.SpectralDistribution({nm: transmission(srm, nm, path_cm) for nm in range(380, 781)})
        observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
        xyz = colour.sd_to_XYZ(light, observer, colour.SDS_ILLUMINANTS["D65"], method="Integration") / 100
        return [round(255 * min(max(float(v), 0.0), 1.0)) for v in colour.XYZ_to_sRGB(xyz)]


@pytest.mark.parametrize("srm", [0, 1, 2, 4, 6, 10, 14, 20, 30, 40])
@pytest.mark.parametrize("path_cm", [1.0, 5.0])
def test_swatch_against_another_integration(srm: float, path_cm: float) -> None:
    for ours, theirs in zip(beer_rgb(srm, path_cm), by_colour_science(srm, path_cm), strict=True):
        assert abs(ours - theirs) <= 5


def test_observer_and_daylight_are_those_of_the_standards() -> None:
    # ISO/CIE 11664-1 and 11664-2, as colour-science has them
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
        daylight = colour.SDS_ILLUMINANTS["D65"]
        assert [row[0] for row in _CIE] == list(range(380, 740, 10))
        for nanometres, *sees, power in _CIE:
            assert sees == pytest.approx([float(v) for v in observer[nanometres]], abs=1e-6)
            assert power == pytest.approx(float(daylight[nanometres]), abs=1e-6)


def test_the_spectrum_is_anchored_where_colour_is_measured() -> None:
    # ASBC: SRM = 12.7 · A430 in a 1 cm cell; a hundredth of the light at 430 nm is A = 2, SRM 25.4
    assert transmission(25.4, 430, 1.0) == pytest.approx(0.01)
    assert transmission(12.7, 430, 1.0) == pytest.approx(0.1)


@pytest.mark.parametrize("nm", [380, 400, 430, 470, 530, 600, 700, 780])
def test_the_spectrum_as_printed(nm: float) -> None:
    # A. J. deLange's average, as quoted in Wikipedia, "Standard Reference Method"
    absorbed = 0.02465 * math.e ** (-(nm - 430) / 17.591) + 0.97535 * math.e ** (-(nm - 430) / 82.122)
    assert -math.log10(transmission(12.7, nm, 1.0)) == pytest.approx(absorbed, rel=1e-9)


def test_water_is_white_and_much_beer_is_black() -> None:
    # by definition of sRGB (IEC 61966-2-1): D65 is 255, 255, 255; rows of matrix and spectrum leave a step or two
    assert all(253 <= channel <= 255 for channel in beer_rgb(0.0))
    assert beer_rgb(1000.0)[1:] == (0, 0)


@given(st.floats(0.5, 60), st.floats(0.5, 10))
def test_only_colour_times_path_counts(srm: float, path_cm: float) -> None:
    for ours, other in zip(beer_rgb(srm, path_cm), beer_rgb(srm * path_cm, 1.0), strict=True):
        assert abs(ours - other) <= 1  # one step of rounding


@given(st.floats(0, 60), st.floats(0.1, 20))
def test_darker_beer_looks_darker_and_redder_than_blue(srm: float, more: float) -> None:
    red, green, blue = beer_rgb(srm)
    assert red >= green >= blue
    assert all(a >= b for a, b in zip((red, green, blue), beer_rgb(srm + more), strict=True))


@pytest.mark.parametrize(
    ("srm", "nm", "cm"), [(math.inf, 500, 1), (5, 500, math.inf), (-1, 500, 1), (5, 500, -1), (5, 300, 1), (5, 900, 1)]
)
def test_outside_the_model_is_refused(srm: float, nm: float, cm: float) -> None:
    with pytest.raises(ValueError, match="outside the model"):
        transmission(srm, nm, cm)
