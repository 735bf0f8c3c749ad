"""Beers drawn from the published ranges of another table, measured with errors, and how often each way finds them.

Drawn: OG, FG, IBU, SRM evenly inside the published range (BJCP 2021 Style Guidelines), strength derived and inside
its own range; then read with errors of 0.001 SG, 15 % IBU, 12 % SRM. Traits come from our own table (the published
one has numbers only), each of the seven flavour traits wrong 8 % of the time.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from entryprep import Reading, Style, StyleTable, Vitals, load_styles, rank
from entryprep.beer.membership import chance_inside
from entryprep.beer.questions import questions
from entryprep.brewing.alcohol import abv
from entryprep.tables.style import TRAITS
from tests.vectors.published import Published, numbered_rows

SG_ERROR, IBU_ERROR, SRM_ERROR = 0.001, 0.15, 0.12
FLAVOUR = ("clarity", "hops", "hop_kind", "malt", "yeast", "sourness", "grain")
WRONG = 0.08
DEPTHS = (1, 3, 5)


@dataclass(frozen=True)
class Beer:
    """A simulated beer: its true row (by place), what was read of it, and its traits as reported."""

    row: int
    read: dict[str, float]
    traits: dict[str, str]


def draw(rows: Sequence[Published], styles: Sequence[Style], each: int, seed: int) -> Iterator[Beer]:
    """``each`` beers of every row."""
    chance = random.Random(seed)
    for index, row in enumerate(rows):
        for _ in range(each):
            true = _inside(row, chance)
            read = {
                "og": true["og"] + chance.gauss(0, SG_ERROR),
                "fg": true["fg"] + chance.gauss(0, SG_ERROR),
                "ibu": max(1.0, true["ibu"] * (1 + chance.gauss(0, IBU_ERROR))),
                "srm": max(1.0, true["srm"] * (1 + chance.gauss(0, SRM_ERROR))),
            }
            yield Beer(index, read, _reported(styles[index], chance))


def _inside(row: Published, chance: random.Random) -> dict[str, float]:
    best: tuple[float, dict[str, float]] | None = None
    for _ in range(200):
        true = {vital: chance.uniform(*row.pairs[vital]) for vital in ("og", "fg", "ibu", "srm")}
        if true["fg"] >= true["og"]:
            continue
        low, high = row.pairs["abv"]
        strength = abv(true["og"], true["fg"])
        off = max(low - strength, strength - high, 0.0)
        if off == 0:
            return true
        if best is None or off < best[0]:
            best = (off, true)
    assert best is not None
    return best[1]  # ranges that do not go together (ice taken out): the nearest that was drawn


def _reported(style: Style, chance: random.Random) -> dict[str, str]:
    reported = {}
    for trait in ("fermentation", *FLAVOUR):
        accepted = style.traits.get(trait)
        if not accepted:
            continue
        value = chance.choices(accepted, [3.0] + [2.0] * (len(accepted) - 1))[0]
        others = [v for v in TRAITS[trait] if v not in accepted]
        if trait != "fermentation" and others and chance.random() < WRONG:
            value = chance.choice(others)
        reported[trait] = value
    return reported


def vitals_of(beer: Beer) -> Vitals:
    """What was read, with the errors of the simulation."""
    read = beer.read
    return Vitals(
        og=Reading(max(read["og"], read["fg"]), SG_ERROR),
        fg=Reading(read["fg"], SG_ERROR),
        ibu=Reading(read["ibu"], read["ibu"] * IBU_ERROR),
        srm=Reading(read["srm"], read["srm"] * SRM_ERROR),
    )


Order = Callable[[Beer], list[int]]


def by_published_ranges(rows: Sequence[Published]) -> Order:
    """The limit for vitals alone: chance inside over width, with the very table the beers were drawn from."""

    def order(beer: Beer) -> list[int]:
        read = beer.read
        errors = {"og": SG_ERROR, "fg": SG_ERROR, "ibu": read["ibu"] * IBU_ERROR, "srm": read["srm"] * SRM_ERROR}

        def weight(row: Published) -> float:
            total = 0.0
            for vital, error in errors.items():
                low, high = row.pairs[vital]
                total += math.log(max(chance_inside(read[vital], error, low, high), 1e-300) / (high - low))
            return total

        weights = [weight(row) for row in rows]
        return sorted(range(len(rows)), key=lambda i: (-weights[i], i))

    return order


def by_counting(rows: Sequence[Published]) -> Order:
    """What a person with the table does: count the vitals in range."""

    def order(beer: Beer) -> list[int]:
        read = {**beer.read, "abv": abv(max(beer.read["og"], beer.read["fg"]), beer.read["fg"])}
        hits = [sum(low <= read[v] <= high for v, (low, high) in row.pairs.items()) for row in rows]
        return sorted(range(len(rows)), key=lambda i: (-hits[i], i))

    return order


def by_ranking(styles: Sequence[Style], traits: Sequence[str], table: StyleTable | None = None) -> Order:
    """Our ranking, told some of the traits; among the rows' styles only, or among the whole ``table``."""
    place = {style.id: index for index, style in enumerate(styles)}

    def order(beer: Beer) -> list[int]:
        told = {name: beer.traits[name] for name in traits if name in beer.traits}
        ranking = rank(vitals_of(beer), told, table or styles)
        return [place.get(style.id, -1) for style, _ in ranking.shares]

    return order


def hits(beers: Sequence[Beer], order: Order) -> tuple[float, ...]:
    """Share of beers whose row is among the first 1, 3 and 5."""
    found = [0] * len(DEPTHS)
    for beer in beers:
        place = order(beer)[: max(DEPTHS)]
        rank_ = place.index(beer.row) if beer.row in place else 99
        for index, depth in enumerate(DEPTHS):
            found[index] += rank_ < depth
    return tuple(count / len(beers) for count in found)


def by_one_question(styles: Sequence[Style]) -> Order:
    """Vitals alone, then the one question that is expected to tell most, answered as the beer reports it."""
    index = {style.id: i for i, style in enumerate(styles)}
    unique = list({style.id: style for style in styles}.values())

    def order(beer: Beer) -> list[int]:
        vitals = vitals_of(beer)
        ranking = rank(vitals, None, unique)
        asked = next((q.trait for q in questions(ranking, {}) if q.trait in beer.traits), None)
        if asked is not None:
            ranking = rank(vitals, {asked: beer.traits[asked]}, unique)
        return [index[style.id] for style, _ in ranking.shares]

    return order


def measure(each: int, seed: int) -> dict[str, tuple[float, ...]]:
    """The whole table of hits for one seed."""
    table = load_styles()
    rows = numbered_rows()
    styles = [table.find(row.name) for row in rows]
    beers = list(draw(rows, styles, each, seed))
    return {
        "count the vitals in range": hits(beers, by_counting(rows)),
        "limit: the published table itself, vitals alone": hits(beers, by_published_ranges(rows)),
        "ours, vitals alone": hits(beers, by_ranking(styles, ())),
        "ours, vitals alone, all styles as candidates": hits(beers, by_ranking(styles, (), table)),
        "ours, vitals and the one question suggested": hits(beers, by_one_question(styles)),
        "ours, and ale/lager/wild": hits(beers, by_ranking(styles, ("fermentation",))),
        "ours, and the seven flavour traits": hits(beers, by_ranking(styles, ("fermentation", *FLAVOUR))),
        "the same, all styles as candidates": hits(beers, by_ranking(styles, ("fermentation", *FLAVOUR), table)),
    }
