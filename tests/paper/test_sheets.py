from __future__ import annotations

import pytest
from pydantic import ValidationError

from entryprep.paper.sheets import MM, PAGES_MM, PAGES_PT, Sheet, load_sheet
from entryprep.paper.sliptext import SMALLEST_MM
from entryprep.records.shipped import shipped_names

NAMES = [name.removesuffix(".yaml") for name in shipped_names("templates/sheets")]


def sheet(**changes: object) -> Sheet:
    data: dict[str, object] = {
        "id": "test",
        "name": "Test",
        "page": "letter",
        "columns": 2,
        "rows": 4,
        "width": "95 mm",
        "height": "60 mm",
        "left": "10 mm",
        "top": "10 mm",
        "pitch_x": "97 mm",
        "pitch_y": "62 mm",
        "source": "made for the tests",
    }
    return Sheet.model_validate(data | changes)


def test_pages_are_what_they_are_called() -> None:
    """US Letter 8.5 × 11 in; A4 210 × 297 mm, ISO 216."""
    assert PAGES_PT["letter"] == (612.0, 792.0)
    for page, size in PAGES_MM.items():
        assert [side / MM for side in PAGES_PT[page]] == pytest.approx(size, abs=0.1)


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_sheet_closes_on_its_page(name: str) -> None:
    made = load_sheet(name)
    page = PAGES_MM[made.page]
    across = (made.left, made.columns, made.pitch_x, made.width, page[0])
    down = (made.top, made.rows, made.pitch_y, made.height, page[1])
    for first, count, pitch, size, whole in (across, down):
        rest = whole - first - (count - 1) * pitch - size
        assert rest == pytest.approx(first, abs=0.1), "the two margins differ"
        assert pitch >= size
    assert (made.width, made.height) >= SMALLEST_MM


@pytest.mark.parametrize("name", NAMES)
def test_slips_lie_on_the_page_and_not_on_each_other(name: str) -> None:
    made = load_sheet(name)
    corners = [made.corner_pt(place) for place in range(made.per_page)]
    width, height = made.width * MM, made.height * MM
    page = PAGES_PT[made.page]
    assert all(x >= 0 and y >= 0 and x + width <= page[0] and y + height <= page[1] for x, y in corners)
    apart = [
        abs(a[0] - b[0]) >= width - 0.01 or abs(a[1] - b[1]) >= height - 0.01
        for i, a in enumerate(corners)
        for b in corners[:i]
    ]
    assert all(apart)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"rows": 5}, "the slips reach"),
        ({"left": "25 mm"}, "the slips reach"),
        ({"pitch_x": "90 mm"}, "overlap"),
        ({"pitch_y": "59 mm"}, "overlap"),
    ],
)
def test_a_sheet_that_does_not_close_is_refused(changes: dict[str, object], what: str) -> None:
    sheet()
    with pytest.raises(ValidationError, match=what):
        sheet(**changes)


def test_an_unknown_sheet_is_said() -> None:
    with pytest.raises(FileNotFoundError):
        load_sheet("nothing-9")
