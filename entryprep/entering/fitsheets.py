"""What the fit sheet of each beer says: what to enter it as and why, runners-up, what was added, what to do."""

from __future__ import annotations

from collections.abc import Sequence

from entryprep.beer.beer import Beer
from entryprep.beer.fitting import Fit
from entryprep.entering.declaration import Declared, declared, judges_text
from entryprep.entering.plan import FitSheet
from entryprep.entering.season import Entered, Season, batch_file
from entryprep.findings import Finding
from entryprep.tables.rules import dangerous
from entryprep.text import several
from entryprep.vitals import Vitals, amount, words_of

RUNNERS_UP, QUESTIONS = 4, 2
MISSES_TOLD = 2


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
    ranked = beer is not None and bool(beer.vitals.known)
    result = beer.fit(said.style) if beer and said.style else None
    colour = beer.vitals.srm if beer else None
    enter_as, reason, shown = (result.style.name if result else "", "", result)
    if beer and ranked:
        enter_as, reason, shown = _advised(beer, said, result)
    return FitSheet(
        batch_id=first.batch_id,
        batch_name=first.batch.name,
        declared=said.style_shown,
        base=said.base_shown,
        vitals=beer.vitals if beer else Vitals(),
        fit=result,
        suggestions=tuple(beer.suggestions(RUNNERS_UP)) if beer and ranked else (),
        none_share=beer.ranking.none_share if beer and ranked else 0.0,
        entries=tuple(f"{e.competition.name}: {e.category.code} {e.category.name}" for e in own),
        declaration=judges_text(first, said.style),
        findings=found,
        srm=colour.value if colour else None,
        added=tuple(verdict.told for verdict in beer.verdicts) if beer else (),
        decide=_deciding(beer) if beer and ranked else (),
        advice=beer.advice(said.style) if beer and said.style else (),
        enter_as=enter_as,
        reason=reason,
        shown=shown,
        changed=beer is not None and beer.base_vitals is not None,
        no_style=beer is not None and ranked and beer.placement.style is None,
        stops=tuple(f.what for f in found if dangerous(f)),
    )


def _advised(beer: Beer, said: Declared, result: Fit | None) -> tuple[str, str, Fit | None]:
    """What to enter a beer as, a line of reason, and the fit to the style that is meant."""
    answer = beer.placement
    if answer.style is None:
        return "", _reason(answer.line, _misfit(result, said)), result
    why = f"{answer.why[:1].upper()}{answer.why[1:]}." if answer.why else ""
    if said.style is not None and answer.declared:
        return answer.named, _inside(result, beer) if result else "", result
    best = beer.fit(answer.style)
    if said.style is not None:
        return answer.named, _reason(_misfit(result, said), why), best
    own = said.style_named.text
    if said.style_named.how == "unsettled":
        none = "" if answer.declared else ", and it is far more likely none of them"
        known = f"“{own}” may mean {several(len(said.style_named.candidates), 'style')}{none}."
    else:
        known = f"“{own}” is no style of the table." if own else "No style is declared yet."
    return answer.named, _reason(known, why, _inside(best, beer)), best


def _reason(*sentences: str) -> str:
    return " ".join(filter(None, sentences))


def _misfit(result: Fit | None, said: Declared) -> str:
    """How badly the declared style fits; empty where that is not known."""
    if result is None or result.score is None:
        return f"Declared as {said.style_shown}." if said.style_shown else ""
    worst = _misses(result, 1)
    return f"Declared as {result.style.name}, which it fits {result.score:.0f} of 100{f': {worst}' if worst else ''}."


def _inside(result: Fit, beer: Beer) -> str:
    """What of a style's vitals lies inside, what misses, and what is not known, in one line."""
    if not result.parts:
        return "No vital of it can be compared."
    source = result.base or result.style
    unknown = [words_of(vital) for vital in source.ranges if result.part(vital) is None]
    known = f"{len(result.parts)} of {len(source.ranges)} vitals" if unknown else f"all {len(result.parts)} vitals"
    misses = _misses(result, MISSES_TOLD)
    rest = " and ".join(part for part in (", ".join(unknown[:-1]), *unknown[-1:]) if part)
    said = misses if misses else f"{known} lie inside"
    said += f"; not compared: {rest}" if unknown else ""
    below = "of the beer underneath, " if beer.base_vitals is not None and result.base is not None else ""
    said = f"{below}{said}"
    return f"{said[0].upper()}{said[1:]}."


def _misses(result: Fit, most: int) -> str:
    """The gravest misses beyond their error, the worst first; the smaller ones where there are no others."""
    parts = sorted((p for p in result.parts if p.miss), key=lambda p: -abs(p.miss_in_errors))
    told = [
        f"{words_of(p.vital)} {amount(p.vital, abs(p.miss))} {'over' if p.miss > 0 else 'under'}"
        + ("" if abs(p.miss_in_errors) >= 1 else ", within its error")
        for p in parts[:most]
    ]
    more = f", and {len(parts) - most} more" if len(parts) > most else ""
    return "; ".join(told) + more


def _deciding(beer: Beer) -> tuple[str, ...]:
    """The questions whose answers would tell most, where the first style is not clear."""
    if beer.ranking.settled:
        return ()
    return tuple(f"{q.text} ({q.settles})" for q in beer.questions[:QUESTIONS])
