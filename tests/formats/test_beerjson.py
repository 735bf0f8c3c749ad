"""BeerJSON in and out: valid by the standard's own schema, nothing carried is lost, problems stand at their place."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.formats.beerjson import read_beerjson
from entryprep.formats.beerjson_writing import UnwritableRecipe, beerjson_text
from entryprep.formats.opening import read_recipe
from entryprep.reading.yamltext import RecordError
from entryprep.records.batch import Batch
from entryprep.records.recipe import Recipe
from tests.vectors.beerjson import schema, validator


def of(unit: str, value: float) -> dict[str, Any]:
    return {"unit": unit, "value": value}


def recipe(**more: Any) -> dict[str, Any]:
    made: dict[str, Any] = {
        "name": "Dunlin",
        "type": "all grain",
        "author": "somebody",
        "batch_size": of("l", 20),
        "efficiency": {"brewhouse": of("%", 70)},
        "ingredients": {
            "fermentable_additions": [
                {
                    "name": "pale",
                    "type": "grain",
                    "yield": {"fine_grind": of("%", 80)},
                    "color": of("Lovi", 3),
                    "amount": of("kg", 4),
                }
            ],
            "hop_additions": [
                {
                    "name": "hop",
                    "alpha_acid": of("%", 6),
                    "amount": of("g", 30),
                    "timing": {"use": "add_to_boil", "duration": of("min", 60)},
                }
            ],
        },
    }
    return made | more


def document(*recipes: dict[str, Any]) -> dict[str, Any]:
    return {"beerjson": {"version": 1.0, "recipes": list(recipes)}}


def read(value: Any, wanted: str | None = None) -> Any:
    text = value if isinstance(value, str) else json.dumps(value, indent=1, ensure_ascii=False)
    return read_beerjson(text.encode(), "r.json", wanted)


def problems(value: Any, wanted: str | None = None) -> list[str]:
    with pytest.raises(RecordError) as caught:
        read(value, wanted)
    assert all(f.fix for f in caught.value.findings)
    return [f.text for f in caught.value.findings]


def made(value: Any) -> Recipe:
    got: Recipe | None = read(value).batch.recipe
    assert got is not None
    return got


def put(value: dict[str, Any], path: str, new: Any) -> dict[str, Any]:
    value = copy.deepcopy(value)
    *steps, last = [int(s) if s.isdigit() else s for s in path.split("/")]
    here: Any = value
    for step in steps:
        here = here[step]
    if new is None:
        del here[last]
    else:
        here[last] = new
    return value


MALT, HOP = "ingredients/fermentable_additions/0", "ingredients/hop_additions/0"


def test_our_own_example_is_valid_by_the_standard() -> None:
    assert list(validator().iter_errors(document(recipe()))) == []


def test_a_plain_recipe() -> None:
    got = made(document(recipe()))
    assert (got.volume, got.efficiency) == (20, 70)
    assert got.fermentables[0].potential == pytest.approx(1.03697, abs=1e-5)  # 80 % of sucrose's 46.21 points
    assert got.hops is not None
    assert (got.hops[0].mass, got.hops[0].minutes, got.hops[0].use) == (30, 60, "boil")


@pytest.mark.parametrize(
    "kind", schema("fermentable.json")["definitions"]["FermentableBase"]["properties"]["type"]["enum"]
)
def test_every_kind_of_fermentable(kind: str) -> None:
    assert made(document(put(recipe(), f"{MALT}/type", kind))).fermentables[0].kind == kind


@pytest.mark.parametrize("form", schema("hop.json")["definitions"]["HopVarietyBase"]["properties"]["form"]["enum"])
def test_every_form_of_hops(form: str) -> None:
    got = made(document(put(recipe(), f"{HOP}/form", form)))
    assert got.hops is not None
    assert got.hops[0].form == form


@pytest.mark.parametrize("kind", schema("culture.json")["definitions"]["CultureBase"]["properties"]["type"]["enum"])
@pytest.mark.parametrize("form", schema("culture.json")["definitions"]["CultureBase"]["properties"]["form"]["enum"])
def test_every_kind_of_culture(kind: str, form: str) -> None:
    culture = {"name": "c", "type": kind, "form": form, "amount": of("pkg", 1), "attenuation": of("%", 75)}
    got = made(document(put(recipe(), "ingredients/culture_additions", [culture])))
    assert (got.yeast[0].kind, got.yeast[0].form, got.yeast[0].attenuation, got.yeast[0].count) == (kind, form, 75, 1)


@pytest.mark.parametrize("kind", schema("misc.json")["definitions"]["MiscellaneousBase"]["properties"]["type"]["enum"])
def test_every_kind_of_misc_is_an_addition_or_named_as_left_aside(kind: str) -> None:
    item = {"name": "thing", "type": kind, "amount": of("g", 10), "timing": {"use": "add_to_boil"}}
    got = read(document(put(recipe(), "ingredients/miscellaneous_additions", [item])))
    if kind in {"spice", "herb", "flavor", "wood"}:
        assert got.batch.additions[0].mass == pytest.approx(0.010)
        assert got.batch.additions[0].stage == "boil"
    else:
        assert got.batch.additions == []
        assert any("thing" in text for text in got.ignored)


@pytest.mark.parametrize(
    ("timing", "use", "minutes"),
    [
        ({"use": "add_to_boil", "duration": of("hr", 1)}, "boil", 60),
        ({"use": "add_to_boil", "time": of("min", 15)}, "boil", 15),
        ({"use": "add_to_boil", "duration": of("min", 20), "step": 3}, "stand", 20),
        ({"use": "add_to_boil", "step": 3}, "stand", 25),
        ({"use": "add_to_boil", "duration": of("min", 60), "step": 1}, "first wort", 0),
        ({"use": "add_to_mash"}, "mash", 0),
        ({"use": "add_to_fermentation", "duration": of("day", 4)}, "dry", 0),
        ({"use": "add_to_package"}, "dry", 0),
        ({"use": "add_to_boil", "duration": of("min", 60), "continuous": True}, "boil", 30),
    ],
)
def test_when_hops_go_in(timing: dict[str, Any], use: str, minutes: float) -> None:
    steps = [
        {"name": "heating", "start_temperature": of("F", 154), "end_temperature": of("F", 212)},
        {"name": "boil", "start_temperature": of("C", 100), "end_temperature": of("C", 100)},
        {
            "name": "hot stand",
            "start_temperature": of("C", 85),
            "end_temperature": of("C", 75),
            "step_time": of("min", 25),
        },
    ]
    value = put(recipe(boil={"boil_time": of("min", 75), "boil_steps": steps}), f"{HOP}/timing", timing)
    assert list(validator().iter_errors(document(value))) == []
    got = made(document(value))
    assert got.hops is not None
    assert (got.hops[0].use, got.hops[0].minutes) == (use, minutes)
    assert got.hops[0].temperature == (80 if use == "stand" else None)


def test_what_is_not_read_is_told() -> None:
    value = recipe(
        notes="secret",
        mash={"name": "m"},
        style={"name": "Irish stout", "category": "", "style_guide": "", "type": "beer"},
    )
    value = put(value, f"{HOP}/beta_acid", of("%", 4))
    got = read(document(value))
    assert got.batch.style == "Irish stout"
    assert {"author", "notes", "mash", "hops: beta_acid"} <= set(got.ignored)


def test_one_of_several_recipes_is_chosen_by_name() -> None:
    two = document(recipe(name="Dunlin"), recipe(name="Żuraw", batch_size=of("gal", 5)))
    assert read(two, "żuraw").batch.recipe.volume == pytest.approx(18.927, abs=0.001)
    (said,) = problems(two)
    assert "2 recipes" in said
    (said,) = problems(two, "Snipe")
    assert "no recipe Snipe" in said


@pytest.mark.parametrize(
    ("path", "new", "words"),
    [
        (f"{HOP}/alpha_acid", of("%", 120), "r.json:43:22: recipe.hops[1].alpha: 120 is not an alpha acid content"),
        (f"{HOP}/timing/duration", of("min", -5), "recipe.hops[1].minutes: -5 is not a time"),
        (f"{MALT}/yield", {"potential": of("sg", 400)}, "recipe.fermentables[1].potential: 400 is not a potential"),
        (f"{MALT}/amount", of("stone", 4), "stone is not a unit for an amount"),
        (f"{MALT}/amount", of("kg", -4), "recipe.fermentables[1].mass: -4 is not a mass"),
        (f"{MALT}/amount", None, "recipe.fermentables[1]: the amount is not clear"),
        (f"{MALT}/type", "stone", "stone is not one of the words expected here"),
        ("efficiency/brewhouse", of("%", 0), "an efficiency of 0 % is not above 0"),
        ("batch_size", of("l", -20), "recipe.volume: -20 is not a volume"),
        ("batch_size", of("firkin", 1), "firkin is not a unit for volume"),
        ("batch_size", 20, "a quantity is written as a unit and a value"),
        (f"{HOP}/timing/use", "add_to_sock", "add_to_sock is not a use"),
        ("name", "a\u0007b", "control character"),
    ],
)
def test_impossible_values_are_told_at_their_place(path: str, new: Any, words: str) -> None:
    said = problems(document(put(recipe(), path, new)))
    assert any(words in text for text in said), said
    assert all(text.startswith("r.json:") for text in said)


def test_all_problems_are_told_at_once() -> None:
    value = put(put(recipe(), f"{HOP}/alpha_acid", of("%", 120)), "batch_size", of("firkin", 1))
    assert len(problems(document(value))) == 2


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not JSON"),
        ("{", "not JSON"),
        ("[1, 2]", "not BeerJSON"),
        ('{"beerjson": 4}', "not BeerJSON"),
        ('{"beerjson": {"version": 1.0}}', "no recipe"),
        ('{"beerjson": {"recipes": [4]}}', "an object in braces"),
        ('{"beerjson": {"recipes": [{"x": NaN}]}}', "NaN"),
        ('{"beerjson": {"recipes": [{"x": ' + "9" * 5000 + "}]}}", "not JSON"),
        ("[" * 100_000, "nested too deeply"),
    ],
)
def test_what_is_no_recipe_is_refused(text: str, words: str) -> None:
    (said,) = problems(text)
    assert words in said


def test_other_encodings_and_huge_files_are_refused(tmp_path: Path) -> None:
    for content in (json.dumps(document(recipe(name="Żuraw")), ensure_ascii=False).encode("cp1250"), b"{\x00"):
        with pytest.raises(RecordError):
            read_beerjson(content, "r.json")
    big = tmp_path / "big.json"
    with big.open("wb") as stream:
        stream.truncate(50_000_000)
    with pytest.raises(RecordError, match=r"50\.0 MB"):
        read_recipe(big)
    empty = tmp_path / "empty.json"
    empty.touch()
    with pytest.raises(RecordError, match="empty"):
        read_recipe(empty)
    other = tmp_path / "other.json"
    other.write_text("name: beer")
    with pytest.raises(RecordError, match="neither"):
        read_recipe(other)


def test_a_recipe_without_hops_or_malt_is_read() -> None:
    bare = document(recipe(ingredients={"fermentable_additions": []}))
    got = made(bare)
    assert (got.fermentables, got.hops) == ([], [])


# --- round trip ------------------------------------------------------------------------------------------------------

NAMES = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=20)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


FERMENTABLES = st.fixed_dictionaries(
    {
        "what": NAMES,
        "kind": st.sampled_from(["grain", "extract", "dry extract", "sugar", "other"]),
        "mass": st.floats(0.01, 20),
        "potential": st.floats(1.001, 1.046),
        "colour": st.floats(0, 600),
    }
)
HOPS = st.fixed_dictionaries(
    {
        "what": NAMES,
        "mass": st.floats(0.5, 500),
        "alpha": st.floats(0, 20),
        "use": st.sampled_from(["boil", "first wort", "mash", "stand", "dry"]),
        "minutes": st.integers(0, 120),
        "temperature": st.integers(60, 95),
        "form": maybe(st.sampled_from(["leaf", "pellet", "plug"])),
    }
)
YEAST = st.fixed_dictionaries(
    {
        "what": NAMES,
        "kind": st.sampled_from(["ale", "lager", "brett", "kveik"]),
        "form": st.sampled_from(["dry", "liquid"]),
        "attenuation": maybe(st.floats(50, 100)),
        "mass": st.floats(1, 100),
    }
)
ADDITIONS = st.fixed_dictionaries(
    {
        "what": NAMES,
        "kind": st.sampled_from(["spice", "wood"]),
        "mass": st.floats(0.001, 5),
        "stage": st.sampled_from(["mash", "boil", "fermenter", "conditioning", "packaging"]),
    }
)
BATCHES = st.fixed_dictionaries(
    {
        "name": NAMES,
        "style": maybe(NAMES),
        "additions": st.lists(ADDITIONS, max_size=3, unique_by=lambda a: a["what"]),
        "recipe": st.fixed_dictionaries(
            {
                "volume": st.floats(1, 100),
                "efficiency": st.floats(20, 80),
                "mash_efficiency": maybe(st.floats(80, 100)),
                "boil_volume": maybe(st.floats(1, 100)),
                "boil_minutes": st.integers(0, 180),
                "fermentables": st.lists(FERMENTABLES, max_size=4),
                "hops": st.lists(HOPS, max_size=5),
                "yeast": st.lists(YEAST, max_size=2),
            }
        ),
    }
)


def close(ours: Any, theirs: Any) -> bool:
    if isinstance(ours, float) and isinstance(theirs, (int, float)):
        return theirs == pytest.approx(ours, rel=1e-6, abs=1e-8)
    if isinstance(ours, dict):
        return set(ours) == set(theirs) and all(close(value, theirs[key]) for key, value in ours.items())
    if isinstance(ours, list):
        return len(ours) == len(theirs) and all(close(a, b) for a, b in zip(ours, theirs, strict=True))
    return bool(ours == theirs)


@settings(max_examples=60, deadline=None)
@given(BATCHES)
def test_what_is_written_is_valid_and_read_back_alike(data: dict[str, Any]) -> None:
    taken = {f["what"] for f in data["recipe"]["fermentables"]}
    data["additions"] = [a for a in data["additions"] if a["what"] not in taken]
    batch = Batch.model_validate(data)
    text = beerjson_text(batch, {"og": 1.05, "fg": 1.01, "abv": 5.3, "srm": 8.0, "co2": 2.4})
    assert [e.message for e in validator().iter_errors(json.loads(text))] == []
    back = read_beerjson(text.encode(), "r.json").batch
    assert back.recipe is not None
    assert batch.recipe is not None
    assert (back.name, back.style) == (batch.name, batch.style)
    wanted = batch.recipe.model_dump(exclude_none=True)
    for item in wanted["fermentables"]:
        # a grain is mashed and the rest dissolved: said or not, it comes to the same
        item.pop("use", None)
    for item in wanted["hops"]:
        if item["use"] != "stand":
            item.pop("temperature", None)
        if item["use"] not in {"boil", "stand"}:
            item["minutes"] = 0.0
    got = back.recipe.model_dump(exclude_none=True)
    assert close(wanted, got), (wanted, got)
    said = [a.model_dump(exclude_none=True) for a in batch.additions or []]
    assert close(said, [a.model_dump(exclude_none=True) for a in back.additions or []])
    predicted = {name: getattr(back.predicted, name).value for name in ("og", "fg", "abv", "srm", "co2")}
    assert predicted == {"og": 1.05, "fg": 1.01, "abv": 5.3, "srm": 8.0, "co2": 2.4}


def test_stages_and_steeping_come_back() -> None:
    items = [
        {"what": "a", "kind": "sugar", "mass": 1, "potential": 1.04, "colour": 1, "stage": "late", "use": "dissolved"},
        {"what": "b", "kind": "honey", "mass": 1, "potential": 1.04, "colour": 1, "stage": "fermenter"},
        {"what": "c", "kind": "grain", "mass": 1, "potential": 1.04, "colour": 1, "use": "steeped"},
    ]
    batch = Batch.model_validate({"name": "x", "recipe": {"volume": 20, "efficiency": 70, "fermentables": items}})
    text = beerjson_text(batch, {})
    assert [e.message for e in validator().iter_errors(json.loads(text))] == []
    back = read_beerjson(text.encode(), "r.json").batch
    assert back.recipe is not None
    assert [f.stage for f in back.recipe.fermentables] == ["late", "fermenter", "boil"]
    assert back.recipe.fermentables[2].use == "steeped"
    assert [a.kind for a in back.additions or []] == ["sugar"]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"name": "x"}, "no recipe"),
        ({"name": "x", "recipe": {"efficiency": 70}}, "no volume"),
        ({"name": "x", "volume": 20, "recipe": {}}, "no efficiency"),
        (
            {"name": "x", "volume": 20, "recipe": {"efficiency": 70, "fermentables": [{"what": "q", "mass": 1}]}},
            "potential",
        ),
        ({"name": "x", "volume": 20, "recipe": {"efficiency": 70, "hops": [{"what": "q", "mass": 1}]}}, "alpha"),
    ],
)
def test_what_the_standard_requires_and_nobody_knows_is_asked_for(data: dict[str, Any], words: str) -> None:
    with pytest.raises(UnwritableRecipe, match=words) as caught:
        beerjson_text(Batch.model_validate(data), {})
    assert caught.value.fix
