"""Specific gravity and extract.

The polynomial is the ASBC fit P = 135.997 S³ − 630.272 S² + 1111.14 S − 616.868 (S specific gravity
20/20 °C, P °Plato), as printed in Wikipedia, "Brix". One page in circulation misprints two of its
coefficients (1114.14, 135.977); a test holds ours to published anchor points.
"""

from __future__ import annotations

SG_MIN = 0.980
SG_MAX = 1.200
_BISECTIONS = 60
_WATER_OFFSET = 0.003


def plato_from_sg(sg: float) -> float:
    """Extract in °Plato (mass %) of a specific gravity 20/20 °C.

    Valid for 0.980 to 1.200; within 0.02 °P of the tables up to 1.100. The fit gives
    −0.003 °P for water; that offset is faded out between 0.990 and 1.010, so that water is 0 and the curve
    stays smooth enough to invert. Below 1.000 the value is negative (alcohol), as apparent extract is.
    Raises ValueError outside the range. Source: ASBC cubic (see the module).
    """
    if not SG_MIN <= sg <= SG_MAX:
        raise ValueError(f"specific gravity {sg} is outside {SG_MIN} to {SG_MAX}")
    plato = ((135.997 * sg - 630.272) * sg + 1111.14) * sg - 616.868
    return plato + _WATER_OFFSET * max(0.0, 1.0 - abs(sg - 1.0) / 0.010)


def sg_from_plato(plato: float) -> float:
    """Specific gravity 20/20 °C of an extract in °Plato, the inverse of :func:`plato_from_sg` by bisection.

    Valid for −5 to 40 °P. Raises ValueError outside. Accurate to 1e-9 of the forward polynomial.
    """
    if not -5.0 <= plato <= 40.0:
        raise ValueError(f"{plato} °P is outside −5 to 40 °P")
    low, high = SG_MIN, SG_MAX
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if plato_from_sg(middle) < plato:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def sg_from_brix(brix: float) -> float:
    """Specific gravity of °Brix read on unfermented wort or juice, taken as °Plato: to 20 they differ by
    less than 0.01.

    Source: the published anchor S 1.040 = 9.99325 °Bx = 9.99359 °P (Wikipedia, "Brix").
    Raises ValueError outside −5 to 40.
    """
    return sg_from_plato(brix)
