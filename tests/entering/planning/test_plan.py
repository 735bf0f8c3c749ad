"""The plan: against every possible plan of small seasons, against SciPy's solver on larger ones, and its reasons."""

from __future__ import annotations

import datetime as dt
import itertools
import random
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from entryprep.entering.bottles import allocate, bottle_objections, needed
from entryprep.entering.check import check
from entryprep.entering.planning import search
from entryprep.entering.planning.bottlerows import BottleRows
from entryprep.entering.planning.candidates import LEAST_STANDING, Candidate, options
from entryprep.entering.planning.gains import NEAR
from entryprep.entering.planning.model import INFINITY, Programme, Terms, programme
from entryprep.entering.planning.planner import Plan, Wishes, plan
from entryprep.entering.planning.relaxation import Bound, Relaxation
from entryprep.entering.planning.sending import box_kinds
from entryprep.entering.planning.solver import EQUAL, PlanningError, Question
from entryprep.entering.planning.spending import Budget
from entryprep.entering.planning.writing import packable, short_of_bottles, with_entries
from entryprep.entering.season import Season
from entryprep.records.batch import Batch
from entryprep.records.bottles import filled
from entryprep.records.competition import Competition
from entryprep.records.entry import Entry

TODAY = dt.date(2027, 1, 1)
PORTER = {"og": 1.054, "fg": 1.013, "ibu": 32, "srm": 28}
PILS = {"og": 1.047, "fg": 1.009, "ibu": 35, "srm": 3.5}
BITTER = {"og": 1.040, "fg": 1.009, "ibu": 32, "srm": 11}
DATES = {"registration": {"closes": "2027-02-01"}, "delivery": {"closes": "2027-03-01"}, "judging": "2027-03-10"}
CLASSES = [
    {"code": "P", "name": "Porters", "families": ["porter"]},
    {"code": "L", "name": "Pale lagers", "families": ["pale-lager", "czech-lager"]},
    {"code": "B", "name": "Bitters", "families": ["british-bitter"]},
]


def beer(vitals: dict[str, Any], count: int = 6, **more: Any) -> Batch:
    lager = "lager" if vitals is PILS else "ale"
    made = {"name": "Beer", "measured": vitals, "traits": {"fermentation": lager}, "additions": []}
    return Batch.model_validate({**made, "bottles": [{"count": count}], **more})


def cup(**more: Any) -> Competition:
    return Competition.model_validate({"name": "Cup", "categories": CLASSES, "dates": DATES, **more})


def season(beers: dict[str, Batch], cups: dict[str, Competition], entries: Sequence[Entry] = ()) -> Season:
    return Season.build(beers, cups, entries)


def keys(made: Plan) -> list[tuple[str, str, str]]:
    return [each.key for each in made.chosen]


def reason(made: Plan, batch: str, competition: str) -> tuple[str, str]:
    return next((o.kind, o.words) for o in made.left_out if (o.batch_id, o.competition_id) == (batch, competition))


# --- outside checks


def random_season(draw: random.Random, beers: int, cups: int) -> Season:
    kinds = ("longneck", "half-litre", "euro-330")
    batches = {
        f"b{i}": beer(
            draw.choice([PORTER, PILS, BITTER]),
            bottles=[{"count": draw.randint(0, 5), "type": kind} for kind in draw.sample(kinds, 2)],
            keep=draw.randint(0, 2),
            score=draw.randint(3, 10),
            dates={"packaged": draw.choice(["2026-10-01", "2026-12-01", "2026-04-01"])},
        )
        for i in range(beers)
    }
    rates = [{"up_to": "3 kg", "cost": draw.randint(4, 9)}, {"up_to": "9 kg", "cost": draw.randint(10, 15)}]
    made = {
        f"c{i}": cup(
            bottles={"count": draw.choice([1, 2, 3]), "size": ["300 ml", draw.choice(["400 ml", "600 ml"])]},
            limits={
                "per_brewer": draw.choice([1, 2, 3]),
                "per_category": draw.choice([1, 2]),
                "same_batch_twice": draw.random() < 0.3,
            },
            fee={"amount": draw.randint(2, 12), "currency": "EUR"},
            sending={"rates": rates},
        )
        for i in range(cups)
    }
    return season(batches, made)


