"""``--units us``: whatever is printed in one unit alone is in the one asked for. The season is the demo's."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
import yaml
from typer.testing import CliRunner

from entryprep.cli.app import app
from entryprep.entering.season import read_season
from entryprep.measures import in_units, speak, speaking
from entryprep.tables.shipped import shipped_file, shipped_names

RUNNER = CliRunner()
TODAY = ("--today", "2027-02-01")
METRIC = re.compile(r"\d ?(?:g|kg|L|ml|litres?|°C|bar)\b|\b(?:per litre|bar (?:at|over))\b")
AMERICAN = re.compile(r"\d ?(?:oz|lb|gal|fl oz|°F|psi)\b|\b(?:per gallon|psi (?:at|over))\b")


@pytest.fixture(autouse=True)
def _as_before() -> Iterator[None]:
    """The units that a test's commands speak are not left to the next test."""
    yield
    speak("metric")


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


# ---- everything that is printed

ANY_METRIC = re.compile(r"\d ?(?:g|kg|L|ml|litres?|°C|bar|kPa|mm|cm)\b|°C|\b(?:g/L|per litre|bar over)\b(?! of beer)")
OF_A_LAW = ("templates/shipping/ways.yaml", *(f"templates/shipping/places/{n}" for n in
            ("us.yaml", "ca.yaml", "gb.yaml", "au.yaml", "eu.yaml", "elsewhere.yaml")))  # fmt: skip


def texts(value: object) -> Iterator[str]:
    """Every text in a record."""
    if isinstance(value, str):
        yield " ".join(value.split())
    elif isinstance(value, dict):
        for inner in value.values():
            yield from texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner)


def excepted(season: Path) -> list[str]:
    """What may stand as it is: the words of a law, a carrier or a post, and what brewers and entrants wrote."""
    own = [text for name in OF_A_LAW for text in texts(yaml.safe_load(shipped_file(name)))]
    for file in season.rglob("*.yaml"):
        own += texts(yaml.safe_load(file.read_bytes()))
    for file in season.rglob("*.csv"):
        own += [
            " ".join(cell.split()) for row in csv.reader(file.read_text(encoding="utf-8").splitlines()) for cell in row
        ]
    # of a text that names somebody, the rest stands beside a bar
    own += [part.strip() for text in own for part in re.split("[,;:]", text)]
    return sorted((text for text in set(own) if ANY_METRIC.search(text)), key=len, reverse=True)


def left(text: str, excepted: list[str]) -> list[str]:
    """The metric quantities in a text, with what stands around them."""
    text = " ".join(re.sub(r"<[^>]*>", " ", text).split())
    for own in excepted:
        text = text.replace(own, "…")
    return [text[max(0, m.start() - 40) : m.end() + 20] for m in ANY_METRIC.finditer(text)]


