"""Specific gravity and extract.

°Plato is the ASBC fit P = 135.997 S³ − 630.272 S² + 1111.14 S − 616.868, °Brix the fit to the NBS table
Bx = 182.46007 S³ − 775.68212 S² + 1262.7794 S − 669.56218 (S specific gravity 20/20 °C; both as printed in Wikipedia,
"Brix"). One page in circulation misprints two coefficients of the first (1114.14, 135.977); tests hold both to
published tables. The two scales mean the same, mass per cent of extract: the fits stay within 0.006 of each other to
1.100 and part by 0.1 at 1.178, where the second follows its table (0.0009 °Bx RMS to 40 °Bx).
"""

from __future__ import annotations

from entryprep.brewing.roots import root

SG_MIN = 0.980
SG_MAX = 1.200
_FADE = 0.010

# a, b, c, d of a S³ + b S² + c S + d, and what the fit lacks of 0 for water
_Fit = tuple[float, float, float, float, float]
_PLATO: _Fit = (135.997, -630.272, 1111.14, -616.868, 0.003)
_BRIX: _Fit = (182.46007, -775.68212, 1262.7794, -669.56218, 0.00483)


def plato_from_sg(sg: float) -> float:
    """Extract in °Plato (mass %) of a specific gravity 20/20 °C.

    Valid for 0.980 to 1.200; within 0.02 °P of the tables up to 1.100. The fit gives
    −0.003 °P for water; that offset is faded out between 0.990 and 1.010, so that water is 0 and the curve
    stays smooth enough to invert. Below 1.000 the value is negative (alcohol), as apparent extract is.
    Raises ValueError outside the range. Source: ASBC cubic (see the module).
    """
    if not SG_MIN <= sg <= SG_MAX:
        raise ValueError(f"specific gravity {sg} is outside {SG_MIN} to {SG_MAX}")
    return _extract(sg, _PLATO)


def plato_slope(sg: float) -> float:
    """∂P/∂S of :func:`plato_from_sg`, °P per unit of specific gravity: about 259 for water, 230 at 1.080.

    Valid for 0.980 to 1.200; raises ValueError outside. Source: the derivative of the ASBC cubic.
    """
    if not SG_MIN <= sg <= SG_MAX:
        raise ValueError(f"specific gravity {sg} is outside {SG_MIN} to {SG_MAX}")
    return _slope(sg, _PLATO)


def sg_from_plato(plato: float) -> float:
    """Specific gravity 20/20 °C of an extract in °Plato, the inverse of :func:`plato_from_sg` by Newton's method.

    Valid for −5.26 to 43.91 °P, all that :func:`plato_from_sg` reaches. Raises ValueError outside. Accurate to 1e-12 of
    the forward polynomial.
    """
    if not PLATO_MIN <= plato <= PLATO_MAX:
        raise ValueError(f"{plato} °P is outside {PLATO_MIN:.2f} to {PLATO_MAX:.2f} °P")
    return _inverse(plato, _PLATO)


def sg_from_brix(brix: float) -> float:
    """Specific gravity 20/20 °C of °Brix (sugar, mass %), of wort or juice before fermentation, by Newton's method.

    The inverse of the cubic fitted to the NBS table (see the module), good to 40 °Bx at 1.17874; the fit's −0.005 °Bx
    for water is faded out as in :func:`plato_from_sg`.

    What a refractometer shows for wort is a little more than °Brix of extract: see
    :func:`entryprep.brewing.refractometer.og_from_brix`. Valid for −5 to 40; raises ValueError outside.
    """
    if not -5.0 <= brix <= 40.0:
        raise ValueError(f"{brix} °Brix is outside −5 to 40")
    return _inverse(brix, _BRIX)


def _extract(sg: float, fit: _Fit) -> float:
    a, b, c, d, offset = fit
    return ((a * sg + b) * sg + c) * sg + d + offset * max(0.0, 1.0 - abs(sg - 1.0) / _FADE)


def _slope(sg: float, fit: _Fit) -> float:
    a, b, c, _, offset = fit
    away = sg - 1.0
    fading = offset / _FADE if 0 < abs(away) < _FADE else 0.0
    return (3 * a * sg + 2 * b) * sg + c + (fading if away < 0 else -fading)


def _inverse(extract: float, fit: _Fit) -> float:
    # the start is the rational form of the textbooks, S = 1 + P/(258.6 − 227.1 P/258.2), from memory: good to 0.0005
    start = 1 + extract / (258.6 - extract / 258.2 * 227.1)
    return root(lambda sg: _extract(sg, fit) - extract, lambda sg: _slope(sg, fit), start, SG_MIN, SG_MAX)


PLATO_MIN, PLATO_MAX = plato_from_sg(SG_MIN), plato_from_sg(SG_MAX)


def sg_at_volume(sg: float, volume_l: float, new_l: float) -> float:
    """Gravity of ``volume_l`` litres of wort of ``sg`` boiled down or diluted to ``new_l`` litres.

    Points × volume is kept: common practice, good to 0.0003. Raises ValueError unless both volumes are above 0 and both
    gravities from 0.980 to 1.200.
    """
    if not (volume_l > 0 and new_l > 0):
        raise ValueError(f"{volume_l} L cannot become {new_l} L: both are needed above 0")
    new = 1 + (sg - 1) * (volume_l / new_l)
    for one in (sg, new):
        if not SG_MIN <= one <= SG_MAX:
            raise ValueError(f"specific gravity {one} is outside {SG_MIN} to {SG_MAX}")
    return new
