"""How far inside a range an uncertain number sits, in closed form."""

from __future__ import annotations

import math

_ROOT_2 = math.sqrt(2.0)
_ROOT_2PI = math.sqrt(2.0 * math.pi)


def normal_cdf(z: float) -> float:
    """Φ(z), the standard normal distribution function."""
    return 0.5 * math.erfc(-z / _ROOT_2)


def chance_inside(value: float, error: float, low: float, high: float) -> float:
    """Chance that the true value lies in [low, high], for a normal error of standard deviation ``error``.

    ``error`` 0 gives 0 or 1. Raises ValueError if ``error`` is negative or ``low`` above ``high``.
    """
    if error < 0 or low > high:
        raise ValueError("an error from 0 and low ≤ high are needed")
    if error == 0:
        return 1.0 if low <= value <= high else 0.0
    return max(0.0, normal_cdf((high - value) / error) - normal_cdf((low - value) / error))


def _mean_excess(value: float, error: float, edge: float) -> float:
    """E max(X − edge, 0) for X normal about ``value``: u φ(z) + (x − edge) Φ(z), z = (x − edge)/u."""
    if error == 0:
        return max(value - edge, 0.0)
    z = (value - edge) / error
    return error * math.exp(-0.5 * z * z) / _ROOT_2PI + (value - edge) * normal_cdf(z)


def expected_membership(value: float, error: float, low: float, high: float, slack: float) -> float:
    """Expected membership of an uncertain value in a range with soft edges, 0 to 1.

    Membership is 1 inside [low, high] and falls in a straight line to 0 over ``slack`` on either side; its mean
    under a normal error of standard deviation ``error`` is a sum of four terms E max(X − edge, 0). All in
    the vital's own unit. Raises ValueError unless error ≥ 0, low ≤ high and slack > 0.
    """
    if error < 0 or low > high or slack <= 0:
        raise ValueError("an error from 0, low ≤ high and a slack above 0 are needed")
    rise = _mean_excess(value, error, low - slack) - _mean_excess(value, error, low)
    fall = _mean_excess(value, error, high) - _mean_excess(value, error, high + slack)
    return min(1.0, max(0.0, (rise - fall) / slack))