def every_plan(made: Season, least: float, weight: float, budget: float | None) -> float:
    """The best objective of all sets of entries, each checked by going through bottles, limits and boxes one by one."""
    candidates = options(made, TODAY, {"EUR": 1.0}, least).candidates
    assert len(candidates) <= 14, "too many plans to try them all"
    best, prices = 0.0, dict[tuple[str, int, float], float]()
    for size in range(len(candidates) + 1):
        for chosen in itertools.combinations(candidates, size):
            most = sum(each.standing - weight * each.fee for each in chosen)  # were sending free
            if most > best and _within_limits(made, chosen):
                for money in _costs(made, chosen, prices):
                    if budget is None or money <= budget + 1e-9:
                        best = max(best, sum(each.standing for each in chosen) - weight * money)
    return best


def _within_limits(made: Season, chosen: Sequence[Candidate]) -> bool:
    for c, competition in made.competitions.items():
        own = [each for each in chosen if each.competition_id == c]
        if len(own) > (competition.limits.per_brewer or 99):
            return False
        for code in {each.category for each in own}:
            if sum(each.category == code for each in own) > competition.limits.per_category:
                return False
        batches = [each.batch_id for each in own]
        if not competition.limits.same_batch_twice and len(set(batches)) < len(batches):
            return False
    return True


def _costs(made: Season, chosen: Sequence[Candidate], prices: dict[tuple[str, int, float], float]) -> set[float]:
    """What this set of entries may cost: for every way to take its bottles from the cellar, the cheapest boxes."""
    ways: list[dict[str, tuple[int, float]]] = [dict.fromkeys(made.competitions, (0, 0.0))]
    for b, batch in made.batches.items():
        own = [each for each in chosen if each.batch_id == b]
        stock = [filled(bottles) for bottles in batch.bottles]
        if sum(each.bottles for each in own) > max(sum(bottle.count for bottle in stock) - batch.keep, 0):
            return set()
        taken = _takings(made, own, [bottle.count for bottle in stock], stock)
        joined = ({c: (n + m[c][0], kg + m[c][1]) for c, (n, kg) in way.items()} for way in ways for m in taken)
        ways = list({tuple((n, round(kg, 6)) for n, kg in way.values()): way for way in joined}.values())
    fees, found = sum(each.fee for each in chosen), set()
    for way in ways:
        cost = fees
        for c, (n, kg) in way.items():
            key = (c, n, round(kg, 6))
            if key not in prices:
                prices[key] = _boxes(made.competitions[c], n, kg)
            cost += prices[key]
        found.add(cost)
    return found


def _takings(made: Season, own: Sequence[Candidate], left: list[int], stock: Any) -> list[dict[str, tuple[int, float]]]:
    if not own:
        return [dict.fromkeys(made.competitions, (0, 0.0))]
    first, found = own[0], {}
    usable = [
        i for i, b in enumerate(stock) if not bottle_objections(b, made.competitions[first.competition_id].bottles)
    ]
    for counts in itertools.product(*(range(min(left[i], first.bottles) + 1) for i in usable)):
        if sum(counts) == first.bottles:
            rest = list(left)
            for i, count in zip(usable, counts, strict=True):
                rest[i] -= count
            kg = sum(stock[i].full_g / 1000 * count for i, count in zip(usable, counts, strict=True))
            for way in _takings(made, own[1:], rest, stock):
                n, mass = way[first.competition_id]
                more = {**way, first.competition_id: (n + first.bottles, mass + kg)}
                found[tuple((n, round(kg, 6)) for n, kg in more.values())] = more
    return list(found.values())


def _boxes(competition: Competition, bottles: int, mass_kg: float) -> float:
    """The cheapest boxes, by trying up to four of every kind."""
    if not bottles:
        return 0.0
    kinds = box_kinds(competition)
    best = float("inf")
    for counts in itertools.product(range(5), repeat=len(kinds)):
        slots = sum(n * kind.slots for n, kind in zip(counts, kinds, strict=True))
        payload = sum(n * kind.payload_kg for n, kind in zip(counts, kinds, strict=True))
        if slots >= bottles and payload >= mass_kg - 1e-9:
            best = min(best, sum(n * kind.cost for n, kind in zip(counts, kinds, strict=True)))
    return best


