"""Specialty and hybrid beers go where they belong, and the question that decides is the one asked."""

from __future__ import annotations

import itertools
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy

from entryprep import Reading, Vitals, fit, load_styles, rank
from entryprep.beer.beer import Beer
from entryprep.beer.questions import QUESTIONS, information, likely, pulls, questions
from entryprep.beer.routing import batch_facts, leaning, route
from entryprep.beer.special_questions import special_questions
from entryprep.records.batch import Batch
from entryprep.tables.routing import RoutingRule, routing_table
from entryprep.tables.style import ADDITIONS, TRAITS
from tests.benchmarks.simulated import by_one_question, by_ranking, draw, hits
from tests.vectors.published import numbered_rows
from tests.vectors.special import Special, special_beers

TABLE = load_styles()
BEERS = special_beers()


def places(beer: Special) -> int:
    """At which place the first right style stands, from 0."""
    found = Beer.from_batch(beer.batch, table=TABLE)
    order = [style.id for style, _ in found.ranking.shares]
    return min(order.index(style) for style in beer.right)


def test_special_beers_are_ranked_where_they_belong() -> None:
    assert len(BEERS) >= 60
    assert sum(beer.published for beer in BEERS) * 2 >= len(BEERS)
    found = {beer.name: places(beer) for beer in BEERS}
    misses = sorted(name for name, place in found.items() if place)
    assert sum(place == 0 for place in found.values()) >= 0.90 * len(BEERS), misses
    assert sum(place < 3 for place in found.values()) >= 0.98 * len(BEERS), misses


def test_beers_of_practice_are_ranked_where_they_belong() -> None:
    """Processes in words, known styles at another strength or colour, barrels, cultures by origin, seasons' spices."""
    beers = special_beers("special-beers-practice.yaml")
    found = {beer.name: places(beer) for beer in beers}
    misses = sorted(name for name, place in found.items() if place)
    assert sum(place == 0 for place in found.values()) >= 0.95 * len(beers), misses
    assert sum(place < 3 for place in found.values()) >= 0.98 * len(beers), misses


def test_doses_are_judged_as_common_practice_has_them() -> None:
    pairs = [
        (v.word, wanted, beer.name, v.addition.what)
        for beer in BEERS
        for v, wanted in zip(Beer.from_batch(beer.batch).verdicts, beer.doses, strict=True)
    ]
    wrong = [pair for pair in pairs if pair[0] != pair[1]]
    assert len(wrong) <= 0.05 * len(pairs), wrong


def test_rules_name_styles_that_are_there() -> None:
    table = routing_table()
    named = {style for rule in table.rules for style in rule.to}
    named |= {*table.sour_bases, *(style for t in table.traditions for style in t.styles)}
    assert named <= TABLE.styles.keys()
    assert all(rule.id and rule.source for rule in table.rules)


@given(st.sets(st.sampled_from(ADDITIONS), min_size=1))
def test_whatever_is_added_is_sent_somewhere(kinds: set[str]) -> None:
    assert route(frozenset(kinds)).to


def test_a_competitions_own_rules_come_first() -> None:
    rule = RoutingRule.model_validate({"all": ["fruit"], "none": ["spice"], "to": "experimental-beer", "why": "theirs"})
    assert route(frozenset({"fruit"}), [rule]).to == ("experimental-beer",)
    assert route(frozenset({"fruit", "spice"}), [rule]).to == ("fruit-and-spice-beer",)
    assert route(frozenset(), [rule]).to == ()


def test_ties_are_told_as_ties() -> None:
    assert len(route(frozenset({"wood", "fruit"})).to) == 2


