"""Lines of text as PDF operators. The library's own text object formats every letter and number by itself, and takes
five times as long; a season of feedback sheets is some hundred thousand lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from entryprep.paper.fonts import pieces

Line = tuple[float, float, str, float, str]  # left end and baseline in points, font, size in points, text
Parts = Sequence[tuple[str, str]]


class _Letters(dict[int, str]):
    """What stands for a letter in the operators of one document, by code point; filled as letters are met.

    A font is embedded as subsets of 256 letters; those of other subsets than the first are kept in ``beyond``.
    """

    def __init__(self, canvas: Any, font: str) -> None:
        super().__init__()
        self.canvas, self.font, self.beyond = canvas, pdfmetrics.getFont(font), set[str]()
        self.first = ""  # the name of the font's first subset in the document, once it is written with

    def runs(self, text: str) -> list[tuple[str, str]]:
        """Stretches of a text as the names of their fonts in the document and their escaped letters."""
        said = text.translate(self)
        document = self.canvas._doc
        if not isinstance(self.font, TTFont):
            return [(document.getInternalFontName(self.font.fontName), said)]
        if not self.beyond or self.beyond.isdisjoint(text):
            self.first = self.first or str(self.font.getSubsetInternalName(0, document))
            return [(self.first, said)]
        return [
            (self.font.getSubsetInternalName(subset, document), self.canvas._escape(letters))
            for subset, letters in self.font.splitString(text, document)
        ]

    def __missing__(self, code: int) -> str:
        if isinstance(self.font, TTFont):
            ((subset, letter),) = self.font.splitString(chr(code), self.canvas._doc)
            if subset:
                self.beyond.add(chr(code))
        else:
            ((_, letter),) = pdfmetrics.unicode2T1(chr(code), [self.font])
        said = self[code] = str(self.canvas._escape(letter))
        return said


class Pen:
    """Writes lines of text for one canvas; ``operators`` are all that it wrote, to be used any number of times."""

    def __init__(self, canvas: Any) -> None:
        self.canvas = canvas
        self.letters: dict[str, _Letters] = canvas.__dict__.setdefault("letters", {})
        self.known: dict[tuple[str, str], list[tuple[str, str]]] = canvas.__dict__.setdefault("runs", {})
        self.made: list[str] = []
        self.name, self.size = "", 0.0  # of the font that is set

    def write(self, x: float, y: float, parts: Parts, size: float) -> None:
        """A line from its left end, its baseline at ``y``; parts are texts with their fonts, one after the other."""
        made = self.made
        made.append(f"1 0 0 1 {x:.2f} {y:.2f} Tm")
        for part in parts:
            for name, said in self.known.get(part) or self._runs(part):
                if name != self.name or size != self.size:
                    self.name, self.size = name, size
                    made.append(f"{name} {size:g} Tf {1.2 * size:g} TL")
                made.append(f"({said}) Tj")
        made.append("T*")  # the end of a line, for those who read a file and not a page

    def _runs(self, part: tuple[str, str]) -> list[tuple[str, str]]:
        """A text in a font as stretches of letters, kept: many lines of a document are alike."""
        made = self.known[part] = []
        for face, piece in pieces(*part):
            if face not in self.letters:
                self.letters[face] = _Letters(self.canvas, face)
            made += self.letters[face].runs(piece)
        return made

    @property
    def operators(self) -> str:
        """All lines as one text object; nothing where no line was written."""
        return f"BT {' '.join(self.made)} ET" if self.made else ""


def text_operators(canvas: Any, lines: Iterable[Line]) -> str:
    """Lines of text as PDF operators, to be used again anywhere in the same PDF."""
    pen = Pen(canvas)
    for x, y, font, size, line in lines:
        pen.write(x, y, ((line, font),), size)
    return pen.operators
