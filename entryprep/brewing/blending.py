"""Blending, dilution and boiling off by mass of extract; blending of strengths by volume."""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.brewing.gravity import plato_from_sg, sg_from_plato


def blended_sg(parts: Sequence[tuple[float, float]]) -> float:
    """Gravity of a blend of (volume in litres, specific gravity); water is (litres, 1.0).

    Extract and mass are conserved: °P of the blend = Σ m P / Σ m with m = volume × SG. Volumes of 0 count for nothing.
    Raises ValueError for a negative volume, no volume at all, or a gravity outside 0.98 to 1.20.
    """
    if any(volume < 0 for volume, _ in parts):
        raise ValueError("a volume below 0 cannot be blended")
    mass = sum(volume * sg for volume, sg in parts)
    if mass <= 0:
        raise ValueError("there is nothing to blend")
    extract = sum(volume * sg * plato_from_sg(sg) for volume, sg in parts)
    return sg_from_plato(extract / mass)


def concentrated_sg(volume_l: float, sg: float, left_l: float) -> float:
    """Gravity after boiling ``volume_l`` litres of ``sg`` down to ``left_l`` litres: points × volume is kept.

    Common practice, good to 0.0003. Raises ValueError unless 0 < left_l ≤ volume_l.
    """
    if not 0 < left_l <= volume_l:
        raise ValueError(f"{left_l} L cannot be left of {volume_l} L")
    return 1 + (sg - 1) * volume_l / left_l


def spirit_parts(base_abv: float, spirit_abv: float, target_abv: float) -> tuple[float, float]:
    """Parts of spirit and of base, by volume, that blend to a strength, all in % ABV: (target − base, spirit − target).

    The square of the wine and spirit trade (common practice). Alcohol is conserved; the contraction of the mixture is
    left out, below 0.1 % ABV for beer with a little spirit (from memory). Fortifying beer may make it another product
    in law: local law decides. Raises ValueError unless 0 ≤ base ≤ target ≤ spirit ≤ 100 and base < spirit.
    """
    if not (0 <= base_abv <= target_abv <= spirit_abv <= 100 and base_abv < spirit_abv):
        raise ValueError(
            f"a base of {base_abv} % and a spirit of {spirit_abv} % cannot blend to {target_abv} %: "
            "the target lies between them"
        )
    return target_abv - base_abv, spirit_abv - target_abv
