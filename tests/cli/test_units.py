"""``--units us``: whatever is printed in one unit alone is in the one asked for. The season is the demo's."""

from __future__ import annotations

import re
from pathlib import Path

import pypdf
import pytest
from typer.testing import CliRunner

from entryprep.cli.app import app
from entryprep.entering.season import read_season

RUNNER = CliRunner()
TODAY = ("--today", "2027-02-01")
METRIC = re.compile(r"\d ?(?:g|kg|L|ml|litres?|°C|bar)\b|\b(?:per litre|bar (?:at|over))\b")
AMERICAN = re.compile(r"\d ?(?:oz|lb|gal|fl oz|°F|psi)\b|\b(?:per gallon|psi (?:at|over))\b")


def said(*args: str | Path) -> str:
    done = RUNNER.invoke(app, [str(a) for a in args], env={"COLUMNS": "200", "NO_COLOR": "1"})
    assert done.exit_code in {0, 1}, done.output
    return done.output


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's season."""
    folder = tmp_path_factory.mktemp("units") / "demo-season"
    said("demo", folder)
    return folder


# each vital out of its range, so that all the advice there is is given
@pytest.mark.parametrize(
    "vitals",
    [
        ("--og", "1.080", "--fg", "1.030", "--ibu", "80", "--srm", "2", "--co2", "4.0"),
        ("--og", "1.030", "--fg", "1.001", "--ibu", "2", "--srm", "40", "--co2", "1.0"),
    ],
)
def test_advice_is_in_the_units_asked_for(vitals: tuple[str, ...]) -> None:
    args = ("fit", *vitals, "--style", "German pils")
    for units, wanted, other in (("metric", METRIC, AMERICAN), ("us", AMERICAN, METRIC)):
        advice = said(*args, "--units", units).partition("Next time")[2]
        assert len(wanted.findall(advice)) >= 5, advice
        assert not other.findall(advice)


def test_temperatures_and_pressures_of_a_beer(season: Path) -> None:
    told = said("styles", "German pils", "--units", "us")
    assert "°F" in told
    assert "°C" not in told
    beers = sorted((season / "batches").glob("*.yaml"))
    tables = [said("vitals", beer, "--units", "us").partition("Pressure in the bottle")[2] for beer in beers]
    assert any("39 °F" in table and "psi over air pressure" in table for table in tables)
    assert not any("°C" in table.partition("The limits")[0] for table in tables)


def test_papers_print_single_units_as_asked_and_nothing_else_changes(season: Path, tmp_path: Path) -> None:
    texts = {}
    for units in ("metric", "us"):
        for part in ("packing", "shipping"):
            out = tmp_path / units / part
            said(part, season, "--out", out, "--units", units, "--despite-errors", *TODAY)
            pages = [page for pdf in sorted(out.glob("*.pdf")) for page in pypdf.PdfReader(pdf).pages]
            texts[part, units] = "\n".join(page.extract_text() for page in pages)
    assert "psi at 68 °F" in " ".join(texts["shipping", "us"].split())
    assert "bar at" not in " ".join(texts["shipping", "us"].split())
    assert "bar at 20 °C" in " ".join(texts["shipping", "metric"].split())
    assert re.search(r"\(\d+\.\d fl oz\)", texts["packing", "us"])
    assert not re.search(r"\(\d+ ml\)", texts["packing", "us"])
    assert re.search(r"\(\d+ ml\)", texts["packing", "metric"])


def test_the_plan_weighs_in_pounds_what_it_weighs_in_kilograms(season: Path) -> None:
    weights = {}
    for units, unit in (("metric", "kg"), ("us", "lb")):
        told = said("plan", season, "--units", units, *TODAY)
        weights[units] = [float(each) for each in re.findall(rf"([\d.]+) {unit} without boxes", told)]
    assert weights["metric"]
    # the pound is 0.45359237 kg by the international agreement of 1959
    assert weights["us"] == pytest.approx([kg / 0.45359237 for kg in weights["metric"]], abs=0.17)


def test_a_system_of_units_that_is_not_known(season: Path) -> None:
    for args in (("plan", season), ("shipping", season), ("fit", "--og", "1.050", "--style", "German pils")):
        done = RUNNER.invoke(app, [*map(str, args), "--units", "imperial"])
        assert done.exit_code == 2
        assert "use metric or us" in done.output
    assert read_season(season)[0].batches
