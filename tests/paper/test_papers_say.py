"""What stands in which column and on which paper: figures that would mislead if two of them changed places."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

from entryprep import Batch, Bottles, Brewer, Category, Competition, Entry, Season, check
from entryprep.beer.asking import fit
from entryprep.beer.ranking import Suggestion
from entryprep.findings import Finding, Severity
from entryprep.paper.bundle import bundle
from entryprep.paper.flowables import reason
from entryprep.paper.forest import ARROWS
from entryprep.paper.placing import MM, PAGES_PT, Placing
from entryprep.paper.slips import slips_pdf
from entryprep.paper.slipvalues import bottle_slips
from entryprep.tables.labelsheets import load_sheet
from entryprep.tables.sliplayouts import find_layout
from entryprep.tables.style import Style
from entryprep.vitals import Vitals
from tests.paper.papers import fit_sheets_pdf, packing_pdf
from tests.paper.readback import opened, plain, positions
from tests.paper.samples import finding, fit_sheet, many, packing_plan, porter


def test_a_fit_sheet_says_what_speaks_for_none_of_its_styles() -> None:
    sheet = fit_sheet()
    stout = Style(id="test-stout", name="Test stout", note="made for the tests", og=(1.060, 1.080), ibu=(35, 75))
    other = Suggestion(stout, 0.22, fit(sheet.vitals, stout), ())
    said = plain(fit_sheets_pdf([replace(sheet, suggestions=(sheet.suggestions[0], other))], "a4"))
    assert "none of these 5%" in said
    assert re.search(r"Test stout \d+ 22%", said)
    assert "Enter as Test porter" in said
    assert "61%" not in said, "what it is entered as is not told again among what else suits it"


def test_a_fit_sheet_explains_its_arrows_and_on_what_the_fit_stands() -> None:
    far = plain(fit_sheets_pdf([fit_sheet()], "a4"))  # 60 SRM against 22 to 35
    assert "fit, of 100 from all 6 vitals" in far
    assert ARROWS in far
    style = porter()
    vitals = Vitals(og=1.053, fg=1.012, srm=28)
    near = fit(vitals, style)
    said = plain(fit_sheets_pdf([replace(fit_sheet(), vitals=vitals, fit=near, shown=near, suggestions=())], "a4"))
    assert "fit, of 100 from 4 of 6 vitals" in said
    assert ARROWS not in said


def test_where_nothing_comes_near_the_next_one_is_named() -> None:
    sheet = fit_sheet()
    stout = Style(id="test-stout", name="Test stout", note="made for the tests", og=(1.060, 1.080), ibu=(35, 75))
    other = Suggestion(stout, 0.01, fit(sheet.vitals, stout), ())
    alone = replace(sheet, suggestions=(sheet.suggestions[0], other), none_share=0.0)
    assert "Nothing else comes near it; next is Test stout (share below 2%)." in plain(fit_sheets_pdf([alone], "a4"))


def test_a_reason_and_its_source_are_sentences() -> None:
    assert reason("It bursts. (common practice)") == "It bursts. Source: common practice."
    assert reason("It may (or not) burst. (27 CFR 25.206 (d))") == "It may (or not) burst. Source: 27 CFR 25.206 (d)."
    assert reason("nobody knows") == "nobody knows."


def test_what_must_not_be_sent_is_told_before_what_it_would_be() -> None:
    told = finding(Severity.ERROR)
    said = plain(fit_sheets_pdf([replace(fit_sheet((told,)), stops=(told.what,))], "a4"))
    assert "Do not send Otherwise it would be entered as Test porter. As declared" in said
    assert "Enter as" not in said


def test_stock_stands_before_what_remains() -> None:
    said = plain(packing_pdf(packing_plan(), "letter"))
    assert "In stock Remains" in said
    assert "1 × half-litre (500 ml) 14 11" in said
    assert "3 × half-litre (500 ml) 20 17" in said


def test_a_part_used_sheet_is_followed_by_whole_ones() -> None:
    """Seven slips from the seventh of eight places on: two on the first page, five on the second from its top left."""
    sheet = load_sheet("a4-8")
    pdf = slips_pdf(bottle_slips(many(7, 1)), find_layout("bottle"), Placing(sheet, 7), "slips")
    assert len(opened(pdf).pages) == 2
    height = PAGES_PT[sheet.page][1]

    def used(page: int) -> set[int]:
        places = set()
        for x, y in positions(pdf, page):
            column = int((x / MM - sheet.left) // sheet.step_x)
            row = int(((height - y) / MM - sheet.top) // sheet.step_y)
            places.add(row * sheet.columns + column + 1)
        return places

    assert used(0) == {7, 8}
    assert used(1) == {1, 2, 3, 4, 5}


def test_an_error_stands_on_the_papers_of_its_own_competition_only() -> None:
    def cup(name: str) -> Competition:
        return Competition(name=name, categories=[Category(code=name[0], name="Porters")])

    beer = Batch(
        name="Night Ferry", style="American porter", measured={"og": 1.056, "fg": 1.014}, bottles=[Bottles(count=9)]
    )
    entries = [Entry(batch="ferry", competition=name, category=name[0]) for name in ("harbour", "dune")]
    brewer = Brewer(name="Ines Okafor")
    season = Season.build({"ferry": beer}, {"harbour": cup("harbour"), "dune": cup("dune")}, entries, brewer)
    (first, second) = season.entered
    assert first.label != second.label
    own = Finding(
        "x", Severity.ERROR, "the way is not taken", file="entries.yaml", about=first.label, competitions=("harbour",)
    )
    both = Finding("y", Severity.ERROR, "the brewer has no name", file="brewer.yaml")
    made = bundle(season, [own, both], dt.date(2027, 2, 20))
    for name, content in made.files.items():
        if name.endswith(".pdf") and name != "fit-sheets.pdf":
            said = plain(content)
            if name.startswith(("slips-", "boxes-")):  # labels: they say how many errors, and not which
                assert ("DESPITE 2 ERRORS" if "harbour" in name else "DESPITE 1 ERROR") in said, name
                assert "the way is not taken" not in said
                continue
            assert "the brewer has no name" in said, name
            of_it = "harbour" in name or name == "season.pdf"  # which is of all competitions
            assert ("the way is not taken" in said) == of_it, name


def test_what_a_rule_finds_says_which_competitions_draw_it() -> None:
    """One batch entered in both cups under the same codes: what one cup forbids is no matter of the other."""
    limits = {"dune": {"same_batch_twice": True}, "harbour": {}}
    cups = {
        name: Competition(name=name, limits=own, categories=[Category(code=c, name="Porters") for c in "AB"])
        for name, own in limits.items()
    }
    beer = Batch(name="Night Ferry", style="no such beer", measured={"og": 1.056}, bottles=[Bottles(count=2)])
    entries = [Entry(batch="ferry", competition=name, category=code) for name in ("dune", "harbour") for code in "AB"]
    season = Season.build({"ferry": beer}, cups, entries, Brewer(name="Ines Okafor"))
    found = check(season, dt.date(2027, 2, 20))
    drawn = {each.rule: set(each.competitions) for each in found}
    assert drawn["batch-twice"] == {"harbour"}
    assert drawn["style-unknown"] == {"dune", "harbour"}
    again = check(season, dt.date(2027, 2, 20), "dune")
    assert {each.rule for each in found if "dune" in each.competitions} == {each.rule for each in again}
    made = bundle(season, found, dt.date(2027, 2, 20))
    twice = next(each.what for each in found if each.rule == "batch-twice")
    assert " ".join(twice.split()[:4]) in " ".join(plain(made.files["packing-harbour.pdf"]).split())
    assert " ".join(twice.split()[:4]) not in " ".join(plain(made.files["packing-dune.pdf"]).split())
