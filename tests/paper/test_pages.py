"""What holds for every page of the demo: filled, readable, black beers black, days not written over each other."""

from __future__ import annotations

import datetime as dt
import io
import math
from itertools import combinations
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PIL import ImageOps
from pypdf import PdfReader
from typer.testing import CliRunner

from entryprep.brewing.swatch import beer_rgb
from entryprep.cli.app import app
from entryprep.entering.check import check
from entryprep.entering.plan import Milestone
from entryprep.entering.season import read_season
from entryprep.paper.bundle import bundle
from entryprep.paper.canvas import new_canvas, saved
from entryprep.paper.glass import glass_hex, glass_rgb, glass_words
from entryprep.paper.timeline import GAP, Timeline
from entryprep.tables.shipped import shipped_file, shipped_tree

DAY = dt.date(2027, 2, 20)
SLIPS = ("slips-", "boxes-", "errors-")  # as many as there are bottles, boxes, errors


@pytest.fixture(scope="module", params=["letter", "a4"])
def papers(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    folder = tmp_path_factory.mktemp("season")
    for name in shipped_tree("templates/demo"):
        path = Path(folder) / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(shipped_file(f"templates/demo/{name}"))
    season, problems = read_season(folder)
    files = bundle(season, [*problems, *check(season, DAY)], DAY, page=request.param).files
    return {name: content for name, content in files.items() if name.endswith(".pdf")}


def test_no_page_is_under_a_third_filled(papers: dict[str, bytes]) -> None:
    """From the top to the last ink above the footer, of the page's height; slips are as many as they are."""
    for name, content in papers.items():
        if name.startswith(SLIPS):
            continue
        document = pypdfium2.PdfDocument(content)
        for number in range(len(document)):
            image = document[number].render(scale=0.5).to_pil().convert("L")
            body = image.crop((0, 0, image.width, int(image.height * 0.95)))
            ink = ImageOps.invert(body).point(lambda grey: 255 if grey > 60 else 0).getbbox()
            assert ink is not None, name
            assert ink[3] / image.height > 1 / 3, f"{name}, page {number + 1}"
        document.close()


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The papers of the receiving demo, as the README makes them."""
    folder = tmp_path_factory.mktemp("receiving")
    for name in ("declarations.csv", "judges.csv"):
        (folder / name).write_bytes(shipped_file(f"templates/demo/receiving/{name}"))
    cup = str(folder / "cup")
    for words in (
        ("intake", str(folder / "declarations.csv"), "--out", cup, "--seed", "marsh light"),
        ("checkin", cup),
        ("flights", "--out", cup, "--judges", str(folder / "judges.csv")),
    ):
        assert CliRunner().invoke(app, words).exit_code in {0, 1}, words
    made = {path.name: path.read_bytes() for path in (folder / "cup").rglob("*.pdf")}
    assert {"bottle-labels.pdf", "check-in.pdf", "pouring-lists.pdf", "tasting-cards.pdf"} <= set(made)
    return made


def test_nothing_is_printed_smaller_than_eight_points(papers: dict[str, bytes]) -> None:
    sizes = _sizes(papers)
    assert min(sizes) >= 8, sizes[min(sizes)]
    assert max(sizes) >= 28


def test_papers_of_the_judging_are_as_large_and_as_complete(judged: dict[str, bytes]) -> None:
    sizes = _sizes(judged)
    assert min(sizes) >= 8, sizes[min(sizes)]
    test_every_paper_carries_its_fonts_its_page_labels_and_xmp(judged)


def _sizes(papers: dict[str, bytes]) -> dict[float, str]:
    """Sizes of all text in points, each with where it stands first."""
    sizes: dict[float, str] = {}
    for name, content in papers.items():
        for page in PdfReader(io.BytesIO(content)).pages:

            def note(
                text: str, at: list[float], matrix: list[float], _font: object, size: float, name: str = name
            ) -> None:
                if text.strip():
                    scale = math.hypot(*matrix[2:4]) * math.hypot(*at[2:4])  # upright text in a margin counts too
                    sizes.setdefault(round(size * scale, 2), f"{name}: {text.strip()[:40]}")

            page.extract_text(visitor_text=note)
    return sizes


def test_every_paper_carries_its_fonts_its_page_labels_and_xmp(papers: dict[str, bytes]) -> None:
    """ISO 32000-1: 9.9 embedded font programs, 12.4.2 page labels, 14.3.2 metadata streams; XMP is ISO 16684-1.

    The bar of a blackout is of one of the standard fonts (9.6.2.2), which need not be embedded: ours lacks it.
    """
    for name, content in papers.items():
        reader: Any = PdfReader(io.BytesIO(content))
        assert reader.page_labels == [str(n) for n in range(1, len(reader.pages) + 1)], name
        assert "/PageLabels" in reader.trailer["/Root"], name
        told = reader.xmp_metadata
        assert told is not None, name
        assert told.dc_title == {"x-default": reader.metadata.title}, name
        assert told.dc_creator == ["entryprep"], name
        for page in reader.pages:
            for font in page["/Resources"].get("/Font", {}).values():
                embedded = "/FontFile2" in font.get("/FontDescriptor", {})
                assert embedded or font["/BaseFont"] == "/ZapfDingbats", f"{name}: {font['/BaseFont']}"


def test_titles_of_users_are_escaped_in_xmp() -> None:
    title = "Stout & <b>\x00\U0001f37a ]]> Porter"
    told = PdfReader(io.BytesIO(saved(*new_canvas("a4", title)))).xmp_metadata
    assert told is not None
    assert told.dc_title == {"x-default": title.replace("\x00", "")}


def test_a_dark_beer_is_black() -> None:
    """BJCP 2021 Color Reference: black from 30 to 40 SRM, opaque black above."""
    assert glass_rgb(40) == glass_rgb(90) == (0, 0, 0)
    assert glass_hex(45) == "#000000"
    assert max(glass_rgb(35)) < 30
    assert glass_rgb(12) == beer_rgb(12), "pale and amber beers are as light passes them"
    shades = [sum(glass_rgb(srm)) for srm in range(1, 60)]
    assert shades == sorted(shades, reverse=True)
    assert glass_words(11.2) == "11.2 SRM, deep amber"


@pytest.mark.parametrize("gaps", [(1, 1, 1, 1), (0, 3, 40, 1), (30, 1, 1, 30), (2, 2, 60, 2)])
def test_no_days_words_are_written_over_anothers(gaps: tuple[int, ...]) -> None:
    days, day = [], dt.date(2027, 3, 1)
    for number, gap in enumerate(gaps):
        day += dt.timedelta(days=gap)
        days.append(Milestone("Last day of delivery", day, f"Competition number {number}"))
    drawn = Timeline(days, 480, dt.date(2027, 2, 27))
    for lanes, side in ((drawn.below, -1), (drawn.above, 1)):
        for (one, lane), (other, other_lane) in combinations(lanes.items(), 2):
            left, right = sorted((drawn._left(d, side), drawn._left(d, side) + drawn._wide(d)) for d in (one, other))
            assert lane != other_lane or left[1] < right[0]
            for day, deep, crossed, high in ((one, lane, other, other_lane), (other, other_lane, one, lane)):
                begins = drawn._left(crossed, side)
                inside = begins + GAP < drawn._x(day) < begins + drawn._wide(crossed) - GAP
                assert not (inside and deep > high), "its line runs through another's words"
    assert set(drawn.below) | set(drawn.above) == {*(each.day for each in days), dt.date(2027, 2, 27)}
