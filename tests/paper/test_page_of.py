"""The paper a season is printed on follows the brewer's country, unless another is asked for."""

from __future__ import annotations

import datetime as dt
import io

import pytest
from pypdf import PdfReader

from entryprep import Batch, Bottles, Brewer, Category, Competition, Entry, Season, draw_slips
from entryprep.paper.bundle import bundle, page_of
from entryprep.paper.placing import PAGES_PT

# territories whose paper is US Letter: CLDR, measurement data (paperSize), from memory; all others print on A4
LETTER = ("US", "CA", "MX", "PH", "CL", "CO", "VE")
A4 = ("GB", "DE", "AU", "NZ", "NO", "JP", "BR", "ZA")


def season(country: str | None) -> Season:
    cup = Competition(name="Harbour Cup", country="DE", categories=[Category(code="4", name="Ales")])
    beer = Batch(
        name="Night Ferry", style="American porter", measured={"og": 1.056, "fg": 1.014}, bottles=[Bottles(count=3)]
    )
    brewer = Brewer(name="Ines Okafor", country=country) if country else None
    return Season.build({"ferry": beer}, {"cup": cup}, [Entry(batch="ferry", competition="cup", category="4")], brewer)


def size(pdf: bytes) -> tuple[float, float]:
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    return float(box.width), float(box.height)


@pytest.mark.parametrize("country", [*LETTER, *A4, None])
def test_the_brewers_country_decides(country: str | None) -> None:
    wanted = "letter" if country in LETTER else "a4"
    assert page_of(season(country)) == wanted
    assert size(draw_slips(season(country), "cup")) == pytest.approx(PAGES_PT[wanted], abs=0.01)


def test_what_is_asked_for_outranks_the_country_on_every_paper() -> None:
    for page in ("letter", "a4"):
        made = bundle(season("CA"), (), dt.date(2027, 2, 20), page)
        pdfs = [content for name, content in made.files.items() if name.endswith(".pdf")]
        assert len(pdfs) >= 5
        for content in pdfs:
            assert size(content) == pytest.approx(PAGES_PT[page], abs=0.01)
