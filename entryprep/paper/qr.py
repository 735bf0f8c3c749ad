"""QR codes (ISO/IEC 18004) as rectangles, level M, by reportlab's encoder; the quiet zone is the caller's.

For contents of one length and one mask the modules are sums (exclusive or) of a fixed pattern and one pattern for
each byte at each place: padding, error correction, placing and masking are all linear. So the encoder is asked once
for each byte at each place, and codes are added up from that; entry numbers share nearly all of their patterns.
"""

from __future__ import annotations

from functools import lru_cache

from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

QUIET = 4
MOST_BYTES = 106  # version 6 at level M: larger symbols would need modules too small for a slip
MASK = 2
ZERO = ord("0")

Runs = tuple[tuple[int, int, int], ...]


class _OneMask(QRCode):  # type: ignore[misc]
    """The encoder with a fixed mask: every mask can be read, and weighing all eight takes nine tenths of the time."""

    def getBestMaskPattern(self) -> int:  # noqa: N802 - reportlab's name
        return MASK


def _encoded(data: bytes) -> tuple[int, int]:
    """Modules on a side, and all modules row by row as the bits of one number, the first the highest."""
    code = _OneMask(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(data))
    code.make()
    bits = "".join("1" if module else "0" for row in code.modules for module in row)
    return int(code.moduleCount), int(bits, 2)


@lru_cache(maxsize=128)
def _zeros(length: int) -> tuple[int, int]:
    return _encoded(bytes([ZERO]) * length)


@lru_cache(maxsize=16384)
def _difference(length: int, place: int, byte: int) -> int:
    """What changes in a code of zeros when one byte is another."""
    data = bytearray([ZERO]) * length
    data[place] = byte
    return _encoded(bytes(data))[1] ^ _zeros(length)[1]


def _modules(content: str) -> tuple[int, int]:
    data = content.encode()
    if len(data) > MOST_BYTES:
        raise ValueError(f"{len(data)} bytes are too many for this QR code: at most {MOST_BYTES}")
    side, modules = _zeros(len(data))
    for place, byte in enumerate(data):
        if byte != ZERO:
            modules ^= _difference(len(data), place, byte)
    return side, modules


@lru_cache(maxsize=8192)
def _row_runs(row: int, side: int) -> tuple[tuple[int, int], ...]:
    """Dark runs of one row as (column, length)."""
    runs, column = [], 0
    for run in f"{row:0{side}b}".split("0"):
        if run:
            runs.append((column, len(run)))
        column += len(run) + 1
    return tuple(runs)


@lru_cache(maxsize=4096)
def qr_rows(content: str) -> tuple[int, Runs]:
    """Modules on a side without quiet zone, and the dark runs as (column, row, length), row 0 on top.

    Raises ValueError for more than 106 bytes of UTF-8.
    """
    side, modules = _modules(content)
    ones = (1 << side) - 1
    rows = (((modules >> (side * (side - 1 - row))) & ones, row) for row in range(side))
    return side, tuple((column, row, length) for bits, row in rows for column, length in _row_runs(bits, side))


def qr_side(content: str) -> int:
    """Modules on a side without quiet zone. Raises ValueError as ``qr_rows`` does."""
    return _modules(content)[0] if len(content.encode()) > MOST_BYTES else _zeros(len(content.encode()))[0]


@lru_cache(maxsize=32768)
def _row_path(row: int, up: int, side: int) -> str:
    """The dark runs of one row, ``up`` modules above the lower edge, as a PDF path; most codes of a print share it."""
    return "".join(f"{column} {up} {length} 1 re " for column, length in _row_runs(row, side))


def qr_path(content: str) -> tuple[int, str]:
    """Modules on a side, and the dark runs as one PDF path in modules, the lower left corner at 0 0."""
    side, modules = _modules(content)
    ones = (1 << side) - 1
    return side, "".join([_row_path((modules >> (side * up)) & ones, up, side) for up in range(side)])
