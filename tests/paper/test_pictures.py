"""The pictures of the README show what the demo prints today."""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageChops, ImageStat

from tests.pictures import FOLDER, PICTURES, drawn

README = Path(__file__).parents[2] / "README.md"


def test_the_readmes_pictures_are_not_stale() -> None:
    """Made anew by ``python -m tests.pictures``; a little is allowed for another version of the renderer."""
    text = README.read_text(encoding="utf-8")
    for name, image in drawn().items():
        assert f"tests/pictures/{name}" in text
        with Image.open(FOLDER / name) as kept:
            assert kept.size == image.size
            difference = ImageChops.difference(kept.convert("L"), image.convert("L"))
        assert ImageStat.Stat(difference).mean[0] < 0.6, f"{name} is stale: run python -m tests.pictures"
    assert set(PICTURES) == {path.name for path in FOLDER.glob("*.png")}
