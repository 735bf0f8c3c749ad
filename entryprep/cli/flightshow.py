"""What ``flights`` says of flights and settings, whether they come from a sheet or from a register."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any

from entryprep.cli.boundary import UsageProblem
from entryprep.cli.flightfiles import Made
from entryprep.cli.show import console, paragraph, table
from entryprep.findings import Finding, Severity
from entryprep.receiving.flights import Flight, small_flights
from entryprep.receiving.sessions import Session, SessionError, in_order, read_session, read_sessions
from entryprep.records.competition import Competition
from entryprep.tables.rules import finding
from entryprep.text import counted

MOST_SHOWN = 120
UNSETTLED = {"style-missing", "style-ambiguous", "style-unknown"}
USUAL: Mapping[str, Any] = {
    "least": 6,
    "most": 10,
    "panel": 3,
    "beers": 35,
    "scale": "fifty",
    "page": "a4",
    "sessions": "",
}
"""What holds for a register where nobody said otherwise; what somebody said holds until it is said otherwise."""


def sessions_of(said: str, cup: Competition | None) -> tuple[Session, ...]:
    """The sessions, as told or as the competition has them. Raises UsageProblem for what is none."""
    try:
        told = read_sessions(said)
        if not told and cup is not None:
            told = in_order([read_session(text) for text in cup.sessions])
    except SessionError as error:
        raise UsageProblem(error.message, error.fix) from None
    return told


def said_of(made: Made, findings: Sequence[Finding]) -> str:
    """The answer in one line: how many entries in how many flights, who judges them, and what stands against it."""
    sizes = [len(flight.entries) for flight in made.flights if flight.entries]
    spread = f" of {min(sizes)} to {max(sizes)}" if len(set(sizes)) > 1 else f" of {sizes[0]}" if sizes else ""
    parts = [f"{counted(sum(sizes), 'entry', 'entries')} in {counted(len(sizes), 'flight')}{spread}"]
    if made.panels:
        rounds = max(panel.round for panel in made.panels)
        parts.append(f"{counted(len(made.judges), 'judge')}, {counted(rounds, 'round')}")
    marks = Counter(found.severity for found in findings)
    open_ = [counted(marks[mark], mark.value) for mark in (Severity.ERROR, Severity.WARNING) if marks[mark]]
    return "; ".join([*parts, *([" and ".join(open_)] if open_ else [])]) + "."


def small_findings(made: Sequence[Flight], least: int, name: str) -> list[Finding]:
    """What is told of flights with fewer entries than wanted; ``name`` is the file they are made from."""
    return [
        finding(
            "flight-small",
            {
                "flight": flight.number,
                "title": flight.title,
                "count": counted(len(flight.entries), "entry", "entries"),
            },
            file=name,
            case="alone" if len(flight.entries) == 1 else "",
        )
        for flight in small_flights(made, least)
        if flight.entries
    ]


def show_flights(made: Made) -> None:
    """A line for each flight: how many entries, of what, when and by whom."""
    seats = {panel.flight: panel for panel in made.panels}
    rows = [
        (
            str(flight.number),
            str(len(flight.entries)),
            flight.title,
            *((made.when(flight.number), ", ".join(seats[flight.number].judges) or "nobody") if seats else ()),
        )
        for flight in made.flights[:MOST_SHOWN]
    ]
    heads = ("flight", "entries", "groups", *(("when", "judges") if seats else ()))
    out = console()
    out.print()
    out.print(table(heads, rows, right=(0, 1)))
    if len(made.flights) > MOST_SHOWN:
        out.print(paragraph(f"... and {len(made.flights) - MOST_SHOWN} more flights; --json gives all."))
