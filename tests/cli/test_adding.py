"""``add``: records as a person could have written them, by questions, in one line, from recipes and sheets."""

from __future__ import annotations

import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from entryprep.cli.app import app
from entryprep.entering.season import read_season
from entryprep.tables.shipped import shipped_file
from tests.seasons import write_season

RUNNER = CliRunner()
FERRY = ("name=Night Ferry", "og=1.056", "fg=1.014", "ibu=32", "srm=30", "bottles=12", "fermentation=ale")
CUP = (
    "name=Harbour Cup",
    "country=US",
    "state=WA",
    "judging=2027-03-20",
    "delivery=2027-03-01 to 2027-03-13",
    "registration=2027-02-28",
    "fee=10 USD",
    "category=A1 Bitters and milds",
    "category=A2 Porters: English porter, American porter",
)


def add(folder: Path, *args: str, typed: str = "") -> Result:
    env = {"COLUMNS": "200", "NO_COLOR": "1"}
    return RUNNER.invoke(app, ["add", *args, "--season", str(folder)], input=typed, env=env)


def made(result: Result) -> str:
    assert result.exit_code == 0, result.output
    return result.stdout


def refused(result: Result) -> str:
    assert result.exit_code == 2, result.output
    return " ".join(result.stderr.split())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "spring"


@pytest.fixture
def season(folder: Path) -> Path:
    made(add(folder, "beer", *FERRY))
    made(add(folder, "competition", *CUP))
    return folder


# --- a beer in one line


def test_a_beer_in_one_line_is_a_commented_record_that_reads_back(folder: Path) -> None:
    text = made(add(folder, "beer", *FERRY, "addition=400 g coffee, conditioning, faint", "carbonation.method=forced"))
    assert "batches/night-ferry.yaml" in text
    written = (folder / "batches" / "night-ferry.yaml").read_text(encoding="utf-8")
    assert re.search(r"^name: Night Ferry +# What you call the beer", written, re.M)
    assert re.search(r"^  og: 1\.056 +# Original gravity", written, re.M), "what was typed stands there as it was typed"
    batch = read_season(folder)[0].batches["night-ferry"]
    assert (batch.measured.og.value, batch.predicted.srm.value) == (1.056, 30)  # type: ignore[union-attr]
    assert batch.bottles[0].count == 12
    (coffee,) = batch.additions or []
    assert (coffee.what, coffee.kind, coffee.mass, coffee.perceived) == ("coffee", "spice", 0.4, "faint")
    assert batch.carbonation is not None


@pytest.mark.parametrize("name", ["1984", "No", "Ferry: the second", "# hash", "Øl & “Ale” \\ 'x'", "- dash", "null"])
def test_any_name_is_written_so_that_it_reads_the_same(folder: Path, name: str) -> None:
    made(add(folder, "beer", f"name={name}", "id=x", "notes=a: b # c"))
    batch = read_season(folder)[0].batches["x"]
    assert (batch.name, batch.notes) == (name, "a: b # c")


def test_nothing_is_overwritten(season: Path) -> None:
    path = season / "batches" / "night-ferry.yaml"
    before = path.read_bytes()
    assert "is there already" in refused(add(season, "beer", *FERRY))
    assert path.read_bytes() == before
    path.rename(path.with_suffix(".yml"))
    assert "night-ferry.yml is there already" in refused(add(season, "beer", *FERRY))