@pytest.mark.parametrize(
    ("style", "base", "what", "meant"),
    [
        ("American porter", None, "coffee", "american-porter"),  # coffee in it makes it something on its base
        ("American porter", "sweet stout", "coffee", "sweet-stout"),
        ("American porter", "porter", "coffee", None),  # a name that leaves several open
        ("American porter", None, None, None),
        ("gose", None, "salt", None),  # has it by tradition
        ("spice, herb, or vegetable beer", None, "coffee", None),
    ],
)
def test_a_plain_style_is_the_base_of_what_was_added_to_it(
    style: str, base: str | None, what: str | None, meant: str | None
) -> None:
    """Common practice: a coffee porter is a spice beer on a base of porter."""
    additions = [{"what": what, "kind": "spice", "mass": 0.2}] if what else []
    made = {"name": "Dunlin", "volume": 20, "style": style, "base": base, "additions": additions}
    found = Beer.from_batch(Batch.model_validate(made)).base
    assert (found.id if found is not None else None) == meant


@pytest.mark.parametrize(
    ("spices", "season"),
    [
        (["gingerbread spice"], {"winter-spice"}),
        (["pumpkin", "cinnamon"], {"autumn-spice"}),
        (["pumpkin pie spice"], {"autumn-spice"}),
        (["pumpkin"], set()),
        (["cinnamon"], set()),
        (["cinnamon", "nutmeg"], {"season"}),  # of which one hangs on strength and colour
    ],
)
def test_spices_tell_their_season(spices: list[str], season: set[str]) -> None:
    """Common practice: pies in autumn, gingerbread and mulled things in winter."""
    made = {"name": "Dunlin", "volume": 20, "additions": [{"what": each, "kind": "spice"} for each in spices]}
    assert Beer.from_batch(Batch.model_validate(made)).route.facts - {"spice"} == season


@pytest.mark.parametrize(("what", "grape"), [("Riesling must", True), ("white grapes", True), ("plums", False)])
def test_grapes_are_told_from_other_fruit(what: str, grape: bool) -> None:
    """A beer with grapes is a grape ale: common practice."""
    made = {"name": "Dunlin", "volume": 20, "additions": [{"what": what, "kind": "fruit", "mass": 5}]}
    assert ("grape" in Beer.from_batch(Batch.model_validate(made)).route.facts) is grape


def test_what_a_style_has_by_tradition_is_said_to_be_why_it_stays() -> None:
    """Gose is brewed with salt and coriander: common practice."""
    spices = [{"what": each, "kind": "spice"} for each in ("salt", "coriander")]
    numbers = {"measured": {"og": 1.042, "fg": 1.008}, "predicted": {"ibu": 8, "srm": 3}}
    made = {"name": "Dunlin", "volume": 20, "additions": spices, "traits": {"sourness": "marked"}, **numbers}
    placed = Beer.from_batch(Batch.model_validate(made)).placement
    assert placed.style is not None
    assert (placed.style.id, placed.why) == ("gose", "salt, coriander belongs to it by tradition")


@pytest.mark.parametrize(
    ("wood", "spirit"),
    [
        ({"what": "oak cubes"}, False),
        ({"what": "oak cubes", "strength": 40}, True),  # soaked
        ({"what": "bourbon barrel"}, True),  # what it held is in its wood
        ({"what": "barrel"}, False),
    ],
)
def test_wood_that_held_spirit_brings_it(wood: dict[str, Any], spirit: bool) -> None:
    """Common practice: a barrel, or soaked wood, gives what it holds to the beer."""
    made = {"name": "Sanderling", "volume": 20, "additions": [{"kind": "wood", "mass": 0.06, "days": 60, **wood}]}
    facts = Beer.from_batch(Batch.model_validate(made)).route.facts
    assert facts & {"wood", "spirit"} == ({"wood", "spirit"} if spirit else {"wood"})


@pytest.mark.parametrize(("hops", "gruit"), [(None, True), ("low", True), ("medium", False)])
def test_herbs_of_the_time_before_hops_make_a_gruit_unless_it_is_hopped(hops: str | None, gruit: bool) -> None:
    """Gruit is beer of herbs in place of hops: common practice."""
    herbs = [{"what": what, "kind": "spice", "mass": 0.02} for what in ("bog myrtle", "yarrow")]
    traits = {"hops": hops} if hops else {}
    made = {"name": "Sanderling", "volume": 20, "measured": {"og": 1.050, "fg": 1.012}, "traits": traits}
    beer = Beer.from_batch(Batch.model_validate({**made, "additions": herbs}))
    assert (beer.placement.style is not None and beer.placement.style.id == "gruit") is gruit


