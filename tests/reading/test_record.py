"""Records: read as a general-purpose library for such models reads them, and told with every problem at its place."""

from __future__ import annotations

import copy
import datetime as dt
import inspect
import pickle
from enum import Enum
from importlib import import_module
from pkgutil import walk_packages
from typing import Annotated, Any, Literal

import pydantic
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

import entryprep
from entryprep import Batch
from entryprep.reading.kinds import Before, Field, Refused, reader
from entryprep.reading.record import Record, checks, fields_of, prepares, read_record
from entryprep.reading.schema import json_schema
from entryprep.reading.yamltext import RecordError


class Colour(Enum):
    PALE = "pale"
    DARK = "dark"


class Cask(Record):
    """One cask."""

    litres: Annotated[float, Field(gt=0, le=200)] = Field(description="Contents.")
    wood: Literal["oak", "chestnut"] | None = Field(None, description="Which wood.")


class Cellar(Record):
    """What lies in a cellar."""

    name: Annotated[str, Field(min_length=1, max_length=12, pattern=r"^[A-Z].*$")] = Field(description="Its name.")
    casks: Annotated[list[Cask], Before(lambda v: v if isinstance(v, list) else [v])] = Field([], alias="barrels")
    span: tuple[float, float] | None = Field(None, description="Least and most.")
    dug: dt.date | None = None
    shelves: dict[Literal["left", "right"], int] = Field({}, description="Bottles by side.")
    colour: Colour = Colour.PALE
    cool: bool = True

    @staticmethod
    @prepares
    def _short(data: Any) -> Any:
        return {"name": data} if isinstance(data, str) else data

    @checks
    def _in_order(self) -> None:
        if self.span is not None and self.span[0] > self.span[1]:
            raise Refused("the span runs backwards", "swap the two")


TYPES: list[Any] = [
    str,
    int,
    float,
    bool,
    Literal["ale", "lager"] | None,
    Annotated[int, Field(ge=1, le=5)],
    Annotated[float, Field(gt=0, lt=5)] | None,
    Annotated[str, Field(min_length=2, max_length=4)],
    Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$")],
    list[int],
    Annotated[list[str], Field(min_length=1)],
    tuple[int, ...],
    tuple[float, float],
    dict[str, float],
    dict[Literal["a", "b"], list[bool]],
]
PLAIN = (
    st.none()
    | st.integers(-9, 9)
    | st.floats(-9, 9, allow_subnormal=False)
    | st.sampled_from(["", "a", "ale", "b2-", "-b", "abcde", "yes", "off", "maybe", "3", "2.5", "1e1", "true"])
)
VALUES = st.recursive(PLAIN, lambda v: st.lists(v, max_size=3) | st.dictionaries(st.sampled_from("abc"), v, max_size=2))


LIMITS = ("gt", "ge", "lt", "le", "min_length", "max_length", "pattern")


def theirs(kind: Any) -> Any:
    """The same type for the other library: our limits in its words."""
    if hasattr(kind, "__metadata__"):
        facts = kind.__metadata__[0]
        return Annotated[kind.__origin__, pydantic.Field(**{name: getattr(facts, name) for name in LIMITS})]
    parts = getattr(kind, "__args__", ())
    return theirs(parts[0]) | None if parts and hasattr(parts[0], "__metadata__") else kind


@pytest.mark.parametrize("kind", TYPES, ids=str)
@settings(max_examples=150, deadline=None)
@given(value=VALUES)
def test_a_value_is_read_as_pydantic_reads_it(kind: Any, value: Any) -> None:
    problems: list[Any] = []
    ours = reader(kind)(value, (), problems, "")
    try:
        wanted = pydantic.TypeAdapter(theirs(kind)).validate_python(value)
    except pydantic.ValidationError:
        assert problems
    else:
        assert (ours, problems) == (wanted, [])
        assert type(ours) is type(wanted)


@pytest.mark.parametrize("value", [True, float("nan"), float("inf"), "nan", 10**400])
def test_what_the_other_library_takes_for_a_number_and_we_do_not(value: Any) -> None:
    problems: list[Any] = []
    reader(float)(value, ("a",), problems, "say it in litres")
    assert [(p.at, p.fix) for p in problems] == [(("a",), "say it in litres")]


def test_a_record_is_read() -> None:
    made = Cellar(
        name="Marram",
        barrels=[{"litres": 50}],
        span=[1, 2],
        dug=dt.date(1990, 5, 1),
        shelves={"left": 3},
        colour="dark",
    )
    assert made.casks == [Cask(litres=50)]
    assert (made.span, made.shelves, made.colour, made.cool) == ((1.0, 2.0), {"left": 3}, Colour.DARK, True)
    assert made.given == {"name", "casks", "span", "dug", "shelves", "colour"}
    assert Cellar(**{"name": "Marram", "barrels": {"litres": 50}}).casks[0].litres == 50
    assert Cellar.read_at("Marram", (), []) == Cellar(name="Marram")


