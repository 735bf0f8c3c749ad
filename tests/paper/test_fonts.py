"""Letters: the packaged font in regular and bold, another one for what it lacks, and files that are no font."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import reportlab

from entryprep.paper.fonts import BOLD, REGULAR, extra_font, missing_letters, pieces, printable, width_pt
from entryprep.paper.placing import PrintingError
from tests.paper.papers import packing_pdf, shipping_pdf
from tests.paper.readback import opened, plain
from tests.paper.samples import packing_plan, shipping, slip
from tests.paper.test_slips import drawn

FOLDER = Path(reportlab.__file__).parent / "fonts"
VERA = (FOLDER / "Vera.ttf", FOLDER / "VeraBd.ttf")  # a general-purpose font that reportlab brings along
LACKING = "≡∃"  # Vera has them, Fira Sans does not
SYSTEM = Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")


def embedded(pdf: bytes) -> dict[str, bool]:
    """Names of the fonts of the first page, without the subset's tag, and whether their outlines are in the file."""
    found = {}
    resources: Any = opened(pdf).pages[0]["/Resources"]
    for font in resources["/Font"].values():
        record = font.get_object()
        if "/FontDescriptor" in record:
            found[str(record["/BaseFont"]).partition("+")[2]] = "/FontFile2" in record["/FontDescriptor"]
    return found


def test_latin_greek_and_cyrillic_are_there_in_real_bold() -> None:
    text = "Łukasz Żółć Ångström Ėė Őő Ğğ ẞß Ðð Þþ Ωμέγα ΰώ Жигулёвское Єґ Љубав"
    assert missing_letters(text) == ""
    pdf = drawn([replace(slip(), style=text, declaration=text)])
    assert plain(pdf).count(text) == 2
    assert embedded(pdf) == {"FiraSans-Regular": True, "FiraSans-Bold": True}
    assert width_pt("Жига", BOLD, 10) > width_pt("Жига", REGULAR, 10)


def test_only_the_letters_used_are_embedded() -> None:
    few = len(drawn([slip()]))
    alphabet = "".join(map(chr, [*range(0xC0, 0x17F), *range(0x410, 0x450)]))
    assert len(drawn([replace(slip(), declaration=alphabet)])) > few + 5000
    assert few < 60_000


@pytest.fixture
def vera() -> Iterator[None]:
    with extra_font(VERA):
        yield


@pytest.mark.usefixtures("vera")
def test_another_font_steps_in_for_what_ours_lacks() -> None:
    assert missing_letters(f"{LACKING} 日") == "日"
    assert printable(f"a{LACKING}日") == f"a{LACKING}▯"
    regular = pieces("a≡b", REGULAR)
    assert [text for _, text in regular] == ["a", "≡", "b"]
    assert regular[0][0] == REGULAR == regular[2][0]
    assert pieces("≡", BOLD)[0][0] not in {REGULAR, BOLD, regular[1][0]}
    assert width_pt("a≡b", REGULAR, 10) == pytest.approx(
        width_pt("a", REGULAR, 10) + width_pt("≡", REGULAR, 10) + width_pt("b", REGULAR, 10)
    )


def test_what_is_printed_with_another_font_can_be_read_back() -> None:
    text = f"malt {LACKING} hops"
    entry = replace(slip(), style=text, declaration=text)
    with extra_font(VERA):
        pdf = drawn([entry])
        lists = (
            packing_pdf(replace(packing_plan(), competition=text), "a4", [text]),
            shipping_pdf(replace(shipping(), competition=text), "a4"),
        )
        assert drawn([entry]) == pdf
    assert plain(pdf).count(text) == 2
    assert all(text in plain(one) for one in lists)
    assert {"FiraSans-Regular", "BitstreamVeraSans-Roman"} <= set(embedded(pdf))
    assert "malt ▯▯ hops" in plain(drawn([entry])), "and afterwards all is as before"


def test_one_file_serves_regular_and_bold() -> None:
    with extra_font(VERA[:1]):
        assert pieces("≡", BOLD) == pieces("≡", REGULAR)


@pytest.mark.skipif(not SYSTEM.exists(), reason="DejaVu Sans, which has Hebrew and Arabic letters, is not installed")
def test_words_from_right_to_left_are_not_garbled() -> None:
    text = "שלום world"
    with extra_font([SYSTEM]):
        assert missing_letters(text) == ""
        assert "".join(piece for _, piece in pieces(text, REGULAR)) == "world םולש"
        said = plain(packing_pdf(replace(packing_plan(), competition=text), "a4", [text]))
        assert "world" in said
        assert "▯" not in said
        said = plain(drawn([replace(slip(), declaration=f"{text} " * 20)]))
        assert said.count("world") >= 20


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "it is no font"),
        (b"no font at all", "it is no font"),
        (b"\0\1\0\0" + b"\xff" * 400, "it is damaged"),
        (b"OTTO" + b"\0" * 400, "cannot be used"),
    ],
)
def test_a_file_that_is_no_font_is_one_clear_message(content: bytes, said: str, tmp_path: Path) -> None:
    path = tmp_path / "x.ttf"
    path.write_bytes(content)
    with pytest.raises(PrintingError, match=said) as refused, extra_font([path]):
        pass
    assert ".ttf" in refused.value.fix
    cut = tmp_path / "cut.ttf"
    cut.write_bytes(VERA[0].read_bytes()[:9000])
    with pytest.raises(PrintingError, match="it is damaged"), extra_font([cut]):
        pass


def test_a_font_that_is_not_there_or_a_folder(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "none.ttf", Path("a\0b")):
        with pytest.raises(PrintingError, match="cannot be"), extra_font([path]):
            pass
    assert missing_letters(LACKING) == LACKING
