"""Heat and frost on the way: by the month a box leaves in, and by the half of the earth it travels on."""

from __future__ import annotations

import pytest

from entryprep.entering.shipping import shipping_list
from tests.entering.test_shipping import items, season


def weather(country: str | None, closes: str, way: str = "carrier", own: str = "NO") -> set[str]:
    record = {"country": country, "dates": {"delivery": {"closes": closes}}}
    return {"heat", "frost"} & items(shipping_list(season({"country": own}, record), "cup", way)).keys()


# summer is December to February in the south and June to August in the north (meteorological seasons; any almanac)
@pytest.mark.parametrize("south", ["AU", "NZ", "ZA", "AR", "BR", "CL", "UY", "PY"])
@pytest.mark.parametrize("north", ["NO", "US", "GB", "DE", None])
def test_january_is_summer_in_the_south_and_winter_in_the_north(south: str, north: str | None) -> None:
    for closes, here, there in (("2027-01-20", "heat", "frost"), ("2027-07-20", "frost", "heat")):
        assert weather(south, closes) == {here}
        assert weather(north, closes) == {there}


def test_where_the_competition_is_counts_and_not_where_the_brewer_is() -> None:
    assert weather("AU", "2027-01-20", own="NZ") == weather("AU", "2027-01-20", own="NO") == {"heat"}
    assert weather("NO", "2027-01-20", own="AU") == {"frost"}


@pytest.mark.parametrize(("closes", "wanted"), [("2027-04-20", set()), ("2027-10-20", set())])
def test_mild_months_have_neither(closes: str, wanted: set[str]) -> None:
    assert weather("NO", closes) == weather("AU", closes) == wanted


def test_the_month_is_the_one_the_box_leaves_in() -> None:
    """A parcel is five days on the way: due on 3 November it leaves in October, due on 6 November in November."""
    assert weather("NO", "2027-11-03") == set()
    assert weather("NO", "2027-11-06") == {"frost"}
    assert weather("NO", "2027-05-05") == set()
    assert weather("NO", "2027-05-06") == {"heat"}


def test_what_you_carry_yourself_is_in_your_own_hands() -> None:
    for way in ("hand", "flight"):
        assert weather("NO", "2027-07-20", way) == set()
    for way in ("club", "post", "drop-off"):
        assert weather("NO", "2027-07-20", way) == {"heat"}
