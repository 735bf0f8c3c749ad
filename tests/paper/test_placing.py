"""Placing slips on paper, and the page to adjust a printer by."""

from __future__ import annotations

import pytest

from entryprep.paper.calibration import calibration_pdf
from entryprep.paper.placing import MM, PAGES_PT, Placing, PrintingError, placing
from entryprep.tables.labelsheets import PAGES_MM, Sheet, load_sheet
from entryprep.tables.templates import template_ids
from tests.paper.readback import opened, plain

NAMES = template_ids("sheets")


def test_pages_are_what_they_are_called() -> None:
    """US Letter 8.5 × 11 in and ISO 216 A4, as reportlab's own table has them."""
    from reportlab.lib.pagesizes import A4, LETTER

    assert PAGES_PT["letter"] == LETTER
    assert PAGES_PT["a4"] == pytest.approx(A4, abs=0.01)
    for page, size in PAGES_MM.items():
        assert [side / MM for side in PAGES_PT[page]] == pytest.approx(size, abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_slips_lie_on_the_page_and_not_on_each_other(name: str) -> None:
    made = load_sheet(name)
    corners = Placing(made).corners_pt()
    width, height = made.width * MM, made.height * MM
    page = PAGES_PT[made.page]
    assert all(x >= 0 and y >= -0.01 and x + width <= page[0] and y + height <= page[1] + 0.01 for x, y in corners)
    apart = [
        abs(a[0] - b[0]) >= width - 0.01 or abs(a[1] - b[1]) >= height - 0.01
        for i, a in enumerate(corners)
        for b in corners[:i]
    ]
    assert all(apart)
    assert corners[0][1] > corners[-1][1] or made.rows == 1, "the first place is on top"


def test_a_nudge_moves_every_corner() -> None:
    made = load_sheet("letter-8")
    still, moved = Placing(made).corners_pt(), placing(made, nudge=(1.5, -2.0)).corners_pt()
    for (x, y), (to_x, to_y) in zip(still, moved, strict=True):
        assert (to_x - x, to_y - y) == pytest.approx((1.5 * MM, 2.0 * MM))


@pytest.mark.parametrize(
    ("start", "nudge", "what", "fix"),
    [
        (0, (0, 0), "no place 0", "1 to 10"),
        (11, (0, 0), "no place 11", "1 to 10"),
        (1, (0.3, 0), "not in steps of 0.5 mm", "use 0.5"),
        (1, (4.5, 0), "over the right edge", "at most 4 mm"),
        (1, (-4.5, 0), "over the left edge", "at most 4 mm"),
        (1, (0, -13), "over the top edge", "at most 12.5 mm"),
        (1, (0, 13), "over the bottom edge", "at most 12.5 mm"),
    ],
)
def test_what_leaves_the_sheet_is_refused(start: int, nudge: tuple[float, float], what: str, fix: str) -> None:
    made = load_sheet("letter-10-adhesive")
    placing(made, 10, (4.0, -12.5))
    with pytest.raises(PrintingError, match=what) as refused:
        placing(made, start, nudge)
    assert fix in refused.value.fix


@pytest.mark.parametrize("name", ["letter-30-adhesive", "a4-8"])
def test_the_calibration_page_shows_every_place_and_what_to_do(name: str) -> None:
    placed = placing(load_sheet(name), nudge=(0.5, -1.0))
    pdf = calibration_pdf(placed)
    assert pdf == calibration_pdf(placed)
    (page,) = opened(pdf).pages
    said = plain(pdf)
    assert [float(side) for side in page.mediabox[2:]] == pytest.approx(PAGES_PT[placed.sheet.page], abs=0.01)
    assert all(f" {place} " in f" {said} " for place in range(1, placed.sheet.per_page + 1))
    for text in ("100 mm", "4 in", "actual size", "--nudge", "nudge 0.5,-1 mm"):
        assert text in said


def test_the_bar_to_measure_is_100_mm() -> None:
    (page,) = opened(calibration_pdf(Placing(load_sheet("a4-8")))).pages
    contents: list[list[str]] = [line.split() for line in page.get_contents().get_data().decode("latin-1").split("\n")]  # type: ignore[union-attr]
    lengths = [float(w[4]) - float(w[1]) for w in contents if w[:1] == ["n"] and len(w) == 8 and w[3] == "m"]
    assert any(length == pytest.approx(100 / 25.4 * 72, abs=0.01) for length in lengths)
    assert any(length == pytest.approx(4 * 72, abs=0.01) for length in lengths)


def test_a_sheet_without_a_name_is_still_called_something() -> None:
    bare = Sheet.model_validate(
        {"page": "a4", "columns": 1, "rows": 2, "width": 100, "height": 50, "left": 5, "top": 5}
    )
    assert bare.called == "a sheet of 1 × 2"
    assert "a sheet of 1 × 2" in plain(calibration_pdf(Placing(bare)))
