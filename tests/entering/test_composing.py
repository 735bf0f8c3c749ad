"""The text for the judges: in order, within the limit, never cut inside a word."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

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
        (44, "porter base; habanero; cocoa nibs; standard", ()),
        (32, "porter base; habanero; standard", ("cocoa nibs",)),
        (21, "porter base; standard", ("cocoa nibs", "habanero")),
        (5, "porter base; standard", ("cocoa nibs", "habanero")),
    ],
)
def test_shortening_goes_by_rule(limit: int, text: str, left_out: tuple[str, ...]) -> None:
    got = compose(batch(COCOA, CHILE), "porter", [("strength", "standard")], limit)
    assert (got.text, got.left_out) == (text, left_out)
    assert len(got.text) <= limit or limit < 21


def test_the_most_perceivable_answer_to_what_the_style_wants_stays() -> None:
    got = compose(batch(COCOA, CHILE), "porter", [("spice", "cocoa nibs (Ghana, roasted), habanero")], 24)
    assert (got.text, got.left_out) == ("porter base; habanero", ("cocoa nibs",))
    assert compose(batch(CHILE), "porter", [("spice", "habanero")], 5).text == "porter base; habanero"


WORDS = st.lists(st.text("abcdeghiłøж", min_size=2, max_size=9), min_size=1, max_size=4).map(" ".join)


@given(st.lists(WORDS, max_size=5, unique=True), WORDS, st.integers(10, 120))
def test_no_word_is_ever_cut(names: list[str], base: str, limit: int) -> None:
    made = batch(*({"what": name, "kind": "spice", "perceived": "clear"} for name in names))
    got = compose(made, base, [], limit)
    allowed = {word for text in (*names, f"{base} base") for word in text.split()}
    assert set(got.text.replace(";", " ").split()) <= allowed
    assert len(got.text) <= limit or got.text == f"{base} base"
    assert "Grey Plover" not in got.text
