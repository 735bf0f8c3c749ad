"""What the fit sheet of each beer says: fit, runners-up, what was added, what would decide, what to do next time."""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.beer.beer import Beer
from entryprep.entering.declaration import declared, judges_text
from entryprep.entering.plan import FitSheet
from entryprep.entering.season import Entered, Season, batch_file
from entryprep.findings import Finding
from entryprep.vitals import Vitals

RUNNERS_UP, QUESTIONS = 4, 2
CLEAR_SHARE = 0.8


def fit_sheets(season: Season, chosen: Sequence[Entered], findings: Sequence[Finding]) -> list[FitSheet]:
    """One sheet per batch that is entered, in order of entry. Linear in entries and findings."""
    by_file: dict[str, list[Finding]] = {}
    by_entry: dict[str, list[Finding]] = {}
    for finding in findings:
        by_file.setdefault(finding.file, []).append(finding)
        by_entry.setdefault(finding.about, []).append(finding)
    entries: dict[str, list[Entered]] = {}
    for entered in chosen:
        entries.setdefault(entered.batch_id, []).append(entered)
    sheets = []
    for batch_id, own in entries.items():
        found = list(by_file.get(batch_file(season, batch_id), []))
        found += [f for e in own for f in by_entry.get(e.label, []) if f not in found]
        sheets.append(_sheet(season, own, tuple(found)))
    return sheets


def _sheet(season: Season, own: list[Entered], found: tuple[Finding, ...]) -> FitSheet:
    first = own[0]
    said = declared(season.table, first)
    beer = season.beer(first.batch_id, first)
    ranking = beer.ranking if beer and beer.vitals.known else None
    result = beer.fit(said.style) if beer and said.style else None
    colour = beer.vitals.srm if beer else None
    return FitSheet(
        batch_id=first.batch_id,
        batch_name=first.batch.name,
        declared=said.style_shown,
        base=said.base_shown,
        vitals=beer.vitals if beer else Vitals(),
        fit=result,
        suggestions=tuple(beer.suggestions(RUNNERS_UP)) if beer and ranking else (),
        none_share=ranking.none_share if ranking else 0.0,
        entries=tuple(f"{e.competition.name}: {e.category.code} {e.category.name}" for e in own),
        declaration=judges_text(first, said.style),
        findings=found,
        srm=colour.value if colour else None,
        added=tuple(verdict.told for verdict in beer.verdicts) if beer else (),
        decide=_deciding(beer) if beer and ranking else (),
        advice=beer.advice(said.style) if beer and said.style else (),
    )


def _deciding(beer: Beer) -> tuple[str, ...]:
    """The questions whose answers would tell most, where the first style is not clear."""
    shares = beer.ranking.shares
    if not shares or shares[0][1] >= CLEAR_SHARE:
        return ()
    return tuple(f"{q.text} ({q.settles})" for q in beer.questions[:QUESTIONS])
