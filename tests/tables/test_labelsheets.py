"""Sheets as records: each closes on its page, and one that does not is refused with its place in the file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from pydantic import ValidationError

from entryprep.reading.yamltext import RecordError
from entryprep.tables.labelsheets import PAGES_MM, Sheet, find_sheet, load_sheet
from entryprep.tables.shipped import shipped_file
from entryprep.tables.templates import UnknownTemplate, template_ids
from tests.vectors import vector_path

NAMES = template_ids("sheets")
PUBLISHED = yaml.safe_load(vector_path("sheets.yaml").read_text(encoding="utf-8"))
BARE: dict[str, Any] = {"page": "letter", "columns": 2, "rows": 4, "width": "95 mm", "height": "60 mm"}
BARE |= {"left": "10 mm", "top": "10 mm", "pitch_x": "97 mm", "pitch_y": "62 mm"}


def sheet(**changes: object) -> Sheet:
    return Sheet.model_validate(BARE | changes)


def test_a4_is_a_sixteenth_of_a_square_metre_in_the_ratio_of_root_two() -> None:
    """ISO 216: A0 has 1 m² and the sides 1 : √2; each size is its forerunner cut in half, whole millimetres."""
    short, long = round(1000 / 2**0.25), round(1000 * 2**0.25)
    for _ in range(4):
        short, long = long // 2, short
    assert PAGES_MM["a4"] == (short, long)
    assert PAGES_MM["letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))  # ANSI/ASME Y14.1, size A


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_sheet_closes_on_its_page(name: str) -> None:
    """Margins, slips and gaps as the file gives them add up to the page, and both margins of a side are alike."""
    made = load_sheet(name)
    page = PAGES_MM[made.page]
    assert made.gap_x is not None
    assert made.gap_y is not None
    across = 2 * made.left + made.columns * made.width + (made.columns - 1) * made.gap_x
    down = 2 * made.top + made.rows * made.height + (made.rows - 1) * made.gap_y
    assert (across, down) == pytest.approx(page, abs=0.1)
    assert (made.right, made.bottom) == pytest.approx((made.left, made.top), abs=0.1)
    assert made.pitch_x == pytest.approx(made.width + made.gap_x, abs=0.01)
    assert made.pitch_y == pytest.approx(made.height + made.gap_y, abs=0.01)
    assert made.cut_lines != made.adhesive
    assert made.id == name
    assert made.source


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: row["sheet"])
def test_adhesive_sheets_have_the_published_measures(row: dict[str, Any]) -> None:
    made = load_sheet(row["sheet"])
    ours = (made.width, made.height, made.left, made.top, made.step_x, made.step_y)
    assert [mm / 25.4 * 72 for mm in ours] == pytest.approx(row["points"], abs=0.3), row["source"]


def test_every_adhesive_sheet_is_compared() -> None:
    assert {row["sheet"] for row in PUBLISHED} == {name for name in NAMES if load_sheet(name).adhesive}


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"rows": 5}, "the slips reach"),
        ({"left": "25 mm"}, "the slips reach"),
        ({"pitch_x": "90 mm"}, "overlap"),
        ({"pitch_y": "59 mm"}, "overlap"),
        ({"gap_x": "5 mm"}, "is not the slip and gap_x together"),
        ({"corner_radius": "31 mm"}, "more than half the slip"),
        ({"width": "0 mm"}, "greater than or equal to 10"),
        ({"columns": 0}, "greater than or equal to 1"),
    ],
)
def test_a_sheet_that_does_not_close_is_refused(changes: dict[str, object], what: str) -> None:
    sheet()
    with pytest.raises(ValidationError, match=what):
        sheet(**changes)


def test_gap_or_pitch_or_neither() -> None:
    by_gap = sheet(pitch_x=None, pitch_y=None, gap_x="2 mm", gap_y="2 mm")
    assert [by_gap.corner(place) for place in range(8)] == [sheet().corner(place) for place in range(8)]
    touching = sheet(pitch_x=None, pitch_y=None)
    assert (touching.step_x, touching.step_y) == (95, 60)


def test_a_persons_own_sheet_is_a_file_or_one_of_the_season(tmp_path: Path) -> None:
    folder = tmp_path / "templates" / "sheets"
    folder.mkdir(parents=True)
    own = "page: a4\ncolumns: 1\nrows: 2\nwidth: 12 cm\nheight: 5 in\nleft: 5 mm\ntop: 5 mm\n"
    (folder / "mine.yaml").write_text(own)
    (folder / "a4-8.yaml").write_text(own)
    assert find_sheet("mine", tmp_path) == find_sheet(str(folder / "mine.yaml"))
    assert find_sheet("mine", tmp_path).height == pytest.approx(127)
    assert find_sheet("a4-8", tmp_path).rows == 2, "the season's own comes first"
    assert find_sheet("a4-8").rows == 4
    assert "mine" in template_ids("sheets", tmp_path)


def test_an_unknown_sheet_is_said_with_the_nearest() -> None:
    with pytest.raises(UnknownTemplate, match="no sheet called leter-8") as refused:
        find_sheet("leter-8")
    assert "Did you mean letter-8?" in refused.value.fix
    assert all(name in refused.value.fix for name in NAMES)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        ("\x00\xff", "control character"),
        ("- a\n", "`key: value`"),
        ("page: a3\n", "is not one of the words"),
        ("page: a4\ncolumns: 9\nrows: 9\nwidth: 90 mm\nheight: 9 cm\nleft: 0 mm\ntop: 0 mm\n", "the slips reach"),
        ("page: a4\ncolunms: 3\n", "Did you mean columns?"),
    ],
)
def test_a_file_that_is_no_sheet_is_told_with_its_place(text: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "bad.yaml"
    path.write_bytes(text.encode("latin-1"))
    with pytest.raises(RecordError) as refused:
        find_sheet(str(path))
    told = " ".join(f"{f.text} {f.fix}" for f in refused.value.findings)
    assert said in told or "not UTF-8" in told
    assert all(f.where.startswith(path.as_posix()) for f in refused.value.findings)


def test_files_name_their_sheets_by_size_alone() -> None:
    for name in NAMES:
        text = shipped_file(f"templates/sheets/{name}.yaml").decode()
        assert text.startswith("#")
        assert name.split("-")[0] in {"letter", "a4"}
