"""The detector of names: what it finds, what it leaves, how often, and that it takes no longer with many entrants."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Iterable
from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.records.anonymity import BAR, BLACKED_OUT, Detector, blacked_out
from entryprep.records.identity import Identity, people_in
from entryprep.tables.namewords import name_words
from entryprep.tables.styles import load_styles
from tests.vectors.planted import Person, Planted, hand_written, honest, planted, planted_ordinary
from tests.work import lines_run

HALVES = ("work", "last")


def identity(person: Person, co_brewer: Person | None = None) -> Identity:
    """An entrant as a sheet has them, a co-brewer in the same cell."""
    cell = person.name if co_brewer is None else f"{person.name} and {co_brewer.name}"
    named = {"breweries": person.house, "clubs": person.club, "places": person.town, "beers": person.beer}
    reach = tuple(text for text in (person.mail, person.phone, person.web) if text)
    return Identity((cell,), (), **{kind: (text,) for kind, text in named.items() if text}, contacts=reach)


@cache
def alone() -> Detector:
    return Detector(load_styles())


def shown(text: str, **who: Iterable[str]) -> list[str]:
    """What is found in a text of an entrant."""
    own = Identity(**{kind: (said,) if isinstance(said, str) else tuple(said) for kind, said in who.items()})
    return [found.shown for found in alone().find(text, own)]


def taken_out(rows: list[Planted]) -> tuple[dict[str, float], int]:
    """The share of what was planted that is taken out wholly, by form; and how often nothing was told at all."""
    who = [identity(row.owner, row.co_brewer) for row in rows]
    detector = Detector(load_styles(), who)
    all_, hits, untold = Counter[str](), Counter[str](), 0
    for row, own in zip(rows, who, strict=True):
        found = detector.find(row.text, own)
        begins = row.text.index(row.words)
        ends = begins + len(row.words) - (2 if row.form.startswith("possessive") else 0)
        covered = {place for each in found for place in range(each.start, each.end)}
        all_[row.form] += 1
        untold += not found
        hits[row.form] += {p for p in range(begins, ends) if row.text[p].isalnum()} <= covered
    return {form: hits[form] / all_[form] for form in all_}, untold


@pytest.mark.parametrize("half", HALVES)
def test_planted_names_are_taken_out_in_every_form(half: str) -> None:
    shares, untold = taken_out(list(planted(half)))
    assert len(shares) >= 24
    assert min(shares.values()) >= 0.98, shares
    assert untold <= 4  # a given name that is an ingredient's too, standing alone


@pytest.mark.parametrize("half", HALVES)
def test_names_that_are_words_are_found_where_they_are_said_of_a_person(half: str) -> None:
    shares, untold = taken_out(list(planted_ordinary(half)))
    assert min(shares.values()) >= 0.98, shares
    assert untold == 0


@pytest.mark.parametrize("half", HALVES)
def test_honest_declarations_raise_hardly_any_alarm(half: str) -> None:
    rows = honest(half)
    assert len(rows) == 2000
    assert len(hand_written("work")) + len(hand_written("last")) >= 300
    who = [identity(row.owner) for row in rows]
    detector = Detector(load_styles(), who)
    alarms = [row.text for row, own in zip(rows, who, strict=True) if detector.find(row.text, own)]
    assert len(alarms) < 20, alarms


def test_names_of_styles_name_nobody() -> None:
    everybody = Detector(load_styles(), (identity(row.owner) for row in honest("work")))
    texts = [name for style in load_styles() for name in (style.name, *style.aliases)]
    assert len(texts) > 200
    assert [text for text in texts if everybody.find(text)] == []


@pytest.mark.parametrize(
    ("cell", "people"),
    [
        ("Bjørn Jensen", [["Bjørn", "Jensen"]]),
        ("Jensen, Bjørn", [["Jensen", "Bjørn"]]),
        ("Jensen, Bjørn & Kari Moe", [["Jensen", "Bjørn"], ["Kari", "Moe"]]),
        ("Kari Moe and Théo Okonjo", [["Kari", "Moe"], ["Théo", "Okonjo"]]),
        ("Kari Moe, Théo Okonjo and Li Wei", [["Kari", "Moe"], ["Théo", "Okonjo"], ["Li", "Wei"]]),
        ("Kari Moe (with Théo Okonjo)", [["Kari", "Moe"], ["Théo", "Okonjo"]]),
        ("Kari Moe / Théo Okonjo; kari@moe.example", [["Kari", "Moe"], ["Théo", "Okonjo"]]),
        ("", []),
    ],
)
def test_people_of_a_cell(cell: str, people: list[list[str]]) -> None:
    assert people_in(cell, name_words()) == people


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("bj. ørn", []),
        ("Brewed by Björn.", ["Björn"]),
        ("JENSEN-style", ["JENSEN"]),
        ("jensenbrews, Jensenbrau", ["jensenbrews", "Jensenbrau"]),
        ("b j ø r n made it", ["b j ø r n"]),
        ("Bj0rn J3nsen", ["Bj0rn J3nsen"]),
        ("made by BJ", ["BJ"]),
        ("B.J.'s", ["B.J."]),
        ("at 8 B.C., OG and FG", []),
        ("𝐁𝐣ø𝐫𝐧 Ｊｅｎｓｅｎ", ["𝐁𝐣ø𝐫𝐧 Ｊｅｎｓｅｎ"]),
        ("#BjornBrews #hazy @flameout @ 20 C", ["#BjornBrews"]),
        ("see bjornjensen.no", ["bjornjensen.no"]),
        ("dry.no sugar", []),
        ("https://x.example/bj and x (at) y (dot) com", ["https://x.example/bj", "x (at) y (dot) com"]),
        ("call 91 23 45 67", ["91 23 45 67"]),
        ("(0047) 912-34-567", ["(0047) 912-34-567"]),
        ("OG 1.048 FG 1.012 IBU 24 SRM 11, 2025-10-03, 100/75/150 ppm", []),
        ("+1 555 010 7788 or 555-010-7788", ["+1 555 010 7788", "555-010-7788"]),
    ],
)
def test_forms_beyond_the_vectors(text: str, found: list[str]) -> None:
    assert shown(text, brewers="Bjørn Jensen", contacts="+47 91234567") == found


@pytest.mark.parametrize(
    ("who", "text"),
    [
        ("Rose Hazel", "rose hips and hazel"),
        ("Tom Baker", "Baker's yeast and Baker's chocolate"),
        ("John Tom", "St. John's wort and old tom gin"),
        ("Will Hope", "Hope you like it; it will gush"),
        ("May Grant", "grant it time; hops may fade"),
        ("Nelson Otter", "Nelson Sauvin and Maris Otter"),
        ("Hallie Stone", "stone fruit"),
        ("An Do", "an old ale; do pour slowly"),
    ],
)
def test_ordinary_words_give_nobody_away(who: str, text: str) -> None:
    assert shown(text, brewers=who) == []


@pytest.mark.parametrize("town", ["Burton", "Pilsen", "Vienna", "Dortmund", "Kentucky", "Berlin", "Munich", "Bamberg"])
def test_towns_that_are_words_of_styles_give_nobody_away(town: str) -> None:
    assert shown(f"{town} water, after an old beer of {town}", places=["4 Mill Lane", town]) == []
    assert shown("brewed in Wrenmouth", places=[f"4 Mill Lane, {town}", "Wrenmouth"]) == ["Wrenmouth"]


def test_scripts_without_spaces() -> None:
    assert shown("由王美玲酿造", brewers="王美玲") == ["王美玲"]
    assert shown("김철수가 만든 맥주", brewers="김철수") == ["김철수"]
    assert shown("王者的啤酒", brewers="王 伟") == []


def test_what_was_added_may_be_named() -> None:
    own = Identity(brewers=("Ashberry Quill",))
    assert alone().find("with ashberry", own) != ()
    assert alone().find("with ashberry", own, frozenset({"ashberry"})) == ()


def test_others_are_found_by_whole_names_and_by_rare_ones() -> None:
    sheet = (
        Identity(("Ottilie Brandvik",)),
        Identity(("Rose Baker",)),
        Identity(("Al Fo",), breweries=("Grå Hegre Bryggeri",)),
    )
    detector = Detector(load_styles(), sheet)
    own = sheet[1]
    for text in ("by brandvik ottilie", "Brandvik's plums", "ottiliebrandvik", "a Grå Hegre beer"):
        assert [found.whose.startswith("another entrant") for found in detector.find(text, own)] == [True], text
    assert detector.find("rose petals, baker's yeast, al dente", sheet[0]) == ()


def test_a_bar_has_one_length_and_the_rest_stays() -> None:
    text = "plums of Bjørn Jensen, dry; by Bjørn"
    found = alone().find(text, Identity(("Bjørn Jensen",)))
    assert blacked_out(text, found) == f"plums of {BLACKED_OUT}, dry; by {BLACKED_OUT}"
    assert blacked_out("plums", ()) == "plums"


@settings(deadline=None, max_examples=60)
@given(st.text(max_size=60).filter(lambda text: BAR not in text), st.text(max_size=30))
def test_any_text_and_any_name_are_looked_at_and_nothing_else_is_lost(text: str, name: str) -> None:
    found = alone().find(
        text, Identity(brewers=(name,), breweries=(name,), places=(name,), beers=(name,), contacts=(name,))
    )
    assert all(text[each.start : each.end] == each.shown for each in found)
    assert all(one.end <= two.start for one, two in pairwise(found))
    kept = "".join(blacked_out(text, found).split(BLACKED_OUT))
    assert len(kept) + sum(len(each.shown) for each in found) == len(text)


def work(count: int) -> int:
    """Lines run for a sheet of so many entrants, all of different names."""
    texts = [row.text for row in honest("work")]
    who = [Identity(brewers=(f"{_made(i)} {_made(i * 7 + 3)}",), beers=(f"Nr {i}",)) for i in range(count)]

    def searched() -> None:
        detector = Detector(load_styles(), who)
        for index, own in enumerate(who):
            detector.find(texts[index % len(texts)], own)

    return lines_run(searched)


def _made(number: int) -> str:
    syllables = ("ka", "lo", "mi", "ne", "ru", "sta", "vor", "dim", "pel", "quo", "zan", "bri")
    return "".join(syllables[number // 12**place % 12] for place in range(5)).title()


def test_work_grows_with_entrants_and_no_faster() -> None:
    work(10)  # what is worked out once is not counted
    few, many = work(60), work(240)
    assert few > 60
    assert many < 5 * few, "four times as many entrants: about four times the work"


@pytest.mark.parametrize(
    "piece", ["a", "@a ", "#aA", "A.B.", "a.a.", "x at ", "+1", "www.", "(at)", "王", "é", "'", "bjørn "]
)
def test_no_text_takes_more_than_a_pass(piece: str) -> None:
    own = Identity(("Bjørn Jensen",))

    def least(size: int) -> float:
        """Seconds of this processor, the least of five: what else the machine does only ever adds."""
        text = (piece * size)[:size]
        times = []
        for _ in range(5):
            began = time.process_time()
            alone().find(text, own)
            times.append(time.process_time() - began)
        return min(times)

    # four times the text: 4 where one pass is made, 16 where each place is looked at from each
    assert least(20_000) < 10 * least(5_000) + 0.3
