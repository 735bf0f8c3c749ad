"""A record as YAML that a person could have written: in the model's order, a line for each thing and what it means."""

from __future__ import annotations

import re
import typing
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from entryprep.reading.validate import classes_of

COMMENTS_AT = 36  # the column where comments begin, as in the starter records
_LONGEST = 120
# a text that is surely read as that text, with or without brackets around it
_PLAIN = re.compile(r"^[^\W\d_][\w /().+%°&’–-]*$")
_NUMBER = re.compile(r"^(\d+(\.\d+)?|\.\d+)( ?[^\W\d_%°][\w]*| ?%| ?°[A-Za-z]+)?( [a-z]+)?$")
_DAY = re.compile(r"^\d{4}-\d\d-\d\d$")
_WORDS = frozenset({"true", "false", "null", "yes", "no", "on", "off", "y", "n"})


def scalar(value: object, as_text: bool = True) -> str:
    """One value as YAML on one line: plain where it is surely read as what it is, else in quotes.

    ``as_text``: the field holds a text, so that digits alone are quoted and keep their zeros.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    text = str(value)
    if _PLAIN.match(text) and text.lower() not in _WORDS and text == text.strip():
        return text
    if not (as_text and isinstance(value, str)) and (_NUMBER.match(text) or _DAY.match(text)):
        return text
    return '"' + "".join(_escaped(c) for c in text) + '"'


def _escaped(character: str) -> str:
    if character in '"\\':
        return f"\\{character}"
    if character.isprintable():
        return character
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def flow(value: object, annotation: Any = None) -> str:
    """A value on one line, mappings and lists in brackets."""
    if isinstance(value, Mapping):
        model = _model_of(annotation)
        pairs = (f"{key}: {flow(inner, _annotation(model, key, annotation))}" for key, inner in value.items())
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(flow(inner, annotation) for inner in value) + "]"
    return scalar(value, as_text=_is_text(annotation))


def commented(data: Mapping[str, Any], model: type[BaseModel], head: str = "") -> str:
    """A record as YAML, keys in the model's order, each with what the model says of it as its comment.

    ``head`` stands above it, as comments. Nothing of ``data`` is left out or converted.
    """
    lines = [f"# {line}".rstrip() for line in head.splitlines()]
    return "\n".join([*lines, *_lines(data, model, "")]) + "\n"


def _lines(data: Mapping[str, Any], model: type[BaseModel], indent: str) -> Iterator[str]:
    for key in sorted(data, key=list(model.model_fields).index):
        field, value = model.model_fields[key], data[key]
        inner, told = _model_of(field.annotation), field.description or ""
        if isinstance(value, Mapping) and inner is not None and not _short(value):
            yield _with_comment(f"{indent}{key}:", told)
            yield from _lines(value, inner, indent + "  ")
        elif isinstance(value, list) and value and isinstance(value[0], Mapping):
            yield _with_comment(f"{indent}{key}:", told)
            for item in value:
                yield f"{indent}  - {flow(item, field.annotation)}"
        else:
            yield _with_comment(f"{indent}{key}: {flow(value, field.annotation)}", told)


def _short(value: Mapping[str, Any]) -> bool:
    """Whether a mapping is a value with what goes with it, such as an amount and its currency."""
    return len(value) <= 3 and {"value", "amount", "closes", "brix"} & value.keys() != set()


def _with_comment(line: str, told: str) -> str:
    if not told:
        return line
    made = f"{line.ljust(COMMENTS_AT - 2)}  # {told}"
    return made if len(made) <= _LONGEST else line


def _model_of(annotation: Any) -> type[BaseModel] | None:
    found = [c for c in classes_of(annotation) if isinstance(c, type) and issubclass(c, BaseModel)]
    return found[0] if found else None


def _annotation(model: type[BaseModel] | None, key: str, above: Any) -> Any:
    """What is written below a key: the field of a model, or the values of a plain mapping."""
    if model is not None and key in model.model_fields:
        return model.model_fields[key].annotation
    arguments = [a for a in typing.get_args(above) if typing.get_origin(a) is dict] or [above]
    return typing.get_args(arguments[0])[-1] if typing.get_origin(arguments[0]) is dict else str


def _is_text(annotation: Any) -> bool:
    return annotation is None or str in classes_of(annotation)
