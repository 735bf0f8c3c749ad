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
