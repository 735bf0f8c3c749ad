"""Original and final gravity from a refractometer.

A refractometer reads sugar; wort holds more than sugar, so its °Brix are divided by a wort correction factor (1.04 is
usual; Terrill, homebrewtalk 238624). Alcohol bends light too, so the final gravity needs both readings: S. Terrill's
cubic ("Refractometer FG Results", seanterrill.com, 7 April 2011), fitted to 12 beers and checked on 68 readings. It is
good to about 0.002 between 61 % apparent attenuation and dry; the older equation it replaces read 0.005 low on average.
"""

from __future__ import annotations

from entryprep.brewing.gravity import SG_MAX, SG_MIN, sg_from_plato

WORT_FACTOR = 1.04


def og_from_brix(brix: float, wort_factor: float = WORT_FACTOR) -> float:
    """Original gravity of unfermented wort that reads ``brix`` °Brix.

    Valid for 0 to 35 °Brix and factors of 0.95 to 1.10; raises ValueError outside.
    """
    return sg_from_plato(_extract(brix, wort_factor))


def fg_from_brix(before: float, now: float, wort_factor: float = WORT_FACTOR) -> float:
    """Final gravity of a beer that read ``before`` °Brix as wort and reads ``now`` °Brix, by Terrill's cubic.

    Raises ValueError outside 0 to 35 °Brix, for a factor outside 0.95 to 1.10, if the reading rose, or where the cubic
    gives no gravity of 0.980 to 1.200.
    """
    if now > before:
        raise ValueError(f"{now:g} °Brix now is above {before:.4g} °Brix before fermentation")
    i, f = _extract(before, wort_factor), _extract(now, wort_factor)
    fg = (
        1.0
        - 0.0044993 * i
        + 0.011774 * f
        + 0.00027581 * i * i
        - 0.0012717 * f * f
        - 0.0000072800 * i**3
        + 0.000063293 * f**3
    )
    if not SG_MIN <= fg <= SG_MAX:
        raise ValueError(f"no beer goes from {before:.4g} to {now:g} °Brix: a final gravity of {fg:.3f}")
    return fg


def _extract(brix: float, wort_factor: float) -> float:
    if not 0 <= brix <= 35:
        raise ValueError(f"{brix} °Brix is outside 0 to 35")
    if not 0.95 <= wort_factor <= 1.10:
        raise ValueError(f"a wort correction factor of {wort_factor} is outside 0.95 to 1.10")
    return brix / wort_factor
