"""Damaged files and options, a few of them; ``python -m tests.benchmarks.damage`` runs many. And faults found so."""

from __future__ import annotations

import csv
import io
import json
import os
from pathlib import Path

import pytest

from entryprep.tables.shipped import shipped_file
from tests.anycall import AnyCall
from tests.damage import SCORES, Damager, call, campaign, wrong_with
from tests.work import lines_run


@pytest.mark.parametrize(("kind", "cases"), [(Damager, 150), (AnyCall, 100)])
def test_nothing_damaged_is_a_fault(kind: type[Damager], cases: int, tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    wrong: list[object] = []
    campaign(kind(tmp_path / "own"), range(cases), lambda *told: wrong.append(told))
    assert not wrong


def written(path: Path, text: str) -> str:
    path.write_text(text, encoding="utf-8")
    return str(path)


def fine(*args: str) -> str:
    done = call(*args)
    assert not wrong_with(done, list(args)), (args, done)
    return done.out + done.err


@pytest.mark.parametrize("fg", ["0.981", "0.985", "0.990"])
@pytest.mark.parametrize("style", ["doppelbock", "Irish stout", "Gose"])
def test_a_beer_below_water_has_a_fit(fg: str, style: str) -> None:
    assert "Fit" in fine("fit", "--og", "1.054", "--fg", fg, "--style", style)


RECIPE = """name: x
style: doppelbock
recipe:
  volume: {volume}
  fermentables: [{{what: malt, mass: 5 kg, potential: {potential}}}]
  hops: []
  yeast: [{{what: ale, attenuation: 75 %}}]
"""


@pytest.mark.parametrize("command", ["vitals", "fit", "suggest", "base"])
@pytest.mark.parametrize(("volume", "potential"), [("20 L", "0 %"), ("1e-310 L", "80 %"), ("1e-5 L", "100 %")])
def test_recipes_of_nothing(tmp_path: Path, command: str, volume: str, potential: str) -> None:
    path = written(tmp_path / "b.yaml", RECIPE.format(volume=volume, potential=potential))
    fine(command, path)
    fine(command, path, "--json")


def test_a_use_that_is_no_word(tmp_path: Path) -> None:
    value = json.loads(shipped_file("templates/demo/recipes/lovfall.json"))
    wrong: tuple[object, ...] = ({}, [], None, 1)
    for use in wrong:
        value["beerjson"]["recipes"][0]["ingredients"]["hop_additions"][0]["timing"] = {"use": use}
        said = fine("vitals", written(tmp_path / "r.json", json.dumps(value)))
        assert "is not a use" in said


@pytest.mark.parametrize("command", ["intake", "flights", "results"])
def test_a_sheet_of_column_names_only(tmp_path: Path, command: str) -> None:
    head = "number,judge,total" if command == "results" else "entry,style"
    for count in (1, 2, 5, 40):
        path = written(tmp_path / "d.csv", f"{head}\n" * count)
        said = fine(command, path)
        assert count > 5 or "below the column names" in said


def test_blank_seed(tmp_path: Path) -> None:
    path = written(tmp_path / "d.csv", "entry,style\n1,Gose\n")
    assert "--seed is blank" in fine("intake", path, "--out", str(tmp_path / "o"), "--seed", " ")
    assert not (tmp_path / "o").exists()


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="root alone can become somebody else")
@pytest.mark.parametrize("part", ["batches", "competitions", "."])
def test_a_folder_that_may_not_be_read(tmp_path: Path, part: str) -> None:
    call("start", str(tmp_path / "s"))
    for folder in (tmp_path, *tmp_path.parents[:3]):
        folder.chmod(folder.stat().st_mode | 0o055)
    call("check", str(tmp_path / "s"))  # what is loaded as needed is loaded while it may be
    (tmp_path / "s" / part).chmod(0)
    try:
        os.seteuid(65534)
        done = call("check", str(tmp_path / "s"))
    finally:
        os.seteuid(0)
        (tmp_path / "s" / part).chmod(0o755)
    assert not wrong_with(done, []), done
    assert done.code in {1, 2}
    assert "permission" in (done.out + done.err).lower()


