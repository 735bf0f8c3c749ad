"""Judges: wishes read however they are worded, and kept; sessions, beers a day, pale before loud."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.receiving.flights import NEAR, distance, flights
from entryprep.receiving.panels import Hours, Judge, beers_of_days, panels
from entryprep.receiving.sessions import SessionError, read_sessions
from entryprep.receiving.tasting import Palate, Tasted
from entryprep.receiving.wishes import Wishes, WishReader
from entryprep.records.namereader import StyleNames
from entryprep.tables.styles import load_styles
from tests.receiving.test_flights import ENTRIES, ENTRY, PLAIN, read

TABLE = load_styles()
SESSIONS = read_sessions("Sat 09:30-12:30, Sat 14:00-17:00, Sun 10:00-13:00")
PEOPLE = ("Asta Lie", "Jorun Vik", "Eli Moe", "Eli Dahl")


def wishes(text: str, column: str = "wishes", own: str = "Eli Dahl") -> Wishes:
    reader = WishReader(StyleNames(TABLE), PEOPLE, ["Pale lagers", "Sours"], [1, 2, 3], SESSIONS)
    return reader.read({column: text}, own)


@pytest.mark.parametrize(
    ("text", "column", "absent"),
    [
        ("away until noon on Saturday", "wishes", {0}),
        ("Saturday only", "wishes", {2}),
        ("nur Samstag", "wishes", {2}),
        ("solo sábado", "wishes", {2}),
        ("uniquement le dimanche", "wishes", {0, 1}),
        ("no mornings please", "wishes", {0, 2}),
        ("Sat", "times", {2}),
        ("Saturday afternoon and Sunday", "times", {0}),
        ("until 15:00", "times", {1}),
        ("leaves at 4 pm", "wishes", {1}),
        ("not before 14:00", "wishes", {0, 2}),
        ("ab 14 Uhr", "times", {0, 2}),
        ("I can't be there on Sunday", "wishes", {2}),
        ("I arrive at 10:30 on Sunday", "wishes", {2}),
        ("absente le samedi matin", "wishes", {0}),
    ],
)
def test_hours_are_read_however_they_are_worded(text: str, column: str, absent: set[int]) -> None:
    found = wishes(text, column)
    assert (found.absent, found.unread) == (absent, [])


@pytest.mark.parametrize(
    ("text", "barred", "kept"),
    [
        ("never smoked beers", "classic-style-smoked-beer", "munich-helles"),
        ("no stouts or porters", "american-porter", "munich-helles"),
        ("nothing sour", "gose", "irish-stout"),
        ("keine Sauerbiere", "berliner-weisse", "irish-stout"),
        ("pas de stout", "irish-stout", "gose"),
        ("nada de IPA", "american-ipa", "gose"),
        ("please no India pale ales", "american-ipa", "gose"),
        ("sin lager", "german-pils", "gose"),
        ("no imperial stout", "imperial-stout", "irish-stout"),
        ("fruit beer", "fruit-beer", "gose"),
    ],
)
def test_styles_never_wanted(text: str, barred: str, kept: str) -> None:
    """Which styles the words of the trade take in: common practice, from memory."""
    ids = {barred, kept} - set(TABLE.styles)
    assert not ids, "the table has other ids"
    found = wishes(text)
    assert barred in found.styles
    assert kept not in found.styles
    assert not found.unread


@pytest.mark.parametrize(
    ("text", "column", "apart"),
    [
        ("not with Jorun Vik", "wishes", {"jorun vik"}),
        ("bitte nicht neben Asta", "wishes", {"asta lie"}),
        ("Vik; Moe", "apart", {"jorun vik", "eli moe"}),
        ("pas avec Asta Lie", "wishes", {"asta lie"}),
        ("not with Jorun Vik and Asta", "wishes", {"jorun vik", "asta lie"}),
    ],
)
def test_people_never_beside(text: str, column: str, apart: set[str]) -> None:
    assert wishes(text, column).apart == apart


def test_a_name_of_two_people_is_asked_about() -> None:
    found = wishes("not with Eli", own="Asta Lie")
    assert not found.apart
    assert found.unread == ["not with Eli"]


def test_allergies_beers_a_day_groups_and_flights() -> None:
    assert wishes("allergic to nuts and lactose").allergens == {"tree nuts", "milk"}
    assert wishes("at most 20 beers a day").most == 20
    assert wishes("24", "most").most == 24
    assert wishes("sours, 3", "away").away == {"sours", "3"}


@pytest.mark.parametrize(
    "text", ["has a bad knee", "loves IPA", "xyzzy", "no grapefruit-kveik", "never with Bjørnstjerne"]
)
def test_words_that_name_nothing_are_told(text: str) -> None:
    found = wishes(text)
    assert found.unread == [text]
    assert not found.styles | found.apart
    assert not found.absent


@given(st.text(max_size=60), st.sampled_from(["wishes", "away", "apart", "times", "most"]))
@settings(max_examples=60, deadline=None)
def test_any_text_is_read_or_told(text: str, column: str) -> None:
    found = wishes(text, column)
    assert all(place in range(3) for place in found.absent)


@pytest.mark.parametrize(
    "text", ["Sat", "Sat 12-10", "Someday 9-12", "2027-02-30 09:00-12:00", "Sat 9-25", "Sat 9:70-12"]
)
def test_sessions_that_cannot_be_are_refused(text: str) -> None:
    with pytest.raises(SessionError) as caught:
        read_sessions(text)
    assert caught.value.fix


def test_sessions_in_their_order() -> None:
    found = read_sessions("2027-03-14 10:00-13:00, 2027-03-13 2 pm - 5 pm x3, 2027-03-13 09:30-12:30")
    assert [(s.day, s.start, s.flights) for s in found] == [
        ("2027-03-13", 570, 2),
        ("2027-03-13", 840, 3),
        ("2027-03-14", 600, 2),
    ]
    assert found[0].weekday == 5  # a Saturday: 2027-03-13, by the calendar of the datetime library


STYLES = st.sets(st.sampled_from(["a", "b", "c"]), max_size=1)
ASKING = st.lists(
    st.tuples(st.sets(st.integers(0, 69), max_size=4), STYLES, st.sets(st.integers(0, 8), max_size=2),
              st.sets(st.integers(0, 2), max_size=2), st.sampled_from([0, 0, 12, 20])),
    max_size=9,
)  # fmt: skip


def drawn(asking: list[tuple[set[int], set[str], set[int], set[int], int]]) -> list[Judge]:
    return [
        Judge(f"J{i}", frozenset(f"{n:03d}" for n in own), apart=frozenset(f"j{n}" for n in apart),
              styles=frozenset(styles), absent=frozenset(absent), most=most)
        for i, (own, styles, apart, absent, most) in enumerate(asking)
    ]  # fmt: skip


@given(ENTRIES, ASKING, st.integers(1, 4), st.booleans(), st.sampled_from([0, 15, 35]))
@settings(max_examples=80, deadline=None)
def test_wishes_are_kept_and_a_day_is_never_too_long(
    entries: list[Tasted],
    asking: list[tuple[set[int], set[str], set[int], set[int], int]],
    each: int,
    timed: bool,
    most: int,
) -> None:
    made, judges = flights(entries), drawn(asking)
    by_name = {judge.name: judge for judge in judges}
    hours = Hours(SESSIONS if timed else (), most)
    seated = panels(made, judges, each, hours)
    assert [panel.flight for panel in seated] == [flight.number for flight in made]
    rounds = [(panel.round, name) for panel in seated for name in panel.judges]
    assert len(set(rounds)) == len(rounds)
    for flight, panel in zip(made, seated, strict=True):
        chosen = [by_name[name] for name in panel.judges]
        assert len(chosen) + panel.short == each
        for judge in chosen:
            assert not judge.own & {e.number for e in flight.entries}
            assert not judge.styles & {e.style for e in flight.entries}
            assert not judge.apart & {name.lower() for name in panel.judges if name != judge.name}
            assert panel.session - 1 not in judge.absent or not panel.session
    sizes = {flight.number: len(flight.entries) for flight in made}
    sat: dict[tuple[str, int], list[int]] = {}
    for panel in seated:
        for name in panel.judges:
            sat.setdefault((name, panel.day), []).append(sizes[panel.flight])
    assert beers_of_days(made, seated) == {key: sum(each) for key, each in sat.items()}
    for (name, _), beers in sat.items():
        limit = by_name[name].most or most
        assert not limit or sum(beers) <= limit or len(beers) == 1, (
            "only a flight that alone is too much goes beyond it"
        )


@given(ENTRIES, st.integers(3, 9))
@settings(max_examples=60, deadline=None)
def test_nobody_goes_from_loud_to_pale_on_one_day_untold(entries: list[Tasted], count: int) -> None:
    made = flights(entries)
    seated = panels(made, [Judge(f"J{i}") for i in range(count)], 3, Hours((), 35))
    mean = {f.number: _mean(f.entries) for f in made}
    last: dict[tuple[str, int], int] = {}
    for panel in sorted(seated, key=lambda panel: panel.round):
        for name in panel.judges:
            before = last.get((name, panel.day))
            if before is not None and before > panel.flight and distance(mean[before], mean[panel.flight]) > NEAR:
                assert name in panel.heavy
            last[name, panel.day] = panel.flight


def _mean(entries: tuple[Tasted, ...]) -> Palate:
    return Palate(*(sum(getattr(e.palate, n) for e in entries) / len(entries) for n in Palate.__slots__))


def test_pale_lagers_come_before_stouts_in_the_day_of_each_judge() -> None:
    rows = [("Pale lagers", "Munich Helles", 16), ("Stouts", "Imperial Stout", 16)]
    text = "number,category,style\n" + "".join(f"{c[0]}{i},{c},{s}\n" for c, s, n in rows for i in range(n))
    made = flights(read(text))
    seated = panels(made, [Judge(f"J{i}") for i in range(6)], 3, Hours(SESSIONS, 40))
    titles = {flight.number: flight.title for flight in made}
    assert [titles[p.flight] for p in sorted(seated, key=lambda p: p.round)] == ["Pale lagers"] * 2 + ["Stouts"] * 2
    assert not any(panel.heavy for panel in seated)


def test_a_category_is_judged_on_one_day() -> None:
    entries = [replace(ENTRY, number=f"{i:03d}", group="AB"[i % 2], palate=PLAIN) for i in range(40)]
    made = flights(entries)
    seated = panels(made, [Judge(f"J{i}") for i in range(6)], 3, Hours(SESSIONS, 0))
    days = {(flight.groups, panel.day) for flight, panel in zip(made, seated, strict=True)}
    assert len(days) == 2


def test_who_is_away_until_noon_judges_in_the_afternoon() -> None:
    made = flights(
        [replace(ENTRY, number=f"{i:03d}", group=g) for g in "AB" for i in range(100 * ord(g), 100 * ord(g) + 8)]
    )
    judges = [Judge("Ane", absent=frozenset({0})), Judge("Bo"), Judge("Cai"), Judge("Dag")]
    seated = panels(made, judges, 3, Hours(SESSIONS[:2], 40))
    assert all("Ane" not in panel.judges for panel in seated if panel.session == 1)
    assert all(panel.session for panel in seated)