@pytest.mark.parametrize("seed", range(24))
def test_no_plan_of_a_small_season_is_better(seed: int) -> None:
    draw = random.Random(seed)
    made = random_season(draw, 3, 2)
    budget = draw.choice([None, None, 12.0, 25.0])
    weight = draw.choice([0.0, 0.01, 0.05])
    found = plan(made, TODAY, Wishes(budget=budget, weight=weight, least=0.05, gains=0))
    assert found.gap == 0
    assert found.objective == pytest.approx(every_plan(made, 0.05, weight, budget), abs=2e-6)
    assert budget is None or found.fees + found.sending <= budget + 1e-9
    assert short_of_bottles(made, packable(made, found.chosen)) == []


def by_scipy(made: Season, weight: float, budget: float | None) -> float:
    """The same question put to SciPy in other words: numbers of boxes of each kind, and no row that only helps."""
    found = options(made, TODAY, {"USD": 1.0, "EUR": 1.0}, 0.05)
    columns: list[tuple[str, Any]] = [("entry", each) for each in found.candidates]
    bottles = sorted({(x.batch_id, x.competition_id) for x in found.candidates})
    columns += [("kind", (b, c, i)) for b, c in bottles for i in found.usable[b, c]]
    columns += [("box", (c, kind)) for c, cup in made.competitions.items() for kind in box_kinds(cup)]
    worth = np.array([_worth(name, what, weight) for name, what in columns])
    rows: list[tuple[list[float], float]] = []

    def at_most(limit: float, part: Any) -> None:
        rows.append(([part(name, what) for name, what in columns], limit))

    for b, c in bottles:
        for sign in (1, -1):
            at_most(
                0,
                lambda n, w, b=b, c=c, sign=sign: (
                    sign
                    * (
                        w.bottles * ((w.batch_id, w.competition_id) == (b, c))
                        if n == "entry"
                        else -(w[:2] == (b, c)) * (n == "kind")
                    )
                ),
            )
        if not made.competitions[c].limits.same_batch_twice:
            at_most(1, lambda n, w, b=b, c=c: n == "entry" and (w.batch_id, w.competition_id) == (b, c))
    for b, cellar in found.cellars.items():
        at_most(cellar.available, lambda n, w, b=b: n == "kind" and w[0] == b)
        for i, free in enumerate(cellar.free):
            at_most(free, lambda n, w, b=b, i=i: n == "kind" and (w[0], w[2]) == (b, i))
    for c, competition in made.competitions.items():
        if competition.limits.per_brewer is not None:
            at_most(competition.limits.per_brewer, lambda n, w, c=c: n == "entry" and w.competition_id == c)
        for k in competition.categories:
            limit = k.limit_per_brewer or competition.limits.per_category
            at_most(limit, lambda n, w, c=c, k=k: n == "entry" and (w.competition_id, w.category) == (c, k.code))
        at_most(0, lambda n, w, c=c: (n == "kind" and w[1] == c) - (w[1].slots if n == "box" and w[0] == c else 0))
        at_most(
            0,
            lambda n, w, c=c: (
                found.cellars[w[0]].kinds[w[2]].full_g / 1000
                if n == "kind" and w[1] == c
                else -w[1].payload_kg
                if n == "box" and w[0] == c
                else 0
            ),
        )
    if budget is not None:
        at_most(budget, lambda n, w: w.fee if n == "entry" else w[1].cost if n == "box" else 0)
    high = np.array([1 if name == "entry" else 400 for name, _ in columns])
    answer = milp(
        -worth,
        constraints=LinearConstraint(np.array([row for row, _ in rows], dtype=float), ub=[limit for _, limit in rows]),
        bounds=Bounds(0, high),
        integrality=np.ones(len(columns)),
        options={"mip_rel_gap": 0},
    )
    assert answer.success
    return -float(answer.fun)


def _worth(name: str, what: Any, weight: float) -> float:
    if name == "entry":
        return float(what.standing - weight * what.fee)
    return -weight * float(what[1].cost) if name == "box" else 0.0


@pytest.mark.parametrize(
    ("seed", "budget"),
    [
        (100, None),
        (101, None),
        (102, 60.0),
        (103, 100.0),
        (104, None),
        (105, 20.0),
        (106, 45.5),
        (107, 80.0),
        (108, 130.0),
        (109, 0.0),
        (110, 33.3),
        (111, 64.0),
    ],
)
def test_scipy_finds_no_better_plan(seed: int, budget: float | None) -> None:
    made = random_season(random.Random(seed), 9, 4)
    found = plan(made, TODAY, Wishes(budget=budget, least=0.05, gains=0))
    assert found.objective == pytest.approx(by_scipy(made, 0.01, budget), abs=2e-6)


