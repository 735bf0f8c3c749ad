"""What to enter a beer as: the brewer's word, unless the beer is far more likely another; ties and misfits are said."""

from __future__ import annotations

from typing import Any

import pytest

from entryprep import Beer, load_styles
from entryprep.beer.placement import FAR_LESS, POOR_FIT, by_fit, elsewhere, misplaced
from entryprep.beer.ranking import CLOSE

TABLE = load_styles()
PORTER: dict[str, Any] = {"og": 1.056, "fg": 1.014, "ibu": 34, "srm": 32, "traits": {"fermentation": "ale"}}
PILS: dict[str, Any] = {"og": 1.047, "fg": 1.009, "ibu": 35, "srm": 3.5, "traits": {"fermentation": "lager"}}
BROWN: dict[str, Any] = {"og": 1.050, "fg": 1.012, "ibu": 24, "srm": 20}


def middle(name: str) -> dict[str, Any]:
    """A beer in the middle of a style's own ranges."""
    ranges = TABLE.find(name).ranges
    return {vital: (ranges[vital].low + ranges[vital].high) / 2 for vital in ("og", "fg", "ibu", "srm")}


def test_a_declared_style_that_fits_stays_however_likely_others_are() -> None:
    kept = 0
    for style, _ in Beer(**PORTER).ranking.shares[:8]:
        beer = Beer(**PORTER, style=style)
        if (beer.fit(style).score or 0) < POOR_FIT:
            continue
        kept += 1
        answer = beer.placement
        assert answer.style is style
        assert answer.declared
        assert "as declared" in answer.line
        assert answer.runner_up is not style
        assert answer.share == {s.id: share for s, share in beer.ranking.shares}[style.id]
        if beer.ranking.shares[0][0] is not style:
            assert answer.sure == "as declared"
            assert answer.next_line.startswith("Its numbers and traits rather say ")
    assert kept >= 4


def test_a_declared_style_far_less_likely_and_poorly_fitting_is_given_up() -> None:
    beer = Beer(**PILS, style="imperial stout")
    answer = beer.placement
    assert not answer.declared
    assert answer.style is not None
    assert answer.style.id in {s.id for s, _ in elsewhere(beer, TABLE.find("imperial stout"))}
    assert (beer.fit(answer.style).score or 0) >= POOR_FIT
    assert "as declared" not in answer.line


@pytest.mark.parametrize("style", [s for s in TABLE if s.ranges], ids=lambda s: s.id)
def test_what_lies_in_the_middle_of_its_style_is_never_talked_out_of_it(style: Any) -> None:
    known = {v: (r.low + r.high) / 2 for v, r in style.ranges.items() if v in {"og", "fg", "ibu", "srm"}}
    beer = Beer(**known, style=style)
    assert (beer.fit(style).score or 0) >= 90
    assert elsewhere(beer, style) == ()
    assert beer.placement.style is style


def test_both_a_poor_fit_and_a_small_share_are_wanted_to_give_a_style_up() -> None:
    given_up = kept_though_unlikely = kept_though_poor = 0
    for style in TABLE:
        if not style.ranges:
            continue
        beer = Beer(**PORTER, style=style)
        own = {s.id: share for s, share in beer.ranking.shares}[style.id]
        unlikely = own < FAR_LESS * beer.ranking.shares[0][1]
        poor = (beer.fit(style).score or 0) < POOR_FIT
        kept = elsewhere(beer, style) == ()
        assert kept or (unlikely and poor)
        given_up += not kept
        kept_though_unlikely += kept and unlikely and not poor
        kept_though_poor += kept and poor and not unlikely
    assert given_up > 60
    assert kept_though_unlikely > 0


def test_a_poor_fit_alone_does_not_give_up_a_style_that_is_nearly_as_likely() -> None:
    beer = Beer(og=1.040, fg=1.016, ibu=30, srm=35, style="Czech dark lager")
    own = {s.id: share for s, share in beer.ranking.shares}["czech-dark-lager"]
    assert (beer.fit("Czech dark lager").score or 0) < 50
    assert 0.3 * beer.ranking.shares[0][1] < own < 0.85 * beer.ranking.shares[0][1]
    assert any((beer.fit(s).score or 0) >= 50 for s, _ in beer.ranking.shares[:3])
    assert elsewhere(beer, TABLE.find("Czech dark lager")) == ()


def test_two_styles_as_good_are_both_named() -> None:
    answer = Beer(**BROWN).placement
    assert answer.tied
    assert len(answer.styles) == 2
    assert answer.share <= answer.runner_up_share * CLOSE
    assert answer.named == f"{answer.styles[0].name} or {answer.styles[1].name}"
    assert answer.line.startswith(f"Enter as {answer.named}: ")
    assert f"({answer.share:.0%} and {answer.runner_up_share:.0%})" in answer.line


def test_a_clear_answer_names_one() -> None:
    beer = Beer(og=1.080, fg=1.020, ibu=60, srm=40, traits={"fermentation": "ale", "malt": "roasted", "hops": "high"})
    answer = beer.placement
    assert not answer.tied
    assert len(answer.styles) == 1
    assert answer.style is beer.ranking.shares[0][0]


def test_of_a_name_that_means_several_the_likeliest_is_taken() -> None:
    beer = Beer(og=1.035, fg=1.011, ibu=18, srm=20, traits={"fermentation": "ale"}, style="mild")
    meant = beer.style_named.candidates
    assert len(meant) > 1
    answer = beer.placement
    assert answer.declared
    assert {style.id for style in answer.styles} <= set(meant)
    likeliest = next(s for s, _ in beer.ranking.shares if s.id in meant)
    assert answer.style is likeliest


def test_a_beer_like_none_of_the_styles_is_said_to_be_so() -> None:
    answer = Beer(og=1.030, fg=1.028, ibu=110, srm=45).placement
    assert answer.style is None
    assert answer.named == ""
    assert answer.line.startswith("Most likely none of these styles (")
    assert answer.next_line == ""
    declared = Beer(og=1.030, fg=1.028, ibu=110, srm=45, style="german pils").placement
    assert declared.style is None


def test_styles_are_put_in_order_of_fit_and_what_cannot_be_compared_last() -> None:
    styles = [TABLE.find(name) for name in ("fruit beer", "imperial stout", "American porter", "German pils")]
    order = by_fit(Beer(**PORTER), styles)
    assert order[0][0].id == "american-porter"
    assert order[-1] == (styles[0], None)
    scores = [score for _, score in order if score is not None]
    assert scores == sorted(scores, reverse=True)


def test_additions_send_a_beer_from_a_plain_style_but_not_from_one_that_has_them() -> None:
    fruited = Beer(**PORTER, additions=["fruit"])
    assert misplaced(fruited, TABLE.find("American porter")) == ("fruit",)
    assert misplaced(fruited, TABLE.find("fruit beer")) == ()
    assert misplaced(Beer(**PORTER, additions=[]), TABLE.find("American porter")) == ()
    assert Beer(**PORTER, additions=["fruit"], style="American porter").placement.style is TABLE.find("fruit beer")


def test_the_tip_leads_to_the_second_style() -> None:
    beer = Beer(og=1.048, fg=1.010, ibu=30, srm=4)
    first, second = beer.placement.style, beer.placement.runner_up
    assert second is not None
    trait, _, value = beer.placement.tip.removeprefix("if ").partition(" is ")
    answered = beer.changed(traits={trait.replace(" ", "_"): value}).placement
    assert (answered.style, answered.style is first) == (second, False)
