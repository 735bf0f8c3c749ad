"""One beer by the commands: what is told of a base and of styles, numbers beside a file, and asking for more."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

import pytest

from entryprep.beer.asking import fit
from entryprep.cli.app import app
from entryprep.cli.bars import forest_lines, share_dots
from entryprep.paper.forest import forest
from entryprep.tables.style import Style
from entryprep.vitals import Reading, Vitals
from tests.cli.test_commands import as_json, run
from tests.seasons import write_season

PORTER = """name: Night Ferry
style: American porter
measured: {og: 1.056, fg: 1.014, co2: 2.4}
predicted: {ibu: 32, srm: 32}
"""


def said(*args: str | Path) -> str:
    result = run(*args)
    assert result.exit_code == 0, result.output
    return " ".join(result.stdout.split())


def beer(folder: Path, text: str, name: str = "beer.yaml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


class Terminal(io.StringIO):
    """A stream somebody watches."""

    def isatty(self) -> bool:
        return True


# --- bars ------------------------------------------------------------------------------------------------------------


QUILL = Style(id="quill-amber", name="Quill Amber", note="made for the tests", ibu=(20, 32))


@pytest.mark.parametrize(
    ("value", "bar"),
    [
        (1.0, "<*     |......|"),
        (8.0, "*      |......|"),
        (19.9, "      *-......|"),
        (20.0, "       *......|"),
        (27.0, "       |...*..|"),
        (32.0, "       |......*"),
        (32.1, "       |......-*"),
        (43.0, "       |......|     *"),
        (50.0, "       |......|     *>"),
    ],
)
def test_a_plot_shows_on_which_side_a_beer_lies_and_how_far(value: float, bar: str) -> None:
    """One width of the range, 12 IBU, is seven cells here; edges belong to the range."""
    (row,) = forest(fit(Vitals(ibu=Reading(value, 0.0)), QUILL))
    _, line = forest_lines([row], 60)
    assert line.plain.startswith(f"IBU {row.value:>6}  {bar:<22}  20-32")


@pytest.mark.parametrize(("share", "place"), [(-1, 0), (0, 0), (0.26, 3), (0.5, 5), (1, 10), (7, 10)])
def test_a_share_stands_in_its_place_between_none_and_all(share: float, place: int) -> None:
    assert share_dots(share) == f"|{'.' * place}*{'.' * (10 - place)}|"


def test_a_beer_far_off_is_shown_at_the_right_end() -> None:
    for srm, end in ((3, r"SRM +3\.0 +<\*-* +\|[.o]+\|  "), (90, r"SRM +90\.0 +\|\.+\| +-*\*>  ")):
        result = run("fit", "--og", "1.056", "--fg", "1.014", "--srm", str(srm), "--style", "American porter")
        assert result.exit_code == 0
        assert re.search(end, result.stdout), result.stdout


# --- base ------------------------------------------------------------------------------------------------------------


def test_without_a_declared_base_the_styles_that_fit_are_named(tmp_path: Path) -> None:
    text = said("base", beer(tmp_path, PORTER))
    assert "Nothing was added that changes its vitals: the base is the beer itself." in text
    assert "No base is declared: name one with --base" in text
    assert "Base styles that fit " in text
    assert text.partition("Base styles that fit ")[2].count(": fit ") == 3
    assert "Carbonation" not in text, "the base's carbonation is nobody's question"
    value = as_json(run("base", tmp_path / "beer.yaml", "--json"))
    assert value["holds"] is None
    assert value["declared_base"] is None
    assert value["base"] == value["served"]
    assert value["better"]


def test_a_base_that_cannot_be_worked_out_is_told_with_the_reason(tmp_path: Path) -> None:
    fruit = "additions: [{what: plums, kind: fruit, mass: 2 kg, stage: fermenter}]\n"
    text = said("base", beer(tmp_path, PORTER + fruit))
    assert "The base could not be worked out" in text
    assert "Notes" in text
    assert "the volume of the batch is not known" in text
    drowned = "volume: 20 L\nadditions: [{what: rum, kind: spirit, volume: 30 L, strength: 40 %}]\n"
    result = run("base", beer(tmp_path, PORTER + drowned))
    text = " ".join(result.stdout.split())
    assert text.count("rum alone fills 30.0 L of 20 L of beer") == 2, "in the notes, and as an error below"
    assert "ERROR" in text
    assert result.exit_code == 1


def test_too_little_is_too_little_for_a_base(tmp_path: Path) -> None:
    result = run("base", beer(tmp_path, "name: X\nmeasured: {og: 1.050}\n"))
    assert result.exit_code == 2
    assert "give at least two vitals, or a recipe" in result.stderr


def test_a_name_not_spelt_as_in_the_table_is_told_on_stderr(tmp_path: Path) -> None:
    path = beer(tmp_path, PORTER)
    result = run("fit", path, "--style", "Amer. Porter", "--json")
    assert result.exit_code == 0
    assert "“Amer. Porter” is read as American Porter" in result.stderr
    assert as_json(result)["fit"]["style"] == "american-porter"


def test_a_style_that_follows_its_base_has_no_fit_without_one(tmp_path: Path) -> None:
    path = beer(tmp_path, PORTER.replace("American porter", "fruit beer"))
    text = said("fit", path)
    assert "Fit unknown: its vitals follow the base beer: name one with --base." in text
    assert "Fruit Beer on a base of American Porter" in said("fit", path, "--base", "American porter")
    value = as_json(run("fit", path, "--json"))["fit"]
    assert (value["score"], value["base"], value["parts"]) == (None, None, [])


# --- numbers, traits and additions beside a file ---------------------------------------------------------------------


def test_what_is_said_beside_a_file_outranks_the_file(tmp_path: Path) -> None:
    path = beer(tmp_path, PORTER)
    value = as_json(run("vitals", path, "--fg", "1.020", "--json"))["vitals"]
    assert value["fg"]["value"] == pytest.approx(1.020)
    assert value["og"]["value"] == pytest.approx(1.056)
    # ABV is about 131 % of the difference of gravities (common practice)
    assert value["abv"]["value"] == pytest.approx(131.25 * 0.036, abs=0.15)


def test_a_trait_beside_a_file_moves_the_shares_and_none_means_none(tmp_path: Path) -> None:
    path = beer(tmp_path, PORTER + "traits: {fermentation: ale}\n")

    def shares(*options: str) -> dict[str, float]:
        listed = as_json(run("suggest", path, "--limit", "200", "--json", *options))["suggestions"]
        return {row["style"]: row["share"] for row in listed}

    plain = shares()
    lager = shares("--trait", "fermentation=lager")
    assert lager["american-porter"] < plain["american-porter"] / 2
    smoked = shares("--addition", "smoke", "--addition", "smoke")
    assert smoked["american-porter"] < plain["american-porter"]
    assert shares("--addition", "none")["american-porter"] >= smoked["american-porter"]
    assert shares("--trait", "hop-kind=new-world") == shares("--trait", "hop_kind=new-world")


def test_a_batch_that_cannot_be_read_is_told_with_its_places(tmp_path: Path) -> None:
    result = run("vitals", beer(tmp_path, "name: X\nmeasured: {og: 1052, fq: 1.010}\n"))
    assert result.exit_code == 2
    assert "beer.yaml:2:" in result.stderr.replace("\n", "")  # however long the path, and so wrapped
    assert "Did you mean 1.052?" in result.stderr
    assert "fq" in result.stderr
    assert "Traceback" not in result.stderr


OWN = """family: quill
name: Quills
styles:
  - {id: quill-amber, name: Quill Amber, note: ours, og: [1.050, 1.060], fg: [1.010, 1.018], ibu: [25, 40]}
