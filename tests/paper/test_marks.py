"""Marks on paper and screen that are read by where they stand: cut lines, outlines, whiskers, arrows off the scale."""

from __future__ import annotations

import io
import re

import pytest
from reportlab.pdfgen.canvas import Canvas

from entryprep.beer.asking import fit
from entryprep.paper.calibration import BAR_IN, calibration_pdf
from entryprep.paper.forest import Row, forest
from entryprep.paper.forestplot import DOT, ForestPlot
from entryprep.paper.placing import MM, PAGES_PT, placing
from entryprep.paper.slips import slips_pdf
from entryprep.paper.slipvalues import bottle_slips
from entryprep.paper.webchart import forest_chart
from entryprep.tables.labelsheets import load_sheet
from entryprep.tables.sliplayouts import find_layout
from entryprep.tables.style import Style
from entryprep.vitals import Reading, Vitals
from tests.paper.drawing import Shape, shapes
from tests.paper.readback import plain
from tests.paper.samples import many

NUDGES = [(0.0, 0.0), (2.0, -1.5), (-1.0, 2.5)]
OVER, UNDER = 60.0, 3.0  # SRM; the range is 22 to 35, and the scale ends 13 beside it


@pytest.mark.parametrize("nudge", NUDGES)
@pytest.mark.parametrize("name", ["letter-8", "a4-8"])
def test_cut_lines_run_along_the_slips_wherever_they_are_moved(name: str, nudge: tuple[float, float]) -> None:
    sheet = load_sheet(name)
    pdf = slips_pdf(bottle_slips(many(4, 3)), find_layout("bottle"), placing(sheet, 1, nudge), "slips")
    page_w, page_h = PAGES_PT[sheet.page]
    lines = [s for s in shapes(pdf) if s.stroked and s.dashes and len(s.points) == 2]
    upright = sorted({round(s.box[0], 1) for s in lines if s.box[0] == s.box[2]})
    level = sorted({round(s.box[1], 1) for s in lines if s.box[1] == s.box[3]})
    right, down = nudge
    lefts = [sheet.left + column * sheet.step_x + right for column in range(sheet.columns)]
    tops = [sheet.top + row * sheet.step_y + down for row in range(sheet.rows)]
    for left in lefts:
        for edge in (left, left + sheet.width):
            assert min(abs(x - edge * MM) for x in upright) < 0.1
    for top in tops:
        for edge in (top, top + sheet.height):
            assert min(abs(y - (page_h - edge * MM)) for y in level) < 0.1
    assert len(upright) <= 2 * sheet.columns
    assert len(level) <= 2 * sheet.rows
    assert all(s.box[0] > 0 and s.box[2] < page_w and s.box[1] > 0 and s.box[3] < page_h for s in lines)


@pytest.mark.parametrize("nudge", NUDGES)
@pytest.mark.parametrize("name", ["letter-8", "a4-8", "letter-10-adhesive"])
def test_outlines_to_hold_against_the_sheet_are_moved_as_the_slips_are(name: str, nudge: tuple[float, float]) -> None:
    sheet = load_sheet(name)
    pdf = calibration_pdf(placing(sheet, 1, nudge))
    assert f"nudge {nudge[0]:g},{nudge[1]:g} mm" in plain(pdf)
    height = PAGES_PT[sheet.page][1]
    boxes = [s.box for s in shapes(pdf) if s.stroked]
    for place in range(sheet.per_page):
        x, y = sheet.corner(place)
        left, top = (x + nudge[0]) * MM, height - (y + nudge[1]) * MM
        wanted = (left, top - sheet.height * MM, left + sheet.width * MM, top)
        assert any(all(abs(a - b) < 0.1 for a, b in zip(box, wanted, strict=True)) for box in boxes), place + 1


def test_the_bars_to_measure_are_as_long_as_they_say() -> None:
    """Of the thick lines the longest are 100 mm and 4 in; a point is 1/72 in (ISO 32000-1, default user space)."""
    lines = [s for s in shapes(calibration_pdf(placing(load_sheet("a4-8")))) if s.width == 1 and len(s.points) == 2]
    lengths = sorted(s.box[2] - s.box[0] for s in lines if s.box[1] == s.box[3])
    assert lengths == pytest.approx([100 / 25.4 * 72, 4 * 72], abs=0.01)
    assert BAR_IN == 4


def test_rulers_stay_where_the_paper_ends() -> None:
    def ticks(nudge: tuple[float, float]) -> set[tuple[float, float, float, float]]:
        pdf = calibration_pdf(placing(load_sheet("a4-8"), 1, nudge))
        return {s.box for s in shapes(pdf) if s.width == 0.25}

    assert ticks((0.0, 0.0)) == ticks((2.0, -1.5))


# --- the chart of a fit ----------------------------------------------------------------------------------------------

WIDE = 180 * MM
ONE = Style(id="one", name="One", note="made for the tests", srm=(22, 35))


def rows(srm: float, error: float = 0.0) -> tuple[Row, ...]:
    return forest(fit(Vitals(srm=Reading(srm, error)), ONE))


