"""A record said in a few words, ``og=1.052 bottles="12 longneck"``, as the data that would be written in its file."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, get_args

from pydantic import BaseModel

from entryprep.errors import EntryprepError
from entryprep.reading.validate import classes_of
from entryprep.reading.words import AdditionKind
from entryprep.reading.yamltext import Path_, RecordError, parse_yaml
from entryprep.records.batch import Addition, Batch, Traits
from entryprep.records.competition import Competition
from entryprep.tables.vocabulary import named_in
from entryprep.text import either, fold, shortened


class ShorthandError(EntryprepError):
    """Words that cannot be read as a field and its value; ``fix`` shows how to write them."""


BEER: Mapping[str, Path_] = {
    **{name: ("measured", name) for name in ("og", "fg", "abv", "co2")},
    **{name: ("predicted", name) for name in ("ibu", "srm")},
    **{name: ("dates", name) for name in ("brewed", "packaged")},
    **{name: ("traits", name) for name in Traits.model_fields},
    "recipe": ("recipe", "file"),
    "addition": ("additions",),
}
"""Short words of a batch, and where they stand in its file; every other word is the file's own, steps with points."""
COMPETITION: Mapping[str, Path_] = {
    **{name: ("dates", name) for name in ("registration", "delivery", "judging")},
    "bottles": ("bottles", "count"),
    "per_brewer": ("limits", "per_brewer"),
    "per_category": ("limits", "per_category"),
    "ways": ("delivery", "ways"),
    "address": ("delivery", "address"),
    "category": ("categories",),
}
"""Short words of a competition, and where they stand in its file."""
_SHORT: Mapping[type[BaseModel], Mapping[str, Path_]] = {Batch: BEER, Competition: COMPETITION}
_KINDS = get_args(AdditionKind)
_STAGES = tuple(get_args(get_args(Addition.model_fields["stage"].annotation)[0]))
_PERCEIVED = tuple(get_args(get_args(Addition.model_fields["perceived"].annotation)[0]))
_AMOUNT = re.compile(r"^(\d+(?:[.,]\d+)?)\s*(kg|g|mg|lbs?|oz|L|l|ml|mL|cl|gal|qt|fl oz)?\s+(?:of\s+)?(.+)$")
_VOLUMES = {"L", "l", "ml", "mL", "cl", "gal", "qt", "fl oz"}
_SPAN = re.compile(r"^(\d{4}-\d\d-\d\d)\s*(?:to|–|-|\.\.+|…)\s*(\d{4}-\d\d-\d\d)$")
_BOTTLES = re.compile(r"^(\d+)\s*(?:x\s+|bottles?(?:\s+of)?\s*)?([A-Za-z][\w-]*)?$")


def path_of(model: type[BaseModel], word: str) -> Path_:
    """Where a word stands in a record's file: a short word, or the file's own with points, ``carbonation.method``."""
    key = word.strip().replace(" ", "_")
    known = _SHORT.get(model, {})
    if key in known:
        return known[key]
    return tuple(int(step) - 1 if step.isdigit() else step.replace("-", "_") for step in key.split("."))


def told(model: type[BaseModel], words: Iterable[str], data: dict[str, Any] | None = None) -> dict[str, Any]:
    """``field=value`` words as a record's data; ``data`` is what is known already. Raises ShorthandError."""
    made: dict[str, Any] = {} if data is None else data
    for word in words:
        field, equals, value = word.partition("=")
        if not equals or not field.strip():
            raise ShorthandError(
                f"{shortened(word)} has not the form field=value", 'write og=1.052, or name="Night Ferry"'
            )
        put(made, path_of(model, field), said(model, field.strip(), value.strip()))
    return made


def said(model: type[BaseModel], field: str, value: str) -> Any:
    """A value as its file would hold it: short forms of bottles, additions, categories, fees and spans of days read."""
    path = path_of(model, field)
    if value[:1] in {"[", "{"}:
        try:
            return parse_yaml(f"v: {value}".encode(), field).data["v"]
        except RecordError:
            raise ShorthandError(f"{field}: {shortened(value)} has brackets that do not close", "close them") from None
    reader = _READERS.get((model, path))
    if reader is not None:
        return reader(value)
    return [part.strip() for part in value.split(",") if part.strip()] if _is_list(model, path) else value


def put(data: dict[str, Any], path: Path_, value: Any) -> None:
    """Put a value into a record's data; lists grow. Raises ShorthandError for a word said twice."""
    here: Any = data
    for step in path[:-1]:
        below = here.setdefault(step, {}) if isinstance(here, dict) else None
        if not isinstance(below, dict):
            raise ShorthandError(
                f"{'.'.join(map(str, path))} leads into {step}, which is no group of fields", "see `entryprep schema`"
            )
        here = below
    last = path[-1]
    if isinstance(value, list) and isinstance(here.get(last), list):
        here[last] = [*here[last], *value]
    else:
        here[last] = value