"""


def test_a_batch_of_a_season_knows_the_seasons_own_styles(tmp_path: Path) -> None:
    own = beer(tmp_path, PORTER)
    assert run("fit", own, "--style", "Quill Amber").exit_code == 2
    folder = write_season(tmp_path / "season", batches__ferry=PORTER, styles__quill=OWN)
    value = as_json(run("fit", folder / "batches" / "ferry.yaml", "--style", "Quill Amber", "--json"))["fit"]
    assert (value["style"], value["score"]) == ("quill-amber", pytest.approx(100, abs=10))
    (folder / "styles" / "quill.yaml").write_text(OWN.replace("note: ours", "nite: ours"))
    broken = run("fit", folder / "batches" / "ferry.yaml", "--style", "Quill Amber")
    assert broken.exit_code == 2
    assert "styles/quill.yaml:" in broken.stderr


# --- vitals ----------------------------------------------------------------------------------------------------------


def test_a_beer_without_numbers_says_what_is_not_known(tmp_path: Path) -> None:
    text = said("vitals", beer(tmp_path, "name: X\n"))
    assert "Not known:" in text
    full = PORTER.replace("co2: 2.4", "co2: 2.4, abv: 5.5")
    assert "Not known" not in said("vitals", beer(tmp_path, full))


def test_bottle_pressure_in_both_units(tmp_path: Path) -> None:
    """2.5 volumes at 20 °C: about 1.9 bar of gauge pressure (carbonation charts, from memory); 1 bar is 14.504 psi."""
    path = beer(tmp_path, PORTER.replace("2.4", "2.5") + "bottles: [{count: 6, type: longneck}]\n")
    metric, us = said("vitals", path), said("vitals", path, "--units", "us")
    assert "bar over air pressure" in metric
    assert "psi over air pressure" in us
    assert "68 °F" in us
    assert "°F" not in metric
    row = metric.partition("this beer 2.5 ")[2].split()[:4]
    same = us.partition("this beer 2.5 ")[2].split()[:4]
    for bar, psi in zip(row, same, strict=True):
        assert float(psi) == pytest.approx(float(bar) * 14.504, abs=1.3)
    assert 1.7 < float(row[1]) < 2.1
    assert "can burst" in metric


# --- suggest ---------------------------------------------------------------------------------------------------------

CUP = """name: Harbour Cup
categories:
  - {code: P, name: Porters, styles: [American porter]}
  - {code: S, name: Stouts, styles: [American stout, Irish stout]}
  - {code: L, name: Pale lagers, styles: [German pils]}
  - {code: V, name: Dark and strong things}
  - {code: Q, name: Zzyzx qqq}
