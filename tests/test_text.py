"""Names as keys."""

from __future__ import annotations

import pytest

from entryprep.tables import vocabulary
from entryprep.text import fold, name_key


def test_a_name_without_a_letter_is_known_by_itself() -> None:
    assert name_key("Jörun  Özkan") == name_key("jorun ozkan") == "jorun ozkan"
    assert name_key("???") == "???" != name_key("!!")


def test_plain_words_fold_as_all_others_do() -> None:
    assert (fold("IPA"), fold("I.P.A."), fold("Ⅷ"), fold("x²"), fold("")) == ("ipa", "i p a", "viii", "x2", "")


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
