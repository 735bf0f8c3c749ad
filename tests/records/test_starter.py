"""The starter records name every field there is, so that nothing has to be looked up elsewhere."""

from __future__ import annotations

import typing

import pytest
from pydantic import BaseModel

from entryprep.reading.validate import classes_of
from entryprep.records.models import RECORD_MODELS
from entryprep.tables.shipped import shipped_file

FILES = {
    "brewer": "brewer.yaml",
    "batch": "batches/first-beer.yaml",
    "competition": "competitions/first-competition.yaml",
    "entries": "entries.yaml",
}


def field_names(model: type[BaseModel]) -> set[str]:
    names: set[str] = set()
    for name, info in model.model_fields.items():
        names.add(name)
        for inner in classes_of(info.annotation):
            if isinstance(inner, type) and issubclass(inner, BaseModel):
                names |= field_names(inner)
    return names


def literals(model: type[BaseModel]) -> set[str]:
    words: set[str] = set()
    for info in model.model_fields.values():
        for inner in classes_of(info.annotation):
            if typing.get_origin(inner) is typing.Literal:
                words |= {str(word) for word in typing.get_args(inner)}
            elif isinstance(inner, type) and issubclass(inner, BaseModel):
                words |= literals(inner)
    return words


@pytest.mark.parametrize("record", sorted(FILES))
def test_every_field_is_shown(record: str) -> None:
    text = shipped_file(f"templates/start/{FILES[record]}").decode()
    missing = [n for n in sorted(field_names(RECORD_MODELS[record])) if f"{n}:" not in text]
    assert missing == []


@pytest.mark.parametrize("record", ["batch", "entries"])
def test_every_word_to_choose_from_is_shown(record: str) -> None:
    text = shipped_file(f"templates/start/{FILES[record]}").decode()
    declare_items = {
        "smoke-source",
        "mixed-styles",
        "vitals",
        "product",
        "description",
        "sweetness",
        "colour",
        "strength",
    }
    missing = [w for w in sorted(literals(RECORD_MODELS[record]) - declare_items) if w not in text]
    assert missing == []
