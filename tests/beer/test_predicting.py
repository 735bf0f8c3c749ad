"""From recipes to vitals: which source wins, what is assumed, and steps that can be redone by hand."""

from __future__ import annotations

import itertools
import re
from typing import Any

import pytest

from entryprep.beer.beer import Beer
from entryprep.beer.explaining import explained_vitals, forecast_notes
from entryprep.beer.forecast import forecast
from entryprep.beer.readings import batch_vitals, recipe_vitals
from entryprep.records.batch import Batch
from entryprep.tables.ingredients import known_fermentable, known_hops
from entryprep.vitals import Vitals

RECIPE: dict[str, Any] = {
    "volume": "20 L",
    "boil_volume": "26 L",
    "efficiency": "72 %",
    "fermentables": [
        {"what": "Pale Ale Malt", "mass": "4 kg"},
        {"what": "crystal malt 60", "mass": "300 g"},
        {"what": "Milk sugar (lactose)", "mass": "300 g"},
        {"what": "honey", "volume": "300 ml", "stage": "fermenter"},
    ],
    "hops": [
        {"what": "EKG", "mass": "30 g", "alpha": "5.5 %", "minutes": 60},
        {"what": "Cascade", "mass": "30 g", "use": "stand", "minutes": 20, "temperature": "80 °C"},
        {"what": "Nobody's Own", "mass": "50 g", "use": "dry"},
    ],
    "yeast": [{"what": "a", "attenuation": "72 %"}, {"what": "b", "kind": "brett", "attenuation": "90 %"}],
}


def batch(**more: Any) -> Batch:
    return Batch.model_validate({"name": "Sanderling", "recipe": RECIPE} | more)


def test_a_recipe_gives_every_vital_but_carbonation() -> None:
    vitals = batch_vitals(batch())
    assert list(vitals.known) == ["og", "fg", "abv", "ibu", "srm"]
    assert {reading.origin for reading in vitals.known.values()} == {"recipe"}


def test_measured_beats_stated_beats_recipe() -> None:
    got = batch_vitals(batch(measured={"og": 1.061}, predicted={"og": 1.050, "ibu": 33})).known
    assert (got["og"].value, got["og"].origin) == (1.061, "measured")
    assert (got["ibu"].value, got["ibu"].origin) == (33, "predicted")
    assert (got["fg"].origin, got["abv"].origin, got["srm"].origin) == ("recipe", "derived", "recipe")


def test_two_readings_settle_the_third_and_the_recipe_is_not_asked() -> None:
    got = batch_vitals(batch(measured={"og": 1.061, "abv": 6.0})).known
    assert got["fg"].origin == "derived"
    got = batch_vitals(batch(measured={"fg": 1.014})).known
    assert (got["og"].origin, got["abv"].origin) == ("recipe", "derived")
    got = batch_vitals(batch(measured={"abv": 5.0})).known
    assert (got["og"].origin, got["fg"].origin) == ("recipe", "derived")


def test_the_recipes_attenuation_holds_for_the_gravity_that_was_measured() -> None:
    alone = batch_vitals(batch()).known
    higher = batch_vitals(batch(measured={"og": alone["og"].value + 0.010})).known
    assert higher["fg"].value > alone["fg"].value
    same = batch_vitals(batch(measured={"og": alone["og"].value})).known
    assert same["fg"].value == pytest.approx(alone["fg"].value, abs=1e-6)


def test_a_final_gravity_above_the_recipes_original_one_leaves_it_out() -> None:
    got = batch_vitals(batch(measured={"fg": 1.120})).known
    assert "og" not in got


def test_what_the_recipe_alone_says_is_what_a_hydrometer_shows_before_the_yeast() -> None:
    made = batch()
    assert recipe_vitals(forecast(made))["og"].value < batch_vitals(made).known["og"].value
    assert recipe_vitals(forecast(Batch(name="x"))) == {}


def test_the_hungriest_culture_decides() -> None:
    one = batch(recipe=RECIPE | {"yeast": [RECIPE["yeast"][0]]})
    assert batch_vitals(batch()).known["fg"].value < batch_vitals(one).known["fg"].value


def test_what_is_unknown_is_named_and_the_rest_predicted() -> None:
    odd = {"what": "grandmother's flakes", "mass": 1}
    made = batch(recipe=RECIPE | {"fermentables": [odd], "yeast": []})
    assert list(batch_vitals(made).known) == []
    assert any("grandmother's flakes" in note for note in forecast_notes(forecast(made)))
    malt = {"what": "pale malt", "mass": 4}
    made = batch(recipe=RECIPE | {"fermentables": [malt, odd], "yeast": []})
    assert not {"og", "srm"} & batch_vitals(made).known.keys(), "nothing follows from a part of the grist"
    hop = {"what": "Backyard", "mass": 20, "minutes": 60}
    made = batch(recipe=RECIPE | {"hops": [hop]})
    assert "ibu" not in batch_vitals(made).known
    assert any("Backyard" in note for note in forecast_notes(forecast(made)))


