"""What is to be told of the seating: panels that are short, judges near a category, loud before light, full days."""

from __future__ import annotations

import math
from collections.abc import Sequence

from entryprep.findings import Finding
from entryprep.receiving.flights import Flight
from entryprep.receiving.panels import Hours, Judge, Panel, beers_of_days
from entryprep.tables.rules import finding


def told_of_panels(
    made: Sequence[Flight], seated: Sequence[Panel], judges: Sequence[Judge], hours: Hours, file: str
) -> list[Finding]:
    """The findings of a seating, in the order of its flights, then of its judges."""
    findings: list[Finding] = []
    for panel in seated:
        if panel.short:
            each = len(panel.judges) + panel.short
            values = {"flight": panel.flight, "have": len(panel.judges), "each": each}
            findings.append(finding("panel-short", values, file=file, case="" if len(judges) >= each else "too-few"))
        for rule, names in (("panel-near", panel.near), ("panel-heavy", panel.heavy)):
            if names:
                findings.append(finding(rule, {"flight": panel.flight, "names": ", ".join(names)}, file=file))
        if hours.sessions and not panel.session and panel.round:
            findings.append(finding("panel-session", {"flight": panel.flight}, file=file))
    return findings + _full_days(made, seated, judges, hours, file)


def _full_days(
    made: Sequence[Flight], seated: Sequence[Panel], judges: Sequence[Judge], hours: Hours, file: str
) -> list[Finding]:
    beers = beers_of_days(made, seated)
    most = {judge.name: judge.most or hours.most for judge in judges}
    findings = [
        finding("judge-beers", {"judge": name[:60], "beers": count, "most": most[name]}, file=file)
        for (name, _), count in sorted(beers.items())
        if most[name] and count > most[name]
    ]
    days = max((panel.day for panel in seated), default=1)
    if hours.most and not hours.sessions and days > 1:
        wanted = math.ceil(sum(beers.values()) / hours.most)
        values = {"most": hours.most, "days": days, "judges": wanted}
        findings.append(finding("judging-days", values, file=file))
    return findings
