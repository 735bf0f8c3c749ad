"""What a declaration's words name: kinds of addition and allergens."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from entryprep.reading.fields import Record, Text
from entryprep.reading.words import Allergen
from entryprep.tables.shipped import shipped_record
from entryprep.tables.style import Style
from entryprep.text import fold


class _Carries(Record):
    words: list[Text]
    says: Text


class _Ingredients(Record):
    kinds: dict[str, list[Text]]
    allergens: dict[Allergen, list[Text]]
    may_carry: list[_Carries]
    style_allergens: dict[Allergen, list[Text]]


@dataclass(frozen=True)
class Named:
    """Kinds of addition, allergens, and remarks on what may carry allergens, all in a fixed order."""

    kinds: frozenset[str]
    allergens: tuple[str, ...]
    remarks: tuple[str, ...]


@cache
def _index() -> tuple[dict[str, list[tuple[str, str]]], _Ingredients]:
    known = shipped_record("templates/receiving/ingredients.yaml", _Ingredients)
    index: dict[str, list[tuple[str, str]]] = {}
    groups = [("kind", kind, words) for kind, words in known.kinds.items()]
    groups += [("allergen", allergen, [allergen, *words]) for allergen, words in known.allergens.items()]
    groups += [("remark", carries.says, carries.words) for carries in known.may_carry]
    for what, name, words in groups:
        for word in words:
            key = fold(word)
            forms = {key, f"{key}s", f"{key}es"} | ({key.removesuffix("s")} if what == "allergen" else set())
            for form in sorted(forms):
                index.setdefault(form, []).append((what, name))
    return index, known


_LONGEST_PHRASE = 3


def named_in(*texts: str) -> Named:
    """What is named anywhere in the texts, in phrases of up to three words; ``no lactose`` names none."""
    index, known = _index()
    found: dict[str, dict[str, None]] = {"kind": {}, "allergen": {}, "remark": {}}
    for text in texts:
        words = fold(text).split()
        for start in range(len(words)):
            if start and words[start - 1] in {"no", "without", "free", "non"}:
                continue
            for size in range(1, min(_LONGEST_PHRASE, len(words) - start) + 1):
                for what, name in index.get(" ".join(words[start : start + size]), ()):
                    found[what][name] = None
    allergens = tuple(a for a in known.allergens if a in found["allergen"])
    return Named(frozenset(found["kind"]), allergens, tuple(found["remark"]))


def vocabulary_words() -> frozenset[str]:
    """Every folded word in the names of ingredients."""
    return frozenset(word for key in _index()[0] for word in key.split())


def allergens_of(style: Style | None, base: Style | None, *texts: str) -> tuple[str, ...]:
    """Allergens to name: gluten in every beer, what the styles bring, what the words name; never "free from"."""
    _, known = _index()
    said = named_in(*texts)
    found = {a for a, ids in known.style_allergens.items() for s in (style, base) if s is not None and s.id in ids}
    return ("gluten", *(a for a in known.allergens if a in found or a in said.allergens))
