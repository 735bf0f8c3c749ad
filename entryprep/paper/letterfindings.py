"""Letters that the printing font lacks: named where they stand, with the way out."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from entryprep.entering.season import Entered, Season, batch_file
from entryprep.findings import Finding
from entryprep.paper.fonts import missing_letters, shown_letters


def letter_findings(season: Season, chosen: Sequence[Entered]) -> list[Finding]:
    """One warning for each record, or entry, whose printed words hold letters there is no glyph for. Linear."""
    found = []
    for entered in {e.batch_id: e for e in chosen}.values():
        batch = entered.batch
        words = [batch.name, batch.declaration, batch.style, batch.base, *batch.declare.values()]
        words += [a.what for a in batch.additions or ()]
        found += _lacking(season, batch_file(season, entered.batch_id), ("name",), words, entered.batch_id)
    for entered in chosen:
        entry = entered.entry
        words = [entry.number, entry.style, entry.base, entry.declaration]
        found += _lacking(season, "entries.yaml", ("entries", entered.index), words, entered.label)
    for name, competition in {e.competition_id: e.competition for e in chosen}.items():
        words = [competition.name, *competition.delivery.address]
        words += [word for c in competition.categories for word in (c.code, c.name)]
        found += _lacking(season, f"competitions/{name}.yaml", ("name",), words, "")
    brewer = season.brewer
    if brewer is not None:
        words = [brewer.name, brewer.club, brewer.email, brewer.phone, *brewer.co_brewers, *brewer.address]
        found += _lacking(season, "brewer.yaml", ("name",), words, "")
    return found


def _lacking(
    season: Season, file: str, path: tuple[str | int, ...], words: Iterable[str | None], about: str
) -> list[Finding]:
    lacking = missing_letters(" ".join(word for word in words if word))
    if not lacking:
        return []
    return [season.finding("letters-missing", {"letters": shown_letters(lacking)}, file, path, about)]
