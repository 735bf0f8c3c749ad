"""What stands where on a slip: larger where there is room, smaller where there is much to say, cut only at the last."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from entryprep.entering.plan import Slip
from entryprep.paper.fonts import BOLD, REGULAR, printable, width_pt
from entryprep.paper.qr import QUIET, qr_rows
from entryprep.paper.sheets import MM
from entryprep.paper.text import Fitted, fitted

PAD = 4 * MM  # text keeps at least 2 mm inside the slip (common practice)
CODE_EDGE = 1 * MM  # between the code's quiet zone and the cut
CODE_SIDE, LEAST_MODULE = 17.4 * MM, 0.5 * MM  # 15 to 20 mm, 0.5 mm is recommended for phones (from memory)
STUB = 12.5 * MM
SMALLEST_MM = (80.0, 50.8)  # 2 in: one line of each field still fits above a stub
CAPTION, NUMBER, RULE, HEAD, FOOT = 13.5, 34.5, 36.0, 39.0, 19.0  # down from the top, and up from the bottom, points
LEADING = 1.18
HINTS = {
    "rubber-band": "Hold with a rubber band; no tape, no glue.",
    "tape": "Hold with tape as the competition says.",
    "any": "",
}
# sizes of category, style, base, declaration and allergens, tried in this order
SIZES = (
    (12.0, 11.0, 10.0, 10.5, 9.5),
    (11.0, 10.0, 9.0, 9.0, 8.5),
    (10.0, 9.0, 8.5, 8.5, 8.0),
    (9.0, 8.5, 8.0, 8.0, 8.0),
    (8.0, 8.0, 8.0, 8.0, 8.0),
)
MOST_LINES = (2, 2, 1, 99, 3)


@dataclass(frozen=True)
class Placed:
    """Lines of text at a place: left end and first baseline from the slip's lower left corner, in points."""

    x: float
    y: float
    font: str
    size: float
    leading: float
    lines: tuple[str, ...]


@dataclass(frozen=True)
class SlipText:
    """All text of a slip but the number of its bottle, and the names of the fields that had to be cut."""

    texts: tuple[Placed, ...]
    cut: tuple[str, ...]


@dataclass(frozen=True)
class _Block:
    field: str
    text: str
    font: str


def code_side(code: str) -> float:
    """Side of the QR code with its quiet zone, in points."""
    return max(CODE_SIDE, (qr_rows(code)[0] + 2 * QUIET) * LEAST_MODULE)


@lru_cache(maxsize=64)
def slip_text(slip: Slip, width_mm: float, height_mm: float) -> SlipText:
    """The text of an entry's slip, placed and fitted; the same for all its bottles."""
    width, height = width_mm * MM, height_mm * MM
    low = STUB if slip.identity else 0.0
    narrow = width - PAD - CODE_EDGE - code_side(slip.code)
    texts, cut = _head(slip, narrow, width, height)
    for block, text, down in _body(slip, narrow, width - 2 * PAD, height - low - FOOT):
        texts.append(Placed(PAD, height - down - text.size, block.font, text.size, text.size * LEADING, text.lines))
        cut += [block.field] * text.cut
    hint = HINTS.get(slip.attach, "")
    texts.append(_right(hint, width - PAD, low + PAD - 1 * MM))
    if slip.identity:
        lines, short = _identity(slip.identity, width - 2 * PAD)
        texts += lines
        texts.append(_right("cut off before judging", width - PAD, STUB - 9.5))
        cut += ["identity"] * short
    return SlipText(tuple(texts), tuple(cut))


def _right(text: str, end: float, y: float) -> Placed:
    return Placed(end - width_pt(text, REGULAR, 8), y, REGULAR, 8, 8, (text,) if text else ())


def _head(slip: Slip, narrow: float, width: float, height: float) -> tuple[list[Placed], list[str]]:
    """Caption, competition, and the number; the code in letters where there is no number yet."""
    texts = [Placed(PAD, height - CAPTION, REGULAR, 8, 8, ("Entry no.",))]
    whose = fitted(slip.competition, REGULAR, narrow - 48, 8, 8, 1)
    if whose.lines:
        texts.append(_right(whose.lines[0], PAD + narrow, height - CAPTION))
    cut = ["competition"] * whose.cut
    if slip.number:
        number = fitted(slip.number, BOLD, narrow, 22, 14, 1)
        texts.append(Placed(PAD, height - NUMBER, BOLD, number.size, number.size, number.lines))
        return texts, cut + ["number"] * number.cut
    side = code_side(slip.code)
    code = printable(slip.code)
    left = width - CODE_EDGE - (side + width_pt(code, REGULAR, 8)) / 2
    texts.append(Placed(min(left, width - PAD - width_pt(code, REGULAR, 8)), height - side - 7, REGULAR, 8, 8, (code,)))
    return texts, cut


def _body(slip: Slip, narrow: float, full: float, end: float) -> list[tuple[_Block, Fitted, float]]:
    """Blocks with their text and how far down they begin: the first sizes at which all is there, else cut."""
    blocks = (
        _Block("category", f"{slip.category_code}: {slip.category_name}", BOLD),
        _Block("style", slip.style, BOLD),
        _Block("base", f"Base: {slip.base}" if slip.base else "", REGULAR),
        _Block("declaration", slip.declaration, REGULAR),
        _Block("allergens", f"Allergens: {', '.join(slip.allergens)}" if slip.allergens else "", REGULAR),
    )
    widths = (narrow, full, code_side(slip.code) + CODE_EDGE + (0 if slip.number else 9))
    for sizes in SIZES:
        done, down = _stacked(blocks, sizes, MOST_LINES, widths)
        if down <= end and not any(text.cut for _, text, _ in done):
            return done
    _, down = _stacked(blocks, SIZES[-1], (2, 2, 1, 1, 3), widths)
    left = int((end - down) // (8 * LEADING))
    most = (2, 2, 1, 1 + left, 3) if left >= 0 else (1, 1, 1, 1, 1)
    return _stacked(blocks, SIZES[-1], most, widths)[0]


def _stacked(
    blocks: Sequence[_Block], sizes: Sequence[float], most: Sequence[int], widths: tuple[float, float, float]
) -> tuple[list[tuple[_Block, Fitted, float]], float]:
    """The blocks one below the other, and where they end; ``widths``: beside the code, below it, where it ends."""
    narrow, full, code_ends = widths
    done, down = [], HEAD
    for block, size, lines in zip(blocks, sizes, most, strict=True):
        text = fitted(block.text, block.font, narrow if down < code_ends else full, size, size, lines)
        if text.lines:
            done.append((block, text, down))
            down += len(text.lines) * size * LEADING + (1.5 if size > 8 else 0.8)
    return done, down


def _identity(lines: Sequence[str], width: float) -> tuple[list[Placed], bool]:
    """Three lines for the part that is cut off; what is more than three goes on the third."""
    shown = (*lines[:2], "; ".join(lines[2:]))
    texts, short = [], False
    for index, line in enumerate(shown):
        font = REGULAR if index else BOLD
        text = fitted(line, font, width - (0 if index else 86), 8.5, 8, 1)
        texts.append(Placed(PAD, STUB - 9.5 - 9.2 * index, font, text.size, text.size, text.lines))
        short = short or text.cut
    return texts, short