def test_what_is_too_faint_is_no_fact() -> None:
    def facts(mass: float, **more: Any) -> frozenset[str]:
        addition = {"what": "raspberries", "kind": "fruit", "mass": mass, **more}
        return batch_facts(Batch.model_validate({"name": "x", "volume": 20, "additions": [addition]}))

    assert "fruit" in facts(3)
    assert "fruit" not in facts(0.2)
    assert "fruit" in facts(0.2, perceived="clear")
    assert "fruit" not in facts(3, perceived="not at all")


def test_nothing_special_leans_away_from_special_categories_only() -> None:
    factors = leaning(route(frozenset()), TABLE)
    assert factors.keys() == {style.id for style in TABLE if style.specialty}


# --- what would decide -----------------------------------------------------------------------------------------------

HAZY = Vitals(og=1.062, fg=1.013, ibu=48, srm=5)
HAZY_TRAITS = {"fermentation": "ale", "hops": "high", "hop_kind": "new-world", "yeast": "fruity", "grain": "barley"}


def test_information_is_that_of_the_joint_distribution() -> None:
    """Mutual information by its definition, from the enumerated joint distribution, with scipy's entropies."""
    ranking = rank(HAZY, HAZY_TRAITS, TABLE, ())
    styles = likely(ranking)
    from entryprep.beer.traits import trait_chance

    for asked in questions(ranking, HAZY_TRAITS):
        joint = [[share * trait_chance(s, asked.trait, v) for v in TRAITS[asked.trait]] for s, share in styles]
        columns = [sum(column) for column in zip(*joint, strict=True)]
        flat = list(itertools.chain.from_iterable(joint))
        by_entropy = entropy([share for _, share in styles], base=2) + entropy(columns, base=2) - entropy(flat, base=2)
        assert asked.bits == pytest.approx(float(by_entropy), abs=1e-9)
        assert math.isclose(sum(chance for _, _, chance in asked.answers), 1.0, abs_tol=1e-9)


@given(st.lists(st.tuples(st.floats(0.01, 1), st.floats(0, 1)), min_size=2, max_size=12))
def test_information_is_never_negative_nor_above_what_is_open(rows: list[tuple[float, float]]) -> None:
    total = sum(weight for weight, _ in rows)
    shares = [weight / total for weight, _ in rows]
    bits = information(shares, {"yes": [p for _, p in rows], "no": [1 - p for _, p in rows]})
    assert -1e-12 <= bits <= min(1.0, float(entropy(shares, base=2))) + 1e-9


def test_a_fact_that_is_the_same_everywhere_tells_nothing() -> None:
    assert information([0.3, 0.7], {"a": [0.4, 0.4], "b": [0.6, 0.6]}) == pytest.approx(0.0, abs=1e-12)
    assert information([0.5, 0.5], {"a": [1.0, 0.0], "b": [0.0, 1.0]}) == pytest.approx(1.0)


def test_bright_or_hazy_settles_two_kinds_of_ipa() -> None:
    ranking = rank(HAZY, HAZY_TRAITS, TABLE, ())
    first = next(q for q in questions(ranking, HAZY_TRAITS) if q.trait == "clarity")
    speaks = {value: style.id for value, style, _ in first.answers}
    assert speaks["hazy"] == "hazy-ipa"
    assert speaks["bright"] != "hazy-ipa"
    assert "Hazy IPA" in first.settles
    assert "clarity" not in {q.trait for q in questions(ranking, {**HAZY_TRAITS, "clarity": "hazy"})}


def test_every_trait_has_a_question() -> None:
    assert QUESTIONS.keys() == TRAITS.keys()


