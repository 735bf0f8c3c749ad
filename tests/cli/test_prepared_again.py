"""Preparing again: what is no longer made goes, what is not ours stays, one paper alone leaves the rest in peace."""

from __future__ import annotations

import json
from pathlib import Path

import pypdf
import pytest

from entryprep.entering.season import read_season
from tests.cli.test_commands import as_json, run
from tests.seasons import write_season

BREWER = "name: Ines Okafor\nemail: ines@example.org\ncountry: {country}\n"
BEER = """name: {name}
style: American porter
measured: {{og: 1.056, fg: 1.014, co2: 2.4}}
predicted: {{ibu: 32, srm: 32}}
bottles: [{{count: 12, type: longneck}}]
allergens: [barley]
"""
CUP = """name: {name}
dates: {{delivery: {{closes: 2027-03-06}}, judging: 2027-03-13}}
bottles: {{count: 2}}
categories: [{{code: P, name: Porters, styles: [American porter]}}]
"""
DAY = ("--today", "2027-02-10", "--despite-errors")


def entries(*lines: str) -> str:
    return "entries:\n" + "".join(f"  - {{{line}}}\n" for line in lines)


ENTRY = "batch: {batch}, competition: {cup}, category: P, way: {way}"
FERRY, BUOY = (
    ENTRY.format(batch="ferry", cup="harbour", way="carrier"),
    ENTRY.format(batch="buoy", cup="dune", way="hand"),
)


@pytest.fixture
def season(tmp_path: Path) -> Path:
    return write_season(
        tmp_path / "season",
        brewer=BREWER.format(country="CA"),
        batches__ferry=BEER.format(name="Night Ferry"),
        batches__buoy=BEER.format(name="Bell Buoy"),
        competitions__harbour=CUP.format(name="Harbour Cup"),
        competitions__dune=CUP.format(name="Dune Cup"),
        entries=entries(FERRY, BUOY),
    )


def made(season: Path) -> set[str]:
    every = (path for path in (season / "out").rglob("*") if path.is_file() and not path.name.startswith("."))
    return {path.relative_to(season / "out").as_posix() for path in every}


def test_papers_of_an_entry_that_is_withdrawn_go_with_it(season: Path) -> None:
    assert run("prepare", season, *DAY).exit_code in {0, 1}
    before = made(season)
    dune = {name for name in before if "dune" in name}
    assert {"slips-dune.pdf", "packing-dune.pdf", "shipping-dune-hand.pdf", "pages/packing-dune.html"} <= dune
    (season / "out" / "notes of mine.txt").write_text("keep")
    (season / "entries.yaml").write_text(entries(FERRY))
    assert run("prepare", season, *DAY).exit_code in {0, 1}
    assert made(season) == (before - dune) | {"notes of mine.txt"}
    listed = json.loads((season / "out" / "entries.json").read_text(encoding="utf-8"))["entries"]
    assert [row["beer"] for row in listed] == ["Night Ferry"]


def test_a_way_that_is_changed_leaves_no_old_checklist(season: Path) -> None:
    both = entries(FERRY, ENTRY.format(batch="buoy", cup="harbour", way="hand"))
    (season / "entries.yaml").write_text(both)
    run("prepare", season, *DAY)
    lists = {name for name in made(season) if name.startswith("shipping")}
    assert lists == {"shipping-harbour-carrier.pdf", "shipping-harbour-hand.pdf"}, "one for every way the entries go"
    (season / "entries.yaml").write_text(both.replace("carrier", "club"))
    run("prepare", season, *DAY)
    lists = {name for name in made(season) if name.startswith("shipping")}
    assert lists == {"shipping-harbour-club.pdf", "shipping-harbour-hand.pdf"}


def test_one_slip_is_printed_again_into_a_file_of_its_own(season: Path) -> None:
    as_json(run("labels", season, *DAY, "--json"))
    whole = {path.name: path.read_bytes() for path in (season / "out").glob("slips-*.pdf")}
    beer, first = next((e.batch_id, e) for e in read_season(season)[0].entered)
    args = ("--competition", first.competition_id, "--beer", beer, "--bottle", "2", "--start-at", "5", "--json")
    made = as_json(run("labels", season, *DAY, *args))
    (name,) = (Path(file).name for file in made["files"])
    assert name == f"slips-{first.competition_id}-{beer}-2.pdf"
    text = " ".join(pypdf.PdfReader(season / "out" / name).pages[0].extract_text().split())
    assert text.count("Bottle 2 of") == 1
    assert "Bottle 1 of" not in text
    for name, content in whole.items():
        assert (season / "out" / name).read_bytes() == content, "the others stay"
    assert run("labels", season, *DAY, "--beer", "nobody").exit_code == 2
    assert run("labels", season, *DAY, "--beer", beer, "--bottle", "99").exit_code == 2
    assert run("labels", season, *DAY, "--bottle", "1").exit_code == 2


def test_the_way_that_is_asked_for_outranks_the_entries(season: Path) -> None:
    asked = as_json(run("shipping", season, *DAY, "--way", "post", "--out", season / "else", "--json"))
    papers = [Path(name).name for name in asked["files"] if name.endswith(".pdf")]
    assert papers == ["shipping-harbour-post.pdf", "shipping-dune-post.pdf"]


def test_a_stale_paper_that_was_written_on_is_not_thrown_away(season: Path) -> None:
    run("prepare", season, *DAY)
    mine = season / "out" / "packing-dune.pdf"
    mine.write_bytes(mine.read_bytes() + b"% ticked")
    (season / "entries.yaml").write_text(entries(FERRY))
    run("prepare", season, *DAY)
    assert {name for name in made(season) if "dune" in name} == {"packing-dune.pdf"}