def papers(folder: Path) -> Iterator[tuple[str, str]]:
    for file in sorted(folder.rglob("*")):
        if file.suffix == ".pdf":
            yield file.name, "\n".join(page.extract_text() for page in pypdf.PdfReader(file).pages)
        elif file.suffix in {".html", ".txt"}:
            yield file.name, file.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def american(season: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """By its name, all that the commands say and print of the demo in US units."""
    us, day, made = ("--units", "us"), ("--today", "2027-02-20"), tmp_path_factory.mktemp("american")
    found = {"demo": said("demo", made / "demo", *us), "styles": said("styles", "German pils", *us)}
    for beer in sorted((season / "batches").glob("*.yaml")):
        for command in ("vitals", "fit", "suggest", "base", "compare"):
            named = ("--style", "Dark mild") if command == "fit" and beer.stem == "hasselmus" else ()
            found[f"{command} {beer.stem}"] = said(command, beer, *named, *us)
        found[f"explained {beer.stem}"] = said("vitals", beer, "--explain", *us)
    for command in ("check", "plan"):
        found[command] = said(command, season, *us, *day)
    found["check --json"] = said("check", season, "--json", *us, *day)
    for command in ("prepare", "packing", "labels"):
        found[command] = said(command, season, "--out", made / command, "--despite-errors", *us, *day)
    for way in ("hand", "drop-off", "club", "carrier", "post", "flight"):
        out = made / f"shipping {way}"
        found[out.name] = said("shipping", season, "--way", way, "--out", out, "--despite-errors", *us, *day)
    receiving, cup = season / "receiving", made / "cup"
    found["intake"] = said("intake", receiving / "declarations.csv", "--out", cup, "--seed", "words", *us)
    found["checkin"] = said("checkin", cup, *us)
    found["flights"] = said("flights", "--out", cup, "--judges", receiving / "judges.csv", *us)
    for folder in sorted(made.iterdir()):
        found |= {f"{folder.name}: {name}": text for name, text in papers(folder)}
    return found


def test_nothing_metric_is_left_in_us_units(season: Path, american: dict[str, str]) -> None:
    """Save what a law or a carrier says, in its own figures, and what somebody declared."""
    own = excepted(season)
    assert {name: wrong for name, text in american.items() if (wrong := left(text, own))} == {}
    assert len(american) > 60
    every = " ".join(american.values())
    for unit in ("°F", "lb", "oz", "gal", "fl oz", "psi"):
        assert re.search(rf"\d {unit}\b|{unit} (?:over|at|per)", every), unit


def test_metric_runs_say_nothing_american(season: Path) -> None:
    """After a run in US units the next one speaks metric: nothing is kept between them."""
    told = " ".join(said("check", season, "--units", "us", *TODAY).split())
    assert "psi over air pressure at 68 °F" in told
    told = " ".join(said("check", season, *TODAY).split())
    assert "bar over air pressure at 20 °C" in told
    assert not re.search(r"°F|\bpsi\b|\boz/gal\b", told)


@pytest.mark.parametrize("folder", ["templates/rules", "templates/receiving", "templates"])
def test_all_our_own_words_can_be_said_in_us_units(folder: str) -> None:
    """Rows of rules, cautions, faults and bottles: none holds a quantity that is not found and turned."""
    told = {"rules", "cautions.yaml", "faults.yaml", "bottles.yaml"}
    for name in shipped_names(folder):
        if not name.endswith(".yaml") or not (name in told or folder.endswith("rules")):
            continue
        row_texts = texts(yaml.safe_load(shipped_file(f"{folder}/{name}")))
        for text in row_texts:
            with speaking("us"):
                turned = in_units(text)
            assert not ANY_METRIC.search(turned), turned


REFUSALS = {
    "recipe: {volume: 20 L, fermentables: [{what: pale malt, mass: 200 kg}], efficiency: 75}": (
        "kg of extract in 20 L is more than wort can hold",
        "lb of extract in 5.3 gal is more than wort can hold",
    ),
    "recipe: {volume: 2 L, fermentables: [{what: pale malt, mass: 0.5 kg}], efficiency: 75, "
    "hops: [{what: Cascade, mass: 6 kg, alpha: 5, minutes: 60}]}": (
        "6000.0 g of hops in 2.0 L is more than 1000 g in a litre",
        "212 oz of hops in 0.53 gal is more than 134 oz in a gallon",
    ),
    "volume: 2 L\nmeasured: {og: 1.050, fg: 1.010}\n"
    "additions: [{what: vodka of the 9 L jar, volume: 3 L, stage: conditioning, strength: 40}]": (
        "vodka of the 9 L jar alone fills 3.0 L of 2 L of beer",
        "vodka of the 9 L jar alone fills 0.79 gal of 0.528 gal of beer",
    ),
    "measured: {og: {value: 1.050, temperature: 99 °C}, fg: 1.010}": (
        "a sample of 99 °C cannot be corrected",
        "a sample of 210 °F cannot be corrected",
    ),
    "volume: 20 L\nconcentrated: {before: 20 L, after: 30 L}\nmeasured: {og: 1.050, fg: 1.010}": (
        "30 L after is not below 20 L before",
        "7.9 gal after is not below 5.3 gal before",
    ),
}


@pytest.mark.parametrize("record", REFUSALS)
def test_what_the_maths_refuses_is_told_in_the_units_asked_for(record: str, tmp_path: Path) -> None:
    """Limits of the bare maths too, which knows metric units alone."""
    path = tmp_path / "ferry.yaml"
    path.write_text(f"name: Ferry\n{record}\n", encoding="utf-8")
    for units, wanted, other in (("metric", *REFUSALS[record]), ("us", *reversed(REFUSALS[record]))):
        done = RUNNER.invoke(app, ["vitals", str(path), "--units", units], env={"COLUMNS": "200", "NO_COLOR": "1"})
        told = " ".join(done.output.split())
        assert wanted in told
        assert other not in told
        assert "zip()" not in told
