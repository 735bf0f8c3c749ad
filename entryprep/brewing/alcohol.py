"""Alcohol and extract by Balling's relations, and what follows from them: inverses, slopes, attenuation.

RE = 0.1808 OE + 0.8192 AE and ABW = (OE − RE)/(2.0665 − 0.010665 OE) with true °Plato; ABV = ABW·FG/0.794
(H. Rudolph, "Berechnung des Alkoholgehalts"; classical Balling/De Clerck). By Balling 2.0665 g of extract become 1 g
of alcohol, 0.9565 g of carbon dioxide and 0.11 g of yeast; a brewery that worked it backwards found 14.4 °P for a wort
of 14.3 (Nielsen et al., Brauwelt International, 2007), so the relations themselves are good to about 0.1 °P. Other
lists divide by 0.791 instead of 0.794 (Cargill Malt), which makes 0.02 % ABV of a beer of 5 %. Equations that take
1000 (SG − 1)/4 for °Plato (M. L. Hall, Zymurgy 18(2), 1995) read 0.05 % ABV above these at 1.050, 0.4 at 1.080 and
1.2 at 1.120.
"""

from __future__ import annotations

from entryprep.brewing.gravity import SG_MIN, plato_from_sg, plato_slope, sg_from_plato
from entryprep.brewing.roots import root

ETHANOL_DENSITY_RATIO = 0.794
HIGHEST_OG = 1.195
_OE_SHARE, _AE_SHARE = 0.1808, 0.8192
_PER_ALCOHOL, _PER_EXTRACT = 2.0665, 0.010665
LEAST_PLATO, MOST_PLATO = -20.0, 70.0  # of any extract put into these relations; beer fills a part of it
MOST_ATTENUATION = 1 / _AE_SHARE  # apparent, where no extract is left


def real_extract(oe_plato: float, ae_plato: float) -> float:
    """Real extract in °P from original and apparent extract in °P, both −20 to 70; raises ValueError outside."""
    _extracts(oe_plato, ae_plato)
    return _OE_SHARE * oe_plato + _AE_SHARE * ae_plato


def apparent_extract(oe_plato: float, re_plato: float) -> float:
    """Apparent extract in °P from original and real extract; :func:`real_extract` backwards, with its bounds."""
    _extracts(oe_plato, re_plato)
    return (re_plato - _OE_SHARE * oe_plato) / _AE_SHARE


def abw_from_extract(oe_plato: float, ae_plato: float) -> float:
    """Alcohol by mass, %, from original and apparent extract in °P, both −20 to 70; raises ValueError outside."""
    _extracts(oe_plato, ae_plato)
    # OE − RE = 0.8192 (OE − AE), written so that nothing fermented is exactly no alcohol
    return _AE_SHARE * (oe_plato - ae_plato) / (_PER_ALCOHOL - _PER_EXTRACT * oe_plato)


def abw(og: float, fg: float) -> float:
    """Alcohol by mass, %, from original and final specific gravity.

    Valid for 0.980 ≤ FG ≤ OG ≤ 1.200; raises ValueError outside.
    """
    _fermented(og, fg)
    return abw_from_extract(plato_from_sg(og), plato_from_sg(fg))


def abv(og: float, fg: float) -> float:
    """Alcohol by volume, %, from original and final specific gravity. Raises ValueError as :func:`abw`."""
    return abw(og, fg) * fg / ETHANOL_DENSITY_RATIO


def abv_slopes(og: float, fg: float) -> tuple[float, float]:
    """∂ABV/∂OG and ∂ABV/∂FG in % per unit of gravity, in closed form. Raises ValueError as :func:`abw`."""
    _fermented(og, fg)
    oe, ae = plato_from_sg(og), plato_from_sg(fg)
    share = _AE_SHARE / ETHANOL_DENSITY_RATIO
    per_alcohol = _PER_ALCOHOL - _PER_EXTRACT * oe
    by_og = share * fg * plato_slope(og) * (per_alcohol + _PER_EXTRACT * (oe - ae)) / per_alcohol**2
    by_fg = share / per_alcohol * (oe - ae - fg * plato_slope(fg))
    return by_og, by_fg


def og_from_abv(abv_percent: float, fg: float) -> float:
    """Original gravity that ferments to ``fg`` with this strength; inverse of :func:`abv`, solved for OE.

    Raises ValueError where no original gravity up to 1.195 gives that strength, or strength is negative.
    """
    ae = plato_from_sg(fg)
    if not (abv_percent >= 0 and fg <= HIGHEST_OG and abv_percent <= abv(HIGHEST_OG, fg)):
        raise ValueError(f"no original gravity gives {abv_percent} % at a final gravity of {fg}")
    # ABV (2.0665 − 0.010665 OE) = share (OE − AE), solved for OE
    share = _AE_SHARE * fg / ETHANOL_DENSITY_RATIO
    oe = (_PER_ALCOHOL * abv_percent + share * ae) / (share + _PER_EXTRACT * abv_percent)
    return max(fg, sg_from_plato(oe)) if oe > ae else fg