def test_impossible_recipes_predict_nothing_and_say_why() -> None:
    made = batch(recipe=RECIPE | {"volume": 0.1})
    got = forecast(made)
    assert got is not None
    assert "more than wort can hold" in got.problem
    assert batch_vitals(made).known == {}


def test_names_are_found_whatever_their_case_and_accents() -> None:
    assert known_fermentable("VIENNA malt") is known_fermentable("Vienna")
    lactose = known_fermentable("Milk sugar (lactose)")
    assert lactose is not None
    assert lactose.fermentable == 0
    assert known_hops("zatec") is known_hops("Saaz")
    assert known_fermentable("moon dust") is None


def test_every_step_can_be_redone_by_hand() -> None:
    """Every ``left = right`` of plain arithmetic in the explanation is worked out again from its printed figures."""
    steps = dict(explained_vitals(Beer.from_batch(batch())))
    assert set(steps) == {"og", "fg", "abv", "ibu", "srm"}
    redone = 0
    for line in (text for lines in steps.values() for text in lines):
        for piece in line.split(": ") if ": " in line else [line]:
            sides = piece.split(" = ")
            for left, right in itertools.pairwise(sides):
                sum_, result = plain(left), number(right)
                if sum_ is None or result is None:
                    continue
                assert eval(sum_) == pytest.approx(result, rel=0.01, abs=0.006), line
                redone += 1
    assert redone >= 10


def test_hops_of_the_first_wort_and_the_mash_say_their_factors() -> None:
    like = {"what": "EKG", "mass": "30 g", "alpha": "5.5 %", "minutes": 60}
    hops = [like | {"use": use} for use in ("first wort", "mash", "boil")]
    made = batch(recipe=RECIPE | {"hops": hops})
    lines = dict(explained_vitals(Beer.from_batch(made)))["ibu"]
    told = {use: line for use in ("first wort", "mash") for line in lines if f"({use})" in line}
    boiled = next(line for line in lines if line.startswith("EKG") and "(" not in line.split("U(60.0 min)")[1])
    assert "x 1.05 (first wort)" in told["first wort"]
    assert "x 0.2 (mash)" in told["mash"]
    shown = {use: float(line.split(" = ")[1].split(" IBU")[0]) for use, line in told.items()}
    whole = float(boiled.split(" = ")[1].split(" IBU")[0])
    assert shown["first wort"] == pytest.approx(1.05 * whole, abs=0.1)
    assert shown["mash"] == pytest.approx(0.2 * whole, abs=0.1)


def plain(text: str) -> str | None:
    """A sum in Python's words, or None if it is not plain arithmetic."""
    text = re.sub(r"U\([\d.]+ min\) ", "", text).replace(" in ", " / ")
    text = re.sub(r"([\d.]+) ?%", r"(\1/100)", text).replace(" x ", "*").replace("^", "**")
    text = re.sub(r"(?<=[\d.)]) ?(kg per litre|kg|L|min|g|°P|°L|IBU|efficiency|yield)\b", "", text)
    return text if re.fullmatch(r"[\d.()+\-*/ ]*\d[\d.()+\-*/ ]*[*/+-][\d.()+\-*/ ]+", text) else None


def number(text: str) -> float | None:
    found = re.match(r"-?\d+(\.\d+)?", text.strip())
    return float(found[0]) if found else None


def test_readings_are_explained_too() -> None:
    made = Batch.model_validate(
        {
            "name": "x",
            "measured": {"og": {"value": 1.049, "temperature": 27}, "fg": 1.010},
            "carbonation": {
                "method": "bottle-conditioned",
                "priming": {"sugar": "corn sugar", "mass": 120, "beer": 18.5, "temperature": 20},
            },
        }
    )
    steps = dict(explained_vitals(Beer.from_batch(made)))
    assert "r(27)/r(20)" in steps["og"][0]
    assert "Balling" in " ".join(steps["abv"])
    assert "volumes" in steps["co2"][-1]
    made = Batch.model_validate({"name": "x", "measured": {"og": {"brix": 12.5}, "fg": {"brix": 6.2}}})
    steps = dict(explained_vitals(Beer.from_batch(made)))
    assert "12.5 °Brix/1.04 = 12.019" in steps["og"][0]
    assert "Terrill" in steps["fg"][1]
    assert "as given" in dict(explained_vitals(Beer.of_vitals(Vitals(og=1.05, fg=1.01))))["og"][0]
    assert "to check it" in dict(explained_vitals(Beer.of_vitals(Vitals(og=1.05, abv=5))))["fg"][0]
