"""Blind numbers: the published check character, every misread digit caught, nothing told of the order of arrival."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import spearmanr

from entryprep.receiving.numbers import NumberError, check_character, checked_number, digits_for, drawn, is_valid
from tests.vectors import vector_path

ROWS = yaml.safe_load(vector_path("check-characters.yaml").read_text(encoding="utf-8"))["rows"]
ENTRIES = [f"E{n}" for n in range(620)]
NUMBERS = drawn(ENTRIES, "marsh light")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["digits"])
def test_published_check_characters(row: dict[str, str]) -> None:
    assert check_character(row["digits"]) == row["check"]
    assert is_valid(row["digits"] + row["check"])


@given(st.text("0123456789", min_size=2, max_size=9), st.data())
def test_every_single_wrong_digit_and_every_swap_is_caught(digits: str, data: st.DataObject) -> None:
    # what ISO/IEC 7064 promises for MOD 11-2: all single substitutions and all single transpositions
    number = digits + check_character(digits)
    spot = data.draw(st.integers(0, len(number) - 1))
    other = data.draw(st.sampled_from("0123456789"))
    wrong = number[:spot] + other + number[spot + 1 :]
    assert wrong == number or not is_valid(wrong)
    if spot + 1 < len(number):
        swapped = number[:spot] + number[spot + 1] + number[spot] + number[spot + 2 :]
        assert swapped == number or not is_valid(swapped)


def test_numbers_are_short_single_and_valid() -> None:
    assert len(set(NUMBERS.values())) == len(ENTRIES)
    assert {len(number) for number in NUMBERS.values()} == {5}
    assert all(is_valid(number) and number[0] != "0" for number in NUMBERS.values())


def test_no_number_reads_as_another_valid_one_upside_down() -> None:
    turned = str.maketrans("01689", "01986")
    for number in drawn([f"{n}" for n in range(3000)], "x").values():
        if set(number) <= set("01689"):
            other = number[::-1].translate(turned)
            assert other == number or not is_valid(other)


def test_the_same_for_the_same_entries_and_words_in_any_order() -> None:
    assert drawn(reversed(ENTRIES), "marsh light") == NUMBERS
    other = drawn(ENTRIES, "other words")
    assert sum(other[e] == NUMBERS[e] for e in ENTRIES) < 5


def test_the_order_of_arrival_does_not_show() -> None:
    # oracle: scipy's rank correlation of arrival and number, near nothing for a drawing by chance
    result = spearmanr(range(620), [int(NUMBERS[e]) for e in ENTRIES])
    assert abs(result.statistic) < 0.13  # three standard errors of 620 pairs


@given(st.integers(1, 60), st.integers(1, 60))
@settings(max_examples=25, deadline=None)
def test_late_arrivals_change_no_number(before: int, after: int) -> None:
    first = drawn(ENTRIES[:before], "s")
    second = drawn(ENTRIES[: before + after], "s", first)
    assert first.items() <= second.items()
    assert len(set(second.values())) == before + after


def test_late_arrivals_do_not_show_by_longer_numbers() -> None:
    first = drawn(ENTRIES[:200], "s")
    assert {len(number) for number in drawn(ENTRIES, "s", first).values()} == {4}
    many = drawn([f"E{n}" for n in range(900)], "s", first)
    assert len(set(many.values())) == 900, "where there is no room they are longer, and still single"


@pytest.mark.parametrize(("count", "digits"), [(1, 3), (270, 3), (620, 4), (10_000, 5), (100_000, 6)])
def test_length(count: int, digits: int) -> None:
    assert digits_for(count) == digits
    assert 9 * 10 ** (digits - 1) >= 3 * count


@pytest.mark.parametrize("text", ["", "1", "12345", "07941", "x", "٣٤", "0 7 9 4 1", "-1", "1e5"])
def test_a_wrong_number_is_told(text: str) -> None:
    with pytest.raises(NumberError, match="check digit"):
        checked_number(text)
    assert checked_number(" 0794 0 ") == "07940"


def test_no_seed_no_numbers() -> None:
    with pytest.raises(ValueError, match="seed"):
        drawn(["a"], "  ")
