"""Hydrometer readings away from the calibration temperature.

The true gravity is the reading times r(sample)/r(calibration), r(F) = 1.00130346 − 0.000134722124 F +
0.00000204052596 F² − 0.00000000232820948 F³ with F in °F (homebrew.stackexchange 4137; attributed to M. Hall, 1995).
Within half a point (0.0005) of the published correction tables from 10 to 40 °C.
"""

from __future__ import annotations

CALIBRATION_C = 20.0
LOWEST_C, HIGHEST_C = 0.0, 70.0


def temperature_ratio(celsius: float) -> float:
    """r at a temperature, 0 to 70 °C, the factor of the formula above: about 1 at 15 °C, rising as it gets warmer.

    Raises ValueError outside.
    """
    if not LOWEST_C <= celsius <= HIGHEST_C:
        raise ValueError(f"{celsius} °C is outside {LOWEST_C:g} to {HIGHEST_C:g} °C")
    f = 1.8 * celsius + 32
    return 1.00130346 - 0.000134722124 * f + 0.00000204052596 * f * f - 0.00000000232820948 * f * f * f


def corrected_sg(reading: float, sample_c: float, calibration_c: float = CALIBRATION_C) -> float:
    """Specific gravity of a sample read at ``sample_c`` with a hydrometer made for ``calibration_c``, both °C.

    Warm wort reads too low, so its correction is added; cold wort reads too high and it is subtracted. Valid from
    0 to 70 °C, trustworthy to about 50. Raises ValueError outside, or for a reading outside 0.97 to 1.20.
    """
    if not 0.97 <= reading <= 1.20:
        raise ValueError(f"a hydrometer reading of {reading} is outside 0.97 to 1.20")
    return reading * temperature_ratio(sample_c) / temperature_ratio(calibration_c)
