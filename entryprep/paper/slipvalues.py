"""What the fields of a slip say: of an entry's bottles, or of a box."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from entryprep.entering.plan import Box, Slip
from entryprep.measures import both_masses
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Competition
from entryprep.tables.countries import country_name
from entryprep.text import several, upside_down

HINTS = {
    "rubber-band": "Hold with a rubber band; no tape, no glue.",
    "tape": "Hold with tape as the competition says.",
    "any": "",
}


@dataclass(frozen=True)
class Printed:
    """Slips with the same words: the paragraphs of each field, the entry's code, and how many there are.

    ``label`` is how the slips are named, ``entry`` how findings name what they belong to. Copies are numbered in the
    field ``bottle`` and in their QR codes where ``copies`` is not 0.
    """

    label: str
    values: Mapping[str, tuple[str, ...]] = field(hash=False)
    code: str = ""
    first: int = 1
    last: int = 1
    copies: int = 0
    entry: str = ""

    def bottle(self, number: int) -> str:
        """The words that number a copy."""
        return f"Bottle {number} of {self.copies}"

    def content(self, number: int) -> str:
        """What the QR code of a copy holds: the entry's code, a stroke and the bottle; no two of a print are equal.

        What stands after the last stroke is the bottle, whatever the entry's own number is made of.
        """
        return f"{self.code}/{number}" if self.code and self.copies else self.code

    @property
    def longest(self) -> str:
        """The content that needs the most room; all copies of an entry have codes of one size."""
        return self.content(self.last)


def turns(number: str) -> bool:
    """Whether a number reads as another one upside down, as 6, 81 or 906 do, and 8, 69 or 1041 do not."""
    return upside_down(number) not in {None, number.upper()}


def bottle_slips(slips: Sequence[Slip]) -> list[Printed]:
    """Slips of bottles; following bottles of one entry are taken together."""
    made: list[Printed] = []
    begun: tuple[Slip, int] | None = None
    for slip in slips:
        if begun is not None and _same_entry(begun[0], slip) and slip.bottle == begun[1] + 1:
            begun = (begun[0], slip.bottle)
            continue
        if begun is not None:
            made.append(_printed(*begun))
        begun = (slip, slip.bottle)
    return made + ([_printed(*begun)] if begun is not None else [])


def _same_entry(one: Slip, other: Slip) -> bool:
    if one.code != other.code:
        return False
    return {**vars(one), "bottle": 0} == {**vars(other), "bottle": 0}


def _printed(slip: Slip, last: int) -> Printed:
    category = ": ".join(part for part in (slip.category_code, slip.category_name) if part)
    values = {
        "number": slip.number or "",
        "competition": slip.competition,
        "category": category,
        "style": slip.style,
        "base": slip.base,
        "declaration": slip.declaration,
        "allergens": ", ".join(slip.allergens),
        "attach": HINTS.get(slip.attach, ""),
        "brewer": slip.identity[0] if slip.identity else "",
        "contact": "; ".join(slip.identity[1:]),
    }
    kept = {name: (text,) for name, text in values.items() if text}
    return Printed(slip.number or slip.code, kept, slip.code, slip.bottle, last, slip.bottles, slip.entry)


def _country(code: str | None) -> str:
    """The country as the last line of an address, in capitals as the Universal Postal Union asks (from memory)."""
    return country_name(code).upper() if code else ""


def box_slips(boxes: Sequence[Box], competition: Competition, brewer: Brewer | None) -> list[Printed]:
    """Two equal slips for each box, one outside and one inside: where it goes, whence it comes, what is in it."""
    sender: tuple[str, ...] = ()
    if brewer is not None:
        home = _country(brewer.country)
        sender = tuple(line for line in (brewer.name, *brewer.address, home, brewer.phone or "") if line)
    address = tuple(competition.delivery.address)
    address += (_country(competition.country),) if address and competition.country else ()
    ends = {brewer.country if brewer is not None else None, competition.country} - {None}
    abroad = "; samples for judging, not for sale" if len(ends) > 1 else ""
    made = []
    for box in boxes:
        bottles = sum(1 for slot in box.slots if slot)
        mass = f"about {both_masses(box.mass_kg)}"
        what = f"{several(bottles, 'bottle')} of home-brewed beer, glass and liquid{abroad}"
        values = {
            "competition": (competition.name,),
            "to": address,
            "from": sender,
            "box": (f"Box {box.number} of {box.of}",),
            "contents": (f"{what}, entered in a judged competition; not for sale.",),
            "mass": (mass,),
        }
        made.append(Printed(f"box {box.number}", {name: text for name, text in values.items() if text}, last=2))
    return made
