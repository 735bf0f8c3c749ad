"""Shares of a competition's categories: each style's share is given out once, however many categories take it."""

from __future__ import annotations

import pytest

from entryprep import Beer, Category, Competition, load_styles
from entryprep.beer.category_ranking import CategoryAnswer, rank_categories

BEER = Beer(og=1.056, fg=1.014, ibu=32, srm=32, traits={"fermentation": "ale"})
PORTER, STOUT = "american-porter", "american-stout"


def ranked(*categories: Category) -> dict[str, CategoryAnswer]:
    cup = Competition(name="Harbour Cup", categories=list(categories))
    return {answer.category.code: answer for answer in rank_categories(BEER, cup, 50)}


def listed(code: str, *styles: str) -> Category:
    return Category(code=code, name=f"Category {code}", styles=list(styles))


def test_two_categories_that_take_one_style_share_it() -> None:
    one = ranked(listed("A", PORTER), listed("C", STOUT))
    two = ranked(listed("A", PORTER), listed("B", PORTER), listed("C", STOUT))
    assert two["A"].share == pytest.approx(two["B"].share)
    assert two["A"].share + two["B"].share == pytest.approx(one["A"].share)
    assert two["C"].share == pytest.approx(one["C"].share)


def test_a_category_that_no_style_speaks_for_has_neither_share_nor_fit() -> None:
    answer = ranked(listed("A", PORTER), Category(code="Z", name="Zzyzx qqq"))["Z"]
    assert (answer.share, answer.style, answer.fit, answer.certain) == (0, None, None, False)


def test_shares_of_all_categories_never_sum_to_more_than_one() -> None:
    every = [style.id for style in load_styles()]
    found = ranked(listed("A", *every), listed("B", *every), listed("C", *every[:40]))
    assert sum(answer.share for answer in found.values()) <= 1 + 1e-9
    assert sum(answer.share for answer in found.values()) > 0.9


def test_a_category_that_names_the_style_gets_it_before_one_that_takes_the_family() -> None:
    family = load_styles().find(PORTER).family
    wide = Category(code="F", name="All of the family", families=[family])
    found = ranked(wide, listed("A", PORTER), listed("C", STOUT))
    alone = ranked(listed("A", PORTER), wide, listed("C", STOUT))
    assert found["A"].share == pytest.approx(alone["A"].share)
    assert found["A"].style is not None
    assert found["A"].style.id == PORTER
    assert found["F"].style is None or found["F"].style.id != PORTER
    without = ranked(wide, listed("C", STOUT))
    assert without["F"].share > found["F"].share


def test_the_speaker_is_the_likeliest_style_and_its_fit_is_shown() -> None:
    found = ranked(listed("A", STOUT, PORTER, "english-porter"))["A"]
    shares = {style.id: share for style, share in BEER.ranking.shares}
    assert found.style is not None
    assert found.style.id == max((STOUT, PORTER, "english-porter"), key=shares.__getitem__)
    assert found.fit == BEER.fit(found.style)


def test_ties_keep_the_competitions_order_and_the_limit_cuts_the_tail() -> None:
    cup = Competition(name="Harbour Cup", categories=[listed(c, PORTER) for c in "ZAM"])
    assert [a.category.code for a in rank_categories(BEER, cup, 5)] == ["Z", "A", "M"]
    assert [a.category.code for a in rank_categories(BEER, cup, 2)] == ["Z", "A"]
    assert rank_categories(BEER, cup, 0) == []
