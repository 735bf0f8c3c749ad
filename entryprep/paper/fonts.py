"""The printing font: Fira Sans, regular and bold, for Latin, Greek and Cyrillic."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from importlib import resources

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR, BOLD = "FiraSans", "FiraSans-Bold"
SUBSTITUTE = "▯"  # the one empty box this font has


@lru_cache(maxsize=1)
def register_fonts() -> None:
    """Make the fonts known to reportlab; once is enough."""
    folder = resources.files("fontpkg_fira_sans") / "files"
    for name, file in ((REGULAR, "FiraSans-Regular.ttf"), (BOLD, "FiraSans-Bold.ttf")):
        with resources.as_file(folder / file) as path:
            pdfmetrics.registerFont(TTFont(name, str(path)))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    register_fonts()
    regular = pdfmetrics.getFont(REGULAR).face.charToGlyph
    bold = pdfmetrics.getFont(BOLD).face.charToGlyph
    return frozenset(regular) & frozenset(bold)


def missing_letters(text: str) -> str:
    """The characters of ``text`` that the font lacks, each once, in order."""
    known = _letters()
    composed = unicodedata.normalize("NFC", text)
    return "".join(dict.fromkeys(c for c in composed if ord(c) not in known and not c.isspace()))


@lru_cache(maxsize=8192)
def printable(text: str) -> str:
    """Text with a box in place of each character the font lacks, accents composed, white space made plain."""
    known = _letters()
    box = SUBSTITUTE if ord(SUBSTITUTE) in known else "?"
    composed = unicodedata.normalize("NFC", text)
    return "".join(" " if c.isspace() else c if ord(c) in known else box for c in composed)


@lru_cache(maxsize=65536)
def width_pt(text: str, font: str, size: float) -> float:
    """Width of a line in points."""
    return float(pdfmetrics.stringWidth(text, font, size))
