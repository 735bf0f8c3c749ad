"""Writing from right to left, by worked examples of the Unicode Standard and beside python-bidi."""

from __future__ import annotations

import random
import unicodedata

import pytest
from bidi import get_display

from entryprep.paper.bidi import _bracket_pairs, joined, led, reordered, turned

ALL = range(0x110000)
# in the examples of UAX 9 capitals stand for letters written from right to left
HEBREW = {letter: chr(0x5D0 + place) for place, letter in enumerate("ABCDEFGHIJKLMNOPQRSTUVWXYZ")}
CAPITALS = {hebrew: letter for letter, hebrew in HEBREW.items()}


def shown(text: str) -> str:
    drawn = turned("".join(HEBREW.get(c, c) for c in text), ALL)
    return "".join(CAPITALS.get(c, c) for c in drawn)


@pytest.mark.parametrize(
    ("stored", "drawn"),
    [  # Unicode Standard Annex 9, sections 3.4 and 6; from memory
        ("car means CAR.", "car means RAC."),
        ("car is THE CAR in arabic", "car is RAC EHT in arabic"),
        ("he said “IT IS 123, 456, OK”.", "he said “KO ,456 ,123 SI TI”."),
        ("CAR 12-34 X", "X 12-34 RAC"),
        ("only latin (1)", "only latin (1)"),
        ("A (B) C", "C (B) A"),
        # its examples of paired brackets (N0); from memory
        ("AB(CD[&ef]!)gh", "gh(![ef&]DC)BA"),
        ("smith (fabrikam ABC) DEF", "smith (fabrikam CBA) FED"),
        ("ABC book(s)", "book(s) CBA"),
        ("car (CAR) car", "car (RAC) car"),
        ("a (b] C) d", "a (b] C) d"),
    ],
)
def test_the_order_on_paper(stored: str, drawn: str) -> None:
    assert shown(stored) == drawn


def test_the_order_of_any_line_is_that_of_python_bidi(monkeypatch: pytest.MonkeyPatch) -> None:
    """Letters of three directions, digits, brackets, signs. It leaves mirroring to the font, so ours rests."""
    monkeypatch.setattr("entryprep.paper.bidi.MIRRORED", {})
    chance = random.Random(9)
    signs = "abc אבג ابت 12 345 ()[]{}()[] .,:;-+%/#€ \"'<>«»!? "
    checked = 0
    for _ in range(5000):
        line = "".join(chance.choice(signs) for _ in range(chance.randrange(1, 30)))
        if any(unicodedata.bidirectional(letter) in {"R", "AL"} for letter in line):
            assert reordered(line) == get_display(line), ascii(line)
            checked += 1
    assert checked > 3500


def test_more_brackets_than_the_annex_pairs_are_left_unpaired() -> None:
    """BD16: where more than 63 brackets stand open, none from there on is paired; from memory."""
    for depth in (63, 64, 80):
        places = list(_bracket_pairs(["ON"] * 2 * depth, ["("] * depth + [")"] * depth))
        assert len(places) == (depth if depth <= 63 else 0)


def test_a_broken_line_keeps_the_direction_of_its_text() -> None:
    text = "".join(HEBREW.get(c, c) for c in "car is THE CAR in arabic")
    lines = led(["car is", text[7:]], text)
    assert len(lines[1]) == len(text[7:]) + 1
    drawn = [turned(line, ALL) for line in lines]
    assert "".join(CAPITALS.get(c, c) for c in drawn[1]) == "RAC EHT in arabic"
    assert led(["plain", "lines"], "plain lines") == ["plain", "lines"]


def test_marks_stay_on_their_letters() -> None:
    assert turned("\u05d1\u05b0\u05e8", ALL) == "\u05e8\u05d1\u05b0"


@pytest.mark.parametrize(
    ("word", "names"),
    [  # beh joins both ways, alef only to the letter before it, lam and alef are one: Unicode Standard 9.2, from memory
        ("\u0628\u0628\u0628", ["BEH INITIAL FORM", "BEH MEDIAL FORM", "BEH FINAL FORM"]),
        ("\u0628\u0627\u0628", ["BEH INITIAL FORM", "ALEF FINAL FORM", "BEH ISOLATED FORM"]),
        ("\u0628\u064e\u0628", ["BEH INITIAL FORM", "FATHA", "BEH FINAL FORM"]),
        ("\u0633\u0644\u0627\u0645", ["SEEN INITIAL FORM", "LAM WITH ALEF FINAL FORM", "MEEM ISOLATED FORM"]),
    ],
)
def test_arabic_letters_join(word: str, names: list[str]) -> None:
    found = [
        unicodedata.name(c).removeprefix("ARABIC ").replace("LETTER ", "").replace("LIGATURE ", "")
        for c in joined(word, ALL)
    ]
    assert found == names


def test_forms_that_cannot_be_drawn_are_left_alone() -> None:
    assert joined("\u0628\u0628", range(0x700)) == "\u0628\u0628"
