"""BeerXML in: all its kinds, no entities, no network, problems at line and column."""

from __future__ import annotations

from pathlib import Path

import pytest

from entryprep.formats.beerxml import read_beerxml
from entryprep.formats.draft import ReadRecipe
from entryprep.formats.opening import read_recipe
from entryprep.reading.yamltext import RecordError

# the elements and words are those of the BeerXML 1.0 standard (beerxml.com, "BeerXML Standard, version 1"), from memory
FERMENTABLE = """<FERMENTABLE><NAME>pale</NAME><VERSION>1</VERSION><TYPE>Grain</TYPE><AMOUNT>4.5</AMOUNT>
<YIELD>80</YIELD><COLOR>3</COLOR></FERMENTABLE>"""
HOP = """<HOP><NAME>hop</NAME><VERSION>1</VERSION><ALPHA>6.5</ALPHA><AMOUNT>0.030</AMOUNT><USE>Boil</USE><TIME>60</TIME>
</HOP>"""
YEAST = """<YEAST><NAME>yeast</NAME><VERSION>1</VERSION><TYPE>Ale</TYPE><FORM>Dry</FORM><AMOUNT>0.011</AMOUNT>
<AMOUNT_IS_WEIGHT>TRUE</AMOUNT_IS_WEIGHT><ATTENUATION>74</ATTENUATION></YEAST>"""
MISC = """<MISC><NAME>coriander</NAME><VERSION>1</VERSION><TYPE>Spice</TYPE><USE>Boil</USE><TIME>5</TIME>
<AMOUNT>0.02</AMOUNT><AMOUNT_IS_WEIGHT>TRUE</AMOUNT_IS_WEIGHT></MISC>"""


def recipe(
    fermentable: str = FERMENTABLE,
    hop: str = HOP,
    yeast: str = YEAST,
    misc: str = MISC,
    more: str = "",
    name: str = "A",
) -> str:
    return f"""<RECIPE><NAME>{name}</NAME><VERSION>1</VERSION><TYPE>All Grain</TYPE>
<STYLE><NAME>Witbier</NAME></STYLE><BREWER>x</BREWER><BATCH_SIZE>20</BATCH_SIZE><BOIL_SIZE>26</BOIL_SIZE>
<BOIL_TIME>75</BOIL_TIME><EFFICIENCY>72</EFFICIENCY>
<FERMENTABLES>{fermentable}</FERMENTABLES><HOPS>{hop}</HOPS><YEASTS>{yeast}</YEASTS><MISCS>{misc}</MISCS>{more}
</RECIPE>"""


def read(text: str, wanted: str | None = None, encoding: str = "utf-8") -> ReadRecipe:
    return read_beerxml(f"<RECIPES>{text}</RECIPES>".encode(encoding), "r.xml", wanted)


def problems(content: str | bytes, wanted: str | None = None) -> list[str]:
    with pytest.raises(RecordError) as caught:
        read_beerxml(content.encode() if isinstance(content, str) else content, "r.xml", wanted)
    assert all(f.fix for f in caught.value.findings)
    return [f.text for f in caught.value.findings]


def test_a_plain_recipe() -> None:
    got = read(recipe())
    made = got.batch.recipe
    assert made is not None
    assert (made.volume, made.boil_volume, made.boil_minutes, made.efficiency) == (20, 26, 75, 72)
    assert made.fermentables[0].potential == pytest.approx(1.03697, abs=1e-5)  # 80 % of sucrose's 46.21 points
    assert made.hops is not None
    assert (made.hops[0].mass, made.hops[0].alpha, made.hops[0].minutes) == (30, 6.5, 60)
    assert (made.yeast[0].mass, made.yeast[0].attenuation, made.yeast[0].form) == (11, 74, "dry")
    assert got.batch.style == "Witbier"
    assert got.batch.traits.fermentation == "ale"
    assert got.batch.additions is not None
    assert (got.batch.additions[0].mass, got.batch.additions[0].stage) == (0.02, "boil")


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("Grain", "grain"),
        ("Sugar", "sugar"),
        ("Extract", "extract"),
        ("Dry Extract", "dry extract"),
        ("Adjunct", "grain"),
    ],
)
def test_every_kind_of_fermentable(word: str, kind: str) -> None:
    """The kinds of BeerXML 1.0; an adjunct is unmalted grain (common practice)."""
    made = read(recipe(FERMENTABLE.replace("Grain", word))).batch.recipe
    assert made is not None
    assert made.fermentables[0].kind == kind


