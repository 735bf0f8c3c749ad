"""Slips and box labels as a page to be read aloud or enlarged: the fields of the layout in their order, nothing else.

A page of anonymous slips is as anonymous as they are: it is made of the very values that are printed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from entryprep.paper.equal import Line, equal_page
from entryprep.paper.flowables import Said
from entryprep.paper.fonts import BAR
from entryprep.paper.slipmark import despite_words
from entryprep.paper.sliptext import field_said
from entryprep.paper.slipvalues import Printed
from entryprep.paper.webtext import safe
from entryprep.tables.sliplayouts import SlipField, SlipLayout

_BARS = re.compile(rf"{BAR}+")
_SIGNS = {"fragile": "fragile", "this-way-up": "this way up"}


def slips_page(
    slips: Sequence[Printed], layout: SlipLayout, title: str, errors: Mapping[str, int] = MappingProxyType({})
) -> bytes:
    """The page of the slips that ``slips_pdf`` draws; ``errors`` as there. Same input, same bytes."""
    story: list[Any] = [Line(Said(title, level=1))]
    story += [each for printed in slips for each in _slip(printed, layout, errors.get(printed.entry, 0))]
    return equal_page(story, title)


@dataclass(frozen=True)
class _Copies:
    """The copies of a slip, which differ in their numbers and codes alone."""

    lines: tuple[str, ...]

    def as_html(self, _deeper: int) -> str:
        """A list of them."""
        return f"<ul>{''.join(f'<li>{safe(line)}</li>' for line in self.lines)}</ul>"


def _slip(printed: Printed, layout: SlipLayout, errors: int) -> Iterator[Any]:
    yield Line(Said(" ".join(printed.values.get("box", (printed.label,))), level=2))
    if errors:
        yield Line(Said(despite_words(errors)[0], bold=True))
    fields = [field for zone in layout.zones for field in zone.fields]
    named = layout.stub is not None and any(field.show in printed.values for field in layout.stub.fields)
    for field in fields:
        yield from _field(field, printed)
    if layout.code is not None or any(field.show == "bottle" for field in fields):
        yield _Copies(tuple(_copies(printed, layout, any(field.show == "bottle" for field in fields))))
    if layout.signs:
        yield Line(Said(f"Marks: {', '.join(_SIGNS[sign.sign] for sign in layout.signs)}"))
    if named and layout.stub is not None:
        yield Line(Said("On the stub:", bold=True))
        for field in layout.stub.fields:
            yield from _field(field, printed)


def _field(field: SlipField, printed: Printed) -> Iterator[Line]:
    if field.show == "bottle":  # each copy has its own
        return
    said = field_said(field, printed)
    for text in said:
        bars = _BARS.sub(lambda found: f"{found[0]} (blacked out)", text)
        yield Line(Said(bars, bold=field.bold))
    if not said and field.rule:
        yield Line(Said("(a line to write on)"))


def _copies(printed: Printed, layout: SlipLayout, numbered: bool) -> Iterator[str]:
    for number in range(printed.first, printed.last + 1):
        bottle = printed.bottle(number) if numbered and printed.copies else ""
        code = f"QR code {printed.content(number)}" if layout.code is not None and printed.code else ""
        yield ", ".join(each for each in (bottle, code) if each)
