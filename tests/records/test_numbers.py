"""What is no number is not taken for one: true is not 1, and neither nan nor inf is an amount."""

from __future__ import annotations

from typing import Any

import pytest

from entryprep import Batch, Competition, RecordError
from entryprep.records.recipe import RecipeYeast


@pytest.mark.parametrize(
    ("made", "what"),
    [
        (lambda: Batch(name="x", bottles=[{"count": True}]), "true is not a number"),
        (lambda: Batch(name="x", keep=False), "false is not a number"),
        (lambda: Batch(name="x", score=True), "true is not a number"),
        (lambda: Batch(name="x", score=float("nan")), "nan is not a number that can be used"),
        (lambda: Batch(name="x", score="inf"), "inf is not a number that can be used"),
        (lambda: RecipeYeast(what="x", count=float("inf")), "inf is not a number that can be used"),
        (
            lambda: Competition(name="x", categories=[{"code": "1", "name": "Porter"}], limits={"per_brewer": True}),
            "true is not a number",
        ),
    ],
)
def test_it_is_refused(made: Any, what: str) -> None:
    with pytest.raises(RecordError) as caught:
        made()
    assert [finding.what for finding in caught.value.findings] == [what]
    assert caught.value.fix


def test_numbers_are_numbers() -> None:
    batch = Batch(name="x", bottles=[{"count": 1}], keep="0", score=7)
    assert (batch.bottles[0].count, batch.keep, batch.score) == (1, 0, 7.0)
