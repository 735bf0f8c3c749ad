"""Names of files made from what people write: safe, bounded, never two alike, the same whatever the order."""

from __future__ import annotations

import random
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from entryprep.filenames import LONGEST, LONGEST_BYTES, file_name, file_names, is_safe


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("A-1", "A-1"),
        ("../../escaped", "escaped"),
        ("A/1", "A-1"),
        ("Solveig  Brekke", "Solveig-Brekke"),
        ("Ünï Ço", "Ünï-Ço"),
        ("", "unnamed-"),
        ("...", "unnamed-"),
        ("CON", "CON-"),
        ("a\x00b\u202ec", "a-b-c"),
        ("x" * 500, "x" * LONGEST),
    ],
)
def test_a_name(text: str, name: str) -> None:
    assert file_name(text) == name


@pytest.mark.parametrize(
    "texts",
    [
        ["A/1", "A-1", "A-1-2"],
        ["Ünï Ço", "Uni Co"],
        ["uni co", "Uni Co", "uni-co"],
        ["1", "1", "1 (2)", "1-2", "1-2"],
        ["", "?", "unnamed"],
        ["x" * 100, "x" * 101, "x" * 60],
        ["straße", "strasse", "STRASSE"],
        ["é", "e\u0301"],
    ],
)
def test_no_two_alike_and_no_order(texts: list[str]) -> None:
    names = file_names(dict(enumerate(texts)))
    assert len({unicodedata.normalize("NFD", name).casefold() for name in names.values()}) == len(texts)
    by_text = {text: {names[i] for i, t in enumerate(texts) if t == text} for text in texts}
    turned = list(reversed(texts))
    again = file_names(dict(enumerate(turned)))
    assert {text: {again[i] for i, t in enumerate(turned) if t == text} for text in turned} == by_text


def test_a_good_name_is_kept_whoever_comes_beside_it() -> None:
    assert file_names({1: "A-1", 2: "A/1"})[1] == "A-1"
    assert file_names({1: "A/1"}) == {1: "A-1"}


@given(st.lists(st.text(max_size=80), max_size=30), st.randoms(use_true_random=False))
def test_any_texts(texts: list[str], chance: random.Random) -> None:
    texts += chance.sample(texts, len(texts) // 2)
    names = file_names(dict(enumerate(texts)))
    assert len({unicodedata.normalize("NFKD", n).casefold() for n in names.values()}) == len(texts)
    for name in names.values():
        assert is_safe(f"{name}.txt")
        assert "." not in name
        assert len(name) <= LONGEST + 80
        assert len(name.encode()) <= LONGEST_BYTES + 80


@pytest.mark.parametrize(
    "name", ["", ".", "..", "a/..", "/a", "a/", "a\\b", "c:x", "a\x1b", "aux.txt", "a ", "x" * 300]
)
def test_what_is_not_safe(name: str) -> None:
    assert not is_safe(name)


@pytest.mark.parametrize("name", ["a.csv", "letters/to-uni-co.txt", ".entryprep-made.json", "fit-sheets.pdf"])
def test_what_is_safe(name: str) -> None:
    assert is_safe(name)