def bottles(text: str, usual: str = "longneck") -> list[dict[str, Any]]:
    """``12``, ``12 longneck`` or ``12 longneck, 6 nip`` as a stock; ``usual`` is the type where none is named."""
    made = []
    for part in text.split(","):
        match = _BOTTLES.match(part.strip())
        if match is None:
            raise ShorthandError(
                f"{shortened(part)} is no number of bottles", "write 12, 12 longneck, or 12 longneck, 6 nip"
            )
        made.append({"count": int(match[1]), "type": match[2] or usual})
    return made


def additions(text: str) -> list[dict[str, Any]]:
    """``2.4 kg cranberries, fermenter, clear; 45 g oak cubes (wood)``: what was added; ``none``: nothing.

    Of each: how much and what, its kind in brackets where the words do not tell it, then stage, whether it can be
    tasted, and form, in any order.
    """
    if fold(text) in {"", "no", "none", "nothing"}:
        return []
    return [_addition(part.strip()) for part in text.split(";") if part.strip()]


def _addition(text: str) -> dict[str, Any]:
    first, *rest = [part.strip() for part in text.split(",")]
    made: dict[str, Any] = {}
    bracket = re.search(r"\(([^)]*)\)", first)
    if bracket and bracket[1].strip() in _KINDS:
        made["kind"] = bracket[1].strip()
        first = (first[: bracket.start()] + first[bracket.end() :]).strip()
    match = _AMOUNT.match(first)
    if match:
        amount, unit, first = match[1].replace(",", "."), match[2], match[3]
        name = "volume" if unit in _VOLUMES else "mass" if unit else "count"
        made[name] = f"{amount} {unit}" if unit else amount
    made["what"] = first
    if "kind" not in made:
        kinds = [kind for kind in _KINDS if kind in named_in(first).kinds]
        if not kinds:
            raise ShorthandError(
                f"what kind of addition is {shortened(first)}?", f"write it in brackets: {first} ({either(_KINDS)})"
            )
        made["kind"] = kinds[0]
    for part in rest:
        word = fold(part).removeprefix("in the ").removeprefix("at ")
        if word in _STAGES:
            made["stage"] = word
        elif word in _PERCEIVED:
            made["perceived"] = word
        elif part:
            made["form"] = f"{made['form']}, {part}" if "form" in made else part
    return made


def category(text: str) -> dict[str, Any]:
    """``A1 Bitters and milds: ordinary bitter, dark mild``: code, name and, after a colon, the styles it takes."""
    head, _, styles = text.partition(":")
    code, _, name = head.strip().partition(" ")
    if not name.strip():
        raise ShorthandError(f"{shortened(text)} is no category", "write its code and name: A1 Bitters and milds")
    made: dict[str, Any] = {"code": code, "name": name.strip()}
    listed = [style.strip() for style in styles.split(",") if style.strip()]
    return {**made, "styles": listed} if listed else made


def _fee(text: str) -> dict[str, Any]:
    number, _, currency = text.strip().partition(" ")
    if not currency:
        raise ShorthandError(f"{shortened(text)} names no currency", "write the fee as 10 USD")
    return {"amount": number, "currency": currency.strip().upper()}


def _days(text: str) -> dict[str, Any]:
    match = _SPAN.match(text)
    return {"opens": match[1], "closes": match[2]} if match else {"closes": text}


_READERS: Mapping[tuple[type[BaseModel], Path_], Callable[[str], Any]] = {
    (Batch, ("bottles",)): bottles,
    (Batch, ("additions",)): additions,
    (Competition, ("categories",)): lambda text: [category(text)],
    (Competition, ("fee",)): _fee,
    (Competition, ("dates", "registration")): _days,
    (Competition, ("dates", "delivery")): _days,
}


def _is_list(model: type[BaseModel], path: Path_) -> bool:
    """Whether a field is a list of plain values."""
    annotation = annotation_at(model, path)
    inner = classes_of(annotation)
    return "list[" in str(annotation) and not any(isinstance(c, type) and issubclass(c, BaseModel) for c in inner)


def annotation_at(model: type[BaseModel], path: Path_) -> Any:
    """The type of the field at a path of a record, or None where there is none."""
    annotation: Any = model
    for step in path:
        if isinstance(step, int):
            continue
        models = [c for c in classes_of(annotation) if isinstance(c, type) and issubclass(c, BaseModel)]
        annotation = next((m.model_fields[step].annotation for m in models if step in m.model_fields), None)
        if annotation is None:
            return None
    return annotation