# --- what counts


def test_parts_of_the_objective_are_those_of_the_entries() -> None:
    made = plan(season({"p": beer(PORTER, score=8)}, {"c": cup(fee={"amount": 10, "currency": "USD"})}), TODAY)
    (only,) = made.chosen
    assert only.standing == pytest.approx(only.share * only.fit * 1.0 * 0.8)
    assert (made.fees, made.sending, made.currency) == (10, 0, "USD")
    assert made.objective == pytest.approx(only.standing - 0.01 * 10)


def test_bottles_kept_back_stay_in_the_cellar() -> None:
    cups = {"c": cup(), "d": cup()}
    assert len(plan(season({"p": beer(PORTER, 4)}, cups), TODAY).chosen) == 2
    kept = plan(season({"p": beer(PORTER, 4, keep=1)}, cups), TODAY)
    assert keys(kept) == [("p", "c", "P")]
    kind, words = reason(kept, "p", "d")
    assert kind == "bottles"
    assert "1 bottle left, 1 kept back, 2 wanted" in words
    assert "crowded out by Beer in c P" in words


def test_one_more_bottle_is_worth_what_the_next_plan_gains() -> None:
    cups = {"c": cup(), "d": cup()}
    short = plan(season({"p": beer(PORTER, 3)}, cups), TODAY)
    enough = plan(season({"p": beer(PORTER, 4)}, cups), TODAY)
    gain = next(each for each in short.gains if each.limit == ("bottles", "p"))
    assert gain.gain == pytest.approx(enough.objective - short.objective)
    assert gain.added == (("p", "d", "P"),)


def test_one_more_place_is_worth_what_the_next_plan_gains() -> None:
    beers = {"p": beer(PORTER), "q": beer(PORTER, score=9)}
    tight = plan(season(beers, {"c": cup()}), TODAY)
    wide = plan(season(beers, {"c": cup(limits={"per_category": 2})}), TODAY)
    assert keys(tight) == [("q", "c", "P")]
    gain = next(each for each in tight.gains if each.limit == ("category", "c", "P"))
    assert gain.gain == pytest.approx(wide.objective - tight.objective)
    assert reason(tight, "p", "c")[0] == "limit"
    assert "crowded out by Beer in c P" in reason(tight, "p", "c")[1]


def test_of_equal_beers_the_first_goes() -> None:
    beers = {name: beer(PORTER) for name in ("a", "b", "c")}
    assert keys(plan(season(beers, {"x": cup(), "y": cup(limits={"per_brewer": 1})}), TODAY)) == [
        ("a", "x", "P"),
        ("a", "y", "P"),
    ]


def test_own_score_decides_between_beers_alike() -> None:
    beers = {"a": beer(PORTER, score=6), "b": beer(PORTER, score=9)}
    assert keys(plan(season(beers, {"x": cup()}), TODAY)) == [("b", "x", "P")]


def test_wishes_outrank_the_objective_and_the_poor_fit() -> None:
    beers = {"a": beer(PORTER, score=1, wish={"x": "must"}), "b": beer(PORTER, score=9)}
    assert keys(plan(season(beers, {"x": cup()}), TODAY)) == [("a", "x", "P")]
    never = {"a": beer(PORTER, wish={"x": "never"})}
    found = plan(season(never, {"x": cup()}), TODAY)
    assert (found.chosen, reason(found, "a", "x")[0]) == ((), "wish")


def test_a_wish_that_cannot_be_is_told_and_spoils_nothing() -> None:
    beers = {"a": beer(PORTER, 0, wish={"x": "must"}), "b": beer(PORTER)}
    found = plan(season(beers, {"x": cup()}), TODAY)
    assert found.unmet == (("a", "x"),)
    assert keys(found) == [("b", "x", "P")]


