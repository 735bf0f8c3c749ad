"""The JSON Schema of BeerJSON 1.0, from the npm package of the standard (@beerjson/beerjson 1.0.2, MIT)."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

from jsonschema import Draft7Validator
from referencing import Registry, Resource

from tests.vectors import vector_path

FOLDER = "beerjson-1.0.2"


def schema(name: str) -> dict[str, Any]:
    """One of the standard's schema files."""
    found: dict[str, Any] = json.loads(vector_path(f"{FOLDER}/{name}").read_text(encoding="utf-8"))
    return found


@cache
def validator() -> Draft7Validator:
    """A validator of whole BeerJSON documents; references are looked up among the files beside it."""
    files = sorted(path.name for path in vector_path(FOLDER).glob("*.json"))
    resources = [Resource.from_contents(schema(name)) for name in files]
    registry: Registry[Any] = Registry().with_resources([(str(r.id()), r) for r in resources])
    return Draft7Validator(schema("beer.json"), registry=registry)
