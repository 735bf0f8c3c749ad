"""QR codes as rectangles: ISO/IEC 18004, byte mode, level M, versions 1 to 6; the quiet zone is the caller's.

A symbol is one whole number: bit ``row * (side + 4) + column`` is set where a module is dark. The four spare bits that
end each row are its quiet zone, so shifting compares neighbours without looking round the edge. Every symbol is kept
beside its transpose. That makes choosing the mask, the slow part of the work, a few dozen operations on whole numbers.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

QUIET = 4
# data bytes and correction bytes of a block, number of blocks: level M, versions 1 to 6 (ISO/IEC 18004, table 9)
BLOCKS = ((16, 10, 1), (28, 16, 1), (44, 26, 1), (32, 18, 2), (43, 24, 2), (27, 16, 4))
MOST_BYTES = 106
FORMAT_MASK, FORMAT_POLYNOMIAL, FIELD_POLYNOMIAL = 0b101010000010010, 0b10100110111, 0x11D
MASKS: tuple[Callable[[int, int], int], ...] = (
    lambda r, c: (r + c) % 2,
    lambda r, _: r % 2,
    lambda _, c: c % 3,
    lambda r, c: (r + c) % 3,
    lambda r, c: (r // 2 + c // 3) % 2,
    lambda r, c: r * c % 2 + r * c % 3,
    lambda r, c: (r * c % 2 + r * c % 3) % 2,
    lambda r, c: ((r + c) % 2 + r * c % 3) % 2,
)
Symbol = tuple[int, int]  # the modules and their transpose


@lru_cache(maxsize=4096)
def qr_rows(content: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """Modules on a side without quiet zone, and the dark runs as (column, row, length), row 0 on top.

    Raises ValueError for more than 106 bytes of UTF-8.
    """
    side, symbol = _symbol(content.encode())
    runs = []
    for row in range(side):
        bits = symbol >> row * (side + QUIET) & (1 << side) - 1
        while bits:
            column = (bits & -bits).bit_length() - 1
            rest = bits >> column
            length = (~rest & rest + 1).bit_length() - 1
            runs.append((column, row, length))
            bits = rest >> length << column + length
    return side, tuple(runs)


def _symbol(content: bytes) -> tuple[int, int]:
    if len(content) > MOST_BYTES:
        raise ValueError(f"{len(content)} bytes are too many for this QR code: at most {MOST_BYTES}")
    version = next(v for v, (data, _, count) in enumerate(BLOCKS, 1) if len(content) + 2 <= data * count)
    side = 17 + 4 * version
    places, variants = _frame(version)
    modules = across = 0
    words = _codewords(content, version)
    for place, other in (places[i] for i in range(8 * len(words)) if words[i >> 3] >> 7 - (i & 7) & 1):
        modules |= place
        across |= other
    masked = ((modules ^ mask, across ^ mask_across) for mask, mask_across in variants)
    return side, min(masked, key=lambda symbol: _penalty(symbol, side))[0]


def _codewords(content: bytes, version: int) -> bytes:
    """Mode, length, content and padding, in blocks with their correction, interleaved."""
    size, extra, count = BLOCKS[version - 1]
    bits = (0b0100 << 8 | len(content)) << 8 * len(content) | int.from_bytes(content)
    data = (bits << 4).to_bytes(len(content) + 2)
    data += bytes((0xEC, 0x11)[i % 2] for i in range(size * count - len(data)))
    blocks = [data[i : i + size] for i in range(0, len(data), size)]
    checks = [_correction(block, extra) for block in blocks]
    return bytes(b for rows in (blocks, checks) for column in zip(*rows, strict=True) for b in column)


def _correction(block: bytes, extra: int) -> bytes:
    rest, steps, keep = 0, _remainders(extra), (1 << 8 * extra) - 1
    for byte in block:
        rest = rest << 8 & keep ^ steps[rest >> 8 * (extra - 1) ^ byte]
    return rest.to_bytes(extra)


@lru_cache(maxsize=8)
def _remainders(extra: int) -> tuple[int, ...]:
    """Each byte times the generator polynomial with ``extra`` roots, packed, without the leading term."""
    generator, root = [1], 1
    for _ in range(extra):
        generator = [a ^ _product(b, root) for a, b in zip([*generator, 0], [0, *generator], strict=True)]
        root = _product(root, 2)
    return tuple(int.from_bytes(bytes(_product(byte, g) for g in generator[1:])) for byte in range(256))


def _product(a: int, b: int) -> int:
    """Product in the field of 256 elements of the standard."""
    result = 0
    while b:
        result ^= a * (b & 1)
        a, b = a << 1 ^ FIELD_POLYNOMIAL * (a >> 7), b >> 1
    return result


@lru_cache(maxsize=8)
def _frame(version: int) -> tuple[tuple[Symbol, ...], tuple[Symbol, ...]]:
    """Places of the data bits in order, and for each mask the pattern to turn over them, with all that is fixed."""
    side = 17 + 4 * version
    fixed = _fixed(version, side)
    free = [spot for spot in _walk(side) if spot not in fixed]
    variants = []
    for number, mask in enumerate(MASKS):
        dark = {spot for spot, is_dark in fixed.items() if is_dark} | {spot for spot in free if not mask(*spot)}
        dark |= _format_spots(number, side)
        variants.append(_packed(dark, side))
    return tuple(_packed({spot}, side) for spot in free), tuple(variants)


def _packed(dark: set[tuple[int, int]], side: int) -> Symbol:
    line = side + QUIET
    return sum(1 << r * line + c for r, c in dark), sum(1 << c * line + r for r, c in dark)


def _fixed(version: int, side: int) -> dict[tuple[int, int], bool]:
    """Timing, finders with their white edge, alignment, and the room for the format: dark or not."""
    spots = {spot: i % 2 == 0 for i in range(side) for spot in ((6, i), (i, 6))}
    for top, left in ((0, 0), (0, side - 7), (side - 7, 0)):
        for r in range(max(top - 1, 0), min(top + 8, side)):
            for c in range(max(left - 1, 0), min(left + 8, side)):
                spots[r, c] = max(abs(r - top - 3), abs(c - left - 3)) in {0, 1, 3}
    centre = side - 7
    if version > 1:
        near = range(centre - 2, centre + 3)
        spots |= {(r, c): max(abs(r - centre), abs(c - centre)) != 1 for r in near for c in near}
    for i in (*range(9), *range(side - 8, side)):
        spots.setdefault((8, i), False)
        spots.setdefault((i, 8), False)
    return spots | {(side - 8, 8): True}


def _format_spots(mask: int, side: int) -> set[tuple[int, int]]:
    """The dark modules that name level M and the mask, twice."""
    rest = mask << 10
    for shift in range(4, -1, -1):
        rest ^= FORMAT_POLYNOMIAL << shift if rest >> shift + 10 & 1 else 0
    bits = (mask << 10 | rest) ^ FORMAT_MASK
    down = (*range(6), 7, 8, *range(side - 7, side))
    along = (*range(side - 1, side - 9, -1), 7, *range(5, -1, -1))
    chosen = [i for i in range(15) if bits >> i & 1]
    return {(down[i], 8) for i in chosen} | {(8, along[i]) for i in chosen}


def _walk(side: int) -> list[tuple[int, int]]:
    """All modules in the order of the data: pairs of columns from the right, up and down in turn."""
    pairs = [*range(side - 1, 6, -2), 5, 3, 1]
    return [
        (side - 1 - i if turn % 2 == 0 else i, c)
        for turn, right in enumerate(pairs)
        for i in range(side)
        for c in (right, right - 1)
    ]


def _penalty(symbol: Symbol, side: int) -> int:
    """How hard a symbol is to read, by the four rules of the standard (7.8.3); the least is chosen."""
    line, full = side + QUIET, _full(side)
    score = 10 * int(abs(symbol[0].bit_count() * 20 / side**2 - 10))
    for dark in symbol:
        light = full ^ dark
        for x in (dark, light):
            five = x & x >> 1 & x >> 2 & x >> 3 & x >> 4
            score += five.bit_count() + 2 * (five & ~(five << 1)).bit_count()
        finder = dark & light >> 1 & dark >> 2 & dark >> 3 & dark >> 4 & light >> 5 & dark >> 6
        after = dark >> 7 | dark >> 8 | dark >> 9 | dark >> 10
        before = dark << 1 | dark << 2 | dark << 3 | dark << 4
        score += 40 * (finder & ~(before & after)).bit_count()
    for x in (symbol[0], full ^ symbol[0]):
        pair = x & x >> 1
        score += 3 * (pair & pair >> line).bit_count()
    return score


@lru_cache(maxsize=8)
def _full(side: int) -> int:
    return sum((1 << side) - 1 << row * (side + QUIET) for row in range(side))
