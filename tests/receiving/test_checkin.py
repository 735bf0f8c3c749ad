"""One row after the other: style, vitals, what is missing, bottles, dates, names; a bad row stops no other."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entryprep.beer.asking import fit
from entryprep.findings import Severity
from entryprep.formats.cells import count_cell, day_cell, vital_cell
from entryprep.formats.columns import matched
from entryprep.quantities import QuantityError
from entryprep.receiving.checkin import CheckIn
from entryprep.receiving.codes import codes_of
from entryprep.receiving.declaration import Declaration, Reader
from entryprep.receiving.intake import declarations
from entryprep.tables.styles import load_styles
from entryprep.vitals import Vitals
from tests.receiving.sheets import check_in, lines, rules, sheet

HEADER: tuple[str, ...] = (
    "entry",
    "brewer",
    "beer",
    "style",
    "base",
    "specials",
    "og",
    "fg",
    "abv",
    "ibu",
    "srm",
    "carbonation",
)
HEADER += ("notes", "bottles", "condition", "brewed", "packaged", "received", "allergens")


def row(**cells: str) -> Declaration:
    given = {"entry": "1", **cells}
    (declared,) = check_in(lines(HEADER, [given.get(name, "") for name in HEADER]), bottles=2)
    return declared


def test_a_sound_entry_has_nothing_to_say() -> None:
    declared = row(style="Schwarzbier", og="1.050", fg="1.012", ibu="27", srm="25", bottles="2", condition="ok")
    assert declared.findings == []
    assert declared.questions == []
    assert declared.style is load_styles().find("schwarzbier")
    assert declared.fit is not None
    assert (
        declared.fit.score == fit(Vitals(og=1.050, fg=1.012, ibu=27, srm=25), load_styles().find("schwarzbier")).score
    )
    assert declared.allergens == ("gluten",)


def test_dark_lager_is_asked_between_four_the_best_fit_first() -> None:
    declared = row(style="dark lager", og="1.047", fg="1.009", ibu="11", srm="16")
    assert declared.style is None
    assert set(declared.named.candidates) == {
        "munich-dunkel",
        "schwarzbier",
        "czech-dark-lager",
        "international-dark-lager",
    }
    assert declared.named.candidates[0] == "international-dark-lager"  # dry, light and hardly hopped
    assert "style-fits" in rules(declared)
    assert declared.questions[0].startswith("You declared “dark lager”. Do you mean International Dark Lager, ")


def test_a_miss_is_told_with_its_significance() -> None:
    far = row(style="German Pils", og="1.060", fg="1.012", ibu="35", srm="4")
    (finding,) = [f for f in far.findings if f.rule == "style-out-of-range" and f.what.startswith("original gravity")]
    assert finding.severity is Severity.WARNING
    assert "more than the error of a hydrometer" in finding.what
    assert (finding.line, finding.column, finding.path) == (2, 7, "og")
    near = row(style="German Pils", og="1.0505", fg="1.010", ibu="35", srm="4")
    assert all(f.severity is not Severity.WARNING for f in near.findings)


def test_a_special_beer_is_checked_on_its_base() -> None:
    declared = row(style="Fruit Beer", base="Witbier", specials="apricot", og="1.090", fg="1.012", ibu="15", srm="4")
    assert "base-out-of-range" in rules(declared)
    family = row(style="Fruit Beer", base="stout", specials="apricot", og="1.040", fg="1.008", ibu="10", srm="3")
    assert "base-out-of-range" in rules(family)
    fine = row(style="Fruit Beer", base="stout", specials="apricot", og="1.042", fg="1.010", ibu="35", srm="33")
    assert rules(fine) == set()


@pytest.mark.parametrize(
    ("cells", "missing"),
    [
        ({"style": "Fruit Beer"}, ("base", "fruit")),
        ({"style": "Fruit Beer", "base": "Witbier", "specials": "Schlehe"}, ()),
        ({"style": "Fruit and Spice Beer", "base": "Witbier", "specials": "plums"}, ("spice",)),
        ({"style": "Fruit and Spice Beer", "base": "Witbier", "specials": "plums; ginger"}, ()),
        ({"style": "Saison"}, ("strength", "colour")),
        ({"style": "Saison", "specials": "pale; standard"}, ()),
        ({"style": "Specialty Wood-Aged Beer", "base": "Old Ale", "specials": "oak"}, ("spirit",)),
        ({"style": "Experimental Beer"}, ("description", "vitals")),
        ({"style": "Experimental Beer", "specials": "a gose with hops", "og": "1.05", "fg": "1.01"}, ()),
        ({"style": "Kölsch"}, ()),
        (
            {"style": "Fruit Lambic", "specials": "sour cherries", "carbonation": "3.0", "sweetness": "-"},
            ("sweetness",),
        ),
    ],
)
def test_missing_declarations_are_found_and_asked(cells: dict[str, str], missing: tuple[str, ...]) -> None:
    # what a style wants declared: styles/*.yaml; which words answer it is common practice
    declared = row(**{k: v for k, v in cells.items() if k in HEADER})
    assert declared.missing == missing
    assert len([f for f in declared.findings if f.rule == "declaration-missing"]) == len(missing)
    assert len(declared.questions) == len(missing)


@pytest.mark.parametrize(
    ("cells", "allergens"),
    [
        ({"style": "Milk Stout"}, {"gluten", "milk"}),
        ({"style": "Witbier"}, {"gluten", "wheat"}),
        ({"style": "Imperial Stout", "specials": "hazelnuts and lactose"}, {"gluten", "tree nuts", "milk"}),
        ({"style": "Imperial Stout", "specials": "no lactose"}, {"gluten"}),
        ({"style": "Old Ale", "allergens": "oysters; sesame"}, {"gluten", "molluscs", "sesame", "oysters"}),
        (
            {"style": "Spice Beer", "base": "Oatmeal Stout", "specials": "peanut butter"},
            {"gluten", "oats", "peanut"},  # ground peanuts, no butter
        ),
    ],
)
def test_allergens(cells: dict[str, str], allergens: set[str]) -> None:
    # EU Regulation 1169/2011 Annex II and the US nine; which beers carry which is common practice
    assert set(row(**cells).allergens) == allergens


def test_notes_are_told_beside_the_specials() -> None:
    declared = row(style="Fruit and Spice Beer", base="Witbier", specials="plums", notes="with ginger")
    assert declared.missing == ()
    assert declared.told == "plums; with ginger"
    assert row(style="Gose", specials="none", notes="-").told == ""


def test_bottles_and_condition() -> None:
    assert {"bottles-too-few", "bottle-broken"} <= rules(
        row(style="Gose", bottles="1", condition="one broken in transit")
    )
    assert "bottle-doubtful" in rules(row(style="Gose", bottles="2", condition="leaking"))
    assert "bottles-unreadable" in rules(row(style="Gose", bottles="two and a half"))
    assert rules(row(style="Gose", bottles="2 bottles", condition="not broken")) == set()


def test_dates() -> None:
    assert "dates-disagree" in rules(row(style="Gose", brewed="2027-03-01", packaged="2027-02-01"))
    assert "past-best" in rules(row(style="Hazy IPA", packaged="2026-03-01", received="2027-02-01"))
    assert "date-unreadable" in rules(row(style="Gose", packaged="03/04/2027"))
    assert rules(row(style="Gose", brewed="1.2.2027", packaged="13/02/2027", received="2027-03-01")) == set()


def test_a_name_in_the_declaration_is_told_and_an_ingredient_is_none() -> None:
    assert "brewer-named" in rules(row(style="Gose", brewer="Ottilie Brandvik", specials="by Ottilie  BRANDVIK; salt"))
    assert "beer-named" in rules(row(style="Gose", beer="Tollbooth Nine", specials="our Tollbooth Nine with salt"))
    assert (
        rules(row(style="Spice Beer", base="Gose", beer="Ginger", brewer="Rose", specials="ginger and rose")) == set()
    )


def test_a_number_twice_and_a_row_without() -> None:
    found = check_in("entry,style\n7,Gose\n7,Kölsch\n,Altbier\n")
    assert [rules(d) for d in found] == [set(), {"number-twice"}, {"entry-number-missing"}]
    assert "row 2 already" in found[1].findings[0].what
    assert found[2].entry == "row 4"


@pytest.mark.parametrize(
    ("text", "vital", "header", "value"),
    [
        ("1.052", "og", "", 1.052),
        ("1,052", "og", "", 1.052),
        ("1052", "og", "", 1.052),
        ("OG 1.052", "og", "", 1.052),
        ("5,2 %", "abv", "", 5.2),
        ("~ 5.2%", "abv", "", 5.2),
        ("30-40", "ibu", "", 35),
        ("30 to 40 IBU", "ibu", "", 35),
        ("approx. 2.4 vols", "co2", "", 2.4),
    ],
)
def test_numbers_as_people_write_them(text: str, vital: str, header: str, value: float) -> None:
    reading = vital_cell(text, vital, header)
    assert reading is not None
    assert reading.value == pytest.approx(value, abs=1e-9)


def test_units_of_the_column_count() -> None:
    plato, ebc = vital_cell("12", "og", "OG (°P)"), vital_cell("24", "srm", "Colour (EBC)")
    assert plato is not None
    assert ebc is not None
    # textbook ASBC pair 12.0 °P = 1.0484, from memory; EBC = 1.97 SRM, common practice
    assert plato.value == pytest.approx(1.0484, abs=0.0003)
    assert ebc.value == pytest.approx(24 / 1.97, abs=0.01)


def test_a_range_and_about_are_less_sure() -> None:
    plain, about, span = (vital_cell(t, "ibu") for t in ("30", "about 30", "15-45"))
    errors = [reading.error for reading in (plain, about, span) if reading is not None and reading.error is not None]
    assert errors == sorted(set(errors))
    assert errors[2] == 15


@pytest.mark.parametrize("text", ["52", "1.5", "lots", "nan", "-1.05", "1e400", "1.0.5", "Ж"])
def test_a_gravity_that_cannot_be_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        vital_cell(text, "og")


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2027-02-13", dt.date(2027, 2, 13)),
        ("13.2.27", dt.date(2027, 2, 13)),
        ("13/02/2027", dt.date(2027, 2, 13)),
        ("02/13/2027", dt.date(2027, 2, 13)),
        ("2027-02-13 00:00:00", dt.date(2027, 2, 13)),
        ("4/4/2027", dt.date(2027, 4, 4)),
        ("-", None),
    ],
)
def test_days(text: str, day: dt.date | None) -> None:
    assert day_cell(text) == day


@pytest.mark.parametrize("text", ["03/04/2027", "2027-02-30", "soon", "32.1.2027"])
def test_days_that_cannot_be_read(text: str) -> None:
    with pytest.raises(QuantityError):
        day_cell(text)


@pytest.mark.parametrize(
    ("text", "near", "day"),
    [
        ("8 Jan 2027", None, dt.date(2027, 1, 8)),
        ("Jan 8, 2027", None, dt.date(2027, 1, 8)),
        ("8-Jan-27", None, dt.date(2027, 1, 8)),
        ("8. Januar 2027", None, dt.date(2027, 1, 8)),
        ("le 1er mars 2027", None, dt.date(2027, 3, 1)),
        ("8 de enero de 2027", None, dt.date(2027, 1, 8)),
        ("14 maggio 2027", None, dt.date(2027, 5, 14)),
        ("3 mrt 2027", None, dt.date(2027, 3, 3)),
        ("8 Jan", dt.date(2027, 3, 13), dt.date(2027, 1, 8)),
        ("December 20", dt.date(2027, 3, 13), dt.date(2026, 12, 20)),
        ("29 Feb", dt.date(2027, 3, 13), dt.date(2024, 2, 29)),
        # 2008-01-01 is day 39448 of spreadsheets: the usual example of the function DATE, from memory
        ("39448", None, dt.date(2008, 1, 1)),
        ("39448.75", None, dt.date(2008, 1, 1)),
    ],
)
def test_days_in_words_and_as_spreadsheets_count_them(text: str, near: dt.date | None, day: dt.date) -> None:
    assert day_cell(text, near) == day


@pytest.mark.parametrize("text", ["8 Jan", "8 jui 2027", "30 Feb 2027", "8 Foo 2027", "0 Jan 2027"])
def test_words_that_are_no_day_are_refused(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        day_cell(text)
    assert caught.value.fix


@pytest.mark.parametrize(
    ("text", "vital", "header", "value"),
    [
        ("5.0", "co2", "CO2 (g/l)", 2.55),  # 5.0 g/l is 2.5 volumes (common practice: 1.96 to 2.0 g/l each)
        ("5,0 g/l", "co2", "", 2.55),
        ("2.5", "co2", "volumes", 2.5),
        ("5,2 Vol.-%", "abv", "", 5.2),
        ("5.2 % vol", "abv", "", 5.2),
        ("0.052", "abv", "ABV as a fraction", 5.2),
        ("5.2 %", "abv", "ABV as a fraction", 5.2),
        ("12", "og", "Stammwürze", 1.0484),
        ("1.048", "og", "Stammwürze (°P)", 1.048),
        ("amber", "srm", "", 7.5),  # BJCP 2021 Style Guidelines, Color Reference: amber 6 to 9
        ("Dark brown", "srm", "", 26),  # the same: 22 to 30
        ("brun foncé", "srm", "Couleur", 26),
    ],
)
def test_units_of_the_header_and_colours_in_words(text: str, vital: str, header: str, value: float) -> None:
    reading = vital_cell(text, vital, header)
    assert reading is not None
    assert reading.value == pytest.approx(value, rel=0.01 if vital == "co2" else 1e-4)


def test_a_colour_in_words_is_less_sure_than_a_figure() -> None:
    word, figure = vital_cell("amber", "srm"), vital_cell("7.5", "srm")
    assert word is not None
    assert figure is not None
    assert (word.error or 0) > (figure.error or 0) + 1


@pytest.mark.parametrize("text", ["greenish", "between", "to"])
def test_a_colour_nobody_knows_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        vital_cell(text, "srm")


def test_shares_of_one_are_percentages_and_told() -> None:
    opened = sheet("Entry,Style,ABV\n1,Gose,0.047\n2,Gose,0.05\n3,Gose,0.061\n")
    declared = list(declarations(CheckIn(Reader(opened, matched(opened, "declarations")), load_styles())))
    assert [d.vitals.abv.value for d in declared if d.vitals and d.vitals.abv] == pytest.approx([4.7, 5.0, 6.1])
    assert [f.rule for f in opened.findings] == ["sheet-fraction"]


def test_a_name_in_two_columns_is_one_brewer() -> None:
    (declared,) = check_in("Entry,First name,Last name,Style\n1,Asta,Lie,Gose\n")
    assert declared.text("brewer") == "Asta Lie"


def test_counts() -> None:
    assert [count_cell(t) for t in ("two", "Zwei Flaschen", "a dozen")] == [2, 2, 12]
    assert [count_cell(t) for t in ("3", "3 bottles", " 2x ", "3.0", "?", "")] == [3, 3, 2, 3, None, None]


def test_a_strength_that_does_not_follow_from_the_gravities_is_asked() -> None:
    # 1.050 to 1.010 gives 5.2 to 5.3 % by every usual formula (common practice)
    wrong = row(style="American Pale Ale", og="1.050", fg="1.010", abv="6.8")
    assert "vitals-disagree" in rules(wrong)
    assert any("ABV 6.8" in question for question in wrong.questions)
    assert "vitals-disagree" not in rules(row(style="American Pale Ale", og="1.050", fg="1.010", abv="5.3"))


def test_much_gas_is_a_caution() -> None:
    (finding,) = [f for f in row(style="Weissbier", carbonation="4.8 volumes").findings if f.rule == "over-carbonated"]
    assert "eye protection" in finding.fix
    assert "over-carbonated" not in rules(row(style="Weissbier", carbonation="3.8"))


@pytest.mark.parametrize(
    ("specials", "told"),
    [
        # 5 g are held poisonous (toxicology handbooks, from memory); 20 litres: a usual batch (common practice)
        ("nutmeg 40 g", "nutmeg 40 g (if in 20 litres), 2 g in a litre"),
        ("12 nutmegs in 10 L", "12 nutmegs in 10 L, 6 g in a litre"),
        ("nutmeg 5 g", ""),
        ("nutmeg 40 g in 100 l", ""),
        ("2 nutmegs", ""),
    ],
)
def test_a_harmful_amount_is_told_however_it_is_written(specials: str, told: str) -> None:
    declared = row(style="Winter spiced beer", base="Brown ale", specials=specials, abv="6")
    found = [f.what for f in declared.findings if f.rule == "dose-unsafe"]
    assert [what[: len(told)] for what in found] == ([told] if told else [])


@pytest.mark.parametrize(
    ("specials", "severity"),
    [
        # a litre holds at most about a kilogram of fruit (conservation of volume); 20 litres: a usual batch
        ("12 lb/gal apricots", Severity.ERROR),
        ("26 kg of apricots in 20 L", Severity.ERROR),
        ("apricots 26 kg", Severity.WARNING),  # it may be a big batch
        ("2 lb apricots per gallon", None),
        ("apricots 26 kg in 100 l", None),
    ],
)
def test_an_impossible_amount_is_told_however_it_is_written(specials: str, severity: Severity | None) -> None:
    declared = row(style="Fruit beer", base="Blonde ale", specials=specials, abv="6")
    found = [f.severity for f in declared.findings if f.rule == "addition-impossible"]
    assert found == ([severity] if severity is not None else [])


def test_contradicting_gravities_are_asked() -> None:
    declared = row(style="Gose", og="1.010", fg="1.050", ibu="8")
    assert "vitals-contradict" in rules(declared)
    assert declared.vitals is not None
    assert set(declared.vitals.known) == {"ibu"}
    assert any("1.010" in question for question in declared.questions)


@given(
    st.lists(
        st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30), min_size=len(HEADER), max_size=len(HEADER)
    )
)
@settings(max_examples=60, deadline=None)
def test_any_text_in_any_cell_is_told_and_stops_nothing(cells: list[str]) -> None:
    import csv
    import io

    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n", quoting=csv.QUOTE_ALL)
    writer.writerows([HEADER, [c.replace("\r", " ").replace("\0", "") for c in cells], ["z9", "", "", "Gose"]])
    found = check_in(stream.getvalue().encode("utf-8", "replace"))
    assert found[-1].entry == "z9"
    assert found[-1].style is not None


@pytest.mark.parametrize(
    ("text", "drink"),
    [
        ("cider", "cider"),
        ("Dry Mead", "mead"),
        ("Apfelwein", "cider"),
        ("hidromiel", "mead"),
        ("hard seltzers", "seltzer"),
    ],
)
def test_what_is_no_beer_is_told_and_no_beer_is_offered_for_it(text: str, drink: str) -> None:
    declared = row(style=text)
    (finding,) = [f for f in declared.findings if f.rule == "style-not-beer"]
    assert f"is {drink}, and no beer" in finding.what
    assert "style-unknown" not in rules(declared)
    assert not any("Perhaps" in question for question in declared.questions)


def test_styles_are_offered_by_what_a_word_means_or_not_at_all() -> None:
    assert any("Irish" in question for question in row(style="Irish Staut Extra Thing").questions)
    for absurd in ("Grandma's best", "Number nine", "Xyzzy", "The thing from the cellar"):
        assert not any("Perhaps" in question for question in row(style=absurd).questions), absurd


CUP = """name: Cup
categories:
  - {code: "21B", name: Black IPA, styles: [Black IPA]}
  - {code: "12", name: Dark lagers, families: [dark-lager]}
  - {code: "7", name: Munich Helles}
