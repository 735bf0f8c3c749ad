"""The printing font: Fira Sans, regular and bold, for Latin, Greek and Cyrillic; and one more for what it lacks."""

from __future__ import annotations

import hashlib
import io
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import TypeVar

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFError, TTFont

from entryprep.paper.bidi import NO_MARKS, joined, turned
from entryprep.paper.placing import PrintingError
from entryprep.reading.files import open_plain
from entryprep.reading.yamltext import RecordError

Kept = TypeVar("Kept")

REGULAR, BOLD = "FiraSans", "FiraSans-Bold"
SUBSTITUTE = "▯"  # the one empty box this font has
BAR = "█"  # what stands for words that were blacked out; the printing font lacks it
BAR_FONT, BAR_GLYPH = "ZapfDingbats", "■"  # one of the fonts that every reader of PDF has
SHOWN = 8  # letters that are named in a finding
MOST_BYTES = 60_000_000  # of a font file: larger than any there is

_extra: dict[str, str] = {}  # the font that stands in for REGULAR and BOLD where they lack a letter
_boxed: dict[str, None] = {}
_caches: list[Callable[[], None]] = []


def forgotten(kept: Kept) -> Kept:
    """Remember an ``lru_cache`` whose results depend on the fonts, to be emptied when another font comes or goes."""
    clear: Callable[[], None] = kept.cache_clear  # type: ignore[attr-defined]
    _caches.append(clear)
    return kept


@lru_cache(maxsize=1)
def register_fonts() -> None:
    """Make the fonts known to reportlab; once is enough."""
    folder = resources.files("fontpkg_fira_sans") / "files"
    for name, file in ((REGULAR, "FiraSans-Regular.ttf"), (BOLD, "FiraSans-Bold.ttf")):
        with resources.as_file(folder / file) as path:
            pdfmetrics.registerFont(TTFont(name, str(path)))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)


@contextmanager
def extra_font(files: Sequence[Path]) -> Iterator[None]:
    """While it lasts, letters that the printing font lacks are taken from a TrueType file, and bold ones from a second.

    No file, no change. Raises PrintingError for a file that is missing or is no TrueType font.
    """
    if not files:
        yield
        return
    names = [_registered(file) for file in files[:2]]
    before = dict(_extra)
    _extra.update({REGULAR: names[0], BOLD: names[-1]})
    _forget()
    try:
        yield
    finally:
        _extra.clear()
        _extra.update(before)
        _forget()


def _forget() -> None:
    for clear in _caches:
        clear()


def _registered(file: Path) -> str:
    """A font file made known to reportlab under a name of its content."""
    shown = file.as_posix()
    fix = "name a TrueType file (.ttf) that holds the letters you need"
    try:
        with open_plain(file, shown) as stream:
            content = stream.read(MOST_BYTES + 1)
    except RecordError as error:
        raise PrintingError(f"the font {shown} cannot be read: {error.findings[0].what}", fix) from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise PrintingError(f"the font {shown} cannot be read: {reason}", fix) from None
    if len(content) > MOST_BYTES:
        raise PrintingError(f"{shown} is too large to be a font", fix)
    name = f"Extra-{hashlib.sha256(content).hexdigest()[:12]}"
    if name in pdfmetrics.getRegisteredFontNames():
        return name
    try:
        font = TTFont(name, io.BytesIO(content))
    except TTFError as error:
        outlines = "its outlines are not TrueType" if "postscript outlines" in str(error).lower() else "it is damaged"
        known = content[:4] in {b"\0\1\0\0", b"true", b"OTTO", b"ttcf"}
        raise PrintingError(f"{shown} cannot be used: {outlines if known else 'it is no font'}", fix) from None
    except Exception:
        raise PrintingError(f"{shown} cannot be used: it is damaged", fix) from None
    pdfmetrics.registerFont(font)
    return name


@forgotten
@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    """Code points that can be printed in regular and in bold."""
    own = _own(REGULAR) & _own(BOLD)
    if not _extra:
        return own
    return own | (_face(_extra[REGULAR]) & _face(_extra[BOLD]))


