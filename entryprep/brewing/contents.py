"""A volume of beer as what is in it, so that beers, spirits, sugars, water and ice can be added and taken away.

Volume, alcohol and real extract are conserved (volumes are taken as additive: contraction is below 0.1 % ABV here,
common practice). Gravities follow by Balling: OE = 100 (2.0665 ABW + RE)/(100 + 1.0665 ABW) and AE = (RE − 0.1808 OE)/
0.8192 (Nielsen, Kristiansen, Lassen & Erikstrøm, Brauwelt Int. 2007), which inverts the strength of ``brewing.alcohol``
exactly. Bitterness is carried as milligrams, colour as SRM times litres: both dilute in proportion.
"""

from __future__ import annotations

from dataclasses import dataclass

from entryprep.brewing.alcohol import ETHANOL_DENSITY_RATIO, abv, oe_from_abw, real_extract
from entryprep.brewing.extract import WATER_KG_PER_L
from entryprep.brewing.gravity import plato_from_sg, sg_from_plato

EXTRACT_PER_ALCOHOL = 2.0665  # kg of extract that ferment to 1 kg of alcohol (Balling)
ETHANOL_KG_PER_L = ETHANOL_DENSITY_RATIO * WATER_KG_PER_L
DISSOLVED_L_PER_KG = 0.62  # litres that a kilogram of dissolved sugar takes up, from memory
_STEPS = 30
_ENOUGH = 1e-11


@dataclass(frozen=True)
class Parcel:
    """Beer by contents: litres in all, litres of alcohol, kg of real extract, mg of iso-alpha acids, SRM · litres."""

    volume_l: float
    alcohol_l: float
    extract_kg: float
    bitter_mg: float = 0.0
    colour_l: float = 0.0

    def plus(self, other: Parcel) -> Parcel:
        """Both poured together."""
        return Parcel(
            self.volume_l + other.volume_l,
            self.alcohol_l + other.alcohol_l,
            self.extract_kg + other.extract_kg,
            self.bitter_mg + other.bitter_mg,
            self.colour_l + other.colour_l,
        )

    def minus(self, other: Parcel) -> Parcel:
        """What is left when ``other`` is taken away. Raises ValueError if it holds more than there is."""
        left = Parcel(
            self.volume_l - other.volume_l,
            self.alcohol_l - other.alcohol_l,
            self.extract_kg - other.extract_kg,
            self.bitter_mg - other.bitter_mg,
            self.colour_l - other.colour_l,
        )
        if left.volume_l <= 0:
            raise ValueError(f"{other.volume_l:.2f} L cannot be taken from {self.volume_l:.2f} L of beer")
        if left.alcohol_l < -1e-9:
            raise ValueError(f"{other.alcohol_l:.2f} L of alcohol came in, and the beer holds {self.alcohol_l:.2f} L")
        return left

    def times(self, factor: float) -> Parcel:
        """A part of it, or several of it."""
        return Parcel(*(factor * part for part in (
            self.volume_l, self.alcohol_l, self.extract_kg, self.bitter_mg, self.colour_l)))  # fmt: skip

    @property
    def abv(self) -> float:
        """Strength, % by volume."""
        return 100 * self.alcohol_l / self.volume_l

    def vitals(self) -> dict[str, float]:
        """og, fg, abv, ibu and srm of the parcel. Raises ValueError where there is no such beer."""
        og, fg = self._gravities()
        return {
            "og": og,
            "fg": fg,
            "abv": self.abv,
            "ibu": self.bitter_mg / self.volume_l,
            "srm": self.colour_l / self.volume_l,
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
        fg = 1.0
        for _ in range(_STEPS):
            mass = self.volume_l * fg * WATER_KG_PER_L
            left = 100 * self.extract_kg / mass
            oe = oe_from_abw(100 * self.alcohol_l * ETHANOL_KG_PER_L / mass, left)
            new = sg_from_plato((left - 0.1808 * oe) / 0.8192)
            if abs(new - fg) < _ENOUGH:
                break
            fg = new
        return new, oe


def beer(volume_l: float, og: float, fg: float, ibu: float = 0.0, srm: float = 0.0) -> Parcel:
    """The contents of ``volume_l`` litres of beer. Raises ValueError for no volume or gravities that make no beer."""
    if volume_l <= 0:
        raise ValueError(f"a volume of {volume_l} L is not above 0")
    mass = volume_l * fg * WATER_KG_PER_L
    left = real_extract(plato_from_sg(og), plato_from_sg(fg))
    return Parcel(volume_l, volume_l * abv(og, fg) / 100, mass * left / 100, ibu * volume_l, srm * volume_l)


def spirit(volume_l: float, strength: float, sugar_kg: float = 0.0) -> Parcel:
    """A spirit, wine or other liquid of ``strength`` % by volume, with sugar that stays if it has some.

    Raises ValueError for a volume below 0 or a strength outside 0 to 97 %.
    """
    if volume_l < 0 or not 0 <= strength <= 97:
        raise ValueError(f"{volume_l} L of {strength} % is no spirit")
    return Parcel(volume_l, volume_l * strength / 100, sugar_kg)


def water(volume_l: float) -> Parcel:
    """Water, or the water of an infusion. Raises ValueError below 0."""
    return spirit(volume_l, 0.0)


def sugar(sugar_kg: float, water_kg: float = 0.0, fermented: float = 1.0) -> Parcel:
    """Sugar as it is found in the beer: the share ``fermented`` (0 to 1) as alcohol, the rest as extract.

    ``water_kg`` comes with it, as in fruit and honey. Raises ValueError for masses below 0 or a share outside 0 to 1.
    """
    if sugar_kg < 0 or water_kg < 0 or not 0 <= fermented <= 1:
        raise ValueError("sugar needs masses from 0 and a share fermented of 0 to 100 %")
    alcohol = sugar_kg * fermented / EXTRACT_PER_ALCOHOL / ETHANOL_KG_PER_L
    rest = sugar_kg * (1 - fermented)
    return Parcel(water_kg / WATER_KG_PER_L + alcohol + rest * DISSOLVED_L_PER_KG, alcohol, rest)


def without_ice(before: Parcel, after_l: float) -> Parcel:
    """A beer concentrated to ``after_l`` litres by taking out ice, counted as pure water: an upper bound of strength.

    Raises ValueError unless there is that much water in it to take out.
    """
    taken = before.volume_l - after_l
    dry = before.alcohol_l + before.extract_kg * DISSOLVED_L_PER_KG
    if not 0 < after_l <= before.volume_l or taken > before.volume_l - dry:
        raise ValueError(f"{taken:.1f} L of ice cannot come out of {before.volume_l:.1f} L of beer")
    return before.minus(water(taken))
