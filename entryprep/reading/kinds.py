"""How a value is read by the type of its field: numbers, text, days, words to choose from, lists, pairs, mappings.

A reader never raises for a bad value: it adds a :class:`Problem` and goes on, so that all of them can be told at once.
"""

from __future__ import annotations

import datetime as dt
import math
import operator
import re
import types
import typing
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any, NamedTuple

from entryprep.errors import EntryprepError
from entryprep.text import either, shown

Place = tuple[str | int, ...]
REQUIRED: Any = object()
MAPPING = "expected `key: value` pairs, found {}"
_TRUE, _FALSE = {"true", "yes", "on", "y", "t", "1", 1}, {"false", "no", "off", "n", "f", "0", 0}


class Refused(EntryprepError, ValueError):
    """What a check raises for a value that cannot be used: what was found, and in ``fix`` how to write it instead."""


class Problem(NamedTuple):
    """One thing wrong with a record: where, what was found, how to mend it; whether the key itself is meant."""

    at: Place
    what: str
    fix: str = ""
    key: bool = False


# the value, its place, the problems so far, and what is said of the field to who must mend it
Reader = Callable[[Any, Place, list[Problem], str], Any]


class Before(NamedTuple):
    """Beside a type in ``Annotated``: what turns a value as it is written into one that is then checked.

    It raises ValueError, best Refused, for what it cannot turn.
    """

    read: Callable[[Any], Any]


@dataclass(frozen=True, eq=False)
class Schema:
    """Beside a type in ``Annotated``: the JSON Schema of what may be written, where the type does not say it."""

    schema: dict[str, Any]


class FieldFacts(NamedTuple):
    """What is known of a field beside its type; made by :func:`Field`. ``pattern`` is the form of the whole text.

    ``filled_in`` says that the record fills it in where it is not written, as far as it can.
    """

    default: Any = REQUIRED
    default_factory: Callable[[], Any] | None = None
    alias: str = ""
    description: str = ""
    filled_in: bool = False
    gt: float | None = None
    ge: float | None = None
    lt: float | None = None
    le: float | None = None
    min_length: int | None = None
    max_length: int | None = None
    pattern: str | None = None

    @property
    def required(self) -> bool:
        """Whether the field must be written."""
        return self.default is REQUIRED and self.default_factory is None

    def made(self) -> Any:
        """The default, each time a new one where it could be changed."""
        if self.default_factory is not None:
            return self.default_factory()
        return self.default.copy() if isinstance(self.default, (list, dict)) else self.default


def Field(default: Any = REQUIRED, **facts: Any) -> Any:  # noqa: N802 - it stands where a value would
    """A field's default, or the limits of a type: see :class:`FieldFacts`. Without a default it must be given."""
    return FieldFacts(default, **facts)


def refusal(error: ValueError, at: Place) -> Problem:
    """What a check raised, as a problem."""
    return Problem(at, str(error), getattr(error, "fix", ""))


def reader(kind: Any) -> Reader:
    """The reader of a type. Raises TypeError for a type that records do not know."""
    if isinstance(kind, type) and hasattr(kind, "read_at"):  # a record within a record
        return lambda value, *rest: value if isinstance(value, kind) else kind.read_at(value, *rest)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return _word({member.value: member for member in kind})
    if kind in _SIMPLE:
        return _simple(*_SIMPLE[kind])
    origin = typing.get_origin(kind)
    if origin not in _COMPOUND:
        raise TypeError(f"records do not know the type {kind}")
    return _COMPOUND[origin](typing.get_args(kind))


def classes_of(kind: Any) -> list[Any]:
    """The classes inside Annotated, unions, lists, tuples and mappings of a type."""
    origin, parts = typing.get_origin(kind), typing.get_args(kind)
    if origin is typing.Annotated:
        return classes_of(parts[0])
    if origin in {typing.Union, types.UnionType, list, tuple, dict}:
        return [inner for part in parts for inner in classes_of(part)]
    return [kind]


def _simple(take: Callable[[Any], Any], words: str) -> Reader:
    def read(value: Any, at: Place, problems: list[Problem], said: str) -> Any:
        try:
            return take(value)
        except (ValueError, TypeError, OverflowError):
            problems.append(Problem(at, words.format(shown(value)), said))

    return read


