"""What the documents show runs as it stands there: README's Python, and the examples of docstrings."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
import re
from pathlib import Path

import pytest

import entryprep
from entryprep.beer.beer import Beer
from entryprep.formats.beerjson_writing import beerjson_text
from entryprep.records.batch import Batch

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")
PYTHON = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
MODULES = [m.name for m in pkgutil.walk_packages(entryprep.__path__, "entryprep.") if "__main__" not in m.name]


def test_the_python_of_the_readme_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert PYTHON
    recipe = {
        "volume": 20,
        "efficiency": 72,
        "fermentables": [{"what": "pale ale malt", "mass": 4.5}, {"what": "chocolate malt", "mass": 0.3}],
        "hops": [{"what": "East Kent Goldings", "alpha": 5, "mass": 40, "minutes": 60}],
        "yeast": [{"what": "ale yeast", "attenuation": 75}],
    }
    batch = Batch.model_validate({"name": "Winter Porter", "recipe": recipe})
    known = {name: reading.value for name, reading in Beer.from_batch(batch).vitals.known.items()}
    (tmp_path / "porter.json").write_text(beerjson_text(batch, known), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    for block in PYTHON:  # later blocks go on from the earlier ones
        exec(compile(block, "README.md", "exec"), names)


@pytest.mark.parametrize("name", MODULES)
def test_examples_of_docstrings_hold(name: str) -> None:
    if name in {"entryprep.styles", "entryprep.templates"}:
        return
    assert doctest.testmod(importlib.import_module(name)).failed == 0


def test_the_public_names_are_those_listed() -> None:
    assert sorted(entryprep.__all__) == dir(entryprep) == sorted(entryprep._HOMES)


def test_every_refusal_has_one_base_and_a_remedy() -> None:
    for name in ("RecordError", "QuantityError", "OutputError", "UnknownStyle", "AmbiguousStyle"):
        assert issubclass(getattr(entryprep, name), entryprep.EntryprepError)
    with pytest.raises(entryprep.EntryprepError) as caught:
        Batch(name="x", measured={"og": 1052})
    assert caught.value.fix == "Did you mean 1.052?"
    with pytest.raises(entryprep.EntryprepError) as unknown:
        entryprep.Beer(og=1.050, fg=1.010).fit("an ale of no land")
    assert unknown.value.fix


def test_a_name_or_file_that_is_not_there_is_refused_with_a_remedy(tmp_path: Path) -> None:
    cup = entryprep.Competition(name="Cup", categories=[{"code": "1", "name": "Porter"}])
    season = entryprep.Season.build({}, {"harbour-cup": cup}, [])
    missing = str(tmp_path / "nothing.json")
    for call, fix in (
        (lambda: entryprep.draw_slips(season, "harbor-cup"), "Did you mean harbour-cup?"),
        (lambda: entryprep.draw_slips(season, "harbour-cup"), "add entries"),
        (lambda: entryprep.read_recipe(missing), "check the name"),
        (lambda: entryprep.Beer.from_recipe(missing), "check the name"),
        (lambda: entryprep.read_season(missing), "entryprep start"),
        (lambda: entryprep.Batch(name="x", measured={"og": 1052}), "Did you mean 1.052?"),
    ):
        with pytest.raises(entryprep.EntryprepError) as caught:
            call()
        assert fix in caught.value.fix


def test_what_is_large_is_shown_briefly() -> None:
    assert repr(entryprep.load_styles()).startswith("<StyleTable of ")
