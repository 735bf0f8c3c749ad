"""The kind of an addition may be left out where its name says it (names of the trade, common practice)."""

from __future__ import annotations

import pytest

from entryprep import RecordError
from entryprep.records.batch import Addition


@pytest.mark.parametrize(
    ("what", "kind"),
    [("sour cherries", "fruit"), ("toasted coconut", "spice"), ("oak cubes", "wood"), ("wildflower honey", "sugar")],
)
def test_a_usual_ingredient_says_its_kind(what: str, kind: str) -> None:
    assert Addition.model_validate({"what": what}).kind == kind


def test_a_kind_that_is_said_stands() -> None:
    assert Addition.model_validate({"what": "sour cherries", "kind": "spice"}).kind == "spice"


def test_an_unknown_thing_is_asked_about() -> None:
    with pytest.raises(RecordError) as caught:
        Addition(what="zork")  # type: ignore[call-arg]
    [finding] = caught.value.findings
    assert "zork is not known by its name" in finding.what
    assert "fruit, spice, smoke" in finding.fix


def test_a_thing_of_two_kinds_is_asked_about() -> None:
    with pytest.raises(RecordError) as caught:
        Addition(what="cherries on oak")  # type: ignore[call-arg]
    assert caught.value.findings[0].fix == "add `kind:` fruit or wood"


def test_an_editor_is_told_that_the_kind_may_be_left_out() -> None:
    assert Addition.model_json_schema()["required"] == ["what"]
