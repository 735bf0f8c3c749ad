"""``styles``: the table, a family of it, or one style."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from entryprep.cli.plain import Line
from entryprep.cli.show import console, paragraph, print_json, table
from entryprep.measures import degrees_between
from entryprep.tables.style import Style
from entryprep.tables.styles import AmbiguousStyle, StyleTable, UnknownStyle, load_styles
from entryprep.text import several
from entryprep.vitals import VITALS, span


def run(name: str, as_json: bool) -> None:
    """``entryprep styles``."""
    styles = load_styles()
    if not name:
        _list(styles, list(styles), as_json)
        return
    try:
        style = styles.find(name)
    except AmbiguousStyle as error:
        if not as_json:
            console().print(paragraph(f"{error}."))
        _list(styles, [styles.styles[i] for i in error.candidates], as_json)
        return
    except UnknownStyle:
        family = styles.of_family(name)
        if not family:
            raise
        _list(styles, list(family), as_json)
        return
    if as_json:
        print_json({"style": style_json(style)})
    else:
        _one(styles, style)


def style_json(style: Style) -> dict[str, Any]:
    """A style as plain values."""
    return {name: value for name, value in style.fields().items() if value is not None}


def _list(styles: StyleTable, chosen: list[Style], as_json: bool) -> None:
    if as_json:
        print_json({"styles": [style_json(style) for style in chosen]})
        return
    out = console()
    wide = out.width >= _WIDE
    if wide:
        out.print(_line("style", [vital.upper() for vital in _SHOWN], "bold"))
    family = ""
    for style in chosen:
        if style.family != family:
            family = style.family
            out.print(paragraph(f"{styles.families[family].upper()} ({family})", "bold"))
        cells = [_short(style, vital) for vital in _SHOWN]
        if wide:
            out.print(_line(f"  {style.name}", cells))
        else:  # a name and five ranges do not stand beside each other
            out.print(paragraph(style.name, indent=2))
            told = (f"{vital.upper()} {cell}" for vital, cell in zip(_SHOWN, cells, strict=True) if cell)
            out.print(paragraph("  ".join(told), indent=4))
    tail = "`entryprep styles NAME` shows one. In brackets: the family as `families:` names it."
    out.print(paragraph(f"{several(len(chosen), 'style')}. {tail}"))


_SHOWN = ("og", "fg", "abv", "ibu", "srm")
_WIDE = 80
_NAME, _RANGES = 26, (11, 12, 10, 8, 11)  # columns of the list: the longest of each, and what parts them


def _line(name: str, cells: Sequence[str], style: str = "") -> Line:
    """A line of the list; a long name takes from the space before the ranges."""
    ranges = "".join(f"{cell:>{width}}" for cell, width in zip(cells, _RANGES, strict=True)).rstrip()
    spare = min(max(len(name) - _NAME, 0), max(len(ranges) - len(ranges.lstrip()) - 1, 0))
    return Line.of(f"{name:<{_NAME}}{ranges[spare:]}", style)


def _short(style: Style, vital: str) -> str:
    range_ = style.ranges.get(vital)
    if range_ is None:
        return "as base" if style.specialty and vital == "og" else ""
    low, _, high = span(vital, range_.low, range_.high).partition("-")
    return f"{low}-{high[1:] if vital in {'og', 'fg'} and low[0] == high[0] else high}"


def _one(styles: StyleTable, style: Style) -> None:
    out = console()
    out.print(paragraph(f"{style.name}  ({style.id}, {styles.families[style.family].lower()}: {style.family})", "bold"))
    out.print(paragraph(style.note))
    rows = [(vital.upper(), _short(style, vital)) for vital in VITALS if vital in style.ranges]
    rows += [(name.replace("_", " "), ", ".join(values)) for name, values in style.traits.items()]
    if style.takes:
        rows.append(("takes", ", ".join(style.takes)))
    if style.takes_any:
        rows.append(("and one of", ", ".join(style.takes_any)))
    if style.may_have:
        rows.append(("may have", ", ".join(style.may_have)))
    if style.declare:
        rows.append(("declare", ", ".join(style.declare)))
    if style.declare_any:
        rows.append(("and one of", ", ".join(style.declare_any)))
    if style.serve_c:
        rows.append(("serve at", degrees_between(*style.serve_c)))
    if style.best_within_months:
        rows.append(("best within", f"{style.best_within_months:g} months of packaging"))
    if style.mistaken_for:
        rows.append(
            ("mistaken for", ", ".join(styles.styles[i].name for i in style.mistaken_for if i in styles.styles))
        )
    if style.aliases:
        rows.append(("also called", ", ".join(style.aliases)))
    out.print(table(("", ""), rows))
