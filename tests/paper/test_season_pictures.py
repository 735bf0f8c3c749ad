"""The picture of all beers and that of all days: well-formed, every beer and day in it, users' text as text."""

from __future__ import annotations

import datetime as dt
import itertools
import re
from xml.etree import ElementTree as ET

import pytest

from entryprep.entering.planning.calendar import Day
from entryprep.entering.planning.chart import Pictured
from entryprep.paper.beerspicture import beers_picture
from entryprep.paper.timelinepicture import timeline_picture
from entryprep.vitals import Reading

SVG = "{http://www.w3.org/2000/svg}"
NASTY = '<script>alert("x")</script> & Sons'


def beers(count: int) -> list[Pictured]:
    return [
        Pictured(
            f"b{i}",
            NASTY if i == 0 else f"Beer {i}",
            {"og": Reading(1.040 + i * 0.0005, 0.001), "abv": Reading(5.0, 0.3), "srm": Reading(3.0 + i, 1.0)},
        )
        for i in range(count)
    ]


@pytest.mark.parametrize("count", [1, 7, 40])
def test_every_beer_is_on_every_line_of_what_is_known(count: int) -> None:
    root = ET.fromstring(beers_picture(beers(count)))
    marks = root.findall(f"{SVG}g")
    assert len(marks) == 3 * count
    assert not root.findall(f".//{SVG}script")
    words = ["".join(t.itertext()) for t in root.iter(f"{SVG}text")]
    assert sum(w.startswith("Original gravity") for w in words) == 1
    assert any(w.startswith("Bitterness (not known: A") for w in words)
    width, height = (float(x) for x in root.attrib["viewBox"].split()[2:])
    places = [(float(c.attrib["cx"]), float(c.attrib["cy"])) for c in root.iter(f"{SVG}circle")]
    assert all(0 <= x <= width and 0 <= y <= height for x, y in places)
    assert all(abs(a[0] - b[0]) >= 18 or abs(a[1] - b[1]) >= 18 for i, a in enumerate(places) for b in places[:i])


def test_marks_stand_in_the_order_of_their_values() -> None:
    root = ET.fromstring(beers_picture(beers(20)))
    told = [
        (g.findtext(f"{SVG}title") or "", float(circle.attrib["cx"]))
        for g in root.findall(f"{SVG}g")
        for circle in g.findall(f"{SVG}circle")
    ]
    gravities = [(float(t.rsplit(", ", 1)[1]), x) for t, x in told if re.search(r", 1\.0\d+$", t)]
    assert len(gravities) == 20
    assert [x for _, x in sorted(gravities)] == sorted(x for _, x in gravities)


def test_letters_are_legible_on_every_colour() -> None:
    """Contrast of letters and mark by WCAG 2.1: 4.5 to 1 is wanted of text (success criterion 1.4.3)."""

    def luminance(colour: str) -> float:
        text = colour.removeprefix("#")
        text = "".join(c * 2 for c in text) if len(text) == 3 else text
        linear = []
        for i in (0, 2, 4):
            share = int(text[i : i + 2], 16) / 255
            linear.append(share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4)
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    made = [Pictured(f"b{i}", "x", {"og": Reading(1.050, 0.001), "srm": Reading(1.0 + i * 0.5)}) for i in range(80)]
    for mark in ET.fromstring(beers_picture(made)).findall(f"{SVG}g"):
        circle, letters = mark.find(f"{SVG}circle"), mark.find(f"{SVG}text")
        assert circle is not None
        assert letters is not None
        pair = sorted((luminance(circle.attrib["fill"]), luminance(letters.attrib["fill"])))
        assert (pair[1] + 0.05) / (pair[0] + 0.05) >= 4.5, circle.attrib["fill"]


def test_every_day_is_on_the_line_of_its_beer_or_competition() -> None:
    today = dt.date(2027, 1, 10)
    days = [
        Day(dt.date(2027, 1, 20), "brew", "", "ferry", f"{NASTY}: brew by this day"),
        Day(dt.date(2027, 3, 1), "send", "cup", "", "Cup: send"),
        Day(dt.date(2027, 3, 2), "deliver", "cup", "", "Cup: last day", opens=dt.date(2027, 2, 1)),
        Day(dt.date(2027, 3, 3), "judge", "cup", "", "Cup: judging"),
    ]
    text = timeline_picture(days, {"ferry": NASTY, "cup": "Cup"}, today)
    root = ET.fromstring(text)
    marks = {(g.findtext(f"{SVG}title") or "")[:10]: g.find(f"{SVG}circle") for g in root.findall(f"{SVG}g")}
    assert len(marks) == len(days)
    assert not root.findall(f".//{SVG}script")
    heights = {day: mark.attrib["cy"] for day, mark in marks.items() if mark is not None}
    assert heights["2027-01-20"] != heights["2027-03-01"] == heights["2027-03-02"] == heights["2027-03-03"]
    across = [float(mark.attrib["cx"]) for mark in marks.values() if mark is not None]
    assert across == sorted(across)
    assert min(b - a for a, b in itertools.pairwise(across)) >= 18  # no mark hides another
    assert timeline_picture(days, {"ferry": NASTY, "cup": "Cup"}, today) == text