"""


@pytest.mark.parametrize(
    ("style", "how", "first"),
    [
        ("21B", "read", "black-ipa"),
        ("21 b", "read", "black-ipa"),
        ("Category 21b", "read", "black-ipa"),
        ("Cat 12", "unsettled", ""),
        ("Kategorie 7", "read", "munich-helles"),
        ("99Z", "unknown", ""),
        ("Gose", "named", "gose"),
    ],
)
def test_codes_are_read_by_the_competitions_own_file(tmp_path: Path, style: str, how: str, first: str) -> None:
    (tmp_path / "competition.yaml").write_text(CUP, encoding="utf-8")
    opened = sheet(f"entry,style\n1,{style}\n")
    check = CheckIn(Reader(opened, matched(opened, "declarations")), load_styles())
    check.codes = codes_of(tmp_path, load_styles())
    (declared,) = declarations(check)
    assert (declared.named.how, declared.style.id if declared.style else "") == (how, first)


@pytest.mark.parametrize(
    ("style", "what", "where"),
    [
        ("Coffee IPA", "coffee", "Spice, Herb, or Vegetable Beer"),
        ("raspberry wheat", "raspberry", "Fruit Beer"),
        ("Milk stout with vanilla", "vanilla", "Spice, Herb, or Vegetable Beer"),
    ],
)
def test_what_a_name_says_was_added_is_asked_for(style: str, what: str, where: str) -> None:
    # a beer with fruit, or with spice, coffee and the like, belongs there: BJCP 2021 Style Guidelines, 29A and 30A
    (question,) = row(style=style).questions
    assert f"we take {what} for what was added" in question
    assert where in question


@pytest.mark.parametrize(
    ("specials", "style", "allergens", "told"),
    [
        # Regulation (EU) 1169/2011, annex II, from memory: milk, and wheat as a cereal that holds gluten
        ("dulce de leche", "Spice beer", "barley", "dulce de leche (milk)"),
        ("dulce de leche", "Spice beer", "barley; milk", ""),
        ("", "Weissbier", "barley", "weissbier (wheat)"),
        ("", "Weissbier", "gluten; fish", ""),
        ("", "Weissbier", "", ""),  # what nobody stated is named on the papers
    ],
)
def test_an_allergen_that_is_not_among_those_stated_is_told(
    specials: str, style: str, allergens: str, told: str
) -> None:
    declared = row(style=style, base="Brown ale" if specials else "", specials=specials, allergens=allergens)
    found = [f.what for f in declared.findings if f.rule == "allergen-not-listed"]
    assert [text.startswith(f"by what is said of it, it holds {told}, and ") for text in found] == [True] * bool(told)
