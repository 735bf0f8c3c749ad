"""Dataclasses that are made quickly are those of the standard library in all that ours use."""

from __future__ import annotations

import copy
import dataclasses
import importlib
import inspect
import pickle
import pkgutil
from collections.abc import Callable
from typing import Any, ClassVar

import pytest

import entryprep
from entryprep.values import dataclass as quick


def both(make: Callable[[Any], type]) -> list[Any]:
    """The same class by the standard decorator and by ours."""
    return [make(dataclasses.dataclass), make(quick)]


def plain(decorator: Any) -> Any:
    """A class with all kinds of fields."""

    @decorator(frozen=True)
    class Plain:
        """Some values."""

        kind: ClassVar[str] = "plain"
        first: int
        values: str = "some"
        many: list[int] = dataclasses.field(default_factory=list, hash=False)
        aside: int = dataclasses.field(default=0, compare=False, repr=False)

        @property
        def double(self) -> int:
            """Twice the first."""
            return self.first * 2

    return Plain


def looser(decorator: Any) -> Any:
    """A class that may be changed, with values that are worked out."""

    @decorator
    class Looser:
        """Some values."""

        first: int
        seen: dict[str, int] = dataclasses.field(init=False)
        kept: list[int] = dataclasses.field(default_factory=list, init=False)

        def __post_init__(self) -> None:
            self.seen = {"first": self.first}

    return Looser


def test_made_compared_and_shown_alike() -> None:
    for cls in both(plain):
        one, other = cls(3, many=[1]), cls(3, "some", [1], aside=9)
        assert one == other
        assert hash(one) == hash(other)
        assert one != cls(4, many=[1])
        assert one != (3, "some", [1], 0)
        assert cls(1).many is not cls(1).many
        assert one.double == 6
        assert repr(one).endswith("Plain(first=3, values='some', many=[1])")
        assert dataclasses.replace(one, first=5) == cls(5, many=[1])
        assert dataclasses.astuple(other) == (3, "some", [1], 9)
        assert [field.name for field in dataclasses.fields(one)] == ["first", "values", "many", "aside"]
        assert copy.deepcopy(one) == one
        assert cls.__doc__ == "Some values."
        assert list(inspect.signature(cls).parameters) == ["first", "values", "many", "aside"]


def test_a_frozen_one_is_not_changed() -> None:
    for cls in both(plain):
        one = cls(3)
        with pytest.raises(dataclasses.FrozenInstanceError):
            one.first = 4
        with pytest.raises(dataclasses.FrozenInstanceError):
            del one.first
        assert one.first == 3


def test_a_wrong_call_is_told_by_the_names() -> None:
    for cls in both(plain):
        with pytest.raises(TypeError, match=r"Plain\.__init__\(\) missing 1 required positional argument: 'first'"):
            cls()
        with pytest.raises(TypeError, match="unexpected keyword argument 'second'"):
            cls(1, second=2)


def test_one_that_may_change_has_no_hash() -> None:
    for cls in both(looser):
        one = cls(2)
        assert (one.seen, one.kept) == ({"first": 2}, [])
        one.first = 3
        assert one != cls(2)
        with pytest.raises(TypeError):
            hash(one)
        with pytest.raises(TypeError):
            cls(2, kept=[1])


def test_a_class_of_ours_survives_a_pickle() -> None:
    reading = entryprep.Reading(1.05, 0.001)
    assert pickle.loads(pickle.dumps(reading)) == reading


def test_fields_without_a_value_before_them_are_refused_as_ever() -> None:
    """A field without default after one with: whoever writes such a class is told at once."""

    def wrong(decorator: Any) -> Any:
        @decorator
        class Wrong:
            """Out of order."""

            first: int = 1
            second: str

        return Wrong

    for decorator in (dataclasses.dataclass, quick):
        with pytest.raises((TypeError, SyntaxError)):
            wrong(decorator)


def test_the_modules_of_one_beer_make_no_class_the_slow_way() -> None:
    """A class made by the standard decorator costs about five times as long, at every start."""
    rooms = ("beer", "brewing", "tables")
    slow = []
    for room in rooms:
        package = importlib.import_module(f"entryprep.{room}")
        for found in pkgutil.iter_modules(package.__path__, f"entryprep.{room}."):
            module = importlib.import_module(found.name)
            for each in vars(module).values():
                made = isinstance(each, type) and each.__module__ == found.name and dataclasses.is_dataclass(each)
                if made and not hasattr(each, "_compared") and not hasattr(each, "__slots__"):
                    slow.append(f"{found.name}.{each.__name__}")
    assert slow == []
