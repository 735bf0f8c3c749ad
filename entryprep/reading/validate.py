"""From a document to a model: every problem becomes a finding with line, column and remedy."""

from __future__ import annotations

import types
import typing
from dataclasses import replace
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from entryprep.findings import Finding
from entryprep.reading.yamltext import MOST_TOLD, Document, Path_
from entryprep.text import did_you_mean, shown

Model = TypeVar("Model", bound=BaseModel)


def validate(document: Document, model: type[Model], at: Path_ = ()) -> tuple[Model | None, list[Finding]]:
    """Check the value at ``at`` of a document against a model.

    Returns the record, or None, and every problem found.
    """
    data = document.data
    for step in at:
        data = data[step]
    if not isinstance(data, dict):
        return None, [document.problem(at, f"expected `key: value` lines, found {shown(data)}")]
    try:
        return model.model_validate(data), []
    except ValidationError as error:
        details = error.errors(include_url=False)
        found = [_finding(document, model, at, detail) for detail in details[:MOST_TOLD]]
        return None, [*found, *document.unsaid(at, len(details) - MOST_TOLD)]


def told_problems(model: type[BaseModel], data: Any, error: ValidationError) -> list[Finding]:
    """The problems of a record that was made in code, in our words; nothing was read, so they have no line."""
    document = Document(model.__name__, data)
    found = (_finding(document, model, (), detail) for detail in error.errors(include_url=False))
    return [replace(finding, line=0, column=0) for finding in found]


def _finding(document: Document, model: type[BaseModel], at: Path_, detail: ErrorDetails) -> Finding:
    path = at + _written(document.data, at, detail["loc"])
    what, fix = _words(detail, model)
    finding = document.problem(path, what, fix)
    if detail["type"] == "extra_forbidden" and path in document.keys:
        line, column = document.keys[path]
        finding = replace(finding, line=line, column=column)
    return finding


def _written(data: Any, at: Path_, loc: Path_) -> Path_:
    """The part of pydantic's location that stands in the file: unions and wrapped values add steps of their own."""
    for step in at:
        data = data[step]
    path: Path_ = ()
    for step in loc:
        in_list = isinstance(data, list) and isinstance(step, int) and step < len(data)
        if in_list or (isinstance(data, dict) and step in data):
            data = data[step]
            path = (*path, step)
        elif isinstance(data, dict) and step == loc[-1] and isinstance(step, str):
            path = (*path, step)
    return path


def _words(detail: ErrorDetails, model: type[BaseModel]) -> tuple[str, str]:
    context = detail.get("ctx", {})
    kind = detail["type"]
    value = shown(detail.get("input"))
    if kind == "record":
        return str(context["what"]), str(context["fix"])
    if kind == "extra_forbidden":
        return _unknown_key(str(detail["loc"][-1]), _models_at(model, detail["loc"][:-1]))
    if kind == "missing":
        wanted = _described(model, detail["loc"])
        return "this is missing", f"add `{detail['loc'][-1]}:` {wanted[:1].lower()}{wanted[1:]}"
    if kind == "literal_error":
        return f"{value} is not one of the words expected here", f"use {context.get('expected', 'another word')}"
    said = _PLAIN.get(kind)
    if said is None:  # pragma: no cover - every kind our models can raise stands in the table
        return f"{value}: {detail['msg'][:1].lower()}{detail['msg'][1:]}", _described(model, detail["loc"])
    return said.format(value=value, **context), _described(model, detail["loc"])


# pydantic's kinds of error in our words; the names in braces are pydantic's context
_PLAIN = {
    "int_parsing": "{value} is not a whole number",
    "int_type": "{value} is not a whole number",
    "int_from_float": "{value} is not a whole number",
    "float_parsing": "{value} is not a number",
    "float_type": "{value} is not a number",
    "finite_number": "{value} is not a number that can be used",
    "bool_parsing": "{value} is neither true nor false",
    "bool_type": "{value} is neither true nor false",
    "greater_than": "{value} is not above {gt}",
    "greater_than_equal": "{value} is below {ge}",
    "less_than": "{value} is not below {lt}",
    "less_than_equal": "{value} is above {le}",
    "string_type": "{value} is not text",
    "string_too_short": "the text is empty",
    "string_too_long": "the text is longer than {max_length} characters",
    "string_pattern_mismatch": "{value} has not the form expected here",
    "list_type": "expected a list, found {value}",
    "tuple_type": "expected two values in brackets, low and high, found {value}",
    "dict_type": "expected `key: value` pairs, found {value}",
    "model_type": "expected `key: value` pairs, found {value}",
    "model_attributes_type": "expected `key: value` pairs, found {value}",
    "too_short": "expected at least {min_length}, found {actual_length}",
    "too_long": "expected at most {max_length}, found {actual_length}",
}


def _unknown_key(key: str, here: list[type[BaseModel]]) -> tuple[str, str]:
    what = f"the key {key[:40]!r} is not known"
    known = sorted({name for model in here for name in model.model_fields})
    within = sorted(n for n in known if key.lower() in _keys_of(here, n))
    if within:
        return f"{what} here", f"write it under `{within[0]}:`, two spaces in"
    return what, did_you_mean(key, known, "keys known here", cutoff=66)


def _keys_of(here: list[type[BaseModel]], field: str) -> set[str]:
    """The keys of the records that stand alone under a field: not of those in a list, of which there may be many."""
    fields = [model.model_fields[field].annotation for model in here if field in model.model_fields]
    alone = [c for a in fields if not _is_many(a) for c in classes_of(a)]
    return {name for c in alone if isinstance(c, type) and issubclass(c, BaseModel) for name in c.model_fields}


def _is_many(annotation: Any) -> bool:
    origin = typing.get_origin(annotation)
    if origin is typing.Annotated:
        return _is_many(typing.get_args(annotation)[0])
    if origin in {typing.Union, types.UnionType}:
        return any(_is_many(part) for part in typing.get_args(annotation))
    return origin in {list, tuple, dict}


def classes_of(annotation: Any) -> list[Any]:
    """The classes inside Annotated, unions, lists and tuples of an annotation."""
    origin = typing.get_origin(annotation)
    if origin is typing.Annotated:
        return classes_of(typing.get_args(annotation)[0])
    if origin in {typing.Union, types.UnionType, list, tuple, dict}:
        return [inner for part in typing.get_args(annotation) for inner in classes_of(part)]
    return [annotation]


def _models_at(model: type[BaseModel], loc: Path_) -> list[type[BaseModel]]:
    here = [model]
    for step in loc:
        if isinstance(step, str):
            fields = [m.model_fields[step].annotation for m in here if step in m.model_fields]
            found = [c for a in fields for c in classes_of(a) if isinstance(c, type) and issubclass(c, BaseModel)]
            here = found or here
    return here


def _described(model: type[BaseModel], loc: Path_) -> str:
    for candidate in _models_at(model, loc[:-1]):
        info = candidate.model_fields.get(str(loc[-1]))
        if info is not None and info.description:
            return info.description
    return ""
