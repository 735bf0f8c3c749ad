"""Slip layouts as records: what a judge must not see cannot be put where a judge looks."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from entryprep.tables.labelsheets import load_sheet
from entryprep.tables.sliplayouts import SlipLayout, find_layout
from entryprep.tables.templates import UnknownTemplate, template_ids

NAMES = template_ids("slips")
NUMBER = {"show": "number", "largest": 20, "smallest": 14}
ZONE: dict[str, Any] = {"top": "3 mm", "bottom": "3 mm", "fields": [NUMBER]}
BARE: dict[str, Any] = {"anonymous": True, "least_width": "80 mm", "least_height": "40 mm", "zones": [ZONE]}


def layout(**changes: Any) -> SlipLayout:
    return SlipLayout.model_validate(BARE | changes)


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_layout_fits_the_sheets_it_is_made_for(name: str) -> None:
    made = find_layout(name)
    assert made.id == name
    for page in ("letter", "a4"):
        sheet = load_sheet(f"{page}-{made.usual}")
        assert sheet.width >= made.least_width
        assert sheet.height >= made.least_height
        assert sheet.cut_lines


@pytest.mark.parametrize("name", NAMES)
def test_print_is_large_enough(name: str) -> None:
    """At least 8 points, 14 for an entry number: from memory."""
    made = find_layout(name)
    fields = [field for zone in made.zones for field in zone.fields] + (made.stub.fields if made.stub else [])
    assert all(field.smallest >= (14 if field.show == "number" else 8) for field in fields)


def test_what_ships() -> None:
    assert NAMES == ["bottle", "bottle-stub", "box", "neck-tag"]
    assert [find_layout(name).anonymous for name in NAMES] == [True, False, False, True]


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"zones": [ZONE | {"fields": [{"show": "brewer"}]}]}, "brewer stands on the judges' part"),
        ({"zones": [ZONE | {"fields": [{"show": "to"}]}]}, "a bottle slip has no field to"),
        ({"kind": "box", "zones": [ZONE | {"fields": [{"show": "style"}]}]}, "a box slip has no field style"),
        ({"kind": "box", "zones": [ZONE | {"fields": [{"show": "from"}]}]}, "an anonymous slip may not name"),
        ({"stub": {"height": "12 mm", "fields": [{"show": "brewer"}]}}, "an anonymous slip may not name"),
        ({"stub": {"height": "12 mm", "fields": [{"show": "style"}]}, "anonymous": False}, "style stands on the stub"),
        ({"zones": [ZONE | {"fields": [NUMBER | {"smallest": 9}]}]}, "number of 9 points is too small"),
        ({"zones": [ZONE | {"fields": [{"show": "style", "largest": 6}]}]}, "greater than or equal to 8"),
        ({"zones": [ZONE | {"fields": [{"show": "style", "largest": 8, "smallest": 9}]}]}, "smallest 9 is above"),
        ({"zones": [ZONE | {"fields": [NUMBER | {"kept": 24}]}]}, "kept 24 is not from smallest to largest"),
        ({"zones": [ZONE | {"fields": [{"show": "style", "say": "x"}]}]}, "either shows or says"),
        ({"zones": [ZONE | {"fields": [{"bold": True}]}]}, "either shows or says"),
        ({"zones": [ZONE | {"fields": [NUMBER | {"beside": True}]}]}, "nothing to stand beside"),
        ({"zones": [ZONE | {"fields": [NUMBER] * 9}]}, "has 34.0 mm on the lowest slip and needs"),
        ({"zones": [ZONE | {"height": "5 mm"}]}, "two of top, bottom and height"),
        ({"zones": [ZONE | {"left": "1 mm"}]}, "too near the cut"),
        ({"zones": [ZONE | {"left": "70 mm"}]}, "less than 15 mm of width"),
        ({"zones": [ZONE, ZONE]}, "zones 1 and 2 lie on each other"),
        ({"zones": []}, "at least 1 item"),
        ({"code": {"module": "0.2 mm"}}, "greater than or equal to 0.33"),
        ({"kind": "box", "zones": [ZONE | {"fields": [{"show": "to"}]}], "code": {}}, "a box has no entry number"),
    ],
)
def test_a_layout_that_cannot_work_is_refused(changes: dict[str, Any], what: str) -> None:
    layout()
    with pytest.raises(ValidationError, match=what):
        layout(**changes)


def test_zones_side_by_side_are_fine() -> None:
    halves = [ZONE | {"right": "42 mm"}, ZONE | {"left": "42 mm"}]
    assert len(layout(zones=halves).zones) == 2


def test_an_unknown_layout_is_said() -> None:
    with pytest.raises(UnknownTemplate, match="no slip layout called bottel") as refused:
        find_layout("bottel")
    assert "bottle" in refused.value.fix
