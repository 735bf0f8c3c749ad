"""Pouring lists and tasting cards read back: every entry once, nobody's name, nothing cut in silence."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from entryprep.formats.columns import matched
from entryprep.paper.pouringlist import pouring_list_pdf
from entryprep.paper.pouringpage import pouring_page
from entryprep.paper.tastingcards import cards_pdf
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.flights import Flight, flights
from entryprep.receiving.tasting import tasted
from entryprep.tables.lookfor import look_for, of_style
from entryprep.tables.scales import load_scale
from entryprep.tables.styles import load_styles
from tests.paper.readback import opened, pages, plain
from tests.paper.test_equal import outline, words
from tests.receiving.sheets import sheet

TABLE = load_styles()
TEXT = """number,category,style,base,declaration,allergens,brewer
40213,Fruit,Fruit Beer,Witbier,"plum; <b>bold</b> & =SUM(A1)",,Ottilie Brandvik
40221,Fruit,Fruit Beer,Imperial Stout,habanero chile and cherry,peanut,Ottilie Brandvik
31114,Pale,Kölsch,,,,Ottilie Brandvik
31122,Pale,dark lager,,Ж łø,,Ottilie Brandvik
"""


@pytest.fixture(scope="module")
def made() -> list[Flight]:
    opened = sheet(TEXT)
    check = CheckIn(Reader(opened, matched(opened, "declarations")), TABLE)
    return flights([entry for entry, _ in tasted(check)], 1, 3)


@pytest.mark.parametrize("page", ["a4", "letter"])
def test_a_card_for_each_entry(made: list[Flight], page: str) -> None:
    pdf = cards_pdf(made, TABLE, load_scale("fifty"), page)
    read = pages(pdf)
    assert len(read) == 4
    order = [entry.number for flight in made for entry in flight.entries]
    for number, text in zip(order, read, strict=True):
        words = " ".join(text.split())
        assert number in words
        assert "One thing to improve" in words
        for part, most in (("Appearance", 3), ("Aroma", 12), ("Flavour", 20), ("Mouthfeel", 5), ("Overall", 10)):
            assert part in words
            assert f"of {most}" in words
        assert "Ottilie" not in words
        assert "creativity" not in words
    assert cards_pdf(made, TABLE, load_scale("fifty"), page) == pdf


def test_a_card_holds_ranges_what_to_look_for_and_the_declaration(made: list[Flight]) -> None:
    every = plain(cards_pdf(made, TABLE, load_scale("fifty"), "a4"))
    kolsch, witbier = TABLE.find("kolsch"), TABLE.find("witbier")
    assert kolsch.note in every
    assert f"{kolsch.ranges['og'].low:.3f}–{kolsch.ranges['og'].high:.3f}" in every
    assert f"{witbier.ranges['ibu'].low:.0f}–{witbier.ranges['ibu'].high:.0f}" in every, "a special beer has its base's"
    assert look_for(kolsch)["flavour"] in every
    assert "Declared: plum; <b>bold</b> & =SUM(A1)" in every
    assert "Allergens named: peanut" in every
    assert look_for(None)["overall"] in every


def test_a_scale_of_one_sum_has_no_points_by_part(made: list[Flight]) -> None:
    words = plain(cards_pdf(made, TABLE, load_scale("hundred"), "a4"))
    assert "points" not in words
    assert "of 100" in words


@pytest.mark.parametrize("page", ["a4", "letter"])
def test_a_pouring_list_for_each_flight(made: list[Flight], page: str) -> None:
    pdf = pouring_list_pdf(made, TABLE, page, {1: 2})
    read = re.split(r"(?=Pouring list, flight)", "\n".join(pages(pdf)))[1:]
    assert len(read) == len(made)
    for flight, text in zip(made, read, strict=True):
        words = " ".join(text.split())
        assert f"Pouring list, flight {flight.number}" in words
        assert "blind number" in words
        spots = [words.index(entry.number) for entry in flight.entries]
        assert spots == sorted(spots)
        assert "Ottilie" not in words
        assert "Order: strength" in words
    assert "round 2" in read[0]
    assert pouring_list_pdf(made, TABLE, page, {1: 2}) == pdf


def test_a_long_declaration_is_whole_on_the_pouring_list_and_said_to_be_cut_on_the_card(made: list[Flight]) -> None:
    words = " ".join(f"word{n}" for n in range(190))
    entry = replace(made[0].entries[0], words=words, named="An unheard of style " * 6, number="1" * 30)
    flight = Flight(1, ("Fruit",), (entry,) * 4)
    poured = plain(pouring_list_pdf([flight], TABLE, "a4"))
    assert poured.count("word189") == 4
    card = plain(cards_pdf([flight], TABLE, load_scale("fifty"), "a4"))
    assert card.count("the pouring list has all of it") == 4


@pytest.mark.parametrize("named", ["peanut", "barley, wheat, milk, soya, hazelnut, sulphites, celery, mustard " * 5])
def test_nothing_on_card_or_list_is_smaller_than_eight_points_and_no_allergen_is_cut(
    made: list[Flight], named: str
) -> None:
    entry = replace(made[0].entries[0], words="word " * 190, number="1" * 30, allergens=f"{named.strip()} AND-OATS")
    flight = Flight(1, ("Fruit",), (entry,))
    for pdf in (cards_pdf([flight], TABLE, load_scale("fifty"), "a4"), pouring_list_pdf([flight], TABLE, "a4")):
        assert "AND-OATS" in plain(pdf)
        sizes: list[float] = []

        def note(
            text: str, at: list[float], matrix: list[float], _font: object, size: float, sizes: list[float] = sizes
        ) -> None:
            if text.strip():
                sizes.append(round(size * abs(matrix[3]) * abs(at[3]), 2))

        opened(pdf).pages[0].extract_text(visitor_text=note)
        assert min(sizes) >= 8


def test_what_to_mind_is_on_the_card_and_the_list(made: list[Flight]) -> None:
    entry = replace(made[0].entries[0], care=("about 13.5 %: 35 g of alcohol in 330 ml",), allergens="hazelnut")
    flight = Flight(1, ("Fruit",), (entry,))
    for pdf in (cards_pdf([flight], TABLE, load_scale("fifty"), "a4"), pouring_list_pdf([flight], TABLE, "a4")):
        assert "Take care: about 13.5 %: 35 g of alcohol in 330 ml" in plain(pdf)
        assert "hazelnut" in plain(pdf)


def test_no_flight_is_said() -> None:
    assert "There is no flight" in plain(pouring_list_pdf([], TABLE, "a4"))


def test_every_family_has_what_to_look_for() -> None:
    for style in TABLE:
        assert set(look_for(style)) == {"appearance", "aroma", "flavour", "mouthfeel", "overall"}, style.family


def test_what_to_look_for_names_one_colour_and_leaves_nothing_to_the_style() -> None:
    """The colour is that of the style's own range; a family's words do not tell another beside it."""
    colours = {"straw", "gold", "amber", "copper", "brown", "black", "pale", "white", "red"}
    for style in TABLE:
        said = look_for(style)
        assert "as the style says" not in " ".join(said.values()), style.id
        if "srm" in style.ranges and not style.srm_before_fruit:
            own = of_style(style)["appearance"]
            common = said["appearance"].removeprefix(own)
            assert not colours & set(re.findall(r"[a-z]+", common.lower().replace("off-white", ""))), style.id


def test_plain_places_are_called_by_their_group() -> None:
    from entryprep.paper.winners import winners_pdf

    rows = [
        ("Place", "Stouts", 1, "", "Runa", "Ebb", "7", "", ""),
        ("Ribbon", "Stouts", 1, "", "Runa", "Ebb", "7", "", ""),
    ]
    said = plain(winners_pdf([*rows, ("Best of show", "", 1, "", "Runa", "Ebb", "7", "", "")], "a4"))
    assert "Stouts 1. Runa" in said
    assert "Stouts: Ribbon 1. Runa" in said
    assert "Best of show 1. Runa" in said
    assert "Place:" not in said
    assert ": Place" not in said


def test_feedback_sheets_start_on_their_own_page_and_keep_every_word() -> None:
    from entryprep.paper.feedback import feedback_pdf
    from entryprep.receiving.feedback import HEAD, ITEM, TITLE, Block

    long = [Block(TITLE, "Entry 2")] + [
        block for n in range(60) for block in (Block(HEAD, f"Judge {n}"), Block(ITEM, f"said{n} " * 12, f"Aroma {n}:"))
    ]
    short = [Block(TITLE, "Entry 1"), Block(ITEM, "<b>no markup</b> Ж łø", "A lead that goes on " * 12)]
    pdf = feedback_pdf([short, long], "a4")
    read = pages(pdf)
    assert "Entry 1" in read[0]
    assert "Entry 2" not in read[0]
    words = plain(pdf)
    assert "<b>no markup</b> Ж łø" in words
    assert words.count("A lead that goes on") == 12
    assert all(words.count(f"said{n} ") + words.count(f"said{n}\n") == 12 for n in range(60))
    for text in read[1:]:
        lines = [line for line in text.splitlines() if line.strip()]
        assert not lines[-3].startswith("Judge"), "a heading never stands last on a page"
    assert feedback_pdf([short, long], "a4") == pdf
    assert "No entry has been judged" in plain(feedback_pdf([], "letter"))


def test_a_short_section_of_feedback_is_not_torn_between_pages() -> None:
    from entryprep.paper.feedback import feedback_pdf
    from entryprep.receiving.feedback import HEAD, ITEM, SMALL, TITLE, Block

    for before in range(52, 82):  # wherever the page happens to end
        filling = [Block(ITEM, f"line {n}") for n in range(before)]
        numbers = [Block(HEAD, "Numbers"), *[Block(ITEM, f"vital {n}") for n in range(6)], Block(SMALL, "the end")]
        read = pages(feedback_pdf([[Block(TITLE, "Entry 7"), *filling, *numbers]], "a4"))
        held = [index for index, text in enumerate(read) for n in range(6) if f"vital {n}" in text]
        assert len(held) == 6, before
        assert len({*held, next(i for i, text in enumerate(read) if "Numbers" in text)}) == 1, before
        assert "the end" in read[held[0]], before
    assert len(read) == 2


def test_a_sheet_of_a_little_more_than_a_page_is_set_closer_and_stands_on_one() -> None:
    from entryprep.paper.feedback import CLOSE, feedback_pdf
    from entryprep.receiving.feedback import ITEM, TITLE, Block

    assert min(size for size, *_ in CLOSE.looks.values()) >= 8
    counts = [
        len(pages(feedback_pdf([[Block(TITLE, "Entry 7"), *[Block(ITEM, f"line {n}") for n in range(lines)]]], "a4")))
        for lines in range(40, 70)
    ]
    assert counts == sorted(counts)
    assert counts.count(1) >= 18  # 58 lines: at the usual setting 47 fill a page


def _flights(text: str) -> list[Flight]:
    rows = sheet(text)
    check = CheckIn(Reader(rows, matched(rows, "declarations")), TABLE)
    return flights([entry for entry, _ in tasted(check)], 1, 10)


def test_cards_are_of_a_judge_and_show_what_a_style_asks_for_and_what_an_unsettled_name_may_mean() -> None:
    text = "number,category,style,specials\n1,Dark,dark lager,\n2,Dark,Schwarzbier,with █████ and oats\n"
    (flight,) = _flights(text)
    pdf = cards_pdf([flight], TABLE, load_scale("fifty"), "a4", None, {1: ("Una Dal", "Runa Vik")})
    words = plain(pdf)
    assert words.count("Una Dal") == words.count("Runa Vik") == 2
    assert words.count("judged as Munich Dunkel: OG") == 2
    assert "light brown to" in words.lower()
    assert all(words.count(fault) == 4 for fault in ("acetaldehyde", "astringent", "not to style"))
    assert words.index("Appearance") < words.index("Aroma") < words.index("Flavour") < words.index("Overall")
    assert "▯" not in words, "what is blacked out is a bar, no missing letter"


def test_the_pouring_list_says_who_sits_there_and_has_room_for_what_they_agree_on() -> None:
    (flight,) = _flights("number,category,style\n1,Dark,Schwarzbier\n")
    seats = {1: ("Sat 09:30-12:30", ("Una Dal", "Runa Vik"))}
    words = plain(pouring_list_pdf([flight], TABLE, "letter", {1: 2}, None, seats))
    assert "Judges: Una Dal, Runa Vik" in words
    assert "round 2, Sat 09:30-12:30" in words
    assert all(label in words for label in ("poured", "back", "score", "place"))


@pytest.mark.parametrize("page", ["a4", "letter"])
def test_lists_that_would_waste_a_page_stand_last_two_on_one(page: str) -> None:
    one = "number,category,style\n" + "".join(f"7{n}0,{c},Gose\n" for n, c in enumerate("ABCD"))
    long = "".join(f"8{n:02},E,Gose\n" for n in range(10))
    made = _flights(one + long)
    sizes = {flight.number: len(flight.entries) for flight in made}
    assert sorted(sizes.values()) == [1, 1, 1, 1, 10], "the last does not fit a half"
    pdf = pouring_list_pdf(made, TABLE, page)
    found = [sorted(int(n) for n in re.findall(r"Pouring list, flight (\d+)", text)) for text in pages(pdf)]
    (full,) = [number for number, size in sizes.items() if size == 10]
    alone = [number for number, size in sizes.items() if size == 1]
    assert found == [[full], alone[:2], alone[2:]]
    assert ["cut here" in text for text in pages(pdf)] == [False, True, True]
    assert re.findall(r"Flight \d+", str(opened(pdf).outline)) == [f"Flight {n}" for n in [full, *alone]]
    assert plain(pdf).count("nobody who judged drives") == 5, "each half has its own caution"
    (single,) = pages(pouring_list_pdf([made[0]], TABLE, page))
    assert "cut here" not in single, "there is nothing to share the page with"
    half = _flights("number,category,style\n70,A,Gose\n" + "".join(f"8{n:02},E,Gose\n" for n in range(6)))
    (both,) = pages(pouring_list_pdf(half, TABLE, page))
    assert "cut here" in both, "one alone shares with whatever fits a half"


def test_the_page_of_pouring_lists_says_what_they_say_and_nobodys_name(made: list[Flight]) -> None:
    """Source for labels and heads of tables: WCAG 2.2, 1.3.1 and 4.1.2."""
    seats = {1: ("Sat 09:30-12:30", ("Una Dal", "Runa Vik"))}
    told = (TABLE, {1: 2}, {1: "2027-03-13 11:30"}, seats)
    page = pouring_page(made, *told)
    read = outline(page)
    assert (read.wrong, read.open) == ([], [])
    said = words(" ".join(read.text))
    drawn = words(plain(pouring_list_pdf(made, TABLE, "a4", *told[1:])))
    assert drawn - said == words("cut here each half goes with its flight") - said
    assert said - drawn <= words("lists turn not named")
    assert "Ottilie" not in page.decode()
    assert "<b>bold" not in page.decode()
    boxes = [given for tag, given in read.tags if tag == "input"]
    assert len(boxes) == 4 * sum(len(flight.entries) for flight in made)
    assert len({given["aria-label"] for given in boxes}) == len(boxes)
    assert "There is no flight" in pouring_page([], TABLE).decode()


def test_labels_are_a_number_for_each_bottle_and_no_name_and_the_list_joins_them() -> None:
    from entryprep.paper.blindlabels import bottle_labels_pdf, check_in_pdf
    from entryprep.tables.labelsheets import load_sheet

    sheet = load_sheet("a4-24")
    pdf = bottle_labels_pdf(["3018", "3034"], 3, sheet, 24)
    words = plain(pdf)
    assert [words.count(number) for number in ("3018", "3034")] == [3, 3]
    assert words.count("bottle 3 of 3") == 2
    assert pdf == bottle_labels_pdf(["3018", "3034"], 3, sheet, 24)
    assert "no blind number" in plain(bottle_labels_pdf([], 2, sheet))
    listed = plain(check_in_pdf([("7", "Asta Lie", "Tarn", "3018")], 2, "a4"))
    assert all(word in listed for word in ("Check-in list", "Asta Lie", "Tarn", "3018", "1 entry, 2 bottles each"))


def test_every_tick_is_a_fault_that_the_table_knows() -> None:
    from entryprep.tables.faults import named_faults
    from entryprep.tables.lookfor import ticks
    from entryprep.tables.scales import PARTS

    assert set(ticks()) == set(PARTS)
    for fault in [each for faults in ticks().values() for each in faults]:
        assert named_faults(fault)[0], fault


def test_whoever_pours_reads_what_can_harm() -> None:
    rows = "number,category,style,base,declaration,og,fg\n40213,Spice,Spice Beer,porter,dried henbane,1.116,1.020\n"
    rows += "40221,Spice,Spice Beer,porter,cardamom,1.050,1.012\n"
    read = sheet(rows)
    check = CheckIn(Reader(read, matched(read, "declarations")), TABLE)
    text = " ".join(plain(pouring_list_pdf(flights([e for e, _ in tasted(check)], 1, 3), TABLE, "a4")).split())
    assert text.count("Take care:") == 2
    assert "dried henbane: atropine" in text
    assert "g of alcohol in 330 ml" in text
