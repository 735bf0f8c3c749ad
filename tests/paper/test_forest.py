"""The rows of a forest plot in range-widths, and what draws them on the terminal; values redone by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from entryprep.beer.asking import fit
from entryprep.cli.bars import forest_lines, share_dots
from entryprep.paper.forest import beyond, clipped, compared, forest, legend, off_the_axis, runner_up
from entryprep.tables.style import Style
from entryprep.vitals import Reading, Vitals
from tests.paper.samples import porter

PORTER = porter()  # OG 1.048 to 1.060, IBU 25 to 45, SRM 22 to 35
STOUT = Style(
    id="test-stout", name="Test stout", note="made for the tests", og=(1.060, 1.080), ibu=(35, 75), srm=(30, 60)
)


def test_places_are_counted_in_widths_of_each_range() -> None:
    """By pencil: 1.051 is 3 of 12 points from the low end, 65 IBU a whole width of 20 above 45, 9 SRM one below 22."""
    rows = {r.vital: r for r in forest(fit(Vitals(og=Reading(1.051, 0.0012), ibu=65, srm=9), PORTER))}
    assert rows["og"].at == pytest.approx(0.25)
    assert (rows["og"].low, rows["og"].high) == pytest.approx((0.15, 0.35))
    assert rows["ibu"].at == pytest.approx(2.0)
    assert rows["srm"].at == pytest.approx(-1.0)
    assert (rows["og"].miss, rows["ibu"].miss, rows["srm"].miss) == ("", "20 over", "13.0 under")
    assert (rows["og"].value, rows["og"].error, rows["og"].range) == ("1.051", "0.001", "1.048–1.060")


def test_what_a_fit_stands_on_is_counted() -> None:
    whole = Vitals(og=1.051, fg=1.012, ibu=30, srm=25, co2=2.4)  # strength follows
    assert compared(fit(whole, PORTER)) == "from all 6 vitals"
    assert compared(fit(Vitals(ibu=30, srm=25), PORTER)) == "from 2 of 6 vitals"


def test_arrows_are_told_for_the_beer_and_for_the_other_style() -> None:
    inside, far = Vitals(og=1.051, srm=25), Vitals(og=1.051, srm=90)
    assert off_the_axis(forest(fit(inside, PORTER))) == (False, False)
    assert off_the_axis(forest(fit(far, PORTER))) == (True, False)
    assert off_the_axis(forest(fit(inside, STOUT), fit(inside, PORTER))) == (False, False)
    pale = Style(id="pale", name="Pale", note="made for the tests", og=(1.040, 1.050), srm=(2, 4))
    assert off_the_axis(forest(fit(inside, PORTER), fit(inside, pale))) == (False, True)


def test_what_is_not_known_stays_as_an_open_row() -> None:
    rows = forest(fit(Vitals(og=1.051, ibu=30), PORTER))
    assert [r.vital for r in rows] == ["og", "fg", "abv", "ibu", "srm", "co2"]
    assert [r.known for r in rows] == [True, False, False, True, False, False]
    assert rows[1].words == "not known"
    assert rows[1].range == "1.010–1.016"
    assert rows[1].said == "Final gravity: not known; range 1.010–1.016"
    served = forest(fit(Vitals(og=1.051, ibu=30), PORTER), None, Vitals(og=1.051, srm=12, co2=2.4))
    assert [r.words for r in served[4:]] == ["that of what was added", "as served only"]


def test_the_other_style_is_the_same_beer_in_its_own_range() -> None:
    vitals = Vitals(og=1.065, ibu=45, srm=33)
    rows = {r.vital: r for r in forest(fit(vitals, PORTER), fit(vitals, STOUT))}
    assert rows["og"].other == pytest.approx(0.25)
    assert rows["ibu"].other == pytest.approx(0.25)
    assert rows["fg"].other is None, "the stout has no range for it"


def test_the_runner_up_has_another_range() -> None:
    vitals = Vitals(og=1.065, ibu=45, srm=33)
    own, twin, other = fit(vitals, PORTER), fit(vitals, PORTER), fit(vitals, STOUT)
    assert runner_up(own, [twin, other]) is other
    assert runner_up(own, [twin]) is None


def test_served_and_underneath_are_told_apart() -> None:
    vitals = Vitals(og=1.052, ibu=30, srm=25)
    fruit = Style(id="test-fruit", name="Test fruit beer", note="made for the tests", specialty=True, takes=("fruit",))
    below = fit(vitals, fruit, PORTER)
    dot, hollow = legend(below, True, fit(vitals, STOUT), False)
    assert dot == "the beer underneath, before what was added, in the range of the base, Test porter"
    assert hollow == "the beer as served in the range of Test stout"
    assert legend(fit(vitals, PORTER), False, fit(vitals, STOUT)) == (
        "the beer as served in the range of Test porter",
        "the same in the range of Test stout",
    )


@pytest.mark.parametrize(("at", "way", "shown"), [(-1.01, -1, -1), (-1, 0, -1), (0.3, 0, 0.3), (2, 0, 2), (9, 1, 2)])
def test_what_is_off_the_axis_points_the_right_way(at: float, way: int, shown: float) -> None:
    assert (beyond(at), clipped(at)) == (way, shown)


# --- on the terminal


def drawn(vitals: Vitals, width: int, other: bool = False) -> list[str]:
    own = fit(vitals, PORTER)
    return [line.plain for line in forest_lines(forest(own, fit(vitals, STOUT) if other else None), width)]


@pytest.mark.parametrize("width", [60, 72, 80, 120])
def test_lines_keep_to_the_width_and_one_band_runs_through_them(width: int) -> None:
    lines = drawn(Vitals(og=1.0005, fg=1.0005, ibu=200, srm=90, co2=7.0), width)
    assert max(map(len, lines)) <= width
    assert all(line.isascii() for line in lines)
    edges = {tuple(i for i, c in enumerate(line) if c == "|") for line in drawn(Vitals(), width)[1:]}
    assert len(edges) == 1
    assert len(edges.pop()) == 2


def test_dots_arrows_and_errors_stand_where_they_are() -> None:
    head, og, _, _, ibu, srm, _ = drawn(
        Vitals(og=Reading(1.054, 0.002), ibu=Reading(99, 1), srm=Reading(5, 0.5)), 80, True
    )
    band = [i for i, c in enumerate(drawn(Vitals(), 80)[1]) if c == "|"]
    assert abs(og.index("*") - sum(band) / 2) <= 0.5, "1.054 is the middle of 1.048 to 1.060"
    assert "-*-" in og
    assert ibu.index("*>") > band[1]
    assert ibu.endswith("54 over")
    assert srm.index("<*") < band[0]
    assert srm.endswith("17.0 under")
    assert head.index("under") < band[0] < head.index("in style") < band[1] < head.index("over")
    assert "o" in og[band[0] - 12 : band[1]], "1.054 is under the stout's range"


def test_a_near_miss_is_never_drawn_inside() -> None:
    over = drawn(Vitals(ibu=Reading(45.2, 0.1)), 60)[4]
    under = drawn(Vitals(ibu=Reading(24.8, 0.1)), 60)[4]
    band = [i for i, c in enumerate(drawn(Vitals(), 60)[4]) if c == "|"]
    assert over.index("*") > band[1]
    assert under.index("*") < band[0]


def test_colour_only_repeats_what_is_said() -> None:
    rows = forest(fit(Vitals(og=1.090, ibu=47), PORTER))
    plain = [line.plain for line in forest_lines(rows, 80)]
    styles = {style for line in forest_lines(rows, 80) for _, style in line.pieces}
    assert any("red" in style for style in styles)
    tame = forest_lines([replace(row, errors=0.0) for row in rows], 80)
    assert [line.plain for line in tame] == plain
    assert not any("red" in style for line in tame for _, style in line.pieces)


@pytest.mark.parametrize(("share", "shown"), [(0, "|*....|"), (0.5, "|..*..|"), (1, "|....*|"), (3, "|....*|")])
def test_a_share_is_a_dot_between_nothing_and_all(share: float, shown: str) -> None:
    assert share_dots(share, 5) == shown
