"""What a check says and where it points; that names are told from ordinary words; that it stays quick."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from entryprep.beer import leaning
from entryprep.beer.ranking import Ranking, rank_styles
from entryprep.entering.bottles import allocate
from entryprep.entering.check import check
from entryprep.entering.season import Season, read_season
from entryprep.entering.subjects import said_of, subject_of
from entryprep.findings import Finding, Severity, ordered
from tests.seasons import write_season

TODAY = dt.date(2027, 2, 10)
CUP = """\
name: Marram Cup
dates: {judging: 2027-03-13}
bottles: {count: 2, size: [300 ml, 500 ml]}
categories:
  - {code: A, name: Ambers, styles: [Vienna lager]}
  - {code: B, name: Dark lagers of the coast}
"""
ENTRIES = "entries:\n  - {batch: beer, competition: cup, category: A}\n"


def read(folder: Path, **files: str) -> Season:
    """A season from file texts, read; ``batches__x`` is batches/x.yaml."""
    write_season(folder, **files)
    season, problems = read_season(folder)
    assert problems == []
    return season


def found(season: Season, rule: str, competition: str | None = None) -> list[Finding]:
    return [f for f in check(season, TODAY, competition) if f.rule == rule]


def test_a_miss_points_to_the_value_and_says_how_much(tmp_path: Path) -> None:
    beer = "name: X\nstyle: ordinary bitter\nmeasured:\n  og: 1.053\n  fg: 1.010\nallergens: [barley]\n"
    season = read(tmp_path, batches__beer=beer)
    og, abv = found(season, "style-out-of-range")
    assert og.where == abv.where == "batches/beer.yaml:4:7"
    assert og.path == "measured.og"
    style = season.table.find("ordinary bitter")
    assert og.what == (
        f"original gravity 1.053 is {1.053 - style.ranges['og'].high:.3f} over the range of Ordinary Bitter "
        f"({style.ranges['og'].low:.3f} to {style.ranges['og'].high:.3f}), "
        f"{(1.053 - style.ranges['og'].high) / 0.001:.1f} times the standard error of a hydrometer"
    )
    assert abv.what.startswith("strength ")
    assert og.severity is Severity.WARNING, "a beer that is not entered stops nothing"


def test_a_gravity_between_two_thousandths_keeps_its_fourth_decimal(tmp_path: Path) -> None:
    season = read(tmp_path, batches__beer="name: X\nstyle: irish stout\nmeasured: {og: 1.040, fg: 1.0125}\n")
    (finding,) = found(season, "style-out-of-range")
    assert "final gravity 1.0125 is 0.0015 over" in finding.what


def test_candidates_of_an_ambiguous_style_stand_by_their_fit(tmp_path: Path) -> None:
    beer = "name: X\nstyle: dark lager\nmeasured: {og: 1.051, fg: 1.013}\npredicted: {ibu: 26, srm: 21}\n"
    (finding,) = found(read(tmp_path, batches__beer=beer), "style-ambiguous")
    assert finding.where == "batches/beer.yaml:2:8"
    scores = [int(piece.split()[0]) for piece in finding.what.split("(fit ")[1:]]
    assert len(scores) >= 2
    assert scores == sorted(scores, reverse=True)
    (bare,) = found(read(tmp_path / "2", batches__beer="name: X\nstyle: dark lager\n"), "style-ambiguous")
    assert "fit" not in bare.what
    assert "Schwarzbier" in bare.what


def test_what_is_missing_points_to_who_wants_it(tmp_path: Path) -> None:
    season = read(
        tmp_path,
        batches__beer="name: X\nstyle: fruit beer\n",
        competitions__cup=CUP.replace("styles: [Vienna lager]", "styles: [fruit beer], declare: [strength]"),
        entries=ENTRIES,
    )
    said = {f.what: f.where for f in found(season, "declaration-missing")}
    assert said == {
        "Fruit Beer wants base declared, and the records do not say it": "batches/beer.yaml:2:8",
        "Fruit Beer wants fruit declared, and the records do not say it": "batches/beer.yaml:2:8",
        "category A wants strength declared, and the records do not say it": "entries.yaml:2:47",
    }


def test_the_entry_outranks_the_batch_and_is_pointed_at(tmp_path: Path) -> None:
    season = read(
        tmp_path,
        batches__beer="name: X\nstyle: Vienna lager\ndeclaration: short\n",
        competitions__cup=CUP,
        entries="entries:\n  - batch: beer\n    competition: cup\n    category: A\n    style: umbra nova\n"
        f"    declaration: {'x' * 120}\n",
    )
    assert [f.where for f in found(season, "style-unknown")] == ["entries.yaml:5:12"]
    assert [f.where for f in found(season, "declaration-too-long")] == ["entries.yaml:6:18"]


def test_bottles_name_what_is_wrong_and_what_is_wanted(tmp_path: Path) -> None:
    beer = "name: X\nstyle: Vienna lager\nbottles:\n  - {count: 9, type: nip}\n  - {count: 1, type: longneck}\n"
    season = read(tmp_path, batches__beer=beer, competitions__cup=CUP, entries=ENTRIES)
    (finding,) = found(season, "bottle-size")
    assert finding.where.startswith("batches/beer.yaml:4:")
    assert finding.what == "bottles of 207 ml do not meet the rules; Marram Cup: 300 to 500 ml is taken"
    assert "2 are needed, 1 of those that may be sent are left" in finding.fix
    assert found(season, "bottles-too-few") == []


def test_stock_is_shared_with_competitions_that_are_not_looked_at(tmp_path: Path) -> None:
    season = read(
        tmp_path,
        batches__beer="name: X\nstyle: Vienna lager\nbottles: [{count: 3, type: longneck}]\n",
        competitions__cup=CUP,
        competitions__first=CUP.replace("Marram Cup", "First Cup"),
        entries="entries:\n  - {batch: beer, competition: first, category: A}\n"
        "  - {batch: beer, competition: cup, category: A}\n",
    )
    assert found(season, "bottles-too-few", "first") == []
    (finding,) = found(season, "bottles-too-few", "cup")
    assert "2 bottles are needed, 1 of those" in finding.what
    assert "beer in A" in finding.fix


def test_one_competition_leaves_other_files_alone(tmp_path: Path) -> None:
    season = read(
        tmp_path,
        batches__beer="name: X\nstyle: Vienna lager\n",
        batches__other="name: Y\nstyle: umbra nova\n",
        competitions__cup=CUP,
        competitions__far=CUP.replace("Vienna lager", "umbra nova"),
        entries=ENTRIES,
    )
    everything, one = check(season, TODAY), check(season, TODAY, "cup")
    assert {f.file for f in one} == {"batches/beer.yaml", "entries.yaml"}
    assert {f.file for f in everything} > {f.file for f in one}
    assert set(one) <= set(everything)
    with pytest.raises(KeyError):
        check(season, TODAY, "nowhere")


def test_findings_are_ordered_and_the_same_each_time(tmp_path: Path) -> None:
    season = read(
        tmp_path, batches__beer="name: X\nstyle: fruit beer\n", competitions__cup=CUP, entries=ENTRIES + ENTRIES[9:]
    )
    first = check(season, TODAY)
    assert first == ordered(first) == check(season, TODAY)
    assert len(set(first)) == len(first)


def test_a_finding_is_about_the_beer_the_competition_or_else_the_file(tmp_path: Path) -> None:
    beer, other = "name: Turnstone\nstyle: Vienna lager\n", "name: Dunlin\nstyle: Vienna lager\n"
    season = read(
        tmp_path,
        batches__beer=beer,
        batches__other=other,
        competitions__cup=CUP,
        entries=f"{ENTRIES}  - {{batch: other, competition: cup, category: A}}\n",
    )

    def about(file: str, path: str = "", about: str = "") -> str:
        return subject_of(season, Finding("odd", Severity.NOTE, "is odd", file=file, path=path, about=about))

    assert about("entries.yaml", "entries[1].way") == "Turnstone"
    assert about("entries.yaml", "entries[2]") == about("entries.yaml", "entries[2].declare[1]") == "Dunlin"
    assert about("entries.yaml", "entries", "cup") == "Marram Cup"
    assert about("batches/other.yaml", "style") == "Dunlin"
    assert about("competitions/cup.yaml") == "Marram Cup"
    for file, path in [("entries.yaml", "entries"), ("entries.yaml", "entries[7]"), ("brewer.yaml", "")]:
        assert about(file, path) == file
    assert about("batches/cup.yaml") == "batches/cup.yaml"
    told = Finding("odd", Severity.NOTE, "is odd", file="batches/other.yaml", line=3, column=1)
    assert said_of(season, told) == "Dunlin: is odd"
    assert said_of(season, replace(told, file="brewer.yaml")) == "brewer.yaml:3:1: is odd"


def test_a_competition_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(KeyError, match="mayflower"):
        check(read(tmp_path, competitions__cup=CUP), TODAY, "mayflower")


def test_a_finding_as_plain_values_says_all_that_it_holds() -> None:
    told = Finding("odd", Severity.NOTE, "is odd", "it matters", "mend it", "a.yaml", 3, 5, "x.y", "dunlin", ("cup",))
    assert told.as_json() == {
        "rule": "odd",
        "severity": "note",
        "about": "dunlin",
        "file": "a.yaml",
        "line": 3,
        "column": 5,
        "path": "x.y",
        "what": "is odd",
        "why": "it matters",
        "fix": "mend it",
    }


def test_an_empty_season_and_records_of_the_least(tmp_path: Path) -> None:
    assert check(read(tmp_path, brewer="name: Ann Fairwater\n"), TODAY) == []
    season = read(tmp_path / "2", batches__x="name: X\n", competitions__cup=CUP, entries=ENTRIES.replace("beer", "x"))
    assert {f.rule for f in check(season, TODAY)} == {
        "allergens-not-stated",
        "bottles-too-few",
        "entry-number-missing",
        "style-missing",
    }


def test_a_bottle_type_that_is_not_known_is_left_to_the_reader(tmp_path: Path) -> None:
    (tmp_path / "batches").mkdir()
    text = "name: X\nmeasured: {co2: 5}\nbottles: [{count: 3, type: nowhere}]\n"
    (tmp_path / "batches" / "beer.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "competitions").mkdir()
    (tmp_path / "competitions" / "cup.yaml").write_text(CUP, encoding="utf-8")
    (tmp_path / "entries.yaml").write_text(ENTRIES, encoding="utf-8")
    season, problems = read_season(tmp_path)
    assert len(problems) == 1
    rules = {f.rule for f in check(season, TODAY)}
    assert "bottles-too-few" in rules
    assert "over-carbonated" not in rules


def test_pressure_is_that_of_the_chart(tmp_path: Path) -> None:
    """3.5 volumes: 3.0 bar at 20 °C by the brewers' chart, 5.8 bar at 40 °C by Henry's law in water (from memory)."""
    beer = "name: X\nmeasured: {co2: 3.5}\nbottles: [{count: 3, type: longneck}, {count: 2, type: heavy-330}]\n"
    (finding,) = found(read(tmp_path, batches__beer=beer), "over-carbonated")
    assert "3.0 bar over air pressure at 20 °C and 5.8 bar" in " ".join(finding.what.split())
    assert finding.severity is Severity.WARNING
    assert "eye protection" in finding.fix
    assert "do not ship" in finding.fix


def entered(folder: Path, brewer: str, beer: str) -> Season:
    """A season of one brewer with one beer in the cup."""
    return read(folder, brewer=brewer, batches__beer=beer, competitions__cup=CUP, entries=ENTRIES)


@pytest.mark.parametrize(
    ("brewer", "beer", "text"),
    [
        ("name: Ann Fairwater", "Porter", "A strong porter on oak"),
        ("name: Ann Fairwater", "Winter Oak Stout", "Winter beer on oak, stout base"),
        ("name: Rose Cooper", "X", "With rose petals, from a cooper's barrel"),
        ("name: Miles Stout", "X", "Oatmeal stout, far from sweet"),
        ("name: Ann Fairwater\nbrewery: Oak Barrel Brewing", "X", "Aged in an oak barrel"),
        ("name: Ann Fairwater\nbrewery: The Brewery", "X", "From the brewery"),
        ("name: Ann Fairwater\nclub: Home Brewing Club", "X", "Made at home, brewing sugar added"),
        ("name: Ann Fairwater\naddress: [1 Stone Street, Vienna, OR]", "X", "Vienna malt or Munich malt on hot stones"),
        ("name: Ann Fairwater\naddress: [7 Saltgrass Lane, Wrenmouth]", "X", "Seven malts, salt and grass"),
    ],
)
def test_ordinary_words_name_nobody(brewer: str, beer: str, text: str, tmp_path: Path) -> None:
    season = entered(tmp_path, brewer, f'name: {beer}\nstyle: Vienna lager\ndeclaration: "{text}"\n')
    assert found(season, "declaration-names-someone") == []


@pytest.mark.parametrize(
    ("brewer", "beer", "text", "shown", "severity"),
    [
        ("name: Rose Cooper", "X", "Brewed by ROSE COOPER.", "ROSE COOPER", "error"),
        ("name: Łucja Bjørnsen", "X", "Recipe of L. Bjornsen, dry", "L. Bjornsen", "error"),
        ("name: Łucja Bjørnsen", "X", "Recipe of Bjornsen, dry", "Bjornsen", "warning"),
        ("name: A B\nco_brewers: [Théo Okonjo]", "X", "Theo Okonjo helped", "Theo Okonjo", "error"),
        ("name: A B\nbrewery: Oak Barrel Brewing", "X", "By Oak Barrel Brewing", "Oak Barrel Brewing", "error"),
        ("name: A B\nbrewery: Grå Hegre Brygghus", "X", "from Gra Hegre", "Gra Hegre", "error"),
        ("name: A B\nclub: The Tidepool Mashers", "X", "a Tidepool Mashers beer", "Tidepool Mashers", "error"),
        ("name: A B\naddress: [7 Saltgrass Lane, Wrenmouth]", "X", "Saltgrass honey", "Saltgrass", "error"),
        ("name: A B\naddress: ['7 Saltgrass Lane, Wrenmouth']", "X", "near Wrenmouth!", "Wrenmouth", "error"),
        ("name: A B", "Keel & Nightjar", "Keel and Nightjar on oak", "Keel and Nightjar", "error"),
        ("name: A B", "Élan d’Été", "elan d'ete, dry", "elan d'ete", "error"),
    ],
)
def test_names_are_found_whatever_their_case_and_accents(
    brewer: str, beer: str, text: str, shown: str, severity: str, tmp_path: Path
) -> None:
    season = entered(tmp_path, brewer, f'name: "{beer}"\nstyle: Vienna lager\ndeclaration: "{text}"\n')
    (finding,) = found(season, "declaration-names-someone")
    assert finding.what.startswith(f"the text for the judges holds {shown}, ")
    assert finding.severity.value == severity
    assert finding.where == "batches/beer.yaml:3:14"


@pytest.mark.parametrize(
    ("brewer", "what", "shown"),
    [
        # a name in what was added stands on the slip as well (common practice: judging is blind)
        ("name: Rosemary Vane", "cardamom of Rosemary Vane", "Rosemary Vane"),
        ("name: Rosemary Vane", "cardamom of Vane's garden", "Vane's"),
        ("name: Rosemary Vane", "rosemary", ""),
        ("name: Rosemary Vane", "vane berries", ""),
        ("name: Rosemary Vane", "fresh Rosemary and thyme", ""),
        ("name: Akebi Sato", "akebi", ""),
        ("name: A B", "honey from Wrenmouth", ""),
    ],
)
def test_a_name_in_what_was_added_is_found_and_a_thing_is_none(
    brewer: str, what: str, shown: str, tmp_path: Path
) -> None:
    season = entered(tmp_path, brewer, f'name: X\nstyle: spice beer\nadditions: [{{what: "{what}", kind: spice}}]\n')
    said = [finding.what for finding in found(season, "declaration-names-someone")]
    assert [text.startswith(f"the text for the judges holds {shown}, ") for text in said] == [True] * bool(shown), said


@pytest.mark.parametrize("name", ["{0}", "{name.__class__}", "<b>x</b>", "[red]x[/red]", "=SUM(A1)", "%s", "مرحبا"])
def test_what_users_write_is_only_text(name: str, tmp_path: Path) -> None:
    season = read(
        tmp_path,
        batches__beer=f"name: '{name}'\nstyle: '{name}'\n",
        competitions__cup=CUP.replace("Marram Cup", f"'{name}'"),
        entries=ENTRIES,
    )
    (finding,) = [*found(season, "style-unknown"), *found(season, "style-ambiguous")]
    assert name in finding.what


def big_season(folder: Path, count: int) -> Season:
    """A season of ``count`` batches, each entered, most in a style they do not fit."""
    codes = "".join(f"  - {{code: C{i}, name: Ambers {i}, styles: [Vienna lager]}}\n" for i in range(count))
    (folder / "batches").mkdir(parents=True)
    for i in range(count):
        text = (
            f"name: Batch {i}\nstyle: Vienna lager\n"
            f"measured: {{og: {1.040 + i % 50 / 1000:.3f}, fg: 1.012, co2: 2.5}}\n"
            f"predicted: {{ibu: {10 + i % 60}, srm: {3 + i % 40}}}\ntraits: {{fermentation: ale}}\n"
            f"additions: [{{what: cherries, kind: fruit}}]\ndeclaration: beer number {i} with cherries\n"
            "bottles: [{count: 6, type: longneck}]\n"
        )
        (folder / "batches" / f"b{i}.yaml").write_text(text, encoding="utf-8")
    rows = "".join(f"  - {{batch: b{i}, competition: cup, category: C{i}, number: '{i}'}}\n" for i in range(count))
    (folder / "entries.yaml").write_text("entries:\n" + rows, encoding="utf-8")
    (folder / "competitions").mkdir()
    cup = f"name: Marram Cup\nlimits: {{per_brewer: 500}}\ncategories:\n{codes}"
    (folder / "competitions" / "cup.yaml").write_text(cup, encoding="utf-8")
    (folder / "brewer.yaml").write_text(
        "name: Ann Fairwater\naddress: [7 Saltgrass Lane, Wrenmouth]\n", encoding="utf-8"
    )
    season, problems = read_season(folder)
    assert problems == []
    return season


def test_620_batches_are_ranked_once_each_at_most(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = 0

    def counted(*args: object, **more: object) -> Ranking:
        nonlocal calls
        calls += 1
        return rank_styles(*args, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(leaning, "rank_styles", counted)
    season = big_season(tmp_path, 620)
    findings = check(season, TODAY)
    assert len(findings) > 620
    assert 100 < calls <= 620


def test_bottles_kept_back_are_never_counted_as_there_to_be_sent(tmp_path: Path) -> None:
    beer = (
        "name: X\nstyle: Vienna lager\nkeep: {keep}\nbottles: [{{count: 2, type: longneck}}, {{count: 1, type: nip}}]\n"
    )
    season = read(tmp_path, batches__beer=beer.format(keep=1), competitions__cup=CUP, entries=ENTRIES)
    assert found(season, "bottles-too-few") == []
    assert [take.count for take in allocate(season)[0]] == [2]
    season = read(tmp_path, batches__beer=beer.format(keep=2), competitions__cup=CUP, entries=ENTRIES)
    (finding,) = found(season, "bottles-too-few")
    assert finding.what.endswith("once the other entries have theirs and 2 are kept back")
    assert [take.count for take in allocate(season)[0]] == [1]
