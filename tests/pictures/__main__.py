"""Write the pictures of the README."""

from __future__ import annotations

from tests.pictures import FOLDER, drawn, png

for name, image in drawn().items():
    (FOLDER / name).write_bytes(png(image))
