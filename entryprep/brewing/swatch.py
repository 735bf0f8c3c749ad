"""The colour of beer as a picture: its absorption spectrum, seen in daylight by the standard observer, in sRGB.

Transmission is A. J. deLange's average spectrum of beers, T(λ) = 10^(−SRM/12.7 · cm · [0.02465 e^(−(λ−430)/17.591) +
0.97535 e^(−(λ−430)/82.122)]) (chapter "Color" in Bamforth (ed.), Brewing Materials and Processes; quoted in Wikipedia,
"Standard Reference Method"). It was fitted to 99 beers, fruit beers among them, so it is a little redder than beer of
malt alone; no standard says how beer of a given SRM looks. An illustration, not a measurement.
"""

from __future__ import annotations

import math
from functools import cache

GLASS_CM = 5.0  # across a tasting glass: common practice

# wavelength nm; CIE 1931 2° colour-matching functions x, y, z; relative power of CIE standard illuminant D65
# (ISO/CIE 11664-1 and 11664-2, every 10 nm)
_CIE = (
    (380, 0.001368, 0.000039, 0.006450, 49.9755),
    (390, 0.004243, 0.000120, 0.020050, 54.6482),
    (400, 0.014310, 0.000396, 0.067850, 82.7549),
    (410, 0.043510, 0.001210, 0.207400, 91.4860),
    (420, 0.134380, 0.004000, 0.645600, 93.4318),
    (430, 0.283900, 0.011600, 1.385600, 86.6823),
    (440, 0.348280, 0.023000, 1.747060, 104.8650),
    (450, 0.336200, 0.038000, 1.772110, 117.0080),
    (460, 0.290800, 0.060000, 1.669200, 117.8120),
    (470, 0.195360, 0.090980, 1.287640, 114.8610),
    (480, 0.095640, 0.139020, 0.812950, 115.9230),
    (490, 0.032010, 0.208020, 0.465180, 108.8110),
    (500, 0.004900, 0.323000, 0.272000, 109.3540),
    (510, 0.009300, 0.503000, 0.158200, 107.8020),
    (520, 0.063270, 0.710000, 0.078250, 104.7900),
    (530, 0.165500, 0.862000, 0.042160, 107.6890),
    (540, 0.290400, 0.954000, 0.020300, 104.4050),
    (550, 0.433450, 0.994950, 0.008750, 104.0460),
    (560, 0.594500, 0.995000, 0.003900, 100.0000),
    (570, 0.762100, 0.952000, 0.002100, 96.3342),
    (580, 0.916300, 0.870000, 0.001650, 95.7880),
    (590, 1.026300, 0.757000, 0.001100, 88.6856),
    (600, 1.062200, 0.631000, 0.000800, 90.0062),
    (610, 1.002600, 0.503000, 0.000340, 89.5991),
    (620, 0.854450, 0.381000, 0.000190, 87.6987),
    (630, 0.642400, 0.265000, 0.000050, 83.2886),
    (640, 0.447900, 0.175000, 0.000020, 83.6992),
    (650, 0.283500, 0.107000, 0.000000, 80.0268),
    (660, 0.164900, 0.061000, 0.000000, 80.2146),
    (670, 0.087400, 0.032000, 0.000000, 82.2778),
    (680, 0.046770, 0.017000, 0.000000, 78.2842),
    (690, 0.022700, 0.008210, 0.000000, 69.7213),
    (700, 0.011359, 0.004102, 0.000000, 71.6091),
    (710, 0.005790, 0.002091, 0.000000, 74.3490),
    (720, 0.002899, 0.001047, 0.000000, 61.6040),
    (730, 0.001440, 0.000520, 0.000000, 69.8856),
)
_FROM_XYZ = ((3.2406, -1.5372, -0.4986), (-0.9689, 1.8758, 0.0415), (0.0557, -0.2040, 1.0570))  # IEC 61966-2-1


def transmission(srm: float, nanometres: float, path_cm: float = GLASS_CM) -> float:
    """Share of light of a wavelength that passes ``path_cm`` centimetres of beer, 0 to 1, by Beer–Lambert.

    Valid for 380 to 780 nm; raises ValueError outside, or for a colour or path below 0.
    """
    if not (0 <= srm < math.inf and 0 <= path_cm < math.inf and 380 <= nanometres <= 780):
        raise ValueError(f"{srm} SRM through {path_cm} cm at {nanometres} nm is outside the model")
    off = nanometres - 430
    shape = 0.02465 * math.exp(-off / 17.591) + 0.97535 * math.exp(-off / 82.122)
    return math.pow(10, -srm / 12.7 * path_cm * shape)


@cache
def beer_rgb(srm: float, path_cm: float = GLASS_CM) -> tuple[int, int, int]:
    """Red, green and blue of beer in sRGB, 0 to 255 each; colours that a screen cannot show are clipped.

    Raises ValueError for a colour or path below 0.
    """
    white = sum(row[2] * row[4] for row in _CIE)
    xyz = [0.0, 0.0, 0.0]
    for nanometres, *observer, power in _CIE:
        light = power * transmission(srm, nanometres, path_cm) / white
        for i, sees in enumerate(observer):
            xyz[i] += light * sees
    red, green, blue = (_channel(sum(m * v for m, v in zip(row, xyz, strict=True))) for row in _FROM_XYZ)
    return red, green, blue


def _channel(linear: float) -> int:
    linear = min(max(linear, 0.0), 1.0)
    return round(255 * (12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055))
