"""QR codes are read back by an independent decoder (zxing-cpp) and have the size the standard gives them."""

from __future__ import annotations

import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from reportlab.graphics.barcode.qrencoder import QR8bitByte, QRCode, QRErrorCorrectLevel

from entryprep.paper.qr import MASK, MOST_BYTES, QUIET, qr_rows, qr_side

SCALE = 6


def picture(content: str) -> Image.Image:
    side, runs = qr_rows(content)
    full = (side + 2 * QUIET) * SCALE
    image = Image.new("L", (full, full), 255)
    for column, row, length in runs:
        x, y = (QUIET + column) * SCALE, (QUIET + row) * SCALE
        image.paste(0, (x, y, x + length * SCALE, y + SCALE))
    return image


@pytest.mark.parametrize(
    "content", ["1609", "9B75DA34", "A-123456789-XYZ", "6/9", "81", "ŁØ-17", "x", "0417K7Q2M" * 5, "y" * 106]
)
def test_an_independent_decoder_reads_it(content: str) -> None:
    (read,) = zxingcpp.read_barcodes(picture(content))
    assert read.text == content
    assert read.format == zxingcpp.BarcodeFormat.QRCode


def test_every_number_of_a_large_competition_is_read() -> None:
    for number in range(1000, 1550, 11):
        (read,) = zxingcpp.read_barcodes(picture(str(number)))
        assert read.text == str(number)


@pytest.mark.parametrize(("length", "side"), [(14, 21), (15, 25), (26, 25), (42, 29), (62, 33), (84, 37), (106, 41)])
def test_sides_follow_the_capacity_at_level_m(length: int, side: int) -> None:
    """Capacities in bytes at level M by version: ISO/IEC 18004, table 7, from memory."""
    assert qr_rows("z" * length)[0] == side


def test_too_much_is_refused() -> None:
    with pytest.raises(ValueError, match="too many"):
        qr_rows("z" * 107)


@settings(deadline=None, max_examples=40)
@given(st.text(min_size=1, max_size=40).filter(lambda text: 0 < len(text.encode("utf-8", "replace")) <= MOST_BYTES))
def test_a_code_that_is_added_up_is_the_encoders_own(content: str) -> None:
    """Adding up patterns must give what reportlab's encoder gives for the whole content with the same mask."""

    class OneMask(QRCode):  # type: ignore[misc]
        def getBestMaskPattern(self) -> int:  # noqa: N802 - reportlab's name
            return MASK

    code = OneMask(None, QRErrorCorrectLevel.M)
    code.addData(QR8bitByte(content.encode("utf-8", "replace")))
    code.make()
    side, runs = qr_rows(content.encode("utf-8", "replace").decode())
    dark = {(column + step, row) for column, row, length in runs for step in range(length)}
    assert side == code.moduleCount == qr_side(content.encode("utf-8", "replace").decode())
    assert dark == {(c, r) for r, row in enumerate(code.modules) for c, module in enumerate(row) if module}
