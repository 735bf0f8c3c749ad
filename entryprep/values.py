"""Dataclasses that are made quickly: a start makes dozens of them, and does little else for as long.

The standard decorator compiles up to eight functions for each class. This one compiles only ``__init__``; the others
are shared, and ask the class for its fields. ``dataclasses.replace``, ``fields`` and ``astuple`` work as ever, and for
type checkers it is the standard decorator.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass  # noqa: PLC0414 - said so, it is exported
else:

    def dataclass(cls=None, /, *, frozen=False):
        """A class of fields as the standard decorator makes it: compared and shown by them, hashed if frozen."""
        return (lambda made: _made(made, frozen)) if cls is None else _made(cls, frozen)


def _made(cls: type, frozen: bool) -> type:
    made: Any = dataclasses.dataclass(init=False, repr=False, eq=False)(cls)
    fields = dataclasses.fields(made)
    compared = [field.name for field in fields if field.compare]
    hashed = [field.name for field in fields if (field.compare if field.hash is None else field.hash)]
    shared: dict[str, Any] = {"__init__": _init(made, fields), "__repr__": _repr, "__eq__": _eq, "__hash__": None}
    if frozen:
        shared |= {"__hash__": _hash, "__setattr__": _set, "__delattr__": _delete}
    for name, function in shared.items():
        if name not in cls.__dict__:
            setattr(cls, name, function)
    made._compared = attrgetter(*compared) if compared else type
    made._hashed = attrgetter(*hashed) if hashed else type
    return cls


def _init(cls: Any, fields: tuple[dataclasses.Field[Any], ...]) -> Callable[..., None]:
    """``__init__``, the one function that is compiled, since the values of a run go through it by the thousand."""
    known: dict[str, Any] = {"_left_out": _LEFT_OUT}
    takes, does = ["self"], ["_own = self.__dict__"]
    for number, field in enumerate(fields):
        name, value = field.name, field.name
        if field.default_factory is not dataclasses.MISSING:
            known[f"_make_{number}"] = field.default_factory
            name, value = f"{name}=_left_out", f"_make_{number}() if {name} is _left_out else {name}"
        elif field.default is not dataclasses.MISSING:
            known[f"_usual_{number}"] = field.default
            name = f"{name}=_usual_{number}"
        if field.init:
            takes.append(name)
            does.append(f"_own[{field.name!r}] = {value}")
        elif field.default_factory is not dataclasses.MISSING:
            does.append(f"_own[{field.name!r}] = _make_{number}()")
    if hasattr(cls, "__post_init__"):
        does.append("self.__post_init__()")
    exec(f"def __init__({', '.join(takes)}):\n  " + "\n  ".join(does), known)
    known["__init__"].__qualname__ = f"{cls.__qualname__}.__init__"  # what a wrong call is told by
    return known["__init__"]  # type: ignore[no-any-return]


class _LeftOut:
    def __repr__(self) -> str:
        return "<its own>"


_LEFT_OUT = _LeftOut()


def _repr(self: Any) -> str:
    shown = (f"{field.name}={getattr(self, field.name)!r}" for field in dataclasses.fields(self) if field.repr)
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _eq(self: Any, other: Any) -> Any:
    if type(self) is not type(other):
        return NotImplemented
    return self._compared(self) == self._compared(other)


def _hash(self: Any) -> int:
    return hash(self._hashed(self))


def _set(_self: Any, name: str, _value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(_self: Any, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")
