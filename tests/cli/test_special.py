"""Special beers on the command line: the base, the doses, where it belongs, what would decide, advice."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.test_commands import as_json, run

FRUIT = """name: Whimbrel
style: fruit beer
base: American amber ale
volume: 19 L
measured: {og: 1.052, fg: 1.010}
predicted: {ibu: 32, srm: 13}
traits: {fermentation: ale}
additions: [{what: black currants, kind: fruit, mass: 2 kg, stage: fermenter}]
"""
IPA = ["--og", "1.062", "--fg", "1.013", "--ibu", "48", "--srm", "5", "--trait", "fermentation=ale"]


@pytest.fixture
def fruit(tmp_path: Path) -> Path:
    path = tmp_path / "whimbrel.yaml"
    path.write_text(FRUIT)
    return path


def test_the_base_holds_or_better_ones_are_named(fruit: Path) -> None:
    shown = run("base", fruit)
    assert shown.exit_code == 0
    text = " ".join(shown.stdout.split())
    assert "holds as its base" in text
    assert "105 g/L; usual is 35 to 180 g/L" in text
    assert max(len(line) for line in shown.stdout.splitlines()) <= 80
    wrong = run("base", fruit, "--base", "imperial stout")
    assert "does not hold" in wrong.stdout
    assert "American Amber Ale" in wrong.stdout
    family = run("base", fruit, "--base", "american-ale")
    assert "Of american-ale, also" in " ".join(family.stdout.split())
    bare = as_json(run("base", fruit, "--json"))
    assert bare["holds"]
    assert bare["served"]["abv"]["value"] > bare["base"]["abv"]["value"]


def test_a_specialty_category_is_refused_as_a_base(fruit: Path) -> None:
    refused = run("base", fruit, "--base", "spice beer")
    assert refused.exit_code == 2
    assert "specialty category" in refused.stderr


def test_suggest_says_what_was_added_and_where_it_belongs(fruit: Path) -> None:
    text = " ".join(run("suggest", fruit).stdout.split())
    assert "black currants: usual" in text
    assert "Enter as Fruit Beer on a base of American Amber Ale, as declared: clearly" in text
    assert "Because fruit in a beer whose style has none" in text
    found = as_json(run("suggest", fruit, "--json"))
    assert found["route"]["to"] == ["fruit-beer"]
    assert found["placement"]["style"] == found["suggestions"][0]["style"] == "fruit-beer"
    assert found["additions"][0]["verdict"] == "usual"
    assert found["suggestions"][0]["style"] == "fruit-beer"


def test_questions_are_listed_with_their_values() -> None:
    text = run("suggest", *IPA).stdout
    assert "What would decide" in text
    assert "bits" in text
    asked = as_json(run("suggest", *IPA, "--json"))["questions"]
    assert asked == sorted(asked, key=lambda q: -q["bits"])
    assert all(q["answers"] for q in asked)


def test_asking_needs_a_terminal_and_no_json() -> None:
    refused = run("suggest", *IPA, "--ask")
    assert refused.exit_code == 2
    assert "terminal" in refused.stderr
    assert run("suggest", *IPA, "--ask", "--json").exit_code == 2


def test_ask_asks_and_takes_answers() -> None:
    """On a pseudo-terminal: a wrong word is told, an answer counts, an empty line ends it."""
    master, slave = pty.openpty()
    command = [sys.executable, "-c", "from entryprep.cli import main; main()", "suggest", *IPA, "--ask"]
    env = {**os.environ, "COLUMNS": "80", "NO_COLOR": "1"}
    os.write(master, b"perhaps\nhigh\n\n")
    done = subprocess.run(command, stdin=slave, capture_output=True, text=True, env=env, timeout=60, check=False)
    os.close(slave)
    os.close(master)
    assert done.returncode == 0, done.stderr
    assert "perhaps is not one of" in done.stdout
    assert "Enter as" in done.stdout


def test_a_real_miss_comes_with_advice(tmp_path: Path) -> None:
    batch = tmp_path / "b.yaml"
    batch.write_text(
        "name: B\nstyle: American pale ale\nmeasured: {og: 1.052, fg: 1.012}\npredicted: {ibu: 90, srm: 7}\n"
    )
    text = run("fit", batch).stdout
    assert "Next time (common practice)" in text
    assert "g less of hops" in " ".join(text.split())
    assert as_json(run("fit", batch, "--json"))["next_time"]


def test_a_blend_is_worked_out_from_its_neighbours(tmp_path: Path) -> None:
    (tmp_path / "young.yaml").write_text("name: Y\nmeasured: {og: 1.060, fg: 1.020}\n")
    (tmp_path / "old.yaml").write_text("name: O\nmeasured: {og: 1.040, fg: 1.004}\n")
    blend = tmp_path / "blend.yaml"
    blend.write_text("name: B\nblend: [{batch: young, volume: 15 L}, {batch: old, volume: 5 L}]\n")
    found = as_json(run("vitals", blend, "--json"))["vitals"]
    assert found["fg"]["value"] == pytest.approx(1.016, abs=0.0002)
    assert found["fg"]["origin"] == "blended"
    blend.write_text("name: B\nblend: [{batch: blend, volume: 15 L}]\n")
    refused = run("vitals", blend)
    assert refused.exit_code == 2
    assert "circle" in refused.stderr
