"""The ingredients of a BeerJSON recipe, as parts of a batch."""

from __future__ import annotations

from typing import Any

from entryprep.brewing.extract import SUCROSE_POINTS
from entryprep.formats.draft import Draft
from entryprep.formats.units import UNITS, UnitError, converted
from entryprep.reading.yamltext import Path_
from entryprep.text import shown

LATE_MINUTES = 20.0  # extract that goes into the boil after this does not thicken the wort the hops boil in
DAY_MINUTES = 1440.0
BOILING_C = 97.0  # a step of the boil that is colder is a stand

SPICED = {"spice": "spice", "herb": "spice", "flavor": "spice", "wood": "wood"}
STAGES = {
    "add_to_mash": "mash",
    "add_to_boil": "boil",
    "add_to_fermentation": "fermenter",
    "add_to_package": "packaging",
}
_FERMENTABLE = {"name", "type", "yield", "color", "amount", "timing", "grain_group"}
_HOPS = {"name", "alpha_acid", "amount", "timing", "form"}
_CULTURE = {"name", "type", "form", "attenuation", "amount"}
_MISC = {"name", "type", "amount", "timing"}


class Parts:
    """Reads quantities and ingredients into a draft; ``at`` is the recipe's path in the file."""

    def __init__(self, draft: Draft, at: Path_) -> None:
        self.draft, self.at = draft, at
        self.steps: list[Any] = []
        self.boil_minutes = 60.0
        self.extra: list[
            tuple[dict[str, Any], Path_]
        ] = []  # fermentables that are additions too: fruit, honey, smoked malt

    def number(self, at: Path_, holder: dict[str, Any], key: str, kind: str) -> float | None:
        """The inner value of a quantity, or None with a problem noted."""
        try:
            value = converted(holder[key], kind)
        except UnitError as error:
            self.draft.complain((*at, key), key, str(error), error.fix)
            return None
        if kind == "gravity" and 980 <= value <= 1200:
            self.draft.assume(f"{key} {value:g} is read as {value / 1000:g}")
            value /= 1000
        return value

    def amount(self, at: Path_, item: dict[str, Any], kinds: dict[str, str]) -> tuple[str, float] | None:
        """Our field for an amount and its value; ``kinds`` are the fields that its unit may lead to."""
        value = item.get("amount")
        unit = value.get("unit") if isinstance(value, dict) else None
        for kind, name in kinds.items():
            if isinstance(unit, str) and unit in UNITS[kind]:
                number = self.number(at, item, "amount", kind)
                return None if number is None else (name, number)
        if value is not None:
            known = ", ".join(u for kind in kinds for u in UNITS[kind])
            what = f"{str(unit)[:40]} is not a unit for an amount" if unit else "an amount is a unit and a value"
            self.draft.complain((*at, "amount"), "amount", what, f"the standard knows {known}")
        return None

    def leave_unknown(self, where: str, item: dict[str, Any], known: set[str]) -> None:
        """Note the keys of an ingredient that are not read."""
        left = item.keys() - known
        if left:
            self.draft.leave(where, sorted(left))

    def fermentable(self, item: dict[str, Any], at: Path_) -> dict[str, Any] | None:
        """A fermentable; fruit, juice, honey and smoked malt are noted as additions too."""
        self.leave_unknown("fermentables", item, _FERMENTABLE)
        made: dict[str, Any] = {"what": item.get("name"), "kind": item.get("type")}
        amount = self.amount(at, item, {"mass": "mass", "volume": "volume"})
        if amount:
            made[amount[0]] = amount[1]
        self.potential(made, item, at)
        if "color" in item:
            made["colour"] = self.number(at, item, "color", "malt color")
        timing = _timing(item)
        use = timing.get("use")
        minutes = self.minutes(timing, at)
        if use == "add_to_package":
            self.draft.leave("fermentables", [f"{made['what']}, added at packaging"])
            return None
        if use == "add_to_fermentation":
            made["stage"] = "fermenter"
        elif use == "add_to_boil" and minutes is not None and minutes < min(LATE_MINUTES, self.boil_minutes):
            made["stage"] = "late"
        if use == "add_to_boil" and item.get("type") == "grain":
            made["use"] = "steeped"
        kind = {"fruit": "fruit", "juice": "fruit", "honey": "sugar"}.get(str(item.get("type")))
        kind = "smoke" if item.get("grain_group") == "smoked" else kind
        if kind:
            stage = "fermenter" if use == "add_to_fermentation" else "mash" if kind == "smoke" else "boil"
            extra = {"what": made["what"], "kind": kind, "stage": stage}
            self.extra.append((extra | ({amount[0]: amount[1]} if amount else {}), at))
        return made

    def potential(self, made: dict[str, Any], item: dict[str, Any], at: Path_) -> None:
        """The potential of a fermentable, from its own gravity or its yield as a share of sucrose."""
        held = item.get("yield")
        if not isinstance(held, dict):
            self.draft.assume("a fermentable has no yield, which the standard requires")
            return
        at = (*at, "yield")
        if "potential" in held:
            made["potential"] = self.number(at, held, "potential", "gravity")
        for key in ("fine_grind", "coarse_grind"):
            if key in held and made.get("potential") is None:
                share = self.number(at, held, key, "percent")
                made["potential"] = None if share is None else 1 + share * SUCROSE_POINTS / 1e5

    def minutes(self, timing: dict[str, Any], at: Path_) -> float | None:
        """Minutes in the heat: the duration; where only a time is given, that, as boil times are usually written."""
        for key in ("duration", "time"):
            if key in timing:
                return self.number((*at, "timing"), timing, key, "time")
        return None

    def hops(self, item: dict[str, Any], at: Path_) -> dict[str, Any] | None:
        """One addition of hops; what is measured by volume is left aside."""
        self.leave_unknown("hops", item, _HOPS)
        made: dict[str, Any] = {"what": item.get("name")}
        amount = self.amount(at, item, {"mass": "mass", "volume": "volume"})
        if amount and amount[0] == "volume":
            self.draft.leave("hops", [f"{made['what']}, measured by volume"])
            return None
        if amount:
            made["mass"] = amount[1] * 1000
        if "alpha_acid" in item:
            made["alpha"] = self.number(at, item, "alpha_acid", "percent")
        if "form" in item:
            made["form"] = item["form"]
        timing = _timing(item)
        use = timing.get("use", "add_to_boil")
        if not isinstance(use, str) or use not in STAGES:
            self.draft.complain(
                (*at, "timing", "use"), "timing", f"{shown(use)} is not a use", f"use {', '.join(STAGES)}"
            )
            return None
        minutes = self.minutes(timing, at)
        made["use"] = {"add_to_mash": "mash", "add_to_boil": "boil"}.get(use, "dry")
        if use == "add_to_boil":
            self.in_the_boil(made, timing, minutes)
        return made

    def in_the_boil(self, made: dict[str, Any], timing: dict[str, Any], minutes: float | None) -> None:
        """Settle what hops in the kettle are: in the boil, before it (first wort), or in a stand of a colder step."""
        step = timing.get("step")
        steps = [s if isinstance(s, dict) else {} for s in self.steps]
        heat = [self.step_celsius(s) for s in steps]
        if (
            isinstance(step, int)
            and 1 <= step <= len(steps)
            and "first wort" in str(steps[step - 1].get("name")).lower()
        ):
            made["use"] = "first wort"
            return
        if isinstance(step, int) and 1 <= step <= len(steps) and heat[step - 1] is not None:
            celsius = heat[step - 1] or 0.0
            boiling = [i for i, c in enumerate(heat) if c is not None and c >= BOILING_C]
            if celsius < BOILING_C and boiling and step - 1 < boiling[0]:
                made["use"] = "first wort"
                return
            if celsius < BOILING_C:
                made["use"], made["temperature"] = "stand", celsius
                held = steps[step - 1]
                if minutes is None and "step_time" in held:
                    minutes = self.number((*self.at, "boil", "boil_steps", step - 1), held, "step_time", "time")
        if timing.get("continuous") is True:
            minutes = (minutes or self.boil_minutes) / 2
            self.draft.assume(f"{made['what']}: added evenly through the boil, counted as half of its time")
        if minutes is not None and minutes > DAY_MINUTES:
            self.draft.assume(f"{made['what']}: {minutes / DAY_MINUTES:.0f} days in the boil are taken for a dry hop")
            made["use"] = "dry"
            return
        made["minutes"] = minutes or 0.0

    def step_celsius(self, step: dict[str, Any]) -> float | None:
        """Mean temperature of a step of the boil, or None if it is not said."""
        known = []
        for key in ("start_temperature", "end_temperature"):
            try:
                known.append(converted(step[key], "temperature"))
            except (KeyError, UnitError):
                continue
        return sum(known) / len(known) if known else None

    def culture(self, item: dict[str, Any], at: Path_) -> dict[str, Any]:
        """A yeast or another culture."""
        self.leave_unknown("yeast", item, _CULTURE)
        made: dict[str, Any] = {"what": item.get("name")}
        for key, ours in (("type", "kind"), ("form", "form")):
            if key in item:
                made[ours] = item[key]
        if "attenuation" in item:
            made["attenuation"] = self.number(at, item, "attenuation", "percent")
        amount = self.amount(at, item, {"mass": "mass", "volume": "volume", "count": "count"})
        if amount and amount[1] > 0:
            made[amount[0]] = amount[1] * 1000 if amount[0] == "mass" else amount[1]
        return made

    def misc(self, item: dict[str, Any], at: Path_) -> dict[str, Any] | None:
        """A spice, herb, flavouring or wood as an addition; finings, water salts and the rest are left aside."""
        self.leave_unknown("additions", item, _MISC)
        kind = SPICED.get(str(item.get("type")))
        if kind is None:
            self.draft.leave("additions", [f"{item.get('name', 'something')} ({item.get('type', 'of no type')})"])
            return None
        made: dict[str, Any] = {"what": item.get("name"), "kind": kind}
        amount = self.amount(at, item, {"mass": "mass", "volume": "volume", "count": "count"})
        if amount and amount[1] > 0:
            made[amount[0]] = amount[1]
        timing = _timing(item)
        stage = STAGES.get(str(timing.get("use")))
        if stage:
            later = stage == "fermenter" and isinstance(timing.get("step"), int) and timing["step"] > 1
            made["stage"] = "conditioning" if later else stage
        return made


def _timing(item: dict[str, Any]) -> dict[str, Any]:
    held = item.get("timing")
    return held if isinstance(held, dict) else {}
