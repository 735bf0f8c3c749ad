"""Numbers that read as another one upside down."""

from __future__ import annotations

import pytest

from entryprep.paper.slipvalues import turns

# strobogrammatic numbers, which read the same upside down, up to 1000: OEIS A000787, from memory
SAME = (0, 1, 8, 11, 69, 88, 96, 101, 111, 181, 609, 619, 689, 808, 818, 888, 906, 916, 986)


@pytest.mark.parametrize("number", SAME)
def test_what_reads_the_same_needs_no_line(number: int) -> None:
    assert not turns(str(number))


def test_of_all_numbers_only_those_of_turnable_figures_are_marked() -> None:
    for number in range(1000):
        text = str(number)
        assert turns(text) == (set(text) <= set("01689") and number not in SAME)


@pytest.mark.parametrize(("number", "marked"), [("6", True), ("0810", True), ("A6", False), ("MW", False)])
def test_letters_count_too(number: str, marked: bool) -> None:
    assert turns(number) == marked


def test_a_number_with_other_signs_is_left_alone() -> None:
    assert not turns("66/2")
    assert not turns("")
