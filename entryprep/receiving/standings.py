"""From scores to standings: one score for each entry, spread, ranks with ties, who advances, votes."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from entryprep.findings import Finding
from entryprep.receiving.scores import ROUNDED, Score
from entryprep.tables.rules import finding
from entryprep.tables.scales import Scale


@dataclass(frozen=True, slots=True)
class Standing:
    """One entry among those of its group.

    ``score`` is what the judges agreed on, else the mean of their sums, None while there is none; ``spread`` the most
    two judges lie apart; ``rank`` counts from 1 among the entries of its group at its flight, those that tie share it;
    ``place`` is the rank its panel agreed on, 0 where it wrote none; ``open`` while a judge's row is unfinished.
    """

    number: str
    group: str
    flight: int
    score: float | None
    agreed: bool
    spread: float
    scores: tuple[Score, ...]
    open: bool
    rank: int = 0
    tied: bool = False
    advances: bool = False
    place: int = 0

    @property
    def table(self) -> tuple[str, int]:
        """Where it is ranked: its group at its flight, for panels are not compared with each other."""
        return self.group, self.flight


def gathered(
    scores: Iterable[Score], groups: Mapping[str, str], flights: Mapping[str, int], scale: Scale, file: str
) -> tuple[list[Standing], list[Finding]]:
    """A standing for each entry of ``groups`` (and any other that is scored), unranked, by number; with findings."""
    by_number: dict[str, list[Score]] = {number: [] for number in groups}
    for score in scores:
        by_number.setdefault(score.number, []).append(score)
    found: list[Standing] = []
    told: list[Finding] = []
    for number in sorted(by_number):
        rows = sorted(by_number[number], key=lambda s: (s.judge.casefold(), s.row))
        sums = [score.total for score in rows if score.total is not None]
        agreed = {score.agreed for score in rows if score.agreed is not None}
        spread = max(sums) - min(sums) if sums else 0.0
        if spread > scale.spread:
            each = ", ".join(f"{s.judge or 'not named'} {s.total:g}" for s in rows if s.total is not None)
            values = {"number": number, "spread": f"{spread:g}", "each": each, "limit": f"{scale.spread:g}"}
            told.append(finding("score-spread", values, file=file, about=number, milder=bool(agreed)))
        if len(agreed) > 1:
            values = {"number": number, "each": ", ".join(f"{a:g}" for a in sorted(agreed))}
            told.append(finding("score-agreed", values, file=file, about=number))
        places = {score.place for score in rows if score.place}
        if len(places) > 1:
            values = {"number": number, "each": ", ".join(map(str, sorted(places)))}
            told.append(finding("score-agreed", values, file=file, about=number, case="places"))
        own = next(iter(agreed)) if len(agreed) == 1 else None
        mean = round(sum(sums) / len(sums), ROUNDED) if sums else None
        is_open = not rows or any(score.total is None for score in rows)
        found.append(
            Standing(
                number,
                groups.get(number, ""),
                flights.get(number, 0),
                own if own is not None else mean,
                own is not None,
                spread,
                tuple(rows),
                is_open,
                place=places.pop() if len(places) == 1 else 0,
            )
        )
    return found, told


def ranked(standings: Iterable[Standing], advance: int = 0) -> list[Standing]:
    """Standings with their ranks, best first, groups by name, then flights; unscored entries last, without rank.

    Ranks are those within a group at one flight, by the panel's place where it wrote one, else by the score. The
    ``advance`` best of each group at each flight advance, and all that tie with the last of them. Raises
    ValueError for a negative ``advance``.
    """
    if advance < 0:
        raise ValueError("a number of entries from 0 is needed")
    everyone = list(standings)
    by_table: dict[tuple[str, int], list[Standing]] = {}
    for s in everyone:
        by_table.setdefault(s.table, []).append(s)
    result: list[Standing] = []
    for table in sorted(by_table):
        line = sorted(by_table[table], key=lambda s: (s.score is None, _better(s), s.number))
        counts = Counter(_better(s) for s in line if s.score is not None)
        rank = 0
        for place, s in enumerate(line, 1):
            if s.score is None:
                result.append(s)
                continue
            if place == 1 or _better(s) != _better(line[place - 2]):
                rank = place
            result.append(replace(s, rank=rank, tied=counts[_better(s)] > 1, advances=rank <= advance))
    return result


def _better(s: Standing) -> tuple[float, float]:
    """The place its panel wrote, then the score."""
    return (float(s.place) if s.place else math.inf, -(s.score or 0.0) if not s.place else 0.0)


def crowded(standings: Sequence[Standing], advance: int, file: str) -> list[Finding]:
    """Flights, or groups, from which more advance than wanted because of a tie."""
    counts: dict[tuple[str, int], list[str]] = {}
    for s in standings:
        if s.advances:
            counts.setdefault(s.table, []).append(s.number)
    return [
        finding(
            "advance-tie",
            {"group": f"{group}, flight {flight}" if flight else group, "count": len(numbers), "advance": advance},
            file=file,
        )
        for (group, flight), numbers in sorted(counts.items())
        if len(numbers) > advance
    ]


@dataclass(frozen=True)
class Votes:
    """Votes for the prize for creativity: a count by number, most first, those that tie side by side."""

    counts: tuple[tuple[str, int], ...]

    @property
    def first(self) -> tuple[str, ...]:
        """The number with most votes, or all that tie for it; empty without votes."""
        return tuple(number for number, count in self.counts if count == self.counts[0][1])


def counted_votes(scores: Iterable[Score], ballots: Iterable[tuple[str, str]] = ()) -> Votes:
    """Votes marked on score rows (one for each judge and entry), and ballots of (voter, number)."""
    votes = {(f"judge {s.judge}", s.number) for s in scores if s.creative} | {(f"voter {v}", n) for v, n in ballots}
    counts: dict[str, int] = {}
    for _, number in votes:
        counts[number] = counts.get(number, 0) + 1
    return Votes(tuple(sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))))
