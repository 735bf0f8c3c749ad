"""Reading YAML: values, places, and everything that is refused, each with its one message."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.reading.yamltext import MAX_BYTES, RecordError, parse_yaml


def test_values_and_places() -> None:
    document = parse_yaml(
        b"country: NO\non: off\nday: 2027-03-14\ncode: 007\nn: [1, 2.5, true, null]\nquoted: '12'\n", "a.yaml"
    )
    assert document.data == {
        "country": "NO",
        "on": "off",
        "day": dt.date(2027, 3, 14),
        "code": "007",
        "n": [1, 2.5, True, None],
        "quoted": "12",
    }
    assert document.place(("n", 1)) == (5, 8)
    assert document.place(("n", 9)) == (5, 4)
    assert document.keys["day",] == (3, 1)


@pytest.mark.parametrize(
    ("content", "place", "said"),
    [
        (b"", "a.yaml:1:1", "the file is empty"),
        (b"# only a comment\n", "a.yaml:1:1", "the file is empty"),
        (b"name: x\nname: y\n", "a.yaml:2:1", "the key 'name' stands twice"),
        (b"name: x\n\tstyle: y\n", "a.yaml:2:1", "the line is indented with a tab"),
        (b"name: [x\nstyle: y\n", "a.yaml:2:6", "this is not YAML"),
        (b"name: 'x\n", "a.yaml:2:1", "this is not YAML"),
        (b"name: \xff\xfe\n", "a.yaml:1:7", "the text is not UTF-8"),
        (b"name: !!python/object:os.system x\n", "a.yaml:1:7", "the tag"),
        (b"name: !mine x\n", "a.yaml:1:7", "the tag !mine is not read"),
        (b"? [a, b]\n: c\n", "a.yaml:1:3", "a key must be a plain word"),
        (b"day: 2027-02-30\n", "a.yaml:1:6", "2027-02-30 is not a day of the calendar"),
        (b"a: " + b"[" * 60 + b"]" * 60, "a.yaml:1:", "nested too deeply"),
        (b"a: b\n---\na: c\n", "a.yaml:2:1", "this is not YAML"),
        (b"name: \x07\n", "a.yaml:1:7", "control character"),
        (b"x: " + b"y" * MAX_BYTES, "a.yaml:1:1", "records of at most 2 MB"),
    ],
    ids=lambda value: repr(value)[:30],
)
def test_refused_with_place(content: bytes, place: str, said: str) -> None:
    with pytest.raises(RecordError) as caught:
        parse_yaml(content, "a.yaml")
    finding = caught.value.findings[0]
    assert finding.where.startswith(place)
    assert said in finding.what
    assert finding.fix


def test_alias_bomb_is_counted_not_expanded() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]" for i in range(1, 12)]
    with pytest.raises(RecordError, match="too many values"):
        parse_yaml("\n".join(lines).encode(), "bomb.yaml")


def test_an_alias_that_holds_itself_is_refused() -> None:
    with pytest.raises(RecordError, match="deeply"):
        parse_yaml(b"a: &a [*a]\n", "loop.yaml")


def test_every_problem_is_told_in_one_run() -> None:
    with pytest.raises(RecordError) as caught:
        parse_yaml(b"a: 1\na: 2\nb: 2027-13-01\nc: !x y\n", "a.yaml")
    assert [f.line for f in caught.value.findings] == [2, 3, 4]


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    try:
        parse_yaml(content, "a.yaml")
    except RecordError as error:
        assert error.findings


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        parse_yaml(text.encode("utf-8", "surrogatepass"), "a.yaml")
    except RecordError as error:
        assert all(f.line > 0 for f in error.findings)
