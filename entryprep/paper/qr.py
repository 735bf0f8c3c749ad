"""QR codes (ISO/IEC 18004) as rectangles, level M, by reportlab's encoder; the quiet zone is the caller's."""

from __future__ import annotations

from functools import lru_cache

from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

QUIET = 4
MOST_BYTES = 106  # version 6 at level M: larger symbols would need modules too small for a slip
MASK = 2


class _OneMask(QRCode):  # type: ignore[misc]
    """The encoder with a fixed mask: every mask can be read, and weighing all eight takes nine tenths of the time."""

    def getBestMaskPattern(self) -> int:  # noqa: N802 - reportlab's name
        return MASK


@lru_cache(maxsize=4096)
def qr_rows(content: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """Modules on a side without quiet zone, and the dark runs as (column, row, length), row 0 on top.

    Raises ValueError for more than 106 bytes of UTF-8.
    """
    data = content.encode()
    if len(data) > MOST_BYTES:
        raise ValueError(f"{len(data)} bytes are too many for this QR code: at most {MOST_BYTES}")
    code = _OneMask(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(data))
    code.make()
    runs = []
    for row, modules in enumerate(code.modules):
        column = 0
        while column < len(modules):
            length = 0
            while column + length < len(modules) and modules[column + length]:
                length += 1
            if length:
                runs.append((column, row, length))
            column += length or 1
    return int(code.moduleCount), tuple(runs)
