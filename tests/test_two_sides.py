"""The brewer's check and the steward's check-in of the same beer say the same of it."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
import yaml

from entryprep import Season, check
from entryprep.beer.allergens import to_name
from entryprep.beer.beer import Beer
from entryprep.formats.columns import matched
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.declaration import Declaration, Reader
from entryprep.receiving.tasting import tasted
from entryprep.records.batch import Addition, Batch
from entryprep.tables.styles import load_styles
from entryprep.vitals import VITALS
from tests.receiving.sheets import check_in
from tests.receiving.sheets import sheet as opened_sheet
from tests.vectors import vector_path
from tests.vectors.special import LITRES, Special, special_beers

DAY = dt.date(2027, 2, 20)
SAID_BY_BOTH = {
    "style-read", "style-ambiguous", "style-not-beer", "style-unknown", "base-read", "base-unknown", "base-refused",
    "style-routed-elsewhere", "style-better-elsewhere", "addition-faint", "addition-dominant",
}  # fmt: skip
HEADER = ["entry", "style", "base", "specials", "allergens", *VITALS]


def both(data: dict[str, Any], specials: str) -> tuple[Beer, set[str], Declaration]:
    """A batch as the brewer's side knows it, what is found of it, and the same beer as a row of a sheet."""
    batch = Batch.model_validate({"name": "Ferry", "volume": LITRES, **data})
    season = Season.build({"ferry": batch}, {})
    beer = season.beer("ferry")
    assert beer is not None
    numbers = {name: f"{reading.value:g}" for name, reading in beer.readings.known.items() if name in data["measured"]}
    row = ["1", batch.style or "", batch.base or "", specials, "", *(numbers.get(name, "") for name in VITALS)]
    quoted = ",".join(f'"{cell}"' for cell in row)
    (declared,) = check_in(",".join(HEADER) + "\n" + quoted + "\n")
    return beer, {finding.rule for finding in check(season, DAY)} & SAID_BY_BOTH, declared


def told(addition: Addition) -> str:
    """An addition as an entrant writes it: its name, and a dose where there is a mass."""
    return addition.what + (f" {addition.mass * 1000 / LITRES:g} g/L" if addition.mass else "")


def sides_of(special: Special, style: str) -> tuple[Beer, set[str], Declaration]:
    batch = special.batch
    numbers = {name: getattr(batch.measured, name).value for name in ("og", "fg")}
    numbers |= {name: getattr(batch.predicted, name).value for name in ("ibu", "srm")}
    additions = [a for a in batch.additions or () if a.kind in {"fruit", "spice"}]
    data: dict[str, Any] = {"measured": numbers, "style": style, "base": batch.base}
    data["additions"] = [{"what": a.what, "kind": a.kind, "mass": a.mass} for a in additions] or None
    return both(data, "; ".join(map(told, additions)))


PLAIN = [beer for beer in special_beers() if {a.kind for a in beer.batch.additions or ()} <= {"fruit", "spice"}]


@pytest.mark.parametrize("declared_as", ["right", "porter", "plain", "fruit beer"])
@pytest.mark.parametrize("special", PLAIN, ids=lambda special: special.name)
def test_special_beers_are_answered_for_alike(special: Special, declared_as: str) -> None:
    style = {"right": special.right[0], "plain": special.batch.base or "gose"}.get(declared_as, declared_as)
    beer, found, declared = sides_of(special, style)
    assert found == {finding.rule for finding in declared.findings} & SAID_BY_BOTH
    row = declared.beer
    assert row is not None
    assert (row.style, row.base, row.route.to, row.kinds) == (beer.style, beer.base, beer.route.to, beer.kinds)
    assert [v.word for v in row.verdicts] == [v.word for v in beer.verdicts]
    assert (row.base_vitals is None) == (beer.base_vitals is None)
    if beer.style is not None and (score := beer.fit(beer.style).score) is not None:
        assert row.fit(beer.style).score == pytest.approx(score, abs=1.5)  # errors of instruments are not the same
    named = row.placement.style if row.placement.declared else None
    assert named == (beer.placement.style if beer.placement.declared else None)


@pytest.mark.parametrize(
    ("style", "base"),
    [
        ("Ger. Pilsner", ""), ("dark lager", ""), ("Umbra nova", ""), ("Fruit Beer", "Porter: American Porter"),
        ("Fruit Beer", "porter"), ("Fruit Beer", "Amer. Porter"), ("Fruit Beer", "Umbra nova"),
        ("Fruit Beer", "Fruit Beer"), ("Fruit Beer", "wood-aged beer"), ("Ordinary Bitter", ""),
    ],
)  # fmt: skip
def test_styles_and_bases_are_read_alike(style: str, base: str) -> None:
    numbers = {"og": 1.062, "fg": 1.014, "ibu": 45, "srm": 6}
    beer, found, declared = both({"style": style, "base": base or None, "measured": numbers}, "")
    assert found == {finding.rule for finding in declared.findings} & SAID_BY_BOTH
    assert declared.named.how == beer.style_named.how
    assert set(declared.named.candidates) == set(beer.style_named.candidates)
    assert declared.base_named == beer.base_named or not base


