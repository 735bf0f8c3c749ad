"""JSON Schema (draft 2020-12) of a record, for editors: what may be written, with the words that describe it."""

from __future__ import annotations

import datetime as dt
import types
import typing
from enum import Enum
from typing import Any

from entryprep.reading.kinds import FieldFacts, Schema
from entryprep.reading.record import Record, fields_of, types_of

_SIMPLE: dict[Any, dict[str, Any]] = {
    str: {"type": "string"},
    float: {"type": "number"},
    int: {"type": "integer"},
    bool: {"type": "boolean"},
    dt.date: {"type": "string", "format": "date"},
}
_LIMITS = {"gt": "exclusiveMinimum", "ge": "minimum", "lt": "exclusiveMaximum", "le": "maximum", "pattern": "pattern"}
_LENGTHS = {"min_length": ("minLength", "minItems"), "max_length": ("maxLength", "maxItems")}


def json_schema(model: type[Record]) -> dict[str, Any]:
    """The schema of a record; records within it stand under ``$defs``."""
    inner: dict[str, dict[str, Any]] = {}
    own = _of_record(model, inner)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **({"$defs": inner} if inner else {}), **own}


def _of_record(model: type[Record], inner: dict[str, dict[str, Any]]) -> dict[str, Any]:
    properties: dict[str, Any] = {}
    kinds = types_of(model)
    for name, facts in fields_of(model).items():
        said = {"description": facts.description} if facts.description else {}
        default = {} if facts.required or facts.default_factory is not None else {"default": facts.made()}
        properties[facts.alias or name] = {**_of_type(kinds[name], inner), **default, **said}
    required = [
        facts.alias or name for name, facts in fields_of(model).items() if facts.required and not facts.filled_in
    ]
    return {
        "title": model.__name__,
        "description": " ".join((model.__doc__ or "").split()),
        "type": "object",
        "properties": properties,
        **({"required": required} if required else {}),
        "additionalProperties": False,
    }


def _of_type(kind: Any, inner: dict[str, dict[str, Any]]) -> dict[str, Any]:  # noqa: PLR0911 - one for each type
    origin, parts = typing.get_origin(kind), typing.get_args(kind)
    if kind in _SIMPLE:
        return dict(_SIMPLE[kind])
    if isinstance(kind, type) and issubclass(kind, Record):
        if kind.__name__ not in inner:
            inner[kind.__name__] = {}
            inner[kind.__name__] = _of_record(kind, inner)
        return {"$ref": f"#/$defs/{kind.__name__}"}
    if isinstance(kind, type) and issubclass(kind, Enum):
        return {"enum": [member.value for member in kind]}
    if origin is typing.Annotated:
        return _annotated(parts, inner)
    if origin is typing.Literal:
        return {"enum": list(parts)}
    if origin in {typing.Union, types.UnionType}:
        return {"anyOf": [{"type": "null"} if part is type(None) else _of_type(part, inner) for part in parts]}
    if origin is dict:
        return {
            "type": "object",
            "propertyNames": _of_type(parts[0], inner),
            "additionalProperties": _of_type(parts[1], inner),
        }
    if origin is tuple and parts[-1] is not Ellipsis:
        items = [_of_type(part, inner) for part in parts]
        return {"type": "array", "prefixItems": items, "minItems": len(items), "maxItems": len(items)}
    return {"type": "array", "items": _of_type(parts[0], inner)}


def _annotated(parts: tuple[Any, ...], inner: dict[str, dict[str, Any]]) -> dict[str, Any]:
    schema = next((m.schema for m in reversed(parts[1:]) if isinstance(m, Schema)), None)
    if schema is None:
        schema = _of_type(parts[0], inner)
    for facts in (mark for mark in parts[1:] if isinstance(mark, FieldFacts)):
        limits = {word: getattr(facts, name) for name, word in _LIMITS.items()}
        lengths = {words[schema.get("type") == "array"]: getattr(facts, name) for name, words in _LENGTHS.items()}
        schema = {**schema, **{word: limit for word, limit in (limits | lengths).items() if limit is not None}}
    return schema
