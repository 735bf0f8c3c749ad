from __future__ import annotations

import pytest
from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

from entryprep.paper.qr import qr_rows


def drawn(content: str) -> list[list[bool]]:
    side, runs = qr_rows(content)
    modules = [[False] * side for _ in range(side)]
    for column, row, length in runs:
        for place in range(column, column + length):
            assert not modules[row][place], "runs overlap"
            modules[row][place] = True
    return modules


def by_another_encoder(content: str) -> list[list[list[bool]]]:
    """The symbol with each of the eight masks, by the encoder that comes with reportlab."""
    found = []
    for mask in range(8):
        code = QRCode(None, QRErrorCorrectLevel.M)
        code.addData(QR8bitByte(content.encode()))
        code.version = code.calculate_version()
        code.makeImpl(False, mask)
        found.append([[bool(dark) for dark in row] for row in code.modules])
    return found


@pytest.mark.parametrize("length", [1, 8, 14, 15, 26, 27, 42, 43, 62, 63, 84, 85, 106])
def test_the_symbol_is_the_one_another_encoder_makes(length: int) -> None:
    content = ("0417K7Q2M-ŁØ" * 10).encode()[:length].decode(errors="ignore").ljust(length, "x")
    content = content.encode()[:length].decode(errors="ignore")
    assert drawn(content) in by_another_encoder(content)


@pytest.mark.parametrize(("length", "side"), [(14, 21), (15, 25), (26, 25), (42, 29), (62, 33), (84, 37), (106, 41)])
def test_sides_follow_the_capacity_at_level_m(length: int, side: int) -> None:
    """Capacities in bytes at level M by version: ISO/IEC 18004, table 7, from memory."""
    assert qr_rows("A" * length)[0] == side


def test_neighbouring_runs_are_merged() -> None:
    side, runs = qr_rows("0417")
    assert side == 21
    assert len(set(runs)) == len(runs)
    assert not {(column + length, row) for column, row, length in runs} & {(column, row) for column, row, _ in runs}


def test_too_long_is_refused() -> None:
    with pytest.raises(ValueError, match="at most 106"):
        qr_rows("Ø" * 54)
