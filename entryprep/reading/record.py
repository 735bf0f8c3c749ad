"""Records: classes of checked values that are not changed once they are read.

A class says in its annotations what each field may hold (:mod:`entryprep.reading.kinds`); they are looked at when the
first record of the class is read, so that a command pays only for the records it meets.
"""

from __future__ import annotations

import typing
from collections.abc import Callable, Iterator, Mapping
from enum import Enum
from typing import Any, NamedTuple, Self, TypeVar

from entryprep.reading.kinds import MAPPING, REQUIRED, FieldFacts, Place, Problem, Reader, reader, refusal
from entryprep.text import did_you_mean, shown

Hook = TypeVar("Hook", bound=Callable[..., Any])


def prepares(hook: Hook) -> Hook:
    """Mark a static method of a record that turns what is written into what is read; it may raise Refused."""
    hook.__dict__["_reads"] = "before"
    return hook


def checks(hook: Hook) -> Hook:
    """Mark a method of a record that is asked when every field is right by itself; it raises Refused."""
    hook.__dict__["_reads"] = "after"
    return hook


class _Plan(NamedTuple):
    """How the records of one class are read."""

    fields: Mapping[str, FieldFacts]
    reads: tuple[tuple[str, str, Reader, FieldFacts], ...]  # name, key as written, reader, facts
    keys: frozenset[str]
    before: tuple[Callable[[Any], Any], ...]
    after: tuple[Callable[[Any], None], ...]


class _Signature:
    """The signature of a record's class for ``help`` and for an editor, made when it is asked for."""

    def __get__(self, _: object, owner: type[Record]) -> Any:
        from inspect import Parameter, Signature  # noqa: PLC0415 - only a person at a prompt asks

        named = (
            Parameter(name, Parameter.KEYWORD_ONLY, default=Parameter.empty if facts.required else facts.made())
            for name, facts in fields_of(owner).items()
        )
        return Signature(list(named))


class Record:
    """Base of every record: unknown keys are errors, and values are not changed after reading.

    Made in code, it raises RecordError with every problem in the words of the records.
    """

    __signature__ = _Signature()

    def __init__(self, /, **data: Any) -> None:
        record, problems = read_record(type(self), data)
        if record is None:
            from entryprep.reading.validate import told_problems  # noqa: PLC0415 - only where something is wrong
            from entryprep.reading.yamltext import RecordError  # noqa: PLC0415

            raise RecordError(told_problems(type(self), data, problems))
        self.__dict__.update(vars(record))

    @classmethod
    def read_at(cls, value: Any, at: Place, problems: list[Problem], said: str = "") -> Self | None:
        """The record of plain values; what is wrong with them is added to the problems, and nothing is raised."""
        plan, before = _plan(cls), len(problems)
        try:
            for prepare in plan.before:
                value = prepare(value)
        except ValueError as error:
            problems.append(refusal(error, at))
            return None
        if not isinstance(value, Mapping):
            problems.append(Problem(at, MAPPING.format(shown(value)), said))
            return None
        record = _filled(cls, plan, value, at, problems)
        if len(problems) > before:
            return None
        try:
            for check in plan.after:
                check(record)
        except ValueError as error:
            problems.append(refusal(error, at))
        return record

    @property
    def given(self) -> frozenset[str]:
        """Names of the fields that were written, rather than left at their default."""
        names: frozenset[str] = self.__dict__["_given"]
        return names

    def changed(self, **values: Any) -> Self:
        """The same record with other values, which are taken as they are: for values that were checked before."""
        other = type(self).__new__(type(self))
        other.__dict__.update({**dict(self), **values, "_given": self.given | values.keys()})
        return other

    def as_dict(self) -> dict[str, Any]:
        """All that is not None, by the keys of a file, records within it too; numbers in the inner units."""
        every = ((key, getattr(self, name)) for name, key, *_ in _plan(type(self)).reads)
        return {key: _plain(value) for key, value in every if value is not None}

    def __iter__(self) -> Iterator[tuple[str, Any]]:
        return ((name, getattr(self, name)) for name in fields_of(type(self)))

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"a record is not changed: {name}; `changed` makes another")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"a record is not changed: {name}")

    def __eq__(self, other: object) -> bool:
        return self is other or (isinstance(other, Record) and type(self) is type(other) and list(self) == list(other))

    def __hash__(self) -> int:
        return hash((type(self), tuple(self)))

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(f'{n}={v!r}' for n, v in self if n in self.given)})"


R = TypeVar("R", bound=Record)


def read_record(model: type[R], data: Mapping[str, Any]) -> tuple[R | None, list[Problem]]:
    """The record of plain values, or None, and every problem found, each with its place."""
    problems: list[Problem] = []
    record = model.read_at(data, (), problems)
    return (None if problems else record), problems


def fields_of(model: type[Record]) -> Mapping[str, FieldFacts]:
    """The fields of a class by name, in the order they are written."""
    return _plan(model).fields


def types_of(model: type[Record]) -> dict[str, Any]:
    """The type of each field by name, with what stands beside it."""
    found = typing.get_type_hints(model, include_extras=True)
    return {name: kind for name, kind in found.items() if typing.get_origin(kind) is not typing.ClassVar}


def _plan(model: type[Record]) -> _Plan:
    """How records of a class are read: worked out once, when the first is."""
    plan: _Plan = model.__dict__.get("_read_by") or _planned(model)
    return plan


def _planned(model: type[Record]) -> _Plan:
    fields: dict[str, FieldFacts] = {}
    reads = []
    for name, kind in types_of(model).items():
        if hasattr(Record, name):
            raise TypeError(f"{model.__name__}.{name} would hide what every record has by that name")
        default = getattr(model, name, REQUIRED)
        fields[name] = facts = default if isinstance(default, FieldFacts) else FieldFacts(default)
        reads.append((name, facts.alias or name, reader(kind), facts))
    hooks = {name: _when(hook) for base in reversed(model.__mro__) for name, hook in vars(base).items()}
    before, after = (tuple(getattr(model, n) for n, when in hooks.items() if when == w) for w in ("before", "after"))
    plan = _Plan(fields, tuple(reads), frozenset(key for _, key, *_ in reads), before, after)
    model._read_by = plan  # type: ignore[attr-defined]
    return plan


def _when(hook: Any) -> str:
    """When a hook is asked: before or after the fields are read; empty for what is none."""
    return getattr(getattr(hook, "__func__", hook), "_reads", "")


def _filled(model: type[R], plan: _Plan, value: Mapping[str, Any], at: Place, problems: list[Problem]) -> R:
    """A record with each field read, or at its default; keys that are not known are problems."""
    values: dict[str, Any] = {}
    given = []
    for name, key, read, facts in plan.reads:
        if key in value:
            values[name] = read(value[key], (*at, key), problems, facts.description)
            given.append(name)
        elif facts.required:
            said = f"add `{key}:` {facts.description[:1].lower()}{facts.description[1:]}"
            problems.append(Problem((*at, key), "this is missing", said))
        else:
            values[name] = facts.made()
    problems += [_unknown(at, str(key), plan.keys) for key in value if key not in plan.keys]
    record = model.__new__(model)
    record.__dict__.update(values, _given=frozenset(given))
    return record


def _unknown(at: Place, key: str, known: frozenset[str]) -> Problem:
    hint = did_you_mean(key, sorted(known), "keys known here", cutoff=66)
    return Problem((*at, key), f"the key {key[:40]!r} is not known", hint, key=True)


def _plain(value: Any) -> Any:
    if isinstance(value, Record):
        return value.as_dict()
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    return {key: _plain(item) for key, item in value.items()} if isinstance(value, dict) else value
