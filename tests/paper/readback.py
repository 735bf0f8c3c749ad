"""Reading a PDF back."""

from __future__ import annotations

import io

from pypdf import PdfReader


def opened(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def pages(pdf: bytes) -> list[str]:
    """The text of each page."""
    return [page.extract_text() for page in opened(pdf).pages]


def plain(pdf: bytes) -> str:
    """All text, white space made plain, so that it does not matter where lines break."""
    return " ".join(" ".join(pages(pdf)).split())


def solid(pdf: bytes) -> str:
    """All text without white space, for words that are broken between letters."""
    return "".join("".join(pages(pdf)).split())


def positions(pdf: bytes, page: int = 0) -> list[tuple[float, float]]:
    """Where each piece of text of a page begins, in points from the lower left corner of the paper."""
    found: list[tuple[float, float]] = []

    def note(text: str, matrix: list[float], at: list[float], _font: object, _size: float) -> None:
        if text.strip():
            x = at[4] * matrix[0] + at[5] * matrix[2] + matrix[4]
            y = at[4] * matrix[1] + at[5] * matrix[3] + matrix[5]
            found.append((x, y))

    opened(pdf).pages[page].extract_text(visitor_text=note)
    return found
