"""Known styles at another strength, colour or hopping, and strengths in a style's own words (common practice)."""

from __future__ import annotations

import re
from typing import Any

import pytest

from entryprep import Batch, Category, Competition, Entry, Season, load_styles
from entryprep.entering.declaration import answers, composed, missing_declarations
from entryprep.entering.mixedwords import in_one
from entryprep.entering.season import Entered

TABLE = load_styles()


def batch(og: float, fg: float, ibu: float, srm: float, **more: Any) -> Batch:
    made = {"name": "Dunlin", "measured": {"og": og, "fg": fg}, "predicted": {"ibu": ibu, "srm": srm}, **more}
    return Batch.model_validate(made)


@pytest.mark.parametrize(
    ("made", "base", "words"),
    [
        (batch(1.080, 1.014, 65, 5), "German pils", "imperial, hoppy German Pils (9% ABV)"),
        (batch(1.030, 1.008, 28, 30), "Irish red ale", "session, black Irish Red Ale (3% ABV)"),
        (batch(1.052, 1.006, 28, 32), "saison", "black Saison"),
        (batch(1.050, 1.012, 24, 20, traits={"hops": "high"}), "Munich dunkel", "hoppy Munich Dunkel"),
        (batch(1.050, 1.012, 22, 20, traits={"sourness": "marked"}), "Munich dunkel", "sour Munich Dunkel"),
        (batch(1.050, 1.012, 24, 20), "Munich dunkel", ""),
    ],
)
def test_what_sets_a_beer_apart_from_its_base(made: Batch, base: str, words: str) -> None:
    said = re.sub(r"[\d.]+(?=%)", lambda strength: f"{float(strength[0]):.0f}", in_one(made, TABLE.find(base)))
    assert said == words


def entered(made: Batch, limit: int = 100) -> Entered:
    cup = Competition(
        name="Cup", declaration_length=limit, categories=[Category(code="1", name="Any", families=["ipa"])]
    )
    return Season.build({"b": made}, {"c": cup}, [Entry(batch="b", competition="c", category="1")]).entered[0]


def test_a_strength_is_said_in_the_styles_own_words() -> None:
    rye, saison = TABLE.find("rye IPA"), TABLE.find("saison")
    double = entered(batch(1.078, 1.014, 80, 9))
    assert answers(double, "strength", rye) == "double"
    assert missing_declarations(double, rye) == ()
    assert composed(double, rye).text == "strength: double"
    assert answers(entered(batch(1.040, 1.005, 25, 4)), "strength", saison) == "table"
    assert answers(entered(batch(1.040, 1.005, 25, 4)), "colour", saison) == "pale"
    told = entered(batch(1.078, 1.014, 80, 9, declare={"strength": "as strong as it gets"}))
    assert answers(told, "strength", rye) == "as strong as it gets", "what was written outranks the numbers"
    assert missing_declarations(entered(Batch(name="Dunlin")), rye) == ("strength",)


def test_what_is_declared_as_a_plain_style_is_the_base_of_what_it_is_entered_as() -> None:
    spiced = TABLE.find("spice beer")
    cocoa = {"what": "cocoa nibs", "kind": "spice", "perceived": "clear"}
    made = entered(batch(1.056, 1.014, 30, 32, style="American porter", additions=[cocoa]))
    assert composed(made, spiced).text == "American Porter base; cocoa nibs"
    assert missing_declarations(made, spiced) == ()


def test_a_barrel_answers_for_the_spirit_it_held() -> None:
    barrel = {"what": "bourbon barrel", "kind": "wood", "days": 90}
    made = entered(batch(1.090, 1.024, 60, 45, base="imperial stout", additions=[barrel]))
    assert missing_declarations(made, TABLE.find("specialty wood-aged beer")) == ()
