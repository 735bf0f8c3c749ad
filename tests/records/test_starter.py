"""The starter records name every field there is, so that nothing has to be looked up elsewhere."""

from __future__ import annotations

from typing import Any

import pytest

from entryprep.reading.schema import json_schema
from entryprep.records.models import RECORD_MODELS
from entryprep.tables.shipped import shipped_file

FILES = {
    "brewer": "brewer.yaml",
    "batch": "batches/first-beer.yaml",
    "competition": "competitions/first-competition.yaml",
    "entries": "entries.yaml",
}


def within(schema: Any, word: str) -> set[str]:
    """The names that stand under a word anywhere in a JSON Schema: of ``properties``, or those of an ``enum``."""
    if isinstance(schema, list):
        return {name for part in schema for name in within(part, word)}
    if not isinstance(schema, dict):
        return set()
    return {*schema.get(word, ()), *(name for part in schema.values() for name in within(part, word))}


@pytest.mark.parametrize("record", sorted(FILES))
def test_every_field_is_shown(record: str) -> None:
    text = shipped_file(f"templates/start/{FILES[record]}").decode()
    missing = [n for n in sorted(within(json_schema(RECORD_MODELS[record]), "properties")) if f"{n}:" not in text]
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
    missing = [w for w in sorted(within(json_schema(RECORD_MODELS[record]), "enum") - declare_items) if w not in text]
    assert missing == []
