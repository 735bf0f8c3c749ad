"""What counts in a fit besides single vitals: what is not known, what does not belong, and black that is black."""

from __future__ import annotations

from typing import Any

import pytest

from entryprep import Batch, Beer, Vitals, fit, load_styles

TABLE = load_styles()
HELL: dict[str, Any] = {"og": 1.047, "fg": 1.010, "ibu": 19, "srm": 4}


def score(beer: Beer, style: str) -> float:
    found = beer.fit(style).score
    assert found is not None
    return found


def test_traits_that_do_not_belong_count_in_the_fit() -> None:
    plain = Beer(**HELL)
    odd = Beer(**HELL, traits={"sourness": "marked", "malt": "roasted", "clarity": "hazy"})
    right = Beer(**HELL, traits={"sourness": "none", "malt": "bready", "clarity": "bright", "fermentation": "lager"})
    assert score(plain, "Munich Helles") > 85
    assert score(right, "Munich Helles") == score(plain, "Munich Helles")  # what belongs makes up for no miss
    assert score(odd, "Munich Helles") < 50
    assert {m.what for m in odd.fit("Munich Helles").misfits} == {"sourness", "malt", "clarity"}
    one_step = Beer(**HELL, traits={"sourness": "light"})
    beside = Beer(**HELL, traits={"malt": "grainy"})
    assert 80 < score(beside, "Munich Helles") < score(plain, "Munich Helles")
    assert score(odd, "Munich Helles") < score(one_step, "Munich Helles") < score(plain, "Munich Helles")


def test_an_addition_that_does_not_belong_counts_and_one_that_does_is_none() -> None:
    fruited = Beer(**HELL, additions=["fruit"])
    assert score(fruited, "Munich Helles") < 75
    assert not fruited.fit("fruit beer").misfits


def test_the_same_fault_counts_alike_however_much_is_known() -> None:
    bitter = {**HELL, "ibu": 36}
    whole, alone = fit(Vitals(**bitter), "Munich Helles"), fit(Vitals(ibu=36), "Munich Helles")
    assert whole.score is not None
    assert alone.score is not None
    assert whole.part("ibu") is not None
    assert alone.score > whole.score / 2
    assert alone.confidence < 0.3 < whole.confidence


@pytest.mark.parametrize("known", [{"og": 1.047}, {"og": 1.047, "srm": 4}, {"ibu": 19}])
def test_what_is_not_known_is_never_a_hit(known: dict[str, float]) -> None:
    found = fit(Vitals(**known), "Munich Helles").score
    assert found is not None
    assert found < 95


def test_black_is_black() -> None:
    """An eye sees no difference beyond about 40 SRM (common practice)."""
    stout: dict[str, Any] = {"og": 1.090, "fg": 1.022, "ibu": 65}
    dark, darker = Beer(**stout, srm=45), Beer(**stout, srm=90)
    for beer in (dark, darker):
        part = beer.fit("imperial stout").part("srm")
        assert part is not None
        assert part.miss == 0
        assert not [text for text in beer.advice("imperial stout") if text.startswith("Colour")]
    pale = Beer(**HELL | {"srm": 60}).fit("Munich Helles").part("srm")
    assert pale is not None
    assert pale.miss == pytest.approx(60 - TABLE.find("Munich Helles").ranges["srm"].high)  # as the instrument says


def test_words_say_how_far_a_vital_is_from_its_range_and_by_whose_error() -> None:
    wanted = load_styles().find("German pils")
    low = wanted.ranges["ibu"].low

    def words(ibu: float, part: str = "measured") -> str:
        gravities = {"og": 1.048, "fg": 1.010}
        own = {"measured": gravities | ({"ibu": ibu} if part == "measured" else {})}
        made = {"name": "Dunlin", **own, **({"predicted": {"ibu": ibu}} if part == "predicted" else {})}
        found = Beer.from_batch(Batch.model_validate(made)).fit(wanted).part("ibu")
        assert found is not None
        assert found.is_predicted is (part == "predicted")
        return found.words

    assert words(low + 8, "predicted") == "inside"
    assert words(low + 0.1, "predicted") == "inside, near the edge"
    assert words(low - 1, "predicted") == "1 IBU under; within the error of the prediction"
    assert "the prediction" not in words(low - 1)
