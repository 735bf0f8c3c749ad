"""Names as keys."""

from __future__ import annotations

import pytest

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.options import day_option
from entryprep.reading.yamltext import RecordError
from entryprep.records.batch import BatchDates
from entryprep.tables import vocabulary
from entryprep.text import fold, name_key, no_date, singular


def test_a_name_without_a_letter_is_known_by_itself() -> None:
    assert name_key("Jörun  Özkan") == name_key("jorun ozkan") == "jorun ozkan"
    assert name_key("???") == "???" != name_key("!!")


def test_plain_words_fold_as_all_others_do() -> None:
    assert (fold("IPA"), fold("I.P.A."), fold("Ⅷ"), fold("x²"), fold("")) == ("ipa", "i p a", "viii", "x2", "")
    assert (fold("Salt & Pepper's  (2x)"), fold("Salt & Peppér’s")) == ("salt and peppers 2x", "salt and peppers")
    assert (singular("dark lagers"), singular("berries"), singular("gas glass"), singular("oats bus")) == (
        "dark lager",
        "berry",
        "gas glass",
        "oat bus",
    )


def test_words_of_the_tables_are_folded_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A form of a thousand rows asks the same lists a thousand times."""
    said = ["none", "gluten free", "not gluten-free", "barley", "crushed malt"]
    first = [(vocabulary.says_none(s), vocabulary.says_gluten_free(s), vocabulary.only_allergens(s)) for s in said]
    asked: list[str] = []

    def counting(name: str) -> str:
        asked.append(name)
        return fold(name)

    monkeypatch.setattr(vocabulary, "fold", counting)
    again = [(vocabulary.says_none(s), vocabulary.says_gluten_free(s), vocabulary.only_allergens(s)) for s in said]
    assert again == first
    assert asked == [each for each in said for _ in range(3)]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2026-02-30", ": February 2026 has 28 days"),
        ("2028-02-30", ": February 2028 has 29 days"),
        ("2027-11-31", ": November 2027 has 30 days"),
        ("2027-13-01", ": there is no month 13"),
        ("2027-00-01", ": there is no month 0"),
        ("2027-03-00", ": March 2027 has 31 days"),
        ("27-3-1", ""),
        ("soon", ""),
        ("2027-03", ""),
    ],
)
def test_a_day_that_is_none_is_told_why(text: str, why: str) -> None:
    assert no_date(text) == f"{text} is not a date{why}"


def test_a_record_and_an_option_tell_it_alike() -> None:
    with pytest.raises(RecordError) as refused:
        BatchDates(brewed="2026-02-30")
    assert refused.value.findings[0].what == "2026-02-30 is not a date: February 2026 has 28 days"
    with pytest.raises(UsageProblem, match="--today 2026-02-30 is not a date: February 2026 has 28 days"):
        day_option("--today", "2026-02-30")