def fg_from_abv(og: float, abv_percent: float) -> float:
    """Final gravity at which a wort of ``og`` has this strength; inverse of :func:`abv` by Newton's method.

    Raises ValueError where no final gravity down to 0.980 gives that strength, or strength is negative.
    """
    if not (abv_percent >= 0 and abv(og, SG_MIN) >= abv_percent):
        raise ValueError(f"a wort of {og} cannot reach {abv_percent} %")
    oe = plato_from_sg(og)
    share = _AE_SHARE / ETHANOL_DENSITY_RATIO / (_PER_ALCOHOL - _PER_EXTRACT * oe)

    def excess(fg: float) -> float:
        return share * fg * (oe - plato_from_sg(fg)) - abv_percent

    def slope(fg: float) -> float:
        return share * (oe - plato_from_sg(fg) - fg * plato_slope(fg))

    return root(excess, slope, og - abv_percent / 131.25, SG_MIN, og)


def oe_from_abw(abw_percent: float, re_plato: float) -> float:
    """Original extract, °P, that a beer of this alcohol by mass (%) and real extract (°P) came from.

    OE = 100 (2.0665 ABW + RE)/(100 + 1.0665 ABW), Balling's relation backwards (Nielsen, Kristiansen, Lassen,
    Erikstrøm, "Balling's formula - scrutiny of a brewing dogma", Brauwelt International, 2007). Valid for 0 to 20 %
    and −2 to 40 °P; raises ValueError outside.
    """
    if not (0 <= abw_percent <= 20 and -2 <= re_plato <= 40):
        raise ValueError(f"{abw_percent} % by mass and {re_plato} °P are outside 0 to 20 % and −2 to 40 °P")
    return 100 * (_PER_ALCOHOL * abw_percent + re_plato) / (100 + 1.0665 * abw_percent)


def apparent_attenuation(og: float, fg: float) -> float:
    """Apparent attenuation (ADF), %, = 100 (OE − AE)/OE with extracts in °P (Cargill Malt, brewing calculations).

    Valid for gravities of 0.980 to 1.200, negative where FG is above OG; raises ValueError outside, or if there is no
    extract to ferment.
    """
    oe = plato_from_sg(og)
    if oe <= 0:
        raise ValueError(f"an original gravity of {og} holds no extract")
    return 100 * (oe - plato_from_sg(fg)) / oe


def fermented_share(oe_plato: float, attenuation: float) -> float:
    """Share, by mass, of the extract of a wort of ``oe_plato`` °P that apparent ``attenuation`` stands for.

    By Balling's balance: 100 g of wort become 100 − 1.0665 A g of beer with A g of alcohol from 2.0665 A g of extract.
    Real attenuation in per cent of the beer (0.8192 × apparent) is a little less. 0 for a wort without extract. Valid
    for −20 to 70 °P and 0 to 1/0.8192 = 1.2207, where nothing is left; raises ValueError outside.
    """
    if not 0 <= attenuation <= MOST_ATTENUATION:
        raise ValueError(f"an apparent attenuation of {attenuation:.1%} is outside 0 to {MOST_ATTENUATION:.1%}")
    _extracts(oe_plato)
    if oe_plato <= 0:
        return 0.0
    abw_percent = abw_from_extract(oe_plato, oe_plato * (1 - attenuation))
    return _PER_ALCOHOL * abw_percent / (1 + _PER_EXTRACT * abw_percent) / oe_plato


def real_extract_left(oe_plato: float, fermented: float) -> float:
    """Real extract, °P, of a beer of which the share ``fermented`` (0 to 1) of the extract, by mass, is gone.

    The same balance as :func:`fermented_share`; 1 leaves no extract. Raises ValueError for a share outside 0 to 1, or
    extract outside −20 to 70 °P.
    """
    if not 0 <= fermented <= 1:
        raise ValueError(f"a share of {fermented:.1%} is outside 0 to 100 %")
    _extracts(oe_plato)
    gone = oe_plato * fermented
    return 100 * (oe_plato - gone) / (100 - (_PER_ALCOHOL - 1) / _PER_ALCOHOL * gone)


def _fermented(og: float, fg: float) -> None:
    if not fg <= og:
        raise ValueError(f"final gravity {fg} is above original gravity {og}")


def _extracts(*plato: float) -> None:
    for one in plato:
        if not LEAST_PLATO <= one <= MOST_PLATO:
            raise ValueError(f"{one} °P of extract is outside {LEAST_PLATO:g} to {MOST_PLATO:g} °P")
