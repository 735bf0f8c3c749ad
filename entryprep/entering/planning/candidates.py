"""The entries a plan may choose from, each with its expected standing; and those it may not, each with the reason."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from entryprep.entering.bottles import allocate
from entryprep.entering.planning.cellar import Cellar, cellars
from entryprep.entering.planning.dates import Deadlines, deadlines, freshness, too_late
from entryprep.entering.planning.errors import Trial, barred_entries
from entryprep.entering.planning.places import Place, places
from entryprep.entering.planning.sending import box_kinds
from entryprep.entering.season import Season

UNSCORED = 7.0  # of 10: a beer its brewer gave no score (our own choice: sound, not outstanding)
NO_FIT = 50.0  # of 100: where no vital could be compared with the style
NEARLY = 0.99
LEAST_STANDING = 0.1  # below it a place is no honest entry

Key = tuple[str, str, str]


@dataclass(frozen=True)
class Candidate:
    """An entry that could be made: share, fit, freshness and own score, each 0 to 1.

    ``bottles`` is what the competition wants of it, ``fee`` its fee in the plan's currency. ``own_style``: the style
    is the batch's own; ``fit_known``: there was something to compare. Where it is not the category to enter the beer
    in, ``most`` is a little less than that one's standing, and ``rather`` its code: an entry as something else never
    outranks the one it should be entered as, and takes its place only where limits close it. ``barred``: the error that
    stands against an entry of entries.yaml, which then stands for nothing.
    """

    batch_id: str
    competition_id: str
    category: str
    style: str
    share: float
    fit: float
    freshness: float
    score: float
    bottles: int
    fee: float
    own_style: bool = True
    fit_known: bool = True
    most: float = 1.0
    rather: str = ""
    barred: str = ""

    @property
    def standing(self) -> float:
        """Expected standing, 0 to 1: share × fit × freshness × own score, within ``most``; 0 where it is barred."""
        return 0.0 if self.barred else min(self.share * self.fit * self.freshness * self.score, self.most)

    @property
    def key(self) -> Key:
        """Batch, competition and category."""
        return self.batch_id, self.competition_id, self.category


@dataclass(frozen=True)
class Out:
    """A beer that does not go to a competition: at best in ``category``, with that ``standing``; and why not.

    ``kind`` is one of vitals, wish, late, bottles, error, fit, limit, money, crowded.
    """

    batch_id: str
    competition_id: str
    category: str
    kind: str
    words: str
    standing: float


@dataclass(frozen=True)
class Options:
    """All that a plan chooses from.

    ``candidates`` stand in the order of competitions, batches and categories. ``entered`` are the entries that stand in
    entries.yaml: the plan counts their limits, fees, bottles (``sent_bottles``, ``sent_kg`` by competition), and
    leaves them as they are. ``usable`` are the kinds of bottle, by place in the batch's cellar, that a competition
    takes.
    """

    candidates: tuple[Candidate, ...]
    entered: tuple[Candidate, ...]
    refused: tuple[Out, ...]
    cellars: Mapping[str, Cellar]
    days: Mapping[str, Deadlines]
    usable: Mapping[tuple[str, str], tuple[int, ...]]
    sent_bottles: Mapping[str, int]
    sent_kg: Mapping[str, float]


def options(season: Season, today: dt.date, rates: Mapping[str, float], least: float = LEAST_STANDING) -> Options:
    """What a plan of the season may choose from on a day; ``rates`` turn each currency into the plan's.

    A place whose expected standing is under ``least`` is a poor fit, unless the brewer's wish says that the beer must
    go there. A place where ``check`` would find an error that no plan can change is none.
    """
    every = places(season)
    trial = Trial(season, today)
    takes = allocate(season)
    stock = cellars(season, takes)
    days = {competition_id: deadlines(season, competition_id) for competition_id in season.competitions}
    there = Counter((e.batch_id, e.competition_id) for e in season.entered)
    taken = {(e.batch_id, e.competition_id, e.category.code) for e in season.entered}
    candidates: list[Candidate] = []
    refused: list[Out] = []
    usable: dict[tuple[str, str], tuple[int, ...]] = {}
    for c, competition in season.competitions.items():
        for b, batch in season.batches.items():
            usable[b, c] = stock[b].usable(competition.bottles)
            if there[b, c] and not competition.limits.same_batch_twice:
                continue
            row = [place for place in every.get((b, c), ()) if (b, c, place.category.code) not in taken]
            kind, words = _hindered(season, b, c, stock[b], days[c], today)
            must = batch.wish.get(c) == "must"
            open_to = [place for place in row if not kind and place.style is not None]
            likely = [place for place in open_to if place.share >= least or must or _as_declared(place)]
            made = _capped(likely, [_candidate(season, place, days[c], rates) for place in likely])
            declared = {place.category.code for place in likely if _as_declared(place)}
            kept = [x for x in made if x.standing > 0 and (x.standing >= least or x.category in declared)]
            if must and not kept:  # where it must go and fits nowhere, then where it fits best
                kept = [x for x in made if x.standing > 0 and x.standing == max(y.standing for y in made)][:1]
            at = {place.category.code: place for place in likely}
            errors = {x.category: trial.error(at[x.category]) for x in kept}
            if kept and all(errors.values()):
                worst = max(kept, key=lambda x: x.standing)
                refused.append(_erring(worst, errors[worst.category]))
                continue
            kept = [x for x in kept if not errors[x.category]]
            candidates += kept
            if not kept and not there[b, c]:
                best = max(row, key=lambda place: place.share, default=None)
                told = max(made, key=lambda x: x.standing, default=None)
                if told is None and best is not None:
                    told = _candidate(season, best, days[c], rates)
                refused.append(_refused(b, c, told, kind, words))
    entered = _entered(season, every, days, rates, today)
    bottles, mass = Counter[str](), dict.fromkeys(days, 0.0)
    for e in season.entered:
        bottles[e.competition_id] += sum(take.count for take in takes[e.index])
        mass[e.competition_id] += sum(take.count * take.full_g for take in takes[e.index]) / 1000
    return Options(tuple(candidates), tuple(entered), tuple(refused), stock, days, usable, bottles, mass)


def _entered(
    season: Season,
    every: Mapping[tuple[str, str], Sequence[Place]],
    days: Mapping[str, Deadlines],
    rates: Mapping[str, float],
    today: dt.date,
) -> list[Candidate]:
    """The entries of entries.yaml, with the error that stands against each."""
    barred = barred_entries(season, today)
    wrong: dict[Key, str] = {}
    for e in season.entered:
        key = e.batch_id, e.competition_id, e.category.code
        wrong[key] = wrong.get(key, "") or barred.get(e.index, "")
    return [
        replace(_candidate(season, place, days[place.competition_id], rates), barred=wrong[key])
        for row in every.values()
        for place in row
        if (key := (place.batch_id, place.competition_id, place.category.code)) in wrong
    ]


def _as_declared(place: Place) -> bool:
    """Whether it is what the beer is declared as and should be entered as, however many styles are like it."""
    return place.first and place.own_style and place.beer.placement.declared


def _capped(likely: Sequence[Place], made: Sequence[Candidate]) -> list[Candidate]:
    """Candidates of one beer in one competition: none stands for more than that of the category to enter it in."""
    first = next((x for place, x in zip(likely, made, strict=True) if place.first and x.standing > 0), None)
    if first is None:
        return list(made)
    most = first.standing * NEARLY
    return [x if x is first else replace(x, most=most, rather=first.category) for x in made]


def _candidate(season: Season, place: Place, days: Deadlines, rates: Mapping[str, float]) -> Candidate:
    batch, competition = season.batches[place.batch_id], season.competitions[place.competition_id]
    fit = NO_FIT if place.score is None else place.score
    score = UNSCORED if batch.score is None else batch.score
    return Candidate(
        place.batch_id,
        place.competition_id,
        place.category.code,
        place.style.name if place.style else "",
        place.share if place.style is not None else 0.0,
        fit / 100,
        freshness(batch, place.style, days),
        score / 10,
        competition.bottles.count,
        competition.fee.amount * rates[competition.fee.currency] if competition.fee else 0.0,
        place.own_style,
        place.score is not None,
    )


def _hindered(season: Season, b: str, c: str, cellar: Cellar, days: Deadlines, today: dt.date) -> tuple[str, str]:
    """What stands against a beer in a competition before anything is compared: a kind and words; empty if nothing."""
    batch, competition = season.batches[b], season.competitions[c]
    contradiction = season.contradiction(b)
    if contradiction is not None:
        return "vitals", contradiction.message
    if batch.wish.get(c) == "never":
        return "wish", "you wish it never to go there"
    late = too_late(batch, days, today)
    if late:
        return "late", late
    if not cellar.usable(competition.bottles):  # where there are too few, the plan itself says what is short
        return "bottles", cellar.short_of(competition.bottles.count, competition.bottles)
    if competition.sending and competition.sending.rates and not box_kinds(competition):
        return "bottles", "no box is as light as its sending rates and the organiser want"
    return "", ""


def _refused(b: str, c: str, best: Candidate | None, kind: str, words: str) -> Out:
    if best is None:
        return Out(b, c, "", kind or "fit", words or "no category of it is left", 0.0)
    if kind:
        return Out(b, c, best.category, kind, words, best.standing)
    poor = f"poor fit, at best in {best.category}: {factors(best)}; expected standing {best.standing:.2f}"
    return Out(b, c, best.category, "fit", poor, best.standing)


def _erring(best: Candidate, error: str) -> Out:
    words = f"{best.category} ({factors(best)}): check would call it an error: {error}"
    return Out(best.batch_id, best.competition_id, best.category, "error", words, best.standing)


def factors(candidate: Candidate) -> str:
    """The factors of a candidate's standing in words."""
    fit = f"fit {candidate.fit * 100:.0f}" if candidate.fit_known else f"fit not known, taken as {NO_FIT:.0f}"
    fresh = "" if candidate.freshness == 1 else f", fresh {candidate.freshness:.2f}"
    capped = f", counted below {candidate.rather}" if candidate.rather and candidate.standing == candidate.most else ""
    return f"share {candidate.share:.0%}, {fit}{fresh}{capped}"
