"""The lines and shapes of a PDF page, read back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pypdf.generic import ContentStream

from tests.paper.readback import opened

Point = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float]
_BOTH = {b"B", b"b", b"B*", b"b*"}
_STROKES, _FILLS = {b"S", b"s"} | _BOTH, {b"f", b"F", b"f*"} | _BOTH


@dataclass(frozen=True)
class Shape:
    """One path as it was painted, in points from the lower left corner of the paper; ``dashes`` as the PDF has them."""

    points: tuple[Point, ...]
    filled: bool
    stroked: bool
    width: float
    dashes: tuple[float, ...]

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top."""
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return min(xs), min(ys), max(xs), max(ys)


def _moved(matrix: Matrix, x: float, y: float) -> Point:
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f


def _times(one: Matrix, other: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    (g, h), (i, j), (k, m) = (_moved(other, *p) for p in ((a, b), (c, d), (e, f)))
    ox, oy = _moved(other, 0, 0)
    return g - ox, h - oy, i - ox, j - oy, k, m


def shapes(pdf: bytes, page: int = 0) -> list[Shape]:
    """Every path that is painted on a page, in order; curves by their ends; what stands in a form is left out."""
    reader = opened(pdf)
    content = reader.pages[page].get_contents()
    assert content is not None
    state: tuple[Matrix, float, tuple[float, ...]] = ((1.0, 0.0, 0.0, 1.0, 0.0, 0.0), 1.0, ())
    kept: list[tuple[Matrix, float, tuple[float, ...]]] = []
    path: list[list[Point]] = []
    found: list[Shape] = []
    for operands, operator in ContentStream(content, reader).operations:
        matrix, width, dashes = state
        numbers: Any = (
            [float(o) if not isinstance(o, list) else [float(n) for n in o] for o in operands]
            if (operator in {b"cm", b"w", b"d", b"m", b"l", b"c", b"re"})
            else []
        )
        if operator == b"q":
            kept.append(state)
        elif operator == b"Q":
            state = kept.pop()
        elif operator == b"cm":
            state = (_times(tuple(numbers), matrix), width, dashes)
        elif operator == b"w":
            state = (matrix, numbers[0], dashes)
        elif operator == b"d":
            state = (matrix, width, tuple(numbers[0]))
        elif operator == b"m":
            path.append([_moved(matrix, *numbers)])
        elif operator in {b"l", b"c"}:
            path[-1].append(_moved(matrix, *numbers[-2:]))
        elif operator == b"re":
            x, y, w, h = numbers
            path.append([_moved(matrix, *p) for p in ((x, y), (x + w, y), (x + w, y + h), (x, y + h))])
        elif operator in _STROKES | _FILLS | {b"n"}:
            if operator != b"n":
                found += [Shape(tuple(part), operator in _FILLS, operator in _STROKES, width, dashes) for part in path]
            path = []
    return found
