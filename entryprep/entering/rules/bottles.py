"""Rules on bottles: are there enough, and does the competition take them?"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from entryprep.entering.bottles import bottle_objections, needed
from entryprep.entering.rules.context import BY_FILE, Context, Hit, Rule, stated
from entryprep.entering.season import Entered
from entryprep.measures import bottle_volume, bottle_volumes, length
from entryprep.records.bottles import Bottle, filled
from entryprep.records.competition import BottleRules
from entryprep.tables.bottles import bottle_types

# objection -> rule, the key of a batch's bottles it is about
RULE_OF = {
    "size": ("bottle-size", "size"),
    "glass": ("bottle-glass", "glass"),
    "closure": ("bottle-closure", "closure"),
    "embossed": ("bottle-embossed", "embossed"),
    "printed": ("bottle-printed", "printed"),
    "diameter": ("bottle-too-wide", "diameter"),
    "height": ("bottle-too-tall", "height"),
    "caps": ("bottle-caps", "caps"),
}
_FIELD = {"closure": "closures", "caps": "printed_caps"}  # of the competition, where it is not called as the objection
_FOUND: dict[str, Callable[[Bottle], str]] = {
    "size": lambda b: bottle_volume(b.size_ml),
    "glass": lambda b: f"{b.glass} glass" if b.glass not in {"can", "plastic", "stone"} else b.glass,
    "closure": lambda b: f"closure {b.closure}",
    "embossed": lambda _: "raised lettering",
    "printed": lambda _: "print",
    "diameter": lambda b: length(b.diameter_mm),
    "height": lambda b: length(b.height_mm),
    "caps": lambda b: b.caps,
}
_WANTED: dict[str, Callable[[BottleRules], str]] = {
    "size": lambda r: f"{bottle_volumes(*r.size)} is taken" if r.size else "",
    "glass": lambda r: f"taken: {', '.join(r.glass)}",
    "closure": lambda r: f"taken: {', '.join(r.closures)}",
    "embossed": lambda _: "no raised lettering is taken",
    "printed": lambda _: "no label, ink or paint is taken",
    "diameter": lambda r: f"at most {length(r.diameter or 0)} fits the slots",
    "height": lambda r: f"at most {length(r.height or 0)} fits",
    "caps": lambda _: "printed caps are refused",
}


def stock(context: Context, entered: Entered) -> Iterator[Hit]:
    """Too few bottles that may be sent; those that may not, where they would have been enough."""
    want = needed(entered)
    have = sum(take.count for take in context.takes.get(entered.index, ()))
    if have >= want:
        return
    refused = list(_refused(entered))
    if have + sum(bottle.count for _, bottle, _ in refused) < want or entered.batch.keep:
        rivals = [e.label for e in context.season.entered if e.batch_id == entered.batch_id and e is not entered]
        others = f" (also entered: {', '.join(rivals)})" if rivals else ""
        kept = f" and {entered.batch.keep} are kept back" if entered.batch.keep else ""
        values: dict[str, object] = {"needed": want, "have": have, "entries": others, "kept": kept}
        values["source"] = stated(entered.competition.bottles, "count")
        yield Hit("bottles-too-few", context.at_batch(entered.batch_id, "bottles"), entered.label, values)
    for index, bottle, objections in refused:
        for objection in objections:
            rule, key = RULE_OF[objection]
            place = context.at_batch(entered.batch_id, "bottles", index, key)
            values = {"needed": want, "have": have, "bottle": bottle.type.called, "found": _FOUND[objection](bottle)}
            values["source"] = stated(entered.competition.bottles, _FIELD.get(objection, objection))
            whose = entered.competition.name if values["source"] == BY_FILE else "usual rules"
            values["rule"] = f"{whose}: {_WANTED[objection](entered.competition.bottles)}"
            values["remedy"] = "put plain caps on, or send other bottles"
            yield Hit(rule, place, entered.label, values)


def _refused(entered: Entered) -> Iterator[tuple[int, Bottle, tuple[str, ...]]]:
    for index, kind in enumerate(entered.batch.bottles):
        if kind.count and kind.type in bottle_types():
            bottle = filled(kind)
            objections = bottle_objections(bottle, entered.competition.bottles)
            if objections:
                yield index, bottle, objections


def caps(context: Context, entered: Entered) -> Iterator[Hit]:
    """Printed caps on bottles to be sent, where the competition takes them blacked out."""
    if entered.competition.bottles.printed_caps != "blacked-out":
        return
    taken = {take.bottle_type for take in context.takes.get(entered.index, ())}
    for index, kind in enumerate(entered.batch.bottles):
        if kind.count and kind.caps == "printed" and kind.type in taken:
            values: dict[str, object] = {"bottle": filled(kind).type.called, "found": kind.caps}
            values["source"] = stated(entered.competition.bottles, "printed_caps")
            whose = entered.competition.name if values["source"] == BY_FILE else "a usual competition"
            values["rule"] = f"{whose} takes printed caps only when they are blacked out"
            values["remedy"] = "black them out with a permanent marker before you pack, then set `caps: blacked-out`"
            place = context.at_batch(entered.batch_id, "bottles", index, "caps")
            yield Hit("bottle-caps", place, entered.label, values, milder=True)


FOR_ENTRIES: tuple[Rule[Entered], ...] = (
    Rule(("bottles-too-few", *(rule for rule, _ in RULE_OF.values())), stock),
    Rule(("bottle-caps",), caps),
)
