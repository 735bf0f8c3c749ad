"""Rules on numbers: entries per brewer and category, one batch twice, strength limits, entry numbers."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from entryprep.entering.rules.context import BY_FILE, Context, Hit, Rule, stated
from entryprep.entering.rules.style import SEVERE_ERRORS, miss_values
from entryprep.entering.season import Entered
from entryprep.text import several


def per_brewer(context: Context, competition_id: str) -> Iterator[Hit]:
    """More entries than the competition takes from one brewer; told at the first beyond the limit."""
    entries, competition = context.by_competition.get(competition_id, []), context.season.competitions[competition_id]
    limit = competition.limits.per_brewer
    if limit is not None and len(entries) > limit:
        values: dict[str, object] = {"count": len(entries), "competition": competition.name, "limit": limit}
        values["over"] = several(len(entries) - limit, "entry", "entries")
        yield Hit("entries-over-limit", context.at_entry(entries[limit], "competition"), competition_id, values)


def per_category(context: Context, competition_id: str) -> Iterator[Hit]:
    """More entries in one category than a brewer may send there."""
    groups: dict[str, list[Entered]] = defaultdict(list)
    for entered in context.by_competition.get(competition_id, []):
        groups[entered.category.code].append(entered)
    for code, entries in groups.items():
        limit = entries[0].category.limit_per_brewer or entries[0].competition.limits.per_category
        if len(entries) > limit:
            values: dict[str, object] = {"count": len(entries), "code": code, "limit": limit}
            values["category"] = entries[0].category.name
            limits = entries[0].competition.limits
            source = BY_FILE if entries[0].category.limit_per_brewer else stated(limits, "per_category")
            usual = f"and its file does not say how many it takes: {limit} per brewer is usual"
            values |= {"source": source, "takes": f"which takes {limit} per brewer" if source == BY_FILE else usual}
            place = context.at_entry(entries[limit], "category")
            yield Hit("category-over-limit", place, competition_id, values, milder=source != BY_FILE)


def twice(context: Context, competition_id: str) -> Iterator[Hit]:
    """A batch entered again where it may be entered once, and an entry number given again."""
    batches: dict[str, Entered] = {}
    numbers: dict[str, Entered] = {}
    for entered in context.by_competition.get(competition_id, []):
        first = batches.setdefault(entered.batch_id, entered)
        if first is not entered and not entered.competition.limits.same_batch_twice:
            values: dict[str, object] = {"batch": entered.batch_id, "competition": entered.competition.name}
            values["first"] = first.category.code
            values["source"] = stated(entered.competition.limits, "same_batch_twice")
            yield Hit("batch-twice", context.at_entry(entered, "batch"), entered.label, values)
        if entered.entry.number:
            owner = numbers.setdefault(entered.entry.number.casefold(), entered)
            if owner is not entered:
                values = {"number": entered.entry.number, "first": owner.label}
                yield Hit("number-twice", context.at_entry(entered, "number"), entered.label, values)


def numbers_missing(context: Context, competition_id: str) -> Iterator[Hit]:
    """Entries whose number the competition has not issued yet, counted."""
    entries = context.by_competition.get(competition_id, [])
    without = [e for e in entries if not e.entry.number]
    if without:
        name = context.season.competitions[competition_id].name
        values: dict[str, object] = {"count": len(without), "all": len(entries), "competition": name}
        yield Hit("entry-number-missing", context.at_entry(without[0], "number"), competition_id, values)


def brewer(context: Context, competition_id: str) -> Iterator[Hit]:
    """A competition that wants the brewer's name on a stub, and no brewer.yaml; a broken one is told elsewhere."""
    competition = context.season.competitions[competition_id]
    wanted = competition.labels.identity == "stub" and competition_id in context.by_competition
    folder = context.season.folder
    if wanted and context.season.brewer is None and not (folder and (folder / "brewer.yaml").exists()):
        place = context.at_competition(competition_id, "labels", "identity")
        yield Hit("brewer-missing", place, competition_id, {"competition": competition.name})


def strength(context: Context, entered: Entered) -> Iterator[Hit]:
    """A strength outside the limits the category sets; a lesser case while it may still be inside."""
    vitals = context.vitals(entered.batch_id)
    reading = vitals.get("abv") if vitals else None
    if vitals is None or reading is None or entered.category.abv is None:
        return
    (low, high), value, error = entered.category.abv, reading.value, vitals.error("abv")
    miss = value - high if value > high else min(value - low, 0.0)
    if abs(miss) < 1e-9:
        return
    errors = miss / error if error > 0 else math.copysign(math.inf, miss)
    values = miss_values("abv", value, miss, errors, low, high)
    values["code"] = entered.category.code
    milder = abs(errors) < SEVERE_ERRORS
    yield Hit("category-strength", context.at_entry(entered, "category"), entered.label, values, milder)


FOR_COMPETITIONS: tuple[Rule[str], ...] = (
    Rule(("entries-over-limit",), per_brewer),
    Rule(("category-over-limit",), per_category),
    Rule(("batch-twice", "number-twice"), twice),
    Rule(("entry-number-missing",), numbers_missing),
    Rule(("brewer-missing",), brewer),
)
FOR_ENTRIES: tuple[Rule[Entered], ...] = (Rule(("category-strength",), strength),)
