"""QR codes (ISO/IEC 18004) as rectangles: level M, quiet zone of 4 modules left free by the caller's box."""

from __future__ import annotations

from functools import lru_cache

from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel

QUIET = 4


@lru_cache(maxsize=4096)
def qr_rows(content: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """Modules on a side without quiet zone, and the dark runs as (column, row, length), row 0 on top."""
    code = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(content)
    code.make()
    side = int(code.moduleCount)
    runs = []
    for row in range(side):
        column = 0
        while column < side:
            length = 0
            while column + length < side and code.isDark(row, column + length):
                length += 1
            if length:
                runs.append((column, row, length))
            column += length or 1
    return side, tuple(runs)