@pytest.mark.parametrize("numbers", [(1.052, 1.013, 30, 27), (1.092, 1.003, 90, 3)])
@pytest.mark.parametrize("base", ["Porter", "porters", "brown ale", "American Porter"])
def test_a_base_told_by_its_family_is_held_against_the_beer_alike(base: str, numbers: tuple[float, ...]) -> None:
    measured = dict(zip(("og", "fg", "ibu", "srm"), numbers, strict=True))
    cherries = {"what": "sour cherries", "kind": "fruit", "mass": 3}
    data = {"style": "Fruit Beer", "base": base, "measured": measured, "additions": [cherries]}
    beer, _, declared = both(data, "sour cherries 150 g/L")
    own, theirs = beer.fit("Fruit Beer"), declared.fit
    assert theirs is not None
    assert own.base is not None
    assert theirs.base == own.base
    assert theirs.score == pytest.approx(own.score, abs=1.5)
    assert beer.batch is not None
    found = {f.rule for f in check(Season.build({"ferry": beer.batch}, {}), DAY)}
    assert ("base-out-of-range" in found) == ("base-out-of-range" in {f.rule for f in declared.findings})
    if numbers[0] > 1.09 or base == "American Porter":
        assert "base-out-of-range" in found


def test_gluten_goes_with_the_glass_where_it_is_stated() -> None:
    """Every beer holds it, so it is not repeated on every card; but who states it is passed on word for word."""
    sheet = "entry,style,specials,allergens\n" + "".join(
        f'{i},Fruit Beer,raspberries,"{said}"\n'
        for i, said in enumerate(("", "gluten", "Gluten (barley)", "gluten-free", "fish"))
    )
    opened = opened_sheet(sheet)
    desk = CheckIn(Reader(opened, matched(opened, "declarations")), load_styles())
    assert [entry.allergens for entry, _ in tasted(desk)] == ["", "gluten", "gluten, barley", "gluten-free", "fish"]


@pytest.mark.parametrize("words", ["shrimp shells and kefir", "potassium metabisulphite", "oat milk; hazelnuts", "oak"])
def test_allergens_are_named_alike(words: str) -> None:
    addition = {"what": words, "kind": "spice"}
    beer, _, declared = both({"style": "gose", "measured": {}, "additions": [addition]}, words)
    assert declared.allergens == to_name("", [words], [beer.style])


SPELT = yaml.safe_load(vector_path("declared-styles.yaml").read_text(encoding="utf-8"))
AT_LEAST = 316  # of the 326 spellings that mean one style


def test_every_spelling_is_read_alike_and_none_wrongly_in_silence() -> None:
    # tests/vectors/declared-styles.yaml, written from memory before what reads them
    rows = [*SPELT["settled"], *SPELT["unsettled"]]
    batches = {f"b{i}": Batch(name=f"B{i}", style=row["text"]) for i, row in enumerate(rows)}
    season = Season.build(batches, {})
    brewers = {f.about: f.rule for f in check(season, DAY) if f.rule in SAID_BY_BOTH}
    cells = ("".join(f'{i},"{row["text"]}"\n' for i, row in enumerate(rows))).encode()
    stewards = check_in(b"entry,style\n" + cells)
    assert len(stewards) == len(rows)
    right = 0
    for i, (row, declared) in enumerate(zip(rows, stewards, strict=True)):
        beer = season.beer(f"b{i}")
        assert beer is not None
        assert (beer.style, beer.style_named.how) == (declared.style, declared.named.how), row["text"]
        told = {f.rule for f in declared.findings} & SAID_BY_BOTH
        assert told == ({brewers[f"b{i}"]} if f"b{i}" in brewers else set()), row["text"]
        if beer.style is not None:
            assert beer.style.id == row.get("style"), row["text"]
            assert (declared.named.how == "read") == ("style-read" in told)
            right += 1
        else:  # what says nothing at all is no spelling of anything
            said = told & {"style-ambiguous", "style-not-beer", "style-unknown"}
            assert said or beer.style_named.how == "missing", row["text"]
    assert len(SPELT["settled"]) == 326
    assert right >= AT_LEAST