@lru_cache(maxsize=2)
def _own(font: str) -> frozenset[int]:
    register_fonts()
    return _face(font)


def _face(font: str) -> frozenset[int]:
    return frozenset(pdfmetrics.getFont(font).face.charToGlyph)


def missing_letters(text: str) -> str:
    """The characters of ``text`` that the fonts lack, each once, in order."""
    known = _letters()
    composed = unicodedata.normalize("NFC", text)
    return "".join(dict.fromkeys(c for c in composed if ord(c) not in known and not c.isspace() and c != BAR))


@forgotten
@lru_cache(maxsize=8192)
def printable(text: str) -> str:
    """Text with a box in place of each character the fonts lack, accents composed, white space made plain."""
    if text.isascii() and text.isprintable():  # most is, and the printing font has all of ASCII
        return text
    known = _letters()
    box = SUBSTITUTE if ord(SUBSTITUTE) in known else "?"
    composed = unicodedata.normalize("NFC", text)
    made = "".join(" " if c.isspace() else c if ord(c) in known or c == BAR else box for c in composed)
    if box in made:
        _boxed.update(dict.fromkeys(missing_letters(text)))
    return made


def boxed() -> str:
    """The letters in whose place boxes were printed since :func:`forget_boxed`, each once, in order."""
    return "".join(_boxed)


def forget_boxed() -> None:
    """Begin to note anew which letters are printed as boxes."""
    _boxed.clear()
    printable.cache_clear()


def shown_letters(letters: str) -> str:
    """Letters as a finding names them, with their code points; not more than a few."""
    shown = " ".join(f"{c if c.isprintable() else '?'} (U+{ord(c):04X})" for c in letters[:SHOWN])
    return shown + (f" and {len(letters) - SHOWN} more" if len(letters) > SHOWN else "")


@forgotten
@lru_cache(maxsize=16384)
def pieces(line: str, font: str) -> tuple[tuple[str, str], ...]:
    """A printable line as it is drawn, from left to right: (font, text) for each stretch of one font.

    Letters that are written from right to left are turned, Arabic ones joined.
    """
    if not _extra and BAR not in line:
        return ((font, line),) if line else ()
    own = _own(font)
    made: list[tuple[str, str]] = []
    for each in turned(line, _letters()) if _extra else line:
        letter, name = _letter(each, font, own)
        if made and made[-1][0] == name:
            made[-1] = (name, made[-1][1] + letter)
        else:
            made.append((name, letter))
    return tuple(made)


class _Advances(dict[str, float]):
    """How far each letter of a font moves on, in thousandths of the size; filled as letters are met."""

    def __init__(self, font: str) -> None:
        super().__init__()
        self.face = pdfmetrics.getFont(font).face

    def __missing__(self, letter: str) -> float:
        self[letter] = width = self.face.charWidths.get(ord(letter), self.face.defaultWidth)
        return float(width)


@lru_cache(maxsize=2)
def _advances(font: str) -> _Advances:
    register_fonts()
    return _Advances(font)


@forgotten
@lru_cache(maxsize=65536)
def width_pt(text: str, font: str, size: float) -> float:
    """Width of a line in points."""
    register_fonts()
    if not _extra and BAR not in text:
        return float(0.001 * size * sum(map(_advances(font).__getitem__, text)))
    own = _own(font)
    shown = joined(text, _letters()).translate(NO_MARKS) if _extra else text
    return float(sum(pdfmetrics.stringWidth(*_letter(each, font, own), size) for each in shown))


@lru_cache(maxsize=65536)  # the same words come again and again
def advance(word: str, font: str) -> float:
    """How far the letters of the printing font move on, in thousandths of the size.

    Whole numbers, so that words may be added up in any order. For text without bars, while no second font stands in.
    """
    return float(sum(map(_advances(font).__getitem__, word)))


def _letter(letter: str, font: str, own: frozenset[int]) -> tuple[str, str]:
    """A letter as it is drawn, and the font it is in."""
    if letter == BAR:
        return BAR_GLYPH, BAR_FONT
    return letter, font if ord(letter) in own or not _extra else _extra[font]


def has_extra() -> bool:
    """Whether a second font stands in."""
    return bool(_extra)
