"""Flights: exhaustive, disjoint, even; their order total; no judge before an own entry."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from entryprep.formats.columns import matched
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Reader
from entryprep.receiving.flights import NEAR, distance, flights
from entryprep.receiving.panels import Judge, panels
from entryprep.receiving.tasting import Palate, Tasted, order_key, tasted
from entryprep.tables.styles import load_styles
from tests.receiving.sheets import sheet

PLAIN = Palate(abv=5.0, ibu=25.0, srm=8.0, roast=0.0, smoke=0.0, sour=0.0, chile=0.0, lager=0.0)
ENTRY = Tasted("1", "g", "s", "", "S", "", "", PLAIN)
PALATES = st.builds(
    Palate,
    abv=st.floats(2, 14),
    ibu=st.floats(0, 100),
    srm=st.floats(2, 45),
    roast=st.sampled_from([0.0, 1.0, 2.0]),
    smoke=st.sampled_from([0.0, 1.0]),
    sour=st.sampled_from([0.0, 1.0, 2.0]),
    chile=st.sampled_from([0.0, 1.0]),
    lager=st.sampled_from([0.0, 1.0]),
)
ENTRIES = st.lists(
    st.builds(
        lambda group, style, palate: replace(ENTRY, group=group, style=style, palate=palate),
        st.sampled_from(["", "bocks", "pale lagers", "stouts", "sours", "wood"]),
        st.sampled_from(["", "a", "b", "c"]),
        PALATES,
    ),
    max_size=70,
).map(lambda entries: [replace(e, number=f"{i:03d}") for i, e in enumerate(entries)])
SIZES = st.tuples(st.integers(1, 8), st.integers(0, 8)).map(lambda pair: (pair[0], pair[0] + pair[1]))


def read(text: str) -> list[Tasted]:
    opened = sheet(text)
    check = CheckIn(Reader(opened, matched(opened, "declarations")), load_styles())
    return [entry for entry, _ in tasted(check)]


@given(ENTRIES, SIZES)
@settings(max_examples=60, deadline=None)
def test_every_entry_is_in_one_flight(entries: list[Tasted], sizes: tuple[int, int]) -> None:
    made = flights(entries, *sizes)
    seen = [entry.number for flight in made for entry in flight.entries]
    assert sorted(seen) == sorted(entry.number for entry in entries)
    assert all(1 <= len(flight.entries) <= sizes[1] for flight in made)
    assert [flight.number for flight in made] == list(range(1, len(made) + 1))
    assert flights(list(reversed(entries)), *sizes) == made


def _sample(number: int, group: str, **palate: float) -> Tasted:
    mild = {"abv": 2.0, "ibu": 0.0, "srm": 2.0, "lager": 0.0}
    return replace(ENTRY, number=f"{number:03d}", group=group, style="", palate=replace(PLAIN, **{**mild, **palate}))


GROWN = [  # two small groups become one that is near to a third, which had found nothing like it before
    _sample(0, ""),
    _sample(1, "", chile=1.0),
    _sample(2, "", chile=1.0),
    _sample(3, "", srm=9.0, lager=1.0),
    _sample(4, "bocks", sour=1.0),
    _sample(5, "bocks", ibu=46.0, sour=1.0),
    _sample(6, "pale lagers", srm=18.0, sour=2.0, lager=1.0),
    _sample(7, "pale lagers", abv=6.0),
]


@given(ENTRIES)
@example(GROWN)
@settings(max_examples=60, deadline=None)
def test_a_small_flight_has_no_like_neighbour_with_room(entries: list[Tasted]) -> None:
    made = flights(entries, 6, 10)
    means = {
        f.number: Palate(
            *(math.fsum(getattr(e.palate, n) for e in f.entries) / len(f.entries) for n in Palate.__slots__)
        )
        for f in made
    }
    for flight in made:
        if len(flight.entries) < 6:
            for other in made:
                if other is not flight and len(other.entries) + len(flight.entries) <= 10:
                    assert distance(means[flight.number], means[other.number]) > NEAR - 1e-9


@pytest.mark.parametrize(
    ("count", "sizes"), [(11, [6, 5]), (20, [10, 10]), (21, [7, 7, 7]), (31, [8, 8, 8, 7]), (10, [10])]
)
def test_large_groups_are_split_evenly(count: int, sizes: list[int]) -> None:
    made = flights([replace(ENTRY, number=f"{i:03d}") for i in range(count)])
    assert sorted((len(f.entries) for f in made), reverse=True) == sizes


@given(st.lists(PALATES, min_size=2, max_size=20))
def test_the_order_is_total(palates: list[Palate]) -> None:
    entries = [replace(ENTRY, number=str(i), palate=p) for i, p in enumerate(palates)]
    keys, backwards = [order_key(e) for e in entries], entries[::-1]
    assert len(set(keys)) == len(keys)
    assert sorted(backwards, key=order_key) == sorted(entries, key=order_key)


def test_light_before_strong_and_smoke_sour_chile_last() -> None:
    # common practice (competition handbooks): low intensity first; strong, dark, spiced, sour and smoked last
    text = "number,category,style,base,specials\n"
    text += "1,x,Spice Beer,Kölsch,habanero chile\n2,x,Berliner Weisse,,\n3,x,Rauchbier,,\n4,x,Imperial Stout,,\n"
    text += "5,x,American Light Lager,,\n6,x,Schwarzbier,,\n7,x,Doppelbock,,\n8,x,American IPA,,\n"
    (flight,) = flights(read(text), 6, 10)
    assert [e.number for e in flight.entries] == ["5", "6", "7", "8", "4", "3", "2", "1"]


def test_small_neighbours_are_joined_by_likeness() -> None:
    text = "number,category,style\n" + "".join(
        f"{c}{i},{c},{style}\n"
        for c, style, count in (
            ("bock", "Doppelbock", 3),
            ("pale", "Munich Helles", 3),
            ("pils", "German Pils", 3),
            ("strong", "Old Ale", 3),
            ("wild", "Lambic", 2),
        )
        for i in range(count)
    )
    made = flights(read(text), 6, 10)
    assert {f.groups for f in made} == {("pale", "pils"), ("bock", "strong"), ("wild",)}


def test_unsettled_styles_are_judged_too() -> None:
    made = flights(read("number,style\n1,dark lager\n2,nobody knows\n3,Gose\n"))
    assert sorted(e.number for f in made for e in f.entries) == ["1", "2", "3"]


@pytest.mark.parametrize(("least", "most"), [(0, 5), (6, 5), (-1, -1)])
def test_impossible_sizes_are_refused(least: int, most: int) -> None:
    with pytest.raises(ValueError, match="cannot be made"):
        flights([ENTRY], least, most)


JUDGES = st.lists(st.tuples(st.sets(st.integers(0, 69)), st.booleans()), max_size=9)


@given(ENTRIES, JUDGES, st.integers(1, 4))
@settings(max_examples=60, deadline=None)
def test_no_judge_meets_an_own_entry_or_sits_twice_at_once(
    entries: list[Tasted], drawn: list[tuple[set[int], bool]], each: int
) -> None:
    made = flights(entries)
    judges = [Judge(f"J{i}", frozenset(f"{n:03d}" for n in own), head=head) for i, (own, head) in enumerate(drawn)]
    by_name = {judge.name: judge for judge in judges}
    seated = panels(made, judges, each)
    assert [p.flight for p in seated] == [f.number for f in made]
    for flight, panel in zip(made, seated, strict=True):
        numbers = {e.number for e in flight.entries}
        assert len(panel.judges) + panel.short == each
        assert len(set(panel.judges)) == len(panel.judges)
        assert not any(by_name[name].own & numbers for name in panel.judges)
        if panel.short:  # whoever is not on it has an entry in it
            assert all(j.own & numbers for j in judges if j.name not in panel.judges)
    sittings = [(panel.round, name) for panel in seated for name in panel.judges]
    assert len(set(sittings)) == len(sittings)


def test_a_judge_with_an_entry_in_the_category_is_taken_last_and_named() -> None:
    made = flights([replace(ENTRY, number=f"{i:03d}") for i in range(12)])
    own = made[0].entries[0].number
    judges = [Judge("Ane", frozenset({own})), Judge("Bo"), Judge("Cai"), Judge("Dag")]
    seated = panels(made, judges, 3)
    assert all("Ane" not in panel.judges for panel in seated)
    few = panels(made, judges[:3], 3)
    assert few[0].short == 1
    assert few[1].near == ("Ane",)


def test_a_head_judge_leads_where_there_is_one() -> None:
    made = flights([replace(ENTRY, number=f"{i:03d}") for i in range(30)])
    seated = panels(
        made, [Judge("Ane"), Judge("Bo", head=True), Judge("Cai"), Judge("Dag"), Judge("Eli", head=True)], 2
    )
    assert all(panel.judges[0] in {"Bo", "Eli"} for panel in seated)


def test_away_keeps_a_judge_out() -> None:
    made = flights([replace(ENTRY, number=f"{i:03d}", group="Bocks") for i in range(8)])
    seated = panels(
        made, [Judge("Ane", away=frozenset({"bocks"})), Judge("Bo", away=frozenset({"1"})), Judge("Cai")], 2
    )
    assert seated[0].judges == ("Cai",)
    assert seated[0].short == 1


def test_what_stays_too_small_shares_with_what_is_not_too_unlike() -> None:
    """Nine and four entries with one dark lager beside them make two flights of seven, not 10 and 4."""
    rows = [("pale", "Munich Helles", 9), ("ipa", "American IPA", 4), ("dark", "Munich Dunkel", 1)]
    text = "number,category,style\n" + "".join(f"{c}{i},{c},{s}\n" for c, s, n in rows for i in range(n))
    assert sorted(len(f.entries) for f in flights(read(text), 6, 10)) == [7, 7]
