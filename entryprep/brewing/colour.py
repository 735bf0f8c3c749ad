"""Colour units: SRM and EBC.

EBC = 1.97 × SRM: both read absorbance at 430 nm, EBC over 1 cm × 25, SRM over 1/2 inch × 10 (ASBC and
EBC method definitions).
"""

from __future__ import annotations

EBC_PER_SRM = 1.97


def srm_from_ebc(ebc: float) -> float:
    """SRM of an EBC colour; linear, any value from 0."""
    return ebc / EBC_PER_SRM


def ebc_from_srm(srm: float) -> float:
    """EBC of an SRM colour; linear, any value from 0."""
    return srm * EBC_PER_SRM
