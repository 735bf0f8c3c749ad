"""What to enter a beer as has one answer: suggest, fit sheet, season page, web page, chart, plan and their JSON."""

from __future__ import annotations

import datetime as dt
import html
import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from entryprep import Season, check, load_styles, read_season
from entryprep.cli.app import app
from entryprep.entering.fitsheets import fit_sheets
from entryprep.entering.plan import FitSheet
from entryprep.entering.planning.chart import chart
from entryprep.entering.planning.planner import plan
from entryprep.findings import Finding
from entryprep.paper.bundle import bundle
from entryprep.records.batch import Batch
from entryprep.records.competition import Competition
from entryprep.records.entry import Entry
from tests.paper.readback import plain
from tests.vectors.special import special_beers

TABLE = load_styles()
DAY = dt.date(2027, 2, 20)
EACH = {
    "name": "Each",
    "categories": [{"code": f"C{i}", "name": s.name, "styles": [s.id]} for i, s in enumerate(TABLE)],
    "limits": {"per_category": 99},
}
ALL = {"name": "All", "categories": [{"code": "A", "name": "Beer", "styles": [s.id for s in TABLE]}]}
PLAIN = ("american-porter", "german-pils", "weissbier", "dry-stout")


def run(*args: str) -> Any:
    result = CliRunner().invoke(app, [*args, "--json"])
    assert result.exit_code in {0, 1}, result.output
    return json.loads(result.stdout)


def special_season(declared: str) -> Season:
    """The special beers, declared as nothing, rightly, as the plain style underneath, or as something else."""
    batches = {}
    for i, beer in enumerate(special_beers()):
        plainly = beer.batch.base or PLAIN[i % len(PLAIN)]
        style = {"nothing": None, "right": beer.right[0], "plain": plainly, "another": PLAIN[i % len(PLAIN)]}[declared]
        more = {"style": style, "name": f"Beer {i:02}", "bottles": [{"count": 24}]}
        batches[f"b{i}"] = Batch.model_validate({**beer.batch.model_dump(exclude_unset=True), **more})
    cups = {"each": Competition.model_validate(EACH), "all": Competition.model_validate(ALL)}
    return Season.build(batches, cups, [Entry(batch=name, competition="all", category="A") for name in batches])


def compare(season: Season, papers: bool = True) -> Iterator[tuple[FitSheet, Any]]:
    """The fit sheets, each with its beer, after every other door was found to say the same."""
    findings = check(season, DAY)
    sheets = fit_sheets(season, season.entered, findings)
    printed = _printed(season, findings) if papers else None
    by_beer = {
        (block.competition_id, row.batch_id): [cell for cell in row.cells if cell.best]
        for block in chart(season).blocks
        for row in block.rows
    }
    planned = {(x.batch_id, x.competition_id): x for x in plan(season, DAY).chosen}
    told_on_page = Counter[str]()
    for sheet in sheets:
        first = next(e for e in season.entered if e.batch_id == sheet.batch_id)
        beer = season.beer(sheet.batch_id, first)
        assert beer is not None
        answer = beer.placement
        assert sheet.enter_as == answer.named
        for found in findings:
            if found.rule == "style-better-elsewhere" and found.about == sheet.batch_id:
                assert found.fix.startswith(f"declare it as {answer.named}, "), sheet.batch_name
        said = f"as {answer.named}" if answer.style else "none of the styles"
        told_on_page[said] += 1
        if printed is not None:
            told = f"Enter {said}" if answer.style else "Most likely none of the styles"
            if sheet.stops:  # what must not be sent is not invited
                told = f"Do not send Otherwise it would be entered as {answer.named}."
            assert f"{sheet.batch_name} {told}" in printed["fits"]
            name = re.escape(sheet.batch_name)
            assert re.search(f">{name}</b> <span>{re.escape(said)}</span>", printed["web"]), sheet.batch_name
        for competition_id in season.competitions:
            own = season.beer(sheet.batch_id)
            assert own is not None
            if season.competitions[competition_id].routing or first.entry.style or first.entry.base:
                continue
            cells = by_beer[competition_id, sheet.batch_id]
            takers = {style for cell in cells for style in [cell.style]}
            x = planned.get((sheet.batch_id, competition_id))
            if competition_id in {"each", "all"} and answer.style is not None:
                assert takers == {answer.style.id}, sheet.batch_name
                assert x is None or x.style == answer.style.name, sheet.batch_name
            if x is not None and not x.rather:
                assert [cell.category for cell in cells] == [x.category]
        if answer.declared and sheet.fit is not None:
            assert sheet.shown is sheet.fit
        findings_ids = {finding.rule for finding in sheet.findings}
        if "style-better-elsewhere" in findings_ids:
            assert not answer.declared
        yield sheet, beer
    # a row of the season page may be read back in another order than it is printed
    if printed is not None:
        assert all(printed["season"].count(said) >= count for said, count in told_on_page.items())


def _printed(season: Season, findings: Sequence[Finding]) -> dict[str, str]:
    made = bundle(season, findings, DAY, page="a4", parts=("season", "fit", "index")).files
    papers = {"season": plain(made["season.pdf"]), "fits": plain(made["fit-sheets.pdf"])}
    return {**papers, "web": html.unescape(made["index.html"].decode())}


@pytest.mark.parametrize("declared", ["nothing", "right", "plain", "another"])
def test_special_beers_have_one_place_by_every_door(declared: str) -> None:
    season = special_season(declared)
    kept = [beer.placement.declared for _, beer in compare(season, papers=declared == "another")]
    assert len(kept) == len(season.batches)
    if declared == "nothing":
        assert not any(kept)
    elif declared == "right":  # a style that is right for a beer is not talked out of it
        assert sum(kept) >= 0.95 * len(kept)
    elif declared == "another":
        assert sum(kept) <= 0.25 * len(kept)


def test_the_demo_season_has_one_place_for_each_beer_by_every_door(tmp_path: Path) -> None:
    folder = tmp_path / "season"
    run("demo", str(folder), "--page", "a4")
    season, _ = read_season(folder)
    for sheet, beer in compare(season):
        first = next(e for e in season.entered if e.batch_id == sheet.batch_id)
        if first.entry.style or first.entry.base or first.competition.routing:
            continue
        (file,) = (folder / "batches").glob(f"{sheet.batch_id}.y*ml")
        check_placement(run("suggest", str(file))["placement"], beer)
        text = " ".join(CliRunner().invoke(app, ["suggest", str(file)]).stdout.split())
        before, found, _ = text.partition(f"{beer.name}: {beer.placement.line}")
        assert found
        assert before.startswith("STOP: ") == bool(before) == bool(sheet.stops)


def check_placement(found: Mapping[str, Any], beer: Any) -> None:
    answer = beer.placement
    assert found["style"] == (answer.style.id if answer.style else None)
    assert found["share"] == pytest.approx(answer.share, abs=1e-6)
    assert found["declared"] == answer.declared
    assert found["tied"] == answer.tied
