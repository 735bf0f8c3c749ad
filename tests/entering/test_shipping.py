"""The shipping checklist: what applies to whom, what is never said, and days worked back."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, get_args

import pytest

from entryprep.entering.plan import CheckItem, ShippingList
from entryprep.entering.season import Entered, Season
from entryprep.entering.shipping import CLOSING, Item, Place, Sections, Ways, shipping_list, way_of
from entryprep.quantities import QuantityError
from entryprep.reading.validate import validate
from entryprep.reading.words import Way
from entryprep.records.batch import Batch
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Competition
from entryprep.records.entry import Entry
from entryprep.tables.countries import EU, states_of
from entryprep.tables.shipped import shipped_document, shipped_names
from entryprep.tables.styles import load_styles

WAYS = get_args(Way)
FOLDER = "templates/shipping"
PLACES = [f"{FOLDER}/places/{name}" for name in shipped_names(f"{FOLDER}/places")]
TITLES = ["Before packing", "Packing", "The law and the way", "On the day"]


def season(
    brewer: dict[str, Any] | None = None,
    competition: dict[str, Any] | None = None,
    batch: dict[str, Any] | None = None,
    ways: tuple[str | None, ...] = (None,),
) -> Season:
    """One batch entered in one competition, once for each of ``ways``."""
    made = Season(Path("season"), load_styles())
    made.brewer = Brewer.model_validate({"name": "Ødger Kvist", **brewer}) if brewer is not None else None
    beer = made.batches["b"] = Batch.model_validate({"name": "Grå Łuna", **(batch or {})})
    record = {"name": "The Cup", "categories": [{"code": "A", "name": "Ales"}], **(competition or {})}
    cup = made.competitions["cup"] = Competition.model_validate(record)
    for index, way in enumerate(ways):
        entry = Entry.model_validate({"batch": "b", "competition": "cup", "category": "A", "way": way})
        made.entered.append(Entered(index, entry, "b", beer, "cup", cup, cup.categories[0]))
    return made


def items(listed: ShippingList) -> dict[str, CheckItem]:
    found = [item for _, section in listed.sections for item in section]
    assert len({item.id for item in found}) == len(found), "no line stands twice"
    return {item.id: item for item in found}


def between(own: str | None, there: str | None, way: str, own_state: str = "", state: str = "") -> dict[str, CheckItem]:
    brewer = {"country": own, "state": own_state or None}
    return items(shipping_list(season(brewer, {"country": there, "state": state or None}), "cup", way))


# --- the data


def all_items() -> list[tuple[str, Item]]:
    found: list[tuple[str, Item]] = []
    ways, problems = validate(shipped_document(f"{FOLDER}/ways.yaml"), Ways)
    assert ways is not None, problems
    assert sorted(row.id for row in ways.ways) == sorted(WAYS)
    found += [(f"ways/{row.id}", item) for row in ways.ways for item in row.items]
    sections, problems = validate(shipped_document(f"{FOLDER}/packing.yaml"), Sections)
    assert sections is not None, problems
    found += [("packing", item) for section in sections.sections for item in section.items]
    for name in PLACES:
        place, problems = validate(shipped_document(name), Place)
        assert place is not None, problems
        found += [(name, item) for item in place.items]
    return found


def test_every_line_has_an_id_of_its_own_a_source_and_where_it_was_looked_up_a_month() -> None:
    ids = [item.id for _, item in all_items()]
    assert len(ids) == len(set(ids))
    for _, item in all_items():
        assert item.source
        # of what nobody looked up no month is told
        parts = [part.strip() for part in item.source.split(";")]
        looked_up = not all(part.endswith(("from memory", "common practice")) for part in parts)
        assert (item.checked == "2026-11") is looked_up, item.id
        assert item.state is None or item.country, f"{item.id}: codes of states mean nothing without the country"


def test_no_carrier_and_no_company_is_named() -> None:
    """Public postal services may be; the Mail and the authorities are named by their own names."""
    for where, item in all_items():
        text = f"{item.text} {item.source}".lower()
        for name in ("fedex", "ups", "dhl", "dpd", "hermes", "purolator", "gls", "tnt", "amazon"):
            assert not re.search(rf"\b{name}\b", text), f"{where}: {item.id}"


def test_disguise_is_only_ever_advised_against() -> None:
    for where, item in all_items():
        if re.search(r"yeast sample|disguis|call the contents|leave a declaration out", item.text.lower()):
            assert item.kind == "stop", f"{where}: {item.id}"
            assert item.text.startswith("Do not")
    for way in ("carrier", "post"):
        assert any(i.endswith("-honest") for i in between("US", "US", way))


def test_what_is_disputed_or_remembered_says_so() -> None:
    lines = {item.id: item for _, item in all_items()}
    assert "unsettled" in lines["concentrated-us"].text
    assert "unclear" in lines["us-import"].text
    assert "passed for signature" in lines["us-wi"].text, "that it became law is not in the source"
    for name in ("us-no-sale", "us-quantity", "us-state-law"):
        assert "copy of" in lines[name].source, "an old copy of the text was read, not the text in force"
    for name in ("us-into-state", "gb-own", "gb-courier", "open-one", "pressure", "carrier-weekdays", "foraged"):
        assert "from memory" in lines[name].source


# --- every list


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("country", ["US", "CA", "GB", "AU", "DE", "NO", None])
def test_every_list_has_its_sections_in_order_and_closes_with_care(way: str, country: str | None) -> None:
    made = season({"country": country}, {"country": country, "delivery": {"address": ["1 Quay", "Ebbing"]}})
    listed = shipping_list(made, "cup", way)
    assert [title for title, _ in listed.sections] == TITLES
    assert listed.closing == CLOSING
    assert listed.closing.startswith("This is not legal advice. Local law and licensed practice decide;")
    assert listed.address == ("1 Quay", "Ebbing")
    found = items(listed)
    for name in ("any-check-first", "open-one", "gravity-stable", "allergens", "age"):
        assert name in found
    assert listed == shipping_list(made, "cup", way)


def test_no_brewer_and_no_entries_is_no_fault() -> None:
    found = items(shipping_list(season(None, ways=()), "cup", "carrier"))
    assert "any-check-first" in found
    assert "any-abroad" not in found
    with pytest.raises(KeyError):
        shipping_list(season(), "nowhere")


# --- the law


def test_the_us_mail_is_a_stop_at_either_end() -> None:
    for own, there in (("US", "US"), ("DE", "US"), ("US", "CA")):
        line = between(own, there, "post")["us-mail"]
        assert line.kind == "stop"
        assert "18 U.S.C. 1716(f)" in line.source
        assert "Publication 52" in line.source
    assert "us-mail" not in between("US", "US", "carrier")
    assert "us-mail" not in between("GB", "GB", "post")


def test_private_carriers_are_a_caution_and_lawful_routes_are_offered() -> None:
    found = between("US", "US", "carrier")
    for name, word in (("carrier-contract", "contract"), ("carrier-signature", "adult"), ("carrier-terms", "licensed")):
        assert found[name].kind == "caution"
        assert word in found[name].text
    assert "by hand" in found["carrier-lawful-routes"].text


def test_terms_of_us_carriers_are_told_only_where_the_usa_is_an_end() -> None:
    for own, there in (("GB", "GB"), (None, None)):
        found = between(own, there, "carrier")
        assert not {"carrier-contract", "carrier-signature", "carrier-freight"} & set(found)
        assert "carrier-terms" in found


@pytest.mark.parametrize(
    ("country", "way", "there"),
    [("CA", "post", "ca-post"), ("CA", "flight", "ca-flight"), ("GB", "post", "gb-post"), ("AU", "post", "au-post"),
     ("DE", "carrier", "eu-border"), ("SE", "hand", "eu-own")],
)  # fmt: skip
def test_each_country_has_its_lines(country: str, way: str, there: str) -> None:
    assert there in between(country, country, way)


def test_a_country_nobody_looked_at_is_told_to_check_first() -> None:
    law = [i for i in between("NO", "NO", "hand") if re.match(r"(us|ca|gb|au|eu|any)-", i)]
    assert law == ["any-check-first"]


def test_each_member_state_of_the_union_stands_once() -> None:
    assert len(set(EU)) == len(EU) == 27


@pytest.mark.parametrize(("state", "line"), [("WA", "us-wa"), ("wa", "us-wa"), ("AL", "us-al"), ("WI", "us-wi")])
def test_a_state_has_its_line_at_either_end(state: str, line: str) -> None:
    assert line in between("US", "US", "hand", state, "OR")
    assert line in between("US", "US", "hand", "OR", state)
    assert line not in between("US", "US", "hand", "OR", "OR")


def test_a_state_of_another_country_with_the_same_letters_is_not_meant() -> None:
    assert "us-wa" not in between("AU", "US", "flight", "WA", "OR"), "Western Australia"
    assert "us-wa" not in between("US", "AU", "flight", "OR", "WA")


def test_a_border_is_told_only_where_both_ends_are_known() -> None:
    assert "any-abroad" in between("CA", "US", "hand")
    assert "us-import" in between("CA", "US", "hand")
    assert "any-abroad" not in between("US", "US", "hand")
    assert "any-abroad" not in between("US", None, "hand")


# --- the beer


def lines_for(batch: dict[str, Any], country: str = "US", way: str = "hand") -> dict[str, CheckItem]:
    return items(shipping_list(season({"country": country}, {"country": country}, batch), "cup", way))


@pytest.mark.parametrize("what", ["Jalapeño", "Chipotle in adobo", "ancho chiles", "HABANERO"])
def test_chile_is_found_whatever_its_spelling(what: str) -> None:
    assert "chile" in lines_for({"additions": [{"what": what, "kind": "spice"}]})
    assert "chile" in lines_for({"declare": {"spice": what}})


@pytest.mark.parametrize("what", ["black pepper", "pink peppercorns", "peppermint", "Pepperell cocoa"])
def test_pepper_is_no_chile(what: str) -> None:
    assert "chile" not in lines_for({"additions": [{"what": what, "kind": "spice"}]})


def test_foraged_and_limited_ingredients_are_told() -> None:
    assert "foraged" in lines_for({"additions": [{"what": "Spruce tips", "kind": "spice"}]})
    assert "foraged" not in lines_for({"additions": [{"what": "cinnamon", "kind": "spice"}]})
    woodruff = {"additions": [{"what": "woodruff", "kind": "spice"}]}
    assert "limited-us" in lines_for(woodruff)
    assert "limited-us" not in lines_for(woodruff, "GB")


def test_concentration_is_told_in_the_usa_only() -> None:
    batch = {"concentrated": {"before": "20 L", "after": "15 L"}}
    assert "unsettled" in lines_for(batch)["concentrated-us"].text
    assert "concentrated-us" not in lines_for(batch, "DE")
    assert "concentrated-us" not in lines_for({})


def test_pressure_is_told_where_a_bottle_holds_more_than_it_should() -> None:
    lively = {"measured": {"co2": 3.3}}
    assert "pressure" in lines_for({**lively, "bottles": [{"count": 2, "type": "longneck"}]})
    assert "pressure" not in lines_for({**lively, "bottles": [{"count": 2, "type": "heavy-330"}]})
    assert "pressure" not in lines_for({"bottles": [{"count": 2, "type": "longneck"}]})


def test_conditioned_and_wild_beers_have_their_lines() -> None:
    assert "conditioning" in lines_for({"carbonation": {"method": "bottle-conditioned"}})
    assert "conditioning" not in lines_for({"carbonation": {"method": "forced"}})
    assert "gravity-wild" in lines_for({"traits": {"fermentation": "wild"}})
    assert "gravity-wild" not in lines_for({"traits": {"fermentation": "ale"}})


def test_cushioning_is_for_boxes_that_others_handle() -> None:
    for way in WAYS:
        assert ("cushion" in lines_for({}, way=way)) == (way != "hand")
        assert ("reused" in lines_for({}, way=way)) == (way not in {"hand", "flight"})


# --- the way


def test_the_way_is_the_one_asked_then_the_entries_then_the_organisers() -> None:
    delivery = {"delivery": {"ways": ["club", "hand"]}}
    assert way_of(season({}, delivery, ways=(None, "flight", "post")), "cup", "hand") == "hand"
    assert way_of(season({}, delivery, ways=(None, "flight", "post")), "cup") == "flight"
    assert way_of(season({}, delivery), "cup") == "club"
    assert way_of(season({}), "cup") == "carrier"
    with pytest.raises(QuantityError, match="no way of sending called pigeon"):
        way_of(season({}), "cup", "pigeon")


# --- days

DATES = {
    "registration": {"closes": "2027-02-28"},
    "delivery": {"opens": "2027-03-01", "closes": "2027-03-13"},  # a Saturday
    "judging": "2027-03-20",
}


def days(way: str, dates: dict[str, Any]) -> dict[str, str]:
    return dict(shipping_list(season({}, {"dates": dates}), "cup", way).dates)


def test_days_stand_in_the_order_they_are_needed() -> None:
    listed = shipping_list(season({}, {"dates": DATES}), "cup", "carrier").dates
    assert [name for name, _ in listed] == [
        "Registration closes", "Send no later than", "Not to arrive before", "Last day of delivery", "Judging",
    ]  # fmt: skip
    assert dict(listed)["Judging"] == "Sat 2027-03-20"
    assert dict(listed)["Not to arrive before"] == "Mon 2027-03-01"


@pytest.mark.parametrize(
    ("way", "title", "day"),
    [
        ("carrier", "Send no later than", "Mon 2027-03-08"),  # five days before
        ("post", "Send no later than", "Wed 2027-03-03"),  # seven days before is a Saturday
        ("hand", "Bring no later than", "Sat 2027-03-13"),
        ("drop-off", "Drop off no later than", "Thu 2027-03-11"),
    ],
)
def test_the_last_day_to_send_is_worked_back(way: str, title: str, day: str) -> None:
    assert days(way, DATES)[title].startswith(day)


@pytest.mark.parametrize("closes", [f"2027-03-{d:02}" for d in range(8, 15)])
def test_no_box_is_sent_from_thursday_to_sunday(closes: str) -> None:
    for way in ("carrier", "post"):
        assert days(way, {"delivery": {"closes": closes}})["Send no later than"][:3] in {"Mon", "Tue", "Wed"}


def test_days_that_are_not_known_are_left_out() -> None:
    assert days("carrier", {}) == {}
    assert list(days("carrier", {"judging": "2027-03-20"})) == ["Judging"]
    assert "Not to arrive before" not in days("carrier", {"delivery": {"closes": "2027-03-13"}})


# --- many lands


@pytest.mark.parametrize("country", ["NO", "CH", "NZ", "BR", "AR", "CL", "MX", "JP", "KR", "ZA"])
def test_a_country_of_which_nothing_is_known_says_to_look_it_up(country: str) -> None:
    for ends in ((country, "US"), ("US", country)):
        found = [i for name, i in between(*ends, "carrier").items() if name.startswith("look-up-")]
        assert len(found) == 1
        assert "nothing is known here" in found[0].text
        assert "2026-11" in found[0].source


def test_every_state_has_its_own_line_or_says_to_look_it_up() -> None:
    for country in ("US", "CA", "AU"):
        for state in states_of(country):
            listed = between(country, country, "hand", state, state)
            own = [n for n in listed if n in {f"look-up-{country}-{state}".lower(), f"{country}-{state}".lower()}]
            assert len(own) == 1, state
    assert not [name for name in between("NO", "NO", "hand", "Oslo") if name.startswith("look-up-no-")][1:]


def test_customs_are_told_of_what_is_in_the_boxes_where_others_carry_them_over_a_border() -> None:
    batch = {"measured": {"og": 1.050, "fg": 1.012}, "bottles": [{"count": 6}]}
    made = season({"country": "NO"}, {"country": "US"}, batch, ("post",))
    words = items(shipping_list(made, "cup", "post"))["customs-words"].text
    assert "2 bottles of home-brewed beer, 5.0 % alcohol by volume, " in words
    assert "not for sale; made in Norway" in words
    ends: list[tuple[str | None, str | None]] = [("US", "US"), ("DE", "FR"), (None, "US"), ("US", None)]
    for own, there in ends:
        assert not [name for name in between(own, there, "post") if name.startswith("customs")]
    assert not [name for name in between("NO", "US", "hand") if name.startswith("customs")]
    assert "customs-words" in between("GB", "FR", "carrier")


def test_international_post_is_warned_of() -> None:
    line = between("NO", "DE", "post")["post-abroad"]
    assert "commonly refused" in line.text
    assert "from memory" in line.source
    assert "post-abroad" not in between("NO", "NO", "post")
