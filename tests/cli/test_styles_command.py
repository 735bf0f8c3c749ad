"""``styles``: everything the table says of a style is shown, and a name that means several leads to all of them."""

from __future__ import annotations

import json

import pytest

from entryprep import load_styles
from entryprep.tables.style import Style
from tests.cli.test_commands import as_json, run

TABLE = load_styles()
# one style for each thing that may be said of one, the first in the table's order
SHOWN = {
    "takes": [s for s in TABLE if s.takes],
    "takes_any": [s for s in TABLE if s.takes_any],
    "may_have": [s for s in TABLE if s.may_have],
    "declare": [s for s in TABLE if s.declare],
    "declare_any": [s for s in TABLE if s.declare_any],
    "mistaken_for": [s for s in TABLE if s.mistaken_for],
    "best_within_months": [s for s in TABLE if s.best_within_months],
    "serve_c": [s for s in TABLE if s.serve_c],
}
CHOSEN = list({styles[0].id: styles[0] for styles in SHOWN.values() if styles}.values())


def words(style: Style, *options: str) -> str:
    result = run("styles", style.id, *options)
    assert result.exit_code == 0, result.output
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    return " ".join(result.stdout.split())


@pytest.mark.parametrize("style", CHOSEN, ids=lambda s: s.id)
def test_what_the_table_says_of_a_style_is_shown(style: Style) -> None:
    shown = words(style)
    said = [style.name, style.id, style.note, *style.aliases, *style.takes, *style.takes_any, *style.may_have]
    said += [*style.declare, *style.declare_any, *(TABLE.styles[i].name for i in style.mistaken_for)]
    said += [value for values in style.traits.values() for value in values]
    for text in said:
        assert " ".join(text.split()) in shown, text
    if style.best_within_months:
        assert f"best within {style.best_within_months:g} months of packaging" in shown
    for label, there in (("takes", style.takes), ("declare", style.declare), ("mistaken for", style.mistaken_for)):
        assert (f" {label} " in shown) == bool(there), label
    assert shown.count("and one of") == bool(style.takes_any) + bool(style.declare_any)


def test_ranges_are_written_as_the_trade_writes_them() -> None:
    style = next(s for s in TABLE if s.ranges and s.ranges["og"].high < 1.1)
    low, high = style.ranges["og"].low, style.ranges["og"].high
    assert f"OG {low:.3f}-{high:.3f}"[:-4] in words(style).replace("-.", "-1.")
    row = next(line for line in run("styles", style.family).stdout.splitlines() if line.strip().startswith(style.name))
    assert f"{style.ranges['ibu'].low:.0f}-{style.ranges['ibu'].high:.0f}" in row


def test_temperatures_follow_the_units_that_are_asked_for() -> None:
    """0 °C is 32 °F, 100 °C is 212 °F (the definition of the scales)."""
    style = next(s for s in TABLE if s.serve_c)
    assert style.serve_c is not None
    cold, warm = style.serve_c
    assert f"serve at {cold:.0f}-{warm:.0f} °C" in words(style)
    us = [c * (212 - 32) / 100 + 32 for c in (cold, warm)]
    assert f"serve at {us[0]:.0f}-{us[1]:.0f} °F" in words(style, "--units", "us")


def test_all_styles_are_listed_by_family_and_counted() -> None:
    lines = run("styles").stdout.splitlines()
    shown = " ".join(" ".join(lines).split())
    assert f" {len(TABLE)} styles. " in shown
    assert [i for i, title in TABLE.families.items() if f"{title.upper()} ({i})" not in shown] == []
    assert max(map(len, lines)) <= 80
    special = next(s for s in TABLE if s.specialty and not s.ranges)
    assert any(special.name in line and "as base" in line for line in lines)
    assert [s["id"] for s in as_json(run("styles", "--json"))["styles"]] == [s.id for s in TABLE]


def test_a_family_lists_its_own_and_a_name_of_several_lists_those() -> None:
    family = TABLE.find("American porter").family
    listed = as_json(run("styles", family, "--json"))["styles"]
    assert [s["id"] for s in listed] == [s.id for s in TABLE.of_family(family)]
    assert f"{len(listed)} styles." in run("styles", family).stdout
    several = as_json(run("styles", "dark lager", "--json"))["styles"]
    assert len(several) >= 2
    shown = run("styles", "dark lager").stdout
    assert "may mean" in shown
    assert all(TABLE.styles[s["id"]].name in shown for s in several)


def test_one_style_as_json_is_the_whole_row() -> None:
    style = CHOSEN[0]
    value = as_json(run("styles", style.name, "--json"))["style"]
    fields = {name: field for name, field in style.fields().items() if field is not None}
    assert value == json.loads(json.dumps(fields, default=dict))
    assert value["id"] == style.id