def test_pulls_name_what_speaks_for_which_of_two() -> None:
    porter, stout = TABLE.find("English porter"), TABLE.find("Irish stout")
    found = pulls(Vitals(og=1.040, fg=1.009, ibu=38, srm=36), {"malt": "roasted"}, porter, stout)
    assert found
    assert {pull.towards.id for pull in found} == {"irish-stout"}
    assert [pull.strength for pull in found] == sorted((pull.strength for pull in found), reverse=True)


def test_a_beer_of_numbers_is_routed_by_its_kinds() -> None:
    beer = Beer(og=1.050, fg=1.010, traits={"fermentation": "wild"}, additions=("fruit",))
    assert beer.route.to == ("wild-specialty-beer",)
    assert Beer(og=1.050, fg=1.010).kinds is None


def test_one_question_raises_the_hits() -> None:
    """On simulated beers (see tests/benchmarks), the question asked first raises the hits at 1 by a tenth or more."""
    rows = numbered_rows()
    styles = [TABLE.find(row.name) for row in rows]
    beers = list(draw(rows, styles, 3, 20270220))
    alone, asked = hits(beers, by_ranking(styles, ()))[0], hits(beers, by_one_question(styles))[0]
    assert asked >= alone + 0.10


def test_the_colour_of_fruit_is_not_held_against_a_fruit_lambic() -> None:
    kriek, other = TABLE.find("kriek"), TABLE.find("gueuze")
    red = Vitals(og=1.050, fg=1.004, srm=Reading(16, origin="measured"))
    assert fit(red, kriek).part("srm") is None
    assert fit(red, other).part("srm") is not None
    assert fit(Vitals(og=1.050, fg=1.004, srm=Reading(16, origin="predicted")), kriek).part("srm") is not None


# --- what a steward would ask of a special beer ----------------------------------------------------------------------


def test_every_open_special_beer_has_a_question_and_its_answers_count() -> None:
    """Of the beers of both files; information by its definition, with scipy's entropies."""
    asked_of_additions = 0
    for special in (*BEERS, *special_beers("special-beers-practice.yaml")):
        beer = Beer.from_batch(special.batch, table=TABLE)
        if beer.ranking.settled:
            continue
        assert beer.questions, special.name
        for asked in beer.questions:
            assert {value for value, _, _ in asked.answers} == set(asked.values), special.name
            if asked.trait in TRAITS or asked.trait == "base":
                continue
            asked_of_additions += 1
            rows = {value: list(_all_shares(beer.answered(asked, value))) for value in asked.values}
            chances = {value: chance for value, _, chance in asked.answers}
            mixed = [sum(chances[v] * rows[v][i] for v in rows) for i in range(len(TABLE) + 1)]
            after = sum(chances[v] * float(entropy(rows[v], base=2)) for v in rows)
            assert asked.bits == pytest.approx(float(entropy(mixed, base=2)) - after, abs=1e-9)
    assert asked_of_additions >= 5


def _all_shares(beer: Beer) -> list[float]:
    """Shares in the order of the ids, with that of none of these at the end."""
    shares = {style.id: share for style, share in beer.ranking.shares}
    return [*(shares[style] for style in sorted(shares)), beer.ranking.none_share]