def _number(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise TypeError
    if not math.isfinite(number := float(value)):
        raise ValueError
    return number


def _whole(value: Any) -> int:
    if type(value) is int or isinstance(value, str):
        return int(value)
    number = _number(value)
    if not number.is_integer():
        raise ValueError
    return int(number)


def _truth(value: Any) -> bool:
    word = value.casefold() if isinstance(value, str) else value
    if word in _TRUE or word in _FALSE:
        return word in _TRUE
    raise ValueError


def _only(kind: type) -> Callable[[Any], Any]:
    def take(value: Any) -> Any:
        if not isinstance(value, kind):
            raise TypeError
        return value

    return take


_SIMPLE: dict[Any, tuple[Callable[[Any], Any], str]] = {
    str: (_only(str), "{} is not text"),
    float: (_number, "{} is not a number"),
    int: (_whole, "{} is not a whole number"),
    bool: (_truth, "{} is neither true nor false"),
    dt.date: (_only(dt.date), "{} is not a date"),
}


def _word(words: Mapping[str, Any]) -> Reader:
    fix = f"use {either([repr(word) for word in words])}"

    def read(value: Any, at: Place, problems: list[Problem], _: str) -> Any:
        if isinstance(value, str) and value in words:
            return words[value]
        problems.append(Problem(at, f"{shown(value)} is not one of the words expected here", fix))
        return None

    return read


def _words(parts: tuple[Any, ...]) -> Reader:
    return _word({word: word for word in parts})


def _one_of(parts: tuple[Any, ...]) -> Reader:
    """Words to choose from, or something or nothing."""
    others = [part for part in parts if part is not type(None)]
    if all(typing.get_origin(part) is typing.Literal for part in others):
        inner = _words(tuple(word for part in others for word in typing.get_args(part)))
    elif len(others) == 1:
        inner = reader(others[0])
    else:
        raise TypeError(f"records do not know a choice of {others}")
    if len(others) == len(parts):
        return inner
    return lambda value, *rest: None if value is None else inner(value, *rest)


def _several(make: Callable[[list[Any]], Any], part: Any) -> Reader:
    item = reader(part)

    def read(value: Any, at: Place, problems: list[Problem], said: str) -> Any:
        if not isinstance(value, Iterable) or isinstance(value, (str, bytes, Mapping)):
            problems.append(Problem(at, f"expected a list, found {shown(value)}", said))
            return None
        return make([item(each, (*at, place), problems, said) for place, each in enumerate(value)])

    return read


def _tuple(parts: tuple[Any, ...]) -> Reader:
    """A pair such as low and high, or with ``...`` as many as there are."""
    if parts[-1] is Ellipsis:
        return _several(tuple, parts[0])
    items = [reader(part) for part in parts]

    def read(value: Any, at: Place, problems: list[Problem], said: str) -> Any:
        if not isinstance(value, (list, tuple)) or len(value) != len(items):
            problems.append(Problem(at, f"expected two values in brackets, low and high, found {shown(value)}", said))
            return None
        each = enumerate(zip(items, value, strict=True))
        return tuple(item(one, (*at, place), problems, said) for place, (item, one) in each)

    return read


def _mapping(parts: tuple[Any, ...]) -> Reader:
    key, item = reader(parts[0]), reader(parts[1])

    def read(value: Any, at: Place, problems: list[Problem], said: str) -> Any:
        if not isinstance(value, Mapping):
            problems.append(Problem(at, MAPPING.format(shown(value)), said))
            return None
        return {
            key(name, (*at, name), problems, said): item(each, (*at, name), problems, said)
            for name, each in value.items()
        }

    return read


def _annotated(parts: tuple[Any, ...]) -> Reader:
    """A type with what stands beside it: each works on what those before it read."""
    read = reader(parts[0])
    for mark in parts[1:]:
        if isinstance(mark, Before):
            read = _prepared(mark.read, read)
        elif isinstance(mark, FieldFacts):
            read = _limited(mark, read)
    return read


def _prepared(prepare: Callable[[Any], Any], inner: Reader) -> Reader:
    def read(value: Any, at: Place, problems: list[Problem], said: str) -> Any:
        try:
            value = prepare(value)
        except ValueError as error:
            problems.append(refusal(error, at))
            return None
        return inner(value, at, problems, said)

    return read


def _limited(facts: FieldFacts, inner: Reader) -> Reader:
    bounds = [
        (limit, within, words)
        for limit, within, words in (
            (facts.le, operator.le, "is above"),
            (facts.lt, operator.lt, "is not below"),
            (facts.ge, operator.ge, "is below"),
            (facts.gt, operator.gt, "is not above"),
        )
        if limit is not None
    ]
    sized = facts.min_length is not None or facts.max_length is not None
    form = re.compile(facts.pattern) if facts.pattern else None

    def beyond(value: Any) -> str:
        """What is wrong with a value that is of the right type, if anything."""
        for limit, within, words in bounds:
            if not within(value, limit):
                return f"{shown(int(value) if value == int(value) else value)} {words} {limit:g}"
        if sized and (what := _size(value, facts)):
            return what
        return f"{shown(value)} has not the form expected here" if form and not form.fullmatch(value) else ""

    def read(value: Any, at: Place, problems: list[Problem], said: str) -> Any:
        before = len(problems)
        found = inner(value, at, problems, said)
        if len(problems) == before and (what := beyond(found)):
            problems.append(Problem(at, what, said))
        return found

    return read


def _size(value: Any, facts: FieldFacts) -> str:
    """What is wrong with the length of a text or list, if anything."""
    size, text = len(value), isinstance(value, str)
    if facts.min_length is not None and size < facts.min_length:
        return "the text is empty" if text else f"expected at least {facts.min_length}, found {size}"
    if facts.max_length is not None and size > facts.max_length:
        most = facts.max_length
        return f"the text is longer than {most} characters" if text else f"expected at most {most}, found {size}"
    return ""


_COMPOUND: dict[Any, Callable[[tuple[Any, ...]], Reader]] = {
    typing.Annotated: _annotated,
    typing.Literal: _words,
    typing.Union: _one_of,
    types.UnionType: _one_of,
    list: lambda parts: _several(list, parts[0]),
    tuple: _tuple,
    dict: _mapping,
}
