"""What can hurt, or cannot be true, of the one beer that a command was given."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from entryprep.cli.boundary import FINDINGS
from entryprep.cli.show import console, paragraph, say_finding
from entryprep.findings import Finding, has_errors, ordered

if TYPE_CHECKING:
    from entryprep.beer.beer import Beer
    from entryprep.beer.caution import Caution


def cautions_told(beer: Beer, file: Path | None) -> list[Finding]:
    """The cautions of a beer as findings, at their places in its file where that is a record."""
    found = beer.cautions
    if not found:
        return []
    from entryprep.reading.yamltext import dotted
    from entryprep.tables.rules import finding

    places = _places(file, found)
    made = [
        finding(
            told.rule,
            told.values,
            file=file.as_posix() if file else "",
            line=line,
            column=column,
            path=dotted(told.path) if file else "",
            about="" if file else beer.name,
            milder=told.milder,
        )
        for told, (line, column) in zip(found, places, strict=True)
    ]
    return sorted(ordered(made), key=lambda each: list(_ORDER).index(each.severity.value))


_ORDER = ("error", "warning", "note")


def _places(file: Path | None, found: Sequence[Caution]) -> list[tuple[int, int]]:
    from entryprep.reading.files import read_yaml
    from entryprep.reading.yamltext import RecordError

    nowhere = [(0, 0)] * len(found)
    if file is None or file.suffix.lower() not in {".yaml", ".yml"}:
        return nowhere
    try:
        document = read_yaml(file)
    except RecordError:
        return nowhere
    return [document.place(told.path) for told in found]


def cautions_json(found: Sequence[Finding]) -> list[dict[str, Any]]:
    """Cautions as plain values."""
    return [each.as_json() for each in found]


def say_stops(found: Sequence[Finding]) -> None:
    """Before any answer: that the beer may hurt somebody. Why, and what to do, stands with the cautions below."""
    if not found:
        return
    from entryprep.tables.rules import dangerous

    stops = [each for each in found if dangerous(each)]
    for each in stops:
        console().print(paragraph(f"STOP: {each.what}.", "bold red"))


def say_cautions(found: Sequence[Finding]) -> None:
    """Cautions below the answer, the loudest first."""
    if not found:
        return
    out = console()
    out.print()
    out.print(paragraph("Take care", "bold"))
    for each in found:
        say_finding(each)


def ended(found: Sequence[Finding]) -> None:
    """Exit with the code of findings where there is an error among them."""
    if has_errors(found):
        raise SystemExit(FINDINGS)
