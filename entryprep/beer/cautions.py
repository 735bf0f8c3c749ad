"""What can hurt, or cannot be true, of one beer: every command, both sides and all papers take it from here.

The words stand in ``templates/rules/``, what must not be eaten in ``templates/cautions.yaml``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from entryprep.beer.caution import Caution
from entryprep.brewing.carbonation import MOST_VOLUMES
from entryprep.brewing.contents import ETHANOL_KG_PER_L
from entryprep.measures import bottle_volume, small_mass
from entryprep.records.batch import Batch
from entryprep.records.bottles import filled
from entryprep.tables.bottles import bottle_types
from entryprep.vitals import amount

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer

# ruff: noqa: PLC0415 - a plain beer is asked few of these questions, and one that is not asked need not be loaded
STRONG_ABV = 10.0  # from which a glass of usual size is too much: common practice
SMALL_BEER_L = 0.250 * 0.05  # of alcohol in a quarter of a litre at 5 %


def batch_cautions(batch: Batch, beer: Beer | None, today: dt.date | None = None) -> tuple[Caution, ...]:
    """All cautions of a batch; ``beer`` is None where its records contradict each other.

    What hangs on the day is told only if ``today`` is given. Linear in what the record holds.
    """
    from entryprep.beer.cautions_amounts import of_amounts, of_ice, of_instruments
    from entryprep.beer.cautions_fermentation import of_cultures, of_fermentation
    from entryprep.beer.cautions_gas import of_gas, of_sugar, still_conditioning

    found = [*of_gas(batch), *of_sugar(batch), *of_fermentation(batch, beer), *of_cultures(batch)]
    if batch.additions or batch.declare or batch.recipe is not None:
        from entryprep.beer.cautions_eaten import of_what_is_eaten

        found += of_what_is_eaten(batch)
    found += [*_strong(beer), *of_ice(batch, beer), *of_instruments(batch), *of_amounts(batch, beer)]
    found += still_conditioning(batch, today) if today else ()
    return tuple(found)


def beer_cautions(beer: Beer) -> tuple[Caution, ...]:
    """All cautions of a beer that do not hang on the day; of one from numbers alone, its strength and its gas."""
    if beer.batch is not None:
        return batch_cautions(beer.batch, beer)
    found = list(_strong(beer))
    co2 = beer.vitals.co2
    if co2 is not None and co2.value > MOST_VOLUMES:
        from entryprep.beer.cautions_gas import pressure_words

        found.append(Caution("priming-beyond-reach", ("co2",), pressure_words(co2.value)))
    return tuple(found)


def _strong(beer: Beer | None) -> Iterator[Caution]:
    reading = beer.vitals.abv if beer is not None else None
    if beer is None or reading is None or reading.value < STRONG_ABV:
        return
    size = (
        next((filled(k).size_ml for k in beer.batch.bottles if k.type in bottle_types()), 330.0)
        if beer.batch
        else 330.0
    )
    yield Caution("strong-beer", strong_path(beer.batch), strong_words(reading.value, size))


def strong_path(batch: Batch | None) -> tuple[str, ...]:
    """Where the strength of a batch is written, or what it follows from."""
    if batch is None:
        return ()
    return next((("measured", name) for name in ("abv", "og", "fg") if getattr(batch.measured, name) is not None), ())


def strong_words(abv: float, bottle_ml: float = 330.0) -> dict[str, object]:
    """What is said of a strong beer: strength, alcohol in a bottle, and in how many small beers there is as much."""
    litres = bottle_ml / 1000 * abv / 100
    return {
        "abv": amount("abv", abv),
        "grams": small_mass(litres * ETHANOL_KG_PER_L * 1000),
        "bottle": bottle_volume(bottle_ml),
        "drinks": f"{litres / SMALL_BEER_L:.1f}",
    }