def test_what_is_asked_about_taste_wood_culture_and_base() -> None:
    """A steward's questions: each is put where the answer is open, and the answer leads where it should."""

    def beer(*additions: dict[str, Any], **more: Any) -> Beer:
        made = {"name": "Sanderling", "volume": 20, "additions": list(additions), **more}
        return Beer.from_batch(Batch.model_validate(made), table=TABLE)

    def ask(of: Beer, about: str) -> Any:
        return next(q for q in special_questions(of) if q.trait.startswith(about))

    stout = {"measured": {"og": 1.060, "fg": 1.015}, "predicted": {"ibu": 50, "srm": 40}, "base": "American stout"}
    cocoa = beer({"what": "cocoa nibs", "kind": "spice"}, **stout)
    taste = ask(cocoa, "taste")
    assert cocoa.answered(taste, "yes").ranking.shares[0][0].id == "spice-herb-vegetable-beer"
    assert cocoa.answered(taste, "no").ranking.shares[0][0].id == "american-stout"
    assert taste.tip("no") == "if nobody tastes the cocoa nibs"
    tasted = {"what": "raspberries", "kind": "fruit", "mass": 4, "perceived": "clear"}
    brett = {"what": "Brettanomyces", "kind": "culture"}
    asked = {q.trait for q in special_questions(beer(tasted, brett, **stout))}
    assert not {trait for trait in asked if trait.startswith("taste")}, "what is said, or told by more, is not asked"
    vague = {"what": "raspberries", "kind": "fruit", "mass": 3}
    open_ones: dict[str, list[dict[str, float]]] = {"strength": [{}, {"fg": 1.010}], "": [{"og": 1.050}, {"abv": 5.0}]}
    for wanted, cases in open_ones.items():
        for measured in cases:
            asked = {q.trait for q in special_questions(beer(vague, measured=measured))}
            assert ("strength" in asked) is bool(wanted), measured
    assert "strength" not in {q.trait for q in special_questions(beer())}
    odd = {"measured": {"og": 1.040, "fg": 1.006}, "predicted": {"ibu": 90, "srm": 3}}
    unsaid = Beer.from_batch(Batch.model_validate({"name": "Dunlin", "traits": {"fermentation": "lager"}, **odd}))
    mixed = ask(unsaid, "mixed")
    assert unsaid.kinds is None
    assert unsaid.answered(mixed, "no").kinds == (), "a plain example has nothing added"
    assert "mixed-styles" in unsaid.answered(mixed, "yes").route.facts
    oak = beer({"what": "barrel", "kind": "wood", "days": 90}, **stout)
    wood = ask(oak, "spirit")
    assert oak.answered(wood, "yes").ranking.shares[0][0].id == "specialty-wood-aged-beer"
    assert {thing.kind for thing in oak.answered(wood, "yes").things or ()} == {"wood", "spirit"}
    assert oak.answered(wood, "no").ranking.shares[0][0].id == "wood-aged-beer"
    sour = beer(
        measured={"og": 1.050, "fg": 1.004},
        predicted={"ibu": 9, "srm": 5},
        traits={"fermentation": "wild", "sourness": "marked"},
    )
    culture = ask(sour, "culture")
    found = {value: sour.answered(culture, value).ranking.shares[0][0].id for value in culture.values}
    assert found["mixed culture"] == "mixed-fermentation-sour-beer"
    assert found["spontaneous"] in {"lambic", "gueuze"}
    open_base = beer({"what": "raspberries", "kind": "fruit", "mass": 3}, **{**stout, "base": "stout"})
    base = ask(open_base, "base")
    assert set(base.values) <= {TABLE.styles[i].name for i in open_base.base_named.candidates}
    assert open_base.answered(base, base.values[0]).placement.base == base.values[0]


@pytest.mark.parametrize(
    ("og", "fg", "ibu", "srm", "declared", "style"),
    [
        (1.080, 1.015, 80, 15, {"strength": "double"}, "red-ipa"),
        (1.078, 1.014, 80, 15, {}, "american-strong-ale"),
        (1.060, 1.006, 26, 22, {"colour": "dark"}, "saison"),
    ],
)
def test_a_strength_or_colour_in_a_styles_own_words_speaks_for_it(
    og: float, fg: float, ibu: float, srm: float, declared: dict[str, str], style: str
) -> None:
    """Common practice: specialty IPAs are entered as session, standard or double, saisons as pale or dark."""
    own = {"yeast": "spicy"} if "colour" in declared else {"hops": "high", "malt": "caramel"}
    traits = {"fermentation": "ale", **own}
    made = Batch.model_validate(
        {
            "name": "Sanderling",
            "measured": {"og": og, "fg": fg},
            "predicted": {"ibu": ibu, "srm": srm},
            "traits": traits,
            "additions": [],
            "declare": declared,
        }
    )
    assert Beer.from_batch(made, table=TABLE).ranking.shares[0][0].id == style
