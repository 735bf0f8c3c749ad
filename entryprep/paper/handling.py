"""The handling marks of ISO 780 on the label of a box, drawn by us: a glass for fragile, two arrows for this way up.

Shapes from the descriptions of the standard's symbols, from memory: a stemmed glass; two arrows side by side that point
up, on a bar. Each fills a box as high as it is told, three quarters as wide.
"""

from __future__ import annotations

from entryprep.paper.placing import MM
from entryprep.tables.labelsheets import Sheet
from entryprep.tables.sliplayouts import SIGN_WIDTH, Sign, SlipLayout

# points in hundredths of the height, from the lower left corner: filled shapes, each closed
_SHAPES: dict[str, tuple[tuple[tuple[float, float], ...], ...]] = {
    "fragile": (
        ((12, 100), (63, 100), (61, 72), (55, 56), (42, 47), (42, 13), (58, 6), (58, 0), (17, 0), (17, 6), (33, 13),
         (33, 47), (20, 56), (14, 72)),
    ),
    "this-way-up": (
        ((19, 100), (34, 74), (24, 74), (24, 18), (14, 18), (14, 74), (4, 74)),
        ((56, 100), (71, 74), (61, 74), (61, 18), (51, 18), (51, 74), (41, 74)),
        ((0, 0), (75, 0), (75, 9), (0, 9)),
    ),
}  # fmt: skip
# what is cut out of a shape: a glass has a crack
_CRACK = ((40, 100), (33, 88), (43, 80), (36, 68), (39, 68), (47, 81), (37, 88), (45, 100))


def handling_signs(layout: SlipLayout, sheet: Sheet) -> list[str]:
    """The marks of a layout on a slip, as operators from the slip's lower left corner."""
    return [_sign(sign, sheet.width) for sign in layout.signs]


def _sign(sign: Sign, width_mm: float) -> str:
    scale = sign.height * MM / 100
    x, y = (width_mm - sign.right - sign.height * SIGN_WIDTH) * MM, sign.bottom * MM
    drawn = " ".join(f"{_path(shape)} f" for shape in _SHAPES[sign.sign])
    if sign.sign == "fragile":
        drawn += f" 1 g {_path(_CRACK)} f 0 g"
    return f"q {scale:.4f} 0 0 {scale:.4f} {x:.2f} {y:.2f} cm {drawn} Q"


def _path(points: tuple[tuple[float, float], ...]) -> str:
    first, *rest = points
    return " ".join([f"{first[0]:g} {first[1]:g} m", *(f"{x:g} {y:g} l" for x, y in rest), "h"])