def test_records_are_not_strewn_among_other_files(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    assert "holds other files and no season" in refused(add(tmp_path, "beer", *FERRY))
    assert [p.name for p in tmp_path.iterdir()] == ["letter.txt"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("name=X", "og=1056"), "1056 is not a specific gravity"),
        (("name=X", "bottels=12"), "Did you mean bottles?"),
        (("name=X", "bottles=many"), "is no number of bottles"),
        (("name=X", "bottles=12 longnek"), "Did you mean longneck?"),
        (("name=X", "addition=2 kg moonbeams"), "what kind of addition is moonbeams?"),
        (("name=X", "og=1.050", "fg=1.060"), "are they swapped?"),
        (("og=1.050",), "the beer has no name"),
        (("name=X", "wort=none-such"), "there is no batch none-such"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_written(folder: Path, words: tuple[str, ...], said: str) -> None:
    assert said in refused(add(folder, "beer", *words))
    assert not list(folder.rglob("*.yaml"))


def test_json_tells_the_file(folder: Path) -> None:
    value: dict[str, Any] = json.loads(made(add(folder, "beer", *FERRY, "--json")))
    assert value["format"] == 1
    assert [Path(name).name for name in value["files"]] == ["night-ferry.yaml"]


# --- questions


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def answered(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path, answers: list[str], *args: str
) -> str:
    """All that was said, with these lines typed on a terminal; every one of them has to be asked for."""
    typed = Terminal("".join(f"{answer}\n" for answer in answers))
    monkeypatch.setattr("sys.stdin", typed)
    app(["add", *args, "--season", str(folder)], standalone_mode=False)
    said = capsys.readouterr()
    assert not typed.read(), "every answer was asked for"
    return said.err + said.out


def test_a_first_beer_takes_ten_answers(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    from entryprep.cli import asking

    asked: list[str] = []
    usual = asking.Asker.ask

    def counted(self: asking.Asker, what: str, *args: Any, **more: Any) -> str:
        asked.append(what)
        return usual(self, what, *args, **more)

    monkeypatch.setattr(asking.Asker, "ask", counted)
    answers = ["Night Ferry", "1.056", "1.014", "32", "60 EBC", "", "", "American porter", "12, 6 nip", "2027-01-10"]
    answered(monkeypatch, capsys, folder, answers, "beer")
    assert len(asked) == 10
    beer = read_season(folder)[0].batches["night-ferry"]
    assert (beer.style, beer.traits.fermentation, beer.additions) == ("American Porter", "ale", [])
    assert [(b.count, b.type) for b in beer.bottles] == [(12, "longneck"), (6, "nip")]
    asked.clear()
    answers = ["Quay", "1.044", "1.010", "38", "40", "", "", "1", "24", "-"]
    said = answered(monkeypatch, capsys, folder, answers, "beer")
    assert "Irish Stout" in said
    quay = read_season(folder)[0].batches["quay"]
    assert quay.style == "Irish Stout", "the number chooses among the likeliest"
    assert quay.dates.packaged is None


def test_a_wrong_answer_is_asked_again_with_what_is_wrong(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    answers = [
        "Ferry",
        "1056",
        "1.056",
        "1.070",
        "1.014",
        "32",
        "30",
        "beer",
        "ale",
        "fog",
        "none",
        "porter",
        "-",
        "6 jars",
        "6",
        "",
    ]
    said = answered(monkeypatch, capsys, folder, answers, "beer")
    for words in (
        "Did you mean 1.056?",
        "are they swapped?",
        "what kind of addition is fog?",
        "may mean",
        "bottle type",
    ):
        assert words in said
    assert read_season(folder)[0].batches["ferry"].measured.og.value == 1.056  # type: ignore[union-attr]


def test_a_recipe_file_answers_what_it_can(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path, tmp_path: Path
) -> None:
    recipe = tmp_path / "amber.json"
    recipe.write_bytes(shipped_file("templates/demo/recipes/lovfall.json"))
    said = answered(monkeypatch, capsys, folder, ["", "", "1.012", "18", "2027-01-23"], "beer", str(recipe))
    assert "as the recipe says" in said
    season, problems = read_season(folder)
    assert not problems
    beer = season.batches["lovfall"]
    assert (folder / "recipes" / "amber.json").read_bytes() == recipe.read_bytes()
    assert beer.recipe is not None
    assert beer.recipe.fermentables
    assert (beer.style, beer.traits.fermentation) == ("Vienna lager", "lager")
    assert beer.measured.og is None, "what the recipe predicts is not written as measured"


def test_without_a_terminal_nothing_is_asked(folder: Path) -> None:
    assert "the beer has no name" in refused(add(folder, "beer"))


def test_where_input_ends_nothing_is_written(folder: Path) -> None:
    assert "no answer to" in refused(add(folder, "beer", "--ask", typed="\n\n\n\n\n\n"))
    assert not list(folder.rglob("*.yaml"))


def test_a_competition_by_questions(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    answers = ["Inland Cup", "NO", "-", "2027-02-28", "2027-03-01 to 2027-03-13", "2027-03-20", "3", "", "90 NOK"]
    answered(monkeypatch, capsys, folder, [*answers, "A1 Porters", "A2 Stouts: Irish stout", ""], "competition")
    cup = read_season(folder)[0].competitions["inland-cup"]
    assert [c.code for c in cup.categories] == ["A1", "A2"]
    assert (cup.bottles.count, cup.fee.currency if cup.fee else "") == (3, "NOK")


# --- split batches


def test_split_batches_share_their_wort(season: Path) -> None:
    path = season / "batches" / "night-ferry.yaml"
    path.write_text(
        path.read_text() + "volume: 20 L\nadditions: [{what: honey, kind: sugar, mass: 800 g, stage: boil}]\n"
    )
    made(
        add(
            season, "beer", "name=Ferry on oak", "wort=night-ferry", "volume=5 L", "fg=1.012", "addition=10 g oak cubes"
        )
    )
    read, problems = read_season(season)
    assert not problems
    first, second = read.batches["night-ferry"], read.batches["ferry-on-oak"]
    assert second.measured.og == first.measured.og
    assert second.predicted == first.predicted
    assert second.measured.fg != first.measured.fg
    honey, oak = second.additions or []
    assert honey.mass == pytest.approx(0.2), "a quarter of the wort holds a quarter of the honey"
    assert oak.mass == pytest.approx(0.01)
    alone = RUNNER.invoke(app, ["vitals", str(season / "batches" / "ferry-on-oak.yaml"), "--json"])
    assert json.loads(alone.stdout)["vitals"]["og"]["value"] == 1.056


def test_a_wort_that_leads_nowhere_or_in_a_circle_is_told(folder: Path) -> None:
    write_season(
        folder,
        batches__one="name: One\nwort: two\n",
        batches__two="name: Two\nwort: one\n",
        batches__three="name: Three\nwort: four\n",
    )
    said = [f"{f.file}:{f.line}: {f.what}" for f in read_season(folder)[1]]
    assert sum("runs in a circle" in text for text in said) == 2
    assert "batches/three.yaml:2: there is no batch four that can be read" in said


# --- entries, numbers, values


def test_entries_numbers_and_values_keep_every_other_byte(season: Path) -> None:
    entries = season / "entries.yaml"
    entries.write_text("# mine\nentries:   # in this order\n", encoding="utf-8")
    made(add(season, "entry", "night-ferry", "Harbour Cup", "a2", "way=drop-off"))
    before = entries.read_text(encoding="utf-8")
    assert before.startswith("# mine\nentries:   # in this order\n")
    made(add(season, "number", "harbour-cup", "night-ferry=0047"))
    after = entries.read_text(encoding="utf-8")
    assert after == before.replace("way: drop-off}", 'way: drop-off, number: "0047"}')
    assert "has the number 0047 already" in refused(add(season, "number", "harbour-cup", "night-ferry=48"))
    made(add(season, "number", "harbour-cup", "night-ferry=48", "--replace"))
    assert read_season(season)[0].entered[0].entry.number == "48"
    batch = season / "batches" / "night-ferry.yaml"
    was = batch.read_text(encoding="utf-8")
    assert "measured.fg stands there already: 1.014" in refused(
        add(season, "value", "batches/night-ferry.yaml", "fg=1.01")
    )
    made(add(season, "value", "batches/night-ferry.yaml", "fg=1.012", "--replace"))
    assert batch.read_text(encoding="utf-8") == was.replace("fg: 1.014", "fg: 1.012")


def test_an_entry_without_a_category_names_the_likeliest(season: Path) -> None:
    assert "A2 Porters" in refused(add(season, "entry", "night-ferry"))
    assert "has no category Z" in refused(add(season, "entry", "night-ferry", "harbour-cup", "Z"))
    assert "there is no beer fery" in refused(add(season, "entry", "fery", "harbour-cup", "A2"))
    made(add(season, "entry", "night-ferry", "harbour-cup", "A2"))
    assert "stands in entries.yaml" in refused(add(season, "entry", "night-ferry", "harbour-cup", "A2"))


def test_two_entries_never_share_a_number(season: Path) -> None:
    made(add(season, "beer", "name=Quay"))
    for beer in ("night-ferry", "quay"):
        made(add(season, "entry", beer, "harbour-cup", "A2"))
    said = refused(add(season, "number", "harbour-cup", "night-ferry=7", "quay=7"))
    assert "7 would be the number of" in said
    assert all(e.entry.number is None for e in read_season(season)[0].entered)


# --- sheets


def test_a_cellar_sheet_becomes_a_record_for_each_beer(folder: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "cellar.csv"
    sheet.write_text(
        "Beer;OG °P;FG;IBU;EBC;Bottles;Bottled;Additions;Mash pH\n"
        "Night Ferry;13,9;1,014;32;60;12;10.01.2027;none;5\n"
        "Quay;11;1.010;38;;24 half-litre;;2 kg raspberries, fermenter;\n",
        encoding="utf-8",
    )
    said = made(add(folder, "beer", "--from", str(sheet)))
    assert "2 beers added" in said
    assert "Columns not read: Mash pH" in said
    season, problems = read_season(folder)
    assert not problems
    ferry, quay = season.batches["night-ferry"], season.batches["quay"]
    assert ferry.measured.og is not None
    assert ferry.measured.og.value == pytest.approx(1.0563, abs=2e-4)  # 13.9 °P by the ASBC polynomial, from memory
    assert ferry.predicted.srm is not None
    assert ferry.predicted.srm.value == pytest.approx(60 / 1.97, rel=0.001)  # EBC by SRM: common practice
    assert (ferry.dates.packaged.isoformat() if ferry.dates.packaged else "", ferry.additions) == ("2027-01-10", [])
    assert (quay.bottles[0].type, (quay.additions or [])[0].kind) == ("half-litre", "fruit")
    again = made(add(folder, "beer", "--from", str(sheet)))
    assert "2 beers stood there already" in again


def test_a_workbook_is_read_as_a_sheet_is(folder: Path, tmp_path: Path) -> None:
    from entryprep.formats.xlsxtext import xlsx_bytes

    book = tmp_path / "cellar.xlsx"
    book.write_bytes(xlsx_bytes("Cellar", ("Beer", "OG", "FG", "Bottles"), [("Quay", 1.044, 1.01, 12)]))
    made(add(folder, "beer", "--from", str(book)))
    quay = read_season(folder)[0].batches["quay"]
    assert quay.measured.og is not None
    assert (quay.measured.og.value, quay.bottles[0].count) == (1.044, 12)


def test_a_sheet_with_a_problem_writes_nothing_and_tells_every_one(folder: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "cellar.csv"
    sheet.write_text("name,og,bottles,packaged\nGood,1.050,12,\nBad,3,12 jars,13/13/13\n,1.040,,\nGood,1.040,1,\n")
    said = refused(add(folder, "beer", "--from", str(sheet)))
    for place in (
        ":3:2: og:",
        ":3:3: bottles:",
        ":3:4: packaged:",
        ":4:1: the beer has no name",
        ":5:1: Good stands twice",
    ):
        assert place in said
    assert not list(folder.rglob("*.yaml"))


def test_categories_and_numbers_come_from_sheets_too(season: Path, tmp_path: Path) -> None:
    codes, numbers = tmp_path / "codes.csv", tmp_path / "numbers.csv"
    codes.write_text("Code,Category,Styles\n1,Pale lagers,German pils; helles\n2,Stouts,\n")
    made(add(season, "competition", "name=Inland", "--from", str(codes)))
    assert [c.styles for c in read_season(season)[0].competitions["inland"].categories] == [
        ["German pils", "helles"],
        [],
    ]
    made(add(season, "entry", "night-ferry", "inland", "2"))
    numbers.write_text("Beer;No.\nNight Ferry;0099\n")
    made(add(season, "number", "inland", "--from", str(numbers)))
    assert read_season(season)[0].entered[0].entry.number == "0099"
    numbers.write_text("Beer;No.\nNight Fery;1\n")
    assert "there is no beer Night Fery" in refused(add(season, "number", "inland", "--from", str(numbers)))


def test_a_gravity_of_water_is_asked_again(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], folder: Path
) -> None:
    answers = ["Dawn", "1.0", "1.048", "1.010", "30", "4", "", "", "-", "12", "-"]
    said = answered(monkeypatch, capsys, folder, answers, "beer")
    assert "1.0 is water, or nearly; write the gravity before fermentation" in said
    beer = read_season(folder)[0].batches["dawn"]
    assert beer.measured.og is not None
    assert beer.measured.og.value == pytest.approx(1.048)


def test_what_start_laid_out_is_told_until_it_is_filled_in(tmp_path: Path) -> None:
    folder = tmp_path / "fresh"
    assert RUNNER.invoke(app, ["start", str(folder)]).exit_code == 0
    said = " ".join(made(add(folder, "beer", "name=Night Ferry", "og=1.056", "fg=1.014")).split())
    assert "batches/first-beer.yaml, competitions/first-competition.yaml" in said
    for name in ("batches/first-beer.yaml", "competitions/first-competition.yaml", "entries.yaml"):
        (folder / name).unlink()
    assert "the starter's examples" not in made(add(folder, "beer", "name=Quay", "og=1.044", "fg=1.010"))


def test_many_beers_of_a_sheet_show_how_far_it_is(
    monkeypatch: pytest.MonkeyPatch, folder: Path, tmp_path: Path
) -> None:
    from collections.abc import Iterator
    from contextlib import contextmanager

    steps: list[tuple[str, int, int]] = []

    @contextmanager
    def watched(_title: str) -> Iterator[Any]:
        yield lambda what, done, of: steps.append((what, done, of))

    monkeypatch.setattr("entryprep.cli.addsheets.working", watched)
    sheet = tmp_path / "cellar.csv"
    rows = "".join(f"Beer {n},1.050,1.012\n" for n in range(30))
    sheet.write_text(f"name,og,fg\n{rows}", encoding="utf-8")
    made(add(folder, "beer", "--from", str(sheet)))
    assert [done for what, done, of in steps if what.startswith("reading")] == list(range(30))
    assert [of for what, _, of in steps if what.startswith("writing")] == [30] * 30


def test_a_first_beer_is_ten_short_answers() -> None:
    """By the keystroke-level model (`tests/benchmarks/firstbeer.py` names its source); each fits a terminal."""
    from tests.benchmarks.firstbeer import FROM_RECIPE, NOTHING, RECIPE, cost

    nothing = cost("entryprep add beer", (), NOTHING)
    recipe = cost("entryprep add beer porter.json", (str(RECIPE),), FROM_RECIPE)
    assert (nothing.prompts, recipe.prompts) == (10, 6)
    assert max(nothing.seconds, recipe.seconds) < 120
    assert max(nothing.widest, recipe.widest) < 80
