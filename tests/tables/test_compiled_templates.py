"""The tables that a beer may need are compiled, and are what their YAML files say."""

from __future__ import annotations

import pytest

from entryprep.reading.fields import Record
from entryprep.reading.validate import validate
from entryprep.tables import bottles, doses, ingredients, routing, rules, shipped, vocabulary
from entryprep.tables.shipped import COMPILED, OF_A_BEER, shipped_document, shipped_file, shipped_json, shipped_record

MODELS: dict[str, type[Record]] = {
    "bottles": bottles.BottleTable,
    "doses": doses.DoseTable,
    "ingredients": ingredients._Ingredients,
    "routing": routing.RoutingTable,
    "rules": rules._Words,
    "vocabulary": vocabulary.Vocabulary,
}


@pytest.mark.parametrize("name", OF_A_BEER)
def test_what_is_compiled_is_what_the_file_says(name: str) -> None:
    assert shipped_json(COMPILED)[name] == shipped_document(name).data, "run `python -m tests.compile_styles`"


def test_it_is_compiled_alike_everywhere() -> None:
    assert shipped_file(COMPILED).decode() == shipped.compiled(), "run `python -m tests.compile_styles`"


@pytest.mark.parametrize("name", MODELS)
def test_the_record_is_the_same_either_way(name: str) -> None:
    model = MODELS[name]
    record, problems = validate(shipped_document(f"templates/{name}.yaml"), model)
    assert not problems
    assert record == shipped_record(f"templates/{name}.yaml", model)