def test_entry_numbers_never_leave_the_folder_nor_meet(tmp_path: Path) -> None:
    names = ["../../escaped", "A/1", "A-1", "A-1-2", "a-1", "/etc/x", "..", "CON", "Ünï Ço", "Uni Co"]
    rows = "".join(f"{name},Aled Garn,{30 + i}\n" for i, name in enumerate(names))
    path = written(tmp_path / "s.csv", f"number,judge,total\n{rows}")
    (tmp_path / "in").mkdir()
    scale = written(tmp_path / "scale.yaml", "name: x\ntotal: 50\nspread: 7\n")
    fine("results", path, "--scale", scale, "--out", str(tmp_path / "in" / "o"), "--apart")
    assert sorted(os.listdir(tmp_path)) == ["in", "s.csv", "scale.yaml"]
    made = list((tmp_path / "in" / "o" / "feedback").iterdir())
    assert len(made) == 2 * len(names)
    texts = [p.read_text(encoding="utf-8") for p in made if p.suffix == ".txt"]
    assert len(set(texts)) == len(names), "each has its own sheet"


def test_two_brewers_of_one_folded_name_have_two_letters(tmp_path: Path) -> None:
    rows = "1,Ünï Ço,dark lager\n2,Uni Co,dark lager\n3,uni  co,stout\n"
    path = written(tmp_path / "d.csv", f"entry,brewer,style\n{rows}")
    fine("intake", path, "--out", str(tmp_path / "o"), "--seed", "s")
    letters = [p.read_text(encoding="utf-8") for p in (tmp_path / "o" / "letters").iterdir()]
    assert sorted(letter.splitlines()[0] for letter in letters) == ["Dear Uni Co,", "Dear Ünï Ço,"]


def test_no_two_entries_share_a_number(tmp_path: Path) -> None:
    names = ["1", "1", "1 (2)", "1 (2)", "1 (1)", "1 (2) (1)", "1", "2 (0)"]
    path = written(tmp_path / "d.csv", "entry,style\n" + "".join(f"{name},Gose\n" for name in names))
    fine("intake", path, "--out", str(tmp_path / "o"), "--seed", "s")
    for question in (1, 2, 3):  # which of the rows are entries of their own is asked
        fine("decide", str(tmp_path / "o"), str(question), "apart")
    rows = list(csv.DictReader(io.StringIO((tmp_path / "o" / "key.csv").read_text(encoding="utf-8-sig"))))
    assert len({row["number"] for row in rows}) == len({row["entry"] for row in rows}) == len(names)


def test_a_record_that_stands_twice_is_an_error(tmp_path: Path) -> None:
    call("demo", str(tmp_path / "s"))
    batches = tmp_path / "s" / "batches"
    (batches / "elan.yml").write_bytes((batches / "elan.yaml").read_bytes())
    done = call("check", str(tmp_path / "s"), "--json", "--today", "2027-02-20")
    errors = [f for f in json.loads(done.out)["findings"] if f["severity"] == "error"]
    assert any("elan.yaml and elan.yml" in f["what"] for f in errors)
    assert done.code == 1


def test_many_additions_cost_in_proportion(tmp_path: Path) -> None:
    def work(count: int) -> int:
        rows = "".join(f"  - {{what: cherries {i}, kind: fruit, mass: 1 g}}\n" for i in range(count))
        head = "name: x\nstyle: fruit beer\nvolume: 20 L\nmeasured: {og: 1.05, fg: 1.01}\nadditions:\n"
        path = written(tmp_path / "b.yaml", head + rows)
        return lines_run(lambda: fine("vitals", path))

    work(10)
    few, many = work(200), work(800)
    assert few > 200
    assert many < 5 * few, "four times as many cost about four times as much"


def test_many_unknown_keys_are_told_briefly(tmp_path: Path) -> None:
    path = written(tmp_path / "b.yaml", "name: x\n" + "".join(f"k{i}: 1\n" for i in range(20_000)))
    said = fine("vitals", path)
    assert "more problems like these" in said
    assert len(said) < 50_000


def test_stdin_is_bounded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from entryprep.cli import spreadsheets

    class Endless:
        buffer = io.BufferedReader(io.BytesIO(b"entry,style\n" + b"1,Gose\n" * 50_000))

        def isatty(self) -> bool:
            return False

    monkeypatch.setattr(spreadsheets, "MOST_BYTES", 100_000)
    monkeypatch.setattr("sys.stdin", Endless())
    assert "the sheet has more than" in " ".join(fine("intake", "-").split())
    path = written(tmp_path / "d.csv", "entry,style\n" + "1,Gose\n" * 50_000)
    assert "the sheet has more than" in " ".join(fine("intake", path).split())


def test_refusals_name_their_file(tmp_path: Path) -> None:
    path = written(tmp_path / "b.yaml", "name: x\nstyle: Gose\nbase: nonesuch\nmeasured: {og: 1.05, fg: 1.01}\n")
    assert "b.yaml" in fine("vitals", path)
    assert "s.csv" in fine("results", written(tmp_path / "s.csv", SCORES.replace("number", "nix")))