@pytest.mark.parametrize(
    ("word", "use"),
    [("Boil", "boil"), ("Dry Hop", "dry"), ("Mash", "mash"), ("First Wort", "first wort"), ("Aroma", "stand")],
)
@pytest.mark.parametrize("form", ["Pellet", "Plug", "Leaf"])
def test_every_use_and_form_of_hops(word: str, use: str, form: str) -> None:
    """The uses and forms of BeerXML 1.0; its Aroma is a stand after the boil (common practice)."""
    hop = HOP.replace("Boil", word).replace("</HOP>", f"<FORM>{form}</FORM></HOP>")
    made = read(recipe(hop=hop)).batch.recipe
    assert made is not None
    assert made.hops is not None
    assert (made.hops[0].use, made.hops[0].form) == (use, form.lower())


@pytest.mark.parametrize(
    ("word", "kind"),
    [("Ale", "ale"), ("Lager", "lager"), ("Wheat", "ale"), ("Wine", "wine"), ("Champagne", "champagne")],
)
@pytest.mark.parametrize("form", ["Liquid", "Dry", "Slant", "Culture"])
def test_every_kind_and_form_of_yeast(word: str, kind: str, form: str) -> None:
    """The kinds and forms of BeerXML 1.0; wheat beer has an ale yeast (common practice)."""
    made = read(recipe(yeast=YEAST.replace("Ale", word).replace("Dry", form))).batch.recipe
    assert made is not None
    assert (made.yeast[0].kind, made.yeast[0].form) == (kind, form.lower())


@pytest.mark.parametrize("word", ["Spice", "Fining", "Water Agent", "Herb", "Flavor", "Other"])
def test_every_kind_of_misc_is_an_addition_or_named_as_left_aside(word: str) -> None:
    got = read(recipe(misc=MISC.replace("Spice", word)))
    if word in {"Spice", "Herb", "Flavor"}:
        assert got.batch.additions
    else:
        assert got.batch.additions == []
        assert any("coriander" in text for text in got.ignored)


def test_what_is_not_read_and_what_is_missing_is_told() -> None:
    got = read(recipe(more="<NOTES>secret</NOTES><EST_OG>1.050 SG</EST_OG>").replace("<BREWER>x</BREWER>", ""))
    assert {"NOTES", "EST_OG"} <= set(got.ignored)
    assert any("BREWER" in text and "requires" in text for text in got.assumed)


def test_stated_gravities_count_as_predicted_and_nonsense_is_left_aside() -> None:
    got = read(recipe(more="<OG>1.052</OG><FG>1011.0</FG><CARBONATION>2.4</CARBONATION>"))
    said = got.batch.predicted
    assert said.og is not None
    assert said.co2 is not None
    assert (said.og.value, said.fg, said.co2.value) == (1.052, None, 2.4)
    assert any("FG 1011.0" in text for text in got.assumed)


def test_one_of_several_recipes_is_chosen_by_name() -> None:
    two = recipe() + recipe(name="Żuraw &amp; Łoś")
    assert read(two, "żuraw & łoś").batch.name == "Żuraw & Łoś"
    (said,) = problems(f"<RECIPES>{two}</RECIPES>")
    assert "2 recipes" in said
    (said,) = problems(f"<RECIPES>{two}</RECIPES>", "Snipe")
    assert "no recipe Snipe" in said


