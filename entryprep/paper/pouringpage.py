"""Pouring lists as a page: the same words, with boxes to tick and to fill, for who hears or enlarges them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from entryprep.paper.equal import Line, data_table, equal_page
from entryprep.paper.flowables import Said
from entryprep.paper.pouringlist import CAUTION, LABELS, NONE, REPLACES, TITLE, serving, with_heads
from entryprep.paper.webtext import safe
from entryprep.receiving.flights import Flight
from entryprep.receiving.tasting import ORDER_RULE
from entryprep.tables.styles import StyleTable


def pouring_page(
    flights: Iterable[Flight],
    table: StyleTable,
    rounds: Mapping[int, int] | None = None,
    replaces: Mapping[int, str] | None = None,
    seats: Mapping[int, tuple[str, Sequence[str]]] | None = None,
) -> bytes:
    """The same lists as a page to be read aloud, enlarged, or ticked off on a screen; arguments as for the PDF."""
    story: list[Any] = [Line(Said(TITLE, level=1))]
    lists = list(with_heads(flights, rounds, replaces, seats))
    for flight, said in lists:
        story.append(Line(Said(f"Pouring list, flight {flight.number}", level=2)))
        story += [Line(Said(f"{REPLACES} {said.old}", bold=True))] if said.old else []
        story.append(Line(Said(f"{flight.title}: {said.how_many(flight)}", bold=True)))
        story.append(Line(Said(f"Judges: {', '.join(said.judges)}" if said.judges else "judges: not named")))
        story += [Line(Said(serving(flight, table))), _Rows(flight)]
    story += [Line(Said(ORDER_RULE)), Line(Said(CAUTION))] if lists else [Line(Said(NONE))]
    return equal_page(story, TITLE)


class _Rows:
    """The rows of a list as a table with boxes to tick and to fill."""

    def __init__(self, flight: Flight) -> None:
        self.flight = flight

    def as_html(self, _deeper: int) -> str:
        """The table."""
        rows = []
        for turn, entry in enumerate(self.flight.entries, 1):
            said = [Line(Said(entry.words))] if entry.words else []
            said += [Line(Said(f"Allergens: {entry.allergens}", bold=True))] if entry.allergens else []
            said += [Line(Said(f"Take care: {care}", bold=True)) for care in entry.care]
            named = Line(Said(entry.named or "not declared"))
            boxes = [_Input(f"{label} {entry.number}", label in {"poured", "back"}) for label in LABELS]
            rows.append([Line(Said(entry.number)), Line(Said(str(turn))), named, said, *boxes])
        return data_table(("blind number", "turn", "style", "declared; allergens named", *LABELS), rows)


class _Input:
    """A box to tick, or one to write in."""

    def __init__(self, label: str, tick: bool) -> None:
        self.label, self.tick = label, tick

    def as_html(self, _deeper: int) -> str:
        """It, with its label for who does not see the head of its column."""
        kind = 'type="checkbox"' if self.tick else 'type="text" size="4"'
        return f'<input {kind} aria-label="{safe(self.label)}">'
