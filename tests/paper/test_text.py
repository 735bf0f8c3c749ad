from __future__ import annotations

import subprocess
import sys
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.paper.fonts import REGULAR, missing_letters, printable, register_fonts, width_pt
from entryprep.paper.text import _broken_lines, _measured_lines, first_line, fitted, wrapped


def test_the_font_has_the_letters_of_europe() -> None:
    assert missing_letters("Łukasz Øren, Café, Ж ω ğ ő ß – “” × ° € … •") == ""


def test_missing_letters_are_named_once_in_order() -> None:
    assert missing_letters("شاي a ش b 日\x07\n\t") == "شاي日\x07"


def test_missing_letters_become_boxes_and_keep_their_places() -> None:
    assert printable("שלום x") == "▯▯▯▯ x"
    assert missing_letters("▯") == ""


def test_accents_are_composed_before_anything_is_said_about_them() -> None:
    apart = unicodedata.normalize("NFD", "Café Żaneta")
    assert printable(apart) == "Café Żaneta"
    assert missing_letters(apart) == ""


@pytest.mark.parametrize("text", ["a b", "word " * 40, "M" * 300, "short " + "W" * 200 + " end", ""])
def test_no_line_is_wider_than_its_room_and_nothing_is_lost(text: str) -> None:
    register_fonts()
    lines = wrapped(text, REGULAR, 9, 120)
    assert all(width_pt(line, REGULAR, 9) <= 120 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


WORDS = st.lists(st.text(st.sampled_from("aeiWm.,łøЖ-"), min_size=1, max_size=30), max_size=30)


@given(WORDS, st.floats(min_value=20, max_value=500), st.sampled_from([8.0, 9.5, 11.5]))
@settings(max_examples=200, deadline=None)
def test_words_added_up_break_as_lines_that_are_measured(words: list[str], width: float, size: float) -> None:
    """Within the largest float that holds every whole number sums are exact, so both ways must agree to the letter."""
    register_fonts()
    text = " ".join(words)
    assert _broken_lines(text, REGULAR, size, width) == _measured_lines(text, REGULAR, size, width)
    begun, rest = first_line(text, REGULAR, size, width)
    assert f"{begun} {rest}".strip() == text
    assert width_pt(begun, REGULAR, size) <= width
    assert not rest or width_pt(f"{begun} {rest.split()[0]}".strip(), REGULAR, size) > width


def test_a_long_word_begins_on_the_line_that_has_room() -> None:
    register_fonts()
    assert wrapped("Base: " + "Ø" * 100, REGULAR, 9, 120)[0].startswith("Base: Ø")


def test_smaller_first_then_cut_at_a_word() -> None:
    register_fonts()
    assert fitted("Robust porter", REGULAR, 200, 12, 8, 1).size == 12
    shrunk = fitted("Robust porter with cherries", REGULAR, 120, 12, 8, 1)
    assert 8 <= shrunk.size < 12
    assert not shrunk.cut
    cut = fitted("cherries " * 30, REGULAR, 120, 12, 8, 1)
    assert cut.cut
    assert cut.lines[0].endswith("cherries …")
    assert fitted("Base: " + "Ø" * 99, REGULAR, 120, 8, 8, 1).lines[0].startswith("Base: ØØØ")


@settings(deadline=None, max_examples=60)
@given(st.text(max_size=200))
def test_any_text_fits(text: str) -> None:
    register_fonts()
    found = fitted(text, REGULAR, 80, 11, 8, 2)
    assert len(found.lines) <= 2
    assert all(width_pt(line, REGULAR, found.size) <= 80 for line in found.lines)


def test_the_package_loads_nothing_heavy() -> None:
    code = "import sys, entryprep.paper; sys.exit('reportlab' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