def test_declared_encodings_are_followed_and_wrong_ones_refused() -> None:
    head = '<?xml version="1.0" encoding="{}"?>\n<RECIPES>'
    for encoding in ("ISO-8859-1", "windows-1252", "UTF-8", "UTF-16"):
        content = (head.format(encoding) + recipe(name="Kölsch ø") + "</RECIPES>").encode(encoding)
        assert read_beerxml(content, "r.xml").batch.name == "Kölsch ø"
    content = (head.format("UTF-8") + recipe(name="Kölsch") + "</RECIPES>").encode("latin-1")
    (said,) = problems(content)
    assert "r.xml:2:" in said
    (said,) = problems((head.format("klingon") + recipe() + "</RECIPES>").encode())
    assert "encoding" in said or "cannot be read" in said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (recipe(hop=HOP.replace("6.5", "120")), "r.xml:5:110: recipe.hops[1].alpha: 120 is not an alpha acid content"),
        (recipe(hop=HOP.replace(">60<", ">-5<")), "recipe.hops[1].minutes: -5 is not a time"),
        (recipe(FERMENTABLE.replace("4.5", "-4")), "recipe.fermentables[1].mass: -4 is not a mass"),
        (recipe(FERMENTABLE.replace("4.5", "4,5")), "AMOUNT: 4,5 is not a number"),
        (recipe(FERMENTABLE.replace("80", "8000")), "recipe.fermentables[1].potential"),
        (recipe(FERMENTABLE.replace("<AMOUNT>4.5</AMOUNT>", "")), "the amount is not clear"),
        (recipe(FERMENTABLE.replace("Grain", "Stone")), "stone is not one of the words expected here"),
        (recipe(hop=HOP.replace("<AMOUNT>0.030</AMOUNT>", "")), "recipe.hops[1].mass"),
        (recipe().replace("<EFFICIENCY>72", "<EFFICIENCY>0"), "an efficiency of 0 % is not above 0"),
        (recipe().replace("<BATCH_SIZE>20", "<BATCH_SIZE>-20"), "recipe.volume: -20 is not a volume"),
        (recipe().replace("<BATCH_SIZE>20", "<BATCH_SIZE>nan"), "recipe.volume: nan is not a number"),
    ],
)
def test_impossible_values_are_told_at_their_place(text: str, words: str) -> None:
    said = problems(f"<RECIPES>{text}</RECIPES>")
    assert any(words in line for line in said), said
    assert all(line.startswith("r.xml:") for line in said)


BOMB = '<!DOCTYPE r [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]><RECIPES><RECIPE><NAME>&b;</NAME></RECIPE></RECIPES>'
OUTSIDE = '<!DOCTYPE r SYSTEM "http://example.org/r.dtd"><RECIPES/>'
FILE = '<!DOCTYPE r [<!ENTITY f SYSTEM "file:///etc/hostname">]><RECIPES><RECIPE><NAME>&f;</NAME></RECIPE></RECIPES>'


@pytest.mark.parametrize("text", [BOMB, OUTSIDE, FILE])
def test_entities_and_document_types_are_refused(text: str) -> None:
    (said,) = problems(text)
    assert "document type" in said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not XML"),
        ("<RECIPES>", "not XML"),
        ("<RECIPES><RECIPE></RECIPES>", "not XML"),
        ("<HOPS/>", "no BeerXML recipe"),
        ("<RECIPES/>", "no recipe"),
        ("<RECIPES>&nope;</RECIPES>", "not XML"),
        ("<A>" * 100_000, "nested too deeply"),
        ("<RECIPES>" + "<A/>" * 400_001 + "</RECIPES>", "too many elements"),
    ],
)
def test_what_is_no_recipe_is_refused(text: str, words: str) -> None:
    (said,) = problems(text)
    assert words in said


def test_a_file_of_50_mb_is_refused_before_it_is_read(tmp_path: Path) -> None:
    big = tmp_path / "big.xml"
    with big.open("wb") as stream:
        stream.write(b"<RECIPES>")
        stream.truncate(50_000_000)
    with pytest.raises(RecordError, match=r"50\.0 MB"):
        read_recipe(big)


def test_a_recipe_without_hops_or_malt_is_read() -> None:
    made = read(recipe("", "", "", "")).batch.recipe
    assert made is not None
    assert (made.fermentables, made.hops, made.yeast) == ([], [], [])
