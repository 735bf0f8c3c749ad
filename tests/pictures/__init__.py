"""The three pictures of the README, drawn from the demo: ``python -m tests.pictures`` makes them anew."""

from __future__ import annotations

import io
import tempfile
from collections.abc import Mapping
from pathlib import Path

import pypdfium2
from PIL import Image
from typer.testing import CliRunner

from entryprep.cli.app import app

FOLDER = Path(__file__).parent
SCALE = 1.1  # 79 dots per inch
# picture, paper of the demo, page of it from 0
PICTURES: Mapping[str, tuple[str, int]] = {
    "season.png": ("season.pdf", 0),
    "fit-sheet.png": ("fit-sheets.pdf", 0),
    "slips.png": ("slips-saltmarsh-open.pdf", 0),
}


def drawn() -> dict[str, Image.Image]:
    """The pictures as the demo gives them today."""
    with tempfile.TemporaryDirectory() as name:
        season = Path(name) / "season"
        done = CliRunner().invoke(app, ["demo", str(season), "--page", "letter"])
        if done.exit_code:
            raise RuntimeError(done.output)
        return {name: _page(season / "out" / paper, page) for name, (paper, page) in PICTURES.items()}


def _page(paper: Path, page: int) -> Image.Image:
    document = pypdfium2.PdfDocument(paper.read_bytes())
    try:
        image: Image.Image = document[page].render(scale=SCALE).to_pil().convert("L" if page else "RGB")
        return image
    finally:
        document.close()


def png(image: Image.Image) -> bytes:
    """An image as a small PNG."""
    stream = io.BytesIO()
    image.quantize(32).save(stream, "PNG", optimize=True)
    return stream.getvalue()
