"""Everything printed for the demo season: the same bytes each time, and nothing said that must not be."""

from __future__ import annotations

import datetime as dt
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from entryprep import Season, read_season
from entryprep.cli.app import app
from entryprep.entering.bottles import needed
from entryprep.entering.check import check
from entryprep.findings import Finding, Severity
from entryprep.paper.bundle import PAGES, Bundle, bundle
from entryprep.tables.shipped import shipped_file, shipped_tree
from tests.paper.readback import plain, positions
from tests.vectors.faults import load, season_with

DAY = dt.date(2027, 2, 20)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> tuple[Season, list[Finding]]:
    folder = tmp_path_factory.mktemp("season")
    for name in shipped_tree("templates/demo"):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(shipped_file(f"templates/demo/{name}"))
    season, problems = read_season(Path(folder))
    return season, [*problems, *check(season, DAY)]


@pytest.fixture(scope="module")
def made(demo: tuple[Season, list[Finding]]) -> Bundle:
    return bundle(*demo, DAY)


def text_of(content: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


def test_same_input_same_bytes(demo: tuple[Season, list[Finding]], made: Bundle) -> None:
    assert bundle(*demo, DAY).files == made.files


def test_papers_name_a_beer_as_its_brewer_does(made: Bundle) -> None:
    for name in ("errors-saltmarsh-open.pdf", "packing-saltmarsh-open.pdf", "shipping-saltmarsh-open-drop-off.pdf"):
        said = plain(made.files[name])
        assert "Copper Lantern: original gravity" in said, name
        assert "copper-lantern:" not in said, name


def test_what_there_is(made: Bundle) -> None:
    papers = [name for name in made.files if not name.startswith(PAGES)]  # their equals as pages: test_equal.py
    assert papers[0] == "season.pdf", "the first sheet of all"
    assert set(papers) == {
        "season.pdf",
        "slips-saltmarsh-open.pdf",
        "slips-blind-heron.pdf",
        "boxes-saltmarsh-open.pdf",
        "boxes-blind-heron.pdf",
        "errors-saltmarsh-open.pdf",
        "errors-blind-heron.pdf",
        "packing-saltmarsh-open.pdf",
        "packing-blind-heron.pdf",
        "shipping-saltmarsh-open-drop-off.pdf",
        "shipping-blind-heron-drop-off.pdf",
        "fit-sheets.pdf",
        "entries.csv",
        "entries.json",
        "index.html",
    }
    assert len(json.loads(made.files["entries.json"])["entries"]) == 10


@pytest.mark.parametrize(("page", "size"), [("letter", (612.0, 792.0)), ("a4", (595.28, 841.89))])
def test_paper_size(page: str, size: tuple[float, float], demo: tuple[Season, list[Finding]]) -> None:
    # US Letter 8.5 × 11 in; ISO 216 A4 210 × 297 mm
    files = bundle(*demo, DAY, page=page).files
    for name, content in files.items():
        if name.endswith(".pdf"):
            for sheet in PdfReader(io.BytesIO(content)).pages:
                assert (float(sheet.mediabox.width), float(sheet.mediabox.height)) == pytest.approx(size, abs=0.01)


def test_every_bottle_of_every_entry_has_one_slip(demo: tuple[Season, list[Finding]], made: Bundle) -> None:
    season, _ = demo
    for name in season.competitions:
        text = text_of(made.files[f"slips-{name}.pdf"])
        entered = [e for e in season.entered if e.competition_id == name]
        count = season.competitions[name].bottles.count
        for bottle in range(1, count + 1):
            assert text.count(f"Bottle {bottle} of {count}") == len(entered)
        for entry in entered:
            assert text.count(entry.code) == count


def test_a_blind_competitions_slips_name_nobody(demo: tuple[Season, list[Finding]], made: Bundle) -> None:
    season, _ = demo
    reader = PdfReader(io.BytesIO(made.files["slips-blind-heron.pdf"]))
    slips = "\n".join(page.extract_text() for page in reader.pages)
    brewer = season.brewer
    assert brewer is not None
    names = [brewer.name, *brewer.co_brewers, brewer.club, brewer.brewery, brewer.email, *brewer.address]
    names += [e.batch.name for e in season.entered]
    for name in names:
        assert name
        assert name not in slips


def test_anonymous_slips_printed_despite_errors_name_nobody_on_any_page(demo: tuple[Season, list[Finding]]) -> None:
    season, brewer = demo[0], demo[0].brewer
    assert brewer is not None
    naming = f"{brewer.name}; {brewer.co_brewers[0].split()[0]}'s; {brewer.club}; {brewer.email}; {brewer.brewery}"
    batches = {
        name: batch.model_copy(update={"declaration": f"plums; {naming}; {batch.name}"})
        for name, batch in season.batches.items()
    }
    entered = [replace(e, batch=batches[e.batch_id]) for e in season.entered]
    naming_season = replace(season, batches=batches, entered=entered)
    found = check(naming_season, DAY)
    assert sum(f.rule == "declaration-names-someone" for f in found) >= 5 * len(entered)
    reader = PdfReader(io.BytesIO(bundle(naming_season, found, DAY, parts=("slips",)).files["slips-blind-heron.pdf"]))
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    said = f"{text} {reader.metadata} {[item.title for item in reader.outline]}"  # type: ignore[union-attr]
    assert "■■■" in text
    assert text.count("PRINTED DESPITE") == text.count("Bottle ") > 0
    words = [word for line in (brewer.name, *brewer.co_brewers, brewer.club or "") for word in line.split()]
    for word in (*words, "example.org", *batches, *(batch.name for batch in batches.values())):
        assert not re.search(rf"\b{re.escape(word)}\b", said, re.IGNORECASE), word


def test_errors_stand_on_every_paper_they_concern(made: Bundle) -> None:
    for name, content in made.files.items():
        if name.endswith(".pdf") and name != "fit-sheets.pdf":
            assert "printed despite" in text_of(content).lower(), name
    assert "ERROR: " in text_of(made.files["fit-sheets.pdf"])


def test_each_slip_tells_of_the_errors_of_its_own_beer(demo: tuple[Season, list[Finding]], made: Bundle) -> None:
    season, found = demo
    told = []
    for entered in season.entered:
        if entered.competition_id == "saltmarsh-open":
            own = {entered.batch_id, entered.label}
            count = sum(f.severity is Severity.ERROR and f.about in own for f in found)
            told += [f"PRINTED DESPITE {count} ERROR{'S' * (count != 1)}"] * needed(entered) if count else []
    text = " ".join(text_of(made.files["slips-saltmarsh-open.pdf"]).split())
    assert sorted(re.findall(r"PRINTED DESPITE \d+ ERRORS?", text)) == sorted(told) != []


def test_no_legal_advice(made: Bundle) -> None:
    assert "This is not legal advice" in " ".join(text_of(made.files["shipping-blind-heron-drop-off.pdf"]).split())


def test_names_with_all_their_letters(made: Bundle) -> None:
    text = text_of(made.files["fit-sheets.pdf"])
    for name in ("Løvfall", "Żurawina nr 3", "Élan d’Été"):
        assert name in text
    assert "Małgorzata Bjørnsen" in text_of(made.files["slips-saltmarsh-open.pdf"])


def test_no_page_is_under_a_third_filled(made: Bundle) -> None:
    """But sheets of slips and box labels, which are as long as there are bottles and boxes."""
    for name, content in made.files.items():
        if name.endswith(".pdf") and not name.startswith(("slips-", "boxes-")):
            for number, page in enumerate(PdfReader(io.BytesIO(content)).pages):
                foot = 60  # where the foot of a page stands
                lowest = min(y for _, y in positions(content, number) if y > foot)
                assert 1 - lowest / float(page.mediabox.height) > 1 / 3, (name, number + 1)


def test_fit_sheets_are_one_page_a_beer(demo: tuple[Season, list[Finding]], made: Bundle) -> None:
    season, _ = demo
    pages = PdfReader(io.BytesIO(made.files["fit-sheets.pdf"])).pages
    assert len(pages) == len({e.batch_id for e in season.entered})


def test_pdfs_say_what_they_are(made: Bundle) -> None:
    for name, content in made.files.items():
        if name.endswith(".pdf"):
            reader = PdfReader(io.BytesIO(content))
            assert reader.metadata is not None
            assert reader.metadata.title
            assert str(reader.root_object["/Lang"]) == "en"


def test_the_page_for_a_screen_leads_to_every_paper_and_names_no_brewer(
    demo: tuple[Season, list[Finding]], made: Bundle
) -> None:
    season, _ = demo
    text = made.files["index.html"].decode()
    links = set(re.findall(r'href="([^#"]+)"', text))
    assert links == set(made.files) - {"index.html"}
    brewer = season.brewer
    assert brewer is not None
    for word in (brewer.name, *brewer.co_brewers, brewer.email, brewer.club):
        assert word
        assert word not in text
    assert text.count('class="beer"') == len({e.batch_id for e in season.entered})


def test_only_prepare_makes_the_page(demo: tuple[Season, list[Finding]]) -> None:
    made = bundle(*demo, DAY, parts=("slips",)).files
    assert {name.partition("-")[0] for name in made} == {"slips", "errors", f"{PAGES}/slips", f"{PAGES}/errors"}
    assert {"slips-saltmarsh-open.pdf", "slips-blind-heron.pdf"} < set(made)


def test_findings_of_one_competition_stay_off_the_papers_of_another(tmp_path: Path) -> None:
    # both take the batch in a category of one code, and only one of them refuses the way
    vector = load()
    row = {
        "id": "way",
        "where": "papers",
        "about": "tern",
        "patch": {"entries": {"entries.1.way": "carrier"}},
        "rule": [],
    }
    season = season_with(row, vector["season"], tmp_path)
    out = tmp_path / "out"
    run = CliRunner().invoke(
        app, ["prepare", str(season), "--despite-errors", "--today", "2027-03-01", "--out", str(out)]
    )
    assert run.exit_code == 1, run.output
    said = {
        path.name: " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())
        for path in out.glob("packing-*.pdf")
    }
    refusal = "does not accept delivery by carrier"
    assert refusal in said["packing-alder-slough.pdf"]
    assert refusal not in said["packing-lough-carra.pdf"]