@pytest.mark.parametrize(
    ("batch", "today", "words"),
    [
        ({}, dt.date(2027, 2, 2), "registration closed on 2027-02-01"),
        ({"dates": {"packaged": "2027-02-28"}}, TODAY, "packaged on 2027-02-28"),
        (
            {"carbonation": {"method": "bottle-conditioned", "started": "2027-02-20", "weeks_needed": 3}},
            TODAY,
            "conditioned on 2027-03-13, after judging on 2027-03-10",
        ),
    ],
)
def test_what_comes_too_late_does_not_go(batch: dict[str, Any], today: dt.date, words: str) -> None:
    found = plan(season({"a": beer(PORTER, **batch)}, {"x": cup(delivery={"ways": ["carrier"]})}), today)
    assert reason(found, "a", "x")[0] == "late"
    assert words in reason(found, "a", "x")[1]


def test_a_bottle_that_is_refused_is_told() -> None:
    found = plan(season({"a": beer(PORTER)}, {"x": cup(bottles={"glass": ["green"]})}), TODAY)
    assert reason(found, "a", "x") == ("bottles", "no bottles that it takes, 2 wanted (glass not taken)")


def test_a_poor_fit_does_not_go_though_it_costs_nothing() -> None:
    into = cup(categories=[{"code": "L", "name": "Pale lagers", "families": ["pale-lager"]}])
    found = plan(season({"a": beer(PORTER)}, {"x": into}), TODAY)
    assert reason(found, "a", "x")[0] == "fit"


def test_money_is_weighed_and_the_budget_kept() -> None:
    beers = {"a": beer(PORTER), "b": beer(PILS)}
    dear = cup(fee={"amount": 200, "currency": "USD"})
    found = plan(season(beers, {"x": dear}), TODAY)
    assert reason(found, "a", "x")[0] == "money"
    assert "not worth the money" in reason(found, "a", "x")[1]
    assert len(plan(season(beers, {"x": dear}), TODAY, Wishes(weight=0.0)).chosen) == 2
    within = plan(season(beers, {"x": cup(fee={"amount": 10, "currency": "USD"})}), TODAY, Wishes(budget=15))
    assert len(within.chosen) == 1
    assert any("5.00 of the budget is left" in out.words for out in within.left_out)


def test_currencies_are_not_added_without_a_rate() -> None:
    cups = {"x": cup(fee={"amount": 10, "currency": "USD"}), "y": cup(fee={"amount": 10, "currency": "EUR"})}
    with pytest.raises(PlanningError) as caught:
        plan(season({"a": beer(PORTER)}, cups), TODAY)
    assert "--rate EUR=" in caught.value.fix
    assert plan(season({"a": beer(PORTER)}, cups), TODAY, Wishes(rates={"EUR": 1.5})).fees == 25


def test_entries_that_stand_keep_their_bottles_places_and_money() -> None:
    entries = [Entry(batch="a", competition="x", category="P")]
    beers = {"a": beer(PORTER, 3), "b": beer(PORTER)}
    cups = {name: cup(fee={"amount": 10, "currency": "USD"}) for name in ("x", "y")}
    found = plan(season(beers, cups, entries), TODAY)
    assert keys(found) == [("b", "y", "P")]  # a has one bottle left, and x takes one porter of a brewer
    assert [each.key for each in found.entered] == [("a", "x", "P")]
    assert found.fees == 20
    with pytest.raises(PlanningError):
        plan(season(beers, cups, entries), TODAY, Wishes(budget=5))


def test_sending_by_weight_counts_those_entered() -> None:
    rates = {"rates": [{"up_to": "3 kg", "cost": 8}, {"up_to": "9 kg", "cost": 20}], "currency": "USD"}
    entries = [Entry(batch="a", competition="x", category="P")]
    beers = {"a": beer(PORTER, 4), "b": beer(PILS)}
    found = plan(season(beers, {"x": cup(sending=rates)}, entries), TODAY)
    # 4 longnecks of 0.561 kg and 0.6 kg of packing for six: 2.8 kg (packing and mass: see tests of the packing list)
    assert (found.sent[0].bottles, found.sending) == (4, 8)


def test_bottles_of_a_plan_are_found_by_the_packing_list_and_the_check() -> None:
    made = random_season(random.Random(7), 8, 4)
    found = plan(made, TODAY)
    entries = packable(made, found.chosen)
    after = with_entries(made, entries)
    takes = allocate(after)
    assert all(sum(t.count for t in takes[e.index]) == needed(e) for e in after.entered)
    rules = {f.rule for f in check(after, TODAY)}
    broken = {"bottles-too-few", "entries-over-limit", "category-over-limit", "batch-twice", "style-not-in-category"}
    assert not rules & {*broken, "delivery-closed", "registration-closed", "conditioning-unfinished"}


