"""Writing from right to left, by worked examples of the Unicode Standard."""

from __future__ import annotations

import unicodedata

import pytest

from entryprep.paper.bidi import joined, led, turned

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
    ],
)
def test_the_order_on_paper(stored: str, drawn: str) -> None:
    assert shown(stored) == drawn


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
