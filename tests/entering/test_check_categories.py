"""Which styles a category takes: listed ones, names that are certain, names that are not."""

from __future__ import annotations

import pytest

from entryprep.beer.categories import category_styles
from entryprep.records.competition import Category
from entryprep.tables.styles import load_styles


def named(name: str) -> Category:
    return Category(code="1", name=name)


@pytest.mark.parametrize("name", ["Vienna lager", "VIENNA LAGERS", "vienna-lager", "Wiener Lager"])
def test_the_name_of_a_style_is_certain(name: str) -> None:
    match = category_styles(named(name), load_styles())
    assert [s.id for s in match.styles] == ["vienna-lager"]
    assert match.certain
    assert match.score == 100


@pytest.mark.parametrize("name", ["Dark lagers", "DARK-LAGERS"])
def test_the_name_of_a_family_is_certain_unless_a_style_has_it(name: str) -> None:
    match = category_styles(named(name), load_styles())
    assert {s.family for s in match.styles} == {"dark-lager"}
    assert len(match.styles) == len(load_styles().of_family("dark-lager"))
    assert match.certain


def test_a_name_that_is_only_alike_is_never_certain() -> None:
    match = category_styles(named("Dark lagers of Europe"), load_styles())
    assert not match.certain
    assert 60 <= match.score < 100
    assert {"munich-dunkel", "schwarzbier"} <= {s.id for s in match.styles}
    assert match.words.startswith("perhaps ")


def test_a_name_with_several_meanings_takes_them_all_and_is_not_certain() -> None:
    match = category_styles(named("Oktoberfest"), load_styles())
    assert not match.certain
    assert {s.id for s in match.styles} == {"marzen", "festbier"}


@pytest.mark.parametrize("name", ["Zzyzx", "Odds and ends", "1", "—"])
def test_a_name_like_nothing_takes_nothing(name: str) -> None:
    match = category_styles(named(name), load_styles())
    assert match.styles == ()
    assert not match.certain
    assert match.score == 0


def test_listed_styles_and_families_stand_in_the_tables_order() -> None:
    table = load_styles()
    category = Category(code="1", name="x", styles=["Schwarzbier", "Irish stout"], families=["bock", "vienna lager"])
    match = category_styles(category, table)
    order = [s.id for s in table]
    ids = [s.id for s in match.styles]
    assert {"schwarzbier", "irish-stout", "vienna-lager", "doppelbock"} <= set(ids)
    assert ids == sorted(ids, key=order.index)
    assert match.certain
    assert match.unclear == ()


def test_listed_names_that_lead_nowhere_are_told_with_their_place() -> None:
    category = Category(code="1", name="x", styles=["Schwarzbier", "umbra nova"], families=["oktoberfest"])
    match = category_styles(category, load_styles())
    assert not match.certain
    assert [(u.path, u.name, u.ambiguous) for u in match.unclear] == [
        (("styles", 1), "umbra nova", False),
        (("families", 0), "oktoberfest", True),
    ]
    assert {"schwarzbier", "marzen", "festbier"} <= {s.id for s in match.styles}
