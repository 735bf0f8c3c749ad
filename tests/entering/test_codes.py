"""The code of an entry that has no number yet: it tells nothing, tells entries apart, and stays."""

from __future__ import annotations

import re

from entryprep import Batch, Category, Competition, Entry, Season

CUP = Competition(name="Harbour Cup", categories=[Category(code="4", name="Ales"), Category(code="5", name="Lagers")])
BEER = Batch(name="Night Ferry", style="American porter", measured={"og": 1.056, "fg": 1.014})


def codes(entries: list[Entry], batches: dict[str, Batch], cups: dict[str, Competition] | None = None) -> list[str]:
    return [e.code for e in Season.build(batches, cups or {"cup": CUP}, entries).entered]


def entry(batch: str, category: str = "4", competition: str = "cup", number: str | None = None) -> Entry:
    return Entry(batch=batch, competition=competition, category=category, number=number)


def test_a_code_has_eight_characters() -> None:
    (code,) = codes([entry("ferry")], {"ferry": BEER})
    assert re.fullmatch(r"[0-9A-F]{8}", code)


def test_thousands_of_entries_have_codes_of_their_own() -> None:
    """Of four hexadecimal digits there are 65 536: among 2000 entries some thirty would be two entries' code."""
    batches = {f"beer-{n}": BEER for n in range(2000)}
    assert len(set(codes([entry(name) for name in batches], batches))) == 2000


def test_one_batch_in_two_categories_or_two_competitions_has_two_codes() -> None:
    cups = {"cup": CUP, "other": CUP}
    entries = [entry("ferry"), entry("ferry", "5"), entry("ferry", competition="other")]
    assert len(set(codes(entries, {"ferry": BEER}, cups))) == 3


def test_a_code_stays_whatever_else_is_entered_and_an_issued_number_takes_its_place() -> None:
    batches = {"ferry": BEER, "buoy": BEER}
    alone = codes([entry("ferry")], batches)
    assert codes([entry("buoy"), entry("ferry")], batches)[1:] == alone
    assert codes([entry("ferry", number="0417")], batches) == ["0417"]