def test_a_plan_is_the_same_every_time() -> None:
    made = random_season(random.Random(3), 8, 4)
    assert plan(made, TODAY) == plan(made, TODAY)


def asked(made: Season, budget: float | None = None, least: float = LEAST_STANDING) -> Question:
    every = options(made, TODAY, {"USD": 1.0, "EUR": 1.0}, least)
    boxes = {c: box_kinds(competition) for c, competition in made.competitions.items()}
    return Question(made, every, programme(made, every, Terms(0.01, budget, boxes)))


def by_milp(made: Programme, bounds: Sequence[tuple[float, float]], choice: Sequence[int]) -> float:
    """The best of a programme that spends a choice, by SciPy."""
    low, high = (np.array([row[end] for row in made.rows], dtype=float) for end in (0, 1))
    cost = 0.0
    for spending, k in zip(made.spendings, choice, strict=True):
        high[spending.count_row], high[spending.load_row], paid = spending.tiers[k]
        cost += made.weight * paid
    matrix = np.zeros((len(made.rows), len(made.values)))
    for i, (_, _, parts) in enumerate(made.rows):
        matrix[i, list(parts)] = list(parts.values())
    found = milp(
        -np.array(made.values),
        constraints=LinearConstraint(matrix, low, high),
        integrality=np.ones(len(made.values)),
        bounds=Bounds(np.array([b[0] for b in bounds]), np.array([float(b[1]) for b in bounds])),
        options={"mip_rel_gap": 0},
    )
    return -float(found.fun) - cost if found.success else -INFINITY


def some_choices(draw: random.Random, made: Programme, count: int) -> list[tuple[int, ...]]:
    return [tuple(draw.randrange(len(s.tiers)) for s in made.spendings) for _ in range(count)]


@pytest.mark.parametrize("seed", range(4))
def test_what_the_duals_forbid_is_in_no_plan_as_good(seed: int) -> None:
    """Columns fixed by reduced costs: with them, and with each of them turned, SciPy is asked what is left."""
    draw = random.Random(900 + seed)
    question = asked(random_season(draw, 6, 3))
    made = question.made
    (choice,) = some_choices(draw, made, 1)
    relaxed = Relaxation(made)
    relaxed.spend(choice)
    relaxed.run()
    best = by_milp(made, made.bounds, choice)
    answer = relaxed.branch(EQUAL / 10)
    assert answer is not None
    assert answer[0] == pytest.approx(best, abs=2e-6)
    for column in relaxed.settle(best - EQUAL)[:12]:
        low, high = made.bounds[column]
        at = round(relaxed.answer[column])
        for other in ((low, at - 1), (at + 1, high)):
            if other[0] <= other[1]:
                bounds = [*made.bounds[:column], other, *made.bounds[column + 1 :]]
                assert by_milp(made, bounds, choice) < best - EQUAL / 2


@pytest.mark.parametrize("seed", range(4))
def test_bounds_hold_whatever_is_spent(seed: int) -> None:
    """Duals of one way to spend, and of mixtures of all, bound the best of any other, which SciPy finds."""
    draw = random.Random(300 + seed)
    made = asked(random_season(draw, 6, 3), budget=60.0).made
    relaxed = Relaxation(made)
    relaxed.run()
    bounds = [relaxed.bound()]
    for choice in some_choices(draw, made, 2):
        relaxed.spend(choice)
        relaxed.run()
        bounds.append(relaxed.bound())
        assert bounds[-1].of(choice) == pytest.approx(relaxed.value, abs=1e-6)
    for choice in some_choices(draw, made, 12):
        best = by_milp(made, made.bounds, choice)
        assert all(bound.of(choice) >= best - 1e-6 for bound in bounds)


