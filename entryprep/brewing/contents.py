"""A volume of beer as what is in it, so that beers, spirits, sugars, water and ice can be added and taken away.

Volume, alcohol and real extract are conserved (volumes are taken as additive: contraction is below 0.1 % ABV here,
common practice). Gravities follow by Balling: OE = 100 (2.0665 ABW + RE)/(100 + 1.0665 ABW) and AE = (RE − 0.1808 OE)/
0.8192 (Nielsen, Kristiansen, Lassen & Erikstrøm, Brauwelt Int. 2007), which inverts the strength of ``brewing.alcohol``
exactly. Bitterness is carried as milligrams, colour as SRM times litres: both dilute in proportion.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from entryprep.brewing.alcohol import ETHANOL_DENSITY_RATIO, abv, apparent_extract, oe_from_abw, real_extract
from entryprep.brewing.extract import WATER_KG_PER_L
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato

EXTRACT_PER_ALCOHOL = 2.0665  # kg of extract that ferment to 1 kg of alcohol (Balling)
ETHANOL_KG_PER_L = ETHANOL_DENSITY_RATIO * WATER_KG_PER_L
DISSOLVED_L_PER_KG = 0.62  # litres that a kilogram of dissolved sugar takes up, from memory
_STEPS = 30
_ENOUGH = 1e-11
_MOST_IN_A_LITRE = 1e9  # of anything, in its unit: only a volume of next to nothing has more


@dataclass(frozen=True)
class Contents:
    """Beer by contents: litres in all, litres of alcohol, kg of real extract, mg of iso-alpha acids, SRM · litres."""

    volume_l: float
    alcohol_l: float
    extract_kg: float
    bitter_mg: float = 0.0
    colour_l: float = 0.0

    def __post_init__(self) -> None:
        """Raise ValueError for what is no number, so that no sum hands one on."""
        if not all(map(math.isfinite, vars(self).values())):
            raise ValueError(f"no beer has these contents: {', '.join(map(str, vars(self).values()))}")

    def plus(self, other: Contents) -> Contents:
        """Both poured together."""
        return Contents(
            self.volume_l + other.volume_l,
            self.alcohol_l + other.alcohol_l,
            self.extract_kg + other.extract_kg,
            self.bitter_mg + other.bitter_mg,
            self.colour_l + other.colour_l,
        )

    def minus(self, other: Contents) -> Contents:
        """What is left when ``other`` is taken away. Raises ValueError if it holds more than there is."""
        alcohol_l = self.alcohol_l - other.alcohol_l
        left = Contents(
            self.volume_l - other.volume_l,
            max(0.0, alcohol_l),  # nothing left may come out a hair below
            self.extract_kg - other.extract_kg,
            self.bitter_mg - other.bitter_mg,
            self.colour_l - other.colour_l,
        )
        if left.volume_l <= 0:
            raise ValueError(f"{other.volume_l:.2f} L cannot be taken from {self.volume_l:.2f} L of beer")
        if alcohol_l < -1e-9:
            raise ValueError(f"{other.alcohol_l:.2f} L of alcohol came in, and the beer holds {self.alcohol_l:.2f} L")
        return left

    def times(self, factor: float) -> Contents:
        """A part of it, or several of it."""
        return Contents(*(factor * part for part in (
            self.volume_l, self.alcohol_l, self.extract_kg, self.bitter_mg, self.colour_l)))  # fmt: skip

    @property
    def abv(self) -> float:
        """Strength, % by volume. Raises ValueError without a volume."""
        return 100 * self._in_a_litre(self.alcohol_l)

    def vitals(self) -> dict[str, float]:
        """og, fg, abv, ibu and srm of the beer. Raises ValueError where there is no such beer."""
        og, fg = self._gravities()
        return {
            "og": og,
            "fg": fg,
            "abv": self.abv,
            "ibu": self._in_a_litre(self.bitter_mg),
            "srm": self._in_a_litre(self.colour_l),
        }

    def _gravities(self) -> tuple[float, float]:
        """Original and final gravity that belong to the contents."""
        fg, oe = self._final()
        return sg_from_plato(oe), fg

    @property
    def fg(self) -> float:
        """Final gravity. Raises ValueError where there is no such beer."""
        return self._final()[0]

    def _final(self) -> tuple[float, float]:
        """Final gravity and original extract in °P: both follow from the mass, and that from the final gravity."""
        alcohol, extract = self._in_a_litre(self.alcohol_l), self._in_a_litre(self.extract_kg)
        fg = 1.0
        for _ in range(_STEPS):
            litre_kg = fg * WATER_KG_PER_L
            left = 100 * extract / litre_kg
            oe = oe_from_abw(100 * alcohol * ETHANOL_KG_PER_L / litre_kg, left)
            new = sg_from_plato(apparent_extract(oe, left))
            if abs(new - fg) < _ENOUGH:
                break
            fg = new
        return new, oe

    def _in_a_litre(self, amount: float) -> float:
        share = amount / self.volume_l if self.volume_l > 0 else math.inf
        if abs(share) > _MOST_IN_A_LITRE:
            raise ValueError(f"{amount:g} cannot be in {self.volume_l:g} L of beer")
        return share


def beer(volume_l: float, og: float, fg: float, ibu: float = 0.0, srm: float = 0.0) -> Contents:
    """The contents of ``volume_l`` litres of beer. Raises ValueError for no volume or gravities that make no beer."""
    if not volume_l > 0:
        raise ValueError(f"a volume of {volume_l} L is not above 0")
    mass = volume_l * fg * WATER_KG_PER_L
    left = real_extract(plato_from_sg(og), plato_from_sg(fg))
    return Contents(volume_l, volume_l * abv(og, fg) / 100, mass * left / 100, ibu * volume_l, srm * volume_l)


def spirit(volume_l: float, strength: float, sugar_kg: float = 0.0) -> Contents:
    """A spirit, wine or other liquid of ``strength`` % by volume, with sugar that stays if it has some.

    Raises ValueError for a volume below 0 or a strength outside 0 to 97 %.
    """
    if not (volume_l >= 0 and 0 <= strength <= 97):
        raise ValueError(f"{volume_l} L of {strength} % is no spirit")
    return Contents(volume_l, volume_l * strength / 100, sugar_kg)


def water(volume_l: float) -> Contents:
    """Water, or the water of an infusion. Raises ValueError below 0."""
    return spirit(volume_l, 0.0)


def sugar(sugar_kg: float, water_kg: float = 0.0, fermented: float = 1.0) -> Contents:
    """Sugar as it is found in the beer: the share ``fermented`` (0 to 1) as alcohol, the rest as extract.

    ``water_kg`` comes with it, as in fruit and honey. Raises ValueError for masses below 0 or a share outside 0 to 1.
    """
    if not (sugar_kg >= 0 and water_kg >= 0 and 0 <= fermented <= 1):
        raise ValueError(
            f"{sugar_kg} kg of sugar with {water_kg} kg of water, {fermented:.1%} of it fermented: "
            "masses are needed from 0, and a share of 0 to 100 %"
        )
    alcohol = sugar_kg * fermented / EXTRACT_PER_ALCOHOL / ETHANOL_KG_PER_L
    rest = sugar_kg * (1 - fermented)
    return Contents(water_kg / WATER_KG_PER_L + alcohol + rest * DISSOLVED_L_PER_KG, alcohol, rest)


def without_ice(before: Contents, after_l: float) -> Contents:
    """A beer concentrated to ``after_l`` litres by taking out ice, counted as pure water: an upper bound of strength.

    Raises ValueError unless there is that much water in it to take out.
    """
    taken = before.volume_l - after_l
    dry = before.alcohol_l + before.extract_kg * DISSOLVED_L_PER_KG
    if not 0 < after_l <= before.volume_l or taken > before.volume_l - dry:
        raise ValueError(f"{before.volume_l:g} L of beer cannot be frozen down to {after_l:g} L")
    return before.minus(water(taken))
