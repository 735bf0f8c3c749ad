"""Recipes on the command line: read, explained, written, and what is wrong with them told."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.test_commands import as_json, run
from tests.seasons import write_season

BATCH = """name: Turnstone
recipe:
  volume: 20 L
  efficiency: 72 %
  fermentables: [{what: pale ale malt, mass: 4 kg}]
  hops: [{what: EKG, mass: 40 g, minutes: 60}]
  yeast: {what: ale yeast, attenuation: 75 %}
"""
TWO = {
    "beerjson": {
        "version": 1.0,
        "recipes": [
            {
                "name": name,
                "type": "all grain",
                "author": "x",
                "notes": "n",
                "batch_size": {"unit": "l", "value": 20},
                "efficiency": {"brewhouse": {"unit": "%", "value": 70}},
                "ingredients": {"fermentable_additions": []},
            }
            for name in ("Knot", "Ruff")
        ],
    }
}


def test_vitals_are_predicted_explained_and_written(tmp_path: Path) -> None:
    batch = tmp_path / "turnstone.yaml"
    batch.write_text(BATCH)
    shown = run("vitals", batch, "--explain")
    assert shown.exit_code == 0
    assert "recipe" in shown.stdout
    assert "4.000 kg x 38.0/46.21 yield x 72 % efficiency" in shown.stdout
    assert max(len(line) for line in shown.stdout.splitlines()) <= 80
    target = tmp_path / "out.json"
    assert run("vitals", batch, "--beerjson", target).exit_code == 0
    again = as_json(run("vitals", target, "--json"))
    first = as_json(run("vitals", batch, "--json", "--explain"))
    assert first["vitals"]["og"]["origin"] == "recipe"
    assert first["steps"]["og"]
    assert again["vitals"]["og"]["value"] == pytest.approx(first["vitals"]["og"]["value"], abs=1e-6)
    refused = run("vitals", batch, "--beerjson", target)
    assert refused.exit_code == 2
    assert "there already" in refused.stderr


@pytest.mark.parametrize("command", ["vitals", "fit", "suggest"])
def test_a_recipe_file_is_a_beer(command: str, tmp_path: Path) -> None:
    batch = tmp_path / "turnstone.yaml"
    batch.write_text(BATCH)
    recipe = tmp_path / "turnstone.json"
    run("vitals", batch, "--beerjson", recipe)
    more = ["--style", "blonde ale"] if command == "fit" else []
    assert run(command, recipe, *more).exit_code == 0


def test_one_of_several_recipes_is_chosen(tmp_path: Path) -> None:
    both = tmp_path / "both.json"
    both.write_text(json.dumps(TWO))
    refused = run("vitals", both)
    assert refused.exit_code == 2
    assert "Knot, Ruff" in refused.stderr
    shown = run("vitals", both, "--recipe", "ruff")
    assert shown.exit_code == 0
    assert "Ruff" in shown.stdout
    assert "author; notes" in shown.stdout
    assert "fermentables" in shown.stdout


def test_a_beer_of_numbers_has_no_recipe_to_write(tmp_path: Path) -> None:
    refused = run("vitals", "--og", "1.050", "--fg", "1.010", "--beerjson", tmp_path / "x.json")
    assert refused.exit_code == 2
    assert "no recipe" in refused.stderr
    batch = tmp_path / "b.yaml"
    batch.write_text(BATCH.replace("  efficiency: 72 %\n", ""))
    refused = run("vitals", batch, "--beerjson", tmp_path / "x.json")
    assert refused.exit_code == 2
    assert "efficiency" in refused.stderr
    assert not (tmp_path / "x.json").exists()


def test_a_season_reads_the_recipe_a_batch_names(tmp_path: Path) -> None:
    season = write_season(tmp_path, batches__knot="name: Knot\nrecipe: {file: recipes/both.json, name: Knot}\n")
    (season / "recipes").mkdir()
    (season / "recipes" / "both.json").write_text(json.dumps(TWO))
    assert run("check", season).exit_code == 0
    assert run("vitals", season / "batches" / "knot.yaml").exit_code == 0
    assert run("vitals", season / "batches" / "knot.yaml", "--recipe", "Ruff").exit_code == 0


@pytest.mark.parametrize(
    ("recipe", "words"),
    [
        ("{file: recipes/none.json}", "no such file"),
        ("{file: ../../etc/passwd}", "lies in the season's folder"),
        ("{file: /etc/passwd}", "lies in the season's folder"),
        ("{file: x.json, volume: 20}", "given beside it"),
        ("{efficiency: 0}", "not above 0"),
        ("{efficiency: 80, mash_efficiency: 70}", "are they swapped"),
        ("{fermentables: [{what: malt}]}", "the amount is not clear"),
        ("{fermentables: [{what: malt, mass: 1 kg, volume: 1 L}]}", "the amount is not clear"),
        ("{fermentables: [{what: malt, mass: 1 kg, potential: 400}]}", "not a potential"),
        ("{hops: [{what: hop, mass: 1 g, alpha: 120 %}]}", "not an alpha acid"),
        ("{hops: [{what: hop, mass: 1 g, minutes: -5}]}", "not a time"),
        ("{volume: 0}", "not above 0"),
        ("{volume: -3 L}", "not a volume"),
    ],
)
def test_what_is_wrong_with_a_recipe_is_told(recipe: str, words: str, tmp_path: Path) -> None:
    season = write_season(tmp_path, brewer="name: Ines\n", batches__knot=f"name: Knot\nrecipe: {recipe}\n")
    result = run("check", season)
    assert result.exit_code == 1
    assert words in " ".join(result.output.split())


def test_bottle_pressures_are_shown_with_their_limits(tmp_path: Path) -> None:
    batch = tmp_path / "b.yaml"
    batch.write_text("name: B\nmeasured: {co2: 3}\nbottles: [{count: 3, type: longneck}, {count: 0, type: nip}]\n")
    shown = run("vitals", batch, "--units", "us")
    # brewery.org/library/CO2charts.html: 3.0 volumes are 36.8 psi at 70 °F; 68 °F lies a little below (Henry: 36)
    assert "68 °F" in shown.stdout
    assert [float(c) for c in shown.stdout.split("this beer")[1].split()[:3]] == [3.0, 17, 36]
    rows = as_json(run("vitals", batch, "--json"))["bottle_pressure_kpa"]
    assert [row["volumes"] for row in rows] == [3.0, 3.0, 3.5]
    assert "eye protection" in " ".join(shown.stdout.split())
