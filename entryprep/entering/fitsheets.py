"""What the fit sheet of each beer says: fit, runners-up, what was added, what would decide, what to do next time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from entryprep.beer.advice import next_time
from entryprep.beer.beer import Assessed
from entryprep.beer.questions import questions
from entryprep.beer.ranking import Ranking, Suggestion, explained
from entryprep.entering.declaration import declared, find_style, judges_text
from entryprep.entering.plan import FitSheet
from entryprep.entering.season import Entered, Season, assessed_in, batch_file
from entryprep.findings import Finding
from entryprep.tables.style import Style
from entryprep.vitals import Vitals

RUNNERS_UP, QUESTIONS = 4, 2
CLEAR_SHARE = 0.8


def put_together(season: Season, chosen: Iterable[Entered]) -> dict[str, Assessed | None]:
    """Each entered batch put together once; None where its records contradict each other (a finding elsewhere)."""
    return {batch_id: assessed_in(season, batch_id) for batch_id in dict.fromkeys(e.batch_id for e in chosen)}


def fit_sheets(
    season: Season, chosen: Sequence[Entered], beers: dict[str, Assessed | None], findings: Sequence[Finding]
) -> list[FitSheet]:
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
        sheets.append(_sheet(season, own, beers[batch_id], tuple(found)))
    return sheets


def _sheet(season: Season, own: list[Entered], beer: Assessed | None, found: tuple[Finding, ...]) -> FitSheet:
    first = own[0]
    said = declared(season.table, first)
    ranking = beer.ranked(season.table, base=said.base) if beer and beer.vitals.known else None
    result = beer.fit(said.style, said.base) if beer and said.style else None
    colour = beer.vitals.get("srm") if beer else None
    return FitSheet(
        batch_id=first.batch_id,
        batch_name=first.batch.name,
        declared=said.style.name if said.style else said.style_name or "",
        base=said.base.name if said.base else said.base_name or "",
        vitals=beer.vitals if beer else Vitals(),
        fit=result,
        suggestions=_runners_up(beer, ranking, said.base),
        none_share=ranking.none_share if ranking else 0.0,
        entries=tuple(f"{e.competition.name}: {e.category.code} {e.category.name}" for e in own),
        declaration=judges_text(first, find_style(season.table, said.style_name)),
        findings=found,
        srm=colour.value if colour else None,
        added=tuple(verdict.told for verdict in beer.verdicts) if beer else (),
        decide=_deciding(beer, ranking),
        advice=next_time(first.batch, result) if result else (),
    )


def _runners_up(beer: Assessed | None, ranking: Ranking | None, base: Style | None) -> tuple[Suggestion, ...]:
    tops = ranking.shares[:RUNNERS_UP] if ranking and beer else ()
    return tuple(explained(beer.vitals, beer.traits, beer.kinds, *pair, base) for pair in tops if beer)


def _deciding(beer: Assessed | None, ranking: Ranking | None) -> tuple[str, ...]:
    """The questions whose answers would tell most, where the first style is not clear."""
    if beer is None or ranking is None or not ranking.shares or ranking.shares[0][1] >= CLEAR_SHARE:
        return ()
    return tuple(f"{q.text} ({q.settles})" for q in questions(ranking, beer.traits)[:QUESTIONS])