def chart(srm: float, error: float = 0.0) -> list[Shape]:
    canvas = Canvas(io.BytesIO(), pagesize=(WIDE, 200 * MM))
    ForestPlot(rows(srm, error), (), WIDE).drawOn(canvas, 0, 20 * MM)
    data: bytes = canvas.getpdfdata()
    return shapes(data)


def mark_and_axis(drawn: list[Shape]) -> tuple[Shape, Shape]:
    """The filled mark of the only vital, and the line it stands on; what the key explains stands on none."""
    for mark in reversed([s for s in drawn if s.filled and s.stroked]):
        middle = mark.points[0][1]
        across = [s for s in drawn if len(s.points) == 2]
        level = [s for s in across if abs(s.box[1] - middle) < 0.01 and abs(s.box[3] - middle) < 0.01]
        if level:
            return mark, max(level, key=lambda s: s.box[2] - s.box[0])
    raise AssertionError("no mark stands on a line")


def place(srm: float, axis: Shape) -> float:
    """Where a colour stands on the axis, which runs from one range of 13 SRM below 22 to one above 35."""
    return axis.box[0] + (srm - 9) / 39 * (axis.box[2] - axis.box[0])


def test_the_band_is_the_range() -> None:
    drawn = chart(25.0)
    _, axis = mark_and_axis(drawn)
    (band,) = [s for s in drawn if s.filled and not s.stroked]
    assert (band.box[0], band.box[2]) == pytest.approx((place(22, axis), place(35, axis)), abs=0.01)


def test_a_beer_off_the_scale_has_an_arrow_that_points_away_from_it() -> None:
    for srm, end in ((OVER, 2), (UNDER, 0)):
        mark, axis = mark_and_axis(chart(srm))
        corners = {(round(x, 3), round(y, 3)) for x, y in mark.points}
        assert len(corners) == 3
        (tip,) = [p for p in corners if sum(abs(p[0] - q[0]) < 0.01 for q in corners) == 1]
        assert tip[0] == pytest.approx(mark.box[end], abs=0.01), "the tip is the outermost point"
        assert tip[0] == pytest.approx(axis.box[end], abs=0.01), "and stands at the end of the scale"


@pytest.mark.parametrize("srm", [10.0, 22.0, 25.0, 35.0, 47.0])
def test_a_beer_on_the_scale_has_its_mark_in_proportion(srm: float) -> None:
    mark, axis = mark_and_axis(chart(srm))
    assert (mark.box[0] + mark.box[2]) / 2 == pytest.approx(place(srm, axis), abs=0.01)
    assert mark.box[2] - mark.box[0] == pytest.approx(2 * DOT, abs=0.01)
    assert mark.box[3] - mark.box[1] == pytest.approx(2 * DOT, abs=0.01), "a dot, and no arrow"


def test_the_whisker_is_one_standard_uncertainty_either_way() -> None:
    drawn = chart(28.0, 2.0)
    mark, axis = mark_and_axis(drawn)
    thick = [s for s in drawn if s.width == 1.3 and len(s.points) == 2]
    (whisker,) = [s for s in thick if s.box[1] == s.box[3]]
    assert (whisker.box[0], whisker.box[2]) == pytest.approx((place(26, axis), place(30, axis)), abs=0.01)
    assert whisker.box[0] + whisker.box[2] == pytest.approx(mark.box[0] + mark.box[2], abs=0.05)
    caps = sorted(s.box[0] for s in thick if s.box[0] == s.box[2])
    assert caps == pytest.approx([whisker.box[0], whisker.box[2]], abs=0.01)


def web(srm: float, error: float = 0.0) -> str:
    return forest_chart(rows(srm, error))


def test_the_arrow_on_the_screen_points_away_too() -> None:
    for srm, way, end in ((OVER, 1, "100.00%"), (UNDER, -1, "0.00%")):
        found = re.search(
            r'<svg x="([\d.]+%)"[^>]*><path d="M(-?\d+) (-?\d+) L(-?\d+) -?\d+ L(-?\d+) -?\d+ Z"', web(srm)
        )
        assert found
        assert found[1] == end
        tip, other, third = (int(found[group]) for group in (2, 4, 5))
        assert other == third
        assert (tip > other) == (way > 0)
        assert int(found[3]) == 0


def test_the_screen_shows_range_mark_and_error_in_proportion() -> None:
    said = web(28.0, 2.0)
    assert "<path" not in said

    def share(srm: float) -> float:
        return (srm - 9) / 39 * 100

    band = re.search(r'class="band" x="([\d.]+)%" width="([\d.]+)%"', said)
    assert band
    assert [float(part) for part in band.groups()] == pytest.approx([share(22), share(35) - share(22)], abs=0.02)
    edges = re.findall(r'class="edge" x1="([\d.]+)%" x2="([\d.]+)%"', said)
    assert [float(x) for pair in edges for x in pair] == pytest.approx([share(22)] * 2 + [share(35)] * 2, abs=0.02)
    (bar,) = re.findall(r'class="mark" x1="([\d.]+)%" x2="([\d.]+)%"', said)
    assert [float(x) for x in bar] == pytest.approx([share(26), share(30)], abs=0.02)
    (spot,) = re.findall(r'<svg x="([\d.]+)%" y="50%" class="spot"><circle', said)
    assert float(spot) == pytest.approx(share(28), abs=0.02)
