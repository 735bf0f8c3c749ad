"""Original and final gravity from a refractometer.

A refractometer reads sugar; wort holds more than sugar, so its °Brix are divided by a wort correction factor (1.04 is
usual; Terrill, homebrewtalk 238624). Alcohol bends light too, so the final gravity needs both readings. S. Terrill
fitted two forms to the same beers ("Refractometer FG Results", seanterrill.com, 7 April 2011): a cubic, good to about
0.002 between 61 % apparent attenuation and dry, and a straight one. Both are fits to beers of usual strength: above
1.080, and where two thirds of the reading are left, the cubic runs away (26 °Brix and then 11.1 give 1.004 where the
straight form gives 1.016; 35 and 35 give 2.25). There the straight form is taken, led over to the original gravity
where nothing has fermented yet, and the error grows by what the forms differ.
"""

from __future__ import annotations

import math

from entryprep.brewing.gravity import SG_MAX, SG_MIN, sg_from_plato

WORT_FACTOR = 1.04
HOLDS_TO_P, ENDS_AT_P = 19.3, 22.0  # °P before fermentation between which the cubic gives way: from 1.080
HOLDS_TO_SHARE, ENDS_AT_SHARE = 0.65, 0.75  # of the first reading that is left, likewise
AGREED = 0.002  # by which the forms differ where both hold
BRIX_PER_KELVIN = 0.08  # that a sample warmer than 20 °C reads low without correction (ICUMSA's table, from memory)
ATC_C = (10.0, 30.0)  # between which instruments that correct themselves do, common practice


def og_from_brix(brix: float, wort_factor: float = WORT_FACTOR) -> float:
    """Original gravity of unfermented wort that reads ``brix`` °Brix.

    Valid for 0 to 35 °Brix and factors of 0.95 to 1.10; raises ValueError outside.
    """
    return sg_from_plato(_extract(brix, wort_factor))


def fg_from_brix(before: float, now: float, wort_factor: float = WORT_FACTOR) -> float:
    """Final gravity of a beer that read ``before`` °Brix as wort and reads ``now`` °Brix.

    By Terrill's cubic to 19.3 °P before and two thirds left, by his straight form from 22 °P and three quarters. Raises
    ValueError outside 0 to 35 °Brix, for a factor outside 0.95 to 1.10, if the reading rose, or where no beer has the
    gravity that follows (0.980 to 1.200).
    """
    if now > before:
        raise ValueError(f"{now:g} °Brix now is above {before:.4g} °Brix before fermentation")
    i, f = _extract(before, wort_factor), _extract(now, wort_factor)
    left = f / i if i > 0 else 1.0
    cubic = _falling(i, HOLDS_TO_P, ENDS_AT_P) * _falling(left, HOLDS_TO_SHARE, ENDS_AT_SHARE)
    fg = cubic * _cubic(i, f) + (1 - cubic) * _straight(i, f)
    unfermented = 1 - _falling(left, ENDS_AT_SHARE, 1.0)
    fg += unfermented * (sg_from_plato(i) - fg)
    if not SG_MIN <= fg <= SG_MAX:
        raise ValueError(f"no beer goes from {before:.4g} to {now:g} °Brix: a final gravity of {fg:.3f}")
    return fg


def fg_error_from_brix(before: float, now: float, usual: float, wort_factor: float = WORT_FACTOR) -> float:
    """Standard uncertainty of :func:`fg_from_brix`: the ``usual`` one, and what the forms differ beyond 0.002.

    At most 0.05. Raises ValueError for readings outside 0 to 35 °Brix or a factor outside 0.95 to 1.10.
    """
    i, f = _extract(before, wort_factor), _extract(now, wort_factor)
    return min(0.05, math.hypot(usual, max(0.0, abs(_cubic(i, f) - _straight(i, f)) - AGREED)))


def beyond_domain(before: float, now: float, wort_factor: float = WORT_FACTOR) -> bool:
    """Whether readings lie where the published forms part: above 1.080, or with more than 0.65 of the reading left."""
    i, f = _extract(before, wort_factor), _extract(now, wort_factor)
    return sg_from_plato(i) > 1.080 or f > HOLDS_TO_SHARE * i


def _cubic(i: float, f: float) -> float:
    rest = 0.00027581 * i * i - 0.0012717 * f * f - 0.0000072800 * i**3 + 0.000063293 * f**3
    return 1.0 - 0.0044993 * i + 0.011774 * f + rest


def _straight(i: float, f: float) -> float:
    return 1.0 - 0.00085683 * i + 0.0034941 * f


def _falling(value: float, low: float, high: float) -> float:
    """1 to ``low``, 0 from ``high``, straight between them."""
    return min(1.0, max(0.0, (high - value) / (high - low)))


def _extract(brix: float, wort_factor: float) -> float:
    if not 0 <= brix <= 35:
        raise ValueError(f"{brix} °Brix is outside 0 to 35")
    if not 0.95 <= wort_factor <= 1.10:
        raise ValueError(f"a wort correction factor of {wort_factor} is outside 0.95 to 1.10")
    return brix / wort_factor
