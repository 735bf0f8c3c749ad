"""What a sheet tells of additions: kinds, names and doses, as a record would hold them."""

from __future__ import annotations

import pytest

from entryprep import Vitals, load_styles
from entryprep.beer.told import additions_told, told_beer

TABLE = load_styles()


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("raspberries", [("raspberries", "fruit", None)]),
        ("raspberries 90 g/L", [("raspberries", "fruit", 0.09)]),
        ("90 g/l of raspberries", [("of raspberries", "fruit", 0.09)]),
        ("cherries 12 kg/hl", [("cherries", "fruit", 0.12)]),
        ("cherries 0,1 kg per litre", [("cherries", "fruit", 0.1)]),
        ("chipotle 50 g/hl", [("chipotle", "spice", 0.0005)]),
        ("vanilla; oak cubes, rum", [("vanilla", "spice", None), ("oak cubes", "wood", None), ("rum", "spirit", None)]),
        ("raspberries and basil", [("raspberries and basil", "fruit", None), ("raspberries and basil", "spice", None)]),
        ("orange peel", [("orange peel", "spice", None)]),
        ("oak smoked malt", [("oak smoked malt", "smoke", None)]),
        ("no fruit, nothing else", []),
        ("", []),
    ],
)
def test_words_become_additions(text: str, wanted: list[tuple[str, str, float | None]]) -> None:
    """What kind of thing each is: names of the trade, common practice."""
    found = [(a.what, a.kind, a.mass) for a in additions_told(text)]
    assert [each[:2] for each in found] == [each[:2] for each in wanted]
    assert [each[2] for each in found] == pytest.approx([each[2] for each in wanted])


def test_an_amount_that_is_none_keeps_the_thing() -> None:
    assert [(a.what, a.mass) for a in additions_told("raspberries 999999999 g/L")] == [("raspberries", None)]


def test_where_nothing_is_named_nothing_is_known() -> None:
    beer = told_beer("", ("brewed with love",), None, "porter", "", TABLE)
    assert beer.things is None
    assert beer.kinds is None
    named = told_beer("", ("cherries",), Vitals(og=1.050, fg=1.010), "fruit beer", "American porter", TABLE)
    assert named.kinds == ("fruit",)
    assert named.base is TABLE.find("American porter")


def test_a_dose_is_judged_and_taken_out_of_the_beer_underneath() -> None:
    vitals = Vitals(og=1.050, fg=1.010, ibu=20, srm=6)
    beer = told_beer("", ("raspberries 150 g/L",), vitals, "fruit beer", "blonde ale", TABLE)
    assert [verdict.word for verdict in beer.verdicts] == ["usual"]
    assert beer.base_vitals is not None
    assert beer.base_vitals["srm"].value != beer.vitals["srm"].value or beer.base_vitals["fg"].value > 1.010
    plain = told_beer("", ("raspberries",), vitals, "fruit beer", "blonde ale", TABLE)
    assert plain.base_vitals is None