def test_choices_are_all_that_can_be_paid_and_may_be_better() -> None:
    """Against every choice, tried one by one."""
    draw = random.Random(11)
    made = asked(random_season(draw, 5, 3), budget=41.7).made
    tiers = [spending.tiers for spending in made.spendings]
    bounds = [
        Bound(draw.random(), tuple(np.array([draw.uniform(-1, 1) for _ in each]) for each in tiers)) for _ in range(3)
    ]
    expected = {
        choice: min(bound.of(choice) for bound in bounds)
        for choice in itertools.product(*(range(len(each)) for each in tiers))
        if sum(each[k].cost for each, k in zip(tiers, choice, strict=True)) <= 41.7
    }
    worth = sorted(expected.values())[len(expected) // 2]
    budget = Budget(made)
    listed = budget.above(bounds, worth, 10**6)
    assert listed is not None
    found = {tuple(int(k) for k in choice): float(top) for choice, top in zip(*listed, strict=True)}
    assert found == {choice: pytest.approx(top) for choice, top in expected.items() if top > worth}
    assert len(found) > 3
    assert budget.above(bounds, worth, 1) is None
    highest = bounds[0].of(budget.best(bounds[0], budget.rest(bounds[0])))
    payable = [bounds[0].of(choice) for choice in expected]
    assert highest >= max(payable) - 1e-9  # costs rounded down allow a little more, never less


@pytest.mark.parametrize("seed", range(6))
def test_rows_of_bottles_take_no_plan_away(seed: int) -> None:
    """Every row that an answer in parts breaks is kept by all sets of entries that the bottles suffice for."""
    draw = random.Random(500 + seed)
    made = random_season(draw, 4, 5)
    question = asked(made, least=0.02)
    rows = BottleRows(made, question.options)
    candidates = question.options.candidates
    found = [row for _ in range(20) for row in rows.broken([draw.random() for _ in candidates])]
    assert found
    for row in found:
        own = [x for x, each in enumerate(candidates) if each.batch_id == row.batch_id]
        for size in range(len(own) + 1):
            for taken in itertools.combinations(own, size):
                chosen = [candidates[x] for x in taken]
                if _suffice(made, row.batch_id, chosen):
                    assert sum(row.parts.get(x, 0.0) for x in taken) <= row.high + 1e-9


def _suffice(made: Season, b: str, chosen: Sequence[Candidate]) -> bool:
    batch = made.batches[b]
    stock = [filled(bottles) for bottles in batch.bottles]
    pairs = [(x.competition_id) for x in chosen]
    if any(pairs.count(c) > 1 and not made.competitions[c].limits.same_batch_twice for c in pairs):
        return False
    if sum(x.bottles for x in chosen) > max(sum(bottle.count for bottle in stock) - batch.keep, 0):
        return False
    return bool(_takings(made, chosen, [bottle.count for bottle in stock], stock))


@pytest.mark.parametrize("seed", range(5))
def test_a_gain_lies_between_what_is_told(seed: int) -> None:
    """Against plans of the season with the bottle more, solved by themselves."""
    draw = random.Random(700 + seed)
    made = random_season(draw, 8, 4)
    wishes = Wishes(budget=draw.choice([None, 45.0, 70.0]), least=0.05, gains=4)
    found = plan(made, TODAY, wishes)
    for gain in found.gains:
        if gain.gain is None or gain.limit[0] != "bottles":
            continue
        batch = made.batches[gain.limit[1]]
        most = max(range(len(batch.bottles)), key=lambda i: (batch.bottles[i].count, -i))
        bottles = [b.model_copy(update={"count": b.count + (i == most)}) for i, b in enumerate(batch.bottles)]
        batches = {**made.batches, gain.limit[1]: batch.model_copy(update={"bottles": bottles})}
        more = plan(season(batches, made.competitions), TODAY, replace(wishes, gains=0)).objective - found.objective
        assert gain.gain - 2e-6 <= more <= (gain.gain if gain.most is None else gain.most) + NEAR


@pytest.mark.parametrize(("most", "budget"), [("MOST_CHOICES", 60.0), ("MOST_RUNS", 60.0), ("MOST_CHOICES", None)])
def test_with_too_much_to_go_through_the_tiers_are_branched_on(
    monkeypatch: pytest.MonkeyPatch, most: str, budget: float | None
) -> None:
    made = random_season(random.Random(104), 9, 4)
    expected = plan(made, TODAY, Wishes(budget=budget, least=0.05, gains=0))
    monkeypatch.setattr(search, most, 0)
    found = plan(made, TODAY, Wishes(budget=budget, least=0.05, gains=0))
    assert found.objective == pytest.approx(expected.objective, abs=2e-6)
    assert found.gap == 0