def test_every_problem_is_told_in_the_order_of_the_fields() -> None:
    record, problems = read_record(
        Cellar,
        {
            "barrels": [{"litres": 300, "wood": "ash"}, 7, {}],
            "span": [1],
            "dug": "1990",
            "shelves": {"left": "many", "up": 1},
            "colour": "red",
            "cool": "rather",
            "nmae": "Marram",
        },
    )
    assert record is None
    assert [(p.at, p.what) for p in problems] == [
        (("name",), "this is missing"),
        (("barrels", 0, "litres"), "300 is above 200"),
        (("barrels", 0, "wood"), "ash is not one of the words expected here"),
        (("barrels", 1), "expected `key: value` pairs, found 7"),
        (("barrels", 2, "litres"), "this is missing"),
        (("span",), "expected two values in brackets, low and high, found a list"),
        (("dug",), "1990 is not a date"),
        (("shelves", "left"), "many is not a whole number"),
        (("shelves", "up"), "up is not one of the words expected here"),
        (("colour",), "red is not one of the words expected here"),
        (("cool",), "rather is neither true nor false"),
        (("nmae",), "the key 'nmae' is not known"),
    ]
    fixes = {p.at[-1]: p.fix for p in problems}
    assert fixes["name"] == "add `name:` its name."
    assert fixes["nmae"] == "Did you mean name?"
    assert fixes["wood"] == "use 'oak' or 'chestnut'"
    assert [p.key for p in problems] == [False] * 11 + [True]


def test_a_record_as_a_whole_is_asked_once_its_fields_are_right() -> None:
    with pytest.raises(RecordError, match="runs backwards") as caught:
        Cellar(name="Marram", span=[2, 1])
    assert caught.value.fix == "swap the two"
    with pytest.raises(RecordError) as caught:
        Cellar(name="marram", span=[2, 1])
    assert [finding.path for finding in caught.value.findings] == ["name"]


def test_a_record_is_not_changed_but_made_anew() -> None:
    one = Cellar(name="Marram")
    with pytest.raises(AttributeError, match="not changed: name"):
        one.name = "Other"
    with pytest.raises(AttributeError):
        del one.name
    other = one.changed(cool=False)
    assert (one.cool, other.cool) == (True, False)
    assert other.given == {"name", "cool"}
    assert one != other
    assert one == Cellar(name="Marram", cool=True)
    assert copy.deepcopy(other) == pickle.loads(pickle.dumps(other)) == other
    assert hash(Cask(litres=5)) == hash(Cask(litres=5.0))
    assert repr(other) == "Cellar(name='Marram', cool=False)"


def test_a_default_that_can_be_changed_is_nobody_elses() -> None:
    Cellar(name="A").shelves["left"] = 3
    Cellar(name="A").casks.append(Cask(litres=1))
    assert Cellar(name="A").shelves == {}
    assert Cellar(name="A").casks == []


def test_as_plain_values_it_is_read_again() -> None:
    made = Cellar(name="Marram", barrels=[{"litres": 50, "wood": "oak"}], span=[1, 2])
    assert made.as_dict()["barrels"] == [{"litres": 50.0, "wood": "oak"}]
    assert "dug" not in made.as_dict()
    assert Cellar(**made.as_dict()) == made


def test_help_names_the_fields() -> None:
    found = inspect.signature(Batch).parameters
    assert list(found) == list(fields_of(Batch))
    assert found["name"].default is inspect.Parameter.empty
    assert found["keep"].default == 0


def test_a_class_that_cannot_be_read_is_told_to_who_wrote_it() -> None:
    class Odd(Record):
        """A type there is no reader for."""

        what: set[int]

    class Hiding(Record):
        """A field with the name of what every record has."""

        given: int  # type: ignore[assignment]

    for broken, words in ((Odd, "do not know the type"), (Hiding, "would hide")):
        with pytest.raises(TypeError, match=words):
            broken()


def every_record() -> list[type[Record]]:
    for module in walk_packages(entryprep.__path__, "entryprep."):
        if module.name != "entryprep.__main__":
            import_module(module.name)
    waiting, found = list(Record.__subclasses__()), []
    while waiting:
        found.append(waiting.pop())
        waiting += found[-1].__subclasses__()
    return sorted((r for r in found if r.__module__.startswith("entryprep.")), key=lambda r: (r.__module__, r.__name__))


@pytest.mark.parametrize("record", every_record(), ids=lambda record: f"{record.__module__}.{record.__name__}")
def test_every_record_there_is_can_be_read_and_described(record: type[Record]) -> None:
    assert fields_of(record)
    Draft202012Validator.check_schema(json_schema(record))


def test_the_schema_says_what_is_read() -> None:
    schema = json_schema(Cellar)
    tell = Draft202012Validator(schema)
    good = {"name": "Marram", "barrels": [{"litres": 50, "wood": "oak"}], "span": [1, 2], "shelves": {"left": 1}}
    assert tell.is_valid(good)
    bad: dict[str, Any]
    for bad in ({"name": "marram"}, {"barrels": []}, {**good, "span": [1]}, {**good, "nmae": 1}):
        assert not tell.is_valid(bad)
    assert not tell.is_valid({**good, "shelves": {"up": 1}})
    assert not tell.is_valid({**good, "barrels": [{"litres": 0}]})
    assert schema["properties"]["name"]["description"] == "Its name."
    assert schema["required"] == ["name"]