def test_one_competition_or_one_kind_of_paper_leaves_the_others(season: Path) -> None:
    run("prepare", season, *DAY)
    before = made(season)
    for command, cup in (("prepare", "harbour"), ("labels", ""), ("packing", ""), ("shipping", "dune")):
        chosen = ("--competition", cup) if cup else ()
        value = as_json(run(command, season, *chosen, *DAY, "--json"))
        assert made(season) == before
        names = {Path(name).name for name in value["files"]}
        other = {"harbour": "dune", "dune": "harbour", "": "none"}[cup]
        assert any(cup in name for name in names)
        assert not any(other in name for name in names)
        beers = {"harbour": ["Night Ferry"], "dune": ["Bell Buoy"], "": ["Night Ferry", "Bell Buoy"]}
        assert [row["beer"] for row in value["entries"]] == beers[cup]


@pytest.mark.parametrize(("country", "page"), [("CA", (612, 792)), ("NO", (595, 842))])
def test_paper_is_that_of_the_brewers_country(country: str, page: tuple[int, int], season: Path) -> None:
    from tests.paper.readback import opened

    (season / "brewer.yaml").write_text(BREWER.format(country=country))
    run("prepare", season, *DAY)
    pdfs = [path for path in (season / "out").iterdir() if path.suffix == ".pdf"]
    assert len(pdfs) >= 8
    for path in pdfs:
        box = opened(path.read_bytes()).pages[0].mediabox
        assert (round(box.width), round(box.height)) == page, path.name
    calibrated = as_json(run("labels", season, "--calibrate", "--json"))["files"]
    assert calibrated[0].endswith(f"calibration-{'a4' if country == 'NO' else 'letter'}-8.pdf")


# --- what cannot be prepared, and why --------------------------------------------------------------------------------


def test_nothing_entered_is_told_with_the_way_out(season: Path) -> None:
    (season / "entries.yaml").write_text("entries: []\n")
    refused = run("prepare", season, "--today", "2027-02-10")
    assert refused.exit_code == 2
    assert "add entries to entries.yaml" in refused.stderr
    assert not (season / "out").exists()


def test_entries_that_lead_nowhere_are_told_and_nothing_is_printed(season: Path) -> None:
    (season / "entries.yaml").write_text(entries(FERRY.replace("ferry", "fery")))
    refused = run("prepare", season, *DAY)
    assert refused.exit_code == 1
    text = " ".join(refused.stdout.split())
    assert "Did you mean ferry?" in text
    assert "Nothing was printed: entries.yaml names no entry that could be printed." in text
    assert "--despite-errors" not in text, "it would print nothing either"
    value = as_json(run("prepare", season, *DAY, "--json"))
    assert value["files"] == []
    assert any("Did you mean ferry?" in f["fix"] for f in value["findings"])


def test_a_competition_that_cannot_be_read_is_told_as_such_and_not_as_unknown(season: Path) -> None:
    (season / "competitions" / "dune.yaml").write_text("name: [oops\n")
    refused = run("check", season, "--competition", "dune")
    assert refused.exit_code == 2
    assert "competitions/dune.yaml:" in refused.stderr
    assert "there is no competition" not in refused.stderr
    unknown = run("check", season, "--competition", "dun")
    assert unknown.exit_code == 2
    assert "there is no competition dun in this season" in unknown.stderr
    assert "competitions known: harbour" in unknown.stderr


def test_a_season_of_which_nothing_can_be_read_is_unusable(tmp_path: Path) -> None:
    folder = write_season(tmp_path / "s", brewer="name: [\n")
    result = run("check", folder, "--today", "2027-02-10")
    assert result.exit_code == 2
    assert "brewer.yaml:" in result.stdout
    part = write_season(tmp_path / "t", brewer="name: Ines Okafor\n", batches__x="name: [\n")
    assert run("check", part, "--today", "2027-02-10").exit_code == 1


def test_start_names_what_it_laid_out_and_never_writes_over_anything(tmp_path: Path) -> None:
    value = as_json(run("start", tmp_path / "new", "--json"))
    there = {p.relative_to(tmp_path / "new").as_posix() for p in (tmp_path / "new").rglob("*") if p.is_file()}
    assert set(value["files"]) == there
    assert {"brewer.yaml", "entries.yaml"} <= there
    busy = tmp_path / "busy"
    busy.mkdir()
    (busy / "novel.txt").write_text("chapter one")
    for target, why, fix in (
        (busy, "not empty", "name a new folder"),
        (busy / "novel.txt", "is a file, and a folder is wanted", "name another folder"),
    ):
        refused = run("start", target)
        assert refused.exit_code == 2
        assert why in refused.stderr
        assert fix in refused.stderr
    assert (busy / "novel.txt").read_text() == "chapter one"
    assert [p.name for p in busy.iterdir()] == ["novel.txt"]
    (tmp_path / "empty").mkdir()
    assert run("start", tmp_path / "empty").exit_code == 0


def test_demo_tells_a_folder_it_cannot_use(tmp_path: Path) -> None:
    (tmp_path / "novel.txt").write_text("chapter one")
    refused = run("demo", tmp_path)
    assert refused.exit_code == 2
    assert "name a new folder" in refused.stderr
    paper = run("demo", tmp_path / "d", "--page", "a3")
    assert paper.exit_code == 2
    assert "use letter or a4" in paper.stderr
