"""Reading a season: all problems in one run, each with its place, and everything readable kept."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from entryprep.entering.season import read_season
from entryprep.findings import Finding
from entryprep.reading.yamltext import RecordError
from entryprep.tables.shipped import shipped_file, shipped_tree
from tests.seasons import write_season

COMPETITION = "name: C\ncategories:\n  - {code: A1, name: Stouts, families: [stout]}\n"


def said(findings: list[Finding]) -> list[str]:
    return [f.text for f in findings]


@pytest.mark.parametrize("which", ["start", "demo"])
def test_shipped_seasons_have_no_problem(which: str, tmp_path: Path) -> None:
    for name in shipped_tree(f"templates/{which}"):
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(shipped_file(f"templates/{which}/{name}"))
    read, problems = read_season(tmp_path)
    assert problems == []
    assert read.entered


def test_all_problems_of_all_files_in_one_run(tmp_path: Path) -> None:
    folder = write_season(
        tmp_path,
        brewer="nmae: Ann\n",
        batches__one="name: One\nmeasured:\n  og: 1052\n  fg: '12,5 °P'\n",
        batches__two="name: Two\nmeasured: {og: 1.010, fg: 1.050}\n",
        batches__three="",
        batches__four="name: Four\nbottles: [{count: 3, type: longnek}]\n",
        competitions__c=COMPETITION,
        entries="entries:\n  - {batch: fuor, competition: c, category: A1}\n"
        "  - {batch: four, competition: cc, category: A1}\n"
        "  - {batch: four, competition: c, category: A2}\n"
        "  - {batch: one, competition: c, category: A1}\n",
    )
    _, problems = read_season(folder)
    texts = said(problems)
    for expected in (
        "brewer.yaml:1:1: nmae: the key 'nmae' is not known",
        "brewer.yaml:1:1: name: this is missing",
        "batches/one.yaml:3:7: measured.og: 1052 is not a specific gravity",
        "batches/one.yaml:4:7: measured.fg: 12,5 °P has a decimal comma",
        "batches/two.yaml:2:11: measured: fg 1.050 is above og 1.010",
        "batches/three.yaml:1:1: the file is empty",
        "batches/four.yaml:2:28: bottles[1].type: there is no bottle type longnek",
        "entries.yaml:2:13: entries[1].batch: there is no batches/fuor.yaml",
        "entries.yaml:3:32: entries[2].competition: there is no competitions/cc.yaml",
        "entries.yaml:4:45: entries[3].category: C has no category A2",
        "entries.yaml:5:13: entries[4].batch: batches/one.yaml could not be read",
    ):
        assert expected in texts, texts
    assert len(problems) == 11
    hints = {f.text: f.fix for f in problems}
    assert hints["entries.yaml:2:13: entries[1].batch: there is no batches/fuor.yaml"] == "Did you mean four?"
    assert hints["brewer.yaml:1:1: nmae: the key 'nmae' is not known"] == "Did you mean name?"


def test_a_folder_that_is_no_season(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="holds no season"):
        read_season(tmp_path)
    with pytest.raises(RecordError, match="not a folder"):
        read_season(tmp_path / "nowhere")


def test_links_that_loop_folders_and_large_files(tmp_path: Path) -> None:
    folder = write_season(tmp_path, competitions__c=COMPETITION)
    (folder / "batches").mkdir()
    (folder / "batches" / "loop.yaml").symlink_to(folder / "batches" / "loop.yaml")
    (folder / "batches" / "gone.yaml").symlink_to(folder / "nowhere.yaml")
    (folder / "batches" / "folder.yaml").mkdir()
    with (folder / "batches" / "huge.yaml").open("wb") as stream:
        stream.truncate(50_000_000)
    _, problems = read_season(folder)
    texts = said(problems)
    assert any("loop.yaml: the file cannot be read" in t for t in texts)
    assert any("gone.yaml: there is no such file" in t for t in texts)
    assert any("folder.yaml: this is not a plain file" in t for t in texts)
    assert any("huge.yaml: the file has 50.0 MB" in t for t in texts)
    assert len(texts) == 4


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything, so no file is unreadable")
def test_an_unreadable_file(tmp_path: Path) -> None:
    folder = write_season(tmp_path, batches__x="name: X\n", competitions__c=COMPETITION)
    (folder / "batches" / "x.yaml").chmod(0)
    _, problems = read_season(folder)
    assert said(problems) == ["batches/x.yaml: the file may not be read"]


@pytest.mark.parametrize("name", ["<b>bold</b>", "[red]x[/red]", "=SUM(A1)", "Łódź Øl Жук", "a" * 80, "مرحبا"])
def test_names_are_only_text(name: str, tmp_path: Path) -> None:
    folder = write_season(tmp_path, batches__x=f"name: '{name}'\n", competitions__c=COMPETITION)
    read, problems = read_season(folder)
    assert problems == []
    assert read.batches["x"].name == name


@pytest.mark.parametrize("letter", ["\\x07", "\\u202e", "\\x1b[31m"])
def test_control_characters_are_refused(letter: str, tmp_path: Path) -> None:
    folder = write_season(tmp_path, batches__x=f'name: "evil {letter} name"\n', competitions__c=COMPETITION)
    _, problems = read_season(folder)
    assert "control character" in problems[0].what


def test_a_users_own_style_extends_and_replaces(tmp_path: Path) -> None:
    own = (
        "family: house\nname: House beers\nstyles:\n"
        "  - {id: house-red, name: House Red, note: Ours., og: [1.040, 1.050], fg: [1.008, 1.012]}\n"
    )
    folder = write_season(tmp_path, styles__house=own, competitions__c=COMPETITION)
    read, problems = read_season(folder)
    assert problems == []
    assert read.table.find("house red").family == "house"
    assert read.table.find("German pils").family == "pale-lager"


def test_a_users_broken_style_is_told_and_the_rest_stands(tmp_path: Path) -> None:
    own = "family: house\nname: House\nstyles:\n  - {id: x, name: X, note: Ours., og: [1.050, 1.040]}\n"
    folder = write_season(tmp_path, styles__house=own, competitions__c=COMPETITION)
    read, problems = read_season(folder)
    assert said(problems)[0].startswith("styles/house.yaml:4:")
    assert "og runs from 1.05 to 1.04" in problems[0].what
    assert len(read.table) > 100