"""


def test_categories_of_a_competition_with_share_fit_and_style(tmp_path: Path) -> None:
    path, cup = beer(tmp_path, PORTER), beer(tmp_path, CUP, "cup.yaml")
    text = said("suggest", path, "--competition", cup, "--limit", "9")
    assert "Night Ferry: categories of Harbour Cup that suit it" in text
    assert "P Porters" in text
    assert "as American Porter" in text
    assert "its name is like no style's" in text
    assert "(?) the category lists no styles" in text
    listed = as_json(run("suggest", path, "--competition", cup, "--limit", "2", "--json"))
    assert listed["competition"] == "Harbour Cup"
    assert [row["category"] for row in listed["categories"]] == ["P", "S"]
    assert listed["categories"][0]["certain"]
    certain = beer(tmp_path, CUP.partition("  - {code: V")[0], "cup.yaml")
    assert "(?)" not in said("suggest", path, "--competition", certain)


def test_a_broken_competition_file_is_told_with_its_place(tmp_path: Path) -> None:
    result = run("suggest", beer(tmp_path, PORTER), "--competition", beer(tmp_path, "name: Cup\nfee: [\n", "cup.yaml"))
    assert result.exit_code == 2
    assert "cup.yaml:" in result.stderr.replace("\n", "")
    result = run("suggest", beer(tmp_path, PORTER), "--competition", beer(tmp_path, "nme: Cup\n", "cup.yaml"))
    assert result.exit_code == 2
    assert "name" in result.stderr


def test_a_beer_like_nothing_is_told_as_like_nothing() -> None:
    text = said("suggest", "--og", "1.030", "--fg", "1.025", "--ibu", "110", "--srm", "45")
    assert "Most likely none of these styles" in text


def asked(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], answers: str, *args: str) -> str:
    """``suggest --ask`` with these lines typed on a terminal."""
    monkeypatch.setattr(sys, "stdin", Terminal(answers))
    monkeypatch.setenv("COLUMNS", "100")
    try:
        app(["suggest", *args, "--ask"], standalone_mode=False)
    except SystemExit as stop:
        assert stop.code in {0, None}, capsys.readouterr().err
    return " ".join(capsys.readouterr().out.split())


IPA = ("--og", "1.062", "--fg", "1.013", "--ibu", "48", "--srm", "5", "--trait", "fermentation=ale")


def test_asking_ends_with_an_empty_line_and_takes_only_known_words(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = asked(monkeypatch, capsys, "perhaps\n\n", *IPA)
    assert "perhaps is not one of" in text
    assert text.count("Enter to stop") == 2, "the question is asked again, and then no more"
    assert "This beer: Enter as" in text


def test_answers_change_what_is_asked_next_and_what_comes_out(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    listed = as_json(run("suggest", *IPA, "--json"))
    first = listed["questions"][0]
    answer = first["answers"][0]["value"]
    text = asked(monkeypatch, capsys, f"{answer.upper()}\n\n", *IPA)
    assert first["question"] in text
    assert text.count("Enter to stop") == 2
    told = as_json(run("suggest", *IPA, "--trait", f"{first['trait']}={answer}", "--json"))
    then = told["questions"][0]["question"]
    assert then in text.partition(first["question"])[2]
    top = told["suggestions"][0]
    assert f"{top['name']} {top['fit']['score']:.0f} {top['share']:.0%}" in text


def test_a_clear_beer_is_asked_nothing(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    clear: tuple[str, ...] = (
        "--og",
        "1.042",
        "--fg",
        "1.010",
        "--ibu",
        "36",
        "--srm",
        "33",
        "--trait",
        "fermentation=ale",
    )
    clear += ("--trait", "malt=roasted", "--trait", "hops=low", "--trait", "yeast=clean", "--trait", "clarity=bright")
    clear += ("--trait", "sourness=none", "--trait", "smoke=none", "--trait", "grain=barley", "--addition", "none")
    clear += ("--trait", "hop_kind=english")
    text = asked(monkeypatch, capsys, "", *clear)
    assert "Enter to stop" not in text
    assert "This beer: Enter as" in text


# --- who watches -----------------------------------------------------------------------------------------------------


def test_a_bar_moves_only_where_somebody_watches(monkeypatch: pytest.MonkeyPatch) -> None:
    from entryprep.cli.progress import working

    silent, watched = io.StringIO(), Terminal()
    for stream in (silent, watched):
        monkeypatch.setattr(sys, "stderr", stream)
        monkeypatch.setenv("TERM", "xterm")
        with working("counting") as step:
            step("half of it", 1, 2)
            step("all of it", 2, 2)
    assert silent.getvalue() == ""
    assert "all of it" in watched.getvalue()


def test_the_installed_command_runs_with_no_plugin_of_others(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import gc
    import os

    from entryprep.cli import main

    monkeypatch.delenv("PYDANTIC_DISABLE_PLUGINS", raising=False)
    monkeypatch.setenv("PYDANTIC_DISABLE_PLUGINS", "some")
    monkeypatch.setattr(sys, "argv", ["entryprep", "styles", "zzzz"])
    for name in ("stdout", "stderr"):
        monkeypatch.setattr(sys, name, getattr(sys, name))  # the command puts its own in their place
    before = gc.get_threshold()
    try:
        with pytest.raises(SystemExit) as stop:
            main()
        sys.stderr.flush()
    finally:
        gc.set_threshold(*before)
    assert stop.value.code == 2
    assert os.environ["PYDANTIC_DISABLE_PLUGINS"] == "some", "what the user set stands"
    assert "no style is called zzzz" in " ".join(capsys.readouterr().err.split())
