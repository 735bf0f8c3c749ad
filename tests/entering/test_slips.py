"""Slips: one for each bottle, in order; the brewer only on a stub; the name of the beer nowhere."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from entryprep.entering.plan import Slip
from entryprep.entering.season import Entered, Season
from entryprep.entering.slips import slips
from entryprep.records.anonymity import BLACKED_OUT
from entryprep.records.batch import Batch
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Competition
from entryprep.records.entry import Entry
from entryprep.tables.styles import load_styles

BEER = "Grå Łuna"
BREWER = {
    "name": "Ødger Kvist",
    "co_brewers": ["Łucja Marsh"],
    "brewery": "Attic Kettle",
    "email": "odger@example.org",
    "phone": "+47 555 01 234",
    "address": ["4 Sandbar Row"],
    "club": "Mudflat Mashers",
}


def season(
    competition: dict[str, Any] | None = None,
    *entries: dict[str, Any],
    batch: dict[str, Any] | None = None,
    brewer: dict[str, Any] | None = BREWER,
) -> Season:
    """A season with one batch ``b`` and one competition ``cup``; an entry with ``competition`` names another."""
    made = Season(Path("season"), load_styles())
    made.brewer = Brewer.model_validate(brewer) if brewer else None
    made.batches["b"] = Batch.model_validate({"name": BEER, "style": "helles bock", **(batch or {})})
    for name in ("cup", "other"):
        record = {
            "name": f"The {name}",
            "categories": [{"code": "A", "name": "Lagers"}, {"code": "B", "name": "Bocks"}],
        }
        made.competitions[name] = Competition.model_validate({**record, **(competition or {})})
    for index, changes in enumerate(entries or ({},)):
        entry = Entry.model_validate({"batch": "b", "competition": "cup", "category": "A", **changes})
        into = made.competitions[entry.competition]
        category = next(c for c in into.categories if c.code == entry.category)
        made.entered.append(Entered(index, entry, "b", made.batches["b"], entry.competition, into, category))
    return made


def everything(slip: Slip) -> str:
    return "\n".join(str(getattr(slip, name)) for name in Slip.__dataclass_fields__)


def test_each_bottle_of_each_entry_has_one_slip_in_the_order_of_the_entries() -> None:
    made = season({"bottles": {"count": 3}}, {"category": "B", "number": "77"}, {"competition": "other"}, {})
    printed = slips(made, "cup")
    assert [(s.category_code, s.bottle, s.bottles) for s in printed] == [
        ("B", 1, 3),
        ("B", 2, 3),
        ("B", 3, 3),
        ("A", 1, 3),
        ("A", 2, 3),
        ("A", 3, 3),
    ]
    assert [s.number for s in printed] == ["77"] * 3 + [None] * 3
    assert {s.code for s in printed[:3]} == {"77"}, "the issued number is the code"
    assert len(slips(made, "other")) == 3
    assert slips(made, "nowhere") == []


def test_slips_stand_even_where_the_cellar_is_empty() -> None:
    assert len(slips(season({"bottles": {"count": 2}}, batch={"bottles": []}), "cup")) == 2


def test_an_anonymous_slip_shows_nobody_and_no_beer() -> None:
    for slip in slips(season(), "cup"):
        assert slip.identity == ()
        text = everything(slip)
        for secret in (BEER, "Grå", "Kvist", "Łucja", "Attic", "example.org", "555", "Sandbar", "Mudflat"):
            assert secret not in text


def test_a_stub_shows_how_to_reach_the_brewer_and_nothing_more() -> None:
    (slip, _) = slips(season({"labels": {"identity": "stub", "attach": "tape"}}), "cup")
    assert slip.identity == ("Ødger Kvist, Łucja Marsh", "Mudflat Mashers", "odger@example.org, +47 555 01 234")
    assert slip.attach == "tape"
    text = everything(slip)
    assert BEER not in text
    assert "Attic Kettle" not in text
    assert "Sandbar" not in text


def test_a_stub_leaves_out_what_is_not_known() -> None:
    stub = {"labels": {"identity": "stub"}}
    assert slips(season(stub, brewer={"name": "Ødger Kvist"}), "cup")[0].identity == ("Ødger Kvist",)
    assert slips(season(stub, brewer=None), "cup")[0].identity == ()


@pytest.mark.parametrize(
    ("written", "shown"),
    [("baltic porter", "Baltic Porter"), ("dark lager", "dark lager"), ("umbra nova", "umbra nova")],
)
def test_the_style_has_its_name_from_the_table_or_the_words_written(written: str, shown: str) -> None:
    slip = slips(season(batch={"style": written, "base": written}), "cup")[0]
    assert slip.style == shown
    assert slip.base == shown


def test_what_is_not_declared_is_blank() -> None:
    slip = slips(season(batch={"style": None}), "cup")[0]
    assert (slip.style, slip.base, slip.declaration, slip.allergens) == ("", "", "", ())


def test_the_entry_outranks_the_batch_and_no_declaration_is_cut() -> None:
    long = "quinces and long pepper " * 20
    batch = {"style": "Baltic porter", "declaration": "of the batch", "allergens": ["barley", "milk"]}
    made = season({"declaration_length": 30}, {"style": "schwarzbier", "declaration": long}, {}, batch=batch)
    printed = slips(made, "cup")
    assert printed[0].style == "Schwarzbier"
    assert printed[0].declaration == long.strip()
    assert printed[2].declaration == "of the batch"
    assert printed[0].allergens == ("barley", "milk")


def test_markup_is_text() -> None:
    slip = slips(season(batch={"style": "<b>=SUM(A1)</b>", "declaration": "[red]x[/red]"}), "cup")[0]
    assert slip.style == "<b>=SUM(A1)</b>"
    assert slip.declaration == "[red]x[/red]"


NAMING = (
    "Kvist",
    "Ødgers",
    "KVIST, ØDGER",
    "Łucja's",
    "attic kettle",
    "Mudflat Mashers",
    "4 Sandbar Row",
    "#ØdgerBrews",
    "odgerkvist",
    "ø. kvist",
    "odger@example.org",
    "555 01 234",
    "gra luna",
    "Kv\u200bist",
)


@pytest.mark.parametrize("words", NAMING)
@pytest.mark.parametrize("line", ["declaration", "style", "base"])
@pytest.mark.parametrize("identity", [None, "stub"])
def test_what_names_somebody_is_a_bar_in_what_judges_read(words: str, line: str, identity: str | None) -> None:
    labels = {"labels": {"identity": identity}} if identity else None
    for slip in slips(season(labels, batch={line: f"a dark {words} beer"}), "cup"):
        assert getattr(slip, line) == f"a dark {BLACKED_OUT} beer"


def test_a_number_that_names_somebody_is_not_printed() -> None:
    (slip, _) = slips(season(None, {"number": "KVIST-1"}), "cup")
    assert slip.number is None
    assert "KVIST" not in everything(slip)
    assert slip.code == slips(season(), "cup")[0].code


def test_what_was_added_is_printed_though_it_is_somebodys_name() -> None:
    added = {"additions": [{"what": "kvist berries", "kind": "fruit", "mass": 1}], "declaration": "kvist berries"}
    assert slips(season(batch=added), "cup")[0].declaration == "kvist berries"
