"""The text for the judges: in order, within the limit, never cut inside a word."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep import load_styles
from entryprep.entering.composing import compose
from entryprep.records.batch import Batch


def batch(*additions: dict[str, Any]) -> Batch:
    return Batch.model_validate({"name": "Grey Plover", "volume": 20, "additions": list(additions)})


COCOA = {"what": "cocoa nibs (Ghana, roasted)", "kind": "spice", "mass": 0.15}
CHILE = {"what": "habanero", "kind": "spice", "mass": 0.06}
CHERRY = {"what": "sour cherries", "kind": "fruit", "mass": 2.5}
FAINT = {"what": "cinnamon", "kind": "spice", "mass": 0.0005}
SUGAR = {"what": "table sugar", "kind": "sugar", "mass": 0.5}


def test_base_then_specials_by_what_is_perceived_then_what_the_style_wants() -> None:
    # the order that competitions ask for: base style, specials, level and intention, then the rest (common practice)
    text = compose(batch(COCOA, CHILE, FAINT, SUGAR), "porter", [("strength", "standard")], 200).text
    assert text == "porter base; habanero, leading; cocoa nibs (Ghana, roasted); strength: standard"


def test_what_an_addition_answers_is_said_once() -> None:
    text = compose(batch(CHERRY), "blonde ale", [("fruit", "sour cherries"), ("carbonation", "high")], 200).text
    assert text == "blonde ale base; sour cherries; carbonation: high"


def test_a_faint_thing_that_the_style_wants_named_is_named() -> None:
    assert compose(batch(FAINT), "", [("spice", "cinnamon")], 100).text == "cinnamon, subtle"
    assert compose(batch(FAINT), "", [], 100).text == ""


@pytest.mark.parametrize(
    ("limit", "text", "left_out"),
    [
        (90, "porter base; habanero, leading; cocoa nibs (Ghana, roasted); strength: standard", ()),
        (65, "porter base; habanero, leading; cocoa nibs; strength: standard", ()),
        (54, "porter base; habanero; cocoa nibs; strength: standard", ()),
        (50, "porter base; habanero; cocoa; strength: standard", ()),
        (40, "porter base; habanero; cocoa; standard", ()),
        (34, "porter: habanero; cocoa; standard", ()),
        (30, "porter: habanero; standard", ("cocoa nibs (Ghana, roasted)",)),
        (16, "porter: standard", ("cocoa nibs (Ghana, roasted)", "habanero")),
        (5, "porter: standard", ("cocoa nibs (Ghana, roasted)", "habanero")),
    ],
)
def test_shortening_goes_by_rule(limit: int, text: str, left_out: tuple[str, ...]) -> None:
    got = compose(batch(COCOA, CHILE), "porter", [("strength", "standard")], limit)
    assert (got.text, got.left_out) == (text, left_out)
    assert len(got.text) <= limit or limit < 16


def test_the_most_perceivable_answer_to_what_the_style_wants_stays() -> None:
    got = compose(batch(COCOA, CHILE), "porter", [("spice", "cocoa nibs (Ghana, roasted), habanero")], 22)
    assert (got.text, got.left_out) == ("porter: habanero", ("cocoa nibs (Ghana, roasted)",))
    assert compose(batch(CHILE), "porter", [("spice", "habanero")], 5).text == "porter: habanero"


def test_words_that_say_nothing_go_before_facts() -> None:
    pods = {"what": "fresh whole vanilla pods from my own garden", "kind": "spice", "perceived": "clear"}
    culture = {"what": "Brettanomyces and Lactobacillus", "kind": "culture"}
    got = compose(batch(pods, culture), "American pale ale", [], 50, (), "APA")
    assert (got.text, got.left_out) == ("APA: vanilla my garden; Brett and Lacto", ())


def test_what_a_style_lives_by_goes_without_saying() -> None:
    gose, berliner = (load_styles().find(name) for name in ("gose", "Berliner weisse"))
    salt = {"what": "salt", "kind": "spice", "perceived": "clear"}
    souring = {"what": "Lactobacillus", "kind": "culture"}
    made = batch(salt, souring, CHERRY)
    assert compose(made, "Gose", [("fruit", "sour cherries")], 100, [gose]).text == "Gose base; sour cherries"
    assert compose(batch(souring), "", [], 100, [berliner]).text == ""
    named = compose(batch(souring), "", [("culture", "Lactobacillus")], 100, [berliner]).text
    assert named == "Lactobacillus", "what is wanted is said"


WORDS = st.lists(st.text("abcdeghiłøж", min_size=2, max_size=9), min_size=1, max_size=4).map(" ".join)


@given(st.lists(WORDS, max_size=5, unique=True), WORDS, st.integers(10, 120))
def test_no_word_is_ever_cut(names: list[str], base: str, limit: int) -> None:
    made = batch(*({"what": name, "kind": "spice", "perceived": "clear"} for name in names))
    got = compose(made, base, [], limit)
    allowed = {word for text in (*names, f"{base} base") for word in text.split()}
    assert set(got.text.replace(";", " ").replace(":", " ").split()) <= allowed
    assert len(got.text) <= limit or got.text == base
    assert "Grey Plover" not in got.text
